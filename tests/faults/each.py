"""Every step of every work, with every fault: ``python -m tests.faults.each [WORK ...] [--fault KIND] [--every N]``.

Not part of the suite, which tries a few of the steps at each run; this tries them all (over an hour on two slow cores)
and prints what was said, how often. Its one rule: a step that fails is printed and the run goes on.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import time
from collections import Counter
from typing import TYPE_CHECKING

from tests.faults import aftermath, work
from tests.faults.tracing import Fault, run_under
from tests.orrendal import fast_folder

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from tests.faults.tracing import Call, Outcome
    from tests.faults.work import Scene

KINDS = ("cut", "full", "once")


def steps_of(name: str) -> tuple[Call, ...]:
    """The calls of a work that change something, in order, as it goes without a fault."""
    folder, given = _fresh_copy()
    outcome = run_under(Fault("watch"), folder, work.do, name, given)
    assert outcome.told is not None, f"it fails without a fault: {outcome}"
    shutil.rmtree(folder)
    return outcome.calls


def applies(fault: Fault) -> bool:
    """False where a fault is none: a full disk refuses nothing to what gives space back."""
    freeing = {"unlink", "unlinkat", "rmdir", "fsync", "fdatasync", "chmod", "fchmod", "utimensat"}
    return fault.kind != "full" or fault.calls[fault.at].name not in freeing


def try_step(name: str, fault: Fault) -> Outcome:
    """Let a work meet a fault, and check what is left.

    Raises:
        AssertionError: something is lost, half there, or not said plainly.
    """
    folder, given = _fresh_copy()
    outcome = run_under(fault, folder, work.do, name, given)
    aftermath.check(name, given, outcome)
    shutil.rmtree(folder)
    return outcome


def _fresh_copy() -> tuple[Path, Scene]:
    folder = fast_folder()
    return folder, work.scene().copied(folder)


def _run(name: str, kind: str, every: int) -> tuple[int, int, Counter[str]]:
    calls = steps_of(name)
    said: Counter[str] = Counter()
    tried = failed = 0
    for at in range(0, len(calls), every):
        fault = Fault(kind, calls, at)
        if not applies(fault):
            continue
        tried += 1
        try:
            outcome = try_step(name, fault)
            said["killed" if outcome.killed else outcome.refused or "done"] += 1
        except AssertionError as error:
            failed += 1
            print(f"  {name} {kind} at {at} ({calls[at].line[:110]}): {error}", flush=True)
    return tried, failed, said


def main(words: Sequence[str]) -> int:
    """Try what was asked for and print one line for each sentence that was said."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.each")
    parser.add_argument("works", nargs="*", default=[*work.WORKS])
    parser.add_argument("--fault", choices=KINDS, action="append")
    parser.add_argument("--every", type=int, default=1)
    options = parser.parse_args(words)
    bad = 0
    for name in options.works:
        for kind in options.fault or KINDS:
            started = time.monotonic()
            tried, failed, said = _run(name, kind, options.every)
            bad += failed
            print(f"{name} {kind}: {tried} steps, {failed} failed, {time.monotonic() - started:.0f} s", flush=True)
            for sentence, count in said.most_common():
                print(f"    {count:4} {sentence}", flush=True)
    return bad > 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
