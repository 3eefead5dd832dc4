"""Beds, waits and plantings as people read them: one line a bed, one sentence a wait, few words a stake.

Not the reckoning (``tasks``). Its one rule: a wait is said with what it is counted from, and no line says that anything
is free of germs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.sources import SOURCES
from fieldbook.tasks.bars import HANGS_CLEAR, TOUCHES_SOIL, bars, storage_days
from fieldbook.tasks.spots import CAN_CONTENTS, SPOT_KINDS, WAIT_WORDS, WHATS, filled_on, standing
from fieldbook.web.said import typed_words
from fieldbook.web.words import sentence

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.site.beds import BedBook
    from fieldbook.tasks.bars import Bar
    from fieldbook.tasks.plantings import Planting
    from fieldbook.tasks.spots import Happening, Spot

SAYS = {TOUCHES_SOIL: "Leaves, roots and low fruit", HANGS_CLEAR: "What hangs clear of the soil (staked fruit, maize)"}
SHORT_SAYS = {TOUCHES_SOIL: "Leaves, roots, low fruit", HANGS_CLEAR: "what hangs clear"}
STAKE_SAYS = {TOUCHES_SOIL: "first leaf, root, low fruit", HANGS_CLEAR: "first fruit held clear"}
BASES = {
    "entry": "the practice itself, as its author and reviewer say it",
    "officer": "the word of a health officer of this place",
}
BINDS = (
    "The rules for dung bind farms that sell as organic, the advice on urine and pond water comes from health "
    "guidance; we borrow them as the careful side. That floods, urine of animals and urine that stood too short count "
    "as raw dung is our choice. A health officer's word comes first."
)


GROUPS = (
    (
        "Sown, planted, picked, lost or cleared",
        ("planted", "planted_out", "planned", "picked", "lost", "cleared", "left"),
    ),
    (
        "Dung, compost or urine went in",
        ("dung", "compost", "checked_compost", "animal_urine", "urine", "fresh_urine"),
    ),
    (
        "It got wet: flood, drain, pond water, dung water, a spray",
        ("flood", "drain", "dung_on_leaves", "pond_water", "spray", "officer"),
    ),
)
"""What can be noted of a bed or box, drawn together so that a small screen shows it at once."""


@dataclass(frozen=True)
class SpotLine:
    """One bed, box, can or pen in a list."""

    label: str
    kind: str
    grows: tuple[str, ...]
    waits: tuple[str, ...]
    mark: str


@dataclass(frozen=True)
class HistoryLine:
    """One happening in the list of a bed."""

    number: int
    when: str
    words: str
    struck: str
    doubted: str
    doubted_by: str
    ends_a_wait: bool


def what_groups(spot: Spot) -> list[tuple[str, list[tuple[str, str]]]]:
    """What can be noted of a spot, by group; under no heading where there is little."""
    can_be = {what: sentence(one.words).rstrip(".") for what, one in WHATS.items() if spot.kind in one.at}
    if not spot.grows:
        return [("", list(can_be.items()))]
    return [(heading, [(what, can_be[what]) for what in whats]) for heading, whats in GROUPS]


def kind_words(spot: Spot) -> str:
    """What a spot is, and what it holds."""
    return f"{SPOT_KINDS[spot.kind]} for {CAN_CONTENTS[spot.holds]}" if spot.holds else SPOT_KINDS[spot.kind]


def spot_line(book: BedBook, spot: Spot, today: int | None) -> SpotLine:
    """A spot in one line of the list."""
    plantings = [one for one in book.plantings(spot) if one.end_day is None]
    return SpotLine(
        label=spot.label,
        kind=sentence(kind_words(spot)).rstrip("."),
        grows=(*(planting_words(book, spot, one) for one in plantings), *plan_lines(book, spot)),
        waits=(*wait_lines(book, spot, today), *can_lines(book, spot)),
        mark=f"The mark stands at day {spot.marked}." if spot.count.by_hand else "",
    )


def short_line(book: BedBook, spot: Spot, today: int | None) -> SpotLine:
    """A spot in the list of all, as short as can be; its own page says from what its waits are counted."""
    plantings = [one for one in book.plantings(spot) if one.end_day is None]
    return SpotLine(
        label=spot.label,
        kind=sentence(kind_words(spot)).rstrip("."),
        grows=(*(_short_planting(book, spot, one) for one in plantings), *plan_lines(book, spot)),
        waits=(*_short_waits(book, spot, today), *can_lines(book, spot)),
        mark=f"The mark stands at day {spot.marked}." if spot.count.by_hand else "",
    )


def _short_planting(book: BedBook, spot: Spot, planting: Planting) -> str:
    words, name = spot.count.words, _short(planting).capitalize()
    if planting.in_nursery:
        first, last = planting.out_window or (planting.day, planting.day)
        return f"{name}: to be planted out {words(first)} to {words(last)}."
    found = book.first_picking(spot, planting)
    return f"{name}: first picking {'about' if found.bar is None else 'not before'} {words(found.day)}."


def _short_waits(book: BedBook, spot: Spot, today: int | None) -> tuple[str, ...]:
    running = _running(book, spot, today) if spot.grows else {}
    until = [f"{SHORT_SAYS[contact]}: not before {spot.count.words(bar.until)}" for contact, bar in running.items()]
    return (*([f"{'; '.join(until)}."] if until else []), *_unpublished(book, spot))


def _running(book: BedBook, spot: Spot, today: int | None) -> dict[str, Bar]:
    """The longest wait that runs for each way of growing; where nobody knows the day, all that ever ran."""
    longest = {contact: next(iter(book.bars(spot, contact)), None) for contact in SAYS}
    return {
        contact: bar for contact, bar in longest.items() if bar is not None and (today is None or today < bar.until)
    }


def planting_words(book: BedBook, spot: Spot, planting: Planting) -> str:
    """A planting and its first picking in one sentence."""
    words, first = spot.count.words, book.first_picking(spot, planting)
    if planting.in_nursery:
        out = planting.out_window or (planting.day, planting.day)
        began = f"sown in the nursery on {words(planting.day)}, to be planted out {words(out[0])} to {words(out[1])}"
    else:
        began = f"since {words(planting.day if planting.out_day is None else planting.out_day)}"
    if first.bar is None:
        then = f"first picking about {words(first.day)}"
    else:
        then = f"first picking not before {words(first.day)}, because of {first.bar.because.wait_words}"
    return f"{planting.crop.common_name}: {began}; {then}."


def plan_lines(book: BedBook, spot: Spot) -> tuple[str, ...]:
    """What is to be sown or planted, with the day from which it would be eaten."""
    words, found = spot.count.words, []
    for plan in book.plans(spot):
        bite = plan.harvest_window[0] if plan.first_bite is None else plan.first_bite
        found.append(f"To come: {plan.crop.common_name} on {words(plan.day)}, first picking about {words(bite)}.")
    return tuple(found)


def wait_lines(book: BedBook, spot: Spot, today: int | None) -> tuple[str, ...]:
    """The waits that run, one sentence for each way of growing; where nobody knows the day, all that ever ran."""
    if not spot.grows:
        return ()
    found = [
        f"{SAYS[contact]}: not before {spot.count.words(bar.until)}, {_because(bar, spot)}."
        for contact, bar in _running(book, spot, today).items()
    ]
    return (*found, *_unpublished(book, spot))


def _unpublished(book: BedBook, spot: Spot) -> tuple[str, ...]:
    """That the last spray without a published wait is washed off."""
    unpublished = [one for one in standing(book.history(spot)) if one.what == "spray" and one.wait_days is None]
    if not unpublished:
        return ()
    last = unpublished[-1]
    words = (
        f"No waiting time is published for “{typed_words(last.said)}”, sprayed on {spot.count.words(last.day)}: "
        "wash each leaf and fruit well in clean water."
    )
    return (words,)


def _because(bar: Bar, spot: Spot) -> str:
    return f"{bar.days} days after {bar.because.wait_words} on {spot.count.words(bar.because.day)}"


def basis(bar: Bar) -> str:
    """What a wait rests on."""
    return BASES.get(bar.source) or SOURCES[bar.source].words


def bases(book: BedBook, spot: Spot) -> list[str]:
    """What the waits of a bed rest on, each once."""
    return list(dict.fromkeys(basis(bar) for contact in SAYS for bar in book.bars(spot, contact)))


def can_lines(book: BedBook, spot: Spot) -> tuple[str, ...]:
    """From when a can of urine may be used, and for whom."""
    filled = filled_on(book.history(spot)) if spot.holds else None
    if filled is None:
        return ("Empty.",) if spot.holds else ()
    words = spot.count.words
    if spot.holds != "urine":
        return (f"Filled {words(filled.day)}.",)
    own, others = (words(filled.day + storage_days(shared=shared)) for shared in (False, True))
    return (
        f"Filled {words(filled.day)}. Use from {own} where the own household eats, from {others} where others eat.",
    )


def history_lines(book: BedBook, spot: Spot) -> list[HistoryLine]:
    """What happened at a spot, the newest first."""
    history = sorted(book.history(spot), key=lambda one: (one.day, one.number), reverse=True)
    return [
        HistoryLine(
            number=one.number,
            when=spot.count.words(one.day),
            words=happening_words(book, spot, one),
            struck=one.struck,
            doubted=one.doubted,
            doubted_by=one.doubted_by,
            ends_a_wait=one.ends_a_wait,
        )
        for one in history
    ]


def without(book: BedBook, spot: Spot, number: int) -> list[str]:
    """How long the waits of a spot would be without one happening, to see before it is struck out."""
    rest = [one for one in book.history(spot) if one.number != number]
    found = []
    for contact, says in SAYS.items() if spot.grows else ():
        bar = next(iter(bars(rest, contact, shared=spot.shared)), None)
        until = "no wait" if bar is None else f"not before {spot.count.words(bar.until)}, {_because(bar, spot)}"
        found.append(f"{says}: {until}.")
    return found


def happening_words(book: BedBook, spot: Spot, one: Happening) -> str:
    """What happened, in a sentence."""
    said = WHATS[one.what].words
    if one.crop in book.crops:
        said = f"{said}: {book.crops[one.crop].common_name}"
    if one.can:
        said = f"{said} ({one.can}, after {one.stored_days} days in it)"
    if one.said:
        said = f"{said}: {typed_words(one.said)}"
    if one.what == "spray":
        said += " (no waiting time is published)" if one.wait_days is None else f" (wait {one.wait_days} days)"
    if one.until is not None:
        said = f"{said} (eaten again from {spot.count.words(one.until)})"
    return sentence(said)


@dataclass(frozen=True)
class Stake:
    """What stands on one stake or can: a big label and few lines."""

    label: str
    lines: tuple[str, ...]


def stake(book: BedBook, spot: Spot, today: int | None) -> Stake:
    """The stake of a bed: what went in, and from when it is eaten; so that nobody needs the laptop to read it."""
    words, lines = _unbroken(spot), []
    running = _running(book, spot, today)
    for bar in dict.fromkeys(running.values()):
        line = f"{WAIT_WORDS[bar.because.what]} {words(bar.because.day)}"
        lines += [line] if line not in lines else []
    lines += [f"{STAKE_SAYS[contact]}: {words(bar.until)}" for contact, bar in running.items()]
    for planting in book.plantings(spot):
        if planting.end_day is None:
            lines.append(
                f"{_short(planting)}: {'sown' if planting.raised != 'seedling' else 'planted'} {words(planting.day)}"
            )
    return Stake(spot.label, (*lines, *(["day 0 is marked by hand"] if spot.count.by_hand else [])))


def _unbroken(spot: Spot) -> Callable[[int], str]:
    """A day in words that no line of a stake parts."""
    return lambda day: spot.count.words(day).replace(" ", "\u00a0")


def can_label(book: BedBook, spot: Spot) -> Stake:
    """The label of a can."""
    what, filled = CAN_CONTENTS[spot.holds], filled_on(book.history(spot))
    warning = "not to drink, out of children's reach"
    if filled is None:
        return Stake(spot.label, (what, warning, "filled: ____________"))
    words = _unbroken(spot)
    lines = [f"filled {words(filled.day)}"]
    if spot.holds == "urine":
        own, others = (words(filled.day + storage_days(shared=shared)) for shared in (False, True))
        lines += [f"use from {own} (own household eats)", f"use from {others} (others eat, or for sale)"]
    if spot.holds in {"dung_steep", "animal_urine"}:
        lines.append("counts as raw dung: soil only, then 120 days")
    return Stake(spot.label, (what, *lines, warning))


def _short(planting: Planting) -> str:
    return planting.crop.common_name.split(" / ")[0].split(" (")[0].lower()
