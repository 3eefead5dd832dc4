"""A place is taken as it is or refused with a hint."""

from __future__ import annotations

import pytest

from fieldbook.climate.bounds import ClimateError
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
