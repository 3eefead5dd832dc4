"""Exchange, and keeping view and search index in step with the store.

Its one rule: the store comes first. View and index are made from it, brought up to date after it, and made anew
whenever they cannot be trusted; nothing acknowledged hangs on them.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.search import IndexUnusable, SearchError
from fieldbook.site.documents import document_of
from fieldbook.site.parts import SiteError, SiteParts
from fieldbook.site.pausing import LocalPauses, covers
from fieldbook.site.showing import is_held, shown_edition
from fieldbook.view import FOLD_VERSION, View, ViewUnusable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from fieldbook.ledger import ExchangeReport
    from fieldbook.search import Document
    from fieldbook.site.pausing import LocalPause


@dataclass(frozen=True)
class Verified:
    """What ``verify`` found: hashes of the set and of the state, counts, and every problem in one sentence each."""

    state: str
    set: str
    statements: int
    entries: int
    problems: tuple[str, ...]

    @property
    def ok(self) -> bool:
        """True where no problem was found."""
        return not self.problems


class Travel(SiteParts):
    """What a site takes in and leaves."""

    def refresh(self) -> None:
        """Bring the view, then the search index, to what the store holds; a broken one is made anew."""
        self.refresh_view()
        self.learn_index()

    def refresh_to_open(self) -> None:
        """The same, as a site opens: where the disk takes no index, people read on, and a search says why it cannot."""
        lost = self.refresh_view()
        if lost:
            self.notebook.set_fact(
                "lost_words", {"number": lost, "exchanges": int(self.notebook.fact("exchanges") or 0)}
            )
        with suppress(SearchError):
            self.learn_index()

    def refresh_view(self) -> int:
        """Bring the view alone: after each word said here. The index learns at the next search, exchange or opening.

        Returns:
            How many signed words the view knew that the store does not hold any more.
        """
        if self.ledger is None:
            return 0
        try:
            return self.view.apply(self.ledger)
        except ViewUnusable:
            self.mend_view()
            return 0

    def mend_view(self) -> None:
        """Make a view that fails anew; where the disk takes none, in memory until the site is closed.

        So a withdrawal acts here even on a full disk.
        """
        self.view.close()
        try:
            self.view = View.open(self.folder / "view.sqlite")
            self._fill_view()
        except ViewUnusable:
            self.view.close()
            self.view = View.in_memory()
            self._fill_view()

    def _fill_view(self) -> None:
        if self.ledger is not None:
            self.view.rebuild(self.ledger)

    def learn_index(self) -> None:
        """Bring the search index to what the view holds."""
        if self.ledger is None:
            return
        fresh, gone = self.view.fresh(), self.view.gone()
        other = self.view.index_stamp() != self.index.stamp()  # another index than the one that learnt the rest
        # bringing an index up to date keeps the bytes of what it forgot, so one that must lose words is made anew
        if other or self.ledger.taken_back() != (self.notebook.fact("index_without") or 0):
            self.rebuild_index()
        elif fresh or gone:
            self._update_index(fresh, gone)

    def _update_index(self, fresh: Sequence[str], gone: Sequence[str]) -> None:
        try:
            self.index.update(self.documents(fresh), gone=[*gone, *self.view.editions_of(fresh)])
        except IndexUnusable:
            self.rebuild_index()
        self._note_learnt()

    def _note_learnt(self) -> None:
        with suppress(ViewUnusable):  # then the index learns the same once more
            self.view.taken_up(self.index.stamp())

    def rebuild(self) -> int:
        """Make the view and the search index anew from the store; returns the number of entries.

        Raises:
            FieldbookError: the disk does not take them.
        """
        self.need_ledger()
        self.mend_view()
        if not self.view.lasts:
            raise SiteError(
                "the view was made anew, but the disk does not take it, so it lasts only until this program ends",
                hint="free some space, then rebuild again; what was said is safe",
            )
        self.rebuild_index()
        return self.view.count()

    def rebuild_index(self) -> None:
        """Make the search index anew."""
        self.index.rebuild(self.documents(self.view.entries()))
        self._note_learnt()
        self.notebook.set_fact("index_without", self.need_ledger().taken_back())

    def documents(self, entries: Iterable[str]) -> Iterator[Document]:
        """What the search should find of these entries: what readers follow, and the newest editions for trainers."""
        ledger, own_site, is_paused = self.need_ledger(), self.site_key.public, self.pause_test()
        for entry in entries:
            folded = self.view.folded(entry)
            shown = shown_edition(folded, ledger, own_site=own_site, reader=None, paused=is_paused(folded))
            for edition in folded["editions"]:
                followed = shown is not None and edition["id"] == shown["id"]
                readable = edition["stands"] == "accepted" and edition["understood"]
                if followed or (readable and edition["newest"] and edition["state"] != "recalled"):
                    yield document_of(folded, edition, ledger, own_site=own_site, withheld=not followed)

    @cached_property
    def local_pauses(self) -> LocalPauses:
        """The pauses that stand in this site's notebook alone."""
        return LocalPauses(self.notebook)

    def local_pauses_of(self, entry: str) -> tuple[LocalPause, ...]:
        """The standing pauses of the notebook that cover an entry."""
        standing = self.local_pauses.standing(self.ledger)
        kin = (entry, *self.view.ancestors(entry)) if standing else ()
        return tuple(one for one in standing if covers(one, kin))

    def pause_test(self) -> Callable[[Mapping[str, Any]], bool]:
        """A test for many folded entries: whether this site has paused one, by a signed hold or in its notebook."""
        standing, own_site = self.local_pauses.standing(self.ledger), self.site_key.public

        def is_paused(folded: Mapping[str, Any]) -> bool:
            kin = (folded["entry"], *self.view.ancestors(folded["entry"])) if standing else ()
            return is_held(folded, own_site) or any(covers(one, kin) for one in standing)

        return is_paused

    def exchange(self, carrier: Path, *, progress: Callable[[str, int, int], None] | None = None) -> ExchangeReport:
        """Take in all that is valid from a carrier, then leave on it what it lacks.

        Args:
            carrier: the folder of the stick.
            progress: called with what is being done, how many are done, and of how many.

        Raises:
            FieldbookError: the folder cannot be read, or is of another network.
        """
        if not carrier.is_dir():
            raise SiteError(f"there is no folder {carrier}", hint="put the stick in and name its folder")
        ledger = self.need_ledger()

        def state_lines() -> list[str]:
            self.refresh_view()
            return self.view.state_lines(ledger)

        try:
            report = ledger.exchange(
                carrier,
                site_key=self.site_key,
                random=self.random,
                state_lines=state_lines,
                fold=FOLD_VERSION,
                progress=progress,
                verifying_threads=self.verifying_threads,
                urgent_begins=self.reserve.give,
                urgent_taken=self._show_urgent,
            )
        finally:
            # what was taken in before a fault is acknowledged, so it is shown
            self.refresh_view()
        return replace(report, notes=(*report.notes, *self._note_exchange()))

    def _note_exchange(self) -> Iterator[str]:
        """Let the index learn and count the exchange; what this laptop cannot do now, in a sentence each.

        Neither undoes what was taken in and left: the index learns at the next search, and a site that was put back
        goes on saying so.
        """
        for do in (self.learn_index, self._count_exchange):
            try:
                do()
            except FieldbookError as error:
                yield f"{error.message}; {error.hint}"

    def _count_exchange(self) -> None:
        self.notebook.set_fact("exchanges", int(self.notebook.fact("exchanges") or 0) + 1)

    def _show_urgent(self) -> None:
        """Let withdrawals act on the pages before anything else is read from the stick."""
        self.refresh_view()
        self.reserve.keep()

    def verify(self) -> Verified:
        """Check every signature, chain and attachment, and the view against a fold from nothing."""
        ledger = self.need_ledger()
        problems = list(ledger.problems())
        self.refresh_view()
        problems += self.view.differences_from_fold(ledger)
        return Verified(
            state=ledger.state_hash(self.view.state_lines(ledger)),
            set=ledger.set_hash(),
            statements=ledger.count(),
            entries=self.view.count(),
            problems=tuple(problems),
        )
