"""What is due: from plantings, waits, cans and practices that were begun, each thing to do with its day.

Not a reminder and not a clock. Its one rule: a day comes from the history alone; marking something as done never moves
a day, and days counted by hand come out as those counted by dates.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.tasks.bars import HANGS_CLEAR, TOUCHES_SOIL, bars, storage_days
from fieldbook.tasks.plantings import first_picking, plans_of, plantings_of
from fieldbook.tasks.spots import filled_on, standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from fieldbook.climate.crops import Crop
    from fieldbook.tasks.plantings import Planting
    from fieldbook.tasks.spots import Happening, Spot

CALL_BACK_DAYS = (7, 14, 30)  # ours: households give up at the seedling stage where nobody comes back


@dataclass(frozen=True, slots=True)
class Task:
    """One thing that is due at one spot or practice.

    Attributes:
        key: What it is called within its spot, for marking it as done and for calendars; never changes.
        day: The day, in the count of its spot.
        until: The last day on which it may be done, where that is later than ``day``.
        words: What to do, as it is printed; of a step of a practice, empty: the step's own words stand in ``step``.
        step: Of a practice, the index of the step whose words these are; None else.
        every_days: It comes back after so many days; 0 where it does not.
        notice: It only says what may be done from that day on, so there is nothing to tick.
    """

    key: str
    day: int
    words: str
    until: int | None = None
    step: int | None = None
    every_days: int = 0
    notice: bool = False

    @property
    def last(self) -> int:
        """The last day on which it is in time."""
        return self.day if self.until is None else self.until


def tasks_of(spot: Spot, history: Iterable[Happening], crops: Mapping[str, Crop]) -> tuple[Task, ...]:
    """What is due at a bed, box, can or pen, by day.

    Args:
        spot: Which one.
        history: All that was noted there.
        crops: The crop table.
    """
    done = standing(history)
    if any(one.what == "left" for one in done):
        return ()
    found = [*_of_can(spot, done), *_of_waits(spot, done)] if not spot.grows else [*_of_waits(spot, done)]
    for plan in plans_of(done, crops):
        verb = "Sow in the nursery" if plan.raised == "nursery" else "Plant" if plan.raised == "seedling" else "Sow"
        found.append(Task(key=f"h{plan.number}-sow", day=plan.day, words=f"{verb}: {plan.crop.common_name}."))
    for planting in plantings_of(done, crops):
        if planting.end_day is None:
            found += _of_planting(planting, spot, done)
    return tuple(sorted(found, key=lambda task: (task.day, task.key)))


def _of_can(spot: Spot, done: tuple[Happening, ...]) -> Iterator[Task]:
    filled = filled_on(done) if spot.holds == "urine" else None
    if filled is None:
        return
    for shared, who in ((False, "the own household eats"), (True, "others eat too")):
        yield Task(
            key=f"h{filled.number}-use-{'others' if shared else 'own'}",
            day=filled.day + storage_days(shared=shared),
            words=f"Use the stored urine from this day on soil where {who}, at least 30 days before picking.",
            notice=True,
        )


def _of_waits(spot: Spot, done: tuple[Happening, ...]) -> Iterator[Task]:
    """The days on which the longest waits of a bed end."""
    if not spot.grows:
        return
    both = [next(iter(bars(done, contact, shared=spot.shared)), None) for contact in (HANGS_CLEAR, TOUCHES_SOIL)]
    clear, touching = both
    if clear is not None and (touching is None or clear.until < touching.until):
        yield Task(
            key=f"h{clear.because.number}-clear",
            day=clear.until,
            words=f"The wait after {clear.because.wait_words} ends for what hangs clear of the soil.",
            notice=True,
        )
    if touching is not None:
        yield Task(
            key=f"h{touching.because.number}-touching",
            day=touching.until,
            words=f"The wait after {touching.because.wait_words} ends for leaves, roots, low fruit. Wash all of it.",
            notice=True,
        )


def _of_planting(planting: Planting, spot: Spot, done: tuple[Happening, ...]) -> Iterator[Task]:
    name, key = planting.crop.common_name, f"h{planting.number}"
    if (out := planting.out_window) is not None:
        yield Task(key=f"{key}-out", day=out[0], until=out[1], words=f"Plant out the seedlings: {name}.")
    first = first_picking(planting, done, spot)
    if first.bar is None:
        words = f"Look whether it can be picked: {name}."
    else:
        words = f"First picking, not before this day: {name}. The wait after {first.bar.because.wait_words} ends."
    yield Task(key=f"{key}-pick", day=first.day, until=max(first.day, first.ripe_by), words=words)
    yield Task(key=f"{key}-end", day=max(planting.last_day, first.day), words=f"Clear the bed and sow again: {name}.")


def follow_up() -> tuple[Task, ...]:
    """The days to go back and ask whether a practice that was begun works.

    Source: ours.
    """
    return tuple(
        Task(key=f"call-{day}", day=day, words="Call back: is it still done, was it changed, did it fail?")
        for day in CALL_BACK_DAYS
    )


def step_tasks(steps: Iterable[Mapping[str, object]]) -> tuple[Task, ...]:
    """The steps of a practice, each on its day after the practice was begun.

    Args:
        steps: The rows ``steps`` of an entry: ``day_offset`` in days, ``repeat`` with ``every_days`` and ``times``.
    """
    found = []
    for index, step in enumerate(steps):
        day, repeat = step.get("day_offset"), step.get("repeat")
        if not isinstance(day, int):
            continue
        every, times = _repeat(repeat)
        until = day + every * (times - 1) if every and times else None
        found.append(Task(key=f"step-{index}", day=day, words="", step=index, every_days=every, until=until))
    return tuple(found)


def _repeat(repeat: object) -> tuple[int, int]:
    """Every how many days, and how often; 0 times is without an end that is known here."""
    every = repeat.get("every_days") if isinstance(repeat, dict) else None
    if not isinstance(every, int) or every < 1 or not isinstance(repeat, dict):  # newer software may write otherwise
        return 0, 0
    times = repeat.get("times")
    return every, times if isinstance(times, int) and times > 0 else 0


@dataclass(frozen=True, slots=True)
class Due:
    """A task on one of its days.

    Attributes:
        task: What is due.
        day: The day, in the count of its spot.
        done: Whether it was marked as done.
    """

    task: Task
    day: int
    done: bool = False

    @property
    def key(self) -> str:
        """What this one occurrence is called within its spot."""
        return f"{self.task.key}@{self.day}" if self.task.every_days else self.task.key


def due_between(tasks: Iterable[Task], first: int, last: int, *, done: frozenset[str] = frozenset()) -> tuple[Due, ...]:
    """What is due from one day to another, both included, by day.

    Args:
        tasks: Of one spot or practice.
        first: The first day.
        last: The last day.
        done: The keys of what was marked as done.
    """
    found = [Due(task, day) for task in tasks for day in _days_between(task, first, last)]
    found.sort(key=lambda one: one.day)
    return tuple(Due(one.task, one.day, one.key in done) for one in found)


def _days_between(task: Task, first: int, last: int) -> Iterator[int]:
    if not task.every_days:
        if first <= task.day <= last:
            yield task.day
        return
    end = last if task.until is None else min(last, task.until)
    skipped = max(0, -(-(first - task.day) // task.every_days))
    yield from range(task.day + skipped * task.every_days, end + 1, task.every_days)


def open_on(tasks: Iterable[Task], day: int, *, done: frozenset[str] = frozenset()) -> tuple[Due, ...]:
    """What began before a day, does not come back by itself, and was not marked as done: late, or still in time."""
    lasting = (task for task in tasks if not task.every_days and not task.notice)
    began = (task for task in lasting if task.day < day and task.key not in done)
    return tuple(Due(task, task.day) for task in sorted(began, key=lambda one: one.day))
