"""The invented network of four sites, as tests use it: built once by the functions that people use, copied for each test.

Not a test. Its one rule: nothing is put into a site's folder but by the site itself; time and chance are given, so that
every run is the same.
"""

from __future__ import annotations

import atexit
import datetime as dt
import json
import shutil
import tempfile
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, Self

import pytest

from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.shipped import shipped_text
from fieldbook.site import Founding, NewSite, Signer, Site, begin_site
from tests.fast import memory_folder

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from fieldbook.ledger import ExchangeReport, Key

PLAN: dict[str, Any] = json.loads(shipped_text("seed_entries/demo/network.json"))
FACTS = {facts["letter"]: facts for facts in PLAN["sites"]}
SIGNING = ("C1", "C3", "T1", "L1", "L2", "S1")  # those who sign in tests; opening a key is slow by design
PASSPHRASE = "lantern-gravel-mango-rope"
NOON = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)


def fast_folder() -> Path:
    """A new folder, in memory where there is such a thing; gone when the tests end."""
    folder = Path(tempfile.mkdtemp(prefix="orrendal-", dir=memory_folder()))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def noon() -> dt.datetime:
    """A clock that is right and stands still."""
    return NOON


def site_facts(letter: str) -> NewSite:
    """What a site of the scenario says of itself."""
    facts = FACTS[letter]
    return NewSite(
        name=facts["name"],
        letter=letter,
        latitude_deg=facts["latitude_deg"],
        elevation_m=str(facts["elevation_m"]),
        normals=shipped_text("seed_entries/demo/" + facts["normals"]),
        setting=facts["setting"],
        languages=tuple(facts["languages"]),
        watering=facts["watering"],
        frost_months=tuple(facts["frost_months"]),
        salt_water_months=tuple(facts["salt_water_months"]),
    )


def practice(title: str | dict[str, str] = "Rows of onions", **fields: Any) -> dict[str, Any]:
    """A small entry that no rule finds anything in: every group of facts is known not to be present."""
    titles = {"en": title} if isinstance(title, str) else title
    document = {"kind": "teaching", "title": titles, "facts": {"none": list(FACT_GROUPS), "cautions": []}}
    return document | fields


@dataclass
class Circle:
    """The four sites of one test, open, and the people who sign at them."""

    folder: Path
    keys: dict[str, Key]
    sites: dict[str, Site] = field(default_factory=dict)
    clock: Callable[[], dt.datetime] = noon

    def __getitem__(self, letter: str) -> Site:
        """One open site by its letter."""
        return self.sites[letter]

    @property
    def stick(self) -> Path:
        """The stick that usually travels."""
        return self.new_stick("stick")

    def new_stick(self, name: str = "") -> Path:
        """A stick by its name; empty when it is named for the first time, or where it is not named."""
        sticks = self.folder / "sticks"
        sticks.mkdir(exist_ok=True)
        stick = sticks / (name or f"empty {len(list(sticks.iterdir()))}")
        stick.mkdir(exist_ok=True)
        return stick

    def place(self, letter: str) -> Path:
        """The folder of a site."""
        return self.folder / str(FACTS[letter]["folder"])

    def open(self, letter: str, *, chance: int = 1, clock: Callable[[], dt.datetime] | None = None) -> Site:
        """Open a site, closing it before where it is open."""
        self.shut(letter)
        chances = Random(f"{letter} {chance}")
        self.sites[letter] = Site.open(
            self.place(letter), clock=clock or self.clock, random=chances.randbytes, reserve_bytes=0
        )
        return self.sites[letter]

    def shut(self, letter: str) -> None:
        """Close a site where it is open."""
        if letter in self.sites:
            self.sites.pop(letter).close()

    def close(self) -> None:
        """Close every site."""
        for letter in tuple(self.sites):
            self.shut(letter)

    def __enter__(self) -> Self:
        """Use it for a while."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close every site and remove all folders."""
        self.close()
        shutil.rmtree(self.folder)

    def signer(self, label: str) -> Signer:
        """A person, signed in with the roles that they have now at their own site."""
        site = self.sites[label[0]]
        person = site.notebook.person(label)
        assert person is not None
        return Signer(label, site.roles_of(person), self.keys[label])

    def write(self, label: str, document: dict[str, Any] | None = None, **options: Any) -> str:
        """A person writes an entry at their site; the id of the edition."""
        written = self.sites[label[0]].write(document or practice(), signer=self.signer(label), **options)
        assert written.edition is not None
        return written.edition

    def approve(self, label: str, edition: str, *, answers: dict[str, str] | None = None) -> str:
        """A reviewer approves an edition at their site."""
        return self.sites[label[0]].approve(edition, signer=self.signer(label), answers=answers or {})

    def recall(self, label: str, edition: str) -> str:
        """A reviewer withdraws an entry at their site."""
        return self.sites[label[0]].recall(
            edition, signer=self.signer(label), harm="Two children were sick.", now="Pour it away.", instead="Use soap."
        )

    def carry(self, letters: Sequence[str], stick: Path | None = None) -> list[ExchangeReport]:
        """Carry a stick from site to site."""
        return [self.sites[letter].exchange(stick or self.stick) for letter in letters]

    def states(self, letters: Sequence[str] = "CTLS") -> set[str]:
        """The hashes of the state at these sites, each of which must verify."""
        found = [self.sites[letter].verify() for letter in letters]
        assert [one.problems for one in found] == [()] * len(found)
        return {one.state for one in found}


@cache
def template() -> Circle:
    """The network without entries: four sites, three stewards, two reviewers; closed, never to be changed."""
    circle = Circle(fast_folder(), {})
    for number, letter in enumerate("CTLS"):
        founding = Founding(PLAN["title"], "C1", PASSPHRASE) if letter == "C" else None
        begin_site(
            circle.place(letter), site_facts(letter), founding=founding, random=Random(f"seed {number}").randbytes
        )
        circle.open(letter, chance=0)
    for label in SIGNING:
        site = circle[label[0]]
        if label != "C1":
            site.add_person(label, role="trainer", passphrase=PASSPHRASE)
        circle.keys[label] = site.unlock(label, PASSPHRASE).key
    _join(circle)
    _share_the_stewarding(circle)
    _grant_reviewers(circle)
    circle.close()
    shutil.rmtree(circle.folder / "sticks")
    return circle


def _join(circle: Circle) -> None:
    circle.carry("C")
    asked = [circle[letter].request_join(circle.stick) for letter in "TLS"]
    circle.carry("C")
    for words in asked:
        circle["C"].admit(words, signer=circle.signer("C1"))
    circle.carry("CTLSC")


def _share_the_stewarding(circle: Circle) -> None:
    stewards = [steward(circle, label) for label in PLAN["stewards"]]
    for label in PLAN["stewards"]:
        circle[label[0]].state_stewards(stewards, threshold=PLAN["threshold"], signer=circle.signer(label))
        circle.carry(label[0])
    circle.carry("CTLS")


def steward(circle: Circle, label: str) -> dict[str, str]:
    """A person as a steward is named."""
    return {"key": circle.keys[label].public, "name": label, "site": circle[label[0]].site_key.public}


def _grant_reviewers(circle: Circle) -> None:
    for voice in ("C1", "L1"):
        for label in PLAN["reviewers"]:
            circle[voice[0]].grant_reviewer(
                circle.keys[label].public,
                label,
                circle[label[0]].site_key.public,
                signer=circle.signer(voice),
            )
        circle.carry(voice[0])
    circle.carry("CTLSCTLS")


def copy_of_circle(folder: Path, source: Circle | None = None) -> Circle:
    """A whole network in a folder of its own, all sites open: the one given, closed, or the one without entries."""
    source = source or template()
    shutil.copytree(source.folder, folder, dirs_exist_ok=True)
    circle = Circle(folder, source.keys)
    for letter in "CTLS":
        circle.open(letter)
    return circle


@pytest.fixture
def circle() -> Iterator[Circle]:
    """The network of one test, which changes it as it likes."""
    with copy_of_circle(fast_folder()) as one:
        yield one
