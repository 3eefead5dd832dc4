"""The standing question to two verifiers that share no code: do they say the same of a million spoiled documents?

``python -m tests.sync.agreement --records N --seed S``. One rule: the figures come last, and the exit code is 1 where the
two ever differ.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from random import Random
from typing import TYPE_CHECKING

from tqdm import tqdm

from sync.bundle import parse_bundle
from sync.errors import RemoteError
from sync.network import parse_joining, parse_network
from sync.receipt import parse_receipt
from tests.sync import second_verifier
from tests.sync.mutations import sound_documents, spoiled
from tests.sync.scene import NETWORK

if TYPE_CHECKING:
    from collections.abc import Iterable


def ours_accepts(document: str, data: bytes) -> bool:
    """What the project says of a file."""
    try:
        if document == "network":
            parse_network(data)
        elif document == "joining":
            parse_joining(data, network_id=NETWORK.id)
        elif document == "receipt":
            parse_receipt(data, network_id=NETWORK.id)
        else:
            bundle = parse_bundle(data)
            bundle.verify(NETWORK.id)
            for statement in bundle.statements:
                statement.verify(NETWORK.id)
    except RemoteError:
        return False
    return True


def second_accepts(document: str, data: bytes) -> bool:
    """What the second verifier says of it."""
    try:
        if document == "network":
            second_verifier.check_network(data)
        elif document == "joining":
            second_verifier.check_joining(data, NETWORK.id)
        elif document == "receipt":
            second_verifier.check_receipt(data, NETWORK.id)
        else:
            second_verifier.check_bundle(data, NETWORK.id)
    except second_verifier.RefusedError:
        return False
    return True


def compare(seeds: Iterable[int]) -> tuple[Counter[str], list[str]]:
    """Spoil one document for each seed, ask both; how many were accepted, refused or unspoiled, and where they differ."""
    sound = sound_documents()
    names = list(sound)
    said: Counter[str] = Counter()
    differences: list[str] = []
    for seed in seeds:
        document = names[seed % len(names)]
        data = spoiled(document, sound[document], Random(seed))
        ours, second = ours_accepts(document, data), second_accepts(document, data)
        if ours != second:
            differences.append(f"{document}, seed {seed}: ours says {ours}, the second verifier {second}")
        said["unspoiled" if data == sound[document] else "accepted" if ours else "refused"] += 1
    return said, differences


def main(arguments: list[str] | None = None) -> int:
    """Read the options, compare, print the figures; 0 where the two always agree."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.sync.agreement", description=(__doc__ or "").partition("\n")[0]
    )
    parser.add_argument("--records", type=int, default=10_000, help="how many spoiled documents")
    parser.add_argument("--seed", type=int, default=1, help="of the first of them")
    options = parser.parse_args(arguments)
    seeds = range(options.seed, options.seed + options.records)
    said, differences = compare(tqdm(seeds, disable=not sys.stderr.isatty(), unit="record"))
    print("\n".join(differences) or "no difference")
    print(f"records: {options.records}")
    for word in ("refused", "accepted", "unspoiled"):
        print(f"{word}: {said[word]}")
    print(f"disagreements: {len(differences)}")
    return 1 if differences else 0


if __name__ == "__main__":
    sys.exit(main())
