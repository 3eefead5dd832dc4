"""A comparison of the invented network: aphids on kale in sacks, chilli and garlic water against water alone."""

from __future__ import annotations

from typing import Any, Final

# aphids on each plant of each sack, 7 days after: sprayed, water alone; then all sacks before (invented)
THREE_SITES: Final[tuple[tuple[list[Any], list[Any], list[Any]], ...]] = (
    (
        [[12, 9, 15], [7, 11], [20, 14, 16], [6, 8, 9], [13, 17], [5, 10, 8], [18, 12, 11], [9, 7, 14]],
        [[31, 28, 40], [22, 35], [45, 38, 29], [19, 27, 24], [33, 36], [26, 41, 30], [38, 25, 44], [21, 30, 27]],
        [36, 30, 41, 25, 34, 28, 39, 27, 35, 29, 42, 24, 33, 31, 38, 26],
    ),
    (
        [[22, 18], [15, 21, 12], [30, 26], [11, 14, 16], [24, 19], [17, 13, 20]],
        [[35, 29], [28, 40, 33], [47, 38], [25, 31, 22], [36, 44], [27, 34, 30]],
        [38, 33, 45, 29, 37, 31, 36, 34, 43, 28, 40, 32],
    ),
    (
        [[9, 13], [16, 8], [5, 11], [14, 10], [7, 12]],
        [[18, 24], [27, 15], [13, 21], [22, 30], [17, 12]],
        [22, 25, 17, 24, 19, 21, 26, 18, 27, 16],
    ),
)


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
