"""The index: documents in, ranked hits out.

What it is: the one class that the rest of the house speaks to. What it is not: a store of entries, nor a judge of who
may see them.

Its one rule: one writer, and a fresh view for every reader after each writing; the lock is ours, held for the few
milliseconds that a search takes.
"""

from __future__ import annotations

from threading import RLock
from typing import TYPE_CHECKING, Any, Final

from whoosh.index import IndexError as EngineError
from whoosh.index import LockError

from fieldbook.languages import primary
from fieldbook.search.folder import IndexFolder
from fieldbook.search.names import NAME_LANGUAGES, shipped_names_table
from fieldbook.search.question import Question
from fieldbook.search.rows import rows_of
from fieldbook.search.slips import Lexicon
from fieldbook.search.tiers import FOR_READERS, FOR_REVIEWERS
from fieldbook.search.topics import shipped_topic_table
from fieldbook.search.values import Document, Hit, IndexUnusable, SearchError
from fieldbook.search.words import words_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

MAX_HITS: Final = 200
_WRITER_MB: Final = 32  # memory for words not yet written; enough for some thousand documents


class Index:
    """The search of one site.

    Any method may raise ``IndexUnusable``; the caller then hands all documents to ``rebuild`` and asks again.
    """

    def __init__(self, folder: Path, *, key: bytes = b"") -> None:
        """Remember the folder; it is opened at the first search.

        Args:
            folder: A folder that nothing else uses; it need not exist.
            key: A secret of this site, up to 64 bytes, so that an index made elsewhere is never opened.
        """
        self._folder = IndexFolder(folder, key=key)
        self._lock = RLock()
        self._index: Any = None
        self._searcher: Any = None
        self._lexicon = Lexicon(())
        self._languages: frozenset[str] = frozenset()

    def rebuild(self, documents: Iterable[Document]) -> None:
        """Build the index anew from all documents.

        Raises:
            SearchError: It cannot be written (a full disk, a folder that may not be written).
        """
        with self._lock:
            self.close()
            try:
                self._write(self._folder.create(), documents, ())
            except OSError as error:
                raise SearchError(
                    f"the search index cannot be written: {error.strerror or error}",
                    hint="free some space, then rebuild",
                ) from error

    def update(self, documents: Iterable[Document], gone: Iterable[str] = ()) -> None:
        """Take in new or changed documents and forget others.

        Args:
            documents: Each takes the place of the one with the same edition.
            gone: Editions that are no longer to be found.
        """
        with self._lock:
            self._open()
            self._folder.check()  # the writer reads the files again, which may not be what was opened
            try:
                self._write(self._index, documents, gone)
            except (OSError, EngineError, LockError) as error:
                raise IndexUnusable("the search index could not be brought up to date", hint="build it anew") from error

    def search(
        self,
        words: str,
        *,
        language: str | None = None,
        limit: int = 20,
        preferred: Sequence[str] = (),
        readers_only: bool = True,
    ) -> list[Hit]:
        """Return the documents that answer best, in the order in which a reader should see them.

        Args:
            words: As typed, in any language.
            language: Search texts of this language alone; all by default.
            limit: At most this many hits, 1 to 200.
            preferred: Tags of the reader's languages, for the title where a hit was found in several.
            readers_only: False adds, at the end, what only trainers and reviewers may see.

        Raises:
            SearchError: No word to search for, or a limit out of range.
            IndexUnusable: Build it anew.
        """
        if not 1 <= limit <= MAX_HITS:
            raise SearchError(f"{limit} hits were asked for", hint=f"ask for 1 to {MAX_HITS}")
        if not words_of(words):
            raise SearchError("there is no word to search for", hint="write what you see or seek, in your own words")
        with self._lock:
            self._open()
            question = Question.of(words, languages=self._languages, lexicon=self._lexicon)
            tiers = FOR_READERS if readers_only else FOR_REVIEWERS
            return question.hits(self._searcher, tiers=tiers, language=language, limit=limit, preferred=preferred)

    def stamp(self) -> str:
        """What tells this index from any other and from what it was before; empty where there is none.

        Raises nothing; whether the stamp is right is found out when the index is opened.
        """
        return self._folder.stamped()

    def close(self) -> None:
        """Let go of the files."""
        with self._lock:
            for part in (self._searcher, self._index):
                if part is not None:
                    part.close()
            self._searcher = self._index = None

    def _open(self) -> None:
        if self._index is None:
            self._index = self._folder.open()
            self._look_again()

    def _look_again(self) -> None:
        if self._searcher is not None:
            self._searcher.close()
        self._searcher = self._folder.copied(self._index).searcher()
        reader = self._searcher.reader()
        words = {word for name in ("title", "text") for word in reader.field_terms(name) if ":" not in word}
        self._lexicon = Lexicon(words | shipped_names_table().words | shipped_topic_table().words)
        self._languages = frozenset({*NAME_LANGUAGES, *map(primary, reader.field_terms("language"))})

    def _write(self, index: Any, documents: Iterable[Document], gone: Iterable[str]) -> None:
        with index.writer(limitmb=_WRITER_MB) as writer:
            for edition in gone:
                writer.delete_by_term("edition", edition)
            for document in documents:
                writer.delete_by_term("edition", document.edition)
                for row in rows_of(document):
                    writer.add_document(**row)
        self._folder.stamp()
        self._index = index
        self._look_again()
