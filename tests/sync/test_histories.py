"""Random histories of whole sites: whatever happens on the way, in the calm all hold the same and nothing is lost."""

from __future__ import annotations

import os
import tempfile
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import RemoteError, check_store
from sync.bundle import Bundle, parse_bundle
from tests.sync.camps import Site, bundles_of, circle, fast_folder, new_stick
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

SEEDS = int(os.environ.get("HISTORIES", "300"))
BATCHES = 20
STEPS = 18
CALM_ROUNDS = 12
LETTERS = "CTLS"


class History:
    """One random history over a few sites and sticks, from one seed.

    Attributes:
        said: Ids of all statements ever written.
        acknowledged: Those that must be in the final set: a restore takes out what it undoes and nobody else has.
        whole: Those of them whose bodies must be there as well, unless they were taken back.
        taken_back: Ids whose bodies may be gone.
    """

    def __init__(self, folder: Path, seed: int) -> None:
        self.chance = Random(seed)
        self.folder = folder
        letters = LETTERS[: self.chance.choice((2, 3, 4))]
        self.sites: list[Site] = list(circle(folder, letters, seed=seed).values())
        self.sticks = [new_stick(folder, f"stick-{number}") for number in range(self.chance.choice((1, 3)))]
        self.said = {one.id for site in self.sites for one in site.store.statements()}
        self.acknowledged = set(self.said)
        self.whole = set(self.said)
        self.taken_back: set[str] = set()
        self.backups: dict[int, Path] = {}

    def run(self) -> None:
        moves: tuple[tuple[Callable[[], None], int], ...] = (
            (self.write, 8),
            (self.exchange, 9),
            (self.take_back, 2),
            (self.stop, 1),
            (self.back_up, 2),
            (self.restore, 2),
            (self.clone, 1),
            (self.flip, 2),
            (self.cut, 2),
            (self.strip, 2),
            (self.shout, 1),
        )
        for move in self.chance.choices([move for move, _ in moves], [weight for _, weight in moves], k=STEPS):
            move()

    def calm(self, *, until_silent: bool) -> None:
        """Sticks go round undisturbed until all sites hold the same, or even until a whole round writes nothing."""
        for _ in range(CALM_ROUNDS):
            written = [site.exchange(stick).left for stick in self.sticks for site in self.sites]
            if not any(written) or not (until_silent or _differences(self.sites)):
                return
        raise AssertionError(f"there is no peace after {CALM_ROUNDS} rounds: {_differences(self.sites) or 'writing'}")

    # what people do

    def write(self) -> None:
        site = self.chance.choice(self.sites)
        for _ in range(self.chance.randrange(1, 4) if site.may_speak() else 0):
            known = [one.id for one in site.store.statements() if one.kind.startswith("garden/")]
            kind = self.chance.choice(("garden/edition", "garden/edition", "garden/recall", "garden/report"))
            files = [site.store.attachments.put(self.chance.randbytes(40))] if self.chance.random() < 0.2 else []
            after = self.chance.sample(known, min(len(known), self.chance.choice((0, 1, 1, 2))))
            self.note(site.say(kind, {"text": self.chance.randbytes(8).hex()}, after=after, attachments=files).id)

    def take_back(self) -> None:
        """A trainer takes back their own edition; the steward, anybody's."""
        site = self.chance.choice(self.sites)
        editions = [one for one in site.store.statements() if one.kind == "garden/edition"]
        may = [one.id for one in editions if site.letter == "C" or one.author == site.trainer.public]
        if may and site.may_speak():
            target = self.chance.choice(may)
            self.taken_back.add(target)
            self.note(site.say("sync/redaction", {}, after=[target]).id)

    def stop(self) -> None:
        """The steward stops a trainer, from some statement on or from the first."""
        stewards = [site for site in self.sites if site.letter == "C"]
        trainers = [site.trainer.public for site in self.sites if site.letter != "C"]
        if trainers and self.chance.random() < 0.5:
            site, key = self.chance.choice(stewards), self.chance.choice(trainers)
            known = [one.id for one in site.store.statements() if one.author == key]
            last = self.chance.sample(known, min(len(known), self.chance.randrange(2)))
            self.note(site.say("sync/revocation", {"key": key, "last": last}).id)

    def note(self, name: str) -> None:
        for names in (self.said, self.acknowledged, self.whole):
            names.add(name)

    def exchange(self) -> None:
        self.chance.choice(self.sites).exchange(self.chance.choice(self.sticks))

    # what befalls a site

    def back_up(self) -> None:
        number = self.chance.randrange(len(self.sites))
        self.backups[number] = self.folder / f"backup-{number}"
        self.sites[number].back_up(self.backups[number])

    def restore(self) -> None:
        if self.backups:
            number = self.chance.choice(sorted(self.backups))
            before, before_whole = _held([self.sites[number]])
            self.sites[number].restore(self.backups[number])
            after, after_whole = _held(self.sites)
            copies = [one for _, bundle in self.sound_copies() for one in bundle.statements]
            self.acknowledged -= before - after - {one.id for one in copies}
            self.whole -= before_whole - after_whole - {one.id for one in copies if one.body_bytes is not None}

    def clone(self) -> None:
        if len(self.sites) < len(LETTERS):
            self.sites.append(self.chance.choice(self.sites).clone(self.folder / f"twin-{len(self.sites)}"))

    # what befalls a stick: never the last copy of anything, which nobody could promise to survive

    def flip(self) -> None:
        self.damage(lambda data: _flipped(data, self.chance.randrange(8 * len(data))))

    def cut(self) -> None:
        self.damage(lambda data: data[: self.chance.randrange(len(data))])

    def damage(self, change: Callable[[bytes], bytes]) -> None:
        files = [path for stick in self.sticks for path in sorted(stick.rglob("*")) if path.is_file()]
        if files:
            path = self.chance.choice(files)
            data = path.read_bytes()
            if data and self.is_held(path):
                path.write_bytes(change(data))

    def strip(self) -> None:
        """Bodies are taken out of a copy, under a name that says so or under one that does not."""
        copies = [(path, bundle) for path, bundle in self.sound_copies() if self.is_held(path)]
        if copies:
            path, bundle = self.chance.choice(copies)
            kept = [one.without_body() if self.chance.random() < 0.5 else one for one in bundle.statements]
            bare = replace(bundle, statements=tuple(kept))
            path.unlink()
            name = bare.path.rpartition("/")[2] if self.chance.random() < 0.5 else path.name
            path.with_name(name).write_bytes(bare.to_bytes())

    def shout(self) -> None:
        """A file system shows a folder in capitals."""
        for folder in self.chance.choice(self.sticks).glob("tried-ground-*/sites"):
            folder.rename(folder.with_name("SITES"))

    def sound_copies(self) -> Iterator[tuple[Path, Bundle]]:
        for stick in self.sticks:
            for path in sorted(stick.glob("tried-ground-*/[sS]*/*/*/*/*.bundle")):
                bundle = _parsed(path)
                if bundle is not None:
                    yield path, bundle

    def bodies_left_behind(self) -> set[str]:
        """The ids of statements taken back whose bodies are still on a stick."""
        redacted = self.sites[0].store.redacted()
        copies = [one for _, bundle in self.sound_copies() for one in bundle.statements]
        return {one.id for one in copies if one.body_bytes is not None and one.id in redacted}

    def is_held(self, path: Path) -> bool:
        """Whether a site holds all that is in a file."""
        if path.suffix == ".bundle":
            bundle = _parsed(path)
            inside = set() if bundle is None else {one.id for one in bundle.statements}
            return inside <= _held(self.sites)[1] | self.taken_back
        if path.parent.parent.name == "attachments":
            return any(site.store.attachments.has(path.name) for site in self.sites)
        return True


def _held(sites: list[Site]) -> tuple[set[str], set[str]]:
    """The ids that any of these sites holds, and those of them with a body."""
    held = [row for site in sites for row in site.store.shelf.ids_with_body()]
    return {name for name, _ in held}, {name for name, here in held if here}


def _parsed(path: Path) -> Bundle | None:
    try:
        return parse_bundle(path.read_bytes())
    except RemoteError:
        return None


def _flipped(data: bytes, bit: int) -> bytes:
    return data[: bit // 8] + bytes((data[bit // 8] ^ (1 << bit % 8),)) + data[bit // 8 + 1 :]


def _differences(sites: list[Site]) -> list[str]:
    """In what any two of these sites differ."""
    looks: dict[str, Callable[[Site], object]] = {
        "set": lambda site: site.store.set_hash(),
        "state": lambda site: tuple(site.state_lines()),
        "files": lambda site: site.store.files_named().intersection(site.store.attachments.ids()),
    }
    return [name for name, look in looks.items() if len({look(site) for site in sites}) > 1]


def check(history: History, *, every_store: bool) -> None:
    """What must hold after any history; every store is looked over, or one drawn by lot."""
    ids, whole = _held(history.sites)
    assert history.acknowledged <= ids, "a statement that was acknowledged is lost"
    assert ids <= history.said, "a statement is held that nobody wrote"
    assert history.whole <= whole | history.taken_back, "a body is lost"
    assert _differences(history.sites) == []
    for site in history.sites if every_store else history.chance.sample(history.sites, 1):
        assert check_store(site.store) == (), "a store is not sound"


def replay(seed: int, *, second_look: bool) -> None:
    """Run one history and check it.

    With a second look the sites go on until they fall silent, and a verifier that shares no code reads what they left.
    """
    with tempfile.TemporaryDirectory(dir=fast_folder()) as name:
        history = History(Path(name), seed)
        history.run()
        history.calm(until_silent=second_look)
        check(history, every_store=second_look)
        if second_look:
            assert history.bodies_left_behind() == set(), "a body that was taken back is still on a stick"
            fresh = new_stick(Path(name), "fresh")
            history.sites[0].exchange(fresh)
            assert check_carrier(fresh) == []
        for site in history.sites:
            site.store.close()


@pytest.mark.parametrize("batch", range(BATCHES))
def test_after_any_history_all_sites_hold_one_set_and_nothing_acknowledged_is_lost(batch: int) -> None:
    """Write, exchange, take back, stop, back up, restore, clone, flip, cut, strip; then calm."""
    for seed in range(batch, SEEDS, BATCHES):
        print(f"history of seed {seed}")  # shown with a failure: `replay` of it does the same again
        replay(seed, second_look=seed % 10 == 0)


@pytest.mark.parametrize("seed", range(6))
def test_any_order_repetition_and_partition_of_the_bundles_gives_one_state(seed: int) -> None:
    """What a history left is dealt out to sticks at random and carried to new sites in different orders."""
    with tempfile.TemporaryDirectory(dir=fast_folder()) as name:
        place = Path(name)
        history = History(place / "history", 1000 + seed)
        history.run()
        history.calm(until_silent=True)
        source = history.sites[0]
        whole = new_stick(place, "whole")
        source.exchange(whole)
        files = bundles_of(whole)
        found = set()
        for turn in range(4):
            reader = Site(place / f"reader-{turn}", "S", chance=history.chance).found(source.store.network)
            hands = history.chance.randrange(1, 5)
            for round_ in range(hands + 2):
                for hand in history.chance.sample(range(hands), hands):
                    stick = new_stick(place, f"{turn}-{round_}-{hand}")
                    for index, path in enumerate(files):
                        if index % hands == hand or history.chance.random() < 0.2:
                            copy = stick / path.relative_to(whole)
                            copy.parent.mkdir(parents=True, exist_ok=True)
                            copy.write_bytes(path.read_bytes())
                    reader.exchange(stick)
            found.add((reader.store.set_hash(), tuple(reader.state_lines()), str(reader.store.charter.as_value())))
            assert check_store(reader.store) == ()
            reader.store.close()
        assert found == {(source.store.set_hash(), tuple(source.state_lines()), str(source.store.charter.as_value()))}
        for site in history.sites:
            site.store.close()
