"""The log of gauge and thermometer as people read it: days, months, onsets and frosts in words.

Not the computation (``climate``). Its one rule: an unknown is said to be one; a count says of how many years it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate.figures import plain
from fieldbook.climate.year import MONTH_NAMES, date_of_day, date_words
from fieldbook.web.words import counted

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from fieldbook.climate.daily import Day
    from fieldbook.climate.logged import LoggedMonth, OwnMonth
    from fieldbook.climate.memory import Remembered
    from fieldbook.climate.nights import FrostSeasons, WeekNights
    from fieldbook.climate.onset import OnsetRule, Onsets, RainSeason
    from fieldbook.climate.rounding import RoundingLoss
    from fieldbook.climate.seasons import Period

UNKNOWN = "not known"


def full_date(date: dt.date) -> str:
    """A day of one year: ``6 May 2026``."""
    return f"{date_words(f'{date:%m-%d}')} {date.year}"


def day_cells(days: Iterable[Day]) -> list[tuple[str, str, str, str, str]]:
    """Of each day its date for the address, its date in words, rain, coolest and warmest."""
    return [
        (day.date.isoformat(), full_date(day.date), _rain(day), figure(day.tmin_c), figure(day.tmax_c)) for day in days
    ]


def _rain(day: Day) -> str:
    if day.rain_mm is None:
        return UNKNOWN
    return plain(day.rain_mm) if day.rain_days == 1 else f"{plain(day.rain_mm)} in {day.rain_days} days"


def figure(value: float | None) -> str:
    """A figure, or that it is not known."""
    return UNKNOWN if value is None else plain(value)


def month_cells(one: LoggedMonth) -> tuple[str, str]:
    """What a month of the log has, and what it lacks."""
    rain = f"rain {plain(one.rain_mm)} mm" if one.rain_mm is not None else "rain not known"
    warmth = (
        f"coolest {plain(one.tmin_c)} °C, warmest {plain(one.tmax_c)} °C on average"
        if one.tmin_c is not None and one.tmax_c is not None
        else "temperatures not known"
    )
    lacks = [
        f"{count} {what}"
        for count, what in (
            (one.rain_missing, "days of rain not read"),
            (one.temperature_missing, "days of temperature not read"),
        )
        if count
    ]
    return f"{rain}; {warmth}", "; ".join(lacks) or "nothing is missing"


def own_cells(own: Sequence[OwnMonth]) -> list[tuple[str, str, str, str]]:
    """Of each month its name and what the log has on average, with the years behind it."""
    return [
        (
            MONTH_NAMES[one.month - 1],
            _of_years(one.rain_mm, one.rain_years),
            _of_years(one.tmin_c, one.temperature_years),
            _of_years(one.tmax_c, one.temperature_years),
        )
        for one in own
    ]


def _of_years(value: float | None, years: int) -> str:
    if value is None:
        return UNKNOWN
    return f"{plain(value)} ({'1 year' if years == 1 else f'{years} years'})"


def period_words(one: Period) -> str:
    """One growing period: its days, its humid part, and what the soil keeps."""
    if one.start is None or one.end is None or one.rain_ends is None:
        return "All year: on every day rain is at least half of what a green cover would use."
    humid = (
        f"rain covers all that a green cover uses from {date_words(one.humid_start)} to {date_words(one.humid_end)}"
        if one.humid_start and one.humid_end
        else "rain never covers all that a green cover uses"
    )
    stored = f"the soil then keeps {plain(one.stored_mm, places=0)} mm" if one.stored_mm else "the soil keeps nothing"
    return (
        f"{date_words(one.start)} to {date_words(one.end)}, {one.days} days: {humid}; rains end "
        f"{date_words(one.rain_ends)}, and {stored}."
    )


def rule_words(rule: OnsetRule) -> str:
    """When rains count as begun, with every figure."""
    return (
        f"The rains count as begun on the first day of rain on which {plain(rule.total_mm)} mm have fallen within "
        f"{rule.window_days} days, if no dry spell of more than {rule.dry_days} days comes within the next "
        f"{rule.ahead_days}. A day counts as rainy from {plain(rule.rain_day_mm, places=2)} mm on."
    )


@dataclass(frozen=True)
class RainLine:
    """One season in words."""

    season: str
    began: str
    false_starts: str


@dataclass(frozen=True)
class RainsShown:
    """The onsets of one growing period in words."""

    looked: str
    lines: tuple[RainLine, ...]
    weeks: tuple[tuple[str, str, str], ...]
    too_few: str


def rains_shown(found: Onsets) -> RainsShown:
    """Onsets of one growing period, the newest season first."""
    first, known = date_words(date_of_day(found.look.earliest_day)), len(found.known)
    return RainsShown(
        looked=f"Looked for from {first} on, for {found.look.days} days.",
        lines=tuple(_rain_line(one) for one in reversed(found.seasons)),
        weeks=tuple(
            (
                date_words(date_of_day(week.start_day + 6)),
                f"{week.begun} of {week.of}",
                f"{week.false} of {week.of}",
            )
            for week in found.weeks
        ),
        too_few="" if found.weeks else f"Odds by week need ten years that are known; there are {known}.",
    )


def _rain_line(one: RainSeason) -> RainLine:
    began = {
        "began": f"began {full_date(one.onset)}" if one.onset else "",
        "none": "did not begin by this rule",
        "unknown": f"not known: {full_date(one.missing)} was not read" if one.missing else UNKNOWN,
    }
    false = "; ".join(
        f"{full_date(start.date)}, then {start.dry_days} dry days from {full_date(start.dry_from)}"
        for start in one.false_starts
    )
    return RainLine(str(one.earliest.year), began[one.outcome], false or "none seen")


def frost_words(found: FrostSeasons | None) -> tuple[str, ...]:
    """First and last frost; nothing where there was none."""
    if found is None:
        return ()
    return (
        f"Frost in {found.with_frost} of {found.seasons} cold seasons, {plain(found.nights_mean)} nights each.",
        f"First frost: on average {_day(found.first_mean_day)}, earliest {_day(found.first_earliest_day)}.",
        f"Last frost: on average {_day(found.last_mean_day)}, latest {_day(found.last_latest_day)}.",
    )


def _day(day: int) -> str:
    return date_words(date_of_day(day))


def night_cells(weeks: Iterable[WeekNights], *, years: int) -> list[tuple[str, str, str]]:
    """Of each week with frost or heat, in how many years; a week that too few years know says so."""
    return [
        (
            f"{_day(week.start_day)} to {_day(week.end_day)}",
            _counted(week.frost_years, week.frost_of, years),
            _counted(week.heat_years, week.heat_of, years),
        )
        for week in weeks
        if week.frost_years or week.heat_years
    ]


def _counted(happened: int, known: int, years: int) -> str:
    if known < years:
        return f"seen in {happened} of {known}, too few years" if happened else UNKNOWN
    return f"{happened} of {known} years"


def loss_words(loss: RoundingLoss) -> str:
    """What rounding costs those who compute from what leaves the site."""
    most, month = plain(abs(loss.eto_mm_day), places=2), MONTH_NAMES[loss.month - 1]
    eto = f"evaporation is off by {most} mm a day at most, in {month}"
    if loss.periods_here != loss.periods_there:
        seasons = f"they see {loss.periods_there} growing periods where there are {loss.periods_here}"
    elif loss.start_days is None:
        seasons = "the growing periods are the same"
    elif loss.start_days == 0:
        seasons = "growing periods begin on the same day"
    else:
        seasons = f"growing periods begin up to {counted(loss.start_days, 'day', 'days')} earlier or later"
    return f"Whoever computes from that is less exact: {eto}; {seasons}."


@dataclass(frozen=True)
class GrowerLine:
    """One question to old growers in words."""

    question: str
    said: str
    figures: str
    verdict: str
    parts: bool


def grower_lines(compared: Iterable[Remembered], questions: dict[str, str]) -> list[GrowerLine]:
    """What growers said beside the figures, question by question."""
    return [_grower_line(one, questions[one.question]) for one in compared]


def _grower_line(one: Remembered, question: str) -> GrowerLine:
    said = ", ".join(f"{MONTH_NAMES[month - 1]} ({count})" for month, count in one.said)
    figures = ", ".join(MONTH_NAMES[month - 1] for month in one.figures)
    if not one.asked:
        verdict = "Nobody has answered yet."
    elif not one.figures:
        verdict = "The figures give no month for this."
    elif one.parts:
        verdict = f"They part: {one.agree} of {one.asked} agree. Ask more people before anybody relies on a date."
    else:
        verdict = f"They agree: {one.agree} of {one.asked} within a month."
    return GrowerLine(question, said or "nobody yet", figures or "none", verdict, one.parts)
