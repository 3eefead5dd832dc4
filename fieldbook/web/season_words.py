"""Planting windows as people read them: dates in words, water in litres, one line a window.

Not the computation (``climate``). Its one rule: dates of the year, never of one year; a figure keeps its unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate.warmth import GRADES
from fieldbook.climate.year import MONTH_NAMES, date_of_day, date_words, day_of_date, day_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.climate.warmth import Suits
    from fieldbook.climate.windows import Window

MONTHS = MONTH_NAMES
LEAST_SHOWN_L = 0.05  # a day on a square metre; less is shown as none
SUPPLY_WORDS = {
    "rain": "rain alone",
    "rain and watering": "rain and watering",
    "watering": "must be watered",
}


SLOW_WORDS = "may not ripen"
SUITS_WORDS: dict[Suits, str] = {"well": "best", "fairly": "fair", "badly": "poor"}
STAGE_WORDS = {
    "initial": "coming up",
    "development": "growing to full leaf",
    "mid": "in full leaf, flower and fruit",
    "late": "ripening, to the end",
    "whole": "all the time that it stands",
}


@dataclass(frozen=True)
class WindowLine:
    """A window in words; ``nursery`` is empty where there is none.

    ``stages`` holds what it is doing, for how many days, and litres.
    """

    crop: str
    name: str
    plant: str
    suits: str
    nursery: str
    harvest: str
    water: str
    total: str
    supply: str
    stages_planted: str
    stages: tuple[tuple[str, int, str], ...]
    dung: tuple[str, ...]
    again: tuple[str, ...]
    limits: tuple[str, ...]
    reasons: tuple[str, ...]


def month_runs(months: Iterable[int]) -> str:
    """Months (1 to 12) in words, neighbours joined round the year: ``November to February, May``."""
    wanted = sorted(set(months))
    if len(wanted) in {0, len(MONTHS)}:
        return "every month" if wanted else "none"
    starts = [month for month in wanted if (month - 2) % 12 + 1 not in wanted]
    runs = []
    for start in starts:
        end = start
        while end % 12 + 1 in wanted:
            end = end % 12 + 1
        runs.append(MONTHS[start - 1] if start == end else f"{MONTHS[start - 1]} to {MONTHS[end - 1]}")
    return ", ".join(runs)


def span(first: str, last: str) -> str:
    """A run of days of the year."""
    return f"{date_words(first)} to {date_words(last)}" if first != last else date_words(first)


def window_line(window: Window) -> WindowLine:
    """One window in words."""
    nursery = ""
    if window.nursery_from and window.nursery_to:
        nursery = "any day" if window.all_year else span(window.nursery_from, window.nursery_to)
    thirsty = window.highest_l_m2_day >= LEAST_SHOWN_L
    return WindowLine(
        crop=window.crop,
        name=window.name,
        plant="any day of the year" if window.all_year else span(window.start, window.end),
        suits=suits_words(window),
        nursery=nursery,
        harvest="any day of the year" if window.all_year else span(window.harvest_from, window.harvest_to),
        water=f"{window.highest_l_m2_day:.1f} L on each m² a day" if thirsty else "none",
        total=f"{window.total_l_m2:.0f} L on each m²" if thirsty else "",
        supply=SUPPLY_WORDS.get(window.supply, window.supply),
        stages_planted=day_words(window.stages_planted_day),
        stages=tuple((STAGE_WORDS[one.stage], one.days, f"{one.average_l_m2_day:.1f}") for one in window.stages),
        dung=tuple(one.words for one in window.dung),
        again=tuple(one.words for one in window.again),
        limits=tuple(one.words for one in window.limits),
        reasons=tuple(one.words for one in window.reasons),
    )


def suits_words(window: Window) -> str:
    """How well the warmth suits what is planted in a window: one word for all of it, or its best days and the rest."""
    met, slow = _grades_met(window), f"; {SLOW_WORDS} in time" if window.may_not_ripen else ""
    if len(met) == 1:
        return SUITS_WORDS[met[0]] + slow
    rest = " to ".join(SUITS_WORDS[one] for one in met[1:])
    return f"{SUITS_WORDS[met[0]]} {', '.join(best_runs(window))}; else {rest}{slow}"


def suits_lines(window: Window) -> tuple[str, ...]:
    """The same where there is little room: its best days, a line a run; nothing where all is best, or all is fair."""
    met, slow = _grades_met(window), (SLOW_WORDS,) if window.may_not_ripen else ()
    if len(met) == 1:
        return (SUITS_WORDS["badly"], *slow) if met[0] == "badly" else slow
    return (*(f"{SUITS_WORDS[met[0]]} {run}" for run in best_runs(window)), *slow)


def best_runs(window: Window) -> list[str]:
    """The days of the best grade that a window has."""
    best = _grades_met(window)[0]
    return [_short_run(one.start_day, one.end_day) for one in window.suited if one.suits == best]


def _grades_met(window: Window) -> list[Suits]:
    return [suits for suits in GRADES if any(one.suits == suits for one in window.suited)]


def suits_on(window: Window, month_day: str) -> Suits:
    """How well the warmth suits what is planted on a day (``MM-DD``) of a window."""
    day = day_of_date(month=int(month_day[:2]), day=int(month_day[3:]))
    return next((one.suits for one in window.suited if one.holds(day)), window.suited[0].suits)


def _short_run(start_day: int, end_day: int) -> str:
    first, last = short_date(date_of_day(start_day)), short_date(date_of_day(end_day))
    return first if first == last else f"{first} to {last}"


def short_date(month_day: str) -> str:
    """A day of the year, such as ``3 Aug``."""
    month, day = month_day.split("-")
    return f"{int(day)} {MONTHS[int(month) - 1][:3]}"


def window_lines(windows: Iterable[Window]) -> list[WindowLine]:
    """Windows in words, in their order."""
    return [window_line(window) for window in windows]


# in the order of days: behind what is open now stands what opens later, then all year, then what would grow poorly
_LATER, _LAST, _POOR = 1000, 2000, 4000


@dataclass(frozen=True)
class NowLine:
    """A crop this month: its word in the table, its name, and until or from when it is sown or planted."""

    crop: str
    name: str
    when: str


@dataclass(frozen=True)
class Now:
    """This month at a site: what can still be planted, and what has ended."""

    still: tuple[NowLine, ...]
    over: tuple[NowLine, ...]


def now_lines(windows: Iterable[Window], today: str) -> Now:
    """The windows of this month, as seen on a day of the year (``MM-DD``); what closes first stands first."""
    still, over = list[tuple[int, str, NowLine]](), list[NowLine]()
    for window in windows:
        if _is_over(window, today):
            over.append(NowLine(window.crop, window.name, date_words(window.end)))
            continue
        order, when = _when_still(window, today)
        if suits_on(window, today if _is_open(window, today) else window.start) == "badly":
            order, when = order + _POOR, f"{when}, {SUITS_WORDS['badly']}"
        elif window.may_not_ripen:
            order, when = order + _POOR, f"{when}, {SLOW_WORDS}"
        still.append((order, window.name, NowLine(window.crop, window.name, when)))
    still.sort(key=lambda one: one[:2])
    return Now(tuple(line for *_, line in still), tuple(over))


def _when_still(window: Window, today: str) -> tuple[int, str]:
    """Where a window of this month stands in the list, and until or from when it is open."""
    if window.all_year:
        return _LAST, "all year"
    if _is_open(window, today):
        return _days_on(today, window.end), f"until {date_words(window.end)}"
    return _LATER + _days_on(today, window.start), f"from {date_words(window.start)}"


def _days_on(today: str, then: str) -> int:
    """About how many days it is until a day of the year; months of 31 days put them in the same order."""
    now, other = (31 * int(day[:2]) + int(day[3:]) for day in (today, then))
    return (other - now) % (12 * 31)


def _is_open(window: Window, today: str) -> bool:
    if window.start <= window.end:
        return window.start <= today <= window.end
    return today >= window.start or today <= window.end


def _is_over(window: Window, today: str) -> bool:
    """Closed, and closed earlier in this very month (one that opens later this month is yet to come)."""
    if window.all_year:
        return False
    opens_later = window.start[:2] == today[:2] and window.start > today
    return not _is_open(window, today) and not opens_later
