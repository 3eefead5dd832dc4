"""The view: the present state of every entry, folded from the statements. Disposable.

It keeps, for each entry, one canonical value that depends on the *set* of statements alone, so that every order of
arrival gives the same bytes. What depends on the reader or the site (who may see what, this site's own mark) is worked
out when shown, in ``reading``. Its one rule: ``apply`` after any change equals ``rebuild`` from nothing.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from fieldbook.practices import likenesses
from fieldbook.review.folding import named_ingredient, named_likenesses
from fieldbook.view.assembly import card_of, page_of
from fieldbook.view.file import ViewError, ViewUnusable, empty_in_memory, whole_or_empty
from fieldbook.view.folding import Gathered, acts, canonical_text, fold_entry
from fieldbook.view.seen import Seen

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from fieldbook.ledger import Ledger, Said
    from fieldbook.rows import Connection
    from fieldbook.view.shown import Card, EntryPage

EDITION = "fieldbook/edition"
_RECALL = "fieldbook/recall"
_MARKS_OF = "SELECT mark FROM likeness WHERE edition=?"
_ENTRIES_BY_MARK = "SELECT DISTINCT entry FROM likeness JOIN edition ON id=likeness.edition WHERE mark=?"
DECISIONS = frozenset(
    {
        "fieldbook/approval",
        "fieldbook/sent-back",
        "fieldbook/retirement",
        "fieldbook/hold",
        "fieldbook/recall",
        "fieldbook/lifting",
    }
)
_INGREDIENT = "ingredient"  # in the place of a target: a recall that stops whatever holds a thing
_READS = "reads "  # before a mark, in the place of a target: a recall that stops what reads so
_FOLDED_ANEW = ("edition", "aside", "made_from", "answer", "likeness", "folded", "seen")


class _MovedError(Exception):
    """An edition turned out to belong elsewhere, so everything is folded anew."""


class View:
    """The folded entries of one site, in an SQLite file that may be deleted at any time."""

    def __init__(self, connection: Connection, *, lasts: bool) -> None:
        """Use ``open`` or ``in_memory``; ``lasts`` is False where no disk holds it."""
        self._db = connection
        self._own = object()
        self._seen = Seen(connection)
        self._applied: object = None  # the stamp of the ledger as this view last knew it
        self.lasts = lasts

    @classmethod
    def open(cls, path: Path) -> View:
        """Open the view; one that is missing, damaged or of another fold begins empty, in memory if it must."""
        try:
            return cls(whole_or_empty(path), lasts=True)
        except ViewUnusable:
            return cls.in_memory()

    @classmethod
    def in_memory(cls) -> View:
        """An empty view that no disk holds: gone when it is closed."""
        return cls(empty_in_memory(), lasts=False)

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    @property
    def stamp(self) -> tuple[object, int]:
        """What is another value after every change of the view, and of every other view."""
        return self._own, self._db.total_changes

    def count(self) -> int:
        """How many entries there are."""
        return int(self._db.execute("SELECT count(*) FROM folded").fetchone()[0])

    def entries(self) -> tuple[str, ...]:
        """The ids of all entries, sorted."""
        return tuple(row[0] for row in self._db.execute("SELECT entry FROM folded ORDER BY entry"))

    def folded(self, entry: str) -> dict[str, Any]:
        """The folded value of an entry.

        Raises:
            ViewError: there is no such entry here.
        """
        row = self._db.execute("SELECT value FROM folded WHERE entry=?", (entry,)).fetchone()
        if row is None:
            raise ViewError(
                f"there is no entry {entry[:12]} here", hint="take in a stick that holds it, or check the id"
            )
        value: dict[str, Any] = json.loads(row[0])
        return value

    def entry_of(self, edition: str) -> str | None:
        """The entry that an edition belongs to, or None."""
        row = self._db.execute("SELECT entry FROM edition WHERE id=?", (edition,)).fetchone()
        return None if row is None else str(row[0])

    def edition_named(self, text: str) -> str:
        """The full id of the edition that a person names by its first eight or more characters.

        Raises:
            ViewError: none or several begin so.
        """
        wanted = text.strip().lower()
        if len(wanted) < 8 or any(character not in "0123456789abcdef" for character in wanted):
            raise ViewError(f"{text!r} is no id of an edition", hint="give at least its first eight characters")
        rows = self._db.execute(
            "SELECT id FROM edition WHERE id >= ? AND id < ? LIMIT 2", (wanted, wanted + "g")
        ).fetchall()
        if len(rows) != 1:
            raise ViewError(
                f"{'several editions begin' if rows else 'no edition here begins'} with {text}",
                hint="give more of the id" if rows else "take in a stick that holds it, or check the id",
            )
        return str(rows[0][0])

    def entry_named(self, text: str) -> str:
        """The entry of the edition that a person names; see ``edition_named``."""
        return str(self._db.execute("SELECT entry FROM edition WHERE id=?", (self.edition_named(text),)).fetchone()[0])

    def apply(self, ledger: Ledger) -> int:
        """Bring the view to what the ledger holds; returns how many statements that it had seen are not held now."""
        stamp = ledger.stamp()
        if stamp == self._applied:
            return 0
        if self._mark("roles") == ledger.roles_mark():
            lost = self._catch_up_or_rebuild(ledger)
        else:
            lost = self._seen.lost(ledger.marks())
            self.rebuild(ledger)
        self._applied = stamp
        return lost

    def _catch_up_or_rebuild(self, ledger: Ledger) -> int:
        try:
            with self._db.together():
                lost = self._catch_up(ledger)
            if not lost:
                return 0
        except _MovedError:
            lost = 0
        self.rebuild(ledger)  # a view of more than is here is another store's, or the store lost it
        return lost

    def rebuild(self, ledger: Ledger) -> None:
        """Fold everything from nothing."""
        with self._db.together():
            self._db.execute("INSERT OR IGNORE INTO gone SELECT id FROM edition")
            for table in _FOLDED_ANEW:
                self._db.execute(f"DELETE FROM {table}")  # noqa: S608  (names of our own)
            self._catch_up(ledger)
            self._db.execute("INSERT OR REPLACE INTO mark VALUES ('roles',?)", (ledger.roles_mark(),))
            self._db.execute("DELETE FROM gone WHERE edition IN (SELECT id FROM edition)")
            self._db.execute("DELETE FROM fresh WHERE entry NOT IN (SELECT entry FROM folded)")

    def gone(self) -> tuple[str, ...]:
        """The editions that were here when the search index last learnt, and are no longer."""
        return tuple(row[0] for row in self._db.execute("SELECT edition FROM gone ORDER BY edition"))

    def fresh(self) -> tuple[str, ...]:
        """The entries folded since ``taken_up`` last named them: what the search index has yet to learn."""
        return tuple(row[0] for row in self._db.execute("SELECT entry FROM fresh ORDER BY entry"))

    def learn_again(self, entries: Iterable[str]) -> None:
        """Let the search index learn these entries, and all made from them, once more: what readers see changed."""
        rows = [(entry,) for entry in sorted(self._with_adaptations(set(entries)))]
        with self._db.together():
            self._db.executemany("INSERT OR IGNORE INTO fresh VALUES (?)", rows)

    def index_stamp(self) -> str:
        """The stamp of the search index that has learnt all but what is fresh or gone; empty where there is none."""
        return self._mark("index") or ""

    def taken_up(self, stamp: str) -> None:
        """The search index of this stamp has learnt all that is here."""
        with self._db.together():
            self._db.execute("DELETE FROM fresh")
            self._db.execute("DELETE FROM gone")
            self._db.execute("INSERT OR REPLACE INTO mark VALUES ('index',?)", (stamp,))

    def state_lines(self, ledger: Ledger) -> list[str]:
        """The lines of the state hash: the roles in force, then each entry with the digest of its folded value."""
        lines = [f"charter {ledger.roles_digest()}"]
        lines += [
            f"{entry} {digest}" for entry, digest in self._db.execute("SELECT entry, digest FROM folded ORDER BY entry")
        ]
        return lines

    def differences_from_fold(self, ledger: Ledger) -> list[str]:
        """Where this view is not what a fold from nothing gives; empty when all is well."""
        fresh = View.in_memory()
        try:
            fresh.rebuild(ledger)
            mine, anew = (dict(line.split(" ") for line in view.state_lines(ledger)) for view in (self, fresh))
        finally:
            fresh.close()
        return [
            f"the view of entry {name[:12]} is not what its statements say; `rebuild` makes it anew"
            for name in sorted(mine.keys() | anew.keys())
            if mine.get(name) != anew.get(name)
        ]

    def _mark(self, name: str) -> str | None:
        row = self._db.execute("SELECT value FROM mark WHERE name=?", (name,)).fetchone()
        return None if row is None else str(row[0])

    def _catch_up(self, ledger: Ledger) -> int:
        """Note what changed, a page at a time in order of depth, then fold every entry that it touches.

        Returns:
            How many statements that the view had seen are not held now; where there are any, nothing is folded.
        """
        touched: set[str] = set()
        lost = self._seen.count()
        for known, changed in self._seen.compared(ledger.marks()):
            lost -= known
            if changed:
                touched |= self._take(ledger, changed)
                self._seen.keep(changed)
        for entry in sorted(self._with_adaptations(touched)) if not lost else ():
            self._fold(ledger, entry)
        return lost

    def _take(self, ledger: Ledger, ids: Iterable[str]) -> set[str]:
        """Note statements that changed, given in order of depth; the entries that they touch.

        An entry is touched by the last that comes of a decision, of what it answers, and of the edition that this does.
        """
        touched: set[str] = set()
        decisions: list[Said] = []
        for said in map(ledger.said, ids):
            if said is None or not _has_come(said):
                continue
            if said.kind == EDITION:
                touched |= self._note_with_followers(ledger, said)
            elif said.kind in DECISIONS:
                targets = [*said.after, *_named_otherwise(said)]
                self._db.executemany(
                    "INSERT OR IGNORE INTO answer VALUES (?,?)", [(target, said.id) for target in targets]
                )
                decisions.append(said)
        for said in decisions:
            touched |= set(self.entries()) if _stops_by_ingredient(said) else self._entries_answered(said)
            touched |= self._entries_that_read(said)
        return touched

    def _note_with_followers(self, ledger: Ledger, said: Said) -> set[str]:
        """Note an edition, and those that were left aside until it came."""
        touched: set[str] = set()
        todo = [said]
        while todo:
            noted = todo.pop()
            entry = self._note_edition(noted)
            if entry is not None:
                touched.add(entry)
                rows = self._db.execute("DELETE FROM aside WHERE parent=? RETURNING edition", (noted.id,)).fetchall()
                todo += [follower for row in rows if (follower := ledger.said(row[0])) is not None]
        return touched

    def _note_edition(self, said: Said) -> str | None:
        """Find the entry of an edition: begun by it, its parents', or a new one made from several or by adaptation.

        One that answers what is no edition, or none that is here yet, is not understood, so it is left aside.
        """
        parents = {parent: self.entry_of(parent) for parent in said.after}
        unknown = [(parent, said.id) for parent, found in parents.items() if found is None]
        if unknown:
            self._db.executemany("INSERT OR IGNORE INTO aside VALUES (?,?)", unknown)
            return None
        ancestors = {parent for parent in parents.values() if parent is not None}
        begins = len(ancestors) != 1 or (said.body or {}).get("adaptation") is True
        entry = said.id if begins else next(iter(ancestors))
        noted = self.entry_of(said.id)
        if noted is not None and noted != entry:
            raise _MovedError  # its body came later and says otherwise: what hangs on it moves too
        self._db.execute("INSERT OR IGNORE INTO edition VALUES (?,?)", (said.id, entry))
        marks = [(mark, said.id) for mark in sorted(likenesses(said.body))]
        self._db.executemany("INSERT OR IGNORE INTO likeness VALUES (?,?)", marks)
        if begins:
            rows = [(entry, ancestor) for ancestor in sorted(ancestors)]
            self._db.executemany("INSERT OR IGNORE INTO made_from VALUES (?,?)", rows)
        return entry

    def _entries_answered(self, said: Said) -> set[str]:
        """The entries that a decision touches, through the decisions that it answers in turn."""
        found: set[str] = set()
        seen, todo = {said.id}, list(said.after)
        while todo:
            target = todo.pop()
            entry = self.entry_of(target)
            if entry is not None:
                found.add(entry)
            elif target not in seen:
                seen.add(target)
                todo += [row[0] for row in self._db.execute("SELECT target FROM answer WHERE decision=?", (target,))]
        return found

    def _entries_that_read(self, said: Said) -> set[str]:
        """The entries that a recall touches since an edition of theirs reads like what it names."""
        marks = sorted(named_likenesses(said.body)) if said.kind == _RECALL else []
        return {row[0] for mark in marks for row in self._db.execute(_ENTRIES_BY_MARK, (mark,))}

    def _with_adaptations(self, entries: set[str]) -> set[str]:
        """These entries and all that were made from them, at any remove."""
        return self._closure(entries, "SELECT entry FROM made_from WHERE ancestor=?")

    def family(self, entry: str) -> tuple[str, ...]:
        """The editions of an entry and of all that was made from it: its own first, the newest of each first."""
        others = sorted(self._with_adaptations({entry}) - {entry})
        return tuple(one["id"] for each in (entry, *others) for one in reversed(self.folded(each)["editions"]))

    def ancestors(self, entry: str) -> frozenset[str]:
        """The entries that this one was made from, at any remove."""
        return frozenset(self._closure({entry}, "SELECT ancestor FROM made_from WHERE entry=?") - {entry})

    def _closure(self, start: set[str], step: str) -> set[str]:
        found, todo = set(start), list(start)
        while todo:
            fresh = {row[0] for row in self._db.execute(step, (todo.pop(),))} - found
            found |= fresh
            todo += fresh
        return found

    def editions_of(self, entries: Iterable[str]) -> list[str]:
        """The ids of all editions of these entries."""
        return [
            row[0]
            for entry in sorted(entries)
            for row in self._db.execute("SELECT id FROM edition WHERE entry=? ORDER BY id", (entry,))
        ]

    def gathered(self, ledger: Ledger, entry: str) -> Gathered:
        """All that bears on an entry: its editions, those of what it was made from, and what was said of them."""
        editions = self.editions_of({entry, *self.ancestors(entry)})
        marks = {_READS + row[0] for one in editions for row in self._db.execute(_MARKS_OF, (one,))}
        begun = {*editions, *marks, _INGREDIENT}
        decisions = self._closure(begun, "SELECT decision FROM answer WHERE target=?") - begun
        said = {identity: ledger.said(identity) for identity in (*editions, *sorted(decisions))}
        own = [edition for edition in editions if self.entry_of(edition) == entry]
        return Gathered(
            entry=entry,
            editions=tuple(found for edition in editions if (found := said[edition]) is not None),
            own=frozenset(own),
            decisions=tuple(found for one in sorted(decisions) if (found := said[one]) is not None),
            made_from=tuple(
                row[0]
                for row in self._db.execute("SELECT ancestor FROM made_from WHERE entry=? ORDER BY ancestor", (entry,))
            ),
        )

    def card(self, ledger: Ledger, entry: str, edition: str, *, own_site: str) -> Card:
        """One edition of an entry as a line of a list."""
        folded = self.folded(entry)
        return card_of(folded, _edition_in(folded, edition), ledger, own_site=own_site)

    def page(self, ledger: Ledger, entry: str, edition: str, *, own_site: str) -> EntryPage:
        """Everything that is shown of one edition of an entry."""
        folded = self.folded(entry)
        return page_of(folded, _edition_in(folded, edition), ledger, own_site=own_site)

    def _fold(self, ledger: Ledger, entry: str) -> None:
        value = canonical_text(fold_entry(self.gathered(ledger, entry), ledger))
        digest = hashlib.sha256(value.encode()).hexdigest()
        self._db.execute("INSERT OR REPLACE INTO folded VALUES (?,?,?)", (entry, value, digest))
        self._db.execute("INSERT OR IGNORE INTO fresh VALUES (?)", (entry,))


def _has_come(said: Said) -> bool:
    return said.stands != "waiting" or acts(said)


def _named_otherwise(said: Said) -> list[str]:
    """What a recall names beside ids, as targets."""
    if said.kind != _RECALL:
        return []
    reads = [_READS + mark for mark in sorted(named_likenesses(said.body))]
    return [*reads, _INGREDIENT] if _stops_by_ingredient(said) else reads


def _stops_by_ingredient(said: Said) -> bool:
    return said.kind == _RECALL and named_ingredient(said.body) is not None


def _edition_in(folded: Mapping[str, Any], edition: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = next(one for one in folded["editions"] if one["id"] == edition)
    return found
