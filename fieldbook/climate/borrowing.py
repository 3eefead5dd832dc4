"""A climate borrowed from another place: moved to this place's height, and how like the two places are.

What it is: temperatures by the fall with height of the standard atmosphere, and the figures by which a person judges
which place is like their own. What it is not: a choice; nothing here says which place to borrow from, and no season
is ever taken from the side of the equator.

Its one rule: only temperatures change with height; rain is carried over as it is, and the answer says that it is
borrowed wherever it goes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fieldbook.climate.bounds import ClimateError, require, require_months
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.normals import Borrowed, Normals
from fieldbook.climate.place import HIGHEST_M, LOWEST_M, Place
from fieldbook.climate.seasons import WET_SHARE

FALL_C_PER_KM: Final = 6.5  # standard-atmosphere
# our choice: over land a month's fall is mostly 4 to 9 C a km (from memory), so a temperature that is moved by 1000 m
# can be off by some 2.5 C; rain changes with height too, and nothing corrects that
HEIGHT_DIFFERENCE_MAX_M: Final = 1000.0
_COLDEST_C: Final = -50.0
_WARMEST_C: Final = 55.0


def warmer_below_c(*, from_m: float, to_m: float) -> float:
    """Return what is added to a temperature when it is moved from one height to another; less than nought upwards.

    Args:
        from_m: Height at which it was measured [m].
        to_m: Height at which it is wanted [m].

    Returns:
        The difference [C].

    Raises:
        ClimateError: A height is that of no garden, or the two lie too far apart.

    Source: standard-atmosphere.
    Valid: heights from -430 to 5500 m, at most 1000 m apart; monthly means over land, not single nights: a hollow
        that holds cold air, or a slope above it, differs.
    """
    for height in (from_m, to_m):
        require(height, name="the height", low=LOWEST_M, high=HIGHEST_M, unit="m", hint="give metres above the sea")
    if abs(to_m - from_m) > HEIGHT_DIFFERENCE_MAX_M:
        raise ClimateError(
            f"the two places lie {abs(to_m - from_m):g} m apart in height, more than {HEIGHT_DIFFERENCE_MAX_M:g} m",
            hint="choose a site nearer in height, or ask the weather service for figures of this place",
        )
    return (from_m - to_m) / 1000 * FALL_C_PER_KM


def borrowed_normals(lent: Normals, *, whose: str, from_m: float, to_m: float) -> Normals:
    """Return the normals of another place as they may be used at this one, marked as borrowed.

    Humidity, wind and sunshine are left out: they are of that place alone, and count as not measured here.

    Args:
        lent: The other place's normals.
        whose: How people name that place, such as `C Cloudstep Terrace`.
        from_m: Its height [m].
        to_m: This place's height [m].

    Raises:
        ClimateError: The two lie too far apart in height, or a temperature comes out as none on dry land, or what is
            lent was borrowed itself.

    Source: standard-atmosphere.
    Valid: as `warmer_below_c`; rain is not changed.
    """
    if lent.borrowed is not None:
        raise ClimateError(f"the climate of {whose} is borrowed itself", hint="choose a site that has its own figures")
    change = warmer_below_c(from_m=from_m, to_m=to_m)
    return Normals(
        rain_mm=lent.rain_mm,
        tmin_c=_moved(lent.tmin_c, change, name="tmin_c"),
        tmax_c=_moved(lent.tmax_c, change, name="tmax_c"),
        borrowed=Borrowed(whose=whose, height_difference_m=to_m - from_m),
    )


def _moved(values: Sequence[float], change: float, *, name: str) -> tuple[float, ...]:
    return require_months([value + change for value in values], name=name, low=_COLDEST_C, high=_WARMEST_C, unit="C")


@dataclass(frozen=True, slots=True)
class Likeness:
    """How another place compares with this one; a person judges by it.

    Attributes:
        latitude_difference_deg: How much further from the equator the other place lies [deg]; negative where nearer.
        other_side: Whether the equator lies between the two, so that warm and cool months, and mostly the rains, come
            half a year apart.
        height_difference_m: How much higher the other place lies [m]; negative where lower.
        year_rain_mm: Its rain of a year [mm].
        rain_difference_mm: How much more that is than this place's [mm]; None where that is not known.
        wet_months: Its wet months, 1 to 12: rain is at least half of what a green cover would use.
        wet_in_both: Of these, the ones that are wet here too; None where that is not known.
        wet_here_alone: Months that are wet here and not there; None where that is not known.
        in_reach: Whether its temperatures can be moved to this place's height.
    """

    latitude_difference_deg: float
    other_side: bool
    height_difference_m: float
    year_rain_mm: float
    rain_difference_mm: float | None
    wet_months: tuple[int, ...]
    wet_in_both: tuple[int, ...] | None
    wet_here_alone: tuple[int, ...] | None
    in_reach: bool


def likeness(
    here: Place,
    there: Place,
    normals: Normals,
    *,
    year_rain_mm: float | None = None,
    wet_months: frozenset[int] = frozenset(),
) -> Likeness:
    """Compare another place with this one.

    Args:
        here: This place.
        there: The other one.
        normals: The other one's.
        year_rain_mm: What people here know of the rain of a year [mm]; None for not known.
        wet_months: The months that people here call wet; none for not known.

    Source: growing-period, for what a wet month is.
    Valid: places and normals as their own types allow.
    """
    wet = wet_months_of(normals, there)
    rain = sum(normals.rain_mm)
    return Likeness(
        latitude_difference_deg=abs(there.latitude_deg) - abs(here.latitude_deg),
        other_side=here.latitude_deg * there.latitude_deg < 0,
        height_difference_m=there.elevation_m - here.elevation_m,
        year_rain_mm=rain,
        rain_difference_mm=None if year_rain_mm is None else rain - year_rain_mm,
        wet_months=wet,
        wet_in_both=tuple(month for month in wet if month in wet_months) if wet_months else None,
        wet_here_alone=tuple(sorted(wet_months.difference(wet))) if wet_months else None,
        in_reach=abs(there.elevation_m - here.elevation_m) <= HEIGHT_DIFFERENCE_MAX_M,
    )


def wet_months_of(normals: Normals, place: Place) -> tuple[int, ...]:
    """Return the months (1 to 12) whose rain is at least half of what a green cover would use.

    Args:
        normals: The place's normals.
        place: Where it lies.

    Source: growing-period.
    """
    return tuple(month.month for month in monthly_climate(normals, place) if month.rain_mm >= WET_SHARE * month.eto_mm)
