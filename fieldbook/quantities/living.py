"""The calculators of what lives: fish with birds and a bed, room for animals, seeds, and what a spray did.

Its one rule: a limit is a figure that somebody published; what is too small, too full or against the hope is said.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from fieldbook.quantities import effects, nitrogen, pens, ponds, seedlings
from fieldbook.quantities.calculator import Calculator, Output, note
from fieldbook.quantities.reading import Given, Input, number


def _linked(given: Given) -> Given:
    surface = given["tank_m2"]
    feed = ponds.feed_g_day(fish_kg=given["fish_kg"])
    leafy, fruiting = ponds.bed_m2(feed, fruiting=False), ponds.bed_m2(feed, fruiting=True)
    told: Given = {
        "birds_supported": number(ponds.birds_supported(surface_m2=surface), places=3),
        "fish_kg_supported": number(ponds.fish_kg_supported(surface_m2=surface), places=3),
        "birds_dung_g_day": number(ponds.dung_of_birds_g_day(birds=given["birds"])),
        **_of_birds(given["birds"]),
        "dung_borne_g_day": number(ponds.dung_borne_g_day(surface_m2=surface), places=1),
        "feed_g_day": _range(feed, places=1),
        "leafy_bed_m2": _range(leafy, places=2),
        "fruiting_bed_m2": _range(fruiting, places=2),
        "leafy_plants": _range(ponds.plants_on(leafy, fruiting=False), places=0),
        "fruiting_plants": _range(ponds.plants_on(fruiting, fruiting=True), places=0),
    }
    harmful = None
    if given["water_temperature_c"] is not None and given["ph"] is not None:
        fraction = ponds.ammonia_fraction(water_temperature_c=given["water_temperature_c"], ph=given["ph"])
        told["ammonia_fraction"] = number(fraction, places=4, digits=4)
        told["total_ammonia_at_harm_mg_l"] = number(ponds.AMMONIA_HARMS_MG_L / fraction, places=2, digits=3)
        if given["total_ammonia_mg_l"] is not None:
            harmful = fraction * given["total_ammonia_mg_l"]
            told["unionised_ammonia_mg_l"] = number(harmful, places=4, digits=4)
            told["water_change_percent"] = number(_change(harmful))
    return told | {"warnings": [*_size_warnings(given), *_water_warnings(given, harmful)]}


def _change(harmful: Decimal) -> Decimal:
    return ponds.water_change_percent(unionised_mg_l=harmful).to_integral_value(rounding=ROUND_CEILING)


def _of_birds(birds: int) -> Given:
    """What hens give besides: nitrogen for beds that are dug, and eggs."""
    if not birds:
        return {}
    grams = nitrogen.nitrogen_kg_year("hen", count=Decimal(birds)) * 1000
    return {
        "birds_nitrogen_g_day": number(grams / 365, places=2),
        "ground_for_dung_m2": number(grams / nitrogen.NITROGEN_CEILING_G_M2_YEAR, places=1),
        "eggs_week": _range(ponds.eggs_week(birds=birds), places=1),
    }


def _range(found: ponds.Range, *, places: int) -> Given:
    return {"least": number(found.least, places=places), "most": number(found.most, places=places)}


def _size_warnings(given: Given) -> list[str]:
    told = []
    birds, surface = Decimal(given["birds"]), given["tank_m2"]
    bears = ponds.birds_supported(surface_m2=surface)
    if given["tank_litres"] < ponds.FOOD_FISH_LITRES_LEAST:
        told.append(
            note("no food-fish unit at this size: for holding or showing; small bodies of water do not scale down")
        )
    if birds > bears:
        told.append(
            note(
                f"too many birds, {number(birds / bears, places=1)} times the {number(bears, places=2)} that it bears: "
                "keep their dung out of the water"
            )
        )
    if given["fish_kg"] > ponds.fish_kg_supported(surface_m2=surface):
        told.append(
            note("more fish than still water of this surface bears: they suffocate at night without air and exchange")
        )
    return told


def _water_warnings(given: Given, harmful: Decimal | None) -> list[str]:
    told = []
    if harmful is None:
        told.append(note("ammonia was not judged: it takes the water's warmth, its pH and a test kit"))
    elif harmful >= ponds.AMMONIA_KILLS_MG_L:
        told.append(note("this much un-ionised ammonia kills: change water now, stop feeding, take no dung near it"))
    elif harmful > ponds.AMMONIA_HARMS_MG_L:
        told.append(note("this much un-ionised ammonia harms: change part of the water, feed less"))
    if harmful is not None and _change(harmful) > ponds.CHANGE_AT_ONCE_MOST_PERCENT:
        told.append(note("change it in several goes over some days: fish do not bear a sudden change"))
    if given["ph"] is not None and not Decimal("6.5") <= given["ph"] <= Decimal("8.5"):
        told.append(note("pH outside 6.5 to 8.5: fish and filter suffer"))
    return told


LINKED = Calculator(
    name="linked-system",
    title="Fish, birds and a bed that live on one another",
    purpose="what a drum, tank or pond bears, at any size",
    method="birds 0.5 and fish 1 kg for each m² of still water; feed 1 to 2 % of the fish's weight a day; bed by feed; "
    "un-ionised share = 1 / (1 + 10^(0.09018 + 2729.92/T − pH))",
    valid="fresh, still water without filter or air; figures of ponds, so a drum is judged harshly on purpose",
    inputs=(
        Input("tank_m2", "m²", "Surface of the water", "open to the sky", most=100_000, above=True),
        Input("tank_litres", "L", "Water in it", "all of it", most=10_000_000, above=True),
        Input("birds", "", "Birds whose dung falls in", "0 for none", kind="integer", most=100_000),
        Input("fish_kg", "kg", "All fish together", "as they are now", most=100_000),
        Input("water_temperature_c", "°C", "Warmth of the water", "at noon", least=0, most=40, may_lack=True),
        Input("ph", "", "pH of the water", "by the test kit", least=5, most=11, may_lack=True),
        Input("total_ammonia_mg_l", "mg/L", "Ammonia by the test kit", "total", most=1000, may_lack=True),
    ),
    outputs=(
        Output("fish_kg_supported", "Fish that still water of this surface bears", "kg"),
        Output("birds_supported", "Birds that it bears"),
        Output("birds_dung_g_day", "Dry dung of your birds, about", "g/day"),
        Output("dung_borne_g_day", "Dry dung that it bears", "g/day"),
        Output("birds_nitrogen_g_day", "Nitrogen of hens' dung after usual losses, for dug beds", "g/day"),
        Output("ground_for_dung_m2", "Dug ground that takes up that dung", "m²"),
        Output("eggs_week", "Eggs in a week, if they are hens in lay"),
        Output("feed_g_day", "Feed for your fish", "g/day"),
        Output("leafy_bed_m2", "Bed of leaves that takes up what they leave", "m²"),
        Output("leafy_plants", "Plants on it"),
        Output("fruiting_bed_m2", "Or bed of fruit", "m²"),
        Output("fruiting_plants", "Plants on that"),
        Output("ammonia_fraction", "Share of ammonia that harms"),
        Output("unionised_ammonia_mg_l", "Ammonia that harms", "mg/L"),
        Output("water_change_percent", "Share of the water to change, down to where harm begins", "%"),
        Output("total_ammonia_at_harm_mg_l", "Test kit shows this where harm begins", "mg/L"),
        Output("warnings", "Mind"),
    ),
    answer=_linked,
    sources=(
        "tp362",
        "pond-poultry",
        "ac155e",
        "fao-tp589",
        "emerson1975",
        "fa16",
        "nrcs-manure",
        "91-676-eec",
        "hen-eggs",
    ),
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
    purpose="whether a floor is large enough for hens, rabbits or goats",
    method="animals · least floor of each by kind and weight, against the floor given",
    valid="floor that the animals can use; a rabbit without a weight is taken for a heavy one",
    inputs=(
        Input(
            "kind",
            "",
            "Which animal",
            "of these",
            kind="choice",
            choices=("laying-hen", "rabbit", "rabbit-doe-with-litter", "goat"),
            says=("laying hens", "rabbits", "rabbit does with their young", "goats"),
        ),
        Input("count", "", "How many", "a doe with her young is one", kind="integer", least=1, most=100_000),
        Input("floor_m2", "m²", "Floor that they can use", "without nests", above=True),
        Input(
            "weight_kg",
            "kg",
            "Weight of one rabbit",
            "else it is taken for a heavy one",
            most=15,
            above=True,
            may_lack=True,
        ),
        Input(
            "deep_litter",
            "",
            "Judge hens by the roomier small-scale figure",
            "3 to a square metre",
            kind="choice",
            choices=("yes", "no"),
            may_lack=True,
        ),
    ),
    outputs=(
        Output("enough", "Enough by the least figure"),
        Output("floor_needed_m2", "Least floor", "m²"),
        Output("animals_per_m2", "Animals on each square metre"),
        Output("run_needed_m2", "And a run of", "m²"),
        Output("height_needed_cm", "And a height of", "cm"),
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
    told: Given = {"seeds": number(seeds)}
    every = given["sow_every_days"]
    if every is not None and given["span_days"] is not None:
        days = [day * every for day in range(given["span_days"] // every + 1)]
        told["sowing_days"] = days
        told["seeds_in_all"] = number(seeds * len(days))
    return told


SEEDLINGS = Calculator(
    name="seedlings",
    title="Seeds to sow",
    purpose="how many seeds for so many plants, and on which days",
    method="seeds = plants / (share that comes up · share that lives), rounded up; the same again each sowing day",
    valid="an average: count how many of a hundred of your own seeds come up",
    inputs=(
        Input("plants", "", "Plants wanted", "in the bed", kind="integer", least=1),
        Input("share_up_percent", "%", "Of a hundred seeds come up", "by your own count", most=100, above=True),
        Input("share_living_percent", "%", "Of a hundred seedlings live", "to be planted out", most=100, above=True),
        Input(
            "sow_every_days",
            "days",
            "Sow again every",
            "for a steady harvest",
            kind="integer",
            least=1,
            most=366,
            may_lack=True,
        ),
        Input(
            "span_days", "days", "From the first sowing to the last", "in all", kind="integer", most=3660, may_lack=True
        ),
    ),
    outputs=(
        Output("seeds", "Seeds each time"),
        Output("sowing_days", "Sow on day"),
        Output("seeds_in_all", "Seeds in all"),
    ),
    answer=_seedlings,
    sources=("ours",),
    cautions=("Seed that was treated with poison is coloured: never eat it or feed it, and wash hands after sowing.",),
)


def _effect(given: Given) -> Given:
    after = {"untreated_after": given["untreated_after"], "treated_after": given["treated_after"]}
    before = {"untreated_before": given["untreated_before"], "treated_before": given["treated_before"]}
    told: Given = {"fewer_after_percent": number(effects.abbott_percent(**after), places=1)}
    if None not in before.values():
        told["fewer_since_before_percent"] = number(effects.henderson_tilton_percent(**before, **after), places=1)
    figures = [Decimal(str(value)) for value in told.values()]
    told["words"] = note(
        "More pests with the treatment than without: it did not help here."
        if figures[-1] < 0
        else "Fewer pests with the treatment. One trial is a hint; say how many plants were counted."
    )
    return told


EFFECT = Calculator(
    name="pest-effect",
    title="What a spray or barrier did",
    purpose="fewer or more pests than on untreated plants, from your counts",
    method="100 · (untreated − treated) / untreated after treatment (Abbott); with counts before, 100 · (1 − treated "
    "after · untreated before / (treated before · untreated after)) (Henderson and Tilton)",
    valid="sums or means of plants that were counted alike; below nought there were more pests with the treatment",
    inputs=(
        Input("untreated_before", "", "Pests on the untreated, before", "sum or mean", above=True, may_lack=True),
        Input("untreated_after", "", "Pests on the untreated, after", "counted alike"),
        Input("treated_before", "", "Pests on the treated, before", "sum or mean", above=True, may_lack=True),
        Input("treated_after", "", "Pests on the treated, after", "counted alike"),
    ),
    outputs=(
        Output("words", "What it comes to"),
        Output("fewer_since_before_percent", "Fewer, by counts before and after", "%"),
        Output("fewer_after_percent", "Fewer, by counts after alone", "%"),
    ),
    answer=_effect,
    sources=("abbott", "henderson-tilton"),
    cautions=("A spray that helps is not harmless: keep its gear, its waits and its distance from water and bees.",),
)
CALCULATORS = (LINKED, SPACE, SEEDLINGS, EFFECT)
