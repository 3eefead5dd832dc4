"""When the rains begin, from days: the onset of each year, the false starts before it, and how often by which week.

What it is: our rule (`Onset`) run over a record of days. What it is not: a forecast, nor a season by the side of the
equator: where to begin looking comes from the site's own growing periods.

Its one rule: a missing day makes a season unknown, never late and never dry; odds are said only of ten known seasons
and more.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum
from typing import Final, Literal

from fieldbook.climate.bounds import ClimateError, require
from fieldbook.climate.daily import DailyRecord
from fieldbook.climate.figures import Figure, decimal_figure
from fieldbook.climate.seasons import Period
from fieldbook.climate.year import DAYS_IN_YEAR, date_of_day, ring_day

SEASONS_FOR_ODDS: Final = 10  # our choice: of fewer, one season more or less moves every figure by over 10 in 100
LOOK_BEFORE_DAYS: Final = 60  # our choice: how long before the usual start the search begins, if it is dry so long
_SLACK: Final = 1e-9
_DAY: Final = dt.timedelta(days=1)

Outcome = Literal["began", "none", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnsetRule:
    """When rains count as begun; every figure is shown with the answer.

    Attributes:
        total_mm: Rain of the window [mm].
        window_days: Days of the window, the day judged last [days].
        rain_day_mm: Least rain of a day that counts as a day of rain [mm].
        dry_days: Longest run of days without rain that is borne [days].
        ahead_days: Within how many days after the onset no longer run may come [days].
        search_days: How long is looked [days].
    """

    total_mm: float = 20.0
    window_days: int = 3
    rain_day_mm: float = 0.85
    dry_days: int = 10
    ahead_days: int = 30
    search_days: int = 200

    def __post_init__(self) -> None:
        """Refuse figures that no season can be judged by."""
        require(self.total_mm, name="the rain of the onset", low=1, high=200, unit="mm")
        require(self.window_days, name="the window of the onset", low=1, high=10, unit="days")
        require(self.rain_day_mm, name="the least rain of a day", low=0.1, high=10, unit="mm")
        require(self.dry_days, name="the longest dry spell", low=3, high=30, unit="days")
        require(self.ahead_days, name="the days looked ahead", low=10, high=60, unit="days")
        require(self.search_days, name="the days of the search", low=30, high=300, unit="days")
        if self.dry_days >= self.ahead_days:
            raise ClimateError(
                f"a dry spell of over {self.dry_days} days does not fit into {self.ahead_days} days",
                hint="choose a shorter spell, or look further ahead",
            )

    def as_value(self) -> dict[str, Figure]:
        """Give the figures as they are shown."""
        return {
            "total_mm": decimal_figure(self.total_mm, places=2),
            "window_days": self.window_days,
            "rain_day_mm": decimal_figure(self.rain_day_mm, places=2),
            "dry_days": self.dry_days,
            "ahead_days": self.ahead_days,
            "search_days": self.search_days,
        }


USUAL_RULE: Final = OnsetRule()


@dataclass(frozen=True, slots=True)
class FalseStart:
    """Rain enough to sow by, and then a dry spell too long.

    Attributes:
        date: The first day that the rain was enough.
        dry_from: First day of the dry spell.
        dry_days: Its days, as far as was looked ahead [days].
    """

    date: dt.date
    dry_from: dt.date
    dry_days: int

    def as_value(self) -> dict[str, Figure]:
        """Give what is printed."""
        return {"date": self.date.isoformat(), "dry_from": self.dry_from.isoformat(), "dry_days": self.dry_days}


@dataclass(frozen=True, slots=True)
class RainSeason:
    """How the rains of one season came.

    Attributes:
        earliest: From which day on was looked.
        outcome: `began`, `none` (no onset within the search), or `unknown` (a day is missing).
        onset: The day on which the rains began, if they did.
        false_starts: Those before it, or before the missing day.
        missing: The first missing day that matters, if that is why it is unknown.
    """

    earliest: dt.date
    outcome: Outcome
    onset: dt.date | None = None
    false_starts: tuple[FalseStart, ...] = ()
    missing: dt.date | None = None

    def as_value(self) -> dict[str, object]:
        """Give what is printed."""
        return {
            "earliest": self.earliest.isoformat(),
            "outcome": self.outcome,
            "onset": None if self.onset is None else self.onset.isoformat(),
            "false_starts": [one.as_value() for one in self.false_starts],
            "missing": None if self.missing is None else self.missing.isoformat(),
        }


def rain_season(
    record: DailyRecord, earliest: dt.date, rule: OnsetRule = USUAL_RULE, *, search_days: int | None = None
) -> RainSeason:
    """Find the onset of one season.

    The onset is the first day, from the earliest on, that is a day of rain, on which the window has the rain wanted,
    and after which no dry spell longer than the one borne lies within the days looked ahead. The window may reach back
    before the earliest day; a missing day there adds nothing and does not make the season unknown.

    Args:
        record: The days; one that is not in it is unknown.
        earliest: First day that may be the onset.
        rule: When rains count as begun.
        search_days: Look only so long [days]; None for as long as the rule says.

    Source: onset-rule.
    Valid: any record of days.
    """
    rain_mm, false = record.rain_mm, dict[dt.date, FalseStart]()
    days = min(rule.search_days, search_days or rule.search_days)
    for offset in range(days):
        day = earliest + offset * _DAY
        if day not in rain_mm:
            return RainSeason(earliest, "unknown", None, tuple(false.values()), missing=day)
        if not _enough(rain_mm, day, rule):
            continue
        missing = _first_missing(rain_mm, day, rule.ahead_days)
        if missing is not None:
            return RainSeason(earliest, "unknown", None, tuple(false.values()), missing=missing)
        spell = _dry_spell(rain_mm, day, rule)
        if spell is None:
            return RainSeason(earliest, "began", day, tuple(false.values()))
        false.setdefault(spell[0], FalseStart(day, *spell))
    last = earliest + (days - 1) * _DAY
    missing = _first_missing(rain_mm, last, rule.ahead_days)
    outcome: Outcome = "none" if missing is None else "unknown"
    return RainSeason(earliest, outcome, None, tuple(false.values()), missing=missing)


def _enough(rain_mm: Mapping[dt.date, float], day: dt.date, rule: OnsetRule) -> bool:
    if rain_mm[day] < rule.rain_day_mm - _SLACK:
        return False
    window = (rain_mm.get(day - back * _DAY, 0.0) for back in range(rule.window_days))
    return fsum(window) >= rule.total_mm - _SLACK


def _first_missing(rain_mm: Mapping[dt.date, float], day: dt.date, ahead_days: int) -> dt.date | None:
    ahead = (day + step * _DAY for step in range(1, ahead_days + 1))
    return next((date for date in ahead if date not in rain_mm), None)


def _dry_spell(rain_mm: Mapping[dt.date, float], day: dt.date, rule: OnsetRule) -> tuple[dt.date, int] | None:
    """Give the first dry spell that is too long: its first day, and its days as far as was looked."""
    run = 0
    for step in range(1, rule.ahead_days + 2):
        date = day + step * _DAY
        if step <= rule.ahead_days and rain_mm[date] < rule.rain_day_mm - _SLACK:
            run += 1
            continue
        if run > rule.dry_days:
            return date - run * _DAY, run
        run = 0
    return None


@dataclass(frozen=True, slots=True)
class Look:
    """Where in the year to look for an onset.

    Attributes:
        earliest_day: First day of the year that may be the onset, 1 to 365.
        days: How long is looked [days].
    """

    earliest_day: int
    days: int


def looks(periods: Iterable[Period], rule: OnsetRule = USUAL_RULE) -> tuple[Look, ...]:
    """Say where in the year to look for onsets: before each growing period, from the dry days before it on.

    The search begins `LOOK_BEFORE_DAYS` before the usual start of a period, or where the one before it ends if that is
    later, and goes on until the usual rains of this period end.

    Args:
        periods: The site's growing periods; one that lasts all year has no onset.
        rule: When rains count as begun.

    Source: ours.
    """
    known = [one for one in periods if one.start_day and one.rain_ends_day and one.end_day]
    found = []
    for index, one in enumerate(known):
        start, rain_ends, before_ends = one.start_day or 1, one.rain_ends_day or 1, known[index - 1].end_day or 1
        back = min(LOOK_BEFORE_DAYS, (start - 1 - before_ends) % DAYS_IN_YEAR)
        usual = (rain_ends - start) % DAYS_IN_YEAR + 1
        found.append(Look(ring_day(start - back), min(rule.search_days, back + usual)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class WeekOdds:
    """How often the rains had begun by the end of a week, and how often they seemed to begin in it.

    Attributes:
        start_day: First day of the week, 1 to 365.
        begun: Seasons in which they had begun by its last day.
        false: Seasons with a false start in it.
        of: Known seasons.
    """

    start_day: int
    begun: int
    false: int
    of: int

    def as_value(self) -> dict[str, Figure]:
        """Give what is printed."""
        last = date_of_day(self.start_day + 6)
        return {
            "from": date_of_day(self.start_day),
            "to": last,
            "begun": self.begun,
            "false": self.false,
            "of": self.of,
        }


@dataclass(frozen=True, slots=True)
class Onsets:
    """The onsets of one growing period, season by season.

    Attributes:
        look: Where in the year was looked.
        rule: When rains count as begun.
        seasons: Every season of which a day at least was read, the oldest first.
        weeks: The odds week by week; empty under ten known seasons.
    """

    look: Look
    rule: OnsetRule
    seasons: tuple[RainSeason, ...]
    weeks: tuple[WeekOdds, ...]

    @property
    def known(self) -> tuple[RainSeason, ...]:
        """The seasons that are not unknown."""
        return tuple(one for one in self.seasons if one.outcome != "unknown")

    def as_value(self) -> dict[str, object]:
        """Give what is printed."""
        return {
            "looked_from": date_of_day(self.look.earliest_day),
            "looked_days": self.look.days,
            "rule": self.rule.as_value(),
            "seasons": [one.as_value() for one in self.seasons],
            "known_seasons": len(self.known),
            "weeks": [one.as_value() for one in self.weeks],
            "sources": ["onset-rule"],
        }


def onsets(record: DailyRecord, look: Look, rule: OnsetRule = USUAL_RULE) -> Onsets:
    """Find the onset of every season of a record, and the odds by week where there are ten known seasons and more.

    Args:
        record: The days.
        look: Where in the year to look.
        rule: When rains count as begun.

    Source: onset-rule.
    Valid: any record of days.
    """
    seasons = tuple(
        rain_season(record, earliest, rule, search_days=look.days)
        for earliest in _earliest_days(record, look)
        if any(earliest + step * _DAY in record.rain_mm for step in range(look.days))
    )
    made = Onsets(look, rule, seasons, ())
    if len(made.known) < SEASONS_FOR_ODDS:
        return made
    return Onsets(look, rule, seasons, tuple(_weeks(made.known, look)))


def _earliest_days(record: DailyRecord, look: Look) -> Iterator[dt.date]:
    """Give the day of each year from which is looked, where the record has rain from then on."""
    if not record.rain_mm:
        return
    first, last = min(record.rain_mm), max(record.rain_mm)
    month, day = (int(part) for part in date_of_day(look.earliest_day).split("-"))
    for year in range(first.year, last.year + 1):
        earliest = dt.date(year, month, day)
        if first <= earliest <= last:
            yield earliest


def _weeks(known: tuple[RainSeason, ...], look: Look) -> Iterator[WeekOdds]:
    """Give the weeks from the first in which anything began to the last."""
    begun = [(one.onset - one.earliest).days // 7 for one in known if one.onset is not None]
    false = [{(start.date - one.earliest).days // 7 for start in one.false_starts} for one in known]
    touched = [*begun, *(week for weeks in false for week in weeks)]
    for week in range(min(touched), max(touched) + 1) if touched else ():
        yield WeekOdds(
            start_day=ring_day(look.earliest_day + 7 * week),
            begun=sum(one <= week for one in begun),
            false=sum(week in weeks for weeks in false),
            of=len(known),
        )
