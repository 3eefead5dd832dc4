"""The calculators of places: plants in a bed, load on a roof, fish and birds, room for animals, seeds.

Its one rule: a result is compared with a figure that somebody named, and never called safe.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from fieldbook.quantities import pens, ponds, seedlings, spacing
from fieldbook.quantities.calculator import Calculator
from fieldbook.quantities.loads import wet_load_kg_m2
from fieldbook.quantities.reading import Given, Input, number

PATTERNS: Final = ("square", "triangular")


def _plants(given: Given) -> Given:
    length, width, space = given["length_mm"], given["width_mm"], given["spacing_mm"]
    turned = {"length_mm": width, "width_mm": length, "spacing_mm": space}
    bed = {"length_mm": length, "width_mm": width, "spacing_mm": space}
    square = spacing.plants_square(**bed)
    triangular = spacing.plants_triangular(**bed)
    return {
        "plants": square if given["pattern"] == "square" else triangular,
        "square": square,
        "triangular": triangular,
        "triangular_rows": spacing.rows_triangular(**bed),
        "triangular_turned": spacing.plants_triangular(**turned),
        "rows_run": "along the length",
    }


PLANTS = Calculator(
    name="plants-that-fit",
    title="Plants that fit",
    method="whole plants half a spacing from each edge; rows of triangles along the length, half the root of three "
    "times the spacing apart; all in whole millimetres",
    valid="a bed or wall of right angles; the spacing is that of the crop's own entry",
    inputs=(
        Input("length_mm", "mm", "length; rows run along it", kind="integer", least=1),
        Input("width_mm", "mm", "width, or height of a wall", kind="integer", least=1),
        Input("spacing_mm", "mm", "between plants", kind="integer", least=1, most=100_000),
        Input("pattern", "", "how they stand", kind="choice", choices=PATTERNS),
    ),
    answer=_plants,
    sources=("ours", "fao-microgardens"),
    cautions=("A wall or fence that carries bottles or pockets needs a competent person's check of what holds it.",),
)


def _load(given: Given) -> Given:
    load = wet_load_kg_m2(depth_cm=given["depth_cm"], density_kg_m3=given["wet_density_kg_m3"])
    limit = given["stated_limit_kg_m2"]
    told = {
        "load_kg_m2": number(load, places=2),
        "load_kg_m2_per_cm": number(given["wet_density_kg_m3"] / 100, places=2),
        "within_stated_limit": None if limit is None else load <= limit,
    }
    if limit is None:
        told["words"] = "No limit was stated: ask a competent builder or engineer before anything is carried up."
    elif load <= limit:
        told["words"] = "Below the limit you gave, before people, water, frames and plants; ask a competent person."
        told["depth_at_limit_cm"] = number(limit * 100 / given["wet_density_kg_m3"], places=1)
    else:
        told["words"] = "Above the limit you gave: do not put it there."
        told["depth_at_limit_cm"] = number(limit * 100 / given["wet_density_kg_m3"], places=1)
    return told


LOAD = Calculator(
    name="load",
    title="Weight on a roof or wall",
    method="weight = depth · density when soaked",
    valid="growing medium alone, soaked; people, trays (1 kg/m² for each mm of water), frames and plants come on top",
    inputs=(
        Input("depth_cm", "cm", "depth of the medium", most=500, above=True),
        Input(
            "wet_density_kg_m3",
            "kg/m³",
            "its density when soaked, weighed; garden soil about 1,922",
            least=50,
            most=3000,
        ),
        Input(
            "stated_limit_kg_m2", "kg/m²", "what the builder stated, or null", most=100_000, above=True, may_lack=True
        ),
    ),
    answer=_load,
    sources=("roof-media", "roof-live-load"),
    cautions=(
        "Wet soil is dead load: it comes on top of the live load of a roof, not out of it.",
        "Treat a roof of corrugated sheets as bearing nothing until an engineer or a competent builder says otherwise.",
        "Nobody sleeps or works under a loaded roof that was not checked. Local codes come first.",
    ),
)


def _linked(given: Given) -> Given:
    surface, fish = given["tank_m2"], given["fish_kg"]
    fraction = ponds.ammonia_fraction(water_temperature_c=given["water_temperature_c"], ph=given["ph"])
    harmful = fraction * given["total_ammonia_mg_l"]
    feed = ponds.feed_g_day(fish_kg=fish)
    leafy, fruiting = ponds.bed_m2(feed, fruiting=False), ponds.bed_m2(feed, fruiting=True)
    return {
        "birds_supported": number(ponds.birds_supported(surface_m2=surface), places=3),
        "fish_kg_supported": number(ponds.fish_kg_supported(surface_m2=surface), places=3),
        "feed_g_day": _range(feed, places=1),
        "leafy_bed_m2": _range(leafy, places=2),
        "fruiting_bed_m2": _range(fruiting, places=2),
        "ammonia_fraction": number(fraction, places=4),
        "unionised_ammonia_mg_l": number(harmful, places=4),
        "total_ammonia_at_harm_mg_l": number(ponds.AMMONIA_HARMS_MG_L / fraction, places=2),
        "warnings": _linked_warnings(given, harmful),
    }


def _range(found: ponds.Range, *, places: int) -> Given:
    return {"least": number(found.least, places=places), "most": number(found.most, places=places)}


def _linked_warnings(given: Given, harmful: Decimal) -> list[str]:
    told = []
    birds, surface = Decimal(given["birds"]), given["tank_m2"]
    bears = ponds.birds_supported(surface_m2=surface)
    if given["tank_litres"] < ponds.FOOD_FISH_LITRES_LEAST:
        told.append("no food-fish unit at this size: for holding or showing; small bodies of water do not scale down")
    if birds > bears:
        told.append(
            f"{number(birds)} birds overload it {number(birds / bears, places=1)} times; it bears "
            f"{number(bears, places=2)}: keep their dung out of the water"
        )
    if given["fish_kg"] > ponds.fish_kg_supported(surface_m2=surface):
        told.append(
            "more fish than still water of this surface bears: they suffocate at night without air and exchange"
        )
    if harmful >= ponds.AMMONIA_KILLS_MG_L:
        told.append("this much un-ionised ammonia kills: change water now, stop feeding, take no dung near it")
    elif harmful > ponds.AMMONIA_HARMS_MG_L:
        told.append("this much un-ionised ammonia harms: change part of the water, feed less")
    if not Decimal("6.5") <= given["ph"] <= Decimal("8.5"):
        told.append("pH outside 6.5 to 8.5: fish and filter suffer")
    return told


LINKED = Calculator(
    name="linked-system",
    title="Fish, birds and a bed that live on one another",
    method="birds 0.5 and fish 1 kg for each m² of still water; feed 1 to 2 % of the fish's weight a day; bed by feed; "
    "un-ionised share = 1 / (1 + 10^(0.09018 + 2729.92/T − pH))",
    valid="fresh, still water without filter or air; figures of ponds, so a drum is judged harshly on purpose",
    inputs=(
        Input("tank_m2", "m²", "surface of the water", most=100_000, above=True),
        Input("tank_litres", "L", "water in it", most=10_000_000, above=True),
        Input("birds", "", "birds whose dung falls in", kind="integer", most=100_000),
        Input("fish_kg", "kg", "all fish together", most=100_000),
        Input("water_temperature_c", "°C", "of the water", least=0, most=40),
        Input("ph", "", "of the water", least=5, most=11),
        Input("total_ammonia_mg_l", "mg/L", "ammonia by the test kit", most=1000),
    ),
    answer=_linked,
    sources=("tp362", "pond-poultry", "ac155e", "fao-tp589", "emerson1975", "fa16"),
    cautions=(
        "Water with dung in it carries germs: never on leaves eaten raw; cook fish through; wash hands with soap.",
        "Cover drums and tanks: a small child drowns in a hand's depth of water, and mosquitoes breed in it.",
        "Sick birds or fish, or many deaths: report to the animal-health service, eat none of them.",
    ),
)


def _space(given: Given) -> Given:
    count, floor = given["count"], given["floor_m2"]
    if given["kind"] == "laying-hen":
        needed = pens.hens_floor_m2(count=count, deep_litter=bool(given["deep_litter"] == "yes"))
    elif given["kind"] == "goat":
        needed = pens.goats_floor_m2(count=count)
    else:
        weight = given["weight_kg"] if given["weight_kg"] is not None else Decimal("5.4")
        needed = count * pens.rabbit_floor_m2(weight_kg=weight, with_litter=given["kind"] == "rabbit-doe-with-litter")
    told = {
        "floor_needed_m2": number(needed, places=3),
        "animals_per_m2": number(count / floor, places=2),
        "enough": floor >= needed,
    }
    if given["kind"] == "goat":
        told["run_needed_m2"] = number(count * pens.GOAT_RUN_M2)
    if given["kind"].startswith("rabbit"):
        told["height_needed_cm"] = number(pens.RABBIT_HEIGHT_CM)
    return told


SPACE = Calculator(
    name="animal-space",
    title="Room for animals",
    method="animals · least floor of each by kind and weight, against the floor given",
    valid="floor that the animals can use; a rabbit without a weight is taken for a heavy one",
    inputs=(
        Input(
            "kind",
            "",
            "which animal",
            kind="choice",
            choices=("laying-hen", "rabbit", "rabbit-doe-with-litter", "goat"),
        ),
        Input("count", "", "how many (each doe with her litter is one)", kind="integer", least=1, most=100_000),
        Input("floor_m2", "m²", "usable floor", above=True),
        Input("weight_kg", "kg", "of a rabbit", most=15, above=True, may_lack=True),
        Input(
            "deep_litter",
            "",
            "judge hens by the roomier small-scale figure",
            kind="choice",
            choices=("yes", "no"),
            may_lack=True,
        ),
    ),
    answer=_space,
    sources=("1999-74-ec", "fao-small-poultry", "us-awa", "ec-organic"),
    cautions=(
        "A least figure, not a good one; the animal-health worker and local codes come first.",
        "Keep animals out of rooms where people sleep, cook or eat.",
    ),
)


def _seedlings(given: Given) -> Given:
    seeds = seedlings.seeds_to_sow(
        plants=given["plants"],
        share_up_percent=given["share_up_percent"],
        share_living_percent=given["share_living_percent"],
    )
    told: Given = {"seeds": seeds}
    every = given["sow_every_days"]
    if every is not None and given["span_days"] is not None:
        days = [day * every for day in range(given["span_days"] // every + 1)]
        told["sowing_days"] = days
        told["seeds_in_all"] = seeds * len(days)
    return told


SEEDLINGS = Calculator(
    name="seedlings",
    title="Seeds to sow",
    method="seeds = plants / (share that comes up · share that lives), rounded up; the same again each sowing day",
    valid="an average: count how many of a hundred of your own seeds come up",
    inputs=(
        Input("plants", "", "plants wanted", kind="integer", least=1),
        Input("share_up_percent", "%", "of the seeds that come up", most=100, above=True),
        Input("share_living_percent", "%", "of the seedlings that live to be planted out", most=100, above=True),
        Input("sow_every_days", "days", "sow again after so many", kind="integer", least=1, most=366, may_lack=True),
        Input("span_days", "days", "from the first sowing to the last", kind="integer", most=3660, may_lack=True),
    ),
    answer=_seedlings,
    sources=("ours",),
    cautions=("Seed that was treated with poison is coloured: never eat it or feed it, and wash hands after sowing.",),
)
CALCULATORS = (PLANTS, LOAD, LINKED, SPACE, SEEDLINGS)
