"""One simulation from its seed to the calm after it, and what must be true there.

One rule: whatever went wrong comes back as faults, never as a traceback that hides the seed.
"""

from __future__ import annotations

import tempfile
import traceback
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from sync import LocalError, check_store
from sync.store import spilling
from tests.fast import memory_folder
from tests.simulate.mishaps import Mishaps
from tests.simulate.sticks import Medium
from tests.simulate.truth import Fault, FaultError, Kind, copies_on
from tests.simulate.world import World, grant_of
from tests.sync.camps import new_stick
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync.bundle import Bundle
    from tests.simulate.camp import Camp

STEPS = 40
CALM_ROUNDS = 14
KEPT_FEW, KEPT_FEW_EVERY = 3, 3
SOUND = Medium("sound", 0)


@dataclass(frozen=True)
class Outcome:
    """What came of one run.

    Attributes:
        faults: What must never be; empty is good.
        statements: How many the final set holds.
        log: What was done.
        digest: Of the log and the final sets: equal for equal runs.
    """

    faults: tuple[Fault, ...]
    statements: int
    log: tuple[str, ...]
    digest: str


def simulate(seed: int, *, sites: int, until_silent: bool = False) -> Outcome:
    """Run one seed with at most so many sites (twins not counted).

    Args:
        seed: All chance comes from it.
        sites: At least 2.
        until_silent: Whether to go on after all hold the same until nobody writes, look over every store, and let the
            second verifier read what is left; takes half as long again.
    """
    with tempfile.TemporaryDirectory(dir=memory_folder()) as name, _remembering(seed):
        world = World(Path(name), seed, sites=sites)
        try:
            faults = _run(world, until_silent=until_silent)
        except FaultError as error:
            faults = [error.fault]
        except Exception:  # noqa: BLE001 - reported with its traceback, and the command ends with 1; the other seeds go on
            faults = [Fault("other", traceback.format_exc())]
        hashes = [camp.store.set_hash() for camp in world.camps] if not faults else []
        statements = world.camps[0].store.count() if not faults else 0
        for camp in world.camps:
            camp.store.close()
    digest = sha256("\n".join((*world.log, *hashes)).encode()).hexdigest()
    return Outcome(tuple(faults), statements, tuple(world.log), digest)


@contextmanager
def _remembering(seed: int) -> Iterator[None]:
    """Every third seed has next to nothing in memory, so that what else only very many need is walked through too."""
    kept = spilling.KEPT
    spilling.KEPT = KEPT_FEW if seed % KEPT_FEW_EVERY == 0 else kept
    try:
        yield
    finally:
        spilling.KEPT = kept


def _run(world: World, *, until_silent: bool) -> list[Fault]:
    mishaps = Mishaps(world)
    moves: dict[Callable[[], None], float] = {
        world.write: 12, world.recall: 4, world.say_as_newer: 1, world.take_back: 3, world.stop: 1,
        world.allow_again: 1, world.admit: 2, world.join: 1, world.exchange: 22,
        mishaps.back_up: 2, mishaps.restore: 1.5, mishaps.wipe: 0.3, mishaps.clone: 1, mishaps.change_software: 1,
        mishaps.flip: 2, mishaps.cut: 1, mishaps.lengthen: 1, mishaps.blank: 1, mishaps.swap: 1, mishaps.strip: 2,
        mishaps.shout: 1, mishaps.withhold: 0.5, mishaps.lose: 0.3, mishaps.age: 1.5, mishaps.lie: 0.5,
        mishaps.intrude: 1, mishaps.foresee: 1, mishaps.clutter: 0.5, mishaps.rot: 0.7,
    }  # fmt: skip
    for move in world.chance.choices(list(moves), list(moves.values()), k=STEPS):
        move()
    inside = _come_together(world, until_silent=until_silent)
    faults = [*_losses(world, inside), *_inequalities(world, inside), *_leftovers(world)]
    return [*faults, *_second_look(world, inside)] if until_silent and not faults else faults


def _come_together(world: World, *, until_silent: bool) -> list[Camp]:
    """All meet, whoever asks is let in, most change to the newest software, all meet again; those who are inside."""
    _calm(world, world.camps, until_silent=False)
    for camp in world.camps:
        if camp.key.public not in world.camps[0].store.judgement.sites_taken:
            _let_in(world, camp)
    if world.chance.random() < 0.7:
        for camp in world.camps:
            camp.change_software(2)
    taken = world.camps[0].store.judgement.sites_taken
    inside = [camp for camp in world.camps if camp.key.public in taken]
    _calm(world, inside, until_silent=until_silent)
    return inside


def _let_in(world: World, camp: Camp) -> None:
    for other in world.camps:
        try:
            world.truth.note(other.say("sync/grant", grant_of(camp)))
        except LocalError:
            continue
        return


def _calm(world: World, camps: list[Camp], *, until_silent: bool) -> None:
    """Sticks go round undisturbed until all hold the same, or even until a whole round writes nothing."""
    written = [1]
    for _ in range(CALM_ROUNDS):
        if not any(written) or not (until_silent or _unlike(camps)):
            return
        written = [world.carry(camp, stick, SOUND) for stick in world.sticks for camp in camps]
    taken = camps[0].store.judgement.sites_taken
    if all(camp.key.public in taken for camp in camps):
        raise FaultError("other", f"no peace after {CALM_ROUNDS} rounds; still unlike: {_unlike(camps) or 'writing'}")


def _unlike(camps: list[Camp]) -> list[Kind]:
    """In what these differ; what is made of the set may differ between versions of the software."""
    sets = {(camp.store.set_hash(), _files_here(camp)) for camp in camps}
    states = {(camp.fold, "\n".join(camp.state_lines())) for camp in camps}
    versions = {camp.fold for camp in camps}
    unlike: dict[Kind, bool] = {"unequal set": len(sets) > 1, "unequal state": len(states) > len(versions)}
    return [kind for kind, found in unlike.items() if found]


def _files_here(camp: Camp) -> frozenset[str]:
    return frozenset(name for name in camp.store.attachments.ids() if camp.store.names_file(name))


def _inequalities(world: World, inside: list[Camp]) -> Iterator[Fault]:
    for kind in _unlike(inside):
        yield Fault(kind, f"sites differ after all have met: {sorted({camp.folder.name for camp in inside})}")


def _losses(world: World, inside: list[Camp]) -> Iterator[Fault]:
    """Every acknowledged statement is held once by each site, to the byte, with its body and its files."""
    truth, outside = world.truth, [camp for camp in world.camps if camp not in inside]
    elsewhere = {name for camp in outside for name in camp.ids()}
    letters = {camp.key.public for camp in outside}
    elsewhere |= {one.id for _, bundle in _all_copies(world) if bundle.site in letters for one in bundle.statements}
    known = {**truth.foreign, **truth.said}
    for camp in inside:
        held = {one.id: one for one in camp.store.statements()}
        if lost := truth.alive - held.keys() - elsewhere:
            yield Fault("loss", f"{camp.folder.name} lacks {_kinds(world, lost)}")
        if strangers := held.keys() - known.keys():
            yield Fault("other", f"{camp.folder.name} holds what nobody wrote: {sorted(strangers)}")
        if camp.store.count() != len(held):
            yield Fault("other", f"{camp.folder.name} holds a statement twice")
        for one in held.values():
            right = known.get(one.id, one)
            if (one.header_bytes, one.signature) != (right.header_bytes, right.signature):
                yield Fault("other", f"{camp.folder.name} changed the header of a {one.kind}")
            if one.body_bytes is not None and (one.body_bytes, one.salt) != (right.body_bytes, right.salt):
                yield Fault("other", f"{camp.folder.name} changed the body of a {one.kind}")
        bare = {name for name, one in held.items() if one.body_bytes is None}
        if lost := (truth.whole & bare) - truth.taken_back:
            yield Fault("loss", f"{camp.folder.name} lacks the bodies of {_kinds(world, lost)}")
        if left := frozenset(camp.store.judgement.redacted) - bare:
            yield Fault("other", f"{camp.folder.name} keeps the bodies of {_kinds(world, left)}, which are taken back")
        wanted = {name for name in truth.files if camp.store.names_file(name)}
        if lost := {name for name in wanted if not camp.store.attachments.has(name)}:
            yield Fault("loss", f"{camp.folder.name} lacks {len(lost)} attachments")
        if left := frozenset(camp.store.judgement.files_gone).intersection(camp.store.attachments.ids()):
            yield Fault("other", f"{camp.folder.name} keeps {len(left)} attachments that are taken back")


def _kinds(world: World, names: set[str] | frozenset[str]) -> list[str]:
    return sorted(f"{world.truth.said[name].kind} {name[:8]}" for name in names if name in world.truth.said)


def _all_copies(world: World) -> Iterator[tuple[Path, Bundle]]:
    for stick in world.sticks:
        yield from copies_on(stick, world.camps[0].store.network.id)


def _leftovers(world: World) -> Iterator[Fault]:
    if touched := world.truth.newer.keys() - world.truth.newer_found():
        yield Fault("other", f"files of a version to come were touched: {sorted(touched)}")


def _second_look(world: World, inside: list[Camp]) -> Iterator[Fault]:
    """Every store is looked over, what was taken back is nowhere, and another verifier reads what was left."""
    redacted = inside[0].store.redacted()
    for path, bundle in _all_copies(world):
        if any(one.id in redacted and one.body_bytes is not None for one in bundle.statements):
            yield Fault("other", f"a body that was taken back is still on a stick: {path.name}")
    for camp in inside:
        for problem in check_store(camp.store):
            yield Fault("other", f"{camp.folder.name} is not sound: {problem.what} ({problem.where})")
        files = [camp.file, *camp.folder.glob("store.sqlite-*")]  # what `mend` sets aside its owner removes
        data = b"".join(path.read_bytes() for path in files if path.exists())
        for name in sorted(redacted & world.truth.said.keys()):
            body = world.truth.said[name].body_bytes
            if body is not None and body in data:
                yield Fault("other", f"{camp.folder.name} keeps the bytes of a body that was taken back")
    fresh = new_stick(world.folder, "fresh")
    inside[0].exchange(fresh)
    for line in check_carrier(fresh):
        yield Fault("other", f"the second verifier refuses what was left: {line}")
