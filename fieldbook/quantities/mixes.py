"""The calculators of mixes: dilution, compost, dung on an area, wick and reservoir.

Its one rule: what goes in and out is named with its unit; the sums are those of the modules beside this one.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.quantities import compost, dilution, nitrogen, wick
from fieldbook.quantities.calculator import Calculator
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.reading import Given, Input, number

if TYPE_CHECKING:
    from collections.abc import Callable


def _dilution(given: Given) -> Given:
    by_parts = given["parts_stock"] is not None and given["parts_water"] is not None
    by_strength = given["from_percent"] is not None and given["to_percent"] is not None
    if by_parts == by_strength:
        raise QuantityError(
            "give either parts_stock and parts_water, or from_percent and to_percent",
            hint="give one of the two pairs, whole",
        )
    total_l = given["total_l"]
    if by_parts:
        made = dilution.dilute(parts_stock=given["parts_stock"], parts_water=given["parts_water"], total_l=total_l)
    else:
        made = dilution.weaken(from_percent=given["from_percent"], to_percent=given["to_percent"], total_l=total_l)
    told = {"total_l": number(total_l), **_litres(made)}
    if given["dose_g_l"] is not None:
        told["dose_g"] = number(dilution.dose_g(g_per_l=given["dose_g_l"], total_l=total_l), places=1)
    if by_parts and given["parts_stock"] == 1 and given["parts_water"] >= 2:
        other = dilution.dilute(parts_stock=Decimal(1), parts_water=given["parts_water"] - 1, total_l=total_l)
        words = f"if “1:{number(given['parts_water'])}” was meant as one part in {number(given['parts_water'])}"
        told["other_reading"] = {"words": words, **_litres(other)}
    return told


def _litres(made: dilution.Dilution) -> Given:
    return {
        "stock_l": number(made.stock_l, places=3),
        "water_l": number(made.water_l, places=3),
        "dilution_factor": number(made.factor, places=3),
        "strength_percent": number(made.strength_percent, places=3),
        "germs_log10": number(made.germs_log10, places=2),
    }


DILUTION = Calculator(
    name="dilution",
    title="Dilution and mixing",
    method="stock = total · parts of stock / all parts, or total · strength wanted / strength of the stock; "
    "the rest is water, to the millilitre",
    valid="liquids; a powder is weighed in grams",
    inputs=(
        Input("total_l", "L", "the can or sprayer to be filled", most=10_000, above=True),
        Input("parts_stock", "", "parts of stock", most=10_000, above=True, may_lack=True),
        Input("parts_water", "", "parts of water", most=10_000, may_lack=True),
        Input("from_percent", "%", "strength of the stock", most=100, above=True, may_lack=True),
        Input("to_percent", "%", "strength wanted", most=100, above=True, may_lack=True),
        Input("dose_g_l", "g/L", "weight of something for each litre of the total", most=1000, may_lack=True),
    ),
    answer=_dilution,
    sources=("ours",),
    cautions=(
        "Dilution alone lowers germs by that power of ten and no more; it does not make dung or urine clean.",
        "Ask what “1:2” means where the recipe comes from; both volumes stand here.",
        "Wear gloves, keep children away, and never mix in a vessel that food or water is kept in.",
    ),
)


def _compost(given: Given) -> Given:
    rows = [compost.Material(**row) for row in given["materials"]]
    goal, moisture = given["goal_carbon_nitrogen_ratio"], given["goal_moisture_percent"]
    if any(row.wet_kg is None for row in rows):
        if goal is None:
            raise QuantityError("a mass is to be found, and there is no goal", hint="give goal_carbon_nitrogen_ratio")
        rows = list(compost.solve_mix(rows, goal_ratio=goal, goal_moisture_percent=moisture))
    total = sum((row.wet_kg or Decimal(0) for row in rows), Decimal(0))
    wet = compost.mix_moisture_percent(rows)
    ratio = compost.mix_ratio(rows)
    return {
        "materials": [{"name": row.name, "wet_kg": number(row.wet_kg or 0, places=3)} for row in rows],
        "total_kg": number(total, places=3),
        "carbon_nitrogen_ratio": number(ratio, places=2),
        "moisture_percent": number(wet, places=2),
        "water_kg": number(compost.water_kg(wet_kg=total, moisture_percent=wet), places=3),
        "warnings": _heap_warnings(rows, ratio, wet),
    }


def _heap_warnings(rows: list[compost.Material], ratio: Decimal, wet: Decimal) -> list[str]:
    told = []
    if wet > compost.MOISTURE_MOST_PERCENT:
        told.append("too wet: the ratio alone is not enough; add something dry, or let it drain")
    if wet < compost.MOISTURE_LEAST_PERCENT:
        told.append("too dry without the water named")
    if not compost.RATIO_LEAST <= ratio <= compost.RATIO_MOST:
        told.append("outside the 25 to 40 that the rule for treated compost asks at the start")
    told += [
        f"{row.name}: its figures imply {number(row.carbon_percent_dry, places=0)} % carbon, more than plants hold; "
        "nitrogen or ratio is rounded or off"
        for row in rows
        if row.carbon_percent_dry > compost.CARBON_DOUBTFUL_PERCENT
    ]
    return told


COMPOST = Calculator(
    name="compost-mix",
    title="Compost mix",
    method="ratio = sum of carbon / sum of nitrogen in dry matter (never a mean of ratios); masses not given come from "
    "the straight lines of ratio and moisture; water to 55 %",
    valid="wet masses; turn buckets into kilograms by weighing one first",
    inputs=(
        Input(
            "materials",
            "",
            "what goes in",
            kind="rows",
            rows=(
                Input("name", "", "its name", kind="text"),
                Input("nitrogen_percent_dry", "% of dry", "nitrogen", most=20, above=True),
                Input("carbon_nitrogen_ratio", "", "carbon to nitrogen", most=1000, above=True),
                Input("moisture_percent", "% of wet", "moisture", most=Decimal("99.9")),
                Input("wet_kg", "kg", "mass as it lies there; null for one to be found", most=100_000, may_lack=True),
            ),
        ),
        Input("goal_carbon_nitrogen_ratio", "", "the ratio wanted", most=1000, above=True, may_lack=True),
        Input("goal_moisture_percent", "% of wet", "the moisture wanted, to find two masses", most=90, may_lack=True),
    ),
    answer=_compost,
    sources=("cornell-compost", "cooperband", "cfr205-c2"),
    cautions=(
        "Compost with dung counts as treated only where it was hot: 55 to 77 °C for 3 days in a closed vessel.",
        "In a windrow that is 15 days and five turnings at least; measure it, else count it as raw dung.",
        "Keep it covered from rain, away from water and kitchens; wear gloves and boots; wash hands with soap.",
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
    "rabbit": "rabbit: a doe with her young of a year, as excreted, since no loss was read; a single one leaves less",
    "goat": "goat: droppings alone, by sheep's nitrogen (ours, the careful side); urine holds about as much again",
}


def _manure(given: Given) -> Given:
    kinds = [row["kind"] for row in given["animals"]]
    grams = sum((_ANIMALS[row["kind"]](Decimal(row["count"])) for row in given["animals"]), Decimal(0)) * 1000
    load = nitrogen.load_g_m2(nitrogen_g=grams, area_m2=given["area_m2"])
    return {
        "nitrogen_kg_year": number(grams / 1000, places=3),
        "nitrogen_g_m2_year": number(load, places=2),
        "limit_g_m2_year": number(nitrogen.NITROGEN_CEILING_G_M2_YEAR),
        "over_limit": load > nitrogen.NITROGEN_CEILING_G_M2_YEAR,
        "area_for_limit_m2": number(grams / nitrogen.NITROGEN_CEILING_G_M2_YEAR, places=1),
        "notes": [_ANIMAL_NOTES[kind] for kind in _ANIMAL_NOTES if kind in kinds],
    }


MANURE = Calculator(
    name="manure-nitrogen",
    title="Nitrogen of dung on an area",
    method="animals · nitrogen of each in a year after usual losses / area, against 17 g/m²/year (170 kg/ha/year)",
    valid="dung as excreted, all of it on this area; the directive limits a holding, so take it as a soft ceiling",
    inputs=(
        Input(
            "animals",
            "",
            "whose dung goes there",
            kind="rows",
            rows=(
                Input("kind", "", "which animal", kind="choice", choices=tuple(_ANIMALS)),
                Input("count", "", "how many", kind="integer", least=1, most=100_000),
            ),
        ),
        Input("area_m2", "m²", "the area that gets the dung", above=True),
    ),
    answer=_manure,
    sources=("nrcs-manure", "91-676-eec", "maertens2005", "osuhor2002"),
    cautions=(
        "A figure below the limit says nothing about germs: raw dung on food plants has its own waits.",
        "Keep dung away from wells and drains; ask the local authority what it allows.",
    ),
)


def _wick(given: Given) -> Given:
    rise = wick.rise_m(pore_diameter_mm=given["pore_diameter_mm"])
    days = wick.reservoir_days(usable_l=given["usable_l"], area_m2=given["area_m2"], use_l_m2_day=given["use_l_m2_day"])
    warnings: list[str] = []
    told: Given = {
        "rise_at_most_mm": number(rise * 1000, places=1),
        "reservoir_days": number(days, places=1),
        "warnings": warnings,
    }
    lift = given["lift_mm"]
    if lift is not None:
        told["wick_reaches"] = lift <= min(rise * 1000, wick.CAPILLARY_LIMIT_MM)
        if lift > wick.CAPILLARY_LIMIT_MM:
            warnings.append("above the 300 mm that guides allow: water the top until roots reach down")
    return told


WICK = Calculator(
    name="wick",
    title="Wick and reservoir",
    method="rise = 2 · surface tension / (density · gravity · pore radius); days = usable water / (bed · daily use)",
    valid="water at 20 °C and a wall that it wets wholly, so the rise is an upper bound; no rain, no leak",
    inputs=(
        Input(
            "pore_diameter_mm", "mm", "width of the pores of the wick or soil, not their radius", most=10, above=True
        ),
        Input("lift_mm", "mm", "how high the water must climb", most=5000, may_lack=True),
        Input("usable_l", "L", "water that can be drawn, stones taken off", most=100_000),
        Input("area_m2", "m²", "of the bed", above=True),
        Input("use_l_m2_day", "L/m²/day", "what plants and air take, often 1 to 3", most=50, above=True),
    ),
    answer=_wick,
    sources=("jurin", "wick-guides", "fao-microgardens"),
    cautions=("Close every opening of the reservoir against mosquitoes and small children.",),
)
CALCULATORS = (DILUTION, COMPOST, MANURE, WICK)
