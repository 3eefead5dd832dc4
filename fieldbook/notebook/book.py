"""The notebook itself: an SQLite file, and a folder of photos beside it.

Not what becomes of what it gives out. Its one rule: what is kept together comes and goes together.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

from fieldbook.notebook.file import FILE_NAME, NO_SPACE, create_file, identity, open_file
from fieldbook.notebook.values import (
    Draft,
    HomePhoto,
    KeptFiles,
    NotebookError,
    Person,
    PhotoToKeep,
    Record,
    write_private_file,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from fieldbook.rows import Connection

_OFFERING = "offering"  # the fact that an edition is about to be said, and what hangs on it here


class Notebook:
    """One site's notebook: an SQLite file and a folder of photos beside it."""

    def __init__(self, folder: Path, connection: Connection) -> None:
        """Use ``create`` or ``open``; they check what lies in the folder."""
        self._folder = folder
        self._path = folder / FILE_NAME
        self._file = identity(self._path)
        self._db = connection

    @classmethod
    def create(cls, folder: Path) -> Notebook:
        """Begin a notebook in a site folder that has none."""
        return cls(folder, create_file(folder / FILE_NAME))

    @classmethod
    def open(cls, folder: Path) -> Notebook:
        """Open the notebook of a site folder.

        Raises:
            NotebookError: it is missing, is no notebook, or comes from newer software.
        """
        path = folder / FILE_NAME
        if not path.is_file():
            raise NotebookError(
                f"there is no site in {folder}", hint="check the folder's name, or begin a site with `new`"
            )
        return cls(folder, open_file(path))

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    @property
    def changes(self) -> int:
        """A number that grows with whatever is written here."""
        return self._db.total_changes

    @contextmanager
    def together(self) -> Iterator[None]:
        """Make several writes one: all of them, or none.

        Raises:
            NotebookError: the disk does not take them, or the file is no longer in its place.
        """
        if identity(self._path) != self._file:
            raise NotebookError(
                "the notebook of this site was removed or replaced while it was in use",
                hint="stop this program, put the site's folder back in its place, and begin again",
            )
        with self._db.together():
            yield

    def fact(self, name: str) -> Any:
        """One fact of the site by name (JSON), or None where it was never said."""
        row = self._db.execute("SELECT value FROM fact WHERE name=?", (name,)).fetchone()
        return None if row is None else json.loads(row[0])

    def set_fact(self, name: str, value: Any) -> None:
        """Note one fact of the site (any JSON value)."""
        self.set_facts({name: value})

    def set_facts(self, facts: Mapping[str, Any]) -> None:
        """Note several facts of the site at once: all of them, or none."""
        rows = [(name, json.dumps(value, ensure_ascii=False)) for name, value in facts.items()]
        with self.together():
            self._db.executemany("INSERT OR REPLACE INTO fact VALUES (?,?)", rows)

    def add_person(self, person: Person) -> None:
        """Note a person and their locked key.

        Raises:
            NotebookError: the label is taken.
        """
        if self.person(person.label) is not None:
            raise NotebookError(f"there is already a {person.label} here", hint="choose the next number")
        with self.together():
            self._db.execute(
                "INSERT INTO person VALUES (?,?,?,?)", (person.label, person.key, person.role, person.locked)
            )

    def person(self, label: str) -> Person | None:
        """The person of this label, or None."""
        row = self._db.execute("SELECT label,key,role,locked FROM person WHERE label=?", (label,)).fetchone()
        return None if row is None else Person(*row)

    def people(self) -> tuple[Person, ...]:
        """All people of this site, by label."""
        rows = self._db.execute("SELECT label,key,role,locked FROM person ORDER BY label")
        return tuple(Person(*row) for row in rows)

    def add_draft(
        self,
        *,
        author: str,
        document: dict[str, Any],
        parents: tuple[str, ...] = (),
        photos: Sequence[PhotoToKeep] = (),
        instead_of: Draft | None = None,
    ) -> Draft:
        """Keep a new draft with its photos, in the place of another where one is given; all of it or nothing."""
        over = [] if instead_of is None else self._files_of(instead_of.name)
        with self.photos_kept(photos) as files, self.together():
            cursor = self._db.execute(
                "INSERT INTO draft (author,document,parents) VALUES (?,?,?)",
                (author, json.dumps(document, ensure_ascii=False), json.dumps(parents)),
            )
            name = f"draft-{cursor.lastrowid}"
            self._note_photos(name, files)
            if instead_of is not None:
                self._forget_draft(instead_of.name, instead_of.number)
        self._drop(over)
        return self.draft(name)

    def draft(self, name: str) -> Draft:
        """The draft of this name (``draft-3``).

        Raises:
            NotebookError: there is none.
        """
        number = name.removeprefix("draft-")
        row = None
        if number.isascii() and number.isdigit() and len(number) < 10:
            row = self._db.execute("SELECT * FROM draft WHERE number=?", (int(number),)).fetchone()
        if row is None:
            raise NotebookError(
                f"there is no draft called {name} here", hint="write its name as `write ... --draft` printed it"
            )
        return _draft(row)

    def drafts(self) -> tuple[Draft, ...]:
        """All drafts, oldest first."""
        return tuple(_draft(row) for row in self._db.execute("SELECT * FROM draft ORDER BY number"))

    def remove_draft(self, draft: Draft) -> None:
        """Forget a draft and its photos: it was given up."""
        files = self._files_of(draft.name)
        with self.together():
            self._forget_draft(draft.name, draft.number)
        self._drop(files)

    def add_record(self, kind: str, document: Mapping[str, Any], *, about: str = "") -> Record:
        """Keep a new record: a slip, a bed, a planting or another paper of this site.

        Args:
            kind: what kind of record, as the room that keeps it names it.
            document: any JSON object; kept exactly.
            about: the id of what it belongs to, an entry or another record; empty where it stands alone.
        """
        with self.together():
            cursor = self._db.execute(
                "INSERT INTO record (kind,about,document) VALUES (?,?,?)",
                (kind, about, json.dumps(document, ensure_ascii=False)),
            )
            number = int(cursor.lastrowid or 0)
        return Record(number, kind, about, dict(document))

    def records(self, kind: str, *, about: str | None = None) -> tuple[Record, ...]:
        """All records of a kind, oldest first; with ``about``, those that belong to this."""
        rows = self._db.execute(
            "SELECT number,kind,about,document FROM record WHERE kind=?1 AND (?2 IS NULL OR about=?2) ORDER BY number",
            (kind, about),
        )
        return tuple(_record(row) for row in rows)

    def record(self, kind: str, number: int) -> Record | None:
        """The record of this kind and number, or None."""
        row = self._db.execute(
            "SELECT number,kind,about,document FROM record WHERE kind=? AND number=?", (kind, number)
        ).fetchone()
        return None if row is None else _record(row)

    def change_record(self, record: Record, document: Mapping[str, Any]) -> Record:
        """Put a document in the place of a record's own."""
        with self.together():
            self._db.execute(
                "UPDATE record SET document=? WHERE number=?",
                (json.dumps(document, ensure_ascii=False), record.number),
            )
        return Record(record.number, record.kind, record.about, dict(document))

    def remove_record(self, record: Record) -> None:
        """Forget a record; its number is never given again."""
        with self.together():
            self._db.execute("DELETE FROM record WHERE number=?", (record.number,))

    @contextmanager
    def photos_kept(self, photos: Sequence[PhotoToKeep]) -> Iterator[KeptFiles]:
        """Keep the files of prepared photos while it is noted what they belong to; those of nothing go again.

        Raises:
            NotebookError: the disk does not take them.
        """
        files: list[tuple[str, str, str, str]] = []
        try:
            files.extend(
                (one.name, one.people, self._keep_file(one.full), self._keep_file(one.thumb)) for one in photos
            )
            yield tuple(files)
        finally:
            self._drop(digest for file in files for digest in file[2:])

    def begin_offering(self, edition: str, files: KeptFiles, *, draft: Draft | None) -> None:
        """Note, before an edition is said, what becomes its own at this site, so that a power cut cannot part them.

        Args:
            edition: its id.
            files: the photos that stay here.
            draft: what it was until now, where it was one.
        """
        with self.together():
            self._note_photos(edition, files)
            self._put_fact(_OFFERING, {"edition": edition, "draft": None if draft is None else draft.number})

    def offering(self) -> str | None:
        """The edition whose offering was begun and not ended, or None."""
        begun = self.fact(_OFFERING)
        return None if begun is None else str(begun["edition"])

    def end_offering(self, *, said: bool) -> None:
        """End what was begun: where the edition was said its draft goes, else its photos do."""
        begun = self.fact(_OFFERING)
        if begun is None:
            return
        over, number = (f"draft-{begun['draft']}", begun["draft"]) if said else (begun["edition"], None)
        files = self._files_of(over)
        with self.together():
            self._forget_draft(over, number)
            self._db.execute("DELETE FROM fact WHERE name=?", (_OFFERING,))
        self._drop(files)

    def home_photos(self, about: str) -> tuple[HomePhoto, ...]:
        """The photos kept here for a draft or edition, by name."""
        rows = self._db.execute("SELECT * FROM home_photo WHERE about=? ORDER BY name", (about,))
        return tuple(HomePhoto(*row) for row in rows)

    def count_home_photos(self) -> int:
        """How many photos are kept here for drafts and editions."""
        return int(self._db.execute("SELECT COUNT(*) FROM home_photo").fetchone()[0])

    def home_photo_bytes(self, digest: str) -> bytes | None:
        """The bytes of a photo kept here, or None."""
        row = self._db.execute("SELECT 1 FROM home_photo WHERE full=? OR thumb=?", (digest, digest)).fetchone()
        path = self._folder / "home_photos" / digest
        return path.read_bytes() if row is not None and path.is_file() else None

    def damaged_home_photos(self) -> tuple[HomePhoto, ...]:
        """The photos kept here whose files are gone or are not what their names say; every file is read."""
        rows = self._db.execute("SELECT * FROM home_photo ORDER BY about, name")
        return tuple(photo for photo in (HomePhoto(*row) for row in rows) if not self._is_sound(photo))

    def _is_sound(self, photo: HomePhoto) -> bool:
        paths = ((self._folder / "home_photos" / digest, digest) for digest in (photo.full, photo.thumb))
        return all(path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == name for path, name in paths)

    def note_reach(self, reached: Iterable[tuple[str, str, str, int]], *, exchange: int) -> None:
        """Note how far other sites are known to hold each log.

        Args:
            reached: site's key, log, lane, number up to which it holds all.
            exchange: the number of the exchange here that brought this to light; what was known before stays.
        """
        rows = ((*one, exchange) for one in reached if one[3] > 0)
        with self.together():
            self._db.executemany("INSERT OR IGNORE INTO learnt VALUES (?,?,?,?,?)", rows)

    def reach(self) -> dict[tuple[str, str, str], list[tuple[int, int]]]:
        """For site's key, log and lane: the numbers that it was known to reach, each with the exchange, ascending."""
        found: dict[tuple[str, str, str], list[tuple[int, int]]] = {}
        rows = self._db.execute("SELECT holder,log,lane,number,exchange FROM learnt ORDER BY holder,log,lane,number")
        for holder, log, lane, number, exchange in rows:
            found.setdefault((holder, log, lane), []).append((number, exchange))
        return found

    def _keep_file(self, data: bytes) -> str:
        digest = hashlib.sha256(data).hexdigest()
        folder = self._folder / "home_photos"
        try:
            folder.mkdir(exist_ok=True, mode=0o700)
            write_private_file(folder / digest, data)
        except OSError as error:
            raise NotebookError(f"a photo cannot be kept at this site ({error.strerror})", hint=NO_SPACE) from error
        return digest

    def _note_photos(self, about: str, files: KeptFiles) -> None:
        rows = [(about, *file) for file in files]
        self._db.executemany("INSERT OR REPLACE INTO home_photo VALUES (?,?,?,?,?)", rows)

    def _put_fact(self, name: str, value: Any) -> None:
        self._db.execute("INSERT OR REPLACE INTO fact VALUES (?,?)", (name, json.dumps(value, ensure_ascii=False)))

    def _forget_draft(self, about: str, number: int | None) -> None:
        self._db.execute("DELETE FROM draft WHERE number=?", (number,))
        self._db.execute("DELETE FROM home_photo WHERE about=?", (about,))

    def _files_of(self, about: str) -> list[str]:
        return [digest for photo in self.home_photos(about) for digest in (photo.full, photo.thumb)]

    def _drop(self, digests: Iterable[str]) -> None:
        """Remove the files that nothing here needs any more; one that cannot be removed now stays, unnamed."""
        for digest in digests:
            needed = self._db.execute("SELECT 1 FROM home_photo WHERE full=? OR thumb=?", (digest, digest)).fetchone()
            if needed is None:
                with suppress(OSError):
                    (self._folder / "home_photos" / digest).unlink(missing_ok=True)


def _draft(row: tuple[int, str, str, str]) -> Draft:
    return Draft(row[0], row[1], json.loads(row[2]), tuple(json.loads(row[3])))


def _record(row: tuple[int, str, str, str]) -> Record:
    return Record(row[0], row[1], row[2], json.loads(row[3]))
