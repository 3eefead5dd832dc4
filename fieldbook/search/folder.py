"""The index on disk: where it lies, what shape it has, and whether it is ours and whole.

What it is: the only code that opens Whoosh's files. What it is not: the meaning of a search.

Its one rule: not one byte of an index is read by the engine before our stamp over all of it has been found right,
because the engine unpickles what it reads. Whatever is wrong with an index, it is thrown away and built anew.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from typing import TYPE_CHECKING, Any, Final

from whoosh import fields, index
from whoosh.analysis import SpaceSeparatedTokenizer
from whoosh.filedb.filestore import copy_to_ram

from fieldbook.search.values import IndexUnusable
from fieldbook.shipped import shipped_bytes

if TYPE_CHECKING:
    from pathlib import Path

LAYOUT: Final = 1  # count up whenever documents are turned into index words otherwise than before
_TABLES: Final = ("seed_entries/names.csv", "seed_entries/topics.csv")
_HINT: Final = "build the index anew: fieldbook rebuild"


class IndexFolder:
    """A folder that holds one index and the stamp over it."""

    def __init__(self, folder: Path, *, key: bytes) -> None:
        """Remember the place; nothing is read yet.

        Args:
            folder: Ours alone; made when the index is built.
            key: A secret of this site, up to 64 bytes: an index stamped under another one is foreign.
        """
        self._files = folder / "words"
        self._stamp = folder / "stamp.json"
        self._key = key

    def create(self) -> Any:
        """Return a new empty index, in place of whatever was there; it is unusable until it is stamped."""
        self._stamp.unlink(missing_ok=True)
        if self._files.exists():
            shutil.rmtree(self._files)
        self._files.mkdir(parents=True)
        return index.create_in(str(self._files), _schema())

    def open(self) -> Any:
        """Return the index.

        Raises:
            IndexUnusable: It is missing, damaged, foreign or of another edition of this program.
        """
        self.check()
        try:
            return index.open_dir(str(self._files))
        except (OSError, index.IndexError) as error:
            raise IndexUnusable("the search index cannot be opened", hint=_HINT) from error

    def copied(self, opened: Any) -> Any:
        """Return the same index in memory, to search in.

        The engine maps its files into memory, and a file that is cut while it is mapped ends the whole process.
        """
        return index.FileIndex(copy_to_ram(opened.storage))

    def check(self) -> None:
        """Compare the stamp with the files.

        Raises:
            IndexUnusable: They differ.
        """
        stamp = self.stamped()
        if not stamp:
            raise IndexUnusable("there is no finished search index here", hint=_HINT)
        if stamp != self._wanted_stamp():
            raise IndexUnusable("the search index is damaged, foreign or out of date", hint=_HINT)

    def stamp(self) -> None:
        """Declare the files as they are now to be ours and whole."""
        fresh = self._stamp.with_suffix(".new")
        fresh.write_text(self._wanted_stamp(), encoding="utf-8")
        fresh.replace(self._stamp)

    def stamped(self) -> str:
        """The stamp as it lies there; empty where there is none that can be read."""
        try:
            return self._stamp.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            return ""

    def _wanted_stamp(self) -> str:
        digest = hashlib.blake2b(key=self._key)
        for name in _TABLES:
            digest.update(hashlib.sha256(shipped_bytes(name)).digest())
        for path in sorted(self._files.rglob("*")):
            if not path.name.endswith("LOCK"):
                inside = path.read_bytes() if path.is_file() else b""  # a cut leaves folders of the engine behind
                place = path.relative_to(self._files).as_posix().encode()
                digest.update(place + b"\0" + hashlib.sha256(inside).digest())
        return json.dumps({"layout": LAYOUT, "stamp": digest.hexdigest()}) + "\n"


def _schema() -> fields.Schema:
    """Return the fields of a document in one language: words arrive cut and folded, joined by spaces."""
    words = fields.TEXT(analyzer=SpaceSeparatedTokenizer(), phrase=False)
    codes = fields.KEYWORD(scorable=False)
    return fields.Schema(
        edition=fields.ID,
        language=fields.ID,
        tier=fields.ID,
        title=words,
        text=words,
        topics=codes,
        chief=fields.ID,
        guessed=codes,
        names=codes,
        shown=fields.STORED,
    )
