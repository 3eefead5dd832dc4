"""Mutation testing of the rules that every site must share: change one thing in the code, and some test must notice.

Not a test. ``python -m tests.mutate --count N --seed S`` draws N small changes from the modules that decide what is
valid and who may say what, runs the tests that belong to the changed module against each in a process of its own, and
prints how many were noticed and every one that was not. Its one rule: the files themselves are never written; a changed
module is compiled in memory, in the process that tests it.

A change is what a tired person slips in: another comparison, a negation lost or added, a number off by one, and for or,
a statement left out, an error not raised. Words of messages, annotations and docstrings are left alone.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import importlib.abc
import importlib.util
import os
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from importlib.machinery import ModuleSpec
    from types import CodeType, ModuleType

ROOT = Path(__file__).resolve().parent.parent
LIMIT_S = 300  # a change that makes an endless loop counts as noticed after this, or later on a busy machine
LOOPS_AT = 8  # times as long as without any change
NOTICED, MISSED = 1, 0
UNCHANGED = -1
_CHARTER = (
    *("test_charter_cuts", "test_charter_grants", "test_charter_versions", "test_charter_redactions"),
    *("test_charter_waiting", "test_charter_handing_over", "test_charter_set", "test_charter_every_order"),
    *("test_charter_by_key", "test_chains", "test_charter_held"),
)
# the tests of each room, the quickest and nearest first
TESTS: dict[str, tuple[str, ...]] = {
    "sync/canonical.py": ("test_canonical", "test_statement", "test_vectors"),
    "sync/keys.py": ("test_keys", "test_vectors"),
    "sync/statement.py": ("test_statement", "test_vectors", "test_usual", "test_second_verifier"),
    "sync/bundle.py": ("test_bundle", "test_bundle_limits", "test_vectors", "test_usual", "test_second_verifier"),
    "sync/charter": (*_CHARTER, "test_heartbeats"),
    "sync/intake": (
        "test_intake",
        "test_intake_batches",
        "test_checking",
        "test_mending",
        "test_damage",
        "test_store",
        "test_heartbeats",
        "test_exchange",
    ),
}
_OTHER: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_REFLECTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}


@dataclass(frozen=True)
class Change:
    """One change: the file, which of its changes it is, the line, and what was done, for people."""

    file: str
    number: int
    line: int
    what: str


def changes_of(file: str) -> list[Change]:
    """Every change that can be made in a file, in order of place."""
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return [Change(file, number, line, what) for number, (line, what, _) in enumerate(_possible(tree))]


def changed(change: Change) -> CodeType:
    """The compiled module with this one change."""
    tree = ast.parse((ROOT / change.file).read_text(encoding="utf-8"))
    if change.number != UNCHANGED:
        _, _, do = list(_possible(tree))[change.number]
        do()
    return compile(ast.fix_missing_locations(tree), str(ROOT / change.file), "exec")


_Possible = tuple[int, str, "Callable[[], None]"]


def _possible(tree: ast.Module) -> Iterator[_Possible]:
    """What can be changed in a tree, each with its line, its words, and the deed (which changes this very tree)."""
    for node, parent in _code_nodes(tree):
        if isinstance(node, ast.Compare):
            yield from _comparisons(node)
        elif isinstance(node, ast.BoolOp):
            other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            yield node.lineno, "and/or", lambda node=node, other=other: setattr(node, "op", other)  # type: ignore[misc]
        elif isinstance(node, ast.BinOp) and type(node.op) in _REFLECTED:
            operator = _REFLECTED[type(node.op)]()
            yield node.lineno, "operator", lambda node=node, new=operator: setattr(node, "op", new)  # type: ignore[misc]
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield node.lineno, "not left out", _replacement(parent, node, node.operand)
        elif isinstance(node, ast.Constant) and type(node.value) in {int, bool}:
            yield from _constants(node)
        elif isinstance(node, ast.If | ast.IfExp | ast.While):
            opposite = ast.UnaryOp(ast.Not(), node.test)
            yield node.lineno, "condition turned", lambda node=node, new=opposite: setattr(node, "test", new)  # type: ignore[misc]
        elif isinstance(node, ast.Raise | ast.Expr | ast.Assign | ast.AugAssign | ast.Continue | ast.Break):
            yield node.lineno, f"{type(node).__name__.lower()} left out", _replacement(parent, node, ast.Pass())


def _comparisons(node: ast.Compare) -> Iterator[_Possible]:
    for index, operator in enumerate(node.ops):
        new = _OTHER[type(operator)]()
        words = f"{type(operator).__name__} becomes {type(new).__name__}"
        yield node.lineno, words, lambda node=node, index=index, new=new: node.ops.__setitem__(index, new)  # type: ignore[misc]


def _constants(node: ast.Constant) -> Iterator[_Possible]:
    value = node.value
    new: int = not value if isinstance(value, bool) else int(str(value)) + 1
    yield node.lineno, f"{value!r} becomes {new!r}", lambda: setattr(node, "value", new)


def _replacement(parent: ast.AST, node: ast.AST, new: ast.AST) -> Callable[[], None]:
    def do() -> None:
        for name, value in ast.iter_fields(parent):
            if value is node:
                setattr(parent, name, new)
            elif isinstance(value, list) and any(each is node for each in value):
                value[[each is node for each in value].index(True)] = new

    return do


def _code_nodes(tree: ast.Module) -> Iterator[tuple[ast.AST, ast.AST]]:
    """Every node that runs and is no message, with its parent: no annotations, docstrings, imports for types, words."""
    todo: list[tuple[ast.AST, ast.AST]] = [(child, tree) for child in tree.body if not _is_for_types(child)]
    while todo:
        node, parent = todo.pop(0)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue  # a docstring
        if isinstance(node, ast.JoinedStr | ast.Import | ast.ImportFrom):
            continue
        if isinstance(node, ast.Assign) and isinstance(parent, ast.Module):
            todo += [(node.value, node)]  # a name of the module that is left out breaks every import: too easy
            continue
        yield node, parent
        todo += [(child, node) for name, value in ast.iter_fields(node) for child in _children(name, value)]


def _children(name: str, value: object) -> list[ast.AST]:
    if name in {"annotation", "returns", "decorator_list", "type_params", "bases"}:
        return []
    return [each for each in (value if isinstance(value, list) else [value]) if isinstance(each, ast.AST)]


def _is_for_types(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


# trying a change


class _InMemory(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module from memory and leaves all others alone."""

    def __init__(self, name: str, code: CodeType, *, package: bool) -> None:
        self._name, self._code, self._package = name, code, package

    def find_spec(
        self, name: str, _path: Sequence[str] | None = None, _target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Answer for our module alone."""
        if name != self._name:
            return None
        return importlib.util.spec_from_file_location(
            name, self._code.co_filename, loader=self, submodule_search_locations=None
        )

    def exec_module(self, module: ModuleType) -> None:
        """Run the changed code in place of the file's."""
        exec(self._code, module.__dict__)  # noqa: S102 - this is what a loader does


class Trials:
    """Changes under test, each in a child process, some at once."""

    def __init__(self, *, processes: int, limit_s: float = LIMIT_S) -> None:
        """Begin with none."""
        self._processes = processes
        self._limit_s = limit_s
        self._running: dict[int, tuple[Change, float]] = {}
        self.outcomes: dict[Change, bool] = {}

    def run(self, changes: Sequence[Change], *, end: float) -> None:
        """Try changes in order until the time [s of the monotonic clock] is over; those begun are finished."""
        for change in changes:
            if time.monotonic() > end:
                break
            while len(self._running) >= self._processes:
                self._collect()
            child = os.fork()
            if child == 0:
                os._exit(_test(change))
            self._running[child] = change, time.monotonic()
        while self._running:
            self._collect()

    def _collect(self) -> None:
        time.sleep(0.05)
        for child, (change, started) in list(self._running.items()):
            done, status = os.waitpid(child, os.WNOHANG)
            if not done and time.monotonic() - started < self._limit_s:
                continue
            if not done:
                with contextlib.suppress(ProcessLookupError):
                    os.kill(child, 9)
                os.waitpid(child, 0)
            del self._running[child]
            noticed = not done or os.waitstatus_to_exitcode(status) != MISSED
            self.outcomes[change] = noticed
            if not noticed and change.number != UNCHANGED:
                print(f"unnoticed: {change.file}:{change.line}: {change.what} (number {change.number})", flush=True)


def _test(change: Change) -> int:
    """In the child: load the change, run its tests, say whether any failed."""
    import pytest

    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    name = change.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    try:
        sys.meta_path.insert(0, _InMemory(name, changed(change), package=change.file.endswith("__init__.py")))
        tests = [f"tests/sync/{test}.py" for test in TESTS[_room(change.file)]]
        options = ["-x", "-q", "-p", "no:cacheprovider", "-n0", f"--rootdir={ROOT}"]
        options.append(f"--hypothesis-profile={_busy_profile()}")
        options += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]  # the parent loaded hypothesis before pytest
        return MISSED if pytest.main([*options, *tests]) == pytest.ExitCode.OK else NOTICED
    except BaseException:  # noqa: BLE001 - whatever a changed module breaks, it was noticed
        return NOTICED


def _busy_profile() -> str:
    """On a busy machine, or behind other work, a slow example must not count as a change that was noticed."""
    from hypothesis import HealthCheck, settings

    settings.register_profile("busy", deadline=None, suppress_health_check=list(HealthCheck))
    return "busy"


def _room(file: str) -> str:
    return file if file in TESTS else file.rpartition("/")[0]


def _files() -> list[str]:
    found: list[str] = []
    for room in TESTS:
        path = ROOT / room
        found += [room] if path.is_file() else [p.relative_to(ROOT).as_posix() for p in sorted(path.glob("*.py"))]
    return [file for file in found if not file.endswith("__init__.py")]


def main() -> int:
    """Draw changes, try them, and print what went unnoticed; 1 where less than nine in ten were noticed."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutate", description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=200, help="how many changes to try; 0 tries all")
    parser.add_argument("--seed", type=int, default=1, help="which ones are drawn")
    parser.add_argument("--only", default="", help="only files whose name begins so, for example sync/charter")
    parser.add_argument("--minutes", type=float, default=120, help="stop drawing after so many")
    parser.add_argument("--processes", type=int, default=2, help="how many at once")
    options = parser.parse_args()
    os.chdir(ROOT)
    import cryptography.hazmat.primitives.asymmetric.ed25519  # noqa: F401 - heavy, so loaded once for all
    import hypothesis  # noqa: F401
    import pytest  # noqa: F401

    every = [change for file in _files() if file.startswith(options.only) for change in changes_of(file)]
    drawn = every if options.count == 0 else Random(options.seed).sample(every, min(options.count, len(every)))
    end = time.monotonic() + 60 * options.minutes
    limit_s = max(LIMIT_S, LOOPS_AT * _quiet_seconds(every, processes=options.processes))
    trials = Trials(processes=options.processes, limit_s=limit_s)
    trials.run(drawn, end=end)
    return _report(trials.outcomes, possible=len(every))


def _quiet_seconds(every: Sequence[Change], *, processes: int) -> float:
    """How long the slowest tests take without any change; stop where they fail, since they would notice everything."""
    files = {_room(change.file): change.file for change in every}
    trials, slowest_s = Trials(processes=processes, limit_s=float("inf")), 0.0
    for file in files.values():
        began = time.monotonic()
        trials.run([Change(file, UNCHANGED, 0, "nothing")], end=float("inf"))
        slowest_s = max(slowest_s, time.monotonic() - began)
    loud = [change.file for change, noticed in trials.outcomes.items() if noticed]
    if loud:
        sys.exit(f"the tests of {', '.join(loud)} fail without any change; mend them first")
    return slowest_s


def _report(outcomes: Mapping[Change, bool], *, possible: int) -> int:
    for room in TESTS:
        here = [noticed for change, noticed in outcomes.items() if _room(change.file) == room]
        if here:
            print(f"{room}: {sum(here)} of {len(here)} noticed ({sum(here) / len(here):.0%})")
    noticed = sum(outcomes.values())
    print(
        f"{noticed} of {len(outcomes)} noticed ({noticed / max(1, len(outcomes)):.1%}); {possible} changes are possible"
    )
    return 0 if outcomes and noticed >= 0.9 * len(outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())
