"""What of a practice does not grow or shrink with its amounts, in plain sentences.

Not a rule of safety, and no verdict. Its one rule: what is said here follows from what the entry holds, so that an
entry without fish says nothing of fish.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from fieldbook.quantities.ponds import FOOD_FISH_LITRES_LEAST

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices.entry import Entry

_FAR: Final = Decimal(10)
"""Further from the entry than so many times it is said that nobody tried it. Source: ours."""
WAITS: Final = "Days and waiting times stay: a smaller batch is not ready sooner, and no wait shrinks."
STRENGTH: Final = "Strengths stay: the parts of each mix are those of the entry, whatever the size."
GROUND: Final = "Depth of soil and spacing stay: more plants want more ground, not a deeper or a closer bed."
FISH_SMALL: Final = (
    "So little water is no food-fish unit: it is for holding or showing fish. Small bodies of water do not scale down."
)
FISH: Final = "Fish and birds go by the surface of the water, not by its litres: use the sum for fish, birds and a bed."
ANIMALS: Final = (
    "Each animal keeps its room, its water and its shade: use the sum for room before there are more of them."
)
CARRIES: Final = (
    "A larger, higher or heavier one is another structure: what carries it must be checked anew by a competent person."
)
HEAP: Final = "A small heap does not heat: only measured heat makes dung treated (common practice)."
HANDS: Final = "Hours and hands do not follow the amounts; two people lift what is over about 25 kg."
UNTRIED: Final = "This is far from the size at which the entry was written: try a small part of it first."


def what_does_not_scale(entry: Entry, *, factor: Decimal, container_l: Decimal | None) -> tuple[str, ...]:
    """The sentences that hold for an entry.

    Args:
        entry: the practice.
        factor: how many times the entry it is.
        container_l: the reader's container [L]; None where the entry has none.

    Source: ours; for fish tp362. Valid: any size.
    """
    return tuple(_sentences(entry.document, factor, container_l))


def _sentences(document: Mapping[str, Any], factor: Decimal, container_l: Decimal | None) -> Iterator[str]:
    facts, space = document.get("facts") or {}, document.get("space") or {}
    small = container_l is not None and container_l < FOOD_FISH_LITRES_LEAST
    carries = space.get("roof") or space.get("wall") or space.get("load_kg_m2_wet") is not None or "structure" in facts
    holds = (
        (FISH_SMALL if small else FISH, "fish" in facts or document.get("kind") == "fish"),
        (WAITS, document.get("waiting") or any(step.get("day_offset") for step in document.get("steps") or ())),
        (STRENGTH, document.get("ratios") or "spray" in facts or "tea" in facts),
        (GROUND, "bed" in facts or space.get("depth_cm") is not None),
        (ANIMALS, "animals" in facts),
        (CARRIES, carries),
        (HEAP, "compost" in facts),
        (HANDS, document.get("people")),
        (UNTRIED, not 1 / _FAR <= factor <= _FAR),
    )
    return (words for words, true in holds if true)
