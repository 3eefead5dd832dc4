"""The calculators of dung: a batch of steep, and the nitrogen of animals on an area.

Its one rule: dung is raw dung whatever is reckoned from it; its waits stand in every answer.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.quantities import batch, nitrogen
from fieldbook.quantities.calculator import Calculator, Output, note
from fieldbook.quantities.reading import Given, Input, number

if TYPE_CHECKING:
    from collections.abc import Callable

_CEILING = nitrogen.NITROGEN_CEILING_G_M2_YEAR


def _batch(given: Given) -> Given:
    made = batch.steep(dung_kg=given["dung_kg"], water_l_kg=given["water_l_kg"], parts_water=given["parts_water"])
    told: Given = {
        "water_l": number(made.water_l, places=3),
        "fill_l": number(made.fill_l, places=3),
        "thinning_water_l": number(made.thinning_water_l, places=3),
        "total_l": number(made.total_l, places=3),
        "dilution_factor": number(made.factor, places=3),
        "germs_log10": number(made.factor.log10(), places=2),
    }
    if given["container_l"] is not None:
        told["containers"] = batch.containers(fill_l=made.fill_l, container_l=given["container_l"])
    area = None if given["dose_l_m2"] is None else made.total_l / given["dose_l_m2"]
    if area is not None:
        told["area_m2"] = number(area, places=2)
    told |= _nitrogen(given, area)
    return told | {"wait_touching_days": batch.WAIT_TOUCHING_DAYS, "wait_clear_days": batch.WAIT_CLEAR_DAYS}


def _nitrogen(given: Given, area: Decimal | None) -> Given:
    if given["kind"] is None:
        return {"notes": [note("without the animal its nitrogen is not known: keep to a large area")]}
    grams = batch.nitrogen_at_most_g(given["kind"], dung_kg=given["dung_kg"])
    needed, notes = grams / _CEILING, []
    if given["kind"] == "rabbit":
        notes.append(note("rabbit: reckoned as if it were dry, the careful side"))
    if given["kind"] == "sheep-or-goat":
        notes.append(note("goat: by the figure for sheep (ours)"))
    if area is not None and area < needed:
        notes.append(note("more nitrogen than the careful limit on that ground: spread it wider, or use less dung"))
    return {
        "nitrogen_at_most_g": number(grams, places=1),
        "area_for_limit_m2": number(needed, places=2),
        "notes": notes,
    }


BATCH = Calculator(
    name="manure-batch",
    title="A batch of steeped dung",
    purpose="water, container, thinning and bare ground for the dung that you have",
    method="water = dung · litres a kilogram; thinned = steep · (1 + parts of water); ground = thinned / litres a "
    "square metre, and by nitrogen = dung · its share / 17 g/m²",
    valid="dung in a sack, on bare soil on dung day; it stays raw dung, so nothing of it comes on leaves",
    inputs=(
        Input("dung_kg", "kg", "Dung", "as it lies there, without bedding", most=10_000, above=True),
        Input(
            "kind",
            "",
            "Whose dung",
            "for its nitrogen",
            kind="choice",
            choices=tuple(batch.NITROGEN_MOST_PERCENT),
            says=("hens", "sheep or goats", "horses", "dairy cows", "rabbits"),
            may_lack=True,
        ),
        Input("water_l_kg", "L/kg", "Water for each kilogram", "to steep it in", most=100, above=True),
        Input("parts_water", "", "Parts of water to thin one part of steep", "0 for none", most=1000),
        Input("container_l", "L", "One container holds", "with its lid shut", most=10_000, above=True, may_lack=True),
        Input(
            "dose_l_m2",
            "L/m²",
            "Thinned steep for each square metre",
            "of bare soil",
            most=100,
            above=True,
            may_lack=True,
        ),
    ),
    outputs=(
        Output("water_l", "Water for steeping", "L"),
        Output("fill_l", "Water and dung together", "L"),
        Output("containers", "Containers"),
        Output("thinning_water_l", "Water for thinning", "L"),
        Output("total_l", "Thinned, all together", "L"),
        Output("area_m2", "Ground by that dose", "m²"),
        Output("nitrogen_at_most_g", "Nitrogen at most", "g"),
        Output("area_for_limit_m2", "Least ground by nitrogen, once a year", "m²"),
        Output("dilution_factor", "Times thinner than the steep"),
        Output("germs_log10", "Powers of ten by which germs grow fewer"),
        Output("wait_touching_days", "Wait before picking what touches the soil", "days"),
        Output("wait_clear_days", "Wait before picking what hangs clear of it", "days"),
        Output("notes", "Mind"),
    ),
    answer=_batch,
    sources=("cfr205-c1-ii", "cfr205-c1-iii", "usda-1962", "rabbit-dung-page", "91-676-eec"),
    cautions=(
        "Steeping is no treatment: it is raw dung. Never on leaves, never near food that is picked within the wait.",
        "Close the lid against mosquitoes and children; open it outdoors and do not lean over it.",
        "Use no container that held paint, fuel, poison or what nobody knows. Wash hands with soap.",
    ),
)

_DOE_KG = Decimal("7.42")
"""Nitrogen of a doe with her fatteners in a year, as excreted [kg]. Source: maertens2005."""
_GOAT_KG = Decimal("0.375") * 2 * 365 * Decimal("0.011")
"""Nitrogen in a goat's droppings in a year [kg]: those of a night twice, at sheep's 1.1 %. Source: osuhor2002; ours."""
_ANIMALS: Final[dict[str, Callable[[Decimal], Decimal]]] = {
    "laying-hen": lambda count: nitrogen.nitrogen_kg_year("hen", count=count),
    "broiler": lambda count: nitrogen.nitrogen_kg_year("broiler", count=count),
    "rabbit": lambda count: count * _DOE_KG,
    "goat": lambda count: count * _GOAT_KG,
    "dairy-cow": lambda count: nitrogen.nitrogen_kg_year("dairy cow", count=count),
    "beef-cow": lambda count: nitrogen.nitrogen_kg_year("beef cow", count=count),
}
_ANIMAL_NOTES = {
    "rabbit": note(
        "rabbit: a doe with her young of a year, as excreted, since no loss was read; a single one leaves less"
    ),
    "goat": note(
        "goat: droppings alone, by sheep's nitrogen (ours, the careful side); urine holds about as much again"
    ),
}


def _manure(given: Given) -> Given:
    kinds = [row["kind"] for row in given["animals"]]
    grams = sum((_ANIMALS[row["kind"]](Decimal(row["count"])) for row in given["animals"]), Decimal(0)) * 1000
    load = nitrogen.load_g_m2(nitrogen_g=grams, area_m2=given["area_m2"])
    return {
        "nitrogen_kg_year": number(grams / 1000, places=3, digits=4),
        "nitrogen_g_m2_year": number(load, places=2, digits=4),
        "limit_g_m2_year": number(_CEILING),
        "over_limit": load > _CEILING,
        "area_for_limit_m2": number(grams / _CEILING, places=1),
        "notes": [_ANIMAL_NOTES[kind] for kind in _ANIMAL_NOTES if kind in kinds],
    }


MANURE = Calculator(
    name="manure-nitrogen",
    title="Nitrogen of dung on an area",
    purpose="whether the ground is large enough for the dung of your animals",
    method="animals · nitrogen of each in a year after usual losses / area, against 17 g/m²/year (170 kg/ha/year)",
    valid="dung as excreted, all of it on this area; the directive limits a holding, so take it as a soft ceiling",
    inputs=(
        Input(
            "animals",
            "",
            "Animal",
            "whose dung goes there",
            kind="rows",
            rows=(
                Input(
                    "kind",
                    "",
                    "Which animal",
                    "of these",
                    kind="choice",
                    choices=tuple(_ANIMALS),
                    says=(
                        "laying hens",
                        "broilers",
                        "rabbit does with their young",
                        "goats",
                        "dairy cows",
                        "beef cows",
                    ),
                ),
                Input("count", "", "How many", "heads", kind="integer", least=1, most=100_000),
            ),
        ),
        Input("area_m2", "m²", "Ground that gets the dung", "all of it", above=True),
    ),
    outputs=(
        Output("nitrogen_kg_year", "Nitrogen in a year", "kg"),
        Output("nitrogen_g_m2_year", "On each square metre", "g a year"),
        Output("limit_g_m2_year", "Careful limit", "g a year"),
        Output("over_limit", "Above the limit"),
        Output("area_for_limit_m2", "Least ground for this dung", "m²"),
        Output("notes", "Mind"),
    ),
    answer=_manure,
    sources=("nrcs-manure", "91-676-eec", "maertens2005", "osuhor2002"),
    cautions=(
        "A figure below the limit says nothing about germs: raw dung on food plants has its own waits.",
        "Keep dung away from wells and drains; ask the local authority what it allows.",
    ),
)
CALCULATORS = (BATCH, MANURE)
