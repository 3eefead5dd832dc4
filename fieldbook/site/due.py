"""What is due at a site, by day and bed: read from the bed book, ticked when it is done, given to a phone's calendar.

It stays here like the book itself. Its one rule: a tick says that something was done; it never moves a day.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.languages import ENGLISH, pick
from fieldbook.practices.scaled import amount_words
from fieldbook.practices.scaling import scale_to_kept
from fieldbook.site.bed_papers import MARK, TICK
from fieldbook.site.stopped_use import StoppedUse, stopped_use
from fieldbook.tasks.days import Count, TaskError
from fieldbook.tasks.due import Due, due_between, follow_up, open_on, step_tasks, tasks_of
from fieldbook.tasks.icalendar import DayEvent, calendar_text

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from fieldbook.practices import Entry
    from fieldbook.site.beds import BedBook
    from fieldbook.site.season import Season
    from fieldbook.site.starting import Starting
    from fieldbook.tasks.due import Task

LATE_DAYS = 365  # what has waited longer is not shown as late any more
TICKED_DAYS = 28
CALENDAR_DAYS = 365
CALENDAR_REPEATS_DAYS = 42  # a daily task fills six weeks of a phone, not a year


@dataclass(frozen=True)
class Place:
    """Something with tasks: a spot of the bed book, or a practice that was begun.

    Attributes:
        about: What its ticks belong to.
        label: As people call it.
        count: How its days are counted.
        today: Today in that count; None where nobody knows.
        tasks: All that is due there, ever.
        steps: Of a practice, the words of its steps by language.
        title: Of a practice, its title by language.
        sized: Of a practice in a size of this site, for each step what becomes of its amounts, in English.
    """

    about: str
    label: str
    count: Count
    today: int | None
    tasks: tuple[Task, ...]
    steps: Sequence[Mapping[str, str]] = ()
    title: Mapping[str, str] | None = None
    sized: tuple[str, ...] = ()


@dataclass(frozen=True)
class DueLine:
    """One thing on one day at one place.

    Attributes:
        place: Where.
        due: What, and whether it was ticked.
        said: Its words by language.
    """

    place: Place
    due: Due
    said: Mapping[str, str]

    @property
    def name(self) -> str:
        """What a form calls it."""
        return f"{self.place.about}/{self.due.key}"

    @property
    def date(self) -> dt.date | None:
        """The date of its day; None where days are marked by hand."""
        return self.place.count.date(self.due.day)

    @property
    def when(self) -> str:
        """Its day in words."""
        return self.place.count.words(self.due.day)

    @property
    def until(self) -> str:
        """The last day in words; empty where it has one day only."""
        last = self.due.task.last
        return "" if self.due.task.every_days or last <= self.due.day else self.place.count.words(last)

    @property
    def sized(self) -> str:
        """What becomes of the amounts of its step in the size of this place, a sentence; empty where nothing does."""
        step = self.due.task.step
        return "" if step is None or not self.place.sized else self.place.sized[step]

    @property
    def late(self) -> bool:
        """Whether its last day is over."""
        return self.place.today is not None and self.due.task.last < self.place.today

    def as_document(self) -> dict[str, Any]:
        """The line as JSON."""
        date = self.date
        return {
            "at": self.place.label,
            "day": self.due.day,
            "date": None if date is None else date.isoformat(),
            "until": self.until or None,
            "words": dict(self.said),
            "sized": self.sized or None,
            "done": self.due.done,
            "late": self.late,
            "name": self.name,
        }


class DueList:
    """What is due at one site."""

    def __init__(self, site: Season, beds: BedBook, starting: Starting) -> None:
        """Read the bed book of a site, and the practices that are in use there."""
        self._site = site
        self._beds = beds
        self._starting = starting

    def places(self, today: dt.date | None) -> tuple[Place, ...]:
        """Everything that has tasks, in the order of the book."""
        beds = self._beds
        spots = (
            Place(
                about=f"spot-{spot.number}",
                label=spot.label,
                count=spot.count,
                today=beds.today_of(spot, today),
                tasks=tasks_of(spot, beds.history(spot), beds.crops),
            )
            for spot in beds.spots()
        )
        return (*spots, *self._practices(today))

    def _practices(self, today: dt.date | None) -> Iterator[Place]:
        """The practices in use, with their steps and the days to call back; nothing of one that is stopped."""
        for one in self._starting.begun():
            if one.stop:
                continue
            try:
                entry = self._site.entry_value(one.edition)
            except FieldbookError:  # its words are not here any more: nobody can follow it
                continue
            steps, count = entry.rows("steps"), Count(one.day)
            about = f"begun-{one.number}"
            yield Place(
                about=about,
                label=one.place,
                count=count,
                today=self._marked(about) if one.day is None else None if today is None else count.number(today),
                tasks=(*step_tasks(steps), *follow_up()),
                steps=tuple(step.get("say", {}) for step in steps),
                title=entry.title,
                sized=() if one.size is None else _sized(entry, one.size),
            )

    def stopped(self, *, at: str = "") -> tuple[StoppedUse, ...]:
        """The practices in use that may not be gone on with, each with what to do now.

        Args:
            at: of a spot alone, by its label; empty for the whole site.
        """
        found = self._starting.begun_at(at) if at else self._starting.begun()
        return tuple(stopped_use(self._site, one) for one in found if one.stop)

    def _marked(self, about: str) -> int:
        """The day that was marked by hand last; day 0 where none was."""
        return max((int(one.document["day"]) for one in self._site.notebook.records(MARK, about=about)), default=0)

    def mark(self, about: str, day: str) -> None:
        """Mark by hand which day it is for a practice that was begun without a clock.

        Args:
            about: What its ticks belong to.
            day: The number of the day, as typed.

        Raises:
            TaskError: its days have dates, or it is no day number.
        """
        place = next((one for one in self.places(None) if one.about == about and one.count.by_hand), None)
        if place is None or not about.startswith("begun-"):
            raise TaskError("its days are not marked by hand here", hint="open the list again, and choose there")
        read = place.count.read(day)
        for record in self._site.notebook.records(MARK, about=about):
            self._site.notebook.remove_record(record)
        self._site.notebook.add_record(MARK, {"day": read}, about=about)

    def ahead(self, today: dt.date | None, *, days: int) -> tuple[DueLine, ...]:
        """What is due from today on for so many days, by date; where days are marked by hand, by their number."""
        found = [
            line
            for place in self.places(today)
            if place.today is not None
            for line in self._lines(place, due_between(place.tasks, place.today, place.today + days - 1))
        ]
        return tuple(sorted(found, key=lambda line: line.due.day - (line.place.today or 0)))

    def waiting(self, today: dt.date | None) -> tuple[DueLine, ...]:
        """What began before today and is not ticked: still in time, or late."""
        return tuple(
            line
            for place in self.places(today)
            if place.today is not None
            for line in self._lines(place, open_on(place.tasks, place.today))
            if not line.due.done and line.due.day >= place.today - LATE_DAYS
        )

    def last_week(self, today: dt.date | None) -> tuple[DueLine, ...]:
        """What was due in the seven days before today, done or not: to type in what was ticked on paper."""
        found = [
            line
            for place in self.places(today)
            if place.today is not None
            for line in self._lines(place, due_between(place.tasks, place.today - 7, place.today - 1))
            if not line.due.task.notice
        ]
        return tuple(sorted(found, key=lambda line: line.due.day - (line.place.today or 0)))

    def ticked(self, today: dt.date | None) -> tuple[DueLine, ...]:
        """What was marked as done and began within the last four weeks or is due soon: to take a tick back."""
        found = [
            line
            for place in self.places(today)
            if place.today is not None
            for line in self._lines(
                place, due_between(place.tasks, place.today - TICKED_DAYS, place.today + TICKED_DAYS)
            )
            if line.due.done
        ]
        return tuple(sorted(found, key=lambda line: (line.place.today or 0) - line.due.day))

    def within(self, place: Place, *, weeks: int) -> tuple[DueLine, ...]:
        """What is still open and what is due within so many weeks at one place; nothing where the day is unknown."""
        if place.today is None:
            return ()
        open_still = [one for one in self._lines(place, open_on(place.tasks, place.today)) if not one.due.done]
        ahead = self._lines(place, due_between(place.tasks, place.today, place.today + 7 * weeks - 1))
        return (*(one for one in open_still if one.due.day >= place.today - LATE_DAYS), *ahead)

    def unknown(self, today: dt.date | None) -> tuple[str, ...]:
        """The places of which nobody knows which day it is."""
        return tuple(place.label for place in self.places(today) if place.today is None and place.tasks)

    def _lines(self, place: Place, found: Iterable[Due]) -> list[DueLine]:
        done = self._done(place.about)
        return [DueLine(place, Due(one.task, one.day, one.key in done), _said(place, one.task)) for one in found]

    def _done(self, about: str) -> frozenset[str]:
        return frozenset(record.document["key"] for record in self._site.notebook.records(TICK, about=about))

    def tick(self, names: Iterable[str], *, today: dt.date | None) -> int:
        """Mark things as done; what is marked already stays so.

        Args:
            names: What forms call them.
            today: The day of the marking, as far as it is known.

        Returns:
            How many were marked now.

        Raises:
            TaskError: one of them is not due here; then none is marked.
        """
        wanted = list(dict.fromkeys(names))
        places = {place.about: place for place in self.places(today)}
        for name in wanted:
            about, _, key = name.partition("/")
            if about not in places or not _is_key(places[about], key):
                raise TaskError(
                    "what was ticked is not due here any more", hint="open the list again, and tick it there"
                )
        new = [
            name.partition("/") for name in wanted if name.partition("/")[2] not in self._done(name.partition("/")[0])
        ]
        for about, _, key in new:
            day = None if today is None else today.isoformat()
            self._site.notebook.add_record(TICK, {"key": key, "day": day}, about=about)
        return len(new)

    def untick(self, name: str) -> None:
        """Take a tick back; where there is none, nothing happens."""
        about, _, key = name.partition("/")
        for record in self._site.notebook.records(TICK, about=about):
            if record.document["key"] == key:
                self._site.notebook.remove_record(record)

    def calendar_file(self, today: dt.date | None, *, languages: Sequence[str] = ()) -> str:
        """What is due within a year as an iCalendar file; what is counted by hand has no date and is left out.

        Args:
            today: The day.
            languages: Those in which steps of practices are told, the dearest first; else English where there is some.

        Raises:
            TaskError: nobody knows which day it is.
        """
        if today is None or self._site.clock_doubt:
            raise TaskError(
                "this laptop does not know which day it is, so it can make no calendar",
                hint="set its clock, or print the strips instead",
            )
        events = [
            self._event(line, languages)
            for place in self.places(today)
            if place.today is not None and not place.count.by_hand
            for line in self._lines(place, _for_calendar(place.tasks, place.today))
            if not line.due.done
        ]
        return calendar_text(events, stamp=self._site.clock(), name=f"What is due at {self._site.letter}")

    def _event(self, line: DueLine, languages: Sequence[str]) -> DayEvent:
        first, last = line.date, line.place.count.date(line.due.task.last)
        assert first is not None
        assert last is not None
        named = hashlib.sha256(f"{self._site.site_key.public} {line.name}".encode()).hexdigest()[:32]
        words = pick(line.said, languages)[1] if line.said else ""
        told = " ".join(filter(None, (f"{line.place.label}: {words}", line.sized)))
        return DayEvent(named, first, first if line.due.task.every_days else max(first, last), told)


def _said(place: Place, task: Task) -> Mapping[str, str]:
    if task.step is None:
        return {ENGLISH: task.words}
    return place.steps[task.step]


def _sized(entry: Entry, size: Mapping[str, Any]) -> tuple[str, ...]:
    """For each step what becomes of its amounts; where the size cannot be reckoned each step says that."""
    try:
        scaled = scale_to_kept(entry, size)
    except FieldbookError:
        lost = "Begun in a size that cannot be reckoned here any more: ask a trainer which amounts hold."
        return (lost,) * len(entry.rows("steps"))
    item = scaled.base.item
    thing = item.get(ENGLISH) or next(iter(item.values()), "") if isinstance(item, dict) else str(item)
    mine = f"For {amount_words(scaled.amount, scaled.unit)} ({thing})"
    return tuple(f"{mine}: {step.changes}." if step.changes else "" for step in scaled.steps)


def _is_key(place: Place, key: str) -> bool:
    name, _, day = key.partition("@")
    for task in place.tasks:
        if task.key == name:
            if not task.every_days:
                return not day
            return day.lstrip("-").isdigit() and bool(due_between([task], int(day), int(day)))
    return False


def _for_calendar(tasks: Iterable[Task], today: int) -> list[Due]:
    single = [task for task in tasks if not task.every_days]
    coming = [task for task in tasks if task.every_days]
    return [
        *due_between(single, today, today + CALENDAR_DAYS),
        *due_between(coming, today, today + CALENDAR_REPEATS_DAYS),
    ]
