"""What can be done at once about a plant with pests, whatever the cause, and harms nobody.

Not a remedy and not an entry. Its one rule: nothing here is put on a plant but clean water and a hand in a glove.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

SEEN_FIRST = 3  # answers that a reader looks at before any other; ours
ON_LEAVES = frozenset(
    {"aphids", "ants-mealybug", "caterpillars", "leafminer", "slugs-snails", "spider-mites", "thrips", "whitefly"}
)
# Wiping, hand-picking and a jet of water: common practice, and the first steps of our own entry on aphids.
PESTS_ON_LEAVES = (
    "Look under the leaves first. Wipe or pick off with a gloved hand what you find, or wash it off with clean water "
    "in the morning, and leave ladybirds alone. Spray nothing before you know the cause. Count again after a week."
)


def first_action(topics_of_hits: Iterable[Sequence[str]]) -> str:
    """The first action for what was found, by the topics of the answers in their order; empty where none is known."""
    for n, topics in enumerate(topics_of_hits):
        if n < SEEN_FIRST and not ON_LEAVES.isdisjoint(topics):
            return PESTS_ON_LEAVES
    return ""
