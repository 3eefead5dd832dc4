"""Nitrogen in dung and wet loads, against the published tables."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldbook.quantities import (
    NITROGEN_CEILING_G_M2_YEAR,
    QuantityError,
    load_g_m2,
    most_dung_kg_m2_year,
    nitrogen_g_kg,
    nitrogen_kg_year,
    wet_load_kg_m2,
)


@pytest.mark.parametrize(
    ("animal", "kg_year", "area_m2"),
    [
        ("hen", "0.383", "22.6"),
        ("broiler", "0.240", "14.1"),
        ("dairy cow", "40.2", "2363"),
        ("beef cow", "17.2", "1013"),
    ],
)
def test_nitrogen_after_losses_and_the_area_it_needs(animal: str, kg_year: str, area_m2: str) -> None:
    """USDA NRCS manure nutrient table (animals and tons per unit, lb N per ton after loss), computed per animal; 1 %."""
    computed = nitrogen_kg_year(animal, count=Decimal(1))
    assert computed == pytest.approx(Decimal(kg_year), rel=Decimal("0.01"))
    assert computed * 1000 / NITROGEN_CEILING_G_M2_YEAR == pytest.approx(Decimal(area_m2), rel=Decimal("0.01"))


def test_ten_hens_on_200_square_metres() -> None:
    """19.2 g N/m² a year, above the 17 that 170 kg/ha are (91/676/EEC Annex III)."""
    nitrogen_g = nitrogen_kg_year("hen", count=Decimal(10)) * 1000
    assert load_g_m2(nitrogen_g=nitrogen_g, area_m2=Decimal(200)) == pytest.approx(Decimal("19.2"), abs=Decimal("0.05"))


def test_the_most_hen_dung_for_a_square_metre() -> None:
    """17 g / 9.23 g per kg (18.46 lb per ton)."""
    assert nitrogen_g_kg("hen") == Decimal("9.23")
    assert round(most_dung_kg_m2_year("hen"), 1) == Decimal("1.8")


@pytest.mark.parametrize(
    ("density", "per_cm"),
    [("769", "7.69"), ("1041", "10.41"), ("1922", "19.22")],
    ids=["light", "roof mix", "garden soil"],
)
def test_wet_media_weigh_this_per_centimetre(density: str, per_cm: str) -> None:
    """Published wet densities of 48, 65 and 120 lb/ft³; tolerance 0.1 kg/m² per cm."""
    load = wet_load_kg_m2(depth_cm=Decimal(1), density_kg_m3=Decimal(density))
    assert load == pytest.approx(Decimal(per_cm), abs=Decimal("0.1"))


def test_thirty_centimetres_of_garden_soil() -> None:
    assert round(wet_load_kg_m2(depth_cm=Decimal(30), density_kg_m3=Decimal(1922))) == 577


def test_what_has_no_figure_is_refused() -> None:
    with pytest.raises(QuantityError, match="goat") as error:
        nitrogen_g_kg("goat")
    assert "hen" in error.value.hint
    with pytest.raises(QuantityError, match="area"):
        load_g_m2(nitrogen_g=Decimal(1), area_m2=Decimal(0))
