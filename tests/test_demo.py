"""The demonstration: four sites really built, a stick really carried, and all of it said in plain lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.climate.year import date_words
from fieldbook.demo import DemoError, default_folder, run_demo
from fieldbook.site import Site
from fieldbook.site.starters import starter_entries
from tests.demonstration import FOLDERS, demonstration
from tests.orrendal import PLAN, noon
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.xdist_group("demonstration")  # it is built once in each process that asks for it


@pytest.fixture
def sites() -> Iterator[dict[str, Site]]:
    """The four sites of a copy of the demonstration, open."""
    folder = demonstration().copy()
    opened = {letter: Site.open(folder / name, clock=noon) for letter, name in FOLDERS.items()}
    yield opened
    for site in opened.values():
        site.close()


def test_it_lies_in_one_folder_by_the_names_of_the_sites() -> None:
    assert {path.name for path in demonstration().folder.iterdir()} == {*FOLDERS.values(), "stick", "done"}


def test_all_four_sites_verify_and_show_the_same_state(sites: dict[str, Site]) -> None:
    found = {letter: site.verify() for letter, site in sites.items()}
    assert all(one.ok for one in found.values())
    assert len({(one.state, one.set) for one in found.values()}) == 1
    assert {one.entries for one in found.values()} == {len(starter_entries())}


def test_a_verifier_that_shares_no_code_finds_the_stick_sound() -> None:
    assert check_carrier(demonstration().folder / "stick") == []


def test_cloudstep_founded_it_and_three_stewards_stand_now_two_of_whom_must_agree(sites: dict[str, Site]) -> None:
    for site in sites.values():
        assert site.ledger is not None
        who = site.ledger.who()
        assert {steward["label"] for steward in who["stewards"]} == {"C1", "L1", "S1"}
        assert who["threshold"] == 2
        assert {(one["label"], one["letter"]) for one in who["reviewers"]} == {("C3", "C"), ("L2", "L")}
        assert {one["letter"] for one in who["sites"]} == set("CTLS")
        assert {one["label"] for one in who["people"]} == {label for s in PLAN["sites"] for label, _ in s["people"]}
        assert who["rivals"] == []
    network = next((demonstration().folder / "stick").glob("tried-ground-*/network.json")).read_text(encoding="utf-8")
    assert network.count('"signature"') == 1  # founded by one of one


def test_everybody_signs_in_with_the_passphrase_that_was_said(sites: dict[str, Site]) -> None:
    for label in ("C1", "L2", "S3"):
        assert sites[label[0]].unlock(label, demonstration().passphrase).label == label
    with pytest.raises(Exception, match="passphrase"):
        sites["C"].unlock("C1", demonstration().passphrase + "x")


def test_every_starter_entry_is_written_by_its_trainer_and_approved_with_the_answers_beside_it(
    sites: dict[str, Site],
) -> None:
    site = sites["T"]
    pages = {page.title["en"]: page for page in (site.page(card.entry) for card in site.cards())}
    assert len(pages) == len(starter_entries())
    for starter in starter_entries():
        page = pages[starter.document["title"]["en"]]
        assert page.line.author == starter.writer
        assert page.state == "approved"
        said = {approval["reviewer"]: approval for approval in starter.approvals}
        assert {approval.by for approval in page.approvals} == set(said)
        for approval in page.approvals:
            wanted = said[approval.by]["answers"]
            open_rules = {one.rule for one in site.findings(page.line.edition) if one.result in {"answer", "unknown"}}
            assert set(approval.answers) == open_rules
            assert all(words == " ".join(wanted[rule].split()) for rule, words in approval.answers.items())


def test_every_photo_of_an_entry_has_come_to_every_site(sites: dict[str, Site]) -> None:
    for site in sites.values():
        photos = [photo for card in site.cards() for photo in site.page(card.entry).document["photos"]]
        assert photos
        for photo in photos:
            assert site.attachment(photo["ref"]) is not None
            assert site.attachment(photo["thumb"]) is not None


def test_what_it_says_happened_is_what_the_sites_show(sites: dict[str, Site]) -> None:
    lines = demonstration().lines
    for letter in "CTLS":
        (line,) = (line for line in lines if line.startswith(f"Amaranth at {letter}: "))
        windows = sites[letter].calendar_document(crops=["amaranth"])["windows"]
        assert line.endswith(", ".join(f"{date_words(one['start'])} to {date_words(one['end'])}" for one in windows))
    (line,) = (line for line in lines if "vidukari kwenye sukuma" in line)
    (hit,) = sites["S"].search("vidukari kwenye sukuma", limit=1)
    assert line.endswith(hit.title)
    assert any("all four show the same state" in line for line in lines)
    assert all("\n" not in line for line in lines)


def test_something_is_due_in_the_bed_book_of_the_first_site(sites: dict[str, Site]) -> None:
    assert [spot.label for spot in sites["C"].beds.spots()] == ["B3", "B4", "U2"]
    today = sites["C"].beds.spot("B4").count.date(20)  # the day on which it was built
    assert [
        (line.place.label, line.due.task.key.partition("-")[2])
        for line in sites["C"].due.ahead(today, days=7)
        if line.place.about.startswith("spot-")
    ] == [
        ("B3", "out"),
        ("B4", "pick"),
    ]
    assert all(not sites[letter].beds.spots() for letter in "TLS")


def test_a_practice_is_in_use_at_the_first_site_and_its_steps_are_due(sites: dict[str, Site]) -> None:
    """Its slip holds, so that nobody learns from the demonstration to begin on answers that do not."""
    (begun,) = sites["C"].starting.begun()
    (slip,) = sites["C"].starting.slips()
    assert (slip.outcome.may_begin, slip.standing, slip.slip.place) == (True, "", begun.place)
    today = sites["C"].beds.spot("B4").count.date(20)
    steps = [line for line in sites["C"].due.ahead(today, days=1) if line.place.about == f"begun-{begun.number}"]
    assert len(steps) == sum(
        step.get("day_offset") == 0 for step in sites["C"].entry_value(begun.edition).rows("steps")
    )
    assert steps
    assert all(not sites[letter].starting.begun() for letter in "TLS")


def test_the_board_of_the_first_site_names_two_roles_and_their_places(sites: dict[str, Site]) -> None:
    assert [line.role for line in sites["C"].callers.lines()] == ["builder", "health-officer"]
    assert all(line.where for line in sites["C"].callers.lines())
    assert all(not sites[letter].callers.lines() for letter in "TLS")


def test_built_again_it_says_that_it_is_there_and_changes_nothing() -> None:
    folder = demonstration().copy()
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    lines: list[str] = []
    run_demo(folder, port=None, passphrase="another one entirely", say=lines.append)
    assert lines == [f"The four sites are in {folder} already; their passphrase is what it was."]
    assert before == {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_folder_with_something_else_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear aunt", encoding="utf-8")
    with pytest.raises(DemoError, match="there is something else in") as refusal:
        run_demo(tmp_path, port=None, passphrase="four odd words here", say=lambda _: None)
    assert "--data" in refusal.value.hint
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_folder_that_cannot_be_made_is_refused_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(DemoError, match="cannot be written"):
        run_demo(tmp_path / "file" / "demo", port=None, passphrase="four odd words here", say=lambda _: None)


def test_a_build_that_fails_on_the_way_leaves_nothing(tmp_path: Path) -> None:
    """A passphrase that is too short is refused when the first site begins."""
    with pytest.raises(Exception, match="passphrase is shorter"):
        run_demo(tmp_path / "demo", port=None, passphrase="abc", say=lambda _: None)
    assert list(tmp_path.iterdir()) == []


def test_without_a_folder_it_goes_to_the_users_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_folder() == tmp_path / "tried-ground-demo"
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_folder() == tmp_path / ".local" / "share" / "tried-ground-demo"


def test_the_log_of_one_site_tells_when_its_rains_began(sites: dict[str, Site]) -> None:
    document = sites["T"].weather.document()
    assert document["brought"][0]["whose"] == "the gauge at the water point, read by its keepers (invented)"
    (rains,) = document["onsets"]
    assert rains["known_seasons"] >= 10
    assert rains["weeks"]
    assert {one["outcome"] for one in rains["seasons"]} == {"began", "none", "unknown"}
    assert any(one["false_starts"] for one in rains["seasons"])
    assert sites["L"].weather.document()["days"] == 0


def test_one_practice_was_compared_at_three_sites_and_every_site_shows_one_figure_as_a_hint(
    sites: dict[str, Site],
) -> None:
    for site in sites.values():
        (entry,) = {one.entry for one in site.trials.every()}
        (group,) = site.trials.judged(entry).groups
        assert (group.shown, group.k, [one.site for one in group.sites]) == ("few-sites", 3, ["C", "L", "S"])
        assert group.pooled is not None
