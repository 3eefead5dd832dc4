"""A machine whose memory runs out in the middle of a work: nothing is lost, and a person is told in one sentence."""

from __future__ import annotations

import multiprocessing
import resource
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from fieldbook.cli.run import REFUSED, run
from fieldbook.errors import FieldbookError
from tests.faults import aftermath, work
from tests.faults.tracing import Outcome
from tests.orrendal import fast_folder

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from tests.faults.work import Scene

KIB = 1024
PATIENCE_S = 60


def _work_with(line: Connection, name: str, given: Scene, more_kib: int) -> None:
    """The child: so much more memory than it has already, and no more."""
    size = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (size + more_kib * KIB, resource.RLIM_INFINITY))
    try:
        answer: tuple[str | None, str | None, str] = (work.do(name, given), None, "")
    except FieldbookError as error:
        answer = (None, error.message, error.hint)
    except MemoryError:
        answer = (None, None, "")
    resource.setrlimit(resource.RLIMIT_AS, (resource.RLIM_INFINITY,) * 2)
    line.send(answer)


@pytest.mark.parametrize(("name", "more_kib"), [("exchange", 2_000), ("exchange", 7_000), ("approve", 300)])
def test_where_memory_runs_out_nothing_is_lost_and_the_next_try_succeeds(name: str, more_kib: int) -> None:
    folder = fast_folder()
    given = work.scene().copied(folder)
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.faults.work"])
    here, there = context.Pipe()
    child = context.Process(target=_work_with, args=(there, name, given, more_kib))
    child.start()
    there.close()
    try:
        told, refused, hint = here.recv()
    except EOFError:  # it could not even say so
        told, refused, hint = None, None, ""
    child.join(PATIENCE_S)
    aftermath.check(name, given, Outcome(told, refused, hint, ()))
    shutil.rmtree(folder)


def test_a_command_whose_memory_runs_out_says_so_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def no_room(_options: object) -> int:
        raise MemoryError

    monkeypatch.setattr("fieldbook.cli.verbs.WITHOUT_SITE", {"compute": no_room})
    assert run(["compute", "load", "--describe"]) == REFUSED
    assert "too little memory" in capsys.readouterr().err
