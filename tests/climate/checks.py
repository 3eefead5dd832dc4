"""Every outside check of the climate in one table: published value, source, ours, difference, how far it may lie off.

`python -m tests.climate.checks` prints it; `test_checks.py` holds each line to its tolerance. Values printed in a
document are those that the document prints; a line that another program worked out says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate import evapotranspiration as air
from fieldbook.climate import radiation as sun
from fieldbook.climate import soil_water as soil
from fieldbook.climate.crops import Kc, Stages
from fieldbook.climate.logged import logged_months, own_months
from fieldbook.climate.nights import frost_seasons
from fieldbook.climate.seasons import growing_periods
from fieldbook.climate.water import coefficient_on_day, effective_rain_mm
from fieldbook.climate.year import day_of_date
from tests.climate import oracles
from tests.climate.places import (
    CORDOBA_ETO_MM,
    CORDOBA_RAIN_MM,
    HYDERABAD,
    HYDERABAD_ETO_MM,
    HYDERABAD_RAIN_MM,
)
from tests.climate.recalled import recalled
from tests.climate.records import open_record
from tests.climate.test_fao56 import ANNEX_2_N, ANNEX_2_RA, BANGKOK_DEG, LYON_DEG, MIDDLE_DAYS
from tests.climate.test_soil_water import EXAMPLE_36, HELD_MM_M

if TYPE_CHECKING:
    from collections.abc import Iterator

FAO56 = "FAO-56"
APART = "worked out by another program from the record that aquacrop 3.1.0 carries"


@dataclass(frozen=True)
class Check:
    """One line of the table."""

    source: str
    what: str
    published: float
    computed: float
    within: float

    @property
    def difference(self) -> float:
        """Ours less theirs."""
        return self.computed - self.published

    @property
    def holds(self) -> bool:
        """Whether they agree as far as they should."""
        return abs(self.difference) <= self.within


def all_checks() -> Iterator[Check]:
    """Give every line, the documents first."""
    yield from _air()
    yield from _sun()
    yield from _bangkok()
    yield from _uccle_and_lyon()
    yield from _crops_and_rain()
    yield from _soils()
    yield from _annex_2()
    yield from _recalled()
    yield from _records()
    yield from oracles.lines(Check)


def _air() -> Iterator[Check]:
    yield Check(f"{FAO56} Example 2, p 32", "P at 1800 m [kPa]", 81.8, air.pressure_kpa(elevation_m=1800), 0.06)
    gamma = air.psychrometric_kpa_c(elevation_m=1800)
    yield Check(f"{FAO56} Example 2, p 32", "gamma at 1800 m [kPa/C]", 0.054, gamma, 0.0006)
    es = air.mean_saturation_kpa(tmin_c=15, tmax_c=24.5)
    yield Check(f"{FAO56} Example 3, p 36", "es, 24.5 and 15 C [kPa]", 2.39, es, 0.006)
    ea = air.vapour_from_extremes_kpa(tmin_c=18, tmax_c=25, rhmin_pct=54, rhmax_pct=82)
    yield Check(f"{FAO56} Example 5, p 39", "ea by Eq 17 [kPa]", 1.70, ea, 0.006)
    mean = air.vapour_from_mean_kpa(tmin_c=18, tmax_c=25, rhmean_pct=68)
    yield Check(f"{FAO56} Example 5, p 39", "ea by Eq 19 [kPa]", 1.78, mean, 0.006)
    wind = air.wind_at_2_m_m_s(wind_m_s=3.2, height_m=10)
    yield Check(f"{FAO56} Example 14, p 56", "u2 from 3.2 m/s at 10 m [m/s]", 2.4, wind, 0.06)


def _ra(latitude_deg: float, day: int) -> float:
    return sun.extraterrestrial_radiation_mj_m2_day(latitude_deg=latitude_deg, day_of_year=day)


def _sun() -> Iterator[Check]:
    eight, ten = f"{FAO56} Example 8, p 47", f"{FAO56} Example 10, p 50"
    yield Check(eight, "dr on 3 September [-]", 0.985, sun.inverse_distance_ratio(day_of_year=246), 0.001)
    yield Check(eight, "declination on 3 September [rad]", 0.120, sun.declination_rad(day_of_year=246), 0.001)
    sunset = sun.sunset_angle_rad(latitude_deg=-20, day_of_year=246)
    yield Check(eight, "sunset angle at 20 S [rad]", 1.527, sunset, 0.001)
    yield Check(eight, "Ra at 20 S [MJ/m2/day]", 32.2, _ra(-20, 246), 0.06)
    hours = sun.daylight_h(latitude_deg=-20, day_of_year=246)
    yield Check(f"{FAO56} Example 9, p 49", "N at 20 S [h]", 11.7, hours, 0.06)
    daylight = sun.daylight_h(latitude_deg=-22.9, day_of_year=135)
    rs = sun.solar_from_sunshine_mj_m2_day(sun_h=220 / 31, daylight_h=daylight, ra_mj_m2_day=_ra(-22.9, 135))
    yield Check(ten, "Ra at 22 54 S in May [MJ/m2/day]", 25.1, _ra(-22.9, 135), 0.06)
    yield Check(ten, "N there [h]", 10.9, daylight, 0.06)
    yield Check(ten, "Rs there, 220 h of sun [MJ/m2/day]", 14.5, rs, 0.06)


def _bangkok() -> Iterator[Check]:
    ra, rso = _ra(BANGKOK_DEG, 105), sun.clear_sky_mj_m2_day(elevation_m=2, ra_mj_m2_day=_ra(BANGKOK_DEG, 105))
    rs = sun.solar_from_temperature_mj_m2_day(tmin_c=25.6, tmax_c=34.8, ra_mj_m2_day=ra, elevation_m=2, setting="coast")
    sixteen, seventeen = f"{FAO56} Example 16, p 62", f"{FAO56} Example 17, p 70"
    lost = _lost(rs, rso, 25.6, 34.8, 2.85)
    rns = sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs)
    printed = (38.1, 21.9, 28.5, 16.9, 3.0, 13.9)
    found = (ra, rs, rso, rns, lost, rns - lost)
    for name, value, ours in zip(("Ra", "Rs", "Rso", "Rns", "Rnl", "Rn"), printed, found, strict=True):
        yield Check(sixteen, f"{name}, coast, no radiation data [MJ/m2/day]", value, ours, 0.06)
    daylight = sun.daylight_h(latitude_deg=BANGKOK_DEG, day_of_year=105)
    rs = sun.solar_from_sunshine_mj_m2_day(sun_h=8.5, daylight_h=daylight, ra_mj_m2_day=ra)
    rn = sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs) - _lost(rs, rso, 25.6, 34.8, 2.85)
    soil = air.soil_heat_mj_m2_day(tmean_c=30.2, previous_tmean_c=29.2)
    for name, value, ours, within in (
        ("N [h]", 12.31, daylight, 0.02),
        ("Rs [MJ/m2/day]", 22.65, rs, 0.02),
        ("Rn [MJ/m2/day]", 14.33, rn, 0.02),
        ("G [MJ/m2/day]", 0.14, soil, 0.006),
        ("ETo of April, monthly means [mm/day]", 5.72, _eto(25.6, 34.8, 2.85, 2, 2, rn, soil), 0.015),
    ):
        yield Check(seventeen, name, value, ours, within)


def _lost(rs: float, rso: float, tmin: float, tmax: float, ea: float) -> float:
    return sun.net_longwave_mj_m2_day(tmin_c=tmin, tmax_c=tmax, ea_kpa=ea, rs_mj_m2_day=rs, rso_mj_m2_day=rso)


def _eto(tmin: float, tmax: float, ea: float, wind: float, elevation: float, rn: float, soil: float) -> float:
    return air.penman_monteith_mm_day(
        tmin_c=tmin,
        tmax_c=tmax,
        ea_kpa=ea,
        wind_m_s=wind,
        elevation_m=elevation,
        net_radiation_mj_m2_day=rn,
        soil_heat_mj_m2_day=soil,
    )


def _uccle_and_lyon() -> Iterator[Check]:
    eighteen, twenty = f"{FAO56} Example 18, p 72", f"{FAO56} Example 20, p 77"
    wind = air.wind_at_2_m_m_s(wind_m_s=10 / 3.6, height_m=10)
    ea = air.vapour_from_extremes_kpa(tmin_c=12.3, tmax_c=21.5, rhmin_pct=63, rhmax_pct=84)
    daylight = sun.daylight_h(latitude_deg=50.8, day_of_year=187)
    rs = sun.solar_from_sunshine_mj_m2_day(sun_h=9.25, daylight_h=daylight, ra_mj_m2_day=_ra(50.8, 187))
    rso = sun.clear_sky_mj_m2_day(elevation_m=100, ra_mj_m2_day=_ra(50.8, 187))
    rn = sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs) - _lost(rs, rso, 12.3, 21.5, ea)
    yield Check(eighteen, "u2 [m/s]", 2.078, wind, 0.001)
    yield Check(eighteen, "ea [kPa]", 1.409, ea, 0.001)
    yield Check(eighteen, "Rn [MJ/m2/day]", 13.28, rn, 0.02)
    yield Check(eighteen, "ETo of 6 July, daily data [mm/day]", 3.88, _eto(12.3, 21.5, ea, wind, 100, rn, 0), 0.015)
    ra = _ra(LYON_DEG, 196)
    rs = sun.solar_from_temperature_mj_m2_day(
        tmin_c=14.8, tmax_c=26.6, ra_mj_m2_day=ra, elevation_m=200, setting="interior"
    )
    yield Check(f"{FAO56} Example 15, p 61", "Rs from Tmin and Tmax, inland [MJ/m2/day]", 22.3, rs, 0.06)
    dew = air.vapour_without_humidity_kpa(tmin_c=14.8)
    rso = sun.clear_sky_mj_m2_day(elevation_m=200, ra_mj_m2_day=ra)
    rn = sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs) - _lost(rs, rso, 14.8, 26.6, dew)
    for speed, printed, within in ((2, 4.56, 0.015), (1, 4.2, 0.06), (3, 4.8, 0.06)):
        ours = _eto(14.8, 26.6, dew, speed, 200, rn, 0)
        yield Check(twenty, f"ETo, temperatures alone, u2 {speed} m/s [mm/day]", printed, ours, within)
    hargreaves = air.hargreaves_mm_day(tmin_c=14.8, tmax_c=26.6, ra_mj_m2_day=ra)
    yield Check(twenty, "ETo by Hargreaves, Eq 52 [mm/day]", 5.0, hargreaves, 0.06)


def _crops_and_rain() -> Iterator[Check]:
    for day, printed in ((20, 0.15), (40, 0.77), (70, 1.19), (95, 0.56)):
        ours = coefficient_on_day(day=day, stages=Stages(25, 25, 30, 20), kc=Kc(0.15, 1.19, 0.35))
        yield Check(f"{FAO56} Example 28, p 133", f"Kc on day {day} [-]", printed, ours, 0.006)
    manual = "FAO Training manual 3, chapter 4, tomato February to June (the manual rounds to whole mm)"
    for rain, printed in ((20, 2), (38, 13), (40, 14), (80, 39), (16, 0)):
        yield Check(manual, f"effective rain of {rain} mm [mm]", printed, effective_rain_mm(rain_mm=rain), 0.5)


def _soils() -> Iterator[Check]:
    for crop, (depth_m, fraction, _, easily) in EXAMPLE_36.items():
        for held, printed in zip(HELD_MM_M, easily, strict=True):
            whole = soil.available_mm(held_mm_m=held, depth_m=depth_m)
            share = soil.easily_taken_share(depletion_fraction=fraction, etc_mm_day=5)
            ours = soil.easily_taken_mm(available_mm=whole, share=share)
            yield Check(f"{FAO56} Example 36, p 166", f"RAW, {crop}, {held} mm/m [mm]", printed, ours, 0.5)


def _annex_2() -> Iterator[Check]:
    for latitude_deg, row in ANNEX_2_RA.items():
        where = f"{abs(latitude_deg)} {'S' if latitude_deg < 0 else 'N'}"
        for month, (day, printed) in enumerate(zip(MIDDLE_DAYS, row, strict=True), start=1):
            ours = _ra(latitude_deg, day)
            yield Check(f"{FAO56} Annex 2, Table 2.6", f"Ra at {where}, month {month} [MJ/m2/day]", printed, ours, 0.11)
    for latitude_deg, row in ANNEX_2_N.items():
        where = f"{abs(latitude_deg)} {'S' if latitude_deg < 0 else 'N'}"
        for month, (day, printed) in enumerate(zip(MIDDLE_DAYS, row, strict=True), start=1):
            ours = sun.daylight_h(latitude_deg=latitude_deg, day_of_year=day)
            yield Check(f"{FAO56} Annex 2, Table 2.7", f"N at {where}, month {month} [h]", printed, ours, 0.06)


def _recalled() -> Iterator[Check]:
    """Those that were recalled and not read."""
    for one in recalled():
        yield Check(f"{one.source} (from memory)", one.what, one.printed, one.ours, one.within)


def _records() -> tuple[Check, ...]:
    frost = frost_seasons(open_record("cordoba"))
    assert frost is not None
    own = own_months(logged_months(open_record("hyderabad")))
    (north,) = growing_periods(rain_mm=HYDERABAD_RAIN_MM, eto_mm=HYDERABAD_ETO_MM)
    (south,) = growing_periods(rain_mm=CORDOBA_RAIN_MM, eto_mm=CORDOBA_ETO_MM)
    day = day_of_date
    return (
        Check(APART, "Cordoba: cold seasons with frost", 31, frost.with_frost, 0),
        Check(APART, "Cordoba: nights of frost a season", 13.7, frost.nights_mean, 0.05),
        Check(APART, "Cordoba: mean first frost [day of year]", day(month=6, day=17), frost.first_mean_day, 1),
        Check(APART, "Cordoba: mean last frost [day of year]", day(month=8, day=24), frost.last_mean_day, 1),
        Check(APART, "Cordoba: latest last frost [day of year]", day(month=9, day=29), frost.last_latest_day, 0),
        *(
            Check(
                APART,
                f"Hyderabad: rain of month {one.month} [mm]",
                HYDERABAD.rain_mm[one.month - 1],
                one.rain_mm or -1,
                0.06,
            )
            for one in own
        ),
        Check(APART, "Hyderabad: growing period starts [day of year]", day(month=6, day=9), north.start_day or 0, 3),
        Check(APART, "Hyderabad: growing period [days]", 178, north.days, 3),
        Check(APART, "Cordoba: growing period starts [day of year]", day(month=10, day=15), south.start_day or 0, 3),
        Check(APART, "Cordoba: growing period [days]", 202, south.days, 3),
    )


def main() -> list[Check]:
    """Print the table, one line a check, and how many hold; give the checks back."""
    checks = list(all_checks())
    print(f"{'published':>10} {'ours':>10} {'off by':>9} {'may be':>7}   what; source")
    for one in checks:
        mark = " " if one.holds else "!"
        print(
            f"{one.published:>10.4g} {one.computed:>10.5g} {one.difference:>9.4f} {one.within:>7.4g} {mark} "
            f"{one.what}; {one.source}"
        )
    print(f"{sum(one.holds for one in checks)} of {len(checks)} hold")
    return checks


if __name__ == "__main__":
    main()
