"""Measure, and print a table: ``python -m tests.bench [--only NAME] [--quick] [--markdown]``."""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.bench import (
    bytes_of_changes,
    calendars,
    exchanges,
    floods,
    memory,
    pages,
    process,
    questions,
    rules,
    stops,
    sums,
    taking_in,
)
from tests.bench.figures import FULL, QUICK, SMALLEST, Figure, as_markdown, as_text, seconds
from tests.fast import memory_folder

SUBJECTS = {
    "taking-in": taking_in.measure,
    "bytes": bytes_of_changes.measure,
    "exchanges": exchanges.measure,
    "memory": memory.measure,
    "floods": floods.measure,
    "calendars": calendars.measure,
    "pages": pages.measure,
    "questions": questions.measure,
    "sums": sums.measure,
    "process": process.measure,
    "rules": rules.measure,
    "stops": stops.measure,
}
SIZES = {"full": FULL, "quick": QUICK, "smallest": SMALLEST}


def main(arguments: list[str] | None = None) -> int:
    """Measure what was asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Measure against floors in one run.")
    parser.add_argument("--only", choices=SUBJECTS, action="append", help="one subject; may be said several times")
    parser.add_argument(
        "--quick", dest="size", action="store_const", const="quick", default="full", help="under a minute"
    )
    parser.add_argument("--smallest", dest="size", action="store_const", const="smallest", help="to see that it works")
    parser.add_argument("--markdown", action="store_true", help="print the table as Markdown")
    options = parser.parse_args(arguments)
    figures: list[Figure] = []
    for name in options.only or SUBJECTS:
        started = time.perf_counter()
        print(f"bench: {name} ...", file=sys.stderr, end=" ", flush=True)
        with tempfile.TemporaryDirectory(prefix="bench-", dir=memory_folder()) as folder:
            figures.extend(SUBJECTS[name](Path(folder), SIZES[options.size]))
        print(seconds(time.perf_counter() - started), file=sys.stderr, flush=True)
    print((as_markdown if options.markdown else as_text)(figures))
    return 0


if __name__ == "__main__":
    sys.exit(main())
