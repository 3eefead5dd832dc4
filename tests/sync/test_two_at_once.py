"""Two processes on one store, a journal that is gone or foreign."""

from __future__ import annotations

import multiprocessing
import shutil
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import LocalError, check_store
from tests.sync.camps import Site, files_of, meet

if TYPE_CHECKING:
    from pathlib import Path

SAID_BY_EACH = 25
PATIENCE_S = 60


def _say_there(site: Site, seed: int) -> None:
    site.chance = Random(seed)
    site.reopen()
    for number in range(SAID_BY_EACH):
        site.edition(f"{seed} {number}")
    site.store.close()


def test_two_processes_that_write_to_one_store_lose_no_word_of_either(sites: dict[str, Site], stick: Path) -> None:
    """A site is held by one process; a store that is reached by two all the same waits its turn."""
    site = sites["C"]
    before = site.store.count()
    site.store.close()
    del site.store
    fork = multiprocessing.get_context("fork")
    children = [fork.Process(target=_say_there, args=(site, seed)) for seed in (1, 2)]
    for child in children:
        child.start()
    for child in children:
        child.join(PATIENCE_S)
    assert [child.exitcode for child in children] == [0, 0]
    site.reopen()
    assert site.store.count() == before + 2 * SAID_BY_EACH
    assert check_store(site.store) == ()
    meet(stick, *sites.values())


def after_a_crash(site: Site, folder: Path) -> Site:
    """A copy of the site's folder as a crash leaves it: with a journal that is not yet in the file."""
    for number in range(5):
        site.edition(str(number))
    shutil.copytree(site.folder, folder)
    site.store.close()
    twin = Site.__new__(Site)
    twin.__dict__.update(site.__dict__)
    twin.folder = folder
    assert (folder / "store.sqlite-wal").stat().st_size > 0
    return twin


def test_a_store_whose_journal_was_deleted_is_an_older_one_and_heals_from_the_stick(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    """What a tidy person removes: never a silent empty store, and the next stick brings back what was left on it."""
    meet(stick, *sites.values())
    twin = after_a_crash(sites["C"], place / "twin")
    for name in ("store.sqlite-wal", "store.sqlite-shm"):
        (twin.folder / name).unlink()
    twin.reopen()  # what it lacks now is told by the view, which has seen it
    twin.exchange(stick)
    twin.edition("said after the loss")
    meet(stick, twin, sites["T"], sites["L"])


def test_a_store_into_which_the_journal_of_another_was_put_refuses_to_exchange(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    """The salts of the frames lie beside them (SQLite documentation, 'WAL-mode File Format'): SQLite cannot tell."""
    meet(stick, *sites.values())
    before = files_of(stick)
    other = after_a_crash(sites["T"], place / "other")
    site = sites["C"]
    site.store.close()
    shutil.copyfile(other.folder / "store.sqlite-wal", site.folder / "store.sqlite-wal")

    def open_and_exchange() -> None:
        site.reopen()
        site.exchange(stick)

    with pytest.raises(LocalError) as refusal:
        open_and_exchange()
    assert refusal.value.hint
    assert files_of(stick) == before
