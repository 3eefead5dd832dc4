"""What befalls sites and sticks.

One rule: only the place that is struck changes, and the truth is told before and after (`Truth.mishap`).
"""

from __future__ import annotations

import gzip
import shutil
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from sync.bundle import seal_bundle
from sync.canonical import canonical_bytes
from sync.receipt import write_receipt
from sync.statement import author_statement
from tests.simulate.truth import copies_on
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from sync.bundle import Bundle
    from tests.simulate.world import World

BLOCK_BYTES = 512
ROTTING = (
    *(("statements", column) for column in ("header", "body", "salt", "signature", "id")),
    *(("bundles", column) for column in ("header", "signature", "id")),
    ("receipts", "file"),
)


class Mishaps:
    """What may happen to a world, each a move."""

    def __init__(self, world: World) -> None:
        """Take the world."""
        self._world = world
        self._chance = world.chance

    # sites

    def back_up(self) -> None:
        number = self._chance.randrange(len(self._world.camps))
        self._world.backups[number] = self._world.folder / f"backup-{number}"
        self._world.camps[number].back_up(self._world.backups[number])
        self._note(f"camp-{number} is backed up")

    def restore(self) -> None:
        if self._world.backups:
            number = self._chance.choice(sorted(self._world.backups))
            told = self._chance.random() < 0.5
            with self._world.truth.mishap():
                self._world.camps[number].put_back(self._world.backups[number], told=told)
            self._note(f"camp-{number} is put back, {told=}")

    def wipe(self) -> None:
        camp = self._chance.choice(self._world.camps)
        with self._world.truth.mishap():
            camp.wipe()
        self._note(f"{camp.folder.name} is wiped")

    def clone(self) -> None:
        if len(self._world.camps) < self._world.sites + 2:
            camp = self._chance.choice(self._world.camps)
            self._world.camps.append(camp.clone(self._world.folder / f"camp-{len(self._world.camps)}"))
            self._note(f"{camp.folder.name} has a twin")

    def change_software(self) -> None:
        camp = self._chance.choice(self._world.camps)
        camp.change_software(3 - camp.fold)
        self._note(f"{camp.folder.name} now runs version {camp.fold}")

    def rot(self) -> None:
        """A row of a store is no longer what it was; the site is mended and speaks under a new log."""
        camp = self._chance.choice(self._world.camps)
        table, column = self._chance.choice(ROTTING)
        with self._world.truth.mishap():
            lost = camp.rot(table, column, self._chance.random())
        self._note(f"in {camp.folder.name} a {column} of {table} rots: {lost}")

    # the bytes of a stick

    def flip(self) -> None:
        def flipped(data: bytes) -> bytes:
            bit = self._chance.randrange(8 * len(data))
            return data[: bit // 8] + bytes((data[bit // 8] ^ (1 << bit % 8),)) + data[bit // 8 + 1 :]

        self._damage("a bit flips", flipped)

    def cut(self) -> None:
        self._damage("a file is cut", lambda data: data[: self._chance.randrange(len(data))])

    def lengthen(self) -> None:
        self._damage("a file has a stale tail", lambda data: data + self._chance.randbytes(self._chance.randrange(99)))

    def blank(self) -> None:
        def blanked(data: bytes) -> bytes:
            start = BLOCK_BYTES * self._chance.randrange(1 + len(data) // BLOCK_BYTES)
            gone = data[start : start + BLOCK_BYTES]
            return data[:start] + bytes(len(gone)) + data[start + len(gone) :]

        self._damage("a block is zeros", blanked)

    def swap(self) -> None:
        """Two entries point to each other's content."""
        stick = self._chance.choice(self._world.sticks)
        files = [path for path in sorted(stick.rglob("*")) if path.is_file()]
        if len(files) > 1:
            with self._world.truth.mishap():
                one, other = self._chance.sample(files, 2)
                held = one.read_bytes()
                one.write_bytes(other.read_bytes())
                other.write_bytes(held)
            self._note(f"on {stick.name} two files are swapped: {one.name} and {other.name}")

    def _damage(self, what: str, change: Callable[[bytes], bytes]) -> None:
        files = [path for stick in self._world.sticks for path in sorted(stick.rglob("*")) if path.is_file()]
        path = self._chance.choice(files) if files else None
        if path is not None and (data := path.read_bytes()):
            with self._world.truth.mishap():
                path.write_bytes(change(data))
            self._note(f"{what}: {path.name}")

    # what somebody does to a stick

    def strip(self) -> None:
        """Bodies are taken out of a copy, under a name that says so or under one that does not."""
        found = self._any_copy()
        if found is not None:
            path, bundle = found
            kept = [one.without_body() if self._chance.random() < 0.5 else one for one in bundle.statements]
            bare = replace(bundle, statements=tuple(kept))
            name = bare.path.rpartition("/")[2] if self._chance.random() < 0.5 else path.name
            with self._world.truth.mishap():
                path.unlink()
                path.with_name(name).write_bytes(bare.to_bytes())
            self._note(f"a copy is stripped: {path.name} as {name}")

    def shout(self) -> None:
        """A file system shows a folder in capitals."""
        for folder in self._chance.choice(self._world.sticks).glob("tried-ground-*/sites"):
            folder.rename(folder.with_name("SITES"))
            self._note(f"{folder.parent.parent.name} shouts")

    def withhold(self) -> None:
        """Somebody removes what is urgent."""
        stick = self._chance.choice(self._world.sticks)
        with self._world.truth.mishap():
            for folder in stick.glob("tried-ground-*/[sS]*/*/*/urgent"):
                shutil.rmtree(folder)
        self._note(f"{stick.name} loses all that is urgent")

    def lose(self) -> None:
        """A stick is lost, and another takes its place."""
        stick = self._chance.choice(self._world.sticks)
        with self._world.truth.mishap():
            shutil.rmtree(stick)
            stick.mkdir()
        self._note(f"{stick.name} is lost")

    def age(self) -> None:
        """A stick comes back as it was long ago, or is remembered as it is."""
        number = self._chance.randrange(len(self._world.sticks))
        stick, old = self._world.sticks[number], self._world.old_sticks.get(number)
        if old is None:
            self._world.old_sticks[number] = self._world.fresh("old-stick")
            shutil.copytree(stick, self._world.old_sticks[number])
        else:
            with self._world.truth.mishap():
                shutil.rmtree(stick)
                shutil.copytree(old, stick)
            self._note(f"{stick.name} is as it was long ago")

    def lie(self) -> None:
        """A receipt that claims to hold everything, or one of somebody else's log."""
        found = self._any_copy()
        if found is not None:
            path, bundle = found
            liar = self._chance.choice(self._world.camps)
            receipt = write_receipt(
                key=liar.key, network_id=liar.store.network.id, log=bundle.log, counter=99_999_999, follows=(), fold=1,
                held={bundle.log: (99_999_999, 99_999_999)}, set_digest="0" * 64, state_digest="0" * 64,
            )  # fmt: skip
            self._put(path.parents[4] / receipt.path, receipt.to_bytes())
            self._note(f"{liar.letter} lies about {bundle.log}")

    def intrude(self) -> None:
        """A site that nobody has let in leaves bundles, and one that was leaves words of nobody known."""
        found = self._any_copy()
        if found is not None:
            path, _ = found
            insider = self._chance.choice(self._world.camps)
            network_id = insider.store.network.id
            key = self._chance.choice((key_of("site X"), insider.key))
            said = [
                author_statement(
                    key=key_of("X1"), network_id=network_id, kind="garden/recall", body=self._world.text(),
                    salt=self._chance.randbytes(16), previous=None,
                )
                for _ in range(3)
            ]  # fmt: skip
            bundle = seal_bundle(
                key=key, network_id=network_id, log=self._chance.randbytes(8).hex(), lane="urgent", number=7,
                previous="ab" * 32, statements=said,
            )  # fmt: skip
            self._world.truth.foreign.update({one.id: one for one in said})
            self._put(path.parents[4] / bundle.path, bundle.to_bytes())
            self._note(f"a stranger's words come with a bundle of {'X' if key != insider.key else insider.letter}")

    def foresee(self) -> None:
        """A bundle of a version to come: it is neither believed nor removed."""
        found = self._any_copy()
        if found is not None:
            path, bundle = found
            first = {"bundle": {"v": 2, "later": True}, "signature": "?"}
            number = 10_000 + self._chance.randrange(1000)
            name = path.with_name(f"{number:08d}-{self._chance.randbytes(13).hex()}-0.bundle")
            data = gzip.compress(canonical_bytes(first) + b"\nall else differs\n", mtime=0)
            self._put(name, data)
            self._world.truth.newer[name.name] = data
            self._note(f"a bundle of a version to come lies in the log {bundle.log}")

    def clutter(self) -> None:
        """Somebody keeps other things on the stick too."""
        stick = self._chance.choice(self._world.sticks)
        for name in ("holiday.jpg", "tried-ground-notes/x", "receipts/CON", "joining/.trash"):
            folders = sorted(stick.glob("tried-ground-*")) if "/" in name else [stick]
            for folder in folders[:1]:
                self._put(folder / name, self._chance.randbytes(20))

    def _any_copy(self) -> tuple[Path, Bundle] | None:
        network_id = self._world.camps[0].store.network.id
        copies = [copy for stick in self._world.sticks for copy in copies_on(stick, network_id)]
        return self._chance.choice(copies) if copies else None

    def _put(self, path: Path, data: bytes) -> None:
        """Write a file; on a real stick a folder in capitals is the same folder."""
        shouted = Path(str(path).replace("/sites/", "/SITES/"))
        if shouted.parents[3].exists() or shouted.parent.exists():
            path = shouted
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)

    def _note(self, what: str) -> None:
        self._world.log.append(what)
