"""When the answers of a slip no longer hold: after twelve months, after what may have changed the place, or in doubt.

Not who asks again. Its one rule: where no clock can tell how old answers are, exchanges are counted instead, and on the
careful side: a camp exchanges every three to five weeks, so six of them are four to seven months.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

EXCHANGES_MOST: Final = 6
"""After so many exchanges without a clock, people are asked whether the answers still hold. Source: ours."""
_AFTER: Final = {
    "storm": "there was a storm after these answers were given",
    "flood": "there was a flood after these answers were given",
    "move": "it was moved after these answers were given",
    "rebuild": "it was rebuilt after these answers were given",
}


@dataclass(frozen=True)
class Lapse:
    """Why answers do not hold.

    Attributes:
        by: ``time``, ``event``, or ``exchanges`` where somebody only has to say that all is still so.
        words: a clause.
    """

    by: Literal["time", "event", "exchanges"]
    words: str


def lapse_of(
    *,
    given_on: date | None,
    today: date | None,
    exchanges_since: int,
    concerned_by: Collection[str],
    events_since: Iterable[str],
) -> Lapse | None:
    """Say why answers do not hold, or None where they do.

    Args:
        given_on: the day of the oldest of them, where it is known.
        today: where the clock is trusted.
        exchanges_since: how many exchanges this site has had since.
        concerned_by: the events, by code, that change what was answered.
        events_since: the events since, oldest first.
    """
    happened = next((event for event in events_since if event in concerned_by), None)
    if happened is not None:
        return Lapse("event", _AFTER[happened])
    if given_on is not None and today is not None and today >= given_on:
        too_old = today >= twelve_months_after(given_on)
        return Lapse("time", f"these answers are of {given_on}: twelve months have passed") if too_old else None
    if exchanges_since >= EXCHANGES_MOST:
        return Lapse(
            "exchanges",
            f"{exchanges_since} exchanges have passed, and no clock here tells how old these answers are",
        )
    return None


def twelve_months_after(day: date) -> date:
    """The same day a year later; 28 February after a leap day, which is the earlier one."""
    return date(day.year + 1, day.month, 28 if (day.month, day.day) == (2, 29) else day.day)
