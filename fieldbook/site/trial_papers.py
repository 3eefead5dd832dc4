"""The papers of comparisons that are under way here, as values; they stand in the notebook and never leave.

Not what was signed (``trials``). Its one rule: nothing but this module knows how they are written down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.trials.counting import uncounted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.notebook import Record

PAPER = "trial"  # the kind of record


@dataclass(frozen=True)
class TrialPaper:
    """A comparison that is under way here, or was.

    Attributes:
        number: of the record.
        entry: the entry's id.
        edition: the edition that is tried.
        per_unit: how many plants or leaves are looked at in each unit.
        out_of: of how many each is counted; 0 where nothing is counted out of a total.
        day: days from the start to the count [days].
        body: of the trial, as far as it is known; whoever changes it writes a new one.
        by: who began it, by label; a site's letter for a reader without a name.
        dropped: why it was given up; empty where it was not.
        said: the statement that was announced for it; empty before.
    """

    number: int
    entry: str
    edition: str
    per_unit: int
    out_of: int
    day: int
    body: Mapping[str, Any]
    by: str
    dropped: str = ""
    said: str = ""

    @property
    def left(self) -> tuple[str, ...]:
        """The labels of the units that are neither counted nor lost yet."""
        return uncounted(self.body)

    def as_document(self) -> dict[str, Any]:
        """The paper as JSON."""
        return {**self.__dict__, "body": dict(self.body), "left": list(self.left)}


def paper_of(record: Record) -> TrialPaper:
    """A comparison from its paper."""
    kept = record.document
    return TrialPaper(
        number=record.number,
        entry=record.about,
        edition=str(kept["edition"]),
        per_unit=int(kept["per_unit"]),
        out_of=int(kept["out_of"]),
        day=int(kept["day"]),
        body=kept["body"],
        by=str(kept["by"]),
        dropped=str(kept.get("dropped", "")),
        said=str(kept.get("said", "")),
    )
