"""How many of those who were handed a practice say that it worked, with those counted in who said nothing.

Its one rule: the silent are counted; only successes come back by themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.trials.digits import in_34_digits
from fieldbook.trials.errors import CountsError
from fieldbook.trials.intervals import wilson

if TYPE_CHECKING:
    from fieldbook.trials.intervals import Interval


@dataclass(frozen=True, slots=True)
class Heard:
    """What may be said of all who were handed it.

    Attributes:
        of_heard: The share for whom it worked among those heard from, with its range.
        at_least: The share of all, if it worked for nobody who is silent.
        at_most: The share of all, if it worked for everybody who is silent.
        silent: How many said nothing.
    """

    of_heard: Interval
    at_least: Decimal
    at_most: Decimal
    silent: int


@in_34_digits
def heard_from(*, handed: int, heard: int, worked: int) -> Heard:
    """The share for whom it worked: among those heard from, and the ends between which it lies among all.

    Args:
        handed: to how many it was handed [n].
        heard: from how many anything was heard [n].
        worked: for how many of those it worked [n].

    Raises:
        CountsError: more heard than handed, more worked than heard, or nobody heard from.

    Source: wilson1927. Valid: 1 or more heard from.
    """
    if not 0 <= worked <= heard <= handed or not heard:
        raise CountsError(
            f"handed to {handed}, heard from {heard}, worked for {worked}: that cannot be",
            hint="count each slip once: those handed out, those that came back, and the ones that say it worked",
        )
    share = wilson(had=Decimal(worked), of=Decimal(heard))
    silent = handed - heard
    return Heard(share, Decimal(worked) / handed, Decimal(worked + silent) / handed, silent)
