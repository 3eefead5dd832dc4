"""What a page of the first run may ask for: the run itself, and what this browser has answered so far.

Not a page. Its one rule: answers lie in the memory of this process, a few browsers at most, and go with it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol, cast

from flask import current_app, session

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable
    from pathlib import Path

    from fieldbook.site import Lender
    from fieldbook.web.climate_form import Answers
    from fieldbook.web.work import Work

BEGUN = "first_run"
PROGRESS_PAGE = "/set-up/now"
_SITTING = "set_up"
_SO_FAR = "so_far"
SETTING_UP_MAX = 20  # one is usual; a browser that is opened anew begins again


@dataclass
class SoFar:
    """What one browser has answered so far.

    Attributes:
        answers: by page; the last page's are never kept.
        network: title of the network on the stick that was looked at.
        lenders: the sites on that stick whose climate can be borrowed; None before a stick was looked at.
        lender: the one that was chosen.
    """

    answers: dict[str, Answers] = field(default_factory=dict)
    network: str = ""
    lenders: tuple[Lender, ...] | None = None
    lender: Lender | None = None


@dataclass(frozen=True)
class Errand:
    """Long work of the first run, as its page says it.

    Attributes:
        heading: what is being done.
        power: what holds if the power goes meanwhile.
        then: the address that follows when it is done.
        again: the address where it can be tried again.
    """

    heading: str
    power: str
    then: str
    again: str


class Run(Protocol):
    """What pages ask of the first run."""

    work: Work
    errand: Errand
    clock: Callable[[], dt.datetime]

    def begin(self, so_far: SoFar, people: Answers) -> None:
        """Begin the site from the answers."""

    def look(self, so_far: SoFar, folder: Path) -> None:
        """Look at a stick of a network."""

    def put_back(self, file: Path, phrase: str) -> None:
        """Put a site back from its backup."""

    def new_sitting(self) -> str:
        """A random name for the answers of one browser."""


def run() -> Run:
    """The first run whose pages these are."""
    return cast("Run", current_app.extensions[BEGUN])


def so_far() -> SoFar:
    """What this browser answered so far."""
    held: dict[str, SoFar] = current_app.extensions.setdefault(_SO_FAR, {})
    sitting = session.setdefault(_SITTING, run().new_sitting())
    if sitting not in held:
        while len(held) >= SETTING_UP_MAX:
            del held[next(iter(held))]
        held[sitting] = SoFar()
    return held[sitting]
