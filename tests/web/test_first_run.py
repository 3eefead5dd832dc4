"""The first run by pages: asked plainly, all faults at once, begun whole or not at all, only from this machine."""

from __future__ import annotations

import errno
import os
import re
import signal
import subprocess
import sys
import threading
import urllib.request
from typing import TYPE_CHECKING, Any

import pytest
from werkzeug.test import Client

from fieldbook.climate.normals import read_normals
from fieldbook.notebook import Notebook
from fieldbook.site import NewSite, begin_site, starters
from fieldbook.site.beginning import is_vacant
from fieldbook.web import first_run, serve_first_run
from fieldbook.web.first_run import FirstRun
from fieldbook.web.here import WebError
from tests.orrendal import FACTS, PASSPHRASE, site_facts
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

WHO = {"letter": "t", "name": "Thornpan Reception Camp", "language_1": "ar", "language_2": "so"}
WHERE = {
    "latitude": "13,4",
    "side": "north",
    "elevation": "420",
    "setting": "interior",
    "watering": "yes",
    "frost": ["12", "1"],
}
CLIMATE = {"table": site_facts("T").normals}
PEOPLE = {"number": "1", "passphrase": PASSPHRASE, "again": PASSPHRASE, "network": "join"}
PAGES: dict[str, dict[str, Any]] = {"who": WHO, "where": WHERE, "climate": CLIMATE, "people": PEOPLE}


def by_boxes() -> dict[str, str]:
    """The same climate as ``CLIMATE``, figure by figure in its box."""
    heading, *rows = [line.split(",") for line in site_facts("T").normals.split()]
    wanted = ("rain_mm", "tmin_c", "tmax_c")
    return {f"{name}.{n}": row[heading.index(name)] for n, row in enumerate(rows, start=1) for name in wanted}


class Beginner:
    """A person at the pages of a first run."""

    def __init__(self, folder: Path, **options: Any) -> None:
        self.run = FirstRun(folder, **options)
        self.client = Client(lambda environ, start: self.run({"REMOTE_ADDR": "127.0.0.1", **environ}, start))
        self.page, self.status, self.went = "", 0, ""
        self.cached: str | None = None

    def get(self, path: str, **environ: Any) -> str:
        response = self.client.get(path, follow_redirects=True, **environ)
        self.page, self.status, self.went = response.get_data(as_text=True), response.status_code, response.request.path
        self.cached = response.headers.get("Cache-Control")
        return self.page

    def fill(self, step: str, answers: Mapping[str, Any]) -> str:
        self.get(f"/set-up/{step}")
        return self.send(f"/set-up/{step}", answers)

    def send(self, path: str, form: Mapping[str, Any]) -> str:
        token = re.search(r'name="csrf_token" value="([^"]+)"', self.page)
        assert token is not None
        response = self.client.post(path, data={**form, "csrf_token": token[1]}, follow_redirects=True)
        if response.request.path == "/set-up/now" and response.status_code == 200:
            self.run.work.wait()
            return self.get("/set-up/now")
        self.page, self.status, self.went = response.get_data(as_text=True), response.status_code, response.request.path
        return self.page

    def fill_all(self, **changed: Any) -> str:
        for step, answers in PAGES.items():
            self.fill(step, answers | changed if step == "people" else answers)
        return self.page

    def faults(self) -> dict[str, str]:
        return dict(re.findall(r'<span class="fault" id="([^"]+)-fault">([^<]*)</span>', self.page))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "gardens" / "thornpan"


@pytest.fixture
def beginner(place: Path) -> Iterator[Beginner]:
    one = Beginner(place)
    yield one
    one.run.close()


def test_a_site_begins_from_four_pages_with_exactly_what_was_said(beginner: Beginner, place: Path) -> None:
    beginner.fill_all()
    site = beginner.run.site
    assert site is not None
    assert beginner.status == 200
    facts = {name: site.notebook.fact(name) for name in ("letter", "name", "latitude_deg", "elevation_m", "setting")}
    assert facts == {
        "letter": "T",
        "name": "Thornpan Reception Camp",
        "latitude_deg": "13.4",
        "elevation_m": "420",
        "setting": "interior",
    }
    assert (site.languages, site.notebook.fact("watering")) == (("ar", "so"), True)
    assert site.notebook.fact("frost_months") == [1, 12]
    assert site.normals() == read_normals(site_facts("T").normals)
    assert (site.ledger, [person.label for person in site.people()]) == (None, ["T1"])
    assert site.unlock("T1", PASSPHRASE).roles == {"trainer"}
    assert sorted(one.name for one in place.parent.iterdir()) == ["thornpan"]


def test_the_boxes_and_the_pasted_table_give_the_same_climate(beginner: Beginner, tmp_path: Path) -> None:
    beginner.fill_all()
    other = Beginner(tmp_path / "other")
    for step, answers in (PAGES | {"climate": by_boxes()}).items():
        other.fill(step, answers)
    assert beginner.run.site is not None
    assert other.run.site is not None
    pasted, boxed = beginner.run.site.normals(), other.run.site.normals()
    assert (boxed.rain_mm, boxed.tmin_c, boxed.tmax_c) == (pasted.rain_mm, pasted.tmin_c, pasted.tmax_c)
    other.run.close()


def test_south_of_the_equator_needs_no_sign(beginner: Beginner) -> None:
    longshade = {"latitude": FACTS["L"]["latitude_deg"].lstrip("-"), "side": "south"}
    for step, answers in PAGES.items():
        beginner.fill(step, answers | longshade if step == "where" else answers)
    assert beginner.run.site is not None
    assert str(beginner.run.site.place().latitude_deg) == FACTS["L"]["latitude_deg"]


def test_a_founded_network_has_the_first_person_as_its_signatory(beginner: Beginner) -> None:
    beginner.fill_all(network="found", title="Orrendal Garden Circle")
    site = beginner.run.site
    assert site is not None
    assert site.network_title == "Orrendal Garden Circle"
    assert "steward" in site.unlock("T1", PASSPHRASE).roles
    assert not site.waits


def test_whoever_founds_a_network_is_told_what_hangs_on_the_one_key(beginner: Beginner) -> None:
    for step in ("who", "where", "climate"):
        beginner.fill(step, PAGES[step])
    beginner.get("/set-up/people", headers={"Accept-Language": "sw"})
    assert "There is only one signatory: if that one key is lost" in beginner.page
    assert "Kuna msimamizi mmoja tu" in beginner.page
    assert read_page(beginner.page).judged() == []


def test_who_stays_alone_has_a_network_of_one_under_the_sites_own_name(beginner: Beginner) -> None:
    beginner.fill_all(network="alone", title="typed and not meant")
    site = beginner.run.site
    assert site is not None
    assert (site.network_title, site.cards()) == ("Thornpan Reception Camp", ())
    assert site.unlock("T1", PASSPHRASE).roles == {"trainer", "steward"}


def test_the_starter_entries_are_offered_and_come_in_unless_the_tick_is_taken_away(
    beginner: Beginner, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(starters, "starter_names", lambda: ("aphid-soap", "leaf-box"))
    for step in ("who", "where", "climate"):
        beginner.fill(step, PAGES[step])
    tick = '<input type="checkbox" name="starters" value="yes" checked>'
    assert tick in beginner.get("/set-up/people")
    beginner.fill("people", PEOPLE | {"network": ""})
    assert tick not in beginner.page
    beginner.fill("people", PEOPLE | {"network": "", "starters": "yes"})
    assert tick in beginner.page
    beginner.fill("people", PEOPLE | {"network": "alone", "starters": "yes"})
    site = beginner.run.site
    assert site is not None
    assert [(card.standing, card.own) for card in site.cards()] == [("unchecked", True)] * 2


def test_while_a_site_begins_each_page_shows_how_far_it_is_and_afterwards_leads_on(
    beginner: Beginner, monkeypatch: pytest.MonkeyPatch
) -> None:
    told, go_on = threading.Event(), threading.Event()

    def begin(folder: Path, facts: NewSite, *, progress: Any, **options: Any) -> None:
        progress("writing the starter entries", 7, 18)
        told.set()
        go_on.wait(60)
        begin_site(folder, facts, **options)

    monkeypatch.setattr(first_run, "begin_site", begin)
    monkeypatch.setattr(first_run, "AT_ONCE_SECONDS", 0.1)
    monkeypatch.setattr(beginner.run.work, "wait", lambda seconds=None: told.wait(seconds))
    beginner.fill_all(network="found", title="Orrendal Garden Circle")
    for path in ("/", "/set-up/who", "/set-up/now"):
        beginner.get(path)
        assert (beginner.went, read_page(beginner.page).judged()) == ("/set-up/now", [])
        assert "Writing the starter entries: 7 of 18." in beginner.page
    assert 'http-equiv="refresh"' in beginner.page
    monkeypatch.undo()
    go_on.set()
    beginner.run.work.wait()
    beginner.get("/set-up/now")
    assert (beginner.went, 'name="back" value="/backup/?first=running"' in beginner.page) == ("/people/sign-in", True)


def test_who_joins_is_led_to_the_stick(beginner: Beginner) -> None:
    beginner.fill_all(network="join")
    assert 'name="back" value="/backup/?first=joining"' in beginner.page


def test_nothing_is_written_before_the_last_page_is_right(beginner: Beginner, place: Path) -> None:
    for step in ("who", "where", "climate"):
        beginner.fill(step, PAGES[step])
    beginner.fill("people", PEOPLE | {"again": "something else"})
    assert beginner.status == 422
    assert not place.parent.exists()
    assert is_vacant(place)


@pytest.mark.parametrize("step", list(PAGES))
def test_each_page_is_well_formed_before_and_after_a_fault(beginner: Beginner, step: str) -> None:
    for earlier in list(PAGES)[: list(PAGES).index(step)]:
        beginner.fill(earlier, PAGES[earlier])
    beginner.get(f"/set-up/{step}")
    assert (beginner.status, read_page(beginner.page).judged()) == (200, [])
    beginner.fill(step, {})
    assert (beginner.status, read_page(beginner.page).judged()) == (422, [])
    assert "another look" in beginner.page
    assert "<script" not in beginner.page


def test_all_faults_of_a_page_are_said_at_once_beside_their_boxes(beginner: Beginner) -> None:
    beginner.fill("who", {"letter": "TT", "name": " ", "language_1": "ar", "language_2": "ar"})
    assert set(beginner.faults()) == {"letter", "name", "language_2"}
    beginner.fill("who", WHO)
    beginner.fill("where", {"latitude": "95", "elevation": "high", "setting": "moon", "frost": ["13"], "salt": ["x"]})
    assert set(beginner.faults()) == {"latitude", "side", "elevation", "setting", "frost", "salt"}
    beginner.fill("where", {"latitude": "-13.4", "side": "south", "elevation": "420", "setting": "coast"})
    assert set(beginner.faults()) == {"latitude"}
    beginner.fill("where", WHERE)
    wrong = by_boxes() | {"rain_mm.3": "", "tmin_c.5": "warm", "tmax_c.7": "99", "tmin_c.9": "40"}
    beginner.fill("climate", wrong)
    assert set(beginner.faults()) == {"month.3", "month.5", "month.7", "month.9"}
    assert beginner.faults()["month.3"] == "The rain of month 3 is empty, so unknown."
    beginner.fill("climate", CLIMATE)
    beginner.fill("people", {"number": "0", "passphrase": "abc", "again": "abd", "network": "found", "title": ""})
    assert set(beginner.faults()) == {"number", "passphrase", "again", "title"}


@pytest.mark.parametrize("typed", ["13 44", "13° 44'", "13°44′N", "13 44 n"])
def test_a_latitude_in_degrees_and_minutes_is_not_read_as_decimals(beginner: Beginner, typed: str) -> None:
    """13 degrees 44 minutes are 13.733 degrees, not 13.44 (FAO-56 Example 7, from memory)."""
    beginner.fill("who", WHO)
    beginner.fill("where", WHERE | {"latitude": typed})
    assert beginner.faults() == {}
    beginner.fill("climate", CLIMATE)
    beginner.get("/set-up/people")
    assert "13.7333°" in beginner.page
    beginner.fill("where", WHERE | {"latitude": "13 44 S"})
    assert set(beginner.faults()) == {"latitude"}


def test_a_table_and_boxes_are_not_taken_together(beginner: Beginner) -> None:
    beginner.fill("who", WHO)
    beginner.fill("where", WHERE)
    beginner.fill("climate", by_boxes() | CLIMATE)
    assert beginner.faults() == {
        "table": "The boxes and the table are both filled in. Fill in the boxes or paste a table, not both."
    }
    beginner.fill("climate", {"table": "month,rain\n1,2"})
    assert "column rain_mm is missing" in beginner.faults()["table"]


def test_more_sun_than_the_place_has_day_is_said_beside_the_table(beginner: Beginner) -> None:
    head, *lines = CLIMATE["table"].strip().splitlines()
    sunny = "\n".join((f"{head},sun_h", *(f"{line},15" for line in lines)))
    beginner.fill("who", WHO)
    beginner.fill("where", WHERE)
    beginner.fill("climate", {"table": sunny})
    assert "The sunshine is 15 h, outside 0 to" in beginner.faults()["table"]
    beginner.fill("climate", CLIMATE)
    assert beginner.faults() == {}


def test_what_was_typed_stays_but_never_a_passphrase(beginner: Beginner) -> None:
    beginner.fill("who", {"letter": "t", "name": "<b>Thornpan</b>", "language_1": ""})
    assert 'value="&lt;b&gt;Thornpan&lt;/b&gt;"' in beginner.page
    for step in ("who", "where", "climate"):
        beginner.fill(step, PAGES[step])
    beginner.fill("people", PEOPLE | {"network": ""})
    assert beginner.status == 422
    assert PASSPHRASE not in beginner.page
    beginner.get("/set-up/where")
    assert 'value="13,4"' in beginner.page


def test_no_browser_keeps_what_was_typed(beginner: Beginner) -> None:
    beginner.fill("who", WHO)
    for step in ("who", "where"):
        beginner.get(f"/set-up/{step}")
        assert beginner.cached == "no-store"


def test_a_page_cannot_be_jumped_over(beginner: Beginner, place: Path) -> None:
    beginner.get("/set-up/people")
    assert beginner.went == "/set-up/who"
    beginner.fill("who", WHO)
    beginner.fill("where", WHERE | {"latitude": "x"})
    beginner.get("/set-up/climate")
    assert beginner.went == "/set-up/where"
    assert beginner.get("/set-up/nothing")
    assert beginner.status == 404
    assert is_vacant(place)


def test_only_this_machine_may_set_a_site_up(beginner: Beginner) -> None:
    for address in ("192.168.12.7", "10.0.0.4", "fe80::1", "::ffff:192.168.12.7"):
        beginner.get("/", environ_overrides={"REMOTE_ADDR": address})
        assert beginner.status == 422
        assert "whoever sits at the laptop" in beginner.page
    for address in ("127.0.0.1", "::1", "::ffff:127.0.0.1"):
        beginner.get("/", environ_overrides={"REMOTE_ADDR": address})
        assert beginner.status == 200
    beginner.get("/", headers={"Host": "garden.example"})
    assert beginner.status == 400


def test_a_form_without_its_token_begins_nothing(beginner: Beginner, place: Path) -> None:
    for step in ("who", "where", "climate"):
        beginner.fill(step, PAGES[step])
    response = beginner.client.post("/set-up/people", data=PEOPLE)
    assert response.status_code == 400
    assert is_vacant(place)


def test_once_begun_setting_up_is_gone(beginner: Beginner) -> None:
    beginner.fill_all()
    for path in ("/set-up/who", "/set-up/people"):
        beginner.get(path)
        assert beginner.status == 404
    beginner.get("/", environ_overrides={"REMOTE_ADDR": "192.168.12.7"})
    assert (beginner.status, "What do you see, or want to do?" in beginner.page) == (200, True)


def test_a_folder_that_was_filled_meanwhile_is_left_alone(beginner: Beginner, place: Path) -> None:
    place.mkdir(parents=True)
    (place / "letters.txt").write_text("not ours")
    beginner.fill_all()
    assert beginner.status == 422
    assert "There is already something in" in beginner.page
    assert [one.name for one in place.iterdir()] == ["letters.txt"]
    assert beginner.run.site is None


def test_a_disk_that_fills_up_in_between_leaves_no_half_site_and_it_can_be_tried_again(
    beginner: Beginner, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patched:
        patched.setattr(Notebook, "add_person", full)
        beginner.fill_all()
    assert beginner.status == 422
    assert "No space left on device" in beginner.page
    assert list(place.parent.iterdir()) == []
    beginner.fill("people", PEOPLE)
    assert beginner.run.site is not None


def test_a_new_site_is_not_set_up_over_the_hotspot(place: Path) -> None:
    with pytest.raises(WebError, match="at this laptop itself"):
        serve_first_run(place, host="192.168.12.1", port=0, say=print)
    assert not place.exists()


def test_serving_an_empty_folder_leads_through_the_pages_and_stopping_leaves_it_empty(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    command = [sys.executable, "-m", "fieldbook", "--site", str(tmp_path / "empty"), "serve", "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=dict(os.environ)) as program:
        assert program.stderr is not None
        said = program.stderr.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", said)
        assert address is not None, said
        with urllib.request.urlopen(address[0]) as page:
            assert "There is no site here yet" in page.read().decode()
        program.send_signal(signal.SIGINT)
        program.wait(10)
    assert list((tmp_path / "empty").iterdir()) == []
