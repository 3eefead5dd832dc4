"""Which of a reviewer's earlier answers were given to the same rule on the same values.

Not an answer: what is found is offered, and a person takes it over or not. Its one rule: every value that a rule found
now must have stood in the edition that was answered then, in the same words of the rule.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.review.rule import Finding

_ASKING = ("answer", "unknown")


def answered_alike(now: Iterable[Finding], before: Iterable[Finding]) -> frozenset[str]:
    """Give the rules whose findings now were all there before, with the same value against the same limit.

    Args:
        now: what the rules find in the edition at hand.
        before: what they find in the edition that was answered.
    """
    asked, known = _by_rule(now), _by_rule(before)
    return frozenset(rule for rule, found in asked.items() if found <= known.get(rule, frozenset()))


def _by_rule(findings: Iterable[Finding]) -> dict[str, frozenset[tuple[str, str, str, str]]]:
    found: dict[str, frozenset[tuple[str, str, str, str]]] = {}
    for one in findings:
        if one.result in _ASKING:
            same = (one.result, one.words, one.value, one.limit)
            found[one.rule] = found.get(one.rule, frozenset()) | {same}
    return found
