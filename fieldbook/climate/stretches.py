"""Which days of the year a planting may start on, given what bars the days after it.

What it is: counting on the ring of days: how long each day has until the next barred one, and which runs of days have
long enough. What it is not: a word on why a day is barred; that comes in as a code and goes out as it came.

Its one rule: a planting stays inside the stretch it started in, even where the next one begins the day after.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from fieldbook.climate.year import DAYS_IN_YEAR, ring_day

FOREVER: Final = 100_000  # days: longer than any crop stands

Barrier = tuple[str | None, ...]  # for each day of the year, from 1 January: the code of what bars it, or None


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days with water.

    Attributes:
        start_day: First day, 1 to 365.
        days: How many; None if they go round the year without end.
    """

    start_day: int
    days: int | None


@dataclass(frozen=True, slots=True)
class Bars:
    """What a planting must not meet.

    Attributes:
        standing: What bars any day on which the crop stands.
        young: What bars the first days only.
        need_days: Days that it must stand unbarred.
        young_days: Of these, the first ones that `young` counts for.
        clear: Days from each day to the next that `standing` bars.
        young_clear: The same for `young`.
    """

    standing: Barrier
    young: Barrier
    need_days: int
    young_days: int
    clear: tuple[int, ...]
    young_clear: tuple[int, ...]

    @property
    def never(self) -> bool:
        """Whether no day of the year is barred."""
        return self.clear[0] == self.young_clear[0] == FOREVER

    def room(self, stretch: Stretch, offset: int) -> int:
        """Days that a planting on this day of the stretch can stand."""
        clear = self.clear[self._index(stretch, offset)]
        return clear if stretch.days is None else min(clear, stretch.days - offset)

    def opened(self, stretch: Stretch) -> list[bool]:
        """Whether a planting on each day of the stretch has long enough."""
        days = DAYS_IN_YEAR if stretch.days is None else stretch.days
        in_time = days if stretch.days is None else max(0, days - self.need_days + 1)
        index = stretch.start_day - 1
        clear = (self.clear * 2)[index : index + in_time]
        need, young_need = self.need_days, self.young_days
        if young_need:
            young = (self.young_clear * 2)[index : index + in_time]
            has_room = [one >= need and other >= young_need for one, other in zip(clear, young, strict=True)]
        else:
            has_room = [one >= need for one in clear]
        return has_room + [False] * (days - in_time)

    def cause_before(self, stretch: Stretch, offset: int) -> str:
        """What barred the day before an opening."""
        if stretch.days is not None and offset == 0:
            return "dry"
        before = self._index(stretch, offset - 1)
        return self.standing[before] or self.young[before] or "dry"

    def cause_after(self, stretch: Stretch, offset: int) -> tuple[str, int]:
        """What the first planting too late would meet, and on which day of the year."""
        index = self._index(stretch, offset)
        room = self.room(stretch, offset)
        stop = ring_day(stretch.start_day + offset + room)
        if room >= self.need_days:
            stop = ring_day(index + 1 + self.young_clear[index])
            return self.young[stop - 1] or "dry", stop
        barred = self.standing[stop - 1] if room == self.clear[index] else None
        return barred or "dry", stop

    def _index(self, stretch: Stretch, offset: int) -> int:
        return (stretch.start_day - 1 + offset) % DAYS_IN_YEAR


def bars(*, standing: Barrier, young: Barrier, need_days: int, young_days: int) -> Bars:
    """Prepare what a planting must not meet."""
    return Bars(standing, young, need_days, young_days, clear_days(standing), clear_days(young))


@lru_cache(maxsize=64)  # most crops of a calendar are barred by the same few things
def clear_days(barrier: Barrier) -> tuple[int, ...]:
    """Return for each day how many days, itself first, lie before the next barred one; `FOREVER` if none is barred."""
    if not any(barrier):
        return (FOREVER,) * DAYS_IN_YEAR
    clear = [0] * (2 * DAYS_IN_YEAR + 1)
    for index in range(2 * DAYS_IN_YEAR - 1, -1, -1):
        clear[index] = 0 if barrier[index % DAYS_IN_YEAR] else clear[index + 1] + 1
    return tuple(clear[:DAYS_IN_YEAR])


def open_runs(stretch: Stretch, barred_by: Bars) -> list[tuple[int, int]]:
    """Return the runs of days of a stretch on which a planting may start, as first and last offset from its start.

    In a stretch without end a run may go on past the year's end; if every day is open, there is one run of 365.
    """
    if barred_by.never:
        days = DAYS_IN_YEAR if stretch.days is None else stretch.days - barred_by.need_days + 1
        return [(0, days - 1)] if days > 0 else []
    opened = barred_by.opened(stretch)
    if stretch.days is not None:
        return _runs(opened, 0)
    if all(opened):
        return [(0, DAYS_IN_YEAR - 1)]
    turn = opened.index(False)
    return _runs(opened[turn:] + opened[:turn], turn)


def _runs(opened: Sequence[bool], turn: int) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    marks = bytes((*opened, False))
    start = marks.find(1)
    while start >= 0:
        stop = marks.find(0, start)
        runs.append((start + turn, stop - 1 + turn))
        start = marks.find(1, stop)
    return runs
