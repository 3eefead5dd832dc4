"""The calculators of growing places: plants in a bed, on a wall, in a sack or tower.

Its one rule: a result is compared with a figure that somebody named, and never called safe.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from fieldbook.quantities import loads, spacing, towers
from fieldbook.quantities.calculator import Calculator, Output, note
from fieldbook.quantities.carrying import against, density_input
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.reading import Given, Input, number

PATTERNS: Final = ("square", "triangular")
_IN_ROWS: Final = ("in squares", "in triangles")


def _pattern() -> Input:
    return Input("pattern", "", "How they stand", "of the two", kind="choice", choices=PATTERNS, says=_IN_ROWS)


def _counts(length: int, width: int, space: int) -> Given:
    bed = {"length_mm": length, "width_mm": width, "spacing_mm": space}
    turned = {"length_mm": width, "width_mm": length, "spacing_mm": space}
    return {
        "square": spacing.plants_square(**bed),
        "triangular": spacing.plants_triangular(**bed),
        "triangular_rows": spacing.rows_triangular(**bed),
        "triangular_turned": spacing.plants_triangular(**turned),
    }


def _plants(given: Given) -> Given:
    counts = _counts(given["length_mm"], given["width_mm"], given["spacing_mm"])
    return {"plants": counts[given["pattern"]], **counts, "rows_run": note("along the length")}


_COUNTED = (
    Output("square", "In squares"),
    Output("triangular", "In triangles"),
    Output("triangular_rows", "Rows of triangles"),
    Output("triangular_turned", "In triangles with the rows the other way"),
)
PLANTS = Calculator(
    name="plants-that-fit",
    title="Plants that fit",
    purpose="how many plants a bed takes, in squares and in triangles",
    method="whole plants half a spacing from each edge; rows of triangles along the length, half the root of three "
    "times the spacing apart; all in whole millimetres",
    valid="a bed or wall of right angles; the spacing is that of the crop's own entry",
    inputs=(
        Input("length_mm", "mm", "Length of the bed", "rows run along it", kind="integer", least=1),
        Input("width_mm", "mm", "Width of the bed", "across the rows", kind="integer", least=1),
        Input("spacing_mm", "mm", "From plant to plant", "as the crop asks", kind="integer", least=1, most=100_000),
        _pattern(),
    ),
    outputs=(Output("plants", "Plants"), *_COUNTED, Output("rows_run", "Rows run")),
    answer=_plants,
    sources=("ours", "fao-microgardens"),
    cautions=("A wall or fence that carries bottles or pockets needs a competent person's check of what holds it.",),
)


def _wall(given: Given) -> Given:
    counts = _counts(given["width_mm"], given["height_mm"], given["spacing_mm"])
    pockets = counts[given["pattern"]] if given["pockets"] is None else given["pockets"]
    soil = given["pocket_l"] * pockets
    weight = soil * given["wet_density_kg_m3"] / 1000
    area = Decimal(given["width_mm"] * given["height_mm"]) / 1_000_000
    return {
        "pockets": pockets,
        **counts,
        "soil_l": number(soil, places=2),
        "wet_kg": number(weight, places=1),
        "wet_kg_m2_wall": number(weight / area, places=1),
        **against(weight, given["stated_limit_kg"], counted="before frame, water and wind"),
    }


WALL = Calculator(
    name="bottle-wall",
    title="Wall of bottles or pockets",
    purpose="how many bottles hang on a wall, and what they weigh when they are wet",
    method="bottles as plants in a bed of that width and height; weight = bottles · litres · weight of a litre soaked",
    valid="bottles that hang from fixings in the wall or on a rack before it",
    inputs=(
        Input("width_mm", "mm", "Width of the wall", "that is used", kind="integer", least=1),
        Input("height_mm", "mm", "Height that is used", "from lowest to highest", kind="integer", least=1),
        Input("spacing_mm", "mm", "From bottle to bottle", "each way", kind="integer", least=1, most=100_000),
        _pattern(),
        Input("pockets", "", "Or so many bottles", "in place of what fits", kind="integer", least=1, may_lack=True),
        Input("pocket_l", "L", "Soil in one bottle", "not the size of the bottle", most=1000, above=True),
        density_input(),
        Input("stated_limit_kg", "kg", "What the builder stated", "or empty", most=100_000, may_lack=True),
    ),
    outputs=(
        Output("words", "What it comes to"),
        Output("pockets", "Bottles"),
        *_COUNTED,
        Output("soil_l", "Soil", "L"),
        Output("wet_kg", "Weight on the fixings when wet", "kg"),
        Output("wet_kg_m2_wall", "On each square metre of wall", "kg"),
        Output("within_stated_limit", "Within the limit you gave"),
    ),
    answer=_wall,
    sources=("ours", "roof-media"),
    cautions=(
        "A wall or fence carries nothing before a competent person has checked it. Local codes come first.",
        "Nobody sits or sleeps below it; keep it clear of windows, ways out and electric wires.",
    ),
)


def _tower(given: Given) -> Given:
    size = {"diameter_mm": given["diameter_mm"], "height_mm": given["height_mm"]}
    core, space = given["core_diameter_mm"] or 0, given["spacing_mm"]
    if core >= size["diameter_mm"]:
        raise QuantityError("the core is as wide as the whole", hint="take a thinner core, or leave it empty")
    volume = towers.column_l(**size)
    soil = volume - towers.column_l(diameter_mm=core, height_mm=given["height_mm"])
    density, height_cm = given["wet_density_kg_m3"], Decimal(given["height_mm"]) / 10
    told: Given = {
        "volume_l": number(volume, places=1),
        "soil_l": number(soil, places=1),
        "wet_kg": number(volume * density / 1000, places=1),
        "under_kg_m2": number(loads.wet_load_kg_m2(depth_cm=height_cm, density_kg_m3=density), places=1),
        "side_m2": number(towers.side_m2(**size), places=3),
    }
    if space is not None:
        told["top_square"] = towers.plants_on_top_square(diameter_mm=size["diameter_mm"], spacing_mm=space)
        told["top_triangular"] = towers.plants_on_top_triangular(diameter_mm=size["diameter_mm"], spacing_mm=space)
        if given["kind"] == "sack":
            told["holes_by_area"] = towers.holes_by_area(**size, spacing_mm=space)
            told["holes_in_rows"] = towers.holes_in_rows(**size, spacing_mm=space)
    return told | {"warnings": _tower_warnings(given)}


def _tower_warnings(given: Given) -> list[str]:
    told = []
    if given["height_mm"] > towers.BRACE_ABOVE * given["diameter_mm"]:
        told.append(note("higher than twice its width: brace it, or make it lower (our rule of thumb)"))
    if given["kind"] == "tyres":
        told.append(note("tyres may give off poisons: line them, or grow flowers; never burn or cut them to shreds"))
    if given["kind"] == "bricks":
        told.append(note("loose bricks slide: tie them with wire or a band, and let a builder look"))
    return told


TOWER = Calculator(
    name="tower",
    title="Sack, tyres or round tower",
    purpose="soil, weight, holes in the side and plants on top of a sack or a tower",
    method="volume = π/4 · width² · height; weight = volume · weight of a litre soaked, core and all; holes = side / "
    "spacing², or whole rings one spacing apart; on top the best of three ways to lay squares, and triangles",
    valid="round and straight; counts in whole millimetres",
    inputs=(
        Input(
            "kind",
            "",
            "What it is",
            "of these",
            kind="choice",
            choices=("sack", "tyres", "bricks"),
            says=("a sack with holes in its side", "tyres on one another", "a round tower of bricks or crates"),
        ),
        Input("diameter_mm", "mm", "Width inside, when filled", "across", kind="integer", least=50, most=5000),
        Input("height_mm", "mm", "Height of the soil", "all tyres together", kind="integer", least=50, most=5000),
        Input(
            "spacing_mm",
            "mm",
            "From plant to plant",
            "as the crop asks",
            kind="integer",
            least=20,
            most=5000,
            may_lack=True,
        ),
        Input(
            "core_diameter_mm",
            "mm",
            "Width of a core of stones",
            "or empty",
            kind="integer",
            least=0,
            most=5000,
            may_lack=True,
        ),
        density_input(),
    ),
    outputs=(
        Output("soil_l", "Soil", "L"),
        Output("volume_l", "Volume with its core", "L"),
        Output("wet_kg", "Weight when wet", "kg"),
        Output("under_kg_m2", "On each square metre under it", "kg"),
        Output("side_m2", "Side", "m²"),
        Output("holes_in_rows", "Holes in whole rings"),
        Output("holes_by_area", "Holes by area, about"),
        Output("top_square", "Plants on top, in squares"),
        Output("top_triangular", "Plants on top, in triangles"),
        Output("warnings", "Mind"),
    ),
    answer=_tower,
    sources=("ours", "roof-media"),
    cautions=(
        "It is heavy and can fall: level ground, a brace where it is high, away from where children climb.",
        "Never on a roof, balcony or against a wall before a competent person has checked what carries it.",
    ),
)


CALCULATORS = (PLANTS, WALL, TOWER)
