"""Every figure of the crop table that says where it was read, against the rows that it names.

The tables stand beside this file as the packages pyfao56 1.4.3 (FAO-56 Tables 11, 12 and 22) and ecocrop 0.2.0 (FAO
Ecocrop) carry them. Names differ from table to table, so crops are joined by hand and never by text.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

import pytest

from tests.climate.places import crop, crop_table

TABLES = Path(__file__).parent / "outside"

# crop: its row in Table 12 (coefficients), its row in Table 22 (roots), and its row in Table 11 (stages, by number)
FAO56 = {
    "kale": ("small vegetables", "cabbage", ("crucifers", 20, 30, 20, 10)),
    "amaranth": ("small vegetables", "spinach", None),
    "nightshade": ("small vegetables", "spinach", None),
    "spiderplant": ("small vegetables", "spinach", None),
    "chard": ("spinach", "spinach", ("spinach", 20, 20, 20, 5)),
    "cowpea_leaf": ("green gram cowpeas harvested fresh", "green gram cowpeas", ("green gram cowpeas", 20, 30, 30, 20)),
    "pumpkin_leaf": ("pumpkin winter squash", "pumpkin winter squash", ("pumpkin winter squash", 20, 30, 30, 20)),
    "tomato": ("tomato", "tomato", ("tomato", 30, 40, 45, 30)),
    "onion": ("onions dry", "onions dry", ("onion dry", 15, 25, 70, 40)),
    "carrot": ("carrots", "carrots", ("carrots", 20, 30, 30, 20)),
    "beetroot": ("beets table", "beets table", ("beets table", 15, 25, 20, 10)),
    "sweet_pepper": ("sweet peppers bell", "sweet peppers bell", ("sweet peppers bell", 30, 35, 40, 20)),
    "chilli": ("sweet peppers bell", "sweet peppers bell", ("sweet peppers bell", 30, 35, 40, 20)),
    "eggplant": ("eggplant", "eggplant", ("eggplant", 30, 40, 40, 20)),
    "okra": ("eggplant", "eggplant", None),
    "cabbage": ("cabbage", "cabbage", ("cabbage", 40, 60, 50, 15)),
    "lettuce": ("lettuce", "lettuce", ("lettuce", 20, 30, 15, 10)),
    "cucumber": ("cucumber fresh market", "cucumber fresh market", ("cucumber", 20, 30, 40, 15)),
    "bean": ("beans green", "beans green", ("beans green", 20, 30, 30, 10)),
    "sweet_potato": ("sweet potato", "sweet potato", ("sweet potato", 15, 30, 50, 30)),
    "cassava": ("cassava year 1", "cassava year 1", ("cassava year 1", 20, 40, 90, 60)),
    "maize": ("maize sweet corn fresh", "maize sweet corn", ("maize sweet", 20, 20, 30, 10)),
    "groundnut": ("groundnut peanut", "groundnut peanut", ("groundnut", 25, 35, 45, 25)),
    "coriander": ("small vegetables", "spinach", None),
    "mint": ("mint", "mint", None),
    "potato": ("potato", "potato", ("potato", 25, 30, 40, 30)),
    "spinach": ("spinach", "spinach", ("spinach", 20, 20, 20, 5)),
    "radish": ("radish", "radishes", ("radish", 5, 10, 15, 5)),
    "garlic": ("garlic", "garlic", None),
    "spring_onion": ("onions green", "onoins green", ("onion green", 25, 30, 10, 5)),
    "broccoli": ("broccoli", "broccoli", ("broccoli", 35, 45, 40, 15)),
    "zucchini": ("squash zucchini", "squash zucchini", ("squash zucchini", 25, 35, 25, 15)),
    "watermelon": ("watermelon", "watermelon", ("water melons", 20, 30, 30, 30)),
    "melon": ("sweet melons", "sweet melons", ("sweet melons", 25, 35, 40, 20)),
    "pea": ("peas fresh", "peas fresh", ("peas", 15, 25, 35, 15)),
    "faba_bean": ("faba bean broad fresh", "faba bean broad fresh", ("faba bean broad", 15, 25, 35, 15)),
    "green_gram": ("green gram cowpeas harvested dry", "green gram cowpeas", ("green gram cowpeas", 20, 30, 30, 20)),
    "soybean": ("soybeans", "soybeans", ("soybeans", 15, 15, 40, 15)),
    "sorghum": ("sorghum grain", "sorghum grain", ("sorghum", 20, 35, 45, 30)),
    "millet": ("millet", "millet", ("millet", 15, 25, 40, 25)),
    "turnip": ("turnip rutabaga", "turnip rutabaga", None),
}


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    lines = (TABLES / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))


def row(name: str, **wanted: str) -> dict[str, str]:
    (found,) = [one for one in table(name) if all(one[column] == text for column, text in wanted.items())]
    return found


def test_each_crop_that_has_a_row_in_fao56_is_held_against_it() -> None:
    without = {found.crop_id for found in crop_table()} - set(FAO56)
    assert without == {"marigold"}  # in none of the tables, and marked so
    assert {crop("marigold").origins[group].mark for group in ("kc", "root_depth")} == {"from memory"}


@pytest.mark.parametrize("crop_id", FAO56)
def test_coefficients_are_those_of_table_12(crop_id: str) -> None:
    printed = row("fao56_table12", Crop=FAO56[crop_id][0])
    found = crop(crop_id).kc
    assert (found.initial, found.mid, found.end) == tuple(float(printed[f"Kcm{end}"]) for end in ("ini", "mid", "end"))


@pytest.mark.parametrize("crop_id", FAO56)
def test_stages_are_a_row_of_table_11_or_not_published(crop_id: str) -> None:
    named, found = FAO56[crop_id][2], crop(crop_id)
    if named is None:
        assert found.stages is None
        assert found.origins["stage_days"].mark == "none"
        return
    name, *days = named
    assert any(
        one["Crop"] == name and [one["Lini"], one["Ldev"], one["Lmid"], one["Llate"]] == [str(day) for day in days]
        for one in table("fao56_table11")
    )
    assert found.stages is not None
    assert [found.stages.initial, found.stages.development, found.stages.mid, found.stages.late] == days


@pytest.mark.parametrize("crop_id", FAO56)
def test_root_depth_and_depletion_are_those_of_table_22(crop_id: str) -> None:
    printed = row("fao56_table22", Crop=FAO56[crop_id][1])
    (cells,) = [one for one in shipped_rows() if one["crop_id"] == crop_id]
    found = [float(cells[name]) for name in ("root_depth_min_m", "root_depth_max_m", "depletion_p")]
    assert found == [float(printed[name]) for name in ("Zrmax1", "Zrmax2", "pbase")]


@cache
def shipped_rows() -> tuple[dict[str, str], ...]:
    path = Path(__file__).parent.parent.parent / "seed_entries" / "crops.csv"
    return tuple(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def ecocrop(words: str) -> dict[str, str] | None:
    """The row of Ecocrop that a source names."""
    named = re.search(r"FAO Ecocrop row (\d+)", words)
    return row("ecocrop_rows", row=named[1]) if named else None


@pytest.mark.parametrize("crop_id", [found.crop_id for found in crop_table()])
def test_temperature_limits_are_those_of_the_ecocrop_row_named(crop_id: str) -> None:
    found = crop(crop_id)
    printed = ecocrop(found.origins["temperature"].words)
    if printed is None:
        assert found.origins["temperature"].mark == "from memory"
        return
    limits = (found.warmth.bears_min_c, found.warmth.likes_min_c, found.warmth.likes_max_c, found.warmth.bears_max_c)
    assert limits == tuple(
        float(printed[name]) for name in ("bears_min_c", "likes_min_c", "likes_max_c", "bears_max_c")
    )


def test_frost_follows_the_killing_temperatures_of_the_row_named() -> None:
    """Light frost is 0 to -2 C (ours): above -2 C at rest it kills always, above -2 C in early growth only the young."""
    read = [found for found in crop_table() if found.origins["frost"].mark == "read"]
    assert len(read) >= 15
    for found in read:
        printed = ecocrop(found.origins["frost"].words)
        assert printed is not None
        rest, early = float(printed["killing_at_rest_c"]), float(printed["killing_early_c"])
        assert found.frost == ("always" if rest > -2 else "young" if early > -2 else "never"), found.crop_id


def test_durations_that_name_a_cycle_of_ecocrop_lie_within_it() -> None:
    counted = 0
    for found in crop_table():
        words = found.origins["durations"].words
        printed, said = ecocrop(words), re.search(r"[Cc]ycle of (\d+) to (\d+) days of FAO Ecocrop", words)
        if printed is not None and said is not None:
            assert said.groups() == (printed["cycle_min_days"], printed["cycle_max_days"]), found.crop_id
            assert found.first_harvest.most <= int(printed["cycle_max_days"]), found.crop_id
            counted += 1
    assert counted >= 6
