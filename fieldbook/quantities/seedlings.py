"""How many seeds for so many plants, where not all come up and not all that come up live.

Its one rule: seeds are rounded up, never down.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal


def seeds_to_sow(*, plants: int, share_up_percent: Decimal, share_living_percent: Decimal) -> int:
    """The seeds that give so many plants, on average.

    Args:
        plants: wanted.
        share_up_percent: of the seeds that come up [%], by your own count of a hundred.
        share_living_percent: of the seedlings that live to be planted out [%].

    Source: arithmetic. Valid: an average; chance and birds take more.
    """
    share = share_up_percent * share_living_percent / 10_000
    return int((plants / share).to_integral_value(rounding=ROUND_CEILING))
