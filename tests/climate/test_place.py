"""A place is taken as it is or refused with a hint."""

from __future__ import annotations

import pytest

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place


@pytest.mark.parametrize("latitude_deg", [-66, -0.0001, 0, 13.733, 66])
def test_any_latitude_to_66_degrees_is_taken(latitude_deg: float) -> None:
    assert Place(latitude_deg=latitude_deg, elevation_m=0).latitude_deg == latitude_deg


@pytest.mark.parametrize("latitude_deg", [95, -95, 66.1, float("nan"), float("inf")])
def test_a_latitude_beyond_is_refused(latitude_deg: float) -> None:
    with pytest.raises(ClimateError, match=r"the latitude is .* degrees, outside -66 to 66 degrees") as refused:
        Place(latitude_deg=latitude_deg, elevation_m=0)
    assert "south negative" in refused.value.hint


@pytest.mark.parametrize(("elevation_m", "sound"), [(-430, True), (5500, True), (-431, False), (5501, False)])
def test_elevation_is_that_of_a_garden(elevation_m: float, *, sound: bool) -> None:
    if sound:
        assert Place(latitude_deg=0, elevation_m=elevation_m).setting == "interior"
    else:
        with pytest.raises(ClimateError, match="the elevation is") as refused:
            Place(latitude_deg=0, elevation_m=elevation_m)
        assert "not feet" in refused.value.hint


def test_a_setting_is_one_of_three() -> None:
    with pytest.raises(ClimateError, match="the setting 'hills' is not known") as refused:
        Place(latitude_deg=0, elevation_m=0, setting="hills")  # type: ignore[arg-type]
    assert refused.value.hint == "say one of: interior, coast, island"


@pytest.mark.parametrize("latitude_deg", [-66, 66])
def test_the_methods_answer_in_every_month_up_to_66_degrees(latitude_deg: float) -> None:
    cold = Normals((30.0,) * 12, (-4.0,) * 12, (6.0,) * 12)
    for setting in ("interior", "coast"):
        place = Place(latitude_deg=latitude_deg, elevation_m=200, setting=setting)
        months = monthly_climate(cold, place)
        assert all(0 < one.daylight_h < 24 and one.eto_mm_day >= 0 for one in months)
        assert max(one.eto_mm_day for one in months) > 2


def test_an_island_where_the_sun_stands_too_low_is_refused_with_what_to_do() -> None:
    island = Place(latitude_deg=60, elevation_m=20, setting="island")
    with pytest.raises(ClimateError, match="the radiation above the island is") as refused:
        monthly_climate(Normals((30.0,) * 12, (4.0,) * 12, (12.0,) * 12), island)
    assert refused.value.hint.startswith("measure the hours of sunshine")
