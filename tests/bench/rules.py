"""How long the rules take over many entries, against only reading the same facts out of them."""

from __future__ import annotations

import json
import time
from typing import TYPE_CHECKING

from fieldbook.practices import Entry
from fieldbook.review import RULES, findings_of
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.review.known_drafts import BAD, GOOD
from tests.starters import FOLDERS, entry_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

REPEATS = 3


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Judge starter entries and known drafts, over and over, until there are as many as asked for."""
    documents = [*(entry_of(name) for name in sorted(FOLDERS)), *(draft.entry.document for draft in (*BAD, *GOOD))]
    texts = [json.dumps(documents[n % len(documents)]) for n in range(size.entries)]

    def entries() -> list[Entry]:
        return [Entry(json.loads(text)) for text in texts]

    floor = _least(entries, lambda entry: entry.facts)
    ours = _least(entries, findings_of)
    what = f"{len(RULES)} rules on {number(size.entries)} entries"
    yield Figure(what, f"{seconds(floor)}: reading their facts", seconds(ours), times(ours, floor))


def _least(entries: Callable[[], list[Entry]], work: Callable[[Entry], object]) -> float:
    """The least processor time of several repeats, each on entries that nobody has read yet."""
    found = []
    for _ in range(REPEATS):
        fresh = entries()
        begun = time.process_time()
        for entry in fresh:
            work(entry)
        found.append(time.process_time() - begun)
    return min(found)
