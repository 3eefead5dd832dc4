"""Lending and borrowing a climate: by what sites say of themselves, marked, and never borrowed twice."""

from __future__ import annotations

import tempfile
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.normals import read_normals
from fieldbook.errors import FieldbookError
from fieldbook.notebook import Notebook
from fieldbook.review import body_faults
from fieldbook.site import Site, SiteError, begin_site, lenders_on
from fieldbook.site.borrowing import lenders_of
from tests.journeys.test_what_leaves import validator
from tests.orrendal import FACTS, NOON, fast_folder, noon, site_facts
from tests.sync.camps import files_of
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def own(letter: str) -> str:
    return site_facts(letter).normals


def said_of_place(site: Site, author: Site) -> list[dict[str, Any]]:
    """What one site has heard another say of its place, the newest last."""
    said = site.need_ledger().said_by(author.site_key.public)
    return [dict(body) for kind, body in said if kind == "fieldbook/site"]


def test_every_site_that_measured_can_lend_and_a_site_does_not_lend_to_itself(circle: Circle) -> None:
    assert [one.whose for one in circle["T"].lenders()] == [
        f"{letter} {FACTS[letter]['name']}" for letter in sorted("CLS")
    ]


def test_what_is_lent_is_what_was_said_rounded(circle: Circle) -> None:
    lender = circle["T"].lender("C")
    exact = circle["C"].normals()
    assert (lender.place.latitude_deg, lender.place.elevation_m) == (1, 1900)
    assert all(abs(said - true) <= 2.5 for said, true in zip(lender.normals.rain_mm, exact.rain_mm, strict=True))
    assert all(abs(said - true) <= 0.25 for said, true in zip(lender.normals.tmin_c, exact.tmin_c, strict=True))


def test_a_site_that_borrows_goes_by_the_other_climate_at_its_own_height_and_remembers_whose(circle: Circle) -> None:
    """Longshade lies at 560 m, Thornpan at 400 m as it says it: 160 m by 6.5 C a km are 1.04 C."""
    site, lender = circle["L"], circle["L"].lender("T")
    site.borrow_climate(lender)
    assert site.normals().rain_mm == lender.normals.rain_mm
    assert site.normals().tmax_c == pytest.approx([value - 1.04 for value in lender.normals.tmax_c], abs=0.006)
    assert site.borrowed_climate == {
        "site": circle["T"].site_key.public,
        "letter": "T",
        "name": FACTS["T"]["name"],
        "latitude_deg": 13,
        "elevation_m": 400,
        "height_difference_m": 160,
        "on": f"{NOON:%Y-%m-%dT%H:%M:%SZ}",
    }
    circle.open("L")
    assert circle["L"].normals().borrowed is not None
    for document in (circle["L"].calendar_document(), circle["L"].climate_document()):
        assert document["borrowed_climate"] == circle["L"].borrowed_climate
        assert document["how_sure"].startswith(f"climate of site T {FACTS['T']['name']}")


def test_a_site_that_borrows_and_moves_uphill_goes_by_colder_months_and_says_where_it_lies_now(circle: Circle) -> None:
    """Two hundred metres by 6.5 C a km (ISO 2533) are 1.3 C."""
    site = circle["L"]
    site.borrow_climate(site.lender("T"))
    before, stated = site.normals(), site.stated_place
    site.state_place(**(stated | {"place": stated["place"] | {"elevation_m": "760"}}))
    assert site.normals().tmin_c == pytest.approx([low - 1.3 for low in before.tmin_c], abs=0.011)
    assert site.normals().rain_mm == before.rain_mm
    assert site.borrowed_climate is not None
    assert float(site.borrowed_climate["height_difference_m"]) == 360
    assert said_of_place(circle["L"], circle["L"])[-1]["elevation_m"] == 800
    with pytest.raises(ClimateError, match="lie 1600 m apart in height"):
        site.state_place(**(stated | {"place": stated["place"] | {"elevation_m": "2000"}}))
    assert site.stated_place["place"]["elevation_m"] == "760"


def test_what_leaves_a_site_that_borrows_names_the_lender_and_no_months(circle: Circle) -> None:
    circle["L"].borrow_climate(circle["L"].lender("T"))
    circle.carry("LC")
    body = said_of_place(circle["C"], circle["L"])[-1]
    assert body == {
        "languages": FACTS["L"]["languages"],
        "latitude_deg": -25,
        "elevation_m": 600,
        "climate_from": circle["T"].site_key.public,
    }
    assert body_faults("fieldbook/site", body) == ()
    assert list(validator("site").iter_errors(body)) == []


def test_a_borrowed_climate_is_never_lent_again(circle: Circle) -> None:
    circle["L"].borrow_climate(circle["L"].lender("T"))
    circle.carry("LC")
    assert "L" not in {one.letter for one in circle["C"].lenders()}
    with pytest.raises(SiteError, match="no one site 'L' has a climate to lend") as refused:
        circle["C"].lender("L")
    assert refused.value.hint == "choose one of S, T"


def test_own_figures_later_are_said_to_all_and_can_be_lent(circle: Circle) -> None:
    circle["L"].borrow_climate(circle["L"].lender("T"))
    circle.carry("LC")
    circle["L"].own_climate(own("L"))
    assert circle["L"].borrowed_climate is None
    assert "borrowed" not in str(circle["L"].calendar().as_value())
    circle.carry("LC")
    assert "climate_from" not in said_of_place(circle["C"], circle["L"])[-1]
    assert "L" in {one.letter for one in circle["C"].lenders()}


def test_a_place_is_said_once_and_anew_only_where_it_changed(circle: Circle) -> None:
    for _ in range(2):
        circle.open("L")
    assert len(said_of_place(circle["L"], circle["L"])) == 1
    circle["L"].own_climate(own("L"))
    assert len(said_of_place(circle["L"], circle["L"])) == 1
    circle["L"].borrow_climate(circle["L"].lender("T"))
    circle.open("L")
    assert len(said_of_place(circle["L"], circle["L"])) == 2


def test_wrong_figures_change_nothing(circle: Circle) -> None:
    before = circle["L"].normals()
    with pytest.raises(ClimateError, match="column rain_mm is missing"):
        circle["L"].own_climate("month,rain\n1,2")
    with pytest.raises(ClimateError, match="apart in height"):
        circle["L"].borrow_climate(circle["L"].lender("C"))  # 1900 m against 560 m
    assert (circle["L"].normals(), circle["L"].borrowed_climate) == (before, None)


def test_facts_are_noted_all_or_none(tmp_path: Path) -> None:
    notebook = Notebook.create(tmp_path)
    notebook.set_facts({"normals": "one", "borrowed_climate": None})
    with pytest.raises(TypeError):
        notebook.set_facts({"normals": "two", "borrowed_climate": object()})
    assert notebook.fact("normals") == "one"
    notebook.close()


@pytest.mark.parametrize(
    "changed",
    [
        {"rain_mm": [1] * 11},
        {"rain_mm": "much"},
        {"tmin_c": [40] * 12},
        {"tmax_c": ["1,2\n3"] * 12},
        {"latitude_deg": 80},
        {"elevation_m": 8000},
        {"tmin_c": None},
    ],
)
def test_a_site_that_says_what_cannot_be_is_no_lender_and_breaks_nothing(
    circle: Circle, changed: dict[str, Any]
) -> None:
    """Such words can come from newer or broken software; a signature makes them genuine, not right."""
    site = circle["S"]
    ledger = site.need_ledger()
    (mine,) = [one for one in ledger.all_said() if one.kind == "fieldbook/site" and one.author == site.site_key.public]
    ledger.say(
        site.site_key,
        "fieldbook/site",
        {name: value for name, value in (site.rounded_facts() | changed).items() if value is not None},
        after=[mine.id],
        time=None,
        random=seeded("odd"),
    )
    assert "S" not in {one.letter for one in lenders_of(ledger)}


# before joining: by a stick alone


@pytest.fixture
def stick(circle: Circle) -> Path:
    circle.carry("CTLS")
    return circle.stick


def test_a_stick_shows_who_can_lend_and_stays_as_it_is(
    circle: Circle, stick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    before, seen = files_of(stick), list[str]()
    title, lenders = lenders_on(stick, random=seeded("look"), progress=lambda what, _done, _of: seen.append(what))
    assert title == circle["C"].network_title
    assert lenders == lenders_of(circle["C"].need_ledger())
    assert files_of(stick) == before
    assert "taking in text" in seen
    assert list(tmp_path.iterdir()) == []  # the store that was read into is gone


def test_a_damaged_stick_gives_what_verifies_and_is_left_as_it_was(circle: Circle, stick: Path) -> None:
    theirs = [*stick.glob(f"tried-ground-*/sites/{circle['S'].site_key.public[:26]}/*/text/*.bundle")]
    assert theirs
    for bundle in theirs:
        data = bytearray(bundle.read_bytes())
        data[len(data) // 2] ^= 1
        bundle.write_bytes(data)
    before = files_of(stick)
    _, lenders = lenders_on(stick, random=seeded("look"))
    assert {one.letter for one in lenders} == set("CTL")
    assert files_of(stick) == before


def test_a_stick_without_a_network_is_said_in_a_sentence(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="the carrier holds no network"):
        lenders_on(circle.new_stick(), random=seeded("look"))
    with pytest.raises(FieldbookError):
        lenders_on(circle.folder / "not there", random=seeded("look"))


def test_a_new_site_begins_with_a_borrowed_climate_and_says_so_once_it_is_let_in(circle: Circle, stick: Path) -> None:
    _, lenders = lenders_on(stick, random=seeded("look"))
    lender = next(one for one in lenders if one.letter == "T")
    facts = site_facts("L")
    here = circle["L"].place()
    lent = lender.lent_facts(here, now=NOON)
    new = type(facts)(**{**facts.__dict__, "letter": "D", "name": "Dry Well", **lent})
    folder = fast_folder() / "drywell"
    begin_site(folder, new, founding=None)
    site = Site.open(folder, clock=noon)
    try:
        assert site.normals().borrowed is not None
        assert read_normals(lent["normals"]).rain_mm == lender.normals.rain_mm
        site.request_join(stick)
        circle.carry("C")
        circle["C"].admit(site.words, signer=circle.signer("C1"))
        circle.carry("C")
        site.exchange(stick)
        circle.carry("C")
        assert said_of_place(circle["C"], site)[-1]["climate_from"] == circle["T"].site_key.public
    finally:
        site.close()
