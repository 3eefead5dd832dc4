"""The site's own weather: a log of gauge and thermometer that people here keep, and what is read from it.

Papers of this site, one for each year; they leave it only as rounded months, and only where the site goes by its own
log. Its one rule: what was not read is unknown, and nothing of the log enters the months that the site goes by before
a person who keeps the site says so.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.climate.daily import Day, read_day, read_days, record_of
from fieldbook.climate.figures import decimal_figure
from fieldbook.climate.logged import YEARS_TO_GO_BY, fewest_years, logged_months, own_months
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.nights import frost_seasons, weeks_of_nights
from fieldbook.climate.onset import looks, onsets
from fieldbook.climate.rounding import rounding_loss
from fieldbook.climate.seasons import growing_periods
from fieldbook.site.parts import SiteError, time_claimed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from fieldbook.climate.daily import DailyRecord
    from fieldbook.climate.logged import LoggedMonth, OwnMonth
    from fieldbook.climate.onset import Onsets
    from fieldbook.climate.rounding import RoundingLoss
    from fieldbook.climate.seasons import Period
    from fieldbook.notebook import Record
    from fieldbook.site.borrowing import Borrowing

LOG_YEAR = "weather-year"  # one paper for each year: the days by month and day
BROUGHT = "weather-brought"  # a table of days that was brought in: from whom, which days, when
WORDS_MAX = 120


@dataclass(frozen=True)
class BroughtDays:
    """A table of days that was brought in."""

    whose: str
    first: str
    last: str
    days: int
    on: str | None


class Weather:
    """The log of one site."""

    def __init__(self, site: Borrowing) -> None:
        """Read and write the log of this site."""
        self._site = site
        self._notebook = site.notebook

    def record(self) -> DailyRecord:
        """Every day that was read here or brought in."""
        return record_of(day for paper in self._notebook.records(LOG_YEAR) for day in _days_of(paper))

    def put_down(self, cells: Mapping[str, str]) -> Day:
        """Keep what was read on one day; it takes the place of what stood there for that day.

        Args:
            cells: ``date``, ``rain_mm``, ``rain_days``, ``tmin_c``, ``tmax_c`` as people typed them; empty is unknown.

        Raises:
            FieldbookError: something in it cannot be right, or the day has not come yet; nothing is written.
        """
        day = read_day(cells)
        self._refuse_tomorrow([day])
        self._keep([day], instead=True)
        return day

    def strike(self, date: str) -> None:
        """Take a day out of the log.

        Raises:
            SiteError: it is not in it.
        """
        paper = next(iter(self._notebook.records(LOG_YEAR, about=date[:4])), None)
        if paper is None or date[5:] not in paper.document["days"]:
            raise SiteError(f"the log has no day {date}", hint="look at the log again")
        days = {name: cells for name, cells in paper.document["days"].items() if name != date[5:]}
        self._notebook.change_record(paper, {"days": days})
        self._follow()

    def bring_in(self, table: str, *, whose: str) -> BroughtDays:
        """Keep a table of days; a figure takes the place of the one that stood there, an empty cell of none.

        Args:
            table: the CSV text.
            whose: who read these days and where, in a few words.

        Raises:
            FieldbookError: something in it cannot be right, or nobody says whose it is; nothing is written.
        """
        words = " ".join(whose.split())
        if not words or len(words) > WORDS_MAX:
            raise SiteError(
                "nothing says who read these days",
                hint=f"write whose they are and from where, such as: weather office, 12 km north; at most {WORDS_MAX} "
                "characters",
            )
        days = read_days(table).days
        self._refuse_tomorrow(days)
        read = [day for day in days if _cells(day)]
        if not read:
            raise SiteError("the table has no day on which anything was read", hint="choose another table")
        self._keep(read, instead=False)
        brought = BroughtDays(
            words, read[0].date.isoformat(), read[-1].date.isoformat(), len(read), time_claimed(self._site.clock())
        )
        self._notebook.add_record(BROUGHT, brought.__dict__)
        return brought

    def brought(self) -> tuple[BroughtDays, ...]:
        """The tables that were brought in, the oldest first."""
        return tuple(BroughtDays(**paper.document) for paper in self._notebook.records(BROUGHT))

    def months(self) -> tuple[LoggedMonth, ...]:
        """Every month that the log touches."""
        return logged_months(self.record())

    def own(self) -> tuple[OwnMonth, ...]:
        """The twelve months as the log has them, with the years behind each."""
        return own_months(self.months())

    @property
    def goes_by(self) -> bool:
        """Whether the site goes by its own log."""
        return self._notebook.fact("own_log") is not None

    def go_by(self, *, own: bool) -> None:
        """Go by the own log from now on, or by the months that were given or borrowed.

        Raises:
            SiteError: no column of the log has years enough yet.
        """
        if own:
            self.need_years()
        self._notebook.set_fact("own_log", [one.as_value() for one in self.own()] if own else None)
        self._site.settle()

    def need_years(self) -> None:
        """Check that the log has years enough to go by it.

        Raises:
            SiteError: neither rain nor temperatures have.
        """
        years = fewest_years(self.own())
        if max(years.rain_years, years.temperature_years) < YEARS_TO_GO_BY:
            raise SiteError(
                f"the log has no {YEARS_TO_GO_BY} whole years yet of each month, neither of rain nor of temperatures",
                hint="go on reading the gauge and the thermometer; until then the log is shown beside the figures",
            )

    def choose_method(self, method: str) -> None:
        """Compute evaporation by this method from now on; one method for all answers of the site.

        Raises:
            ClimateError: there is no such method, or it cannot take the months of this site; nothing is changed.
        """
        monthly_climate(self._site.normals(), self._site.place(), method=method)  # type: ignore[arg-type]
        self._notebook.set_fact("eto_method", method)

    def rounding_loss(self) -> RoundingLoss:
        """How much less true the climate is that others compute from what leaves this site."""
        return rounding_loss(self._site.normals(), self._site.place(), method=self._site.eto_method)

    def periods(self) -> tuple[Period, ...]:
        """The growing periods of the months that the site goes by."""
        normals = self._site.normals()
        months = monthly_climate(normals, self._site.place(), method=self._site.eto_method)
        return growing_periods(rain_mm=normals.rain_mm, eto_mm=[month.eto_mm for month in months])

    def onsets(self, record: DailyRecord) -> tuple[Onsets, ...]:
        """When the rains began in each season of the log, for each growing period."""
        return tuple(onsets(record, look) for look in looks(self.periods()))

    def document(self) -> dict[str, Any]:
        """What the log says, as JSON: how far it goes, its months, onsets, frosts and heat."""
        record = self.record()
        span, frosts = record.span, frost_seasons(record)
        return {
            "first": None if span is None else span[0].isoformat(),
            "last": None if span is None else span[1].isoformat(),
            "days": len(record.days),
            "goes_by_log": self.goes_by,
            "months": [one.as_value() for one in own_months(logged_months(record))],
            "onsets": [one.as_value() for one in self.onsets(record)],
            "frost": None if frosts is None else frosts.as_value(),
            "weeks": [one.as_value() for one in weeks_of_nights(record) if one.frost_years or one.heat_years],
            "brought": [one.__dict__ for one in self.brought()],
            "sources": ["wmo-1203", "onset-rule"],
        }

    def _refuse_tomorrow(self, days: Iterable[Day]) -> None:
        """Refuse days to come but one, since this laptop may keep another hour; a doubtful clock refuses none."""
        if self._site.clock_doubt is not None:
            return
        latest = self._site.clock().date() + dt.timedelta(days=1)
        ahead = next((day.date for day in days if day.date > latest), None)
        if ahead is not None:
            raise SiteError(f"the day {ahead.isoformat()} has not come yet", hint="check the year and the month")

    def _keep(self, days: Iterable[Day], *, instead: bool) -> None:
        by_year: dict[int, list[Day]] = {}
        for day in days:
            by_year.setdefault(day.date.year, []).append(day)
        for year, read in sorted(by_year.items()):
            paper = next(iter(self._notebook.records(LOG_YEAR, about=f"{year:04d}")), None)
            kept = {} if paper is None else {day.date: day for day in _days_of(paper)}
            kept |= {day.date: day if instead else day.over(kept.get(day.date)) for day in read}
            document = {"days": {f"{date:%m-%d}": _cells(kept[date]) for date in sorted(kept)}}
            if paper is None:
                self._notebook.add_record(LOG_YEAR, document, about=f"{year:04d}")
            else:
                self._notebook.change_record(paper, document)
        self._follow()

    def _follow(self) -> None:
        """Where the site goes by its log, let the months follow it."""
        if self.goes_by:
            self._notebook.set_fact("own_log", [one.as_value() for one in self.own()])
            self._site.settle()


def _days_of(paper: Record) -> Iterator[Day]:
    """The days of a paper; they were judged when they were written."""
    for name, cells in paper.document["days"].items():
        figures = {column: float(cells[column]) for column in ("rain_mm", "tmin_c", "tmax_c") if column in cells}
        date = dt.date.fromisoformat(f"{paper.about}-{name}")
        yield Day(date=date, rain_days=int(cells.get("rain_days", 1)), **figures)


def _cells(day: Day) -> dict[str, str]:
    """What was read of a day, as the paper keeps it."""
    figures = {"rain_mm": day.rain_mm, "tmin_c": day.tmin_c, "tmax_c": day.tmax_c}
    cells = {name: str(decimal_figure(value, places=2)) for name, value in figures.items() if value is not None}
    return cells if day.rain_days == 1 else cells | {"rain_days": str(day.rain_days)}
