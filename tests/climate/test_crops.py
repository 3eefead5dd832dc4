"""The crop table: what it holds, how far each group of figures is sourced, and what is refused."""

from __future__ import annotations

import pytest

from fieldbook.climate.crops import GROUPS, CropsError, Days, read_crops
from fieldbook.shipped import shipped_text
from fieldbook.sources import SOURCES
from tests.climate.places import crop, crop_table

TABLE = shipped_text("seed_entries/crops.csv")


def test_there_are_over_40_crops_with_a_source_for_each_group() -> None:
    assert len(crop_table()) >= 40
    assert all(set(found.origins) == set(GROUPS) for found in crop_table())


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
    assert (durations.count("mixed"), durations.count("from memory")) == (28, 14)


def test_a_figure_that_is_read_names_its_document() -> None:
    for found in crop_table():
        for group, origin in found.origins.items():
            if origin.mark in {"read", "stand-in"}:
                documents = ("FAO Ecocrop row ", "FAO-56 Table ", SOURCES["umd-containers"].title)
                assert origin.words.startswith(documents), (found.crop_id, group)


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
        (changed("tomato", ",60,staked,", ",61,staked,"), "tomato: eaten after 61 days, harvested after 60"),
        (changed("tomato", ",60,staked,", ",60,hung,"), "'hung' is none of soil, staked, off soil, not eaten"),
        (changed("tomato", ",30,30,from memory,", ",30,0,from memory,"), "tomato: spacing or container of nothing"),
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
