"""What is at stake in an entry, and what still keeps it off a sheet that people take home.

Not the findings of the rules and not who may approve. Its one rule: what is not said counts as at stake, and a word on
one danger covers no other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from fieldbook.practices.codes import CAUTIONS
from fieldbook.review.cautions import CALLED_BY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.practices import Entry

Stake = Literal["germs", "poison", "load", "open-water"]
STAKES: Final[dict[Stake, tuple[str, ...]]] = {
    "germs": ("C01", "C02", "C03", "C13", "C14", "C15"),
    "poison": ("C04", "C05", "C06", "C11", "C16", "C18", "C19"),
    "load": ("C07", "C08"),
    "open-water": ("C09", "C10"),
}
"""The dangers for which one check is not enough on paper, each with the cautions that show it (which ones: ours)."""

NEEDED_CHECKS: Final = 2


def cautions_at_stake(entry: Entry) -> frozenset[str]:
    """Give the cautions that an entry names, that its facts call for, or that its facts leave open."""
    named = {str(one.get("code")) for one in entry.rows("hazards")} | entry.facts.cautions
    called = {key for key, is_called_for in CALLED_BY.items() if is_called_for(entry) is not False}
    return frozenset((named | called) & set(CAUTIONS))


def stakes_of(entry: Entry) -> tuple[Stake, ...]:
    """Give what is at stake in an entry, in the order of the table."""
    keys = cautions_at_stake(entry)
    return tuple(stake for stake, shown_by in STAKES.items() if not keys.isdisjoint(shown_by))


def unchecked_stakes(entry: Entry, *, reviewers: int, covered: Iterable[str] = ()) -> tuple[Stake, ...]:
    """Give the dangers that keep an entry off a sheet to take home, for want of a second word.

    Args:
        entry: what the edition says.
        reviewers: how many reviewers who are not its author approved it.
        covered: the cautions on which a licensed local person gave a word that counts here, beside an approval.
    """
    keys = cautions_at_stake(entry)
    given = frozenset(covered) if reviewers else frozenset()
    if reviewers >= NEEDED_CHECKS:
        return ()
    return tuple(stake for stake, shown_by in STAKES.items() if not (keys & set(shown_by)) <= given)
