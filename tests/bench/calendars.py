"""How long a calendar takes, against bare numpy that works out the same evapotranspiration and the same water.

The floor gets what the calendar has to find out first: which plantings to reckon, and each crop's coefficients. It says
no reason, no date and no source. Both must come to the same litres, or nothing is measured.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fieldbook.climate.normals import read_normals
from fieldbook.climate.place import Place
from fieldbook.climate.planting import case_of, openings, thirstiest
from fieldbook.climate.siteyear import SiteFacts, site_year
from fieldbook.climate.water import coefficients
from fieldbook.climate.windows import planting_windows
from fieldbook.climate.year import DAYS_IN_MONTH
from fieldbook.shipped import shipped_text
from fieldbook.site.season import crop_table
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.measure import take_turns

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from fieldbook.climate.normals import Normals

    Numbers = NDArray[np.float64]

PLACE = Place(latitude_deg=-6.3, elevation_m=8, setting="coast")  # S, where most crops can be planted all year
FACTS = SiteFacts(watering=True, salt_water_months=frozenset({1, 2}))
SITES = 100
_DAYS = np.array(DAYS_IN_MONTH)
_MONTH = np.repeat(np.arange(12), _DAYS)
_MIDDLE = np.concatenate(([0], np.cumsum(_DAYS)[:-1])) + 15


@dataclass(frozen=True)
class Planting:
    """What the floor is given: when a planting begins, and the coefficient of each of its days."""

    day: int
    kc: Numbers


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """One calendar of all crops, then those of many sites."""
    crops, normals = crop_table(), read_normals(shipped_text("seed_entries/demo/normals_saltreed.csv"))
    yield _figure(f"a calendar of {len(crops)} crops", [normals], repeats=5 * size.repeats)
    sites = min(SITES, size.entries)
    many = [_moved(normals, number_of) for number_of in range(sites)]
    yield _figure(f"calendars of {number(sites)} sites, {len(crops)} crops each", many, repeats=size.repeats)


def _moved(normals: Normals, number_of: int) -> Normals:
    """Another site: its year turned, a little warmer, with a little more rain."""
    turn = number_of % 12
    return replace(
        normals,
        rain_mm=tuple(rain * (1 + number_of / 200) for rain in normals.rain_mm[turn:] + normals.rain_mm[:turn]),
        tmin_c=tuple(low - number_of / 20 for low in normals.tmin_c[turn:] + normals.tmin_c[:turn]),
        tmax_c=tuple(high - number_of / 20 for high in normals.tmax_c[turn:] + normals.tmax_c[:turn]),
    )


def _figure(what: str, sites: list[Normals], *, repeats: int) -> Figure:
    planted = [_plantings(normals) for normals in sites]
    for normals, plantings in zip(sites, planted, strict=True):
        _check(normals, plantings)

    def bare() -> Iterator[None]:
        for normals, plantings in zip(sites, planted, strict=True):
            _bare(normals, plantings)
            yield

    def ours() -> Iterator[None]:
        for normals in sites:
            planting_windows(crop_table(), normals, PLACE, FACTS)
            yield

    floor, took = take_turns(bare, ours, repeats=repeats)
    count = sum(len(plantings) for plantings in planted)
    return Figure(
        what,
        f"{seconds(floor)}: numpy, the same evapotranspiration and the water of {number(count)} plantings",
        seconds(took),
        times(took, floor),
    )


def _plantings(normals: Normals) -> list[Planting]:
    year = site_year(normals, PLACE, FACTS)
    found = []
    for crop in crop_table():
        case = case_of(crop, year)
        curve = np.array(coefficients(crop, bed_days=case.longest_days()))
        for opening in openings(case, case.stretches):
            found += [Planting(need.planted_day, curve[: need.bed_days]) for need in thirstiest(case, opening)]
    return found


def _check(normals: Normals, plantings: list[Planting]) -> None:
    """Both come to the same litres."""
    year = site_year(normals, PLACE, FACTS)
    cases = [case_of(crop, year) for crop in crop_table()]
    ours = [
        need.total_l_m2
        for case in cases
        for opening in openings(case, case.stretches)
        for need in thirstiest(case, opening)
    ]
    if not np.allclose(ours, [total for total, _ in _bare(normals, plantings)], atol=1e-3):
        raise AssertionError("the floor reckons another water than the calendar")


def _bare(normals: Normals, plantings: list[Planting]) -> list[tuple[float, float]]:
    """Total and highest daily need of each planting."""
    rain = np.array(normals.rain_mm)
    eto = _eto(np.array(normals.tmin_c), np.array(normals.tmax_c))
    usable = np.where(rain > 75, 0.8 * rain - 25, np.maximum(0, 0.6 * rain - 10)) / _DAYS
    found = []
    for one in plantings:
        months = _MONTH[(one.day - 1 + np.arange(len(one.kc))) % 365]
        starts = np.concatenate(([0], np.flatnonzero(np.diff(months)) + 1))
        days = np.diff(np.append(starts, len(months)))
        of_month = months[starts]
        lacking = np.maximum(0, np.add.reduceat(one.kc, starts) * eto[of_month] - usable[of_month] * days)
        found.append((float(lacking.sum()), float((lacking / days).max())))
    return found


def _eto(tmin: Numbers, tmax: Numbers) -> Numbers:
    """FAO-56 Eq 6 for the twelve months, with Eq 48, Eq 50 and 2 m/s of wind."""
    latitude, mean = np.radians(PLACE.latitude_deg), (tmin + tmax) / 2
    angle = 2 * np.pi * _MIDDLE / 365
    tilt = 0.409 * np.sin(angle - 1.39)
    sunset = np.arccos(-np.tan(latitude) * np.tan(tilt))
    path = sunset * np.sin(latitude) * np.sin(tilt) + np.cos(latitude) * np.cos(tilt) * np.sin(sunset)
    ra = 24 * 60 / np.pi * 0.0820 * (1 + 0.033 * np.cos(angle)) * path
    clear = (0.75 + 2e-5 * PLACE.elevation_m) * ra
    rs = np.minimum(0.19 * np.sqrt(tmax - tmin) * ra, clear)
    ea = _saturation(tmin)
    warmth = 4.903e-9 * ((tmax + 273.16) ** 4 + (tmin + 273.16) ** 4) / 2
    rn = 0.77 * rs - warmth * (0.34 - 0.14 * np.sqrt(ea)) * (1.35 * np.minimum(rs / clear, 1) - 0.35)
    gamma = 0.665e-3 * 101.3 * ((293 - 0.0065 * PLACE.elevation_m) / 293) ** 5.26
    slope = 4098 * _saturation(mean) / (mean + 237.3) ** 2
    drying = (_saturation(tmax) + _saturation(tmin)) / 2 - ea
    heat = 0.14 * (mean - np.roll(mean, 1))
    by_wind = gamma * 900 / (mean + 273) * 2 * drying
    thirst: Numbers = np.maximum(0, (0.408 * slope * (rn - heat) + by_wind) / (slope + gamma * (1 + 0.34 * 2)))
    return thirst


def _saturation(temperature: Numbers) -> Numbers:
    pressure: Numbers = 0.6108 * np.exp(17.27 * temperature / (temperature + 237.3))
    return pressure
