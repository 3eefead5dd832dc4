"""The crop table: what it holds, how far each group of figures is sourced, and what is refused."""

from __future__ import annotations

import pytest

from fieldbook.climate.crops import GROUPS, CropsError, Days, Stages, read_crops
from fieldbook.shipped import shipped_text
from tests.climate.places import crop, crop_table

TABLE = shipped_text("seed_entries/crops.csv")

# FAO-56 Table 12 (Kc ini, mid, end) and Table 11 (four stages), rows as printed, for crops that have their own row
FAO56_ROWS = {
    "sweet_pepper": ((0.6, 1.05, 0.90), (30, 35, 40, 20)),
    "eggplant": ((0.6, 1.05, 0.90), (30, 40, 40, 20)),
    "cucumber": ((0.6, 1.00, 0.75), (20, 30, 40, 15)),
    "bean": ((0.5, 1.05, 0.90), (20, 30, 30, 10)),
    "cassava": ((0.3, 0.80, 0.30), (20, 40, 90, 60)),
    "sweet_potato": ((0.5, 1.15, 0.65), (15, 30, 50, 30)),
    "groundnut": ((0.4, 1.15, 0.60), (25, 35, 45, 25)),
    "maize": ((0.3, 1.15, 1.05), (20, 20, 30, 10)),
    "lettuce": ((0.7, 1.00, 0.95), (20, 30, 15, 10)),
}
# FAO Ecocrop: TMIN, TOPMN, TOPMX, TMAX of the row named in the table
ECOCROP_ROWS = {
    "tomato": (7, 20, 27, 35),
    "okra": (12, 20, 30, 35),
    "maize": (10, 18, 33, 47),
    "onion": (4, 12, 25, 30),
    "cabbage": (7, 15, 24, 32),
    "mint": (4, 15, 25, 36),
}


def test_there_are_26_crops_with_a_source_for_each_group() -> None:
    assert len(crop_table()) == 26
    assert all(set(found.origins) == set(GROUPS) for found in crop_table())


@pytest.mark.parametrize("crop_id", FAO56_ROWS)
def test_coefficients_and_stages_are_those_printed(crop_id: str) -> None:
    found = crop(crop_id)
    kc, stages = FAO56_ROWS[crop_id]
    assert (found.kc.initial, found.kc.mid, found.kc.end) == kc
    assert found.stages == Stages(*stages)


@pytest.mark.parametrize("crop_id", ECOCROP_ROWS)
def test_temperature_limits_are_those_of_ecocrop(crop_id: str) -> None:
    warmth = crop(crop_id).warmth
    limits = (warmth.bears_min_c, warmth.likes_min_c, warmth.likes_max_c, warmth.bears_max_c)
    assert limits == ECOCROP_ROWS[crop_id]


def test_stages_of_cowpea_are_their_sum_not_the_total_misprinted_in_table_11() -> None:
    stages = crop("cowpea_leaf").stages
    assert stages is not None
    assert stages.total == 100  # Table 11 prints 110


def test_figures_from_memory_are_counted_as_such() -> None:
    """Temperature is read for all but marigold, spider plant's sources disagree, nightshade's row is another's."""
    marks = {found.crop_id: found.origins["temperature"].mark for found in crop_table()}
    assert {name: mark for name, mark in marks.items() if mark != "read"} == {
        "marigold": "from memory",
        "nightshade": "stand-in",
        "spiderplant": "mixed",
    }
    durations = [found.origins["durations"].mark for found in crop_table()]
    assert (durations.count("mixed"), durations.count("from memory")) == (12, 14)


def test_a_figure_that_is_read_names_its_document() -> None:
    for found in crop_table():
        for group, origin in found.origins.items():
            if origin.mark in {"read", "stand-in"}:
                assert origin.words.startswith(("FAO Ecocrop row ", "FAO-56 Table ")), (found.crop_id, group)


def test_light_frost_follows_the_killing_temperatures_of_ecocrop() -> None:
    """Light frost is 0 to -2 C: killed always above -2 C at rest, only young above -2 C in early growth."""
    assert crop("sweet_potato").frost == "always"  # 1 C, 5 C
    assert crop("lettuce").frost == "always"  # -1 C, 0 C
    assert crop("kale").frost == "young"  # -5 C, 0 C
    assert crop("beetroot").frost == "never"  # -6 C, -3 C


def test_crops_sown_in_place_have_no_nursery() -> None:
    assert crop("carrot").nursery is None
    assert crop("tomato").nursery == Days(28, 35)


def changed(crop_id: str, old: str, new: str) -> str:
    lines = TABLE.splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith(f"{crop_id},"))
    assert old in lines[at]
    lines[at] = lines[at].replace(old, new, 1)
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (changed("tomato", ",7,20,27,35,", ",7,28,27,35,"), "tomato: the temperature limits .* are out of order"),
        (changed("tomato", ",7,20,27,35,", ",,20,27,35,"), "tomato has a cell that is missing or no number"),
        (changed("tomato", ",60,90,planting out", ",0,0,planting out"), "tomato: first harvest of 0 to 0 days"),
        (changed("tomato", ",60,90,planting out", ",90,60,planting out"), "tomato: first harvest of 90 to 60 days"),
        (changed("tomato", ",0.6,1.15,0.80,", ",0.6,0,-1,"), "tomato: crop coefficients outside 0 to 1.5"),
        (changed("tomato", ",season,always,", ",season,perhaps,"), "'perhaps' is none of always, young, never"),
        (changed("tomato", "read: FAO Ecocrop", "seen: FAO Ecocrop"), "'seen' is none of read, stand-in"),
        (changed("tomato", "tomato,", "kale,"), "kale stands twice"),
        ("\n".join(TABLE.splitlines()[:1]), "it has no row"),
        (TABLE.replace("t_abs_min_c", "tmin"), "kale has a cell that is missing .*; amaranth has a cell"),
    ],
)
def test_a_row_that_cannot_be_right_is_refused(text: str, fault: str) -> None:
    with pytest.raises(CropsError, match=fault):
        read_crops(text)
