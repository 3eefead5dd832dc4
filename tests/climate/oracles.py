"""Other people's libraries, asked the same as our own code, over latitudes, months and heights.

pyet 1.5.0 (MIT) and refet 0.5.0 (Apache-2.0) for evapotranspiration and radiation, astral 3.2 (Apache-2.0) for the
length of the day. Each is given what it cannot know (vapour, radiation at the ground) and computes all else itself.
What is known to differ is said beside each.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import radians
from typing import TYPE_CHECKING, Any

import pandas as pd
import pyet
import refet
from astral import Observer, SunDirection
from astral.sun import daylight, time_at_elevation

from fieldbook.climate import evapotranspiration as air
from fieldbook.climate import radiation as sun
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator

LATITUDES = range(-60, 61, 10)
HEIGHTS_M = (0, 500, 1800, 3500)
MIDDLES = pd.DatetimeIndex([f"2001-{month:02d}-15" for month in range(1, 13)])  # a year of 365 days
LOWEST_SUN_MJ = 5.0  # below it a garden has other troubles than the third digit of its radiation


@dataclass(frozen=True)
class Apart:
    """How far ours and a library lie apart, at most and where."""

    ours: float
    theirs: float
    where: str

    @property
    def by(self) -> float:
        """The difference, without its sign."""
        return abs(self.ours - self.theirs)


def eto_mm_day(*, latitude_deg: float, day: int, elevation_m: float, rs: float, wind_m_s: float) -> float:
    """Ours for one day of 14 to 26 C with vapour of 1.5 kPa, soil heat left out."""
    ra = sun.extraterrestrial_radiation_mj_m2_day(latitude_deg=latitude_deg, day_of_year=day)
    clear = sun.clear_sky_mj_m2_day(elevation_m=elevation_m, ra_mj_m2_day=ra)
    lost = sun.net_longwave_mj_m2_day(tmin_c=14, tmax_c=26, ea_kpa=1.5, rs_mj_m2_day=rs, rso_mj_m2_day=clear)
    return air.penman_monteith_mm_day(
        tmin_c=14,
        tmax_c=26,
        ea_kpa=1.5,
        wind_m_s=wind_m_s,
        elevation_m=elevation_m,
        net_radiation_mj_m2_day=sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs) - lost,
        soil_heat_mj_m2_day=0,
    )


def _days() -> Iterator[tuple[int, int, float]]:
    """Give latitude, day of the year and radiation above the air, where the sun is not too low."""
    for latitude_deg in LATITUDES:
        for date in MIDDLES:
            day = int(date.dayofyear)
            ra = sun.extraterrestrial_radiation_mj_m2_day(latitude_deg=latitude_deg, day_of_year=day)
            if ra >= LOWEST_SUN_MJ:
                yield latitude_deg, day, ra


@cache
def refet_eto(method: str) -> Apart:
    """Refet's daily form. `asce` has the constants of the paper; `refet` has others of the same standard."""
    apart = []
    for latitude_deg, day, ra in _days():
        for height in HEIGHTS_M:
            rs = 0.55 * ra
            theirs = refet.Daily(
                tmin=14.0, tmax=26.0, ea=1.5, rs=rs, uz=2.0, zw=2.0, elev=float(height), lat=float(latitude_deg),
                doy=day, method=method, rso_type="simple", input_units={"lat": "deg"},
            ).eto()  # fmt: skip
            ours = eto_mm_day(latitude_deg=latitude_deg, day=day, elevation_m=height, rs=rs, wind_m_s=2)
            apart.append(Apart(ours, float(pd.Series(theirs).iloc[0]), f"{latitude_deg} deg, day {day}, {height} m"))
    return max(apart, key=lambda one: one.by)


@cache
def pyet_radiation() -> Apart:
    """Pyet's radiation above the air [MJ/m2/day]."""
    apart = []
    for latitude_deg in LATITUDES:
        theirs = pyet.extraterrestrial_r(MIDDLES, radians(latitude_deg))
        apart += [
            Apart(
                sun.extraterrestrial_radiation_mj_m2_day(latitude_deg=latitude_deg, day_of_year=int(date.dayofyear)),
                float(value),
                f"{latitude_deg} deg, {date:%d %B}",
            )
            for date, value in zip(MIDDLES, theirs, strict=True)
        ]
    return max(apart, key=lambda one: one.by)


_TMIN, _TMAX = (14.0,) * 12, (26.0,) * 12  # the same all year, so that no soil heat comes in
_FACTOR = {"interior": 0.16, "coast": 0.19}


@cache
def pyet_eto(setting: str) -> Apart:
    """Pyet's Penman-Monteith, from temperatures alone, as a site of this setting computes it."""
    apart = []
    for latitude_deg in range(-30, 31, 10) if setting == "island" else LATITUDES:
        for height in (0, 80) if setting == "island" else HEIGHTS_M:
            place = Place(latitude_deg=latitude_deg, elevation_m=height, setting=setting)  # type: ignore[arg-type]
            ours = [month.eto_mm_day for month in monthly_climate(Normals((0.0,) * 12, _TMIN, _TMAX), place)]
            theirs = _pyet_months(latitude_deg, height, setting)
            apart += [
                Apart(one, float(other), f"{latitude_deg} deg, {date:%B}, {height} m")
                for one, other, date in zip(ours, theirs, MIDDLES, strict=True)
            ]
    return max(apart, key=lambda one: one.by)


def _pyet_months(latitude_deg: int, height: int, setting: str) -> Any:
    ra = pyet.extraterrestrial_r(MIDDLES, radians(latitude_deg))
    low, high = (pd.Series(values, index=MIDDLES) for values in (_TMIN, _TMAX))
    if setting == "island":
        rs = 0.7 * ra - 4
    else:
        rs = (_FACTOR[setting] * (high - low) ** 0.5 * ra).clip(upper=(0.75 + 2e-5 * height) * ra)
    return pyet.pm_fao56(
        (low + high) / 2,
        pd.Series(2.0, index=MIDDLES),
        rs=rs,
        tmax=high,
        tmin=low,
        ea=pyet.calc_e0(low),
        elevation=height,
        lat=radians(latitude_deg),
        clip_zero=True,
    )


@cache
def astral_day(highest_deg: int, *, bent: bool) -> Apart:
    """Astral's length of the day [h] up to a latitude.

    `bent` is sunrise to sunset as people see it: the upper rim of the sun through air that bends its light, which makes
    the day longer by 0.1 h at the equator and more towards the poles. Without it both ask for the middle of the sun at
    a flat horizon, and what is left is the simpler declination of Eq 24.
    """
    apart = []
    for latitude_deg in range(-highest_deg, highest_deg + 1, 10):
        for date in MIDDLES:
            ours = sun.daylight_h(latitude_deg=latitude_deg, day_of_year=int(date.dayofyear))
            theirs = _astral_hours(latitude_deg, date.date(), bent=bent)
            apart.append(Apart(ours, theirs, f"{latitude_deg} deg, {date:%d %B}"))
    return max(apart, key=lambda one: one.by)


def _astral_hours(latitude_deg: int, date: dt.date, *, bent: bool) -> float:
    observer = Observer(latitude_deg, 0.0, 0.0)
    if bent:
        rise, sets = daylight(observer, date)
    else:
        rise, sets = (
            time_at_elevation(observer, 0.0, date, direction, with_refraction=False)
            for direction in (SunDirection.RISING, SunDirection.SETTING)
        )
    return (sets - rise).total_seconds() / 3600 % 24


def lines(check: Callable[..., Any]) -> Iterator[Any]:
    """Give one line of the table for each library and what it was asked."""
    asked: tuple[tuple[str, str, Apart, float], ...] = (
        ("pyet 1.5.0", "Ra, 13 latitudes from 60 S to 60 N, 12 months [MJ/m2/day]", pyet_radiation(), 0.01),
        ("pyet 1.5.0", "ETo of the interior, 13 latitudes, 12 months, 4 heights [mm/day]", pyet_eto("interior"), 0.01),
        ("pyet 1.5.0", "ETo of a coast, 13 latitudes, 12 months, 4 heights [mm/day]", pyet_eto("coast"), 0.01),
        ("pyet 1.5.0", "ETo of an island, 7 latitudes, 12 months, 2 heights [mm/day]", pyet_eto("island"), 0.01),
        ("refet 0.5.0, method asce", "ETo, 13 latitudes, 12 months, 4 heights [mm/day]", refet_eto("asce"), 0.001),
        ("refet 0.5.0, its own constants", "ETo, the same [mm/day]", refet_eto("refet"), 0.012),
        ("astral 3.2, middle of the sun, no bending", "day to 20 deg [h]", astral_day(20, bent=False), 0.06),
        ("astral 3.2, middle of the sun, no bending", "day to 40 deg [h]", astral_day(40, bent=False), 0.13),
        ("astral 3.2, middle of the sun, no bending", "day to 60 deg [h]", astral_day(60, bent=False), 0.27),
        (
            "astral 3.2, as seen: rim and bending add 0.1 h and more",
            "day to 20 deg [h]",
            astral_day(20, bent=True),
            0.17,
        ),
        (
            "astral 3.2, as seen: rim and bending add 0.1 h and more",
            "day to 60 deg [h]",
            astral_day(60, bent=True),
            0.49,
        ),
    )
    for source, what, apart, within in asked:
        yield check(source, f"{what}, furthest apart at {apart.where}", apart.theirs, apart.ours, within)
