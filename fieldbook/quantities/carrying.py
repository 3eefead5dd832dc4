"""The calculators of what carries and what waters: load on a roof, wick and reservoir.

Its one rule: a weight is compared with a figure that somebody named, and never called safe.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal
from typing import Final

from fieldbook.quantities import loads, wick
from fieldbook.quantities.calculator import Calculator, Output, note
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.reading import Given, Input, number

_GARDEN_SOIL: Final = "soaked and weighed; garden soil about 1922"


def density_input() -> Input:
    """The input for the weight of soaked soil, which every weight asks for."""
    return Input(
        "wet_density_kg_m3",
        "kg/m³",
        "Weight of a cubic metre of the soil",
        _GARDEN_SOIL,
        least=50,
        most=3000,
    )


def against(weight: Decimal, limit: Decimal | None, *, counted: str) -> Given:
    """What is said of a weight against a limit that somebody stated, and whether it is within.

    Args:
        weight: in the unit of the limit.
        limit: what a competent person stated; None where nobody did.
        counted: what the weight holds or leaves out, in words.
    """
    if limit is None:
        words = note("No limit was stated: ask a competent builder or engineer before anything is carried up.")
        return {"within_stated_limit": None, "words": words}
    if weight <= limit:
        words = note(f"Below the limit you gave, {counted}; ask a competent person.")
        return {"within_stated_limit": True, "words": words}
    return {"within_stated_limit": False, "words": note("Above the limit you gave: do not put it there.")}


def _load(given: Given) -> Given:
    density, limit = given["wet_density_kg_m3"], given["stated_limit_kg_m2"]
    load = loads.wet_load_kg_m2(depth_cm=given["depth_cm"], density_kg_m3=density)
    rest = (given["standing_water_mm"] or 0) * loads.WATER_KG_M2_MM + (given["other_kg_m2"] or 0)
    counted = "with the water and the rest that you counted" if rest else "before people, water, frames and plants"
    told: Given = {
        "load_kg_m2": number(load, places=2),
        "load_kg_m2_per_cm": number(density / 100, places=2),
        "with_rest_kg_m2": number(load + rest, places=2),
        **against(load + rest, limit, counted=counted),
    }
    if limit is not None:
        within = max(Decimal(0), limit - rest) * 100 / density
        told["depth_at_limit_cm"] = number(within.quantize(Decimal("0.01"), rounding=ROUND_FLOOR))  # never upwards
    if given["length_mm"] is not None and given["width_mm"] is not None:
        bed = {"length_mm": given["length_mm"], "width_mm": given["width_mm"]}
        told["soil_l"] = number(loads.soil_l(**bed, depth_cm=given["depth_cm"]), places=1)
        told["wet_kg"] = number(loads.soil_l(**bed, depth_cm=given["depth_cm"]) * density / 1000, places=1)
    return told


LOAD = Calculator(
    name="load",
    title="Weight on a roof or wall",
    purpose="what a bed weighs when it is wet, against what the builder stated",
    method="weight = depth · density when soaked; standing water 1 kg/m² for each millimetre",
    valid="growing medium alone, soaked; people, trays (1 kg/m² for each mm of water), frames and plants come on top",
    inputs=(
        Input("depth_cm", "cm", "Depth of the soil", "of the growing medium", most=500, above=True),
        density_input(),
        Input(
            "stated_limit_kg_m2",
            "kg/m²",
            "What the builder stated for each square metre",
            "0 where nobody trusts it, or empty",
            most=100_000,
            may_lack=True,
        ),
        Input("length_mm", "mm", "Length of the bed", "for soil and weight", kind="integer", least=1, may_lack=True),
        Input("width_mm", "mm", "Width of the bed", "inside", kind="integer", least=1, may_lack=True),
        Input("standing_water_mm", "mm", "Water in a tray under it", "depth", most=2000, may_lack=True, apart=True),
        Input(
            "other_kg_m2",
            "kg/m²",
            "People, frame and plants",
            "on a square metre",
            most=10_000,
            may_lack=True,
            apart=True,
        ),
    ),
    outputs=(
        Output("words", "What it comes to"),
        Output("load_kg_m2", "Soil on each square metre, wet", "kg"),
        Output("load_kg_m2_per_cm", "The same for each centimetre of depth", "kg"),
        Output("with_rest_kg_m2", "The same with water and the rest that you counted", "kg"),
        Output("depth_at_limit_cm", "Depth at the limit you gave", "cm"),
        Output("soil_l", "Soil", "L"),
        Output("wet_kg", "The whole bed when wet", "kg"),
        Output("within_stated_limit", "Within the limit you gave"),
    ),
    answer=_load,
    sources=("roof-media", "roof-live-load"),
    cautions=(
        "Wet soil is dead load: it comes on top of the live load of a roof, not out of it.",
        "Treat a roof of corrugated sheets as bearing nothing until an engineer or a competent builder says otherwise.",
        "Nobody sleeps or works under a loaded roof that was not checked. Local codes come first.",
    ),
)


def _wick(given: Given) -> Given:
    rise_mm = wick.rise_m(pore_diameter_mm=given["pore_diameter_mm"]) * 1000
    usable, use = _usable_l(given), _use_l_m2_day(given)
    days = wick.reservoir_days(usable_l=usable, area_m2=given["area_m2"], use_l_m2_day=use)
    told: Given = {
        "rise_at_most_mm": number(rise_mm, places=1),
        "usable_l": number(usable, places=2),
        "use_l_m2_day": number(use, places=2),
        "reservoir_days": number(days, places=1),
    }
    lift = given["lift_mm"]
    if lift is not None:
        told["wick_reaches"] = lift <= min(rise_mm, wick.CAPILLARY_LIMIT_MM)
    return told | {"warnings": _wick_warnings(given)}


def _usable_l(given: Given) -> Decimal:
    if given["usable_l"] is not None:
        usable: Decimal = given["usable_l"]
        return usable
    if given["volume_l"] is None or given["open_percent"] is None:
        raise QuantityError(
            "the water that can be drawn is not known",
            hint="measure it by pouring, or give the reservoir and its open share",
        )
    return wick.open_water_l(volume_l=given["volume_l"], open_percent=given["open_percent"])


def _use_l_m2_day(given: Given) -> Decimal:
    if given["use_l_m2_day"] is not None:
        use: Decimal = given["use_l_m2_day"]
        return use
    if given["eto_mm_day"] is None or given["crop_coefficient"] is None:
        raise QuantityError(
            "the water that the bed takes in a day is not known",
            hint="give litres for each square metre, or the month's evaporation and the crop's coefficient",
        )
    return wick.crop_use_l_m2_day(eto_mm_day=given["eto_mm_day"], crop_coefficient=given["crop_coefficient"])


def _wick_warnings(given: Given) -> list[str]:
    told = []
    if given["lift_mm"] is not None and given["lift_mm"] > wick.CAPILLARY_LIMIT_MM:
        told.append(note("above the 300 mm that guides allow: water the top until roots reach down"))
    if given["soil_above_mm"] is not None and given["soil_above_mm"] > wick.SOIL_ABOVE_MOST_MM:
        told.append(note("more than the 320 mm of soil above the water that guides allow"))
    if given["reservoir_mm"] is not None and given["reservoir_mm"] > wick.RESERVOIR_MOST_MM:
        told.append(note("a reservoir deeper than the 300 mm that guides allow: the lowest water stays below"))
    return told


WICK = Calculator(
    name="wick",
    title="Wick and reservoir",
    purpose="how high a wick lifts water, and for how many days a reservoir lasts",
    method="rise = 2 · surface tension / (density · gravity · pore radius); days = usable water / (bed · daily use); "
    "daily use = evaporation of the month · crop coefficient, where it is not given",
    valid="water at 20 °C and a wall that it wets wholly, so the rise is an upper bound; no rain, no leak",
    inputs=(
        Input(
            "pore_diameter_mm", "mm", "Width of the pores of the wick or soil", "not their radius", most=10, above=True
        ),
        Input("lift_mm", "mm", "How high the water must climb", "from its lowest", most=5000, may_lack=True),
        Input("usable_l", "L", "Water that can be drawn", "stones taken off", most=100_000, above=True, may_lack=True),
        Input("area_m2", "m²", "The bed", "its surface", above=True),
        Input(
            "use_l_m2_day", "L/m²/day", "What plants and air take", "often 1 to 3", most=50, above=True, may_lack=True
        ),
        Input(
            "volume_l",
            "L",
            "Or the reservoir when empty",
            "inside",
            most=100_000,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input(
            "open_percent",
            "%",
            "Share of it that water fills",
            "by pouring",
            most=100,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input(
            "eto_mm_day",
            "mm/day",
            "Or evaporation of the month",
            "see the climate",
            most=20,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input(
            "crop_coefficient",
            "",
            "Coefficient of the crop",
            "often 0.7 to 1.1",
            most=2,
            above=True,
            may_lack=True,
            apart=True,
        ),
        Input("soil_above_mm", "mm", "Soil above the water", "depth", most=5000, may_lack=True, apart=True),
        Input("reservoir_mm", "mm", "Depth of the reservoir", "of the water", most=5000, may_lack=True, apart=True),
    ),
    outputs=(
        Output("reservoir_days", "The reservoir lasts", "days"),
        Output("usable_l", "Water that can be drawn", "L"),
        Output("use_l_m2_day", "What plants and air take", "L/m²/day"),
        Output("rise_at_most_mm", "Water climbs at most", "mm"),
        Output("wick_reaches", "High enough by this"),
        Output("warnings", "Mind"),
    ),
    answer=_wick,
    sources=("jurin", "wick-guides", "fao-microgardens", "fao56"),
    cautions=("Close every opening of the reservoir against mosquitoes and small children.",),
)
CALCULATORS = (LOAD, WICK)
