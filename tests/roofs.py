"""A bed on a roof as an entry, and what a place answers to it: for tests of beginning a practice.

Not a test. Its one rule: the figures are those of wet garden soil, 1,922 kg/m³ (published, 120 lb/ft³).
"""

from __future__ import annotations

from typing import Any

from tests.orrendal import practice
from tests.review.practice import facts

PLACE = "roof of block C"
ANSWERS = {
    "engineer_ok": "yes",
    "way_up": "yes",
    "nobody_below": "yes",
    "safe_load_kg_m2": "300",
    "depth_cm": "12",
    "bed_length_cm": "200",
    "bed_width_cm": "60",
}


def roof_bed(title: str | dict[str, str] = "A bed on a roof", **more: Any) -> dict[str, Any]:
    """The entry; 12 cm of soil, which weigh 230.64 kg/m² when wet."""
    structure = {"kind": "roof_bed", "on_roof": True, "depth_cm": 12, "density": 1922}
    return practice(
        title,
        kind="structure",
        facts=facts(structure=structure, demands=["engineer_ok", "safe_load"], **more),
        space={"roof": True, "load_kg_m2_wet": "230.64"},
        hazards=[{"code": "C07"}],
        unread=["en"],
    )
