"""What leaves a site of its place and climate: rounded, and how much less true it is for that.

What it is: the steps of rounding, and the climate computed once more from the rounded figures. What it is not: the
words that are signed; the site says those.

Its one rule: what others can learn is never finer than these steps, and what that costs them is said in figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from fieldbook.climate.bounds import AnyUnit
from fieldbook.climate.figures import Figure, decimal_figure, settled
from fieldbook.climate.monthly import Method, MonthClimate, monthly_climate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.radiation import ISLAND_HIGHEST_M
from fieldbook.climate.seasons import Period, growing_periods
from fieldbook.climate.year import DAYS_IN_YEAR

LATITUDE_STEP_DEG: Final = 1  # some 110 km
ELEVATION_STEP_M: Final = 100
RAIN_STEP_MM: Final = 5
TEMPERATURE_STEP_C: Final = 0.5


def to_step(value: AnyUnit, *, step: AnyUnit) -> AnyUnit:
    """Return the nearest multiple of a step, halves to the even one; nought has no sign.

    Args:
        value: Any figure.
        step: In the same unit.

    Source: arithmetic.
    """
    return round(value / step) * step + 0.0


def rounded_place(place: Place) -> Place:
    """Return a place as others learn it.

    Args:
        place: Exactly.
    """
    return Place(
        latitude_deg=to_step(place.latitude_deg, step=LATITUDE_STEP_DEG),
        elevation_m=to_step(place.elevation_m, step=ELEVATION_STEP_M),
        setting=place.setting,
    )


def rounded_normals(normals: Normals) -> Normals:
    """Return months as others learn them: rain and both temperatures alone.

    Args:
        normals: Exactly.
    """
    return Normals(
        rain_mm=tuple(to_step(value, step=RAIN_STEP_MM) for value in normals.rain_mm),
        tmin_c=tuple(to_step(value, step=TEMPERATURE_STEP_C) for value in normals.tmin_c),
        tmax_c=tuple(to_step(value, step=TEMPERATURE_STEP_C) for value in normals.tmax_c),
        borrowed=normals.borrowed,
    )


@dataclass(frozen=True, slots=True)
class RoundingLoss:
    """How far the climate that others compute from the rounded figures lies from this site's own.

    Attributes:
        month: The month (1 to 12) in which evapotranspiration differs most.
        eto_mm_day: By how much there [mm/day]; more than its own counts up.
        periods_here: Growing periods from the exact figures.
        periods_there: Growing periods from the rounded ones.
        start_days: How far their starts lie apart at most [days]; None where their number differs or none has a start.
    """

    month: int
    eto_mm_day: float
    periods_here: int
    periods_there: int
    start_days: int | None

    def as_value(self) -> dict[str, Figure | None]:
        """Give what is printed."""
        return {
            "month": self.month,
            "eto_mm_day": decimal_figure(self.eto_mm_day, places=2),
            "periods_here": self.periods_here,
            "periods_there": self.periods_there,
            "start_days": self.start_days,
        }


def rounding_loss(normals: Normals, place: Place, *, method: Method = "penman-monteith") -> RoundingLoss:
    """Compute the climate once more from what leaves the site, and compare.

    Args:
        normals: The site's months, exactly.
        place: Where it lies, exactly.
        method: As for `monthly_climate`.

    Source: arithmetic.
    Valid: places and normals as their own types allow.
    """
    exact = monthly_climate(normals, place, method=method)
    coarse_normals = _passable(rounded_normals(normals), normals)
    coarse = monthly_climate(coarse_normals, _reckonable(rounded_place(place)), method=method)
    apart = [settled(other.eto_mm_day - one.eto_mm_day) for one, other in zip(exact, coarse, strict=True)]
    most = max(range(len(apart)), key=lambda index: (abs(apart[index]), -index))
    here, there = _periods(normals, exact), _periods(coarse_normals, coarse)
    return RoundingLoss(most + 1, apart[most], len(here), len(there), _starts_apart(here, there))


def _reckonable(place: Place) -> Place:
    """Take a high island as a coast: without its sunshine, which does not leave the site, others have no other way."""
    if place.setting == "island" and place.elevation_m > ISLAND_HIGHEST_M:
        return replace(place, setting="coast")
    return place


def _passable(coarse: Normals, exact: Normals) -> Normals:
    """Keep a span between the extremes where rounding made them equal."""
    tmax = tuple(
        high if high > low else low + max(own_high - own_low, 0.1)
        for low, high, own_low, own_high in zip(coarse.tmin_c, coarse.tmax_c, exact.tmin_c, exact.tmax_c, strict=True)
    )
    return replace(coarse, tmax_c=tmax)


def _periods(normals: Normals, months: Sequence[MonthClimate]) -> tuple[Period, ...]:
    return growing_periods(rain_mm=normals.rain_mm, eto_mm=[month.eto_mm for month in months])


def _starts_apart(here: Sequence[Period], there: Sequence[Period]) -> int | None:
    """Days between the starts of the same periods, at most; the shorter way round the year."""
    ours = [one.start_day for one in here if one.start_day is not None]
    theirs = [one.start_day for one in there if one.start_day is not None]
    if len(ours) != len(theirs) or not ours:
        return None
    shifts = (theirs[turn:] + theirs[:turn] for turn in range(len(theirs)))
    return min(max(_apart(one, other) for one, other in zip(ours, shifted, strict=True)) for shifted in shifts)


def _apart(one: int, other: int) -> int:
    return min((one - other) % DAYS_IN_YEAR, (other - one) % DAYS_IN_YEAR)
