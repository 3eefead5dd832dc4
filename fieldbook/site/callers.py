"""The board "Who to call here": which role is found where, on which radio channel, at which hours.

A paper of this site: it stands in the notebook, so that no path leads from it into a bundle, and goes when the notebook
goes. Its one rule: a role has a place, never a person's name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.notebook import Record
    from fieldbook.site.parts import SiteParts

CALLER = "caller"
WORDS_MAX = 120  # characters of one box: what fits a line or two on a small phone
LINES_MAX = 60  # a board that is read at a glance


@dataclass(frozen=True)
class Caller:
    """One line of the board: a code of `ROLES_HERE`, and where, on which channel and when they are found."""

    number: int
    role: str
    where: str
    channel: str
    hours: str


class CallBoard:
    """The board of one site."""

    def __init__(self, site: SiteParts) -> None:
        """Read and write the board of this site."""
        self._notebook = site.notebook

    def lines(self) -> tuple[Caller, ...]:
        """All lines, in the order of the roles, then as they were put up."""
        order = tuple(ROLES_HERE)
        found = (_caller(record) for record in self._notebook.records(CALLER))
        return tuple(sorted((one for one in found if one.role in order), key=lambda one: order.index(one.role)))

    def put_up(self, given: Mapping[str, str]) -> Caller:
        """Add a line.

        Args:
            given: ``role``, ``where``, ``channel`` and ``hours`` as people typed them.

        Raises:
            SiteError: the role is not known, nothing says where, or it is too long.
        """
        document = _document(given)
        if len(self._notebook.records(CALLER)) >= LINES_MAX:
            raise SiteError(f"the board holds {LINES_MAX} lines already", hint="take one down first")
        return _caller(self._notebook.add_record(CALLER, document))

    def change(self, number: int, given: Mapping[str, str]) -> Caller:
        """Write a line anew.

        Raises:
            SiteError: there is no such line, or what is given cannot stand on the board.
        """
        return _caller(self._notebook.change_record(self._record(number), _document(given)))

    def take_down(self, number: int) -> None:
        """Remove a line.

        Raises:
            SiteError: there is no such line.
        """
        self._notebook.remove_record(self._record(number))

    def _record(self, number: int) -> Record:
        record = self._notebook.record(CALLER, number)
        if record is None:
            raise SiteError("this line is not on the board any more", hint="look at the board again")
        return record


def _caller(record: Record) -> Caller:
    kept = {name: str(record.document.get(name, "")) for name in ("role", "where", "channel", "hours")}
    return Caller(record.number, **kept)


def _document(given: Mapping[str, str]) -> dict[str, str]:
    kept = {name: " ".join(str(given.get(name, "")).split()) for name in ("role", "where", "channel", "hours")}
    if kept["role"] not in ROLES_HERE:
        raise SiteError("no role was chosen for this line", hint=f"choose one of: {', '.join(ROLES_HERE)}")
    if not kept["where"] and not kept["channel"]:
        raise SiteError("nothing says where they are found", hint="write a place, a radio channel, or both")
    if any(len(words) > WORDS_MAX for words in kept.values()):
        raise SiteError("a line of the board is too long", hint=f"keep each box to {WORDS_MAX} characters")
    return kept
