"""A comparison of the invented network: aphids on kale in sacks, chilli and garlic water against water alone."""

from __future__ import annotations

from typing import Any


def kale(
    sprayed: list[Any], water: list[Any], *, before: list[Any] | None = None, day: int = 7, **other: Any
) -> dict[str, Any]:
    """Give the body of a trial from the counts of each sack; a sack's counts are a number or a list by plant."""
    counts = [(0, each) for each in sprayed] + [(1, each) for each in water]
    rows: list[dict[str, Any]] = [
        {"label": str(n), "arm": arm, "counted": counted, "day": day} for n, (arm, counted) in enumerate(counts, 1)
    ]
    for row, earlier in zip(rows, before or (), strict=False):
        row["before"] = earlier
    return {
        "question": "less-pest",
        "crop": "kale",
        "thing": "aphid",
        "counted_per": "plant",
        "design": "side-by-side",
        "unit": "sack",
        "chosen": "by-lot",
        "comparison": "water-only",
        "arms": [
            {
                "name": {"en": "sprayed", "sw": "yaliyopuliziwa"},
                "what": {"en": "chilli and garlic"},
                "usual_way": False,
            },
            {"name": {"en": "water alone", "sw": "maji tu"}, "usual_way": True},
        ],
        "units": rows,
        "start": {"date": "2026-11-02"},
        "outcome": "worked",
        **other,
    }


def halves(pairs: list[tuple[Any, Any]], **other: Any) -> dict[str, Any]:
    """Give the same from halves of one sack each: sprayed and water."""
    body = kale([], [], design="paired-halves", **other)
    body["units"] = [
        {"label": str(n), "arm": arm, "pair": n, "counted": counted, "day": 7}
        for n, pair in enumerate(pairs, 1)
        for arm, counted in enumerate(pair)
    ]
    return body
