"""Mending a site whose store has rotted on its disk: what is damaged, the mending, and what is still missing after it.

Not a restore: nothing is brought from elsewhere. Its one rule: what still verifies is kept, what does not is named with
the sites that are known to hold it, and the site speaks under a new log afterwards, since bundles of its own may be
among what is gone.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.ledger import (
    DamagedLedgerError,
    Ledger,
    Mended,
    begin_log_anew,
    key_from_file,
    look_for_damage,
    prepare_mended,
    take_mended,
)
from fieldbook.notebook import Notebook
from fieldbook.site.parts import SiteError, hold_folder

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from pathlib import Path

    from fieldbook.ledger import Damage
    from fieldbook.site.travel import Travel

    Progress = Callable[[str, int, int], None]

NAMED_MAX = 1000  # ids kept in the notebook, so that what comes back can be told; more are only counted
_FACT = "mended"


def _silent(_what: str, _done: int, _of: int) -> None:
    """Tell nobody."""


@dataclass(frozen=True)
class DamagedWords:
    """Signed words that no longer verify.

    Attributes:
        statement: their id; empty where not even that can be read.
        kind: for example ``fieldbook/edition``; empty where it cannot be read.
        title: of the entry that they belong to, by language, as far as it can be read; nothing is believed of it.
        author: letter and number.
        body_only: the signature holds, so that they are kept, and only lack what they say until another site brings it.
        holders: the letters of other sites that are known to hold them.
    """

    statement: str
    kind: str
    title: Mapping[str, str]
    author: str
    body_only: bool
    holders: tuple[str, ...]


@dataclass(frozen=True)
class DamagedPhoto:
    """A photo that is not what its name says; ``stays_home`` where it never left, so that no site can bring it back."""

    file: str
    title: Mapping[str, str]
    holders: tuple[str, ...]
    stays_home: bool = False


@dataclass(frozen=True)
class SiteDamage:
    """What has rotted at a site.

    Attributes:
        sound: how many signed words verify.
        words: those that do not.
        photos: photos that are damaged.
        bundles: how many sealed batches no longer hold; nothing is lost with them.
        problems: what else is wrong, in a sentence each.
    """

    sound: int
    words: tuple[DamagedWords, ...]
    photos: tuple[DamagedPhoto, ...]
    bundles: int
    problems: tuple[str, ...] = ()

    @property
    def is_whole(self) -> bool:
        """True where nothing is wrong."""
        return not (self.words or self.photos or self.bundles or self.problems)

    @property
    def needs_mending(self) -> bool:
        """True where the store has to be made anew; a damaged photo alone is brought again by an exchange."""
        return bool(self.words or self.bundles or self.problems)

    @property
    def returning(self) -> tuple[DamagedWords, ...]:
        """The words that another site is known to hold."""
        return tuple(one for one in self.words if one.holders)

    @property
    def held_alone(self) -> tuple[DamagedWords, ...]:
        """The words that no other site is known to hold: lost, unless a stick has them all the same."""
        return tuple(one for one in self.words if not one.holders)

    def as_document(self) -> dict[str, Any]:
        """The same as JSON."""
        return {
            "sound": self.sound,
            "words": [one.__dict__ | {"title": dict(one.title), "holders": list(one.holders)} for one in self.words],
            "photos": [one.__dict__ | {"title": dict(one.title), "holders": list(one.holders)} for one in self.photos],
            "bundles": self.bundles,
            "problems": list(self.problems),
        }


@dataclass(frozen=True)
class Missing:
    """What a mending left without, and is not here to this day: signed words, words without what they say, photos."""

    words: int
    bare: int
    photos: int
    came_back: int

    @property
    def total(self) -> int:
        """How many of all."""
        return self.words + self.bare + self.photos


def look_at(folder: Path, *, progress: Progress = _silent) -> SiteDamage:
    """What has rotted at a site that is not open, and perhaps cannot be; nothing is changed.

    Raises:
        FieldbookError: there is no store, another process uses it, or nothing in it can be read.
    """
    _require_store(folder)
    with hold_folder(folder):
        notebook = Notebook.open(folder)
        try:
            return _damage(folder, notebook, key_from_file(folder / "site.key").public, progress)
        finally:
            notebook.close()


def mend(folder: Path, *, random: Callable[[int], bytes] = os.urandom, progress: Progress = _silent) -> Mended:
    """Make the store of a site anew from what in it still holds; the next opening makes its view and index anew.

    Args:
        folder: the site's, which no other process uses.
        random: where the id of the new log comes from.
        progress: told what is being done, how much of it is done, and of how much.

    Raises:
        FieldbookError: there is no store, another process uses it, or nothing in it can be read; nothing was changed.
    """
    _require_store(folder)
    with hold_folder(folder):
        notebook = Notebook.open(folder)
        try:
            mended = prepare_mended(folder, progress=progress)
            _put_in_place(folder, notebook, mended, random=random)
        finally:
            notebook.close()
    return mended


def remove_damaged(folder: Path) -> bool:
    """Remove the old file that a mending left beside the new one; False where there is none.

    Raises:
        SiteError: the disk does not do it.
    """
    left = sorted(folder.glob("store.sqlite.damaged*"))
    try:
        for path in left:
            path.unlink()
    except OSError as error:
        raise SiteError(
            f"the old file {left[0]} cannot be removed ({error.strerror})", hint="check the rights of the site's folder"
        ) from error
    return bool(left)


class Mending:
    """The mending of an open site."""

    def __init__(self, site: Travel) -> None:
        """Keep the site."""
        self._site = site

    def look(self, *, progress: Progress = _silent) -> SiteDamage:
        """What has rotted here; a damaged photo is set aside, so that the next exchange brings it again.

        Raises:
            FieldbookError: the site is in no network, or nothing of its store can be read.
        """
        site = self._site
        ledger = site.need_ledger()
        found = _damage(site.folder, site.notebook, site.site_key.public, progress)
        named = {one.statement for one in found.words} | {one.file for one in found.photos}
        problems = [problem for problem in ledger.problems() if problem.partition(":")[0] not in named]
        if found.words or found.bundles:  # these follow from what is named already
            problems = []
        return SiteDamage(found.sound, found.words, found.photos, found.bundles, tuple(problems))

    def mend(self, *, progress: Progress = _silent) -> Mended:
        """Make the store anew; readers may be let in while ``progress`` is told, and nobody may write.

        Raises:
            FieldbookError: nothing in the store can be read, or the disk does not take the new one.
        """
        site = self._site
        ledger = site.need_ledger()
        mended = prepare_mended(site.folder, progress=progress)
        ledger.close()
        try:
            _put_in_place(site.folder, site.notebook, mended, random=site.random)
        finally:
            site.ledger = Ledger.open(site.folder)
        site.rebuild()
        return mended

    @property
    def old_file(self) -> Path | None:
        """The file that was mended, set aside; None where there is none."""
        path = self._site.folder / "store.sqlite.damaged"
        return path if path.exists() else None

    def missing(self) -> Missing | None:
        """What the last mending left without and is still not here; None where nothing was mended."""
        fact, ledger = self._site.notebook.fact(_FACT), self._site.ledger
        if fact is None or ledger is None:
            return None
        words = [one for one in fact["lost"] if ledger.said(one) is None]
        bare = [one for one in fact["bare"] if _lacks_body(ledger, one)]
        photos = [one for one in fact["files"] if ledger.attachment(one) is None]
        all_named = sum(len(fact[name]) for name in ("lost", "bare", "files"))
        return Missing(len(words), len(bare), len(photos), all_named - len(words) - len(bare) - len(photos))


def _lacks_body(ledger: Ledger, statement: str) -> bool:
    with suppress(DamagedLedgerError):
        said = ledger.said(statement)
        return said is None or (said.body is None and not ledger.is_taken_back(statement))
    return True


def _require_store(folder: Path) -> None:
    if not Ledger.exists(folder):
        raise SiteError(f"there is no store in {folder}", hint="check the folder's name, or restore a backup")


def _put_in_place(folder: Path, notebook: Notebook, mended: Mended, *, random: Callable[[int], bytes]) -> None:
    """Let the new store take its place, with a new log; the view goes, since it knows more than is here now."""
    key = key_from_file(folder / "site.key")
    take_mended(folder)
    begin_log_anew(folder, key, random=random)
    named = {name: getattr(mended, name)[:NAMED_MAX] for name in ("lost", "bare", "files")}
    exchanges = int(notebook.fact("exchanges") or 0)
    total = len(mended.lost) + len(mended.bare) + len(mended.files)
    notebook.set_fact(_FACT, {**named, "number": total, "exchanges": exchanges})
    for left in folder.glob("view.sqlite*"):
        left.unlink()


def _damage(folder: Path, notebook: Notebook, own_site: str, progress: Progress) -> SiteDamage:
    found = look_for_damage(folder, own_site=own_site, progress=progress)
    words = tuple(
        DamagedWords(
            one.id,
            one.kind,
            _title_in(one.body),
            found.names.get(one.author, ""),
            one.body_only,
            _letters(found, one.holders),
        )
        for one in found.statements
    )
    photos = [DamagedPhoto(one.id, _title_in(one.body), _letters(found, one.holders)) for one in found.files]
    photos += [DamagedPhoto(one.full, {}, (), stays_home=True) for one in notebook.damaged_home_photos()]
    return SiteDamage(found.sound, words, tuple(photos), len(found.bundles))


def _letters(found: Damage, holders: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(found.names.get(one, one[:8]) for one in holders))


def _title_in(body: Mapping[str, Any] | None) -> dict[str, str]:
    title = (body or {}).get("title")
    pairs = title.items() if isinstance(title, dict) else ()
    return {language: text for language, text in pairs if isinstance(text, str)}
