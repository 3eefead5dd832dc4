"""Signed histories of any length, said and sealed by the real code: what sites have after years of use.

Not garden entries: short reports of the kind that most statements are. One rule: the same seed gives the same history,
and its words fall as those of the starter entries do, so that it packs as real text packs.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sync import FolderCarrier, author_statement, exchange
from sync.exchange.sealing import begin_log, present_log, seal
from tests.starters import FOLDERS, entry_of, words_in
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from random import Random

    from sync import Statement, Store
    from sync.bundle import Bundle
    from sync.exchange.report import Carrier, Progress
    from tests.sync.camps import Site

PEOPLE = 20
NOTE_WORDS = 60  # with its signature a report then takes 170 bytes, if the words are packed by xz
ANSWERING = 4  # one report in so many answers an earlier one
SITTING = 4  # reports that one person writes in a row, on average
_BEGINNING = dt.datetime(2026, 3, 1, 6, 0, tzinfo=dt.UTC)


class Prose:
    """Words in the frequencies of the starter entries' English, drawn by chance."""

    def __init__(self, chance: Random) -> None:
        """Count the words once."""
        texts = (words_in(entry_of(name)) for name in FOLDERS)
        counts = Counter(word for text in texts for word in re.findall(r"\w+", text.lower()))
        self._words = sorted(counts)
        self._weights = list(accumulate(counts[word] for word in self._words))
        self._chance = chance

    def sentence(self, words: int) -> str:
        """So many words."""
        return " ".join(self._chance.choices(self._words, cum_weights=self._weights, k=words)).capitalize() + "."


class Speakers:
    """The people of a site, each of whose statements follows their last."""

    def __init__(self, site: Site, *, people: int = PEOPLE) -> None:
        """Name them at their site."""
        self._site = site
        self._prose = Prose(site.chance)
        self._keys = [key_of(f"{site.letter}{number}") for number in range(2, 2 + people)]
        self._key = self._keys[0]
        self._last: dict[str, str] = {}
        self._said: list[str] = []
        for number in range(2, 2 + people):
            site.introduce(f"{site.letter}{number}", role="volunteer")

    def say(self, count: int) -> list[Statement]:
        """So many reports, signed and not yet in any store."""
        return [self._report() for _ in range(count)]

    def _report(self) -> Statement:
        chance = self._site.chance
        if chance.randrange(SITTING) == 0:
            self._key = chance.choice(self._keys)
        key = self._key
        number = len(self._said)
        answered = chance.choice(self._said) if self._said and number % ANSWERING == 0 else None
        body: dict[str, Any] = {
            "count": str(chance.randrange(60)),
            "note": self._prose.sentence(NOTE_WORDS),
            "week": chance.randrange(1, 53),
        }
        statement = author_statement(
            key=key,
            network_id=self._site.store.network.id,
            kind="garden/report",
            body=body,
            after=[answered] if answered else [],
            previous=self._last.get(key.public),
            time=(_BEGINNING + dt.timedelta(minutes=7 * number)).strftime("%Y-%m-%dT%H:%M:%SZ"),
            salt=chance.randbytes(16),
        )
        self._last[key.public] = statement.id
        self._said.append(statement.id)
        return statement


def keep_and_seal(site: Site, statements: Sequence[Statement]) -> list[Bundle]:
    """Put statements of this site into its store and seal them; the new bundles, in order."""
    store = site.store
    with store.transaction():
        store.add(statements, sealed=False)
    log = present_log(store, site.key.public) or begin_log(store, site.key.public, random=site.chance.randbytes)
    before = {held.row for held in store.bundles.listed()}
    seal(store, key=site.key, log=log)
    return [store.bundles.copy(held.row) for held in store.bundles.listed() if held.row not in before]


def visit(site: Site, carrier: Path | Carrier, *, store: Store | None = None, progress: Progress | None = None) -> None:
    """Carry a stick through a site; the state is left out, since a view keeps its lines ready and does not make them."""
    exchange(
        store or site.store,
        FolderCarrier(carrier) if isinstance(carrier, Path) else carrier,
        site_key=site.key,
        random=site.chance.randbytes,
        state_lines=lambda: (),
        progress=progress,
    )
