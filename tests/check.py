"""One word for contributors: format, lint, types, import contracts, tests, in that order.

Not a build and not a test: it runs the tools that the project already names in pyproject.toml, stops at the first that
objects and says what to do. Its one rule: a person and a machine run exactly the same line,
``python -m tests.check`` (``--fix`` lets the formatter and the linter repair what they can first).
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TEST_PROCESSES = "2"  # as many as the smallest machine that we test on has cores

# import-linter has no ``python -m`` of its own, and a script's folder need not be on the path; its cache goes by file
# times and can keep a graph that was read while files were being written
_CONTRACTS = "from importlinter.cli import lint_imports_command; lint_imports_command(['--no-cache'])"


@dataclass(frozen=True)
class Step:
    """One tool: what it looks at, how Python runs it, and what to do when it objects."""

    name: str
    arguments: tuple[str, ...]
    hint: str


STEPS = (
    Step("format", ("-m", "ruff", "format", "--check", "."), "run `python -m tests.check --fix`"),
    Step("lint", ("-m", "ruff", "check", "."), "mend what is listed; `--fix` mends the simple ones"),
    Step("types", ("-m", "mypy"), "mend the types that are listed"),
    Step("contracts", ("-c", _CONTRACTS), "imports flow down only: see the layers in pyproject.toml"),
    Step("tests", ("-m", "pytest", "-n", TEST_PROCESSES), "the name of a failed test is the promise that broke"),
)
REPAIRS = (
    Step("repair lint", ("-m", "ruff", "check", "--fix-only", "--exit-zero", "."), ""),
    Step("repair format", ("-m", "ruff", "format", "."), ""),
)


def run_steps(steps: tuple[Step, ...]) -> int:
    """Run the steps in order until one objects; return its exit code, 0 when all agree."""
    for step in steps:
        print(f"== {step.name}", flush=True)
        started = time.monotonic()
        code = subprocess.run([sys.executable, *step.arguments], cwd=ROOT, check=False).returncode
        if code:
            seconds = time.monotonic() - started
            print(f"check: stopped at {step.name} after {seconds:.0f} s; {step.hint}", file=sys.stderr, flush=True)
            return code
    return 0


def main() -> int:
    """Read the one option and run every step."""
    parser = argparse.ArgumentParser(prog="python -m tests.check", description="Run every check of the project.")
    parser.add_argument("--fix", action="store_true", help="first let the formatter and the linter repair")
    return run_steps((REPAIRS if parser.parse_args().fix else ()) + STEPS)


if __name__ == "__main__":
    sys.exit(main())
