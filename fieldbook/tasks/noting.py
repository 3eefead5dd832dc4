"""Whether something may be noted in the bed book: what cannot have been, and what would be eaten inside a wait.

Pure: a history and one more happening go in, the happening comes out as it is kept. Its one rule: what happened is
never refused because it is dangerous (dung on a leaf crop, a flood), only what is impossible, and picking or using
inside a wait, which is answered with the earliest day.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fieldbook.tasks.bars import CONTACT_WORDS, bars, bars_on, storage_days
from fieldbook.tasks.days import TaskError
from fieldbook.tasks.plantings import RAISED_WORDS, contacts_of, planting_of, plantings_of
from fieldbook.tasks.spots import WHATS, filled_on, standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from fieldbook.climate.crops import Crop
    from fieldbook.tasks.plantings import Planting
    from fieldbook.tasks.spots import Happening, Spot

SPRAY_DAYS_MAX = 3650


def checked(
    new: Happening, spot: Spot, history: Iterable[Happening], *, crops: Mapping[str, Crop], today: int | None
) -> Happening:
    """A happening as it may be kept.

    Args:
        new: What is said to have happened.
        spot: Where.
        history: What stands in the book of this spot already.
        crops: The crop table.
        today: Today in the count of the spot; None where nobody knows.

    Raises:
        TaskError: it cannot have been so, or it would be eaten inside a wait.
    """
    what = WHATS.get(new.what)
    if what is None or spot.kind not in what.at:
        raise TaskError(f"{new.what[:40]!r} is no thing that happens at {spot.label}", hint="choose one of the list")
    if today is not None and new.day > today and new.what != "planned":
        by_hand = "write the day on which it happened; if that many days have passed, mark the day on its page first"
        raise TaskError(
            f"{spot.count.words(new.day)} is yet to come",
            hint=by_hand if spot.count.by_hand else "write the day on which it happened",
        )
    done = standing(history)
    check = _CHECKS.get(new.what)
    return check(new, spot, done, crops) if check else new


def _planted(new: Happening, _spot: Spot, _done: tuple[Happening, ...], crops: Mapping[str, Crop]) -> Happening:
    crop = crops.get(new.crop)
    if crop is None:
        raise TaskError(f"the crop table has no {new.crop[:40]!r}", hint="choose a crop of the table")
    if new.raised not in RAISED_WORDS or (new.raised == "nursery" and crop.nursery is None):
        raise TaskError(
            f"{crop.common_name} is not begun in this way",
            hint="choose sown in place, or planted as seedling or cutting",
        )
    contacts = contacts_of(crop)
    contact = new.contact or contacts[0]
    if contact not in contacts:
        raise TaskError(
            f"of {crop.common_name} it cannot be said that {CONTACT_WORDS.get(contact, contact[:40])}",
            hint="choose the other answer; where it is not known, soil touches it",
        )
    return replace(new, contact=contact)


def _planned(new: Happening, spot: Spot, done: tuple[Happening, ...], crops: Mapping[str, Crop]) -> Happening:
    """A planting that is to come: refused where the first bite would lie inside a wait that is known today."""
    plan = _planted(new, spot, done, crops)
    meant = planting_of(plan, crops[plan.crop])
    longest = next(iter(bars(done, plan.contact, shared=spot.shared)), None)
    bite = meant.day if meant.first_bite is None else meant.first_bite
    if longest is not None and bite < longest.until:
        words, put_in = spot.count.words, longest.because
        raise TaskError(
            f"{meant.crop.common_name} of {words(new.day)} would be eaten from {words(bite)}: {put_in.wait_words} on "
            f"{words(put_in.day)} asks for {longest.days} days",
            hint=f"choose {words(longest.until - (bite - new.day))} or later, or a crop that is eaten later",
        )
    return plan


def _planted_out(new: Happening, spot: Spot, done: tuple[Happening, ...], crops: Mapping[str, Crop]) -> Happening:
    waiting = [one for one in plantings_of(done, crops) if one.in_nursery and new.of in {None, one.number}]
    if not waiting:
        raise TaskError(
            f"no seedlings of {spot.label} wait in a nursery",
            hint="note the sowing in the nursery first, or note it as planted",
        )
    if new.day < waiting[0].day:
        raise TaskError(
            f"they were sown on {spot.count.words(waiting[0].day)}, later than {spot.count.words(new.day)}",
            hint="choose a day after the sowing",
        )
    return replace(new, of=waiting[0].number)


def _picked(new: Happening, spot: Spot, done: tuple[Happening, ...], crops: Mapping[str, Crop]) -> Happening:
    stood = [one for one in plantings_of(done, crops) if one.stands_on(new.day) and new.crop in {"", one.crop.crop_id}]
    if not stood:
        raise TaskError(
            f"nothing to pick stood in {spot.label} on {spot.count.words(new.day)}",
            hint="note the planting or planting out first, or choose a later day",
        )
    for one in stood:
        refuse_in_wait(one, spot, done, new.day)
    return replace(new, crop=stood[0].crop.crop_id if len({one.crop.crop_id for one in stood}) == 1 else new.crop)


def refuse_in_wait(planting: Planting, spot: Spot, history: Iterable[Happening], day: int) -> None:
    """Refuse a day of picking on which a wait runs.

    Raises:
        TaskError: a wait runs on it; the earliest day is in the hint.
    """
    running = bars_on(history, day, planting.contact, shared=spot.shared)
    if running:
        bar, words = running[0], spot.count.words
        put_in = bar.because
        raise TaskError(
            f"{spot.label} may not be picked on {words(day)}: {put_in.wait_words} on {words(put_in.day)} asks for "
            f"{bar.days} days",
            hint=f"wait until {words(bar.until)}; what was picked already is not eaten: note it as a loss",
        )


def _emptied(new: Happening, spot: Spot, done: tuple[Happening, ...], _crops: Mapping[str, Crop]) -> Happening:
    _filling(new, spot, done)
    return new


def _filling(new: Happening, can: Spot, done: tuple[Happening, ...]) -> Happening:
    """The filling of a can that is drawn from on a day."""
    filled = filled_on(one for one in done if one.day <= new.day)
    if filled is None:
        raise TaskError(
            f"{can.label} holds nothing on {can.count.words(new.day)}",
            hint="note its filling first, or choose another can",
        )
    return filled


def read_wait_days(text: str) -> int | None:
    """The days to wait after a spray, as they are typed; None where nothing is typed.

    Raises:
        TaskError: it is no number of days.
    """
    typed = text.strip()
    if typed and not (typed.isdecimal() and int(typed) <= SPRAY_DAYS_MAX):
        raise TaskError(
            f"{typed[:20]} is no number of days to wait",
            hint="write whole days, or leave it empty where none is published",
        )
    return int(typed) if typed else None


def _spray(new: Happening, _spot: Spot, _done: tuple[Happening, ...], _crops: Mapping[str, Crop]) -> Happening:
    if not new.said.strip():
        raise TaskError("it is not said what was sprayed", hint="write what was in it, or choose a practice")
    if new.wait_days is not None and not 0 <= new.wait_days <= SPRAY_DAYS_MAX:
        raise TaskError(
            f"{new.wait_days} is no number of days to wait",
            hint="write whole days, or leave it empty where none is published",
        )
    return new


def _officer(new: Happening, spot: Spot, _done: tuple[Happening, ...], _crops: Mapping[str, Crop]) -> Happening:
    if new.until is None or new.until < new.day:
        raise TaskError(
            f"the word of the health officer names no day after {spot.count.words(new.day)}",
            hint="write the first day on which may be eaten again",
        )
    if not new.said.strip():
        raise TaskError("it is not said whose word it is", hint="write the role, such as health officer, never a name")
    return new


_CHECKS: dict[str, Callable[[Happening, Spot, tuple[Happening, ...], Mapping[str, Crop]], Happening]] = {
    "planned": _planned,
    "planted": _planted,
    "planted_out": _planted_out,
    "picked": _picked,
    "emptied": _emptied,
    "spray": _spray,
    "officer": _officer,
}


def drawn(new: Happening, spot: Spot, can: Spot, fillings: Iterable[Happening], *, can_day: int) -> Happening:
    """Urine that is drawn from a can for a bed, with how long it had stood.

    Args:
        new: What is noted at the bed.
        spot: The bed.
        can: The can.
        fillings: The can's history.
        can_day: The day in the can's own count.

    Raises:
        TaskError: the can holds no human urine, or it has not stood its time for those who eat of this bed.

    Source: who2006-v4.
    """
    if can.holds != "urine":
        raise TaskError(f"{can.label} holds no human urine", hint="choose a can that holds some")
    filled = _filling(replace(new, day=can_day), can, standing(fillings))
    stored, needed = can_day - filled.day, storage_days(shared=spot.shared)
    if stored < needed:
        raise TaskError(
            f"{can.label} has stood {stored} days, and {spot.label} needs {needed}",
            hint=f"wait until {can.count.words(filled.day + needed)}; if it went in already, note it as fresh urine, "
            "which counts as raw dung",
        )
    return replace(new, can=can.label, stored_days=stored)


def breaches(spot: Spot, history: Iterable[Happening], crops: Mapping[str, Crop]) -> tuple[Happening, ...]:
    """Pickings inside a wait, as come out when dung or a flood is noted late: what is left of them is not eaten."""
    done = standing(history)
    plantings = plantings_of(done, crops)
    return tuple(
        one
        for one in done
        if one.what == "picked"
        and any(
            bars_on(done, one.day, planting.contact, shared=spot.shared)
            for planting in plantings
            if planting.stands_on(one.day) and one.crop in {"", planting.crop.crop_id}
        )
    )
