"""Writing at a site: drafts, photos, publishing an edition.

Publishing an edition *is* offering it; a draft is no statement. Its one rule: everything is read, checked and prepared
before the first byte is written, so that a refused entry leaves nothing behind.
"""

from __future__ import annotations

import json
import re
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.notebook import PhotoToKeep
from fieldbook.photos import PhotoError, prepare_photo
from fieldbook.practices import Entry, read_entry
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.reading import Reading

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from fieldbook.notebook import Draft

ENTRY_FILE_MAX_BYTES = 256 * 1024  # a body may be no larger
PHOTO_FILE_MAX_BYTES = 32 * 1024 * 1024  # what a large camera writes, twice
MAY_LEAVE = frozenset({"none", "covered", "agreed"})


@dataclass(frozen=True)
class PhotoIn:
    """A photo on its way in: its name in the entry, its bytes, who is on it (empty: not said), its file's name."""

    name: str
    data: bytes
    people: str
    file: str = ""


@dataclass(frozen=True)
class Written:
    """What writing led to: an ``edition`` of an ``entry``, or a ``draft``; ``kept_home`` names photos that stay."""

    edition: str | None
    entry: str | None
    draft: str | None
    kept_home: tuple[str, ...]


def read_entry_file(path: Path) -> dict[str, Any]:
    """Read an entry document from a file; decimals keep their exact text.

    Raises:
        SiteError: the file is missing, no plain file, too large, or no JSON object.
    """
    text = read_text_file(path)
    try:
        document = json.loads(text, parse_float=str, parse_constant=_refuse_constant, object_pairs_hook=_each_name_once)
    except RecursionError as error:
        raise SiteError(f"{path.name} is nested too deep", hint="put fewer groups within groups") from error
    except ValueError as error:
        raise SiteError(
            f"{path.name} is no JSON document ({error})", hint="check its commas, quotes and brackets"
        ) from error
    if not isinstance(document, dict):
        raise SiteError(f"{path.name} holds no entry", hint="write the entry as one JSON object with its fields")
    return document


def read_plain_file(path: Path, *, limit_bytes: int) -> bytes:
    """Read a regular file that is no link, up to a limit.

    Raises:
        SiteError: it is missing, a folder, a link or device, too large, or cannot be read.
    """
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise SiteError(f"{path.name} is no plain file", hint="name the file itself, not a link or a folder")
    try:
        with path.open("rb") as file:
            data = file.read(limit_bytes + 1)
    except OSError as error:
        raise SiteError(f"{path} cannot be read ({error.strerror})", hint="check its name and rights") from error
    if len(data) > limit_bytes:
        raise SiteError(f"{path.name} is larger than {limit_bytes // 1024} KiB", hint="make it smaller first")
    return data


def read_text_file(path: Path, *, limit_bytes: int = ENTRY_FILE_MAX_BYTES) -> str:
    """Read a small text file in UTF-8.

    Args:
        path: which.
        limit_bytes: a larger one is refused unread.

    Raises:
        SiteError: it is missing, no plain file, too large, or no text.
    """
    try:
        return read_plain_file(path, limit_bytes=limit_bytes).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SiteError(f"{path.name} is no text in UTF-8", hint="save it again as UTF-8") from error


def photos_beside(document: Mapping[str, Any], folder: Path) -> list[PhotoIn]:
    """The photos that an entry document names by ``file``, read from the folder in which it lies.

    Raises:
        SiteError: a ``file`` is a path, is missing, or is no plain file.
    """
    found = []
    for photo in _named_photos(document):
        if not isinstance(photo.get("file"), str):
            continue
        name = photo["file"]
        if re.search(r"[/\\\0]", name) or name in {"", ".", ".."}:
            raise SiteError(
                f"the photo {name!r} is a path",
                hint="write only the name of a file that lies beside the entry",
            )
        data = read_plain_file(folder / name, limit_bytes=PHOTO_FILE_MAX_BYTES)
        found.append(PhotoIn(str(photo.get("name", name)), data, str(photo.get("people") or ""), name))
    return found


def photo_from_file(path: Path, people: str, *, taken: Iterable[str]) -> PhotoIn:
    """A photo that stands on the command line, under a name that is not taken yet."""
    stem = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-") or "photo"
    used, name, number = set(taken), stem, 2
    while name in used:
        name, number = f"{stem}-{number}", number + 1
    return PhotoIn(name, read_plain_file(path, limit_bytes=PHOTO_FILE_MAX_BYTES), people, path.name)


def _refuse_constant(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def _each_name_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    named = dict(pairs)
    if len(named) < len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(
            f"the name {next(name for name in names if names.count(name) > 1)!r} stands twice in one group"
        )
    return named


def _named_photos(document: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The photos that a document names, as far as they have the form of photos; faults are told when it is read."""
    photos = document.get("photos")
    return [photo for photo in photos if isinstance(photo, dict)] if isinstance(photos, list) else []


class Writing(Reading):
    """Drafts and editions of one site."""

    def write(
        self,
        document: Mapping[str, Any],
        *,
        signer: Signer,
        photos: Sequence[PhotoIn] = (),
        draft: bool = False,
        after: Sequence[str] = (),
        adaptation: bool = False,
        instead_of: Draft | None = None,
    ) -> Written:
        """Write an entry: a draft that stays here, or an edition that is offered for review.

        Args:
            document: the entry's fields as people write them (photos named by ``file``).
            signer: who writes it.
            photos: the files of the photos, by their names in the document; others are added to it.
            draft: keep it in the notebook.
            after: ids of the editions that this one follows or is made from; empty begins an entry.
            adaptation: with ``after``: it begins a new entry, made from those editions.
            instead_of: a draft that this takes the place of; it goes in the same stroke.

        Raises:
            FieldbookError: faults of the entry (all at once), a photo that cannot be used, or no right to write.
        """
        parents = tuple(self.edition_id(text) for text in after)
        body = dict(document)
        if adaptation:
            body["adaptation"] = True
        if body.get("adaptation") is True and not parents:
            raise SiteError(
                "an adaptation needs the edition that it is made from", hint="name the edition with --after"
            )
        _add_photos(body, photos)
        ready = [_prepared(photo) for photo in photos]
        entry = read_entry(body)
        if draft:
            return self._keep_draft(entry, ready, signer, parents, instead_of)
        return self._publish(entry, ready, signer, parents, instead_of)

    def offer(self, name: str, *, signer: Signer) -> Written:
        """Offer a draft for review: it becomes an edition, and the draft is gone.

        Raises:
            FieldbookError: there is no such draft, it is another person's, or it has faults.
        """
        self.finish_offering()
        draft = self.notebook.draft(name)
        if draft.author != signer.label:
            raise SiteError(f"the draft {name} is {draft.author}'s", hint=f"ask {draft.author} to offer it")
        ready = []
        for photo in self.notebook.home_photos(name):
            full, thumb = (self.notebook.home_photo_bytes(digest) for digest in (photo.full, photo.thumb))
            if full is None or thumb is None:
                raise SiteError(
                    f"the photo {photo.name} of {name} is missing here", hint="write the draft again with it"
                )
            ready.append(PhotoToKeep(photo.name, photo.people, full, thumb))
        return self._publish(read_entry(draft.document), ready, signer, draft.parents, draft)

    def _keep_draft(
        self,
        entry: Entry,
        ready: Sequence[PhotoToKeep],
        signer: Signer,
        parents: tuple[str, ...],
        instead_of: Draft | None,
    ) -> Written:
        draft = self.notebook.add_draft(
            author=signer.label,
            document=dict(entry.document),
            parents=parents,
            photos=ready,
            instead_of=instead_of,
        )
        return Written(None, None, draft.name, tuple(photo.name for photo in ready))

    def _publish(
        self,
        entry: Entry,
        ready: Sequence[PhotoToKeep],
        signer: Signer,
        parents: tuple[str, ...],
        draft: Draft | None,
    ) -> Written:
        ledger = self.need_ledger()
        ledger.check_may_say(signer.key, "fieldbook/edition")
        leaving = {photo.name: photo for photo in ready if photo.people in MAY_LEAVE}
        home = [photo for photo in ready if photo.name not in leaving]
        _check_pictures(entry.document, {photo.name for photo in home})
        carried = {file for parent in parents if (said := ledger.said(parent)) is not None for file in said.attachments}
        named = [photo for photo in entry.rows("photos") if photo["name"] not in {one.name for one in home}]
        _check_files(named, set(leaving), carried)
        refs = {
            name: {"ref": ledger.keep_attachment(photo.full), "thumb": ledger.keep_attachment(photo.thumb)}
            for name, photo in leaving.items()
        }
        body = {**entry.document, "photos": [_signed_photo(photo, refs) for photo in named]}
        self.finish_offering()
        with self.notebook.photos_kept(home) as files:
            try:
                edition = ledger.say(
                    signer.key,
                    "fieldbook/edition",
                    body,
                    after=parents,
                    attachments=[photo[part] for photo in body["photos"] for part in ("ref", "thumb")],
                    time=self.claimed_time(),
                    random=self.random,
                    announce=lambda edition: self.notebook.begin_offering(edition, files, draft=draft),
                )
            finally:
                with suppress(FieldbookError):  # where the disk takes no word more, the next opening ends it
                    self.finish_offering()
        self.refresh_view()
        return Written(edition, self.view.entry_of(edition), None, tuple(photo.name for photo in home))

    def finish_offering(self) -> None:
        """End an offering that was begun here, as by a power cut: the edition was said, or it was not."""
        edition = self.notebook.offering()
        if edition is not None:
            self.notebook.end_offering(said=self.need_ledger().said(edition) is not None)


def _prepared(photo: PhotoIn) -> PhotoToKeep:
    try:
        made = prepare_photo(photo.data, name=photo.file or None)
    except PhotoError as error:
        raise SiteError(f"{photo.file or photo.name}: {error.message}", hint=error.hint) from error
    return PhotoToKeep(photo.name, photo.people, made.full, made.thumb)


def _add_photos(body: dict[str, Any], photos: Sequence[PhotoIn]) -> None:
    """Name the photos in the document that are not named there yet, and say who is on each."""
    given = body.get("photos", [])
    if not photos or not isinstance(given, list):
        return
    people = {photo.name: {"people": photo.people} if photo.people else {} for photo in photos}
    names = {photo.get("name") for photo in _named_photos(body)}
    told = [{**one, **people.get(str(one.get("name")), {})} if isinstance(one, dict) else one for one in given]
    added = [{"name": name, "alt": {}, **who} for name, who in people.items() if name not in names]
    body["photos"] = [*told, *added]


def _signed_photo(photo: Mapping[str, Any], refs: Mapping[str, Mapping[str, str]]) -> dict[str, Any]:
    """A photo as it stands in the signed edition: by digest."""
    kept = {name: value for name, value in photo.items() if name != "file"}
    return {**kept, **refs.get(photo["name"], {})}


def _check_files(named: Sequence[Mapping[str, Any]], leaving: set[str], carried: set[str]) -> None:
    for photo in named:
        if photo["name"] not in leaving and not {photo.get("ref"), photo.get("thumb")} <= carried:
            raise SiteError(
                f"the photo {photo['name']} has no file", hint="name a file beside the entry in `file`, or leave it out"
            )


def _check_pictures(body: Mapping[str, Any], home: set[str]) -> None:
    for number, step in enumerate(body.get("steps") or (), start=1):
        if step.get("picture") in home:
            raise SiteError(
                f"step {number} shows the photo {step['picture']}, which stays at this site",
                hint="say who is on it (nobody, covered, or adults who agreed), or take it out of the step",
            )
