"""Pauses that stand in this site's notebook alone: heard over a radio, or told where nothing can be signed.

Not a hold, which is signed and told to other sites. Its one rule: a pause covers an entry, everything made from it, and
what of both arrives later; it ends by a person, or when the signed withdrawal that it spoke of acts here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.ledger import Ledger
    from fieldbook.notebook import Notebook, Record

_KIND = "pause"


@dataclass(frozen=True)
class LocalPause:
    """One pause of the notebook.

    Attributes:
        number: its number there.
        entry: the first hexadecimal digits of the entry's id, as many as were said.
        recall: the first digits of the withdrawal that it spoke of; empty where it spoke of none.
        words: what to do, as it was heard; may be empty.
        by: who typed it: a letter and a number, or empty for a reader without a name.
        time: the claimed time.
    """

    number: int
    entry: str
    recall: str
    words: str
    by: str
    time: str | None


class LocalPauses:
    """The pauses in a notebook."""

    def __init__(self, notebook: Notebook) -> None:
        """Read them when they are asked for."""
        self._notebook = notebook

    def add(self, *, entry: str, recall: str, words: str, by: str, time: str | None) -> LocalPause:
        """Note a pause; see ``LocalPause`` for what is given."""
        document = {"entry": entry, "recall": recall, "words": words, "by": by, "time": time}
        return _pause(self._notebook.add_record(_KIND, document, about=entry))

    def standing(self, ledger: Ledger | None) -> tuple[LocalPause, ...]:
        """The pauses whose withdrawal has not arrived, oldest first."""
        kept = tuple(_pause(record) for record in self._notebook.records(_KIND))
        if not kept:
            return ()
        said = () if ledger is None else ledger.said_of_kind("fieldbook/recall")
        arrived = [one.id for one in said if one.stands == "accepted"]
        return tuple(one for one in kept if not (one.recall and _begins(arrived, one.recall)))

    def end(self, pauses: Iterable[LocalPause]) -> None:
        """Forget pauses."""
        for one in pauses:
            record = self._notebook.record(_KIND, one.number)
            if record is not None:
                self._notebook.remove_record(record)


def covers(pause: LocalPause, entries: Iterable[str]) -> bool:
    """True where a pause speaks of one of these entries: an entry and what it was made from."""
    return _begins(entries, pause.entry)


def _begins(ids: Iterable[str], start: str) -> bool:
    return any(one.startswith(start) for one in ids)


def _pause(record: Record) -> LocalPause:
    said: dict[str, Any] = record.document
    return LocalPause(record.number, said["entry"], said["recall"], said["words"], said["by"], said["time"])
