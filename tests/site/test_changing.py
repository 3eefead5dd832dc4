"""Less water: what a planting still needs, reckoned beside the code by the formulas that it names."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.orrendal import NOON, copy_of_circle, fast_folder

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site import Site
    from tests.orrendal import Circle

TODAY = NOON.date()


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def site(circle: Circle) -> Iterator[Site]:
    """Cloudstep, with amaranth sown on 8 November in the 2 m2 of B4; its book is empty afterwards."""
    site = circle["C"]
    site.beds.add("B4", kind="bed", day_zero="2026-11-08", area_m2="2")
    site.beds.write_down("B4", "planted", "2026-11-08", crop="amaranth", raised="seed")
    yield site
    for record in (r for kind in ("spot", "happening") for r in site.notebook.records(kind)):
        site.notebook.remove_record(record)


def test_litres_are_those_of_fao_56_less_the_effective_rain_of_training_manual_3(site: Site) -> None:
    """FAO-56, ETc = Kc ETo, and Table 12: Kc 1.05; FAO Training manual 3, chapter 4: 0.8 P - 25, and 0.6 P - 10 to 75 mm.

    No stages of amaranth are published, so its highest Kc holds on all days. Sown on 8 November in 2 m2: first picking
    on 29 November, so 18 days are left from 25 November until it has been picked for two weeks.
    """
    (choice,) = site.changing.drought(TODAY, water_l_day="40").choices
    eto = [float(month["eto_mm_day"]) for month in site.climate_document()["months"]]
    rain_mm = {11: 126.0, 12: 74.0}  # Cloudstep, the invented scenario
    usable = {11: (0.8 * rain_mm[11] - 25) / 30, 12: (0.6 * rain_mm[12] - 10) / 31}
    short = {month: max(0.0, 1.05 * eto[month - 1] - usable[month]) for month in (11, 12)}
    assert choice.thirst.days == 18
    assert choice.thirst.litres == pytest.approx(2 * (6 * short[11] + 12 * short[12]), rel=0.01)
    assert choice.thirst.litres_day == pytest.approx(2 * max(short.values()), rel=0.01)
    assert choice.kept


def test_two_crops_in_a_bed_share_its_square_metres(site: Site) -> None:
    site.beds.add("B5", kind="bed", day_zero="2026-11-08", area_m2="2")
    for _ in range(2):
        site.beds.write_down("B5", "planted", "2026-11-08", crop="amaranth", raised="seed")
    whole, *halves = sorted(site.changing.drought(TODAY, water_l_day="0").choices, key=lambda one: one.thirst.label)
    assert [one.thirst.litres for one in halves] == [pytest.approx(whole.thirst.litres / 2)] * 2
    assert [one.kept for one in (whole, *halves)] == [False] * 3
