"""True, false, or not said: what a rule can know.

Not two-valued logic with a default. Its one rule: what is not said is never taken for true or false; it decides only
where the other parts do not.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Unsaid:
    """What could not be judged, because these fields are missing."""

    fields: tuple[str, ...]


Truth = bool | Unsaid


def all_of(*truths: Truth) -> Truth:
    """False if any is false; else not said if any is not said; else true."""
    if any(truth is False for truth in truths):
        return False
    return _gathered(truths) or True


def any_of(*truths: Truth) -> Truth:
    """True if any is true; else not said if any is not said; else false."""
    if any(truth is True for truth in truths):
        return True
    return _gathered(truths) or False


def not_(truth: Truth) -> Truth:
    """The opposite; what is not said stays not said."""
    return truth if isinstance(truth, Unsaid) else not truth


def _gathered(truths: tuple[Truth, ...]) -> Unsaid | None:
    fields = [field for truth in truths if isinstance(truth, Unsaid) for field in truth.fields]
    return Unsaid(tuple(dict.fromkeys(fields))) if fields else None
