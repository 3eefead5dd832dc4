"""A site's year, made ready once for all crops.

What it is: the climate of `monthly`, the growing periods and the days that are barred by cold, heat, frost or salty
water. What it is not: anything of a single crop but the answer to what bars it.

Its one rule: what the site did not state is unknown, and a calendar says so; it is never taken for none.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from fieldbook.climate.bounds import MONTHS, ClimateError
from fieldbook.climate.crops import Crop, Warmth
from fieldbook.climate.degree_days import degree_days
from fieldbook.climate.monthly import Method, MethodUsed, MonthClimate, method_used, monthly_climate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.seasons import Period, growing_periods
from fieldbook.climate.stretches import Barrier, Stretch
from fieldbook.climate.water import Weather, monthly_weather
from fieldbook.climate.year import MONTH_OF_DAY, daily_from_monthly

_OPEN: Final[Barrier] = (None,) * len(MONTH_OF_DAY)


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFacts:
    """What the twelve months do not show and the site states itself.

    Attributes:
        watering: Whether there is water to spare for plants.
        salt_water_months: Months (1 to 12) in which that water is too salty; None if not stated.
        frost_months: Months in which frost comes on some nights; None if not stated.
    """

    watering: bool = False
    salt_water_months: frozenset[int] | None = None
    frost_months: frozenset[int] | None = None

    def __post_init__(self) -> None:
        """Refuse what is no month."""
        for month in (self.salt_water_months or frozenset()) | (self.frost_months or frozenset()):
            if not 1 <= month <= MONTHS:
                raise ClimateError(f"there is no month {month}", hint="give a month from 1 to 12")


@dataclass(frozen=True, slots=True)
class SiteYear:
    """A site's year.

    Attributes:
        normals: As given.
        facts: As stated.
        method: What the figures rest on.
        months: Light and thirst of each month.
        periods: The growing periods.
        tmean_c: Mean temperature of each day, read between the months [C].
        weather: Thirst and usable rain of each month.
    """

    normals: Normals
    facts: SiteFacts
    method: MethodUsed
    months: tuple[MonthClimate, ...]
    periods: tuple[Period, ...]
    tmean_c: tuple[float, ...]
    weather: Weather

    @property
    def rain_fed(self) -> tuple[Stretch, ...]:
        """The stretches that rain and stored water carry."""
        return tuple(
            Stretch(1, None) if period.start_day is None else Stretch(period.start_day, period.days)
            for period in self.periods
        )

    def weather_bars(self, crop: Crop) -> Barrier:
        """Days that cold, heat or frost bar for a crop that stands."""
        low, high = crop.warmth.bears_min_c, crop.warmth.bears_max_c
        frost = self._frost_months() if crop.frost == "always" else frozenset()
        if not frost and low <= min(self.tmean_c) and max(self.tmean_c) <= high:
            return _OPEN
        return tuple(
            "cold" if mean < low else "heat" if mean > high else "frost" if month in frost else None
            for mean, month in zip(self.tmean_c, MONTH_OF_DAY, strict=True)
        )

    def young_bars(self, crop: Crop) -> Barrier:
        """Days that frost bars for a crop while it is young."""
        frost = self._frost_months() if crop.frost == "young" else frozenset()
        return _by_month(frost, "young-frost")

    def salt_bars(self, crop: Crop) -> Barrier:
        """Days on which the water is salty and effective rain does not cover a crop in full leaf."""
        if not self.facts.salt_water_months:
            return _OPEN
        highest = max(crop.kc.initial, crop.kc.mid, crop.kc.end)
        weather = zip(self.weather.eto_mm_day, self.weather.usable_mm_day, strict=True)
        short = {month for month, (eto, usable) in enumerate(weather, start=1) if highest * eto > usable}
        return _by_month(self.facts.salt_water_months & short, "salt")

    def degree_days(self, warmth: Warmth) -> tuple[float, ...]:
        """Degree days of each day over what a crop bears at least, from the mean, none above what it likes [C d]."""
        ends = zip(self.normals.tmin_c, self.normals.tmax_c, strict=True)
        base, upper = warmth.bears_min_c, warmth.likes_max_c
        months = [degree_days(tmin_c=low, tmax_c=high, base_c=base, upper_c=upper) for low, high in ends]
        return daily_from_monthly(months)

    def _frost_months(self) -> frozenset[int]:
        """Months stated, and those whose mean minimum is at or below 0 C, where frost is certain."""
        certain = {month for month, low in enumerate(self.normals.tmin_c, start=1) if low <= 0}
        return (self.facts.frost_months or frozenset()) | certain


@lru_cache(maxsize=64)
def _by_month(months: frozenset[int], code: str) -> Barrier:
    if not months:
        return _OPEN
    return tuple(code if month in months else None for month in MONTH_OF_DAY)


@lru_cache(maxsize=64)
def merged(first: Barrier, second: Barrier) -> Barrier:
    """Return both barriers as one; where both bar a day, the first names the cause."""
    if second is _OPEN:
        return first
    return tuple(one or other for one, other in zip(first, second, strict=True))


def site_year(normals: Normals, place: Place, facts: SiteFacts, *, method: Method = "penman-monteith") -> SiteYear:
    """Make a site's year ready.

    Args:
        normals: The site's monthly normals.
        place: Where it lies.
        facts: What it states itself.
        method: As for `monthly_climate`.
    """
    months = monthly_climate(normals, place, method=method)
    return SiteYear(
        normals=normals,
        facts=facts,
        method=method_used(normals, place, method=method),
        months=months,
        periods=growing_periods(rain_mm=normals.rain_mm, eto_mm=[month.eto_mm for month in months]),
        tmean_c=daily_from_monthly(normals.tmean_c),
        weather=monthly_weather(eto_mm_day=[month.eto_mm_day for month in months], rain_mm=normals.rain_mm),
    )
