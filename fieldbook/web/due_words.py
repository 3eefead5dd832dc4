"""What is due as people read it: drawn together by day, and as strips of six weeks with a box for each time.

Not the reckoning. Its one rule: a strip shows days of the bed's own count, so that it is right without a clock too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate.year import MONTH_NAMES
from fieldbook.web.said import Said, in_language

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from fieldbook.site.due import DueLine, DueList, Place

WEEKS = 6
STRIP_SIZE, ROW_SIZE, PAGE_SIZE = 12, 8, 850  # in boxes of some 35 bytes, so that a page stays under 30 KB


@dataclass(frozen=True)
class Line:
    """One thing that is due, in the reader's language."""

    name: str
    label: str
    said: Said
    sized: str
    until: str
    done: bool
    late: bool
    notice: bool
    again: str = ""


@dataclass(frozen=True)
class DayGroup:
    """What is due on one day."""

    when: str
    lines: tuple[Line, ...]


def day_groups(found: Iterable[DueLine], preferred: Sequence[str]) -> tuple[DayGroup, ...]:
    """Lines drawn together by the words of their day, in their order."""
    groups: dict[str, list[Line]] = {}
    for line in found:
        groups.setdefault(line.when, []).append(_line(line, preferred))
    return tuple(DayGroup(when, tuple(lines)) for when, lines in groups.items())


def once_each(found: Iterable[DueLine]) -> list[DueLine]:
    """Lines with only the first time of what comes back by itself: its other times show when they come."""
    first: dict[tuple[str, str], DueLine] = {}
    return [
        line
        for line in found
        if not line.due.task.every_days or first.setdefault((line.place.about, line.due.task.key), line) is line
    ]


def _again(line: DueLine) -> str:
    """How what comes back by itself goes on; empty where this is its last time, or it has one only."""
    task = line.due.task
    if not task.every_days or (task.until is not None and line.due.day + task.every_days > task.until):
        return ""
    every = "each day" if task.every_days == 1 else f"every {task.every_days} days"
    return f"Then {every}." if task.until is None else f"Then {every} until {line.place.count.words(task.until)}."


def _line(line: DueLine, preferred: Sequence[str]) -> Line:
    return Line(
        name=line.name,
        label=line.place.label,
        said=in_language(line.said, preferred) or Said("en", "(no words)"),
        sized=line.sized,
        until=line.until,
        done=line.due.done,
        late=line.late,
        notice=line.due.task.notice,
        again=_again(line),
    )


@dataclass(frozen=True)
class Box:
    """One time in a strip: its day in short, and whether it is done; without a box where there is nothing to tick."""

    day: str
    done: bool
    notice: bool


@dataclass(frozen=True)
class Strip:
    """Six weeks of one place: the first day of each week, and for each thing its boxes by week."""

    label: str
    weeks: tuple[str, ...]
    rows: tuple[tuple[Said, str, tuple[tuple[Box, ...], ...]], ...]


def strips(found: DueList, today: dt.date | None, preferred: Sequence[str], *, at: str = "") -> list[Strip]:
    """A strip for each place where something is due within six weeks, or for the one that is called ``at``."""
    places = [place for place in found.places(today) if at in {"", place.label}]
    made = (_strip(place, found.within(place, weeks=WEEKS), preferred) for place in places)
    return [one for one in made if one.rows]


def strips_by_page(found: Iterable[Strip]) -> list[list[Strip]]:
    """Strips cut into pages of about the same size, none of them parted."""
    pages: list[list[Strip]] = []
    room = 0
    for strip in found:
        size = STRIP_SIZE + sum(ROW_SIZE + sum(map(len, weeks)) for *_, weeks in strip.rows)
        if size > room or not pages:
            pages.append([])
            room = PAGE_SIZE
        pages[-1].append(strip)
        room -= size
    return pages


def _strip(place: Place, lines: Sequence[DueLine], preferred: Sequence[str]) -> Strip:
    begin = place.today or 0
    rows: dict[str, tuple[Said, str, list[list[Box]]]] = {}
    for line in lines:
        said = in_language(line.said, preferred) or Said("en", "(no words)")
        *_, weeks = rows.setdefault(line.due.task.key, (said, line.sized, [[] for _ in range(WEEKS)]))
        box = Box(short_day(place, line.due.day), line.due.done, line.due.task.notice)
        weeks[max(0, line.due.day - begin) // 7].append(box)
    return Strip(
        label=place.label,
        weeks=tuple(short_day(place, begin + 7 * week) for week in range(WEEKS)),
        rows=tuple((said, sized, tuple(tuple(week) for week in weeks)) for said, sized, weeks in rows.values()),
    )


def short_day(place: Place, day: int) -> str:
    """A day in short: ``3 Mar``, or its number where days are marked by hand."""
    date = place.count.date(day)
    return f"day {day}" if date is None else f"{date.day} {MONTH_NAMES[date.month - 1][:3]}"
