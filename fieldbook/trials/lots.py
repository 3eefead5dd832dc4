"""Lots: which sack gets which way, so that nobody's liking decides.

Its one rule: chance comes in as a parameter; the same chance draws the same lots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence


def draw_lots(labels: Sequence[str], *, arms: int = 2, paired: bool = False, below: Callable[[int], int]) -> list[int]:
    """Draw which way each unit gets; as many units of each way as can be.

    Args:
        labels: the units in the order in which they stand.
        arms: how many ways there are [n].
        paired: whether the units that stand beside each other are pairs: then each pair gets each way once. The labels
            of a pair follow one another.
        below: gives a whole number from 0 to one below what it is given, each as likely.

    Returns:
        Of each label, in the same order, the number of its way, counted from 0.

    Source: fisher-yates. Valid: any number of units; where it is not a multiple of `arms`, chance says which ways get
        one more.
    """
    if paired:
        return [arm for n in range(0, len(labels), arms) for arm in _shuffled(arms, below)[: len(labels) - n]]
    extra = _shuffled(arms, below)[: len(labels) % arms]
    lots = [n % arms for n in range(len(labels) - len(extra))] + extra
    order = _shuffled(len(lots), below)
    return [lots[at] for at in order]


def _shuffled(size: int, below: Callable[[int], int]) -> list[int]:
    """The numbers from 0 to one below `size`, in an order of which each is as likely."""
    out = list(range(size))
    for last in range(size - 1, 0, -1):
        chosen = below(last + 1)
        out[last], out[chosen] = out[chosen], out[last]
    return out
