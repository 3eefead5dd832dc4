"""Sun on the ground: how high, how long, how much.

What it is: the radiation chapter of FAO-56, one function an equation. What it is not: weather; cloud enters only as
hours of sunshine or as the span between the day's extremes of temperature.

Its one rule: latitude carries its sign, south negative, and no season is ever derived from it.
"""

from math import acos, cos, pi, radians, sin, sqrt, tan
from typing import Final

from fieldbook.climate.bounds import ClimateError, require

_SOLAR_CONSTANT_MJ_M2_MIN: Final = 0.0820
_KELVIN: Final = 273.16
_STEFAN_BOLTZMANN: Final = 4.903e-9  # MJ/K4/m2/day
_TEMPERATURE_FACTOR: Final = {"interior": 0.16, "coast": 0.19}  # kRs of Eq 50
ISLAND_HIGHEST_M: Final = 100.0


def inverse_distance_ratio(*, day_of_year: int) -> float:
    """Return the inverse relative distance from the earth to the sun.

    Args:
        day_of_year: 1 is 1 January; 366 equals day 1.

    Returns:
        The ratio, about 1 [-].

    Source: fao56, Eq 23.
    Valid: days 1 to 366.
    """
    require(day_of_year, name="the day of the year", low=1, high=366, unit="")
    return 1 + 0.033 * cos(2 * pi * day_of_year / 365)


def declination_rad(*, day_of_year: int) -> float:
    """Return the angle between the sun and the equator.

    Args:
        day_of_year: 1 is 1 January; 366 equals day 1.

    Returns:
        Declination [rad], north positive.

    Source: fao56, Eq 24.
    Valid: days 1 to 366.
    """
    require(day_of_year, name="the day of the year", low=1, high=366, unit="")
    return 0.409 * sin(2 * pi * day_of_year / 365 - 1.39)


def sunset_angle_rad(*, latitude_deg: float, day_of_year: int) -> float:
    """Return the hour angle at sunset; 0 where the sun stays down, pi where it stays up.

    Args:
        latitude_deg: South negative [deg].
        day_of_year: 1 is 1 January.

    Returns:
        Angle [rad], from 0 to pi.

    Source: fao56, Eq 25.
    Valid: latitudes -90 to 90.
    """
    require(latitude_deg, name="the latitude", low=-90, high=90, unit="degrees")
    argument = -tan(radians(latitude_deg)) * tan(declination_rad(day_of_year=day_of_year))
    return acos(max(-1.0, min(1.0, argument)))


def extraterrestrial_radiation_mj_m2_day(*, latitude_deg: float, day_of_year: int) -> float:
    """Return the sun's radiation above the air.

    Args:
        latitude_deg: South negative [deg].
        day_of_year: 1 is 1 January.

    Returns:
        Ra [MJ/m2/day].

    Source: fao56, Eq 21; tables in fao56-annex2.
    Valid: latitudes -90 to 90.
    """
    sunset = sunset_angle_rad(latitude_deg=latitude_deg, day_of_year=day_of_year)
    latitude, declination = radians(latitude_deg), declination_rad(day_of_year=day_of_year)
    path = sunset * sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * sin(sunset)
    return 24 * 60 / pi * _SOLAR_CONSTANT_MJ_M2_MIN * inverse_distance_ratio(day_of_year=day_of_year) * path


def daylight_h(*, latitude_deg: float, day_of_year: int) -> float:
    """Return the hours from sunrise to sunset, for a sun without width and air without bending.

    Args:
        latitude_deg: South negative [deg].
        day_of_year: 1 is 1 January.

    Returns:
        N [h].

    Source: fao56, Eq 34; tables in fao56-annex2.
    Valid: latitudes -90 to 90.
    """
    return 24 / pi * sunset_angle_rad(latitude_deg=latitude_deg, day_of_year=day_of_year)


def solar_from_sunshine_mj_m2_day(*, sun_h: float, daylight_h: float, ra_mj_m2_day: float) -> float:
    """Return the radiation that reaches the ground, from the hours of bright sunshine.

    Args:
        sun_h: Bright sunshine of the day [h].
        daylight_h: Sunrise to sunset [h].
        ra_mj_m2_day: Radiation above the air [MJ/m2/day].

    Returns:
        Rs [MJ/m2/day].

    Raises:
        ClimateError: More sunshine than daylight.

    Source: fao56, Eq 35, with the factors 0.25 and 0.50 given for places without calibration.
    Valid: sunshine from 0 to the daylight hours.
    """
    require(daylight_h, name="the daylight", low=0.1, high=24, unit="h")
    require(ra_mj_m2_day, name="the radiation above the air", low=0, high=60, unit="MJ/m2/day")
    require(
        sun_h,
        name="the sunshine",
        low=0,
        high=round(daylight_h, 2) + 0.01,
        unit="h",
        hint="give the mean hours of sunshine a day, not of the whole month; daylight is longer",
    )
    return (0.25 + 0.5 * min(sun_h / daylight_h, 1.0)) * ra_mj_m2_day


def clear_sky_mj_m2_day(*, elevation_m: float, ra_mj_m2_day: float) -> float:
    """Return the radiation that reaches the ground under a clear sky.

    Args:
        elevation_m: Height above the sea [m].
        ra_mj_m2_day: Radiation above the air [MJ/m2/day].

    Returns:
        Rso [MJ/m2/day].

    Source: fao56, Eq 37.
    Valid: elevations -430 to 5500.
    """
    require(elevation_m, name="the elevation", low=-430, high=5500, unit="m")
    require(ra_mj_m2_day, name="the radiation above the air", low=0, high=60, unit="MJ/m2/day")
    return (0.75 + 2e-5 * elevation_m) * ra_mj_m2_day


def solar_from_temperature_mj_m2_day(
    *, tmin_c: float, tmax_c: float, ra_mj_m2_day: float, elevation_m: float, setting: str
) -> float:
    """Return the radiation that reaches the ground, from the span between the day's extremes of temperature.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        ra_mj_m2_day: Radiation above the air [MJ/m2/day].
        elevation_m: Height above the sea [m].
        setting: `interior` (factor 0.16) or `coast` (0.19).

    Returns:
        Rs [MJ/m2/day], not above that of a clear sky.

    Raises:
        ClimateError: An island, or a maximum below the minimum.

    Source: fao56, Eq 50.
    Valid: interior and coast; maximum not below minimum.
    """
    if setting not in _TEMPERATURE_FACTOR:
        raise ClimateError(f"Eq 50 is not for the setting {setting!r}", hint="take Eq 51 for islands")
    span = require(tmax_c - tmin_c, name="the span from Tmin to Tmax", low=0, high=60, unit="C")
    clear = clear_sky_mj_m2_day(elevation_m=elevation_m, ra_mj_m2_day=ra_mj_m2_day)
    return min(_TEMPERATURE_FACTOR[setting] * sqrt(span) * ra_mj_m2_day, clear)


def solar_on_island_mj_m2_day(*, ra_mj_m2_day: float, elevation_m: float) -> float:
    """Return the radiation that reaches the ground on a low island, as a mean of a month.

    Args:
        ra_mj_m2_day: Radiation above the air [MJ/m2/day].
        elevation_m: Height above the sea [m].

    Returns:
        Rs [MJ/m2/day].

    Raises:
        ClimateError: Too high above the sea, or a sun too low for the equation.

    Source: fao56, Eq 51.
    Valid: 0 to 100 m, monthly means, Ra from 10 MJ/m2/day (our border: below it 4 is no small correction).
    """
    hint = "measure the hours of sunshine, or take the setting coast"
    require(elevation_m, name="the elevation of the island", low=0, high=ISLAND_HIGHEST_M, unit="m", hint=hint)
    require(ra_mj_m2_day, name="the radiation above the island", low=10, high=60, unit="MJ/m2/day", hint=hint)
    return 0.7 * ra_mj_m2_day - 4


def net_shortwave_mj_m2_day(*, rs_mj_m2_day: float) -> float:
    """Return what a green cover keeps of the sun's radiation; it throws back 23 %.

    Args:
        rs_mj_m2_day: Radiation that reaches the ground [MJ/m2/day].

    Returns:
        Rns [MJ/m2/day].

    Source: fao56, Eq 38.
    Valid: 0 to 60 MJ/m2/day.
    """
    require(rs_mj_m2_day, name="the solar radiation", low=0, high=60, unit="MJ/m2/day")
    return 0.77 * rs_mj_m2_day


def net_longwave_mj_m2_day(
    *, tmin_c: float, tmax_c: float, ea_kpa: float, rs_mj_m2_day: float, rso_mj_m2_day: float
) -> float:
    """Return what the ground gives back to the sky as warmth.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        ea_kpa: Actual vapour pressure [kPa].
        rs_mj_m2_day: Radiation that reaches the ground [MJ/m2/day].
        rso_mj_m2_day: The same under a clear sky [MJ/m2/day].

    Returns:
        Rnl [MJ/m2/day].

    Source: fao56, Eq 39; Rs/Rso counts as 1 at most.
    Valid: temperatures -60 to 60 C, vapour pressure 0 to 10 kPa, clear-sky radiation above 0.
    """
    require(tmin_c, name="Tmin", low=-60, high=60, unit="C", hint="give degrees Celsius, not kelvin")
    require(tmax_c, name="Tmax", low=-60, high=60, unit="C", hint="give degrees Celsius, not kelvin")
    require(ea_kpa, name="the vapour pressure", low=0, high=10, unit="kPa")
    require(rso_mj_m2_day, name="the clear-sky radiation", low=1e-6, high=60, unit="MJ/m2/day")
    warmth = _STEFAN_BOLTZMANN * ((tmax_c + _KELVIN) ** 4 + (tmin_c + _KELVIN) ** 4) / 2
    cloud = 1.35 * min(rs_mj_m2_day / rso_mj_m2_day, 1.0) - 0.35
    return warmth * (0.34 - 0.14 * sqrt(ea_kpa)) * cloud
