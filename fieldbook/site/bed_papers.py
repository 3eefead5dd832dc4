"""The papers of the bed book as they lie in the notebook: one for each bed, box, can or pen, one for each happening.

Not what they mean (``tasks``). Its one rule: nothing but this module knows how they are written down.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from fieldbook.tasks.days import Count
from fieldbook.tasks.spots import Happening, Spot

if TYPE_CHECKING:
    from fieldbook.notebook import Record

SPOT, HAPPENING, TICK, MARK = "spot", "happening", "tick", "mark"  # kinds of records
_PLAIN = Happening(0, "", 0)


def spot_from(record: Record) -> Spot:
    """A bed, box, can or pen from its paper."""
    paper = record.document
    zero = paper["day_zero"]
    return Spot(
        number=record.number,
        label=paper["label"],
        kind=paper["kind"],
        count=Count(None if zero is None else dt.date.fromisoformat(zero)),
        marked=paper["marked"],
        shared=paper["shared"],
        holds=paper["holds"],
        area_m2=paper["area_m2"],
        plates=paper["plates"],
    )


def spot_paper(spot: Spot) -> dict[str, Any]:
    """The paper of a bed, box, can or pen."""
    zero = spot.count.day_zero
    return {
        "label": spot.label,
        "kind": spot.kind,
        "day_zero": None if zero is None else zero.isoformat(),
        "marked": spot.marked,
        "shared": spot.shared,
        "holds": spot.holds,
        "area_m2": spot.area_m2,
        "plates": spot.plates,
    }


def happening_from(record: Record) -> Happening:
    """What happened, from its paper."""
    return Happening(number=record.number, **record.document)


def happening_paper(happening: Happening) -> dict[str, Any]:
    """The paper of what happened: only what was said."""
    plain = asdict(_PLAIN)
    said = {name: value for name, value in asdict(happening).items() if name != "number"}
    return {name: value for name, value in said.items() if name in {"what", "day"} or value != plain[name]}
