"""The standing command: run many seeds, keep those that fail, and say how each is run again.

One rule: the figures come last, and the exit code is 1 where any of them is not what it must be.
"""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

from tqdm import tqdm

from tests.simulate.run import Outcome, simulate

if TYPE_CHECKING:
    from tests.simulate.truth import Kind

SEEDS_FILE = Path(__file__).with_name("seeds.txt")
SECOND_LOOK_EVERY = 10
FIGURES: dict[Kind, str] = {
    "loss": "runs with a loss",
    "unequal set": "runs with unequal sets",
    "unequal state": "runs with unequal states",
    "other": "runs with another fault",
}


def looks_twice(seed: int) -> bool:
    """Whether a run goes on until all fall silent and everything is looked over."""
    return seed % SECOND_LOOK_EVERY == 0


def kept_seeds() -> list[tuple[int, int]]:
    """The seeds that once failed, each with the number of sites."""
    lines = (line.partition("#")[0].split() for line in SEEDS_FILE.read_text(encoding="utf-8").splitlines())
    return [(int(seed), int(sites)) for seed, sites in filter(None, lines)]


def keep_seed(seed: int, sites: int, what: str) -> None:
    """Add a seed to those that every test run repeats."""
    if (seed, sites) not in kept_seeds():
        with SEEDS_FILE.open("a", encoding="utf-8") as file:
            file.write(f"{seed} {sites}  # {what}\n")


def report(seed: int, sites: int, outcome: Outcome) -> None:
    """Say what went wrong and how to see it again."""
    tqdm.write(f"seed {seed}:")
    for fault in outcome.faults:
        tqdm.write(f"  {fault.kind}: {fault.what}")
    tqdm.write(f"  again: python -m tests.simulate --runs 1 --sites {sites} --seed {seed} --trace")
    keep_seed(seed, sites, outcome.faults[0].what.strip().splitlines()[-1][:100])


def main(arguments: list[str] | None = None) -> int:
    """Read the options, run, and print the figures; 0 where nothing was ever lost or unequal."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulate", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--runs", type=int, default=100, help="how many seeds, one after the other")
    parser.add_argument(
        "--sites", type=int, default=4, help="how many sites a run may have, twins not counted (2 to 24)"
    )
    parser.add_argument("--seed", type=int, default=1, help="the first seed")
    parser.add_argument("--trace", action="store_true", help="print what was done")
    options = parser.parse_args(arguments)
    found: Counter[Kind] = Counter()
    statements = 0
    runs = 0
    seeds = range(options.seed, options.seed + options.runs)
    with contextlib.suppress(KeyboardInterrupt):  # the figures are then those of the runs until now
        for seed in tqdm(seeds, disable=not sys.stderr.isatty(), unit="run"):
            outcome = simulate(seed, sites=options.sites, until_silent=looks_twice(seed))
            runs += 1
            statements += outcome.statements
            if options.trace:
                print("\n".join(outcome.log))
            if outcome.faults:
                report(seed, options.sites, outcome)
                found.update({fault.kind for fault in outcome.faults})
    print(f"statements in the final sets: {statements}")
    print(f"runs: {runs}")
    for kind, words in FIGURES.items():
        print(f"{words}: {found[kind]}")
    return 1 if found or runs < options.runs else 0


if __name__ == "__main__":
    sys.exit(main())
