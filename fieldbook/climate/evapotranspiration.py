"""How much water a green cover gives to the air: reference evapotranspiration, one function an equation.

What it is: the air and the two methods of FAO-56, Penman-Monteith (Eq 6) and Hargreaves (Eq 52). What it is not: a
choice between them, which is the site's and is named in every answer.

Its one rule: one millimetre is one litre on each square metre, and every figure says its unit.
"""

from math import exp, log, sqrt
from typing import Final

from fieldbook.climate.bounds import require

_STILL_AIR_M_S: Final = 0.5  # least wind in Eq 6: even still air moves
_MM_PER_MJ_M2: Final = 0.408  # water turned to vapour by the warmth of 1 MJ


def _temperature(value: float, name: str) -> float:
    return require(value, name=name, low=-60, high=60, unit="C", hint="give degrees Celsius")


def pressure_kpa(*, elevation_m: float) -> float:
    """Return the usual pressure of the air at a height.

    Args:
        elevation_m: Height above the sea [m].

    Returns:
        P [kPa].

    Source: fao56, Eq 7.
    Valid: -430 to 5500 m.
    """
    require(elevation_m, name="the elevation", low=-430, high=5500, unit="m")
    return float(101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26)


def psychrometric_kpa_c(*, elevation_m: float) -> float:
    """Return the psychrometric constant at a height.

    Args:
        elevation_m: Height above the sea [m].

    Returns:
        Gamma [kPa/C].

    Source: fao56, Eq 8.
    Valid: -430 to 5500 m.
    """
    return 0.665e-3 * pressure_kpa(elevation_m=elevation_m)


def saturation_kpa(*, temperature_c: float) -> float:
    """Return the vapour pressure of air that can hold no more water.

    Args:
        temperature_c: Of the air [C].

    Returns:
        e0 [kPa].

    Source: fao56, Eq 11.
    Valid: -60 to 60 C.
    """
    _temperature(temperature_c, "the temperature")
    return 0.6108 * exp(17.27 * temperature_c / (temperature_c + 237.3))


def mean_saturation_kpa(*, tmin_c: float, tmax_c: float) -> float:
    """Return the day's saturation vapour pressure: the mean of both ends, not that of the mean temperature.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].

    Returns:
        es [kPa].

    Source: fao56, Eq 12.
    Valid: -60 to 60 C.
    """
    return (saturation_kpa(temperature_c=tmax_c) + saturation_kpa(temperature_c=tmin_c)) / 2


def saturation_slope_kpa_c(*, temperature_c: float) -> float:
    """Return how fast saturation rises with temperature.

    Args:
        temperature_c: Mean of the day [C].

    Returns:
        Delta [kPa/C].

    Source: fao56, Eq 13.
    Valid: -60 to 60 C.
    """
    return 4098 * saturation_kpa(temperature_c=temperature_c) / (temperature_c + 237.3) ** 2


def vapour_from_extremes_kpa(*, tmin_c: float, tmax_c: float, rhmin_pct: float, rhmax_pct: float) -> float:
    """Return the actual vapour pressure from the day's extremes of relative humidity.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        rhmin_pct: Least relative humidity, in the afternoon [%].
        rhmax_pct: Greatest relative humidity, at dawn [%].

    Returns:
        ea [kPa].

    Source: fao56, Eq 17.
    Valid: 0 to 100 %.
    """
    require(rhmin_pct, name="the least humidity", low=0, high=100, unit="%")
    require(rhmax_pct, name="the greatest humidity", low=0, high=100, unit="%")
    dawn = saturation_kpa(temperature_c=tmin_c) * rhmax_pct / 100
    return (dawn + saturation_kpa(temperature_c=tmax_c) * rhmin_pct / 100) / 2


def vapour_from_mean_kpa(*, tmin_c: float, tmax_c: float, rhmean_pct: float) -> float:
    """Return the actual vapour pressure from the mean relative humidity.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        rhmean_pct: Mean relative humidity [%].

    Returns:
        ea [kPa].

    Source: fao56, Eq 19.
    Valid: 0 to 100 %.
    """
    require(rhmean_pct, name="the mean humidity", low=0, high=100, unit="%")
    return rhmean_pct / 100 * mean_saturation_kpa(tmin_c=tmin_c, tmax_c=tmax_c)


def vapour_without_humidity_kpa(*, tmin_c: float) -> float:
    """Return the actual vapour pressure where humidity was not measured: dew forms at the daily minimum.

    Args:
        tmin_c: Mean daily minimum [C].

    Returns:
        ea [kPa].

    Source: fao56, Eq 48; in dry places the paper takes 2 to 3 C off Tmin (p 58), which is not done here.
    Valid: -60 to 60 C.
    """
    return saturation_kpa(temperature_c=tmin_c)


def wind_at_2_m_m_s(*, wind_m_s: float, height_m: float) -> float:
    """Return the wind at 2 m above the ground from that measured higher or lower.

    Args:
        wind_m_s: As measured [m/s].
        height_m: Of the instrument above the ground [m].

    Returns:
        u2 [m/s].

    Source: fao56, Eq 47.
    Valid: wind 0 to 30 m/s, instrument at 0.5 to 100 m.
    """
    require(wind_m_s, name="the wind", low=0, high=30, unit="m/s", hint="give metres a second, not kilometres a day")
    require(height_m, name="the height of the instrument", low=0.5, high=100, unit="m")
    return wind_m_s * 4.87 / log(67.8 * height_m - 5.42)


def soil_heat_mj_m2_day(*, tmean_c: float, previous_tmean_c: float) -> float:
    """Return the warmth that the soil takes up in a month, where only the month before is known.

    Args:
        tmean_c: Mean of the month [C].
        previous_tmean_c: Mean of the month before [C].

    Returns:
        G [MJ/m2/day], negative while the soil cools.

    Source: fao56, Eq 44, as in Example 17. Eq 43, which looks at the month after as well, moves a month by at most
        0.09 mm/day at the five places that we looked at and leaves the year as it is.
    Valid: -60 to 60 C.
    """
    return 0.14 * (_temperature(tmean_c, "Tmean") - _temperature(previous_tmean_c, "Tmean of the month before"))


def penman_monteith_mm_day(
    *,
    tmin_c: float,
    tmax_c: float,
    ea_kpa: float,
    wind_m_s: float,
    elevation_m: float,
    net_radiation_mj_m2_day: float,
    soil_heat_mj_m2_day: float,
) -> float:
    """Return the reference evapotranspiration by the standard method.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        ea_kpa: Actual vapour pressure [kPa].
        wind_m_s: At 2 m [m/s]; less than 0.5 counts as 0.5, as the paper says.
        elevation_m: Height above the sea [m].
        net_radiation_mj_m2_day: Rn [MJ/m2/day].
        soil_heat_mj_m2_day: G [MJ/m2/day].

    Returns:
        ETo [mm/day]; below 0 on long winter nights, when dew falls.

    Source: fao56, Eq 6.
    Valid: -60 to 60 C, vapour pressure 0 to 10 kPa, wind 0 to 30 m/s.
    """
    require(ea_kpa, name="the vapour pressure", low=0, high=10, unit="kPa")
    require(wind_m_s, name="the wind", low=0, high=30, unit="m/s", hint="give metres a second, not kilometres a day")
    mean_c = (tmin_c + tmax_c) / 2
    wind = max(wind_m_s, _STILL_AIR_M_S)
    slope = saturation_slope_kpa_c(temperature_c=mean_c)
    gamma = psychrometric_kpa_c(elevation_m=elevation_m)
    thirst_kpa = mean_saturation_kpa(tmin_c=tmin_c, tmax_c=tmax_c) - ea_kpa
    by_sun = _MM_PER_MJ_M2 * slope * (net_radiation_mj_m2_day - soil_heat_mj_m2_day)
    by_wind = gamma * 900 / (mean_c + 273) * wind * thirst_kpa
    return (by_sun + by_wind) / (slope + gamma * (1 + 0.34 * wind))


def hargreaves_mm_day(*, tmin_c: float, tmax_c: float, ra_mj_m2_day: float) -> float:
    """Return the reference evapotranspiration by the second method, from temperatures alone.

    Args:
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        ra_mj_m2_day: Radiation above the air [MJ/m2/day]; turned into mm/day here.

    Returns:
        ETo [mm/day]; too high in humid air, too low in wind above 3 m/s, as the paper says.

    Source: fao56, Eq 52.
    Valid: mean temperature from -17.8 C, maximum not below minimum.
    """
    span = require(tmax_c - tmin_c, name="the span from Tmin to Tmax", low=0, high=60, unit="C")
    mean_c = require((tmin_c + tmax_c) / 2, name="the mean temperature", low=-17.8, high=60, unit="C")
    require(ra_mj_m2_day, name="the radiation above the air", low=0, high=60, unit="MJ/m2/day")
    return 0.0023 * (mean_c + 17.8) * sqrt(span) * _MM_PER_MJ_M2 * ra_mj_m2_day
