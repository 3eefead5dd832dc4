"""A figure outside a method's range is refused by its name, with its bounds and its unit; nothing is clipped."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.climate import evapotranspiration as et
from fieldbook.climate import radiation as light
from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.year import daily_from_monthly

if TYPE_CHECKING:
    from collections.abc import Callable

REFUSED: dict[str, Callable[[], object]] = {
    "the day of the year is 367, outside 1 to 366": lambda: light.declination_rad(day_of_year=367),
    "the daylight is 0 h, outside 0.1 to 24 h": lambda: light.solar_from_sunshine_mj_m2_day(
        sun_h=0, daylight_h=0, ra_mj_m2_day=30
    ),
    "the radiation above the air is 61 MJ/m2/day, outside 0 to 60 MJ/m2/day": lambda: light.clear_sky_mj_m2_day(
        elevation_m=0, ra_mj_m2_day=61
    ),
    "the solar radiation is -1 MJ/m2/day, outside 0 to 60 MJ/m2/day": lambda: light.net_shortwave_mj_m2_day(
        rs_mj_m2_day=-1
    ),
    "the clear-sky radiation is 0 MJ/m2/day, outside 1e-06 to 60 MJ/m2/day": lambda: light.net_longwave_mj_m2_day(
        tmin_c=10, tmax_c=20, ea_kpa=1, rs_mj_m2_day=0, rso_mj_m2_day=0
    ),
    "the vapour pressure is 11 kPa, outside 0 to 10 kPa": lambda: light.net_longwave_mj_m2_day(
        tmin_c=10, tmax_c=20, ea_kpa=11, rs_mj_m2_day=10, rso_mj_m2_day=20
    ),
    "the temperature is 290 C, outside -60 to 60 C": lambda: et.saturation_kpa(temperature_c=290),
    "the least humidity is -1 %, outside 0 to 100 %": lambda: et.vapour_from_extremes_kpa(
        tmin_c=10, tmax_c=20, rhmin_pct=-1, rhmax_pct=80
    ),
    "the greatest humidity is 101 %, outside 0 to 100 %": lambda: et.vapour_from_extremes_kpa(
        tmin_c=10, tmax_c=20, rhmin_pct=40, rhmax_pct=101
    ),
    "the mean humidity is 120 %, outside 0 to 100 %": lambda: et.vapour_from_mean_kpa(
        tmin_c=10, tmax_c=20, rhmean_pct=120
    ),
    "the height of the instrument is 0.2 m, outside 0.5 to 100 m": lambda: et.wind_at_2_m_m_s(wind_m_s=2, height_m=0.2),
    "Tmean of the month before is 61 C, outside -60 to 60 C": lambda: et.soil_heat_mj_m2_day(
        tmean_c=20, previous_tmean_c=61
    ),
    "the mean temperature is -20 C, outside -17.8 to 60 C": lambda: et.hargreaves_mm_day(
        tmin_c=-25, tmax_c=-15, ra_mj_m2_day=10
    ),
    "the monthly series has 11 months, not 12": lambda: daily_from_monthly([1.0] * 11),
}


@pytest.mark.parametrize("said", REFUSED)
def test_a_figure_outside_the_range_of_a_method_is_refused_by_name(said: str) -> None:
    with pytest.raises(ClimateError) as refusal:
        REFUSED[said]()
    assert refusal.value.message == said
    assert refusal.value.hint
