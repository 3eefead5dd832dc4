"""What people see at this site: lists, one entry, search, pictures.

What a reader may see follows the standing: checked editions for everybody; what this site itself wrote and nobody has
checked, marked; what was sent back, is paused here or has a *stop* finding, for signed-in trainers and reviewers only;
what is withdrawn, as its notice alone. Its one rule: that choice is made in ``site.showing`` and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from fieldbook.languages import pick
from fieldbook.search import IndexUnusable
from fieldbook.site.kept import Kept
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.people import People
from fieldbook.site.showing import may_work, showable, shown_edition, why_not_shown
from fieldbook.view import STANDING_WORDS, Card, EntryPage, Remark

if TYPE_CHECKING:
    from pathlib import Path

    from fieldbook.ledger import Ledger
    from fieldbook.search import Hit

_STATE_WORDS = {"recalled": "withdrawn: do not use", "retired": "out of date", "sent-back": "sent back"}
PICTURE_KINDS = {b"\x89PNG": "image/png", b"\xff\xd8\xff": "image/jpeg"}


@dataclass(frozen=True)
class Found:
    """A search result: where it is, how it stands, in the language that was found."""

    entry: str
    edition: str
    title: str
    language: str
    state: str
    standing: str | None
    topics: tuple[str, ...]
    own: bool

    def as_document(self) -> dict[str, Any]:
        """The result as JSON."""
        words = _STATE_WORDS.get(self.state) or STANDING_WORDS[self.standing]
        if self.standing == "unchecked" and not self.own:
            words = "unchecked, from another site"
        return {**self.__dict__, "topics": list(self.topics), "standing_words": words}


class Reading(People):
    """Lists, entries and search results of one site."""

    def __init__(self, folder: Path, **wiring: Any) -> None:
        """Wire the site as `SiteParts` does; nothing is listed yet."""
        super().__init__(folder, **wiring)
        self._kept = Kept()

    def edition_id(self, text: str) -> str:
        """The full id of an edition that a person names by its beginning; see ``View.edition_named``."""
        self.need_ledger()
        return self.view.edition_named(text)

    def entry_id(self, text: str) -> str:
        """The entry that an id belongs to, be it the entry's or an edition's."""
        self.need_ledger()
        return self.view.entry_named(text)

    def cards(self, kind: str | None = None, *, reader: Signer | None = None) -> tuple[Card, ...]:
        """The entries that this reader may see, by title; of one kind, or of all."""
        every = self._cards_for(reader)
        return every if kind is None else tuple(card for card in every if card.kind == kind)

    def _cards_for(self, reader: Signer | None) -> tuple[Card, ...]:
        """All cards of a reader; worked out once until something here changes, since each page asks for them."""
        if self.ledger is None:
            return ()
        ledger = self.ledger
        who = None if reader is None else (reader.label, reader.roles, reader.key.public)
        found: tuple[Card, ...] = self._kept.get(
            (self.view.stamp, self.notebook.changes), who, lambda: tuple(self._cards_now(ledger, reader))
        )
        return found

    @property
    def stamp(self) -> tuple[object, ...]:
        """What is another value after every change here: of what is held, of what it comes to, of the notebook."""
        return self.need_ledger().set_hash(), self.view.stamp, self.notebook.changes

    def _cards_now(self, ledger: Ledger, reader: Signer | None) -> list[Card]:
        found = []
        is_paused = self.pause_test()
        for entry in self.view.entries():
            folded = self.view.folded(entry)
            edition = shown_edition(
                folded, ledger, own_site=self.site_key.public, reader=reader, paused=is_paused(folded)
            )
            if edition is not None:
                found.append(self.view.card(ledger, entry, edition["id"], own_site=self.site_key.public))
        return sorted(found, key=lambda card: (pick(card.title, self.languages)[1].casefold(), card.entry))

    def page(self, entry: str, *, edition: str | None = None, reader: Signer | None = None) -> EntryPage:
        """Everything that is shown of an entry: of one edition, or of the one that a reader should follow.

        Args:
            entry: the entry's id.
            edition: one of its editions; None for the one to follow.
            reader: who looks, where somebody is signed in.

        Raises:
            SiteError: this reader may not see it.
        """
        ledger = self.need_ledger()
        folded = self.view.folded(entry)
        own_site = self.site_key.public
        paused = self.pause_test()(folded)
        chosen = shown_edition(folded, ledger, own_site=own_site, reader=reader, paused=paused)
        if edition is not None:
            wanted = next((one for one in folded["editions"] if one["id"] == edition), None)
            may = wanted and showable(wanted, ledger, own_site=own_site, reader=reader, paused=paused)
            chosen = wanted if may else None
        if chosen is None:
            taken = ledger.taken_back_by(edition or folded["editions"][-1]["id"])
            if taken is not None:
                raise SiteError(
                    f"{taken} took back the words of this edition", hint="search for another practice entry"
                )
            if may_work(reader):
                hint = "take in a stick that holds its words, or bring this site's software up to date"
                raise SiteError("this practice entry has no edition that can be shown to you", hint=hint)
            why = why_not_shown(folded, ledger, own_site=own_site, paused=paused)
            raise SiteError(
                f"this practice entry is not shown to readers: {why}", hint="sign in as a trainer or reviewer to see it"
            )
        return self._with_local_pauses(self.view.page(ledger, entry, chosen["id"], own_site=own_site))

    def _with_local_pauses(self, page: EntryPage) -> EntryPage:
        """A page on which the pauses of the notebook stand beside those that were signed."""
        local = () if page.notice is not None else self.local_pauses_of(page.entry)
        remarks = tuple(Remark("", one.by or self.letter, self.letter, one.words, one.time) for one in local)
        return replace(page, paused=(*page.paused, *remarks), paused_here=page.paused_here or bool(local))

    def search(
        self, words: str, *, language: str | None = None, limit: int = 20, reader: Signer | None = None
    ) -> tuple[Found, ...]:
        """What answers a reader's words best; checked before unchecked, never what is withdrawn but its notice.

        Raises:
            FieldbookError: there is no word to search for, or the limit is out of range.
        """
        self.need_ledger()
        self.learn_index()
        try:
            hits = self._hits(words, language, limit, reader)
        except IndexUnusable:
            self.rebuild_index()
            hits = self._hits(words, language, limit, reader)
        return tuple(self._found(hit) for hit in hits)

    def _found(self, hit: Hit) -> Found:
        sites = {edition["id"]: edition["site"] for edition in self.view.folded(hit.entry)["editions"]}
        own = sites.get(hit.edition) == self.site_key.public
        return Found(hit.entry, hit.edition, hit.title, hit.language, hit.state, hit.standing, hit.topics, own)

    def kept_back(self, *, reader: Signer | None) -> str | None:
        """A sentence where entries lie here that this reader is not shown, on how many and why; else None."""
        number = 0 if may_work(reader) or self.ledger is None else self.view.count() - len(self.cards(reader=reader))
        if number == 0:
            return None
        entries = "1 practice entry here is" if number == 1 else f"{number} practice entries here are"
        return (
            f"{entries} not shown to readers yet: no reviewer has approved what other sites wrote, or something here "
            "was paused, sent back or stopped. A trainer or reviewer sees all of it signed in."
        )

    def _hits(self, words: str, language: str | None, limit: int, reader: Signer | None) -> list[Hit]:
        return self.index.search(
            words, language=language, limit=limit, preferred=self._reading_order(), readers_only=not may_work(reader)
        )

    def _reading_order(self) -> tuple[str, ...]:
        """The languages in which a title is shown where several were found: the site's, then the one most shared."""
        return (*self.languages, "en")

    def attachment(self, identity: str) -> tuple[bytes, str] | None:
        """A photo or drawing by its digest with its media type, or None where it is not here or may not be shown."""
        data = None if self.ledger is None else self.ledger.attachment(identity)
        if data is None:
            return None
        kind = next((media for start, media in PICTURE_KINDS.items() if data.startswith(start)), None)
        return None if kind is None else (data, kind)
