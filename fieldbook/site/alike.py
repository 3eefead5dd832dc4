"""Practices that read like one that is withdrawn: pointed out to whoever writes and whoever reviews.

Not the stopping (``review.folding`` stops what reads the same). Its one rule: a hint, never a verdict; what is only
near is for a person to look at.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.languages import pick
from fieldbook.practices.likeness import are_near, likenesses, sketches
from fieldbook.site.kept import Kept

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.ledger import Ledger
    from fieldbook.notebook import Draft
    from fieldbook.practices.likeness import Sketch
    from fieldbook.site.season import Season

EDITIONS_LOOKED_AT = 3  # the newest of each entry that is withdrawn


@dataclass(frozen=True)
class Alike:
    """A withdrawn practice that something reads like.

    Attributes:
        entry: its id.
        title: by language.
        same: True where all that matters is the same, so that the withdrawal stops the copy too.
    """

    entry: str
    title: Mapping[str, str]
    same: bool

    def sentence(self, languages: Sequence[str]) -> str:
        """What is to be said of it, with its title in the first of these languages that it has."""
        title = pick(self.title, languages)[1]
        if self.same:
            return f"It reads the same as “{title}”, which is withdrawn: once it is offered, it is stopped too."
        return f"It reads much like “{title}”, which is withdrawn. Look whether what did harm is still in it."


class AlikeList:
    """What is withdrawn at a site, for comparing."""

    def __init__(self, site: Season) -> None:
        """Look at a site; nothing is read yet."""
        self._site = site
        self._kept = Kept()
        self._sketches: dict[str, tuple[frozenset[str], dict[str, Sketch]]] = {}  # an edition never changes

    def to(self, document: Mapping[str, Any], *, besides: Iterable[str] = ()) -> tuple[Alike, ...]:
        """The withdrawn practices that a document reads like, those that it is the same as first.

        Args:
            document: a draft, or the body of an edition.
            besides: entries that are not looked at: its own, and what it was made from.
        """
        ledger = self._site.ledger
        if ledger is None:
            return ()
        marks, mine, view = likenesses(document), sketches(document), self._site.view
        withdrawn: dict[str, tuple[str, ...]] = self._kept.get(self._site.stamp, "", lambda: self._withdrawn(ledger))
        found = []
        for entry in withdrawn.keys() - set(besides) if mine else ():
            known = [self._known(one) for one in withdrawn[entry]]
            same = any(not marks.isdisjoint(theirs) for theirs, _ in known)
            if same or any(are_near(mine, theirs) for _, theirs in known):
                card = view.card(ledger, entry, withdrawn[entry][-1], own_site=self._site.site_key.public)
                found.append(Alike(entry, card.title, same))
        return tuple(sorted(found, key=lambda one: (not one.same, one.entry)))

    def _withdrawn(self, ledger: Ledger) -> dict[str, tuple[str, ...]]:
        """The newest withdrawn editions of each entry that a withdrawal names."""
        view, found = self._site.view, {}
        names = (name for one in ledger.said_of_kind("fieldbook/recall") for name in one.after)
        for entry in {entry for name in names if (entry := view.entry_of(name)) is not None}:
            stopped = [str(one["id"]) for one in view.folded(entry)["editions"] if one["state"] == "recalled"]
            if stopped:
                found[entry] = tuple(stopped[-EDITIONS_LOOKED_AT:])
        return found

    def of_edition(self, edition: str) -> tuple[Alike, ...]:
        """The withdrawn practices that an edition reads like, besides its own and what it was made from."""
        view, said = self._site.view, self._site.need_ledger().said(edition)
        entry = self._site.entry_id(edition)
        return self.to({} if said is None else said.body or {}, besides={entry, *view.ancestors(entry)})

    def of_draft(self, draft: Draft) -> tuple[Alike, ...]:
        """The same for a draft."""
        view = self._site.view
        followed = {entry for parent in draft.parents if (entry := view.entry_of(parent)) is not None}
        return self.to(draft.document, besides=followed.union(*(view.ancestors(entry) for entry in followed)))

    def _known(self, edition: str) -> tuple[frozenset[str], dict[str, Sketch]]:
        if edition not in self._sketches:
            said = self._site.need_ledger().said(edition)
            body = {} if said is None or said.body is None else said.body
            self._sketches[edition] = (likenesses(body), sketches(body))
        return self._sketches[edition]
