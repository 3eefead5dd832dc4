"""Whole sites for the tests of stores and exchanges: real folders, real stores, real sticks.

Nothing is mocked; chance comes from one seed. One rule: what a test needs from a site it asks of the same front door
that the rooms above use.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, Self

from sync import (
    CarrierError,
    ExchangeReport,
    FolderCarrier,
    Joining,
    KindRule,
    Network,
    SigningKey,
    Statement,
    Store,
    ask_to_join,
    exchange,
    leave_joining,
    read_network,
    write,
)
from sync.bundle import parse_bundle
from tests.sync.charter_scene import SITE_NAMES, network_of
from tests.sync.current import Power, wire
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from sync.carrier import Found, Written
    from sync.exchange import Carrier

KINDS = (
    KindRule("garden/edition", "text", frozenset({"trainer", "reviewer"})),
    KindRule("garden/recall", "urgent", frozenset({"trainer", "reviewer"}), stops=True),
    KindRule("garden/report", "text", frozenset({"volunteer", "trainer", "reviewer", "steward", "site"})),
    KindRule("garden/approval", "text", frozenset({"reviewer"})),
)


class Site:
    """One site: its folder, its key, one trainer, and its open store.

    Attributes:
        kinds: What its software knows.
        fold: The version of its software's fold.
    """

    kinds: tuple[KindRule, ...] = KINDS
    fold = 1

    def __init__(self, folder: Path, letter: str, *, chance: Random) -> None:
        """Name it; `found` or `join` gives it a store."""
        self.folder = folder
        self.letter = letter
        self.chance = chance
        self.key = key_of(f"site {letter}")
        self.trainer = key_of(f"{letter}1")
        self.store: Store
        folder.mkdir(parents=True)

    @property
    def file(self) -> Path:
        return self.folder / "store.sqlite"

    def found(self, network: Network) -> Self:
        """Begin the store of a network that is there already."""
        self.store = Store.create(self.file, network, self.kinds)
        return self

    def join(self, stick: Path) -> Self:
        """Find the network on a stick and ask to join it."""
        carrier = FolderCarrier(stick)
        self.found(read_network(carrier))
        leave_joining(self.store, carrier, site_key=self.key, letter=self.letter, name=SITE_NAMES[self.letter])
        return self

    def wish(self) -> Joining:
        """Wish to join, without a stick to leave the wish on."""
        network_id = self.store.network.id
        wish = ask_to_join(key=self.key, letter=self.letter, name=SITE_NAMES[self.letter], network_id=network_id)
        self.store.papers.keep_joining(wish)
        return wish

    def introduce(self, label: str = "", role: str = "trainer") -> Statement:
        """Name a person of this site, its trainer unless told otherwise."""
        label = label or f"{self.letter}1"
        body = {"key": key_of(label).public, "name": label, "role": role}
        return self.say("sync/person", body, key=self.key)

    def grant(self, letter: str) -> Statement:
        """Grant another site, as its steward."""
        body = {"key": key_of(f"site {letter}").public, "letter": letter, "name": SITE_NAMES[letter], "role": "site"}
        return self.say("sync/grant", body)

    def say(self, kind: str, body: dict[str, Any], *, key: SigningKey | None = None, **parts: Any) -> Statement:
        """Write a statement, the trainer's unless told otherwise."""
        return write(self.store, key=key or self.trainer, kind=kind, body=body, random=self.chance.randbytes, **parts)

    def may_speak(self) -> bool:
        """Whether the trainer has not been stopped, as far as is known here."""
        return self.trainer.public not in self.store.charter.revoked

    def edition(self, text: str = "rows of onions", **parts: Any) -> Statement:
        return self.say("garden/edition", {"text": text}, **parts)

    def exchange(self, stick: Path | Carrier) -> ExchangeReport:
        """Carry a stick through this site."""
        return exchange(
            self.store,
            FolderCarrier(stick) if isinstance(stick, Path) else stick,
            site_key=self.key,
            random=self.chance.randbytes,
            state_lines=self.state_lines,
            fold=self.fold,
        )

    def state_lines(self) -> Iterator[str]:
        """A small fold: what counts, in order."""
        for statement in self.store.statements():
            verdict = self.store.verdict(statement.id)
            if verdict is not None and verdict.state == "accepted":
                yield f"{statement.id} {statement.kind}"

    def back_up(self, place: Path) -> None:
        """Copy the site's folder."""
        self.store.close()
        shutil.rmtree(place, ignore_errors=True)
        shutil.copytree(self.folder, place)
        self.reopen()

    def restore(self, place: Path) -> None:
        """Put the folder back from a copy."""
        self.store.close()
        shutil.rmtree(self.folder)
        shutil.copytree(place, self.folder)
        self.reopen()

    def clone(self, folder: Path) -> Self:
        """A second site of the same key that lives on from here."""
        self.back_up(folder)
        twin = type(self).__new__(type(self))
        twin.__dict__.update(self.__dict__)
        twin.folder = folder
        twin.reopen()
        return twin

    def power(self, at: int, *, database: bool = True) -> Power:
        """Current that fails at a tick, for the database unless told otherwise, and for whatever else ticks."""
        power = Power(at, self._keep_disk)
        if database:
            wire(self.store, power.tick)
        return power

    def come_back(self) -> None:
        """Begin again with what the disk held when the power went, and nothing that was done after it."""
        self.store.close()
        if self._image.exists():
            shutil.rmtree(self.folder)
            self._image.rename(self.folder)
        self.reopen()

    @property
    def _image(self) -> Path:
        return self.folder.with_name(f"{self.folder.name}.image")

    def _keep_disk(self) -> None:
        shutil.copytree(self.folder, self._image, ignore=shutil.ignore_patterns("*-shm"))

    def reopen(self) -> None:
        self.store = Store.open(self.file, self.kinds)


def circle(
    folder: Path, letters: str = "CTL", *, seed: int = 1, granted: bool = True, stewards: Sequence[str] = ("C1",)
) -> dict[str, Site]:
    """Cloudstep, founded by C1 and whoever else, most of whom must agree, and others of its network; none met yet.

    With ``granted`` the others have been granted at Cloudstep, and have named their trainers; without, they only wish to.
    """
    chance = Random(seed)
    network = network_of(*stewards, threshold=len(stewards) // 2 + 1)
    sites = {letter: Site(folder / letter, letter, chance=chance).found(network) for letter in letters}
    for letter, site in sites.items():
        if letter != "C":
            site.wish()
        if granted and letter != "C":
            sites["C"].grant(letter)
        if granted or letter == "C":
            site.introduce()
    return sites


def new_stick(folder: Path, name: str = "stick") -> Path:
    """An empty stick."""
    stick = folder / name
    stick.mkdir(parents=True)
    return stick


def files_of(stick: Path) -> dict[str, tuple[int, bytes]]:
    """Everything on a stick: time of change and content, by name."""
    return {
        path.relative_to(stick).as_posix(): (path.stat().st_mtime_ns, path.read_bytes())
        for path in sorted(stick.rglob("*"))
        if path.is_file()
    }


def bundles_of(stick: Path, lane: str = "*") -> list[Path]:
    """The bundle files on a stick, by name."""
    return sorted(stick.glob(f"tried-ground-*/sites/*/*/{lane}/*.bundle"))


def carry(stick: Path, *sites: Site, rounds: int = 2) -> list[ExchangeReport]:
    """Carry a stick round."""
    return [site.exchange(stick) for _ in range(rounds) for site in sites]


def share_one_set(*sites: Site) -> bool:
    """Whether all hold the same."""
    return len({site.store.set_hash() for site in sites}) == 1


def folder_of(stick: Path) -> Path:
    (folder,) = stick.glob("tried-ground-*")
    return folder


def state_of(site: Site, name: str) -> str | None:
    verdict = site.store.verdict(name)
    return None if verdict is None else verdict.state


def meet(stick: Path, *sites: Site) -> None:
    """Carry a stick round until all know each other and hold the same."""
    carry(stick, *sites, rounds=3)
    assert share_one_set(*sites)


class Watched:
    """A carrier that notes what is read and written, in order."""

    def __init__(self, stick: Path) -> None:
        self.inner = FolderCarrier(stick)
        self.read_names: list[str] = []
        self.written_names: list[str] = []

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[Found]:
        return self.inner.look(folder, wanted=wanted)

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        self.read_names.append(name.partition("/")[2])
        return self.inner.read(name, limit_bytes=limit_bytes)

    def write(self, name: str, data: bytes) -> Written:
        self.written_names.append(name.partition("/")[2])
        return self.inner.write(name, data)

    def remove(self, name: str) -> None:
        self.inner.remove(name)

    def prove(self, written: Iterable[Written], *, failed: Callable[[CarrierError], None]) -> bool:
        return self.inner.prove(written, failed=failed)


def strip(path: Path, *places: int, honest: bool) -> Path:
    """Take bodies out of a copy by their places, under a name that says so or under the old one."""
    bundle = parse_bundle(path.read_bytes())
    bare = replace(
        bundle,
        statements=tuple(
            each.without_body() if index in places else each for index, each in enumerate(bundle.statements)
        ),
    )
    path.unlink()
    place = path.with_name(bare.path.rpartition("/")[2]) if honest else path
    place.write_bytes(bare.to_bytes())
    return place


def three_unseen(sites: dict[str, Site], stick: Path) -> tuple[list[str], Path]:
    """Three editions of C in one bundle that T and L have not seen: their ids in its order, and its file."""
    meet(stick, *sites.values())
    before = set(bundles_of(stick))
    for number in range(3):
        sites["C"].edition(str(number))
    sites["C"].exchange(stick)
    (path,) = set(bundles_of(stick)) - before
    return [each.id for each in parse_bundle(path.read_bytes()).statements], path


class Unreadable(Watched):
    """A stick on which one file cannot be read."""

    def __init__(self, stick: Path, name: str) -> None:
        super().__init__(stick)
        self._name = name

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        if self._name in name:
            raise CarrierError("fault", name)
        return super().read(name, limit_bytes=limit_bytes)
