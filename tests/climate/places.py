"""The invented sites and the two open test sites, as the tests of this room use them."""

from __future__ import annotations

from functools import cache

from fieldbook.climate.crops import Crop, read_crops
from fieldbook.climate.normals import Normals, read_normals
from fieldbook.climate.place import Place
from fieldbook.climate.siteyear import SiteFacts
from fieldbook.climate.windows import Calendar, planting_windows
from fieldbook.shipped import shipped_text

PLACES = {
    "cloudstep": Place(latitude_deg=1.2, elevation_m=1900),
    "thornpan": Place(latitude_deg=13.4, elevation_m=420),
    "longshade": Place(latitude_deg=-25.4, elevation_m=560),
    "saltreed": Place(latitude_deg=-6.3, elevation_m=8, setting="coast"),
}
# L and S have water for plants, C and T have not; L states frost, S salty wells
FACTS = {
    "cloudstep": SiteFacts(),
    "thornpan": SiteFacts(),
    "longshade": SiteFacts(watering=True, frost_months=frozenset({6, 7, 8})),
    "saltreed": SiteFacts(watering=True, salt_water_months=frozenset({1, 2})),
}

# Monthly means of the daily records that the Python package aquacrop 3.1.0 ships (hyderabad_climate.txt, 2000-2010;
# cordoba_climate.txt, 1991-2021), with the reference evapotranspiration that stands in them; latitude and elevation
# from memory.
HYDERABAD_RAIN_MM = (12.8, 13.5, 26.9, 29.9, 29.3, 103.0, 197.0, 291.0, 157.8, 86.0, 12.5, 2.3)
HYDERABAD_ETO_MM = (115.0, 132.0, 171.2, 186.9, 209.0, 160.6, 135.4, 121.3, 119.2, 115.4, 104.0, 101.1)
HYDERABAD = Normals(
    rain_mm=HYDERABAD_RAIN_MM,
    tmin_c=(13.1, 15.7, 18.8, 22.2, 24.3, 23.3, 22.2, 21.5, 21.1, 19.1, 15.5, 12.1),
    tmax_c=(29.2, 32.0, 35.2, 37.7, 38.7, 34.3, 30.9, 29.4, 30.1, 30.4, 29.3, 28.7),
)
HYDERABAD_PLACE = Place(latitude_deg=17.4, elevation_m=545)
CORDOBA_RAIN_MM = (131.4, 115.3, 105.2, 77.8, 30.4, 9.9, 8.6, 15.5, 35.4, 85.8, 124.3, 127.3)
CORDOBA_ETO_MM = (215.5, 171.9, 159.6, 113.8, 87.6, 73.6, 80.6, 107.8, 133.3, 167.9, 192.9, 218.1)


@cache
def normals_of(site: str) -> Normals:
    return read_normals(shipped_text(f"seed_entries/demo/normals_{site}.csv"))


@cache
def crop_table() -> tuple[Crop, ...]:
    return read_crops(shipped_text("seed_entries/crops.csv"))


def crop(crop_id: str) -> Crop:
    return next(found for found in crop_table() if found.crop_id == crop_id)


@cache
def calendar_of(site: str) -> Calendar:
    return planting_windows(crop_table(), normals_of(site), PLACES[site], FACTS[site])
