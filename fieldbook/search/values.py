"""What goes into the index and what comes out of it, as frozen values.

What it is: the shapes that callers build and read, and the errors they meet. What it is not: a copy of an entry; only
what is searched or shown in a list of hits is here.

Its one rule: whether readers may see a document is said in it, never guessed from its text.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Mapping

State = Literal["offered", "approved", "sent-back", "recalled", "retired"]
Standing = Literal["unchecked", "checked-once", "checked-twice"]


class SearchError(FieldbookError):
    """A search was asked that cannot be done as it stands."""


class IndexUnusable(FieldbookError):  # noqa: N818 - a state that the caller mends by rebuilding, not a fault to report
    """The index is missing, damaged, foreign or of another edition of this program; build it anew."""


@dataclass(frozen=True)
class Text:
    """The searched texts of a document in one language; for a withdrawn entry, those of the notice.

    Attributes:
        title: Counts most.
        summary: Counts as much as the body; for a notice: harm, what to do now and instead.
        body: Everything else worth finding, joined by spaces.
    """

    title: str
    summary: str = ""
    body: str = ""


@dataclass(frozen=True)
class Document:
    """One edition as the search sees it.

    Attributes:
        entry: Id of the entry.
        edition: Id of the edition; no two documents have the same.
        state: Where the edition stands.
        standing: How far it is checked; None where it is stopped (sent back, recalled, retired).
        own: It was written at this site.
        topics: Codes of what it answers, the chief one first.
        texts: By language tag, one at least. Of a recalled entry the notice's words alone.
        names: Ids of the names table for its plants, pests and animals.
        withheld: Kept from readers although its state would show it (held here, or with a finding that stops it).
    """

    entry: str
    edition: str
    state: State
    standing: Standing | None
    own: bool
    topics: tuple[str, ...]
    texts: Mapping[str, Text]
    names: tuple[str, ...] = ()
    withheld: bool = False


@dataclass(frozen=True)
class Hit:
    """One answer, best first in its list.

    Attributes:
        entry: Id of the entry.
        edition: Id of the edition.
        title: In the language that was found.
        language: Tag of that language.
        state: As in the document.
        standing: As in the document.
        topics: As in the document.
        score: How well it answers, from 0; comparable within one search only.
    """

    entry: str
    edition: str
    title: str
    language: str
    state: State
    standing: Standing | None
    topics: tuple[str, ...] = field(default=())
    score: float = 0.0
