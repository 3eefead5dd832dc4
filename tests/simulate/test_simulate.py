"""Whatever happens on the way, in the calm all sites hold the same and nothing acknowledged is lost.

A small share of what ``python -m tests.simulate`` runs; seeds that once failed are run every time.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from sync import Store, check_store
from tests.fast import memory_folder
from tests.simulate import __main__ as command
from tests.simulate.camp import Camp
from tests.simulate.run import Outcome, simulate
from tests.simulate.truth import Fault
from tests.simulate.world import World
from tests.sync.camps import bundles_of, new_stick
from tests.thorough import tried

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sync import Statement

ADD = Store.add
SEEDS = range(1000, tried(1008, 1016))
BATCHES = 4


def require_nothing_wrong(seed: int, sites: int) -> None:
    outcome = simulate(seed, sites=sites, until_silent=command.looks_twice(seed))
    assert outcome.faults == (), f"python -m tests.simulate --runs 1 --sites {sites} --seed {seed} --trace"


@pytest.mark.parametrize("batch", range(BATCHES))
def test_after_any_history_all_sites_hold_one_set_and_nothing_acknowledged_is_lost(batch: int) -> None:
    for seed in SEEDS[batch::BATCHES]:
        require_nothing_wrong(seed, 4)


def test_seeds_that_once_failed_do_so_no_more() -> None:
    for seed, sites in command.kept_seeds():
        require_nothing_wrong(seed, sites)


def test_a_seed_gives_the_same_run_in_every_process() -> None:
    line = "from tests.simulate.run import simulate; print(simulate(5, sites=3).digest)"
    said = {
        subprocess.run(
            [sys.executable, "-c", line], check=True, capture_output=True, env={**os.environ, "PYTHONHASHSEED": number}
        ).stdout
        for number in ("1", "2")
    }
    assert len(said) == 1


# the simulator itself: what it is there to find, it finds


def _forgets_some(store: Store, statements: Sequence[Statement], **parts: Any) -> range:
    rows = ADD(store, statements, **parts)
    for statement in statements:
        if statement.id.startswith(("1", "2", "3")):
            store.shelf.erase(statement.id)
    return rows


def test_a_store_that_forgets_bodies_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sync.Store.add", _forgets_some)
    kinds = {fault.kind for seed in range(3) for fault in simulate(seed, sites=3).faults}
    assert "loss" in kinds


def test_an_exchange_that_reads_text_first_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    from sync.exchange.taking import Taking

    take = Taking.take_lane
    monkeypatch.setattr(Taking, "take_lane", lambda self, lane: take(self, {"urgent": "text", "text": "urgent"}[lane]))
    faults = [fault for seed in range(4) for fault in simulate(seed, sites=3).faults]
    assert any("did not take in" in fault.what for fault in faults)


def test_a_failure_is_printed_with_its_command_kept_and_told_by_the_exit_code(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lost = Outcome((Fault("loss", "camp-1 lacks a recall"),), 0, (), "")
    monkeypatch.setattr(command, "simulate", lambda seed, **_: lost if seed == 8 else Outcome((), 5, (), ""))
    monkeypatch.setattr(command, "SEEDS_FILE", tmp_path / "seeds.txt")
    (tmp_path / "seeds.txt").write_text("# kept\n")
    assert command.main(["--runs", "3", "--sites", "2", "--seed", "7"]) == 1
    said = capsys.readouterr().out
    assert "--runs 1 --sites 2 --seed 8" in said
    assert said.endswith(
        "runs: 3\nruns with a loss: 1\nruns with unequal sets: 0\nruns with unequal states: 0\nruns with another fault: 0\n"
    )
    assert command.kept_seeds() == [(8, 2)]
    assert command.main(["--runs", "1", "--sites", "2", "--seed", "7"]) == 0


@pytest.mark.parametrize("seed", range(2))
def test_any_order_repetition_and_partition_of_the_bundles_gives_one_state(seed: int) -> None:
    """What a history left is dealt out to sticks at random and carried to new sites in different orders."""
    with tempfile.TemporaryDirectory(dir=memory_folder()) as name:
        place = Path(name)
        world = World(place / "world", seed, sites=4)
        for _ in range(8):
            world.write()
            world.recall()
            world.take_back()
            world.stop()
        for camp in world.camps:
            camp.change_software(2)
        for camp in world.camps * 2:
            camp.exchange(world.sticks[0])
        source = world.camps[0]
        whole = new_stick(place, "whole")
        source.exchange(whole)
        found = {_all_of(source)}
        for turn in range(4):
            found.add(_all_of(_dealt(place / f"reader-{turn}", whole, source, chance=Random(seed * 10 + turn))))
        assert len(found) == 1
        for camp in world.camps:
            camp.store.close()


def _all_of(site: Camp) -> tuple[str, ...]:
    return site.store.set_hash(), *site.state_lines(), str(site.store.charter.as_value())


def _dealt(place: Path, whole: Path, source: Camp, *, chance: Random) -> Camp:
    """A new site that was given the files of a stick in several hands, some of them twice."""
    reader = Camp(place / "camp", "S", chance=chance, version=2).found(source.store.network)
    files, hands = bundles_of(whole), chance.randrange(1, 5)
    for round_ in range(hands + 2):
        for hand in chance.sample(range(hands), hands):
            stick = new_stick(place, f"stick-{round_}-{hand}")
            for index, path in enumerate(files):
                if index % hands == hand or chance.random() < 0.2:
                    copy = stick / path.relative_to(whole)
                    copy.parent.mkdir(parents=True, exist_ok=True)
                    copy.write_bytes(path.read_bytes())
            reader.exchange(stick)
    assert check_store(reader.store) == ()
    reader.store.close()
    reader.reopen()
    return reader
