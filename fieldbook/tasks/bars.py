"""Waiting times of a bed: from what went in, the first day on which anything of it may be eaten.

Not a proof that anything is free of germs: the days come from the rules named beside them, and local health rules come
first. Its one rule: the longest wait holds, and nothing that is added later ever makes an earlier one shorter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.tasks.spots import WHATS, standing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.tasks.spots import Happening

TOUCHES_SOIL, HANGS_CLEAR, NOT_EATEN = "edible_soil", "edible_none", "not_eaten"
CONTACT_WORDS = {
    TOUCHES_SOIL: "what is eaten touches soil, or soil splashes on it",
    HANGS_CLEAR: "what is eaten hangs clear of the soil, on a stake or stalk",
    NOT_EATEN: "nobody eats any of it",
}
DUNG_DAYS = {TOUCHES_SOIL: 120, HANGS_CLEAR: 90}
DUNG_SOURCES = {TOUCHES_SOIL: "cfr205-c1-ii", HANGS_CLEAR: "cfr205-c1-iii"}
URINE_DAYS = 30  # none within a month of the harvest: who2006-v4
URINE_STORED_DAYS = 30  # for the own household: who2006-v4
URINE_STORED_SHARED_DAYS = 180  # six months where others eat: who2006-v4
POND_DAYS = 12  # (7 - 1) log / 0.5 log a day, with washing: who2006-v2


@dataclass(frozen=True, slots=True)
class Bar:
    """A wait that runs from one happening.

    Attributes:
        because: What it is counted from.
        days: How long it is.
        until: The first day on which may be eaten again, in the count of the spot.
        source: Key of the work that it rests on; ``ours`` where it is our choice.
    """

    because: Happening
    days: int
    until: int
    source: str


def storage_days(*, shared: bool) -> int:
    """How long human urine stands before it is used [days].

    Args:
        shared: Whether others than the own household eat of what it feeds, or it is sold.

    Source: who2006-v4.
    """
    return URINE_STORED_SHARED_DAYS if shared else URINE_STORED_DAYS


def bar_of(happening: Happening, contact: str, *, shared: bool = False) -> Bar | None:
    """The wait that one happening asks for before anything is eaten; None where it asks for none.

    Args:
        happening: What happened.
        contact: How what is eaten meets the soil.
        shared: Whether others than the own household eat of it.

    Source: cfr205-c1-i, cfr205-c1-ii, cfr205-c1-iii for dung, and for all that counts as dung (ours: animal urine,
        urine that had not stood its time, compost without measured heat, flood and drain water); cfr112-56 for dung
        water on leaves, which counts as touching soil (ours); who2006-v4 for urine; who2006-v2 for pond water; the
        entry's own wait for a spray; a health officer's word as it was said.
    """
    counts_as = WHATS[happening.what].counts_as
    if not counts_as or contact == NOT_EATEN:
        return None
    if counts_as == "word":
        until = happening.day if happening.until is None else happening.until
        return Bar(happening, until - happening.day, until, "officer")
    if counts_as == "spray":
        return None if happening.wait_days is None else _bar(happening, happening.wait_days, "entry")
    if counts_as == "pond":
        return _bar(happening, POND_DAYS, "who2006-v2")
    if counts_as == "urine" and (happening.stored_days or 0) >= storage_days(shared=shared):
        return _bar(happening, URINE_DAYS, "who2006-v4")
    met = TOUCHES_SOIL if counts_as == "wet-dung" else contact
    return _bar(happening, DUNG_DAYS[met], DUNG_SOURCES[met])


def _bar(happening: Happening, days: int, source: str) -> Bar:
    return Bar(happening, days, happening.day + days, source)


def bars(history: Iterable[Happening], contact: str, *, shared: bool = False) -> tuple[Bar, ...]:
    """All waits of a bed's history for food that meets the soil in this way, the one that ends last first."""
    found = (bar_of(one, contact, shared=shared) for one in standing(history))
    return tuple(sorted((bar for bar in found if bar is not None), key=lambda bar: -bar.until))


def earliest_day(history: Iterable[Happening], contact: str, *, shared: bool = False) -> int | None:
    """The first day on which no wait of the history runs any more; None where none ever ran."""
    return max((bar.until for bar in bars(history, contact, shared=shared)), default=None)


def bars_on(history: Iterable[Happening], day: int, contact: str, *, shared: bool = False) -> tuple[Bar, ...]:
    """The waits that run on a day, the one that ends last first; what happened after that day does not count."""
    return tuple(bar for bar in bars(history, contact, shared=shared) if bar.because.day <= day < bar.until)
