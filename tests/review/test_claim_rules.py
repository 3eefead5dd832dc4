"""Food values, plant counts and two cautions that must stand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import LETTUCE, found, practice, results

CARROT = {
    "nutrient": "vitamin A",
    "value": 835,
    "unit": "µg RAE",
    "table": "USDA SR28",
    "food_no": "11124",
    "form": "raw",
}
BED = {"length_mm": 1000, "width_mm": 600, "spacing_mm": 250, "pattern": "triangular", "count": 7}


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        (("µg RAE",), []),
        (("µg RE", "µg RE"), []),
        (("µg RAE", "µg RE"), ["stop"]),
        (("µg",), ["stop"]),
        (("IU",), ["stop"]),
        (("µg RE/RAE",), ["stop"]),
        ((None,), ["unknown"]),
    ],
)
def test_vitamin_a_is_re_or_rae_and_never_both(units: tuple[str | None, ...], expected: list[str]) -> None:
    """beta-Carotene counts 12 to 1 in RAE and 6 to 1 in RE, so 500 µg RAE of a plant are about 1,000 µg RE."""
    rows = [{**CARROT, "unit": unit} for unit in units]
    known = [{name: value for name, value in row.items() if value is not None} for row in rows]
    assert results(practice(nutrition=known), "NUT-01") == expected


def test_other_nutrients_have_other_units_and_an_unnamed_one_is_not_said() -> None:
    assert results(practice(nutrition={**CARROT, "nutrient": "vitamin C", "unit": "mg"}), "NUT-01") == []
    assert results(practice(nutrition={"value": 3}), "NUT-01") == ["unknown"]


@pytest.mark.parametrize("missing", ["table", "food_no", "form"])
def test_a_food_value_names_its_table_its_number_and_its_form(missing: str) -> None:
    value = {name: said for name, said in CARROT.items() if name != missing}
    assert results(practice(nutrition=value), "NUT-02") == ["answer"]
    assert results(practice(nutrition=CARROT), "NUT-02") == []


def test_a_count_in_triangles_is_held_against_the_count_of_that_bed() -> None:
    """Whole numbers: rows of 4 and 3 along 1.0 x 0.6 m at 25 cm, of 2, 1, 2 and 1 across it; squares hold 8."""
    assert results(practice(bed=BED), "SPC-01") == []
    (finding,) = found(practice(bed={**BED, "count": 9}), "SPC-01")
    assert (finding.result, finding.limit) == ("answer", "7 plants for this bed with rows along it, 6 across")
    assert results(practice(bed={**BED, "count": 6}), "SPC-01") == []
    assert results(practice(bed={**BED, "pattern": "square", "count": 99}), "SPC-01") == []


def test_a_gain_claimed_for_a_small_bed_is_answered() -> None:
    claimed = {"effect": 15, "control": True, "n": 3, "source": "a trial"}
    assert results(practice(bed=BED, evidence=claimed), "SPC-01") == ["answer"]


@pytest.mark.parametrize("missing", ["length_mm", "width_mm", "spacing_mm", "count", "pattern"])
def test_a_bed_without_its_measures_is_not_said(missing: str) -> None:
    bed = {name: said for name, said in BED.items() if name != missing}
    assert results(practice(bed=bed), "SPC-01") == ["unknown"]


def test_a_bed_smaller_than_one_spacing_is_answered_and_breaks_nothing() -> None:
    assert results(practice(bed={**BED, "spacing_mm": 700}), "SPC-01") == ["answer"]


def test_work_in_a_pit_carries_its_caution() -> None:
    """Ontario: above 600 ppm hydrogen sulphide kills in one or two breaths."""
    task = {"kind": ["pit_or_tank_work"], "audience": ["adults"]}
    assert results(practice(task=task, cautions=["C22"]), "GAS-01") == ["stop"]
    assert results(practice(task=task), "GAS-01") == []
    assert results(practice(task={"audience": ["adults"]}, cautions=[]), "GAS-01") == ["unknown"]


@pytest.mark.parametrize("name", ["African nightshade", "mnavu", "Solanum scabrum", "managu"])
def test_nightshade_carries_its_caution(name: str) -> None:
    """AVRDC: green berries are toxic; boil the leaves and throw the water away."""
    assert results(practice(crop={**LETTUCE, "name": name}, cautions=[]), "PLT-01") == ["stop"]
    assert results(practice(crop={**LETTUCE, "name": name}, cautions=["C19"]), "PLT-01") == []


def test_nightshade_is_known_by_its_scientific_name_too_and_an_unnamed_plant_is_not_said() -> None:
    taxa: dict[str, Any] = {"taxa": [{"role": "crop", "scientific": "Solanum nigrum"}]}
    assert results(practice(taxa, crop={**LETTUCE, "name": "leaf of the yard"}, cautions=[]), "PLT-01") == ["stop"]
    assert results(practice(crop={"part": "leaf"}, cautions=[]), "PLT-01") == ["unknown"]
    assert results(practice(crop=LETTUCE, cautions=[]), "PLT-01") == []
