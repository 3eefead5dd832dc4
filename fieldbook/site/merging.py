"""Two editions of one entry brought together: what stands against what, and the draft that comes of the choices.

Not the laying over (``practices.merging``). Its one rule: what comes of it is an ordinary draft that follows both
editions; nobody's words are gone until a person has offered it and a reviewer has decided.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices.merging import merge_entries
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.practices.merging import Merge, Side, Taken
    from fieldbook.site.parts import Signer
    from fieldbook.site.season import Season
    from fieldbook.site.writing import Written
    from fieldbook.view import EditionLine

EDITIONS_AT_ONCE = 2


@dataclass(frozen=True)
class Laid:
    """Two editions laid over one another: their entry, who wrote each, and where they differ."""

    entry: str
    one: EditionLine
    other: EditionLine
    merge: Merge


@dataclass(frozen=True)
class Brought:
    """What an edition brought together: the two that it follows, and from which each place was taken."""

    one: EditionLine
    other: EditionLine
    taken: tuple[Taken, ...]


class Merging:
    """Editions that stand side by side at one site, and how they become one."""

    def __init__(self, site: Season) -> None:
        """Look at a site."""
        self._site = site

    def lay(self, editions: Sequence[str], *, reader: Signer) -> Laid:
        """Lay two editions over one another.

        Args:
            editions: their ids: the two newest that stand side by side.
            reader: who is to choose.

        Raises:
            SiteError: they are not two, not of one entry, not newest, or withdrawn.
        """
        found = tuple(dict.fromkeys(map(self._site.edition_id, editions)))
        if len(found) != EDITIONS_AT_ONCE:
            raise SiteError(
                f"two editions are brought together at a time, and {len(found)} were named",
                hint="bring two together first, then what comes of it with the third",
            )
        entries = {self._site.entry_id(edition) for edition in found}
        if len(entries) > 1:
            raise SiteError(
                "these are editions of different practice entries", hint="choose two editions of one practice entry"
            )
        lines = [self._line(edition, reader) for edition in found]
        return Laid(entries.pop(), lines[0], lines[1], self._merge(found[0], found[1]))

    def keep(self, laid: Laid, chosen: Mapping[int, Side], *, signer: Signer) -> Written:
        """Keep what comes of the choices as a draft that follows both editions.

        Args:
            laid: the two editions.
            chosen: a side for each place by its number; where none is given, what is proposed.
            signer: who chose.

        Raises:
            FieldbookError: a place has no choice yet, or what was chosen contradicts itself.
        """
        open_places = sum(n not in chosen and choice.proposed is None for n, choice in enumerate(laid.merge.choices))
        if open_places:
            raise SiteError(
                f"places that still need your choice: {open_places}", hint="choose one wording at each of them"
            )
        document = laid.merge.document(chosen)
        return self._site.write(document, signer=signer, draft=True, after=[laid.one.edition, laid.other.edition])

    def brought(self, edition: str, *, reader: Signer) -> Brought | None:
        """What an edition brought together, and from where; None where it follows no two editions of its entry."""
        entry = self._site.entry_id(edition)
        page = self._site.page(entry, edition=edition, reader=reader)
        lines = {line.edition: line for line in page.editions}
        parents = [lines[parent] for parent in page.line.parents if parent in lines]
        readable = [line for line in parents if self._folded(entry)[line.edition]["understood"]]
        if len(parents) != EDITIONS_AT_ONCE or len(readable) != EDITIONS_AT_ONCE or page.notice is not None:
            return None
        one, other = sorted(parents, key=lambda line: line.number)
        merge = self._merge(one.edition, other.edition)
        return Brought(one, other, merge.taken_into(self._site.entry_value(edition).document))

    def _line(self, edition: str, reader: Signer) -> EditionLine:
        page = self._site.page(self._site.entry_id(edition), edition=edition, reader=reader)
        if page.notice is not None:
            raise SiteError(
                f"edition {edition[:12]} is withdrawn",
                hint="leave it withdrawn; write the next edition of the other one",
            )
        if not page.line.newest:
            raise SiteError(
                f"a newer edition follows edition {edition[:12]} already",
                hint="choose the newest editions; they stand on the page of the practice entry",
            )
        return page.line

    def _merge(self, one: str, other: str) -> Merge:
        base = self._common(one, other)
        values = [None if edition is None else self._site.entry_value(edition) for edition in (base, one, other)]
        assert values[1] is not None
        assert values[2] is not None
        return merge_entries(values[0], values[1], values[2])

    def _common(self, one: str, other: str) -> str | None:
        """The newest readable edition that both come from, or None."""
        folded = self._folded(self._site.entry_id(one))
        shared = (_ancestors(one, folded) & _ancestors(other, folded)) - {one, other}
        readable = [folded[edition] for edition in shared if folded[edition]["understood"]]
        return max(readable, key=lambda found: (found["depth"], found["id"]))["id"] if readable else None

    def _folded(self, entry: str) -> dict[str, dict[str, Any]]:
        return {edition["id"]: edition for edition in self._site.view.folded(entry)["editions"]}


def _ancestors(edition: str, folded: Mapping[str, Mapping[str, Any]]) -> set[str]:
    found: set[str] = set()
    todo = [edition]
    while todo:
        here = todo.pop()
        if here in folded and here not in found:
            found.add(here)
            todo.extend(folded[here]["parents"])
    return found
