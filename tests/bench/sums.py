"""How long a sum takes, against the same sum by another library where there is one; and an entry's page recomputed.

The floor of a calculator is its own bare function, or scipy's solver for the mix; the floor of a page is an application
of the same framework that sends the same bytes ready-made (``pages``).
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import linprog

from fieldbook.quantities import CALCULATORS
from fieldbook.quantities.ponds import ammonia_fraction
from fieldbook.quantities.spacing import plants_triangular
from fieldbook.web import create_app
from tests.bench.figures import Figure, Size, seconds, times
from tests.bench.garden import garden
from tests.bench.measure import middle_of
from tests.bench.pages import page_figure

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

_ASKED = 15
_HEAP = {
    "materials": [{"material": "cattle manure", "wet_kg": 10}, {"material": "chicken manure"}, {"material": "straw"}],
    "goal_carbon_nitrogen_ratio": 30,
    "goal_moisture_percent": 55,
}
_MANY = {
    **_HEAP,
    "materials": [
        {"material": "cattle manure", "wet_kg": 10},
        *(
            {"material": name, "most_kg": 12}
            for name in ("chicken manure", "straw", "leaves", "sawdust", "horse manure", "garden waste")
        ),
    ],
}
_BED = {"length_mm": 3000, "width_mm": 1000, "spacing_mm": 100, "pattern": "triangular"}
_POND = {
    "tank_m2": 5,
    "tank_litres": 5000,
    "birds": 2,
    "fish_kg": 5,
    "water_temperature_c": 24,
    "ph": 8,
    "total_ammonia_mg_l": 1,
}
_TOWER = {"kind": "sack", "diameter_mm": 3000, "height_mm": 800, "spacing_mm": 50, "wet_density_kg_m3": 1922}


def _by_simplex() -> None:
    linprog(np.ones(3), A_eq=np.array([[-5952.0, 3080.0, 0.0], [14.0, -43.0, 45.0]]), b_eq=np.array([5016.0, -260.0]))


def _pond_bare() -> None:
    ammonia_fraction(water_temperature_c=Decimal(24), ph=Decimal(8))


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Time the calculators that reckon most, and the page of an entry for one's own size."""
    yield _sum("compost mix, two masses and water", "compost-mix", _HEAP, "scipy's simplex", _by_simplex)
    yield _sum(
        "compost mix, six masses with limits", "compost-mix", _MANY, "scipy's simplex, of two masses", _by_simplex
    )
    bed = {name: _BED[name] for name in ("length_mm", "width_mm", "spacing_mm")}
    yield _sum("plants on a bed", "plants-that-fit", _BED, "one count", lambda: plants_triangular(**bed))  # type: ignore[arg-type]
    yield _sum("fish, birds and a bed", "linked-system", _POND, "its share of ammonia", _pond_bare)
    yield _sum("a wide tower", "tower", _TOWER, "one count of a bed", lambda: plants_triangular(**bed))  # type: ignore[arg-type]
    with garden(0) as circle:
        site = circle["C"]
        client = create_app(site).test_client()
        entry = next(card.entry for card in site.cards() if card.kind == "manure")
        yield page_figure(
            "an entry for one's own size", client, f"/entry/{entry}/size?base=material-0&amount=1&in=kg", size
        )


def _sum(what: str, name: str, given: Mapping[str, object], floor_words: str, bare: Callable[[], None]) -> Figure:
    floor = middle_of(bare, repeats=_ASKED)
    ours = middle_of(lambda: CALCULATORS[name].run(given), repeats=_ASKED)
    return Figure(what, f"{seconds(floor)}: {floor_words}", seconds(ours), times(ours, floor))
