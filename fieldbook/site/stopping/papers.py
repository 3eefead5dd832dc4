"""The print register: which sheets of a practice hang where at this site. It never leaves.

Not the sheets themselves (a page prints itself). Its one rule: what was printed of an edition that is withdrawn stays
on the list to take down until somebody says that it is down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.stopping.acknowledging import SHEETS_MAX

if TYPE_CHECKING:
    from fieldbook.notebook import Record
    from fieldbook.site.joining import Joining
    from fieldbook.site.stopping.acknowledging import Acknowledging

_KIND = "printed"
WHERE_MAX_CHARACTERS = 60
CODE_CHARACTERS = 12  # as at the foot of each sheet


@dataclass(frozen=True)
class Printed:
    """Sheets that were printed together.

    Attributes:
        number: its number in the notebook.
        edition: the edition that stands on them.
        sheets: how many.
        where: where they hang or who has them, in short words, without names.
        time: the claimed time.
        down: True where they were taken down.
    """

    number: int
    edition: str
    sheets: int
    where: str
    time: str | None
    down: bool

    @property
    def code(self) -> str:
        """The short code on the sheets."""
        return self.edition[:CODE_CHARACTERS]


class Papers:
    """What was printed at this site."""

    def __init__(self, site: Joining, acknowledging: Acknowledging) -> None:
        """Take the site and what it says of withdrawals; nothing is read yet."""
        self._site, self._acknowledging = site, acknowledging

    def register(self, edition: str, *, sheets: int, where: str, signer: Signer | None = None) -> Printed:
        """Note that sheets of an edition were printed, and where they hang.

        Raises:
            SiteError: the number cannot be right, or the words are missing or too long.
        """
        words = " ".join(where.split())
        if not 1 <= sheets <= SHEETS_MAX:
            raise SiteError(f"{sheets} sheets cannot be right", hint=f"write a whole number from 1 to {SHEETS_MAX}")
        if not words:
            raise SiteError("it is not said where the sheets hang", hint="write it in a few words, without a name")
        if len(words) > WHERE_MAX_CHARACTERS:
            raise SiteError(
                f"where the sheets hang takes more than {WHERE_MAX_CHARACTERS} characters", hint="write it shorter"
            )
        by = "" if signer is None else signer.label
        document = {"sheets": sheets, "where": words, "by": by, "time": self._site.claimed_time(), "down": False}
        return _printed(self._site.notebook.add_record(_KIND, document, about=edition))

    def of(self, edition: str) -> tuple[Printed, ...]:
        """What was printed of an edition, oldest first."""
        return tuple(_printed(record) for record in self._site.notebook.records(_KIND, about=edition))

    def hanging(self) -> tuple[Printed, ...]:
        """All that was printed here and not taken down, oldest first."""
        return tuple(one for one in map(_printed, self._site.notebook.records(_KIND)) if not one.down)

    def to_take_down(self, recall: str) -> tuple[Printed, ...]:
        """What hangs here of any edition that a withdrawal stops, adaptations too."""
        return tuple(one for one in self.hanging() if recall in self._recalls(one.edition))

    def _recalls(self, edition: str) -> set[str]:
        view = self._site.view
        entry = view.entry_of(edition)
        editions = [] if entry is None else view.folded(entry)["editions"]
        return {recall["id"] for one in editions if one["id"] == edition for recall in one["recalls"]}

    def took_down(self, recall: str, *, sheets: int, signer: Signer) -> str:
        """Say for this site that the paper of a withdrawal is down; it leaves the list. Returns the statement's id.

        Raises:
            SiteError: see ``Acknowledging.took_down``; then nothing is changed.
        """
        statement = self._acknowledging.took_down(recall, sheets=sheets, signer=signer)
        for one in self.to_take_down(recall):
            record = self._site.notebook.record(_KIND, one.number)
            if record is not None:
                self._site.notebook.change_record(record, {**record.document, "down": True})
        return statement


def _printed(record: Record) -> Printed:
    said = record.document
    return Printed(record.number, record.about, said["sheets"], said["where"], said["time"], said["down"])
