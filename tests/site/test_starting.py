"""Beginning a practice at a place: what is kept, what makes it lapse, and what never leaves."""

from __future__ import annotations

import datetime as dt
import gzip
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.review.lapsing import EXCHANGES_MOST
from fieldbook.review.slip_answers import SlipError
from fieldbook.site import Signer, SiteError
from fieldbook.tasks.days import TaskError
from tests.orrendal import NOON, practice
from tests.review.practice import BARE, LETTUCE, facts
from tests.roofs import ANSWERS, PLACE, roof_bed

if TYPE_CHECKING:
    from fieldbook.site import JudgedSlip, Starting
    from tests.orrendal import Circle

YEAR_2000 = dt.datetime(2000, 1, 1, 6, 0, tzinfo=dt.UTC)
YEAR_1970 = dt.datetime(1970, 1, 1, 0, 0, tzinfo=dt.UTC)


@pytest.fixture
def edition(circle: Circle) -> str:
    """A bed on a roof, written at C."""
    return circle.write("C1", roof_bed())


def starting(circle: Circle) -> Starting:
    return circle["C"].starting


def answer(circle: Circle, edition: str, *, place: str = PLACE, **answers: Any) -> JudgedSlip:
    return starting(circle).answer(edition, place=place, answers=ANSWERS | answers, signer=circle.signer("C1"))


def at(circle: Circle, time: dt.datetime) -> None:
    """Open C again with another clock."""
    circle.open("C", clock=lambda: time)


def test_a_practice_begins_on_answers_that_hold(circle: Circle, edition: str) -> None:
    slip = answer(circle, edition)
    assert slip.may_begin
    begun = starting(circle).begin(slip.slip.number, signer=circle.signer("C1"))
    assert starting(circle).begun() == (begun,)
    assert (begun.edition, begun.place, begun.day, begun.slip) == (edition, PLACE, NOON.date(), slip.slip.number)
    assert begun.entry == circle["C"].entry_id(edition)
    assert starting(circle).begin(slip.slip.number, signer=circle.signer("C1")) == begun  # once is enough


def test_it_does_not_begin_above_what_the_builder_stated(circle: Circle, edition: str) -> None:
    slip = answer(circle, edition, safe_load_kg_m2="97.6")
    assert not slip.may_begin
    with pytest.raises(SiteError, match="this may not begin here yet: The wet weight is above the stated limit"):
        starting(circle).begin(slip.slip.number, signer=circle.signer("C1"))
    assert starting(circle).begun() == ()
    assert answer(circle, edition, safe_load_kg_m2="97.6", depth_cm="5").may_begin


def test_answers_of_a_place_stand_in_the_place_of_what_it_answered_before(circle: Circle, edition: str) -> None:
    first = answer(circle, edition, engineer_ok="unknown")
    again = answer(circle, edition, place="  Roof of  block C ")
    other = answer(circle, edition, place="roof of block D")
    assert [one.slip.number for one in starting(circle).slips()] == [first.slip.number, other.slip.number]
    assert again.slip.number == first.slip.number
    assert again.may_begin


def test_what_is_kept_is_there_again_when_the_site_is_opened_again(circle: Circle, edition: str) -> None:
    slip = starting(circle).answer(
        edition, place=PLACE, answers=ANSWERS, said_on={"builder": "2026-11-01"}, signer=circle.signer("C1")
    )
    circle.open("C")
    assert starting(circle).slips() == (slip,)
    assert slip.slip.said_on == {"builder": dt.date(2026, 11, 1)}


# lapsing


@pytest.mark.parametrize(
    ("time", "holds"),
    [
        (dt.datetime(2027, 11, 24, 23, 30, tzinfo=dt.UTC), True),
        (dt.datetime(2027, 11, 25, 0, 30, tzinfo=dt.UTC), False),
    ],
)
def test_answers_hold_until_the_same_day_a_year_later(
    circle: Circle,
    edition: str,
    time: dt.datetime,
    holds: bool,  # noqa: FBT001
) -> None:
    """An hour apart: half an hour before midnight and half an hour after."""
    number = answer(circle, edition).slip.number
    at(circle, time)
    assert starting(circle).slip(number).may_begin is holds


def test_a_year_counts_from_the_word_of_whoever_was_asked(circle: Circle, edition: str) -> None:
    given = {"builder": "2025-11-26"}
    slip = starting(circle).answer(edition, place=PLACE, answers=ANSWERS, said_on=given, signer=circle.signer("C1"))
    assert slip.may_begin
    at(circle, NOON + dt.timedelta(days=1))
    lapsed = starting(circle).slip(slip.slip.number)
    assert lapsed.lapse is not None
    assert lapsed.lapse.words == "these answers are of 2025-11-26: twelve months have passed"


@pytest.mark.parametrize("clock", [YEAR_1970, YEAR_2000])
def test_with_a_clock_that_is_wrong_exchanges_are_counted_and_a_trainer_is_asked(
    circle: Circle, edition: str, clock: dt.datetime
) -> None:
    at(circle, clock)
    slip = answer(circle, edition)
    assert (slip.slip.day, slip.may_begin) == (None, True)
    circle["C"].notebook.set_fact("exchanges", slip.slip.exchanges + EXCHANGES_MOST)
    lapsed = starting(circle).slip(slip.slip.number)
    assert lapsed.lapse is not None
    assert lapsed.lapse.by == "exchanges"
    with pytest.raises(SiteError, match="6 exchanges have passed"):
        starting(circle).begin(slip.slip.number, signer=circle.signer("C1"))
    assert starting(circle).still_so(slip.slip.number, signer=circle.signer("C1")).may_begin
    for more, holds in ((EXCHANGES_MOST - 1, True), (1, False)):  # asked again after six more, and not before
        now = int(circle["C"].notebook.fact("exchanges") or 0)
        circle["C"].notebook.set_fact("exchanges", now + more)
        assert starting(circle).slip(slip.slip.number).may_begin is holds


def test_a_practice_begun_without_a_clock_has_no_day(circle: Circle, edition: str) -> None:
    at(circle, YEAR_1970)
    begun = starting(circle).begin(answer(circle, edition).slip.number, signer=circle.signer("C1"))
    assert begun.day is None


def test_a_storm_ends_what_was_said_of_a_roof_at_once(circle: Circle, edition: str) -> None:
    slip, elsewhere = answer(circle, edition), answer(circle, edition, place="roof of block D")
    starting(circle).happened("storm", place=PLACE, signer=circle.signer("C1"))
    assert not starting(circle).slip(slip.slip.number).may_begin
    assert starting(circle).slip(elsewhere.slip.number).may_begin
    with pytest.raises(SiteError, match="these answers have lapsed"):
        starting(circle).still_so(slip.slip.number, signer=circle.signer("C1"))
    assert answer(circle, edition).may_begin  # asked again after the storm
    starting(circle).happened("storm", signer=circle.signer("C1"))
    assert not any(one.may_begin for one in starting(circle).slips())


def test_an_event_that_changes_nothing_of_it_leaves_answers_as_they_are(circle: Circle) -> None:
    spray = circle.write("C1", practice("A spray", facts=facts(soil={"source": "clean"})))
    slip = starting(circle).answer(spray, place="bed B3", answers={"soil_clean": "yes"}, signer=circle.signer("C1"))
    for event in ("storm", "rebuild"):
        starting(circle).happened(event, signer=circle.signer("C1"))
    assert starting(circle).slip(slip.slip.number).may_begin
    starting(circle).happened("flood", signer=circle.signer("C1"))
    assert not starting(circle).slip(slip.slip.number).may_begin
    assert [one.event for one in starting(circle).events()] == ["storm", "rebuild", "flood"]


# what the bed book tells


@pytest.fixture
def at_beds(circle: Circle) -> dict[str, int]:
    """Slips of a practice on the ground at several places, all of which may begin; by place."""
    spray = circle.write("C1", practice("A spray", facts=facts(soil={"source": "clean"})))
    for label in ("B3", "B4", "B33"):
        circle["C"].beds.add(label, kind="bed", day_zero="2026-11-01")
    places = ("B3", "two sacks beside bed b 3", "bed B4", "B33", "AB3", "roof of block B, 3 boxes")
    signer = circle.signer("C1")
    slips = (starting(circle).answer(spray, place=one, answers={"soil_clean": "yes"}, signer=signer) for one in places)
    return {slip.slip.place: slip.slip.number for slip in slips if slip.may_begin}


def lapsed(circle: Circle, at_beds: dict[str, int]) -> set[str]:
    assert len(at_beds) == 6
    return {place for place, number in at_beds.items() if not starting(circle).slip(number).may_begin}


@pytest.mark.parametrize("water", ["flood", "drain"])
def test_a_flood_at_b3_lapses_the_slips_of_b3_and_no_other(circle: Circle, at_beds: dict[str, int], water: str) -> None:
    circle["C"].changing.flood(["B3"], water, "2026-11-25")
    assert lapsed(circle, at_beds) == {"B3", "two sacks beside bed b 3"}


def test_a_flood_that_could_not_be_noted_lapses_nothing(circle: Circle, at_beds: dict[str, int]) -> None:
    for labels, day in ((["B3", "Z9"], "2026-11-25"), (["B3"], "2027-11-25"), ([], "2026-11-25")):
        with pytest.raises(TaskError):
            circle["C"].changing.flood(labels, "flood", day)
    with pytest.raises(TaskError):
        circle["C"].changing.leave(["B3", "Z9"], "2026-11-25")
    assert lapsed(circle, at_beds) == set()


def test_other_things_that_are_noted_at_a_bed_lapse_nothing(circle: Circle, at_beds: dict[str, int]) -> None:
    circle["C"].beds.write_down("B3", "dung", "2026-11-25")
    assert lapsed(circle, at_beds) == set()


@pytest.mark.parametrize("left", [["B4"], []])
def test_a_move_lapses_the_slips_of_all_places(circle: Circle, at_beds: dict[str, int], left: list[str]) -> None:
    circle["C"].changing.leave(left, "2026-11-25")
    assert lapsed(circle, at_beds) == set(at_beds)


# editions that were stopped or replaced


def test_a_slip_of_a_withdrawn_edition_begins_nothing_and_what_was_begun_says_so(circle: Circle, edition: str) -> None:
    slip = answer(circle, edition)
    starting(circle).begin(slip.slip.number, signer=circle.signer("C1"))
    circle.recall("C3", edition)
    assert starting(circle).slip(slip.slip.number).against == "it was withdrawn: do not use it"
    assert [one.stop for one in starting(circle).begun()] == ["it was withdrawn: do not use it"]
    with pytest.raises(SiteError, match="this practice was withdrawn"):
        answer(circle, edition)


@pytest.mark.parametrize("stop", ["hold", "send_back"])
def test_a_slip_of_a_stopped_edition_begins_nothing(circle: Circle, edition: str, stop: str) -> None:
    slip = answer(circle, edition)
    getattr(circle["C"], stop)(edition, signer=circle.signer("C3"), reason="Look at it again.")
    found = starting(circle).slip(slip.slip.number)
    assert not found.may_begin
    assert found.against in {"it is paused at this site", "it was sent back to its author"}


def test_a_newer_edition_is_asked_anew(circle: Circle, edition: str) -> None:
    slip = answer(circle, edition)
    newer = circle.write("C1", roof_bed(wick={"rise_cm": 10, "medium": "cloth"}), after=[edition])
    found = starting(circle).slip(slip.slip.number)
    assert found.against == "a newer edition took its place: answer the questions of that one"
    assert answer(circle, newer).may_begin


def test_what_another_site_wrote_waits_for_a_reviewer(circle: Circle) -> None:
    theirs = circle.write("T1", roof_bed())
    circle.carry("TC")
    assert answer(circle, theirs).against == "no reviewer has approved it yet"
    circle["C"].approve(theirs, signer=circle.signer("C3"), answers=dict.fromkeys(("STR-01", "STR-02"), "asked for"))
    assert answer(circle, theirs).may_begin


def test_an_edition_that_the_rules_stop_begins_nothing(circle: Circle) -> None:
    raw = {"kind": "hen_manure", "treatment": "raw", **BARE, "wait_d": 10}
    stopped = circle.write("C1", practice("Two weeks", facts=facts(inputs=[raw], crop=LETTUCE)))
    assert answer_nothing(circle, stopped).against == "the safety rules stop it as it stands"


def answer_nothing(circle: Circle, edition: str) -> JudgedSlip:
    return starting(circle).answer(edition, place="bed B3", answers={}, signer=circle.signer("C1"))


def test_the_limits_of_an_approval_stand_with_the_slip(circle: Circle, edition: str) -> None:
    circle["C"].approve(
        edition,
        signer=circle.signer("C3"),
        answers=dict.fromkeys(("STR-01", "STR-02"), "asked for"),
        limits=["only with clean water"],
    )
    assert answer(circle, edition).limits == ("only with clean water",)


def test_each_animal_of_an_entry_is_asked_about(circle: Circle) -> None:
    animals = [{"species": species} for species in ("goat", "hen", "rabbit")]
    yard = circle.write("C1", practice("A yard", facts=facts(animals=animals)))
    slip = starting(circle).answer(yard, place="the yard", answers={"hen_n": "3"}, signer=circle.signer("C1"))
    asked = [question.words for question in slip.questions]
    for animals_said in ("grown goats", "hens", "rabbits"):
        assert f"How many {animals_said} will live here, all together?" in asked
    assert slip.slip.answers == {"hen_n": "3"}
    assert not slip.may_begin


# bad input


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("", "no place was named"),
        (" \t ", "no place was named"),
        ("x" * 61, "the words for the place are too long"),
        ("call 0712 345 678", "the words for the place hold a long number or an address"),
        ("me@block", "the words for the place hold a long number or an address"),
    ],
)
def test_a_place_is_a_few_words_that_tell_nobody_else_anything(
    circle: Circle, edition: str, place: str, says: str
) -> None:
    with pytest.raises(SiteError, match=says):
        answer(circle, edition, place=place)
    assert starting(circle).slips() == ()


def test_answers_that_contradict_each_other_are_not_kept(circle: Circle) -> None:
    raw = {"kind": "hen_manure", "treatment": "raw", **BARE}
    dunged = circle.write("C1", practice("Dung", facts=facts(inputs=[raw | {"wait_d": 130}], crop=LETTUCE)))
    days = {"applied_on": "2026-03-02", "harvest_on": "2026-03-01"}
    with pytest.raises(SlipError, match="the harvest is before the dung"):
        starting(circle).answer(dunged, place="bed B3", answers=days, signer=circle.signer("C1"))
    assert starting(circle).slips() == ()


@pytest.mark.parametrize(("day", "says"), [("soon", "is no day of the calendar"), ("2026-11-26", "has not come yet")])
def test_the_day_of_a_word_is_a_day_that_has_been(circle: Circle, edition: str, day: str, says: str) -> None:
    with pytest.raises(SlipError, match=says):
        starting(circle).answer(
            edition, place=PLACE, answers=ANSWERS, said_on={"builder": day}, signer=circle.signer("C1")
        )


def test_only_a_trainer_answers_begins_and_ends(circle: Circle, edition: str) -> None:
    volunteer = Signer("C2", frozenset({"volunteer"}), circle.keys["C1"])
    number = answer(circle, edition).slip.number
    begun = starting(circle).begin(number, signer=circle.signer("C1"))
    doings = (
        lambda: starting(circle).answer(edition, place=PLACE, answers=ANSWERS, signer=volunteer),
        lambda: starting(circle).begin(number, signer=volunteer),
        lambda: starting(circle).still_so(number, signer=volunteer),
        lambda: starting(circle).happened("storm", signer=volunteer),
        lambda: starting(circle).end(begun.number, signer=volunteer),
    )
    for doing in doings:
        with pytest.raises(SiteError, match="only a trainer begins and ends practices"):
            doing()


def test_what_is_not_there_is_said(circle: Circle) -> None:
    with pytest.raises(SiteError, match="there is no such slip here"):
        starting(circle).slip(7)
    with pytest.raises(SiteError, match="this practice is not in use here"):
        starting(circle).end(7, signer=circle.signer("C1"))
    with pytest.raises(SiteError, match="what happened is not known here"):
        starting(circle).happened("earthquake", signer=circle.signer("C1"))


def test_a_practice_that_ended_is_in_use_no_more_and_may_begin_again(circle: Circle, edition: str) -> None:
    number = answer(circle, edition).slip.number
    begun = starting(circle).begin(number, signer=circle.signer("C1"))
    starting(circle).end(begun.number, signer=circle.signer("C1"))
    assert starting(circle).begun() == ()
    assert starting(circle).begin(number, signer=circle.signer("C1")).number > begun.number


def test_a_slip_of_newer_software_is_read_as_far_as_it_is_known(circle: Circle, edition: str) -> None:
    entry = circle["C"].entry_id(edition)
    strange = {"edition": edition, "answers": {"engineer_ok": "by telephone"}, "said_on": {"king": "2026-11-01"}}
    circle["C"].notebook.add_record("slip", strange | {"day": "yesterday"}, about=entry)
    (slip,) = starting(circle).slips()
    assert (slip.may_begin, slip.slip.day, dict(slip.slip.said_on)) == (False, None, {})


def test_nothing_of_it_is_ever_on_a_stick_or_at_another_site(circle: Circle, edition: str) -> None:
    slip = answer(circle, edition, place="the red roof by the pump")
    starting(circle).begin(slip.slip.number, signer=circle.signer("C1"))
    starting(circle).happened("storm", place="the red roof by the pump", signer=circle.signer("C1"))
    circle.carry("CTLSC")
    holding = set()
    for folder in (circle.stick, *(circle.place(letter) for letter in "CTLS")):
        for path in folder.rglob("*"):
            data = path.read_bytes() if path.is_file() else b""
            if b"the red roof" in (gzip.decompress(data) if path.suffix == ".bundle" else data):
                holding.add(path.relative_to(circle.folder).as_posix())
    assert holding
    assert {name.rpartition("/")[2].partition("-")[0] for name in holding} == {"notebook.sqlite"}
    assert all(name.startswith(circle.place("C").name) for name in holding)
