"""Signed histories of any length, said and sealed by the real code: what sites have after years of use.

Not garden entries: short reports of the kind that most statements are. One rule: the same seed gives the same history,
and its words fall as those of the starter entries do, so that it packs as real text packs.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from sync import author_statement
from sync.exchange.sealing import begin_log, present_log, seal
from tests.starters import FOLDERS, entry_of, words_in
from tests.sync.camps import Site, circle
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path
    from random import Random

    from sync import Network, SigningKey, Statement
    from sync.bundle import Bundle

PEOPLE = 20
NOTE_WORDS = 40  # a report of 40 words: about 300 bytes of body
ANSWERING = 4  # one report in so many answers an earlier one
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
        self._last: dict[str, str] = {}
        self._said: list[str] = []
        for number in range(2, 2 + people):
            site.introduce(f"{site.letter}{number}", role="volunteer")

    def say(self, count: int) -> list[Statement]:
        """So many reports, signed and not yet in any store."""
        return [self._report(self._keys[number % len(self._keys)]) for number in range(count)]

    def _report(self, key: SigningKey) -> Statement:
        chance = self._site.chance
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


def bundle_files(folder: Path, count: int) -> tuple[Network, list[bytes]]:
    """So many statements of one site as the files that it seals; the network first, and what names its people."""
    site = circle(folder, "C")["C"]
    speakers = Speakers(site)
    keep_and_seal(site, [])
    bundles = keep_and_seal(site, speakers.say(count))
    files = [bundle.to_bytes() for bundle in bundles]
    site.store.close()
    return site.store.network, files
