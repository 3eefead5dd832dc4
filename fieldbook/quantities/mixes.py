"""The calculators of mixes: dilution, compost, and the heat of a heap.

Its one rule: what goes in and out is named with its unit; the sums are those of the modules beside this one.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from fieldbook.quantities import compost, dilution, heat
from fieldbook.quantities.calculator import Calculator, Output, note
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.materials import TYPICAL
from fieldbook.quantities.reading import Given, Input, number


def _dilution(given: Given) -> Given:
    by_parts = given["parts_stock"] is not None and given["parts_water"] is not None
    by_strength = given["from_percent"] is not None and given["to_percent"] is not None
    doses = _doses(given)
    if (by_parts and by_strength) or not (by_parts or by_strength or doses):
        raise QuantityError(
            "it takes parts of stock and water, or the two strengths, and not both",
            hint="give one of the two pairs, whole",
        )
    total_l = given["total_l"]
    told: Given = {"total_l": number(total_l)}
    if by_parts or by_strength:
        told |= _made(given, total_l, by_parts=by_parts)
    return told | doses


def _made(given: Given, total_l: Decimal, *, by_parts: bool) -> Given:
    if by_parts:
        made = dilution.dilute(parts_stock=given["parts_stock"], parts_water=given["parts_water"], total_l=total_l)
    else:
        made = dilution.weaken(from_percent=given["from_percent"], to_percent=given["to_percent"], total_l=total_l)
    told = _litres(made)
    if by_parts and given["parts_stock"] == 1 and given["parts_water"] >= 2:
        other = dilution.dilute(parts_stock=Decimal(1), parts_water=given["parts_water"] - 1, total_l=total_l)
        parts = number(given["parts_water"])
        words = note(f"if “1:{parts}” was meant as one part in {parts}")
        told["other_reading"] = {"words": words, **_litres(other)}
    if given["sprayer_l"] is not None:
        filled = dilution.fillings(made, total_l=total_l, sprayer_l=given["sprayer_l"])
        told["full_fillings"] = filled.full
        told["each_filling"] = _fill(filled.each)
        if filled.last is not None:
            told["last_filling"] = _fill(filled.last)
    return told


def _fill(one: dilution.Fill) -> Given:
    return {"stock_l": number(one.stock_l, places=3), "water_l": number(one.water_l, places=3)}


def _doses(given: Given) -> Given:
    told, total_l = Given(), given["total_l"]
    if given["dose_g_l"] is not None:
        told["dose_g"] = number(dilution.dose_g(g_per_l=given["dose_g_l"], total_l=total_l), places=1)
    if given["dose_ml_l"] is not None:
        told["dose_ml"] = number(dilution.dose_ml(ml_per_l=given["dose_ml_l"], total_l=total_l), places=1)
    if given["weight_percent"] is not None:
        strength = given["weight_percent"]
        told["weight_g"] = number(dilution.weight_in_g(percent_weight_in_volume=strength, total_l=total_l), places=1)
    return told


def _litres(made: dilution.Dilution) -> Given:
    return {
        "stock_l": number(made.stock_l, places=3),
        "water_l": number(made.water_l, places=3),
        "dilution_factor": number(made.factor, places=3),
        "strength_percent": number(made.strength_percent, places=3),
        "germs_log10": number(made.germs_log10, places=2),
    }


_STOCK, _WATER = Output("stock_l", "Stock", "L"), Output("water_l", "Water", "L")
_STRENGTH = (
    Output("dilution_factor", "Times thinner than the stock"),
    Output("strength_percent", "Stock in the whole", "%"),
    Output("germs_log10", "Powers of ten by which germs grow fewer"),
)
DILUTION = Calculator(
    name="dilution",
    title="Dilution and mixing",
    purpose="so many parts to so many, or so strong, in the can or sprayer that you have",
    method="stock = total · parts of stock / all parts, or total · strength wanted / strength of the stock; "
    "the rest is water, to the millilitre; 1 % weight in volume = 10 g in a litre",
    valid="liquids; a powder is weighed in grams",
    inputs=(
        Input("total_l", "L", "All that you want to make", "the can to be filled, or more", most=10_000, above=True),
        Input("parts_stock", "", "Parts of stock", "usually 1", most=10_000, above=True, may_lack=True),
        Input("parts_water", "", "Parts of water", "to that many of stock", most=10_000, may_lack=True),
        Input("sprayer_l", "L", "Your sprayer or can holds", "where it is less", most=1000, above=True, may_lack=True),
        Input(
            "from_percent",
            "%",
            "Strength of the stock",
            "in place of parts",
            most=100,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input(
            "to_percent",
            "%",
            "Strength wanted",
            "below that of the stock",
            most=100,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input("dose_g_l", "g/L", "Weight of something for each litre", "soap", most=1000, may_lack=True, apart=True),
        Input("dose_ml_l", "mL/L", "Extract for each litre", "a liquid", most=1000, may_lack=True, apart=True),
        Input(
            "weight_percent",
            "%",
            "Or its strength by weight",
            "1 % is 10 g in a litre",
            most=100,
            may_lack=True,
            apart=True,
        ),
    ),
    outputs=(
        Output("total_l", "All together", "L"),
        _STOCK,
        _WATER,
        Output("full_fillings", "Whole fillings of your sprayer"),
        Output("each_filling", "In each filling", rows=(_STOCK, _WATER)),
        Output("last_filling", "In the last filling", rows=(_STOCK, _WATER)),
        Output("dose_g", "To weigh in", "g"),
        Output("dose_ml", "To measure in", "mL"),
        Output("weight_g", "To weigh in, by strength", "g"),
        *_STRENGTH,
        Output("other_reading", "The other reading", rows=(Output("words", ""), _STOCK, _WATER, *_STRENGTH)),
    ),
    answer=_dilution,
    sources=("ours",),
    cautions=(
        "Dilution alone lowers germs by that power of ten and no more; it does not make dung or urine clean.",
        "Ask what “1:2” means where the recipe comes from; both volumes stand here.",
        "Wear gloves, keep children away, and never mix in a vessel that food or water is kept in.",
    ),
)


def _material(row: Given) -> compost.Material:
    name = row["name"] or row["material"] or ""
    nitrogen, ratio, moisture = (_figure(row, each) for each in _FIGURES)
    if not name or nitrogen is None or ratio is None or moisture is None:
        raise QuantityError(
            "a material lacks its name, nitrogen, ratio or moisture",
            hint="choose it from the table, or write its own figures",
        )
    return compost.Material(name, nitrogen, ratio, moisture, wet_kg=_mass(row, name), most_kg=row["most_kg"])


_FIGURES: Final = ("nitrogen_percent_dry", "carbon_nitrogen_ratio", "moisture_percent")


def _figure(row: Given, name: str) -> Decimal | None:
    """What was given of a material, else what the table has of it; None where neither is there."""
    given: Decimal | None = row[name]
    if given is not None or row["material"] is None:
        return given
    return Decimal(getattr(TYPICAL[row["material"]], name))


def _mass(row: Given, name: str) -> Decimal | None:
    if row["wet_kg"] is not None or row["volume_l"] is None:
        kg: Decimal | None = row["wet_kg"]
        return kg
    density = _figure(row, "density_kg_l")
    if density is None:
        raise QuantityError(
            f"the litres of {name} are no weight yet",
            hint="write what a litre of it weighs, from one bucket on a scale",
        )
    litres: Decimal = row["volume_l"]
    return density * litres


def _compost(given: Given) -> Given:
    rows = [_material(row) for row in given["materials"]]
    goal, moisture = given["goal_carbon_nitrogen_ratio"], given["goal_moisture_percent"]
    added = None
    if any(row.wet_kg is None for row in rows):
        if goal is None:
            raise QuantityError(
                "a mass is to be found, and there is no goal", hint="write the ratio wanted, often 30, or every mass"
            )
        solved = compost.solve_mix(rows, goal_ratio=goal, goal_moisture_percent=moisture)
        rows, added = list(solved.materials), None if moisture is None else solved.water_kg
    total = sum((row.wet_kg or Decimal(0) for row in rows), Decimal(0))
    wet, ratio = compost.mix_moisture_percent(rows), compost.mix_ratio(rows)
    if added is None:
        added = compost.water_kg(wet_kg=total, moisture_percent=wet)
    return {
        "materials": [{"name": row.name, "wet_kg": number(row.wet_kg or 0, places=3)} for row in rows],
        "total_kg": number(total, places=3),
        "carbon_nitrogen_ratio": number(ratio, places=2),
        "moisture_percent": number(wet, places=2),
        "water_kg": number(added, places=3),
        "watered_percent": number((total * wet + 100 * added) / (total + added), places=2),
        "warnings": _heap_warnings(rows, ratio, wet),
    }


def _heap_warnings(rows: list[compost.Material], ratio: Decimal, wet: Decimal) -> list[str]:
    told = []
    if wet > compost.MOISTURE_MOST_PERCENT:
        told.append(note("too wet: the ratio alone is not enough; add something dry, or let it drain"))
    if wet < compost.MOISTURE_LEAST_PERCENT:
        told.append(note("too dry without the water named"))
    if not compost.RATIO_LEAST <= ratio <= compost.RATIO_MOST:
        told.append(note("outside the 25 to 40 that the rule for treated compost asks at the start"))
    told += [
        note(
            f"{row.name}: its figures imply {number(row.carbon_percent_dry, places=0)} % carbon, more than plants "
            "hold; nitrogen or ratio is rounded or off"
        )
        for row in rows
        if row.carbon_percent_dry > compost.CARBON_DOUBTFUL_PERCENT
    ]
    return told


_MATERIAL: Final = (
    Input("material", "", "Material", "of the table", kind="choice", choices=tuple(TYPICAL), may_lack=True),
    Input("wet_kg", "kg", "Mass", "as it lies there; empty where it is to be found", most=1_000_000, may_lack=True),
    Input("volume_l", "L", "Or heaped litres", "turned into kg by the table", most=1_000_000, may_lack=True),
    Input("most_kg", "kg", "No more than", "of one to be found", most=100_000, may_lack=True, apart=True),
    Input("name", "", "Another name", "for one of your own", kind="text", may_lack=True, apart=True),
    Input("nitrogen_percent_dry", "% of dry", "Its nitrogen", "yours", most=50, above=True, may_lack=True, apart=True),
    Input(
        "carbon_nitrogen_ratio",
        "",
        "Its ratio",
        "carbon to nitrogen",
        most=10_000,
        above=True,
        may_lack=True,
        apart=True,
    ),
    Input("moisture_percent", "% of wet", "Its moisture", "yours", most=Decimal("99.9"), may_lack=True, apart=True),
    Input("density_kg_l", "kg/L", "Its weight by the litre", "weighed", most=3, above=True, may_lack=True, apart=True),
)
COMPOST = Calculator(
    name="compost-mix",
    title="Compost mix",
    purpose="how much of each thing goes on the heap, and how much water",
    method="ratio = sum of carbon / sum of nitrogen in dry matter (never a mean of ratios); masses not given come from "
    "the straight lines of ratio and moisture with the least that is added; without a goal for moisture, water to 55 %",
    valid="wet masses; litres are turned into kilograms by the table's weight (pounds in a US gallon) or your own",
    inputs=(
        Input("materials", "", "Material", "what goes on the heap", kind="rows", rows=_MATERIAL),
        Input(
            "goal_carbon_nitrogen_ratio",
            "",
            "Ratio of carbon to nitrogen wanted",
            "to find a mass; often 30",
            most=1000,
            above=True,
            may_lack=True,
        ),
        Input("goal_moisture_percent", "% of wet", "Moisture wanted", "often 55", most=90, may_lack=True),
    ),
    outputs=(
        Output("materials", "On the heap", rows=(Output("name", "Material"), Output("wet_kg", "Mass", "kg"))),
        Output("water_kg", "Water to add", "L"),
        Output("total_kg", "All together without that water", "kg"),
        Output("carbon_nitrogen_ratio", "Carbon to nitrogen", "to 1"),
        Output("moisture_percent", "Moisture before the water", "% of wet"),
        Output("watered_percent", "Moisture with the water", "% of wet"),
        Output("warnings", "Mind"),
    ),
    answer=_compost,
    sources=("cornell-compost", "cooperband", "cfr205-c2", "bertrand-table"),
    cautions=(
        "Compost with dung counts as treated only where it was hot: 55 to 77 °C for 3 days in a closed vessel.",
        "In a windrow that is 15 days and five turnings at least; measure it, else count it as raw dung.",
        "Keep it covered from rain, away from water and kitchens; wear gloves and boots; wash hands with soap.",
    ),
)


def _heat(given: Given) -> Given:
    short = heat.shortfall(given["system"], hot_days=given["hot_days"], turnings=given["turnings"])
    ratio, lacks = given["ratio_at_start"], []
    if not short.known:
        lacks.append(note("the rule knows no such heap: count it as raw dung"))
    if short.days:
        lacks.append(note(f"{short.days} more days in a row at 55 to 77 °C all through"))
    if short.turnings:
        lacks.append(note(f"{short.turnings} more turnings within the hot days"))
    if ratio is None:
        lacks.append(note("the ratio at the start was not said; the rule asks 25 to 40"))
    elif not compost.RATIO_LEAST <= ratio <= compost.RATIO_MOST:
        lacks.append(note("the ratio at the start lay outside 25 to 40"))
    treated = not lacks and short.treated
    words = note("Counts as treated, if the heat was measured all through." if treated else "Counts as raw dung.")
    return {"counts_as_treated": treated, "words": words, "lacks": lacks}


HEAT = Calculator(
    name="compost-heat",
    title="Was the heap hot enough?",
    purpose="whether a heap with dung counts as treated, by its hot days and turnings",
    method="days in a row at 55 to 77 °C and turnings in that time, against 3 days closed or aired, 15 days and 5 "
    "turnings in a turned row; a turned box is held to the row's figures (ours)",
    valid="heat measured in the middle and near the sides; a box that is turned every two weeks never reaches it",
    inputs=(
        Input(
            "system",
            "",
            "How the heap is kept",
            "the nearest of these",
            kind="choice",
            choices=("closed-or-aired", "turned-row", "turned-box", "other"),
            says=(
                "in a closed vessel, or still with air blown through",
                "in a row that is turned",
                "in a box that is turned",
                "in another way, or with worms",
            ),
        ),
        Input("hot_days", "days", "Days in a row at 55 to 77 °C all through", "measured", kind="integer", most=3660),
        Input("turnings", "", "Turnings within those days", "0 for none", kind="integer", most=1000),
        Input(
            "ratio_at_start",
            "",
            "Ratio of carbon to nitrogen at the start",
            "from the sum of the mix",
            most=1000,
            above=True,
            may_lack=True,
        ),
    ),
    outputs=(
        Output("words", "What it comes to"),
        Output("counts_as_treated", "Counts as treated"),
        Output("lacks", "What lacks"),
    ),
    answer=_heat,
    sources=("cfr205-c2",),
    cautions=(
        "Without a thermometer it is raw dung: 120 days before picking what touches the soil, 90 where it hangs clear.",
        "The rule binds organic farms in the US; we take it as the careful figure. Local codes come first.",
        "A heap above 77 °C can smoulder: open it, wet it, turn it. Damp the dust; wear a cloth over the mouth.",
    ),
)
CALCULATORS = (DILUTION, COMPOST, HEAT)
