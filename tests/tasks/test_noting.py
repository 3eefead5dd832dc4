"""What may be noted in the bed book: nothing impossible, and no picking inside a wait."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.tasks.bars import HANGS_CLEAR, TOUCHES_SOIL, earliest_day
from fieldbook.tasks.days import TaskError
from fieldbook.tasks.noting import breaches, checked, drawn
from fieldbook.tasks.spots import (
    WAIT_WORDS,
    WHATS,
    Happening,
    believed,
    filled_on,
    read_label,
    standing,
    struck_out,
)
from tests.tasks.gardens import HAND, MARCH, bed, crops, happened, planted

KALE = planted("kale", 0, 5, raised="seedling")


def note(new: Happening, *history: Happening, today: int | None = 400, **spot: object) -> Happening:
    return checked(new, bed(**spot), history, crops=crops(), today=today)  # type: ignore[arg-type]


def test_a_picking_inside_a_wait_is_refused_with_the_earliest_day() -> None:
    dung = happened("dung", 0)
    with pytest.raises(TaskError) as refused:
        note(happened("picked", 119), dung, KALE)
    assert refused.value.message == "B3 may not be picked on 28 June 2026: dung on 1 March 2026 asks for 120 days"
    assert refused.value.hint.startswith("wait until 29 June 2026;")
    assert note(happened("picked", 120), dung, KALE).crop == "kale"


@pytest.mark.parametrize("what", sorted(WAIT_WORDS))
def test_whatever_asks_for_a_wait_is_named_in_the_refusal(what: str) -> None:
    new = happened(what, 10, until=50, wait_days=9, stored_days=60, said="soap")
    with pytest.raises(
        TaskError, match=f"may not be picked on 12 March 2026: {WAIT_WORDS[what]} on 11 March 2026 asks"
    ):
        note(happened("picked", 11), new, KALE)


def test_days_marked_by_hand_give_the_same_refusal() -> None:
    with pytest.raises(TaskError, match="on day 119: dung on day 0 asks for 120 days") as refused:
        note(happened("picked", 119), happened("dung", 0), KALE, count=HAND)
    assert "day 120" in refused.value.hint


def test_of_two_crops_in_one_bed_the_stricter_decides_unless_one_is_named() -> None:
    maize = planted("maize", 0, 6, contact="edible_none")
    history = (happened("dung", 0), KALE, maize)
    with pytest.raises(TaskError, match="asks for 120 days"):
        note(happened("picked", 100), *history)
    assert note(happened("picked", 100, crop="maize"), *history).crop == "maize"


@pytest.mark.parametrize(
    ("day", "history"),
    [
        (3, ()),
        (3, (planted("kale", 4, 5, raised="seedling"),)),
        (30, (KALE, happened("cleared", 20))),
        (30, (planted("kale", 0, 5, raised="nursery"),)),
    ],
    ids=["nothing planted", "before the planting", "after it was cleared", "still in the nursery"],
)
def test_nothing_is_picked_where_nothing_stood(day: int, history: tuple[Happening, ...]) -> None:
    with pytest.raises(TaskError, match="nothing to pick stood in B3") as refused:
        note(happened("picked", day), *history)
    assert refused.value.hint.startswith("note the planting")


def test_nothing_is_noted_before_it_happens() -> None:
    with pytest.raises(TaskError, match="2 March 2026 is yet to come"):
        note(happened("dung", 1), today=0)
    assert note(happened("dung", 1), today=None).day == 1


def test_all_that_counts_for_a_wait_has_words_for_a_stake() -> None:
    assert {what for what, one in WHATS.items() if one.counts_as} == set(WAIT_WORDS)


@pytest.mark.parametrize("what", ["filled", "cleaned", "meteor", ""])
def test_only_what_happens_at_a_bed_is_noted_there(what: str) -> None:
    with pytest.raises(TaskError, match="is no thing that happens at B3"):
        note(happened(what, 0))


def test_a_leaf_is_never_said_to_hang_clear_of_the_soil() -> None:
    with pytest.raises(TaskError, match=r"of Kale .* it cannot be said that what is eaten hangs clear"):
        note(planted("kale", 0, contact="edible_none"))
    with pytest.raises(TaskError, match="it cannot be said that nobody eats"):
        note(planted("groundnut", 0, contact="not_eaten"))
    with pytest.raises(TaskError, match="it cannot be said that what is eaten touches soil"):
        note(planted("marigold", 0))
    assert note(planted("tomato", 0, contact="edible_none", raised="seedling")).contact == "edible_none"
    assert note(planted("marigold", 0, contact="")).contact == "not_eaten"
    assert note(planted("groundnut", 0, contact="")).contact == "edible_soil"


def test_a_crop_is_begun_as_it_can_be() -> None:
    with pytest.raises(TaskError, match="is not begun in this way"):
        note(planted("maize", 0, raised="nursery"))
    with pytest.raises(TaskError, match="the crop table has no 'stone'"):
        note(planted("stone", 0))


def plan(crop: str, raised: str, day: int) -> Happening:
    return happened("planned", day, crop=crop, raised=raised)


def test_a_plan_whose_first_bite_lies_inside_a_wait_is_refused_with_the_earliest_day_to_plant() -> None:
    """Safety reference, section 4.5, worked: dung of 20 May allows kale of 3 August; dung of 21 May a day later."""
    dung, august = MARCH.read("2026-05-20"), MARCH.read("2026-08-03")
    assert note(plan("kale", "seedling", august), happened("dung", dung), today=0).day == august
    with pytest.raises(TaskError) as refused:
        note(plan("kale", "seedling", august), happened("dung", dung + 1), today=0)
    assert refused.value.message == (
        "Kale / collard / sukuma wiki of 3 August 2026 would be eaten from 17 September 2026: dung on 21 May 2026 asks "
        "for 120 days"
    )
    assert refused.value.hint.startswith("choose 4 August 2026 or later")
    nursery = note(plan("kale", "nursery", august), happened("dung", dung + 28), today=0)
    assert nursery.contact == "edible_soil"  # 28 days in the nursery come on top
    with pytest.raises(TaskError, match="would be eaten from 3 August 2026"):
        note(plan("beetroot", "seed", august), happened("dung", august - 119), today=0)


def test_seedlings_are_planted_out_of_a_nursery_that_was_sown_before() -> None:
    sown = planted("kale", 5, 7, raised="nursery")
    assert note(happened("planted_out", 40), sown).of == 7
    with pytest.raises(TaskError, match="they were sown on 6 March 2026, later than 4 March 2026"):
        note(happened("planted_out", 3), sown)
    with pytest.raises(TaskError, match="no seedlings of B3 wait in a nursery"):
        note(happened("planted_out", 50), sown, happened("planted_out", 40, of=7))


def test_a_spray_says_what_it_was_and_an_officer_says_until_when() -> None:
    with pytest.raises(TaskError, match="not said what was sprayed"):
        note(happened("spray", 0, said="  "))
    with pytest.raises(TaskError, match="-1 is no number of days to wait"):
        note(happened("spray", 0, said="soap", wait_days=-1))
    with pytest.raises(TaskError, match="names no day after"):
        note(happened("officer", 5, until=4, said="health officer"))
    with pytest.raises(TaskError, match="not said whose word it is"):
        note(happened("officer", 5, until=40))


def test_dung_noted_late_shows_what_was_picked_inside_its_wait() -> None:
    picked = happened("picked", 60, crop="kale")
    assert breaches(bed(), [KALE, picked], crops()) == ()
    assert breaches(bed(), [KALE, picked, happened("dung", 30)], crops()) == (picked,)
    assert breaches(bed(), [KALE, picked, happened("dung", 61)], crops()) == ()


# cans


CAN = bed(kind="can", label="U2", holds="urine")


def draw(day: int, *fillings: Happening, shared: bool = False, can_holds: str = "urine") -> Happening:
    can = bed(kind="can", label="U2", holds=can_holds)
    return drawn(happened("urine", day), bed(shared=shared), can, fillings, can_day=day)


def test_urine_is_drawn_after_a_month_and_for_others_after_six() -> None:
    """WHO Guidelines (2006) vol. 4, as quoted: 1 month, 6 months."""
    filled = happened("filled", 0)
    assert draw(30, filled).stored_days == 30
    with pytest.raises(TaskError, match="U2 has stood 29 days, and B3 needs 30") as refused:
        draw(29, filled)
    assert refused.value.hint.startswith("wait until 31 March 2026; if it went in already, note it as fresh urine")
    with pytest.raises(TaskError, match="U2 has stood 30 days, and B3 needs 180"):
        draw(30, filled, shared=True)


def test_a_can_that_was_emptied_is_not_used_twice_and_a_new_filling_begins_anew() -> None:
    emptied = happened("emptied", 40)
    with pytest.raises(TaskError, match="U2 holds nothing on 20 April 2026"):
        draw(50, happened("filled", 0), emptied)
    with pytest.raises(TaskError, match="U2 has stood 20 days"):
        draw(70, happened("filled", 0), emptied, happened("filled", 50))
    with pytest.raises(TaskError, match="U2 holds nothing"):
        checked(emptied, CAN, [], crops=crops(), today=None)
    assert draw(45, happened("filled", 0), happened("filled", 10)).stored_days == 35
    assert filled_on([happened("filled", 0), emptied]) is None


def test_only_urine_is_drawn_from_a_can_as_urine() -> None:
    with pytest.raises(TaskError, match="U2 holds no human urine"):
        draw(60, happened("filled", 0), can_holds="dung_steep")


# labels


@pytest.mark.parametrize("typed", ["", "B", "3", "B" * 40, "B0", "B1000", "ABC1", "B-3", "B3; drop", "ب٣", "B３"])
def test_a_label_is_a_letter_with_a_number(typed: str) -> None:
    with pytest.raises(TaskError, match="is no letter with a number") as refused:
        read_label(typed)
    assert len(refused.value.message) < 60
    assert read_label(" b3 ") == "B3"


def test_what_is_struck_out_needs_a_reason() -> None:
    with pytest.raises(TaskError, match="not said why"):
        struck_out(happened("cleared", 0), "  ", by="C1", trainer=True)
    assert struck_out(happened("cleared", 0), "it was bed B4", by="C2", trainer=False).struck == "it was bed B4"


@pytest.mark.parametrize("what", [*WAIT_WORDS, "filled"])
def test_no_wait_ends_sooner_by_one_persons_word(what: str) -> None:
    """Ours, after safety reference 4.4: the longer wait holds; two people, one of them a trainer, end it."""
    first = struck_out(happened(what, 0), "it was B4", by="C1", trainer=True)
    assert (first.struck, first.doubted, standing([first])) == ("", "it was B4", (first,))
    with pytest.raises(TaskError, match="C1 has said already"):
        struck_out(first, "it was B4", by="C1", trainer=True)
    assert struck_out(first, "", by="C2", trainer=False).struck == "it was B4 (C1, C2)"
    assert believed(first) == happened(what, 0)


def test_of_two_who_strike_out_a_wait_one_is_a_trainer() -> None:
    first = struck_out(happened("dung", 0), "it was B4", by="C2", trainer=False)
    with pytest.raises(TaskError, match="neither C2 nor C4 is a trainer"):
        struck_out(first, "", by="C4", trainer=False)
    assert struck_out(first, "", by="C1", trainer=True).struck


@given(
    whats=st.lists(st.sampled_from(sorted(WHATS)), max_size=6),
    which=st.integers(0, 5),
    by=st.sampled_from(["C1", "C2"]),
    contact=st.sampled_from([TOUCHES_SOIL, HANGS_CLEAR]),
)
def test_whatever_one_person_strikes_out_no_wait_of_a_bed_is_shorter(
    whats: list[str], which: int, by: str, contact: str
) -> None:
    before = [happened(what, day, until=day + 40 if what == "officer" else None) for day, what in enumerate(whats)]
    after = [
        struck_out(one, "wrong", by=by, trainer=by == "C1") if day == which else one for day, one in enumerate(before)
    ]
    assert earliest_day(after, contact) == earliest_day(before, contact)


def test_a_wait_is_judged_by_the_date_that_a_leap_year_gives() -> None:
    """29 February 2028 lies inside: 1 January + 120 days is 30 April in 2028, 1 May in 2027."""
    assert MARCH.words(MARCH.read("2028-01-01") + 120) == "30 April 2028"
    assert MARCH.words(MARCH.read("2027-01-01") + 120) == "1 May 2027"
