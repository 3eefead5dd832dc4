"""In which order a reviewer looks at what waits, and what fits into the minutes that they have.

Not the findings and not who may review. Its one rule: harm comes first, and nobody's work is left out: what does not
fit into the minutes still stands in the list.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fieldbook.review.stakes import stakes_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Finding
    from fieldbook.review.stakes import Stake

REVIEW_MIN: Final = 3  # minutes for one edition; ours, to be tested with reviewers
SITTING_MIN: Final = 20  # minutes that a reviewer has; ours


@dataclass(frozen=True, kw_only=True)
class Weight:
    """Why an edition is looked at sooner or later.

    Attributes:
        harmed: reports that its entry hurt somebody, which nobody has answered.
        stops: findings that stop it.
        stakes: what is at stake in it.
        answers: findings that need the reviewer's answer.
        unsaid: things that are not said.
        second: 1 where it was checked once, and a second check is missing for sheets to take home.
        in_use: places where an edition of its entry is followed now.
        waited_days: whole days since it was offered; None where a clock cannot be believed.
    """

    harmed: int = 0
    stops: int = 0
    stakes: tuple[Stake, ...] = ()
    answers: int = 0
    unsaid: int = 0
    second: int = 0
    in_use: int = 0
    waited_days: int | None = None

    def reasons(self) -> tuple[tuple[str, int], ...]:
        """The reasons that apply, the heaviest first: a code and a number."""
        found = (
            ("harmed", self.harmed),
            ("stops", self.stops),
            *((stake, 1) for stake in self.stakes),
            ("answers", self.answers),
            ("unsaid", self.unsaid),
            ("second", self.second),
            ("in-use", 0 if self.second else self.in_use),
            ("waited", self.waited_days or 0),
        )
        return tuple((code, number) for code, number in found if number)


def weight_of(
    entry: Entry,
    findings: Iterable[Finding],
    *,
    harmed: int = 0,
    second: bool = False,
    in_use: int = 0,
    waited_days: int | None = None,
) -> Weight:
    """Give the weight of an edition.

    Args:
        entry: what it says.
        findings: what the rules find in it.
        harmed: reports of harm on its entry that wait for an answer.
        second: whether it was checked once and needs a second check.
        in_use: places where an edition of its entry is followed now.
        waited_days: whole days since it was offered, or None.
    """
    results = [finding.result for finding in findings]
    return Weight(
        harmed=harmed,
        stops=results.count("stop"),
        stakes=stakes_of(entry),
        answers=results.count("answer"),
        unsaid=results.count("unknown"),
        second=int(second),
        in_use=in_use,
        waited_days=waited_days,
    )


def in_order(weights: Mapping[str, Weight]) -> list[str]:
    """Put what waits in order: who was hurt, what nobody checked yet, what is at stake, what is in use, what waited.

    Args:
        weights: by the id of the edition, which tells equals apart.
    """

    def rank(edition: str) -> tuple[int | str, ...]:
        weight = weights[edition]
        harm = (weight.harmed, -weight.second, weight.stops, len(weight.stakes), weight.answers, weight.unsaid)
        return (*(-number for number in (*harm, weight.in_use, weight.waited_days or 0)), edition)

    return sorted(weights, key=rank)


def how_many_fit(minutes: int) -> int:
    """Give how many editions fit into some minutes: one at least."""
    return max(1, minutes // REVIEW_MIN)
