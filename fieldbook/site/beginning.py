"""How a site begins: its folder, its key, its climate, its network, its people.

Its one rule: a site folder appears whole or not at all; it is built beside its place and moved there at the end.
"""

from __future__ import annotations

import os
import re
import shutil
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.climate.normals import read_normals
from fieldbook.languages import checked_tag
from fieldbook.ledger import Key, Ledger, lock_key, make_key
from fieldbook.notebook import Notebook, Person, write_private_file
from fieldbook.site.backup import sync_folder
from fieldbook.site.parts import SiteError, system_clock
from fieldbook.site.people import check_label, check_passphrase, label_meant
from fieldbook.site.roles import Roles
from fieldbook.site.season import check_climate, place_from_text
from fieldbook.site.starters import write_starters

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    Progress = Callable[[str, int, int], None]

NAME_MAX_CHARACTERS = 80  # a line on an old phone's screen, twice


@dataclass(frozen=True)
class NewSite:
    """What a new site says of itself; all of it stays in its notebook, exactly as given.

    ``latitude_deg`` [°, south negative] and ``elevation_m`` [m] are decimal strings; ``normals`` is the CSV text of
    twelve months; ``watering`` says that there is water for plants outside the rains; ``borrowed_climate`` says whose
    months these are where they are not its own (``Lender.lent_facts``).
    """

    name: str
    letter: str
    latitude_deg: str
    elevation_m: str
    normals: str
    setting: str = "interior"
    languages: tuple[str, ...] = ("en",)
    watering: bool = False
    frost_months: tuple[int, ...] = ()
    salt_water_months: tuple[int, ...] = ()
    borrowed_climate: Mapping[str, Any] | None = None

    def check(self) -> None:
        """Check every fact.

        Raises:
            FieldbookError: one cannot be right; the message says which.
        """
        check_letter(self.letter)
        check_name(self.name)
        for tag in self.languages:
            checked_tag(tag)
        for month in (*self.frost_months, *self.salt_water_months):
            if not 1 <= month <= 12:
                raise SiteError(f"{month} is no month", hint="write months from 1 to 12, with commas")
        place = place_from_text(latitude_deg=self.latitude_deg, elevation_m=self.elevation_m, setting=self.setting)
        check_climate(read_normals(self.normals), place)

    def as_facts(self) -> dict[str, Any]:
        """The facts as the notebook keeps them, by name."""
        return {**self.__dict__, "languages": list(self.languages)}


@dataclass(frozen=True)
class Founding:
    """What founds a network: its title, the first steward's label and passphrase.

    ``starters`` says that the first steward, a trainer too, writes the starter entries as the site's own. A site that
    joins a network takes up none: that network has them, or chose not to.
    """

    title: str
    steward: str
    passphrase: str
    starters: bool = False


@dataclass(frozen=True)
class FirstTrainer:
    """The first person of a site that founds no network: a trainer, with their passphrase."""

    label: str
    passphrase: str


def check_letter(letter: str) -> None:
    """Check that a site's letter is one.

    Raises:
        SiteError: it is not.
    """
    if re.fullmatch(r"[A-Z]", letter) is None:
        raise SiteError(f"{letter!r} is no site letter", hint="choose one capital letter from A to Z")


def check_name(name: str) -> None:
    """Check that a site has a name that fits.

    Raises:
        SiteError: it has not.
    """
    if not name.strip() or len(name) > NAME_MAX_CHARACTERS:
        raise SiteError(
            "the site needs a name", hint="write up to 80 characters, not a place's own name where that can harm"
        )


def check_title(title: str) -> None:
    """Check that a network has a title that fits.

    Raises:
        SiteError: it has not.
    """
    if not title.strip() or len(title) > NAME_MAX_CHARACTERS:
        raise SiteError("the network needs a title", hint="write up to 80 characters")


def begin_site(
    folder: Path,
    facts: NewSite,
    *,
    founding: Founding | None,
    first: FirstTrainer | None = None,
    clock: Callable[[], dt.datetime] = system_clock,
    random: Callable[[int], bytes] = os.urandom,
    progress: Progress | None = None,
) -> None:
    """Make a site in a folder that is not there yet, or is empty.

    Args:
        folder: where.
        facts: what it says of itself.
        founding: found a network with it; without, the site will join one.
        first: where it founds none, the person with whom it begins; None begins with nobody.
        clock: what time the starter entries claim.
        random: where keys come from.
        progress: called with what is being done, how many are done, and of how many.

    Raises:
        FieldbookError: a fact cannot be right, the folder holds something, or the disk is full; nothing is left behind.
    """
    facts.check()
    _check_people(facts, founding, first)
    if not is_vacant(folder):
        raise SiteError(f"there is already something in {folder}", hint="name a folder that is not there yet")
    part = folder.with_name(f".{folder.name}.part")
    shutil.rmtree(part, ignore_errors=True)
    try:
        part.mkdir(parents=True, mode=0o700)
        _fill(part, facts, founding, first, random=random)
        if founding is not None and founding.starters:
            _take_up_starters(part, founding, clock=clock, random=random, progress=progress)
        for inner in (*(path for path in part.rglob("*") if path.is_dir()), part):
            sync_folder(inner)
        if folder.exists():
            folder.rmdir()
        part.rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise SiteError(
            f"the folder {folder} cannot be written ({error.strerror})", hint="check its rights and space"
        ) from error
    finally:
        shutil.rmtree(part, ignore_errors=True)


def is_vacant(folder: Path) -> bool:
    """True where a site can begin in a folder: it is not there yet, or is empty.

    Raises:
        SiteError: it cannot be looked into.
    """
    try:
        return not folder.exists() or (folder.is_dir() and not any(folder.iterdir()))
    except OSError as error:
        raise SiteError(
            f"the folder {folder} cannot be read ({error.strerror})", hint="check its name and rights"
        ) from error


def _check_people(facts: NewSite, founding: Founding | None, first: FirstTrainer | None) -> None:
    if founding is not None:
        check_label(founding.steward, facts.letter)
        check_passphrase(founding.passphrase)
        check_title(founding.title)
    elif first is not None:
        check_label(first.label, facts.letter)
        check_passphrase(first.passphrase)


def _fill(
    part: Path,
    facts: NewSite,
    founding: Founding | None,
    first: FirstTrainer | None,
    *,
    random: Callable[[int], bytes],
) -> None:
    site_key = make_key(random)
    write_private_file(part / "site.key", site_key.seed.hex().encode() + b"\n")
    notebook = Notebook.create(part)
    try:
        for name, value in facts.as_facts().items():
            notebook.set_fact(name, value)
        if founding is not None:
            _found(part, notebook, facts, founding, site_key=site_key, random=random)
        elif first is not None:
            key = make_key(random)
            locked = lock_key(key, first.passphrase, random=random)
            notebook.add_person(Person(first.label, key.public, "trainer", locked))
    finally:
        notebook.close()


def _found(
    part: Path,
    notebook: Notebook,
    facts: NewSite,
    founding: Founding,
    *,
    site_key: Key,
    random: Callable[[int], bytes],
) -> None:
    steward = make_key(random)
    notebook.add_person(
        Person(founding.steward, steward.public, "trainer", lock_key(steward, founding.passphrase, random=random))
    )
    ledger = Ledger.found(
        part,
        title=founding.title,
        site_key=site_key,
        letter=facts.letter,
        name=facts.name,
        steward=steward,
        label=founding.steward,
    )
    ledger.close()


def _take_up_starters(
    part: Path,
    founding: Founding,
    *,
    clock: Callable[[], dt.datetime],
    random: Callable[[int], bytes],
    progress: Progress | None,
) -> None:
    site = Beginning(part, clock=clock, random=random)
    try:
        site.settle()  # the first person is known as a trainer before they write
        say = progress or (lambda *_: None)
        write_starters(site, signer=site.unlock(founding.steward, founding.passphrase), progress=say)
        say("making the search index", 0, 1)
        site.learn_index()
        say("making the search index", 1, 1)
    finally:
        site.close()


class Beginning(Roles):
    """People of a site, and what they sign in with."""

    def add_person(self, label: str, *, role: str, passphrase: str) -> Person:
        """Add a person of this site with a new key under their passphrase.

        Args:
            label: the site's letter and a number.
            role: trainer or volunteer (a reviewer is a trainer whom stewards granted).
            passphrase: what opens the key; it is kept nowhere.

        Raises:
            FieldbookError: the label is taken or wrong, or the passphrase too short.
        """
        label = label_meant(label, self.letter)
        check_label(label, self.letter)
        check_passphrase(passphrase)
        if role not in {"trainer", "volunteer"}:
            raise SiteError(
                f"{role!r} is no role to give here", hint="choose trainer or volunteer; signatories make reviewers"
            )
        self._check_never_given(label)
        key = make_key(self.random)
        person = Person(label, key.public, role, lock_key(key, passphrase, random=self.random))
        self.notebook.add_person(person)
        if self.ledger is not None:
            self.introduce(person)
        return person

    def _check_never_given(self, label: str) -> None:
        """A site that was put back may have introduced people whom its notebook has lost; their labels stay theirs."""
        if self.ledger is None or self.notebook.person(label) is not None:
            return
        said = self.ledger.said_by(self.site_key.public)
        if any(kind == "sync/person" and body.get("name") == label for kind, body in said):
            raise SiteError(
                f"{label} was given to somebody before whose key is not here any more", hint="choose the next number"
            )


def months_from_text(text: str) -> tuple[int, ...]:
    """Read months as ``6,7,8``; empty text is no month.

    Raises:
        SiteError: something in it is no month.
    """
    if not text.strip():
        return ()
    parts: Sequence[str] = text.split(",")
    if not all(part.strip().isascii() and part.strip().isdigit() and 1 <= int(part) <= 12 for part in parts):
        raise SiteError(f"{text!r} is no list of months", hint="write 6,7,8 for June to August")
    return tuple(sorted({int(part) for part in parts}))
