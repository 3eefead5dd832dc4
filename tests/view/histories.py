"""Random histories of a whole network: what people, stewards, newer software and liars may say, one move after another.

All of it is said at one site, by everybody's key, so that the order of arrival elsewhere can be chosen freely. Its one
rule: a move that the ledger refuses is left out, never forced; what no door of ours would let out (unknown kinds, bodies
without form) goes in by the door for bundles.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

import sync
from fieldbook.practices import likenesses
from sync.bundle import seal_bundle
from sync.intake import Intake
from tests.orrendal import Circle, practice, steward

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path
    from random import Random

    from fieldbook.site import Signer, Site
    from sync import Statement

SAYINGS = (
    "Soak dry leaves in smoke water for one night, and pour it on the kale.",
    "Plant onions in rows a hand apart, and water them in the evening.",
)
WRITERS = ("C1", "C3", "T1", "L1", "L2", "S1")
REVIEWERS = ("C3", "L2")
APPROVED: dict[str, Any] = {"rules": "2026-11", "findings": [], "answers": {}, "limits": []}
SECOND_WORD = {"role": "vet", "words": "The hens are well.", "on": "2026-11-20"}
FORMLESS: tuple[dict[str, Any], ...] = (
    {},
    {"title": 3},
    {"title": {"en": ["onions"]}, "kind": 5, "topics": 7, "photos": "none"},
    {"title": "onions", "summary": [], "taxa": {"names_ref": "hen"}, "local_names": 1, "kind": {"en": "x"}},
    {"kind": "teaching", "title": {"en": "Onions"}, "adaptation": "yes", "topics": {"a": 1}, "photos": [{"thumb": 4}]},
    {"kind": "teaching", "title": {"a_tag": "Onions"}, "summary": {"pt-br": "Onions", "x": "Onions"}},
    {"harm": [], "instead": {"en": 1}, "on": "yes", "reason": 7, "answers": 1, "findings": {}, "second_word": 1},
)


@dataclass(frozen=True)
class Move:
    """One move: what is done, and three numbers that choose who does it, to what."""

    what: str
    who: int
    first: int
    second: int


class History:
    """A network in which moves are made at one site."""

    def __init__(self, circle: Circle) -> None:
        """Start at Cloudstep."""
        self.circle = circle
        self.site: Site = circle["C"]
        assert self.site.ledger is not None
        self.ledger = self.site.ledger
        self.store = self.ledger._store
        self.before = frozenset(one.id for one in self.store.statements())
        self.editions: list[str] = []
        self.decisions: list[str] = []
        self.recalls: list[str] = []
        self.revocations: list[str] = []
        self._stewards = [steward(circle, label) for label in ("C1", "L1", "S1")]

    def make(self, move: Move) -> None:
        """Make a move; one that may not be made changes nothing."""
        try:
            MOVES[move.what](self, move)
        except sync.LocalError:
            return
        finally:
            self.site.refresh()

    def said(self) -> list[Statement]:
        """All that was said since the beginning."""
        return [one for one in self.store.statements() if one.id not in self.before]

    def say(self, label: str, kind: str, body: dict[str, Any], **parts: Any) -> str:
        key = self.circle.keys.get(label, self.site.site_key)
        return sync.write(self.store, key=key, kind=kind, body=body, random=self.site.random, **parts).id

    def slip_in(self, label: str, kind: str, body: dict[str, Any], *, after: Sequence[str] = ()) -> str:
        """Put in what no door of ours would let out."""
        key = self.circle.keys[label]
        statement = sync.author_statement(
            key=key,
            network_id=self.store.network.id,
            kind=kind,
            body=body,
            after=after,
            previous=self.store.last_of(key.public),
            salt=self.site.random(16),
        )
        Intake(self.store).take_alone(statement)
        return statement.id

    def edition(self, number: int) -> str:
        if not self.editions:
            self.write(Move("begin", number, 0, 0))
        return self.editions[number % len(self.editions)]

    def write(self, move: Move, *, after: Sequence[str] = (), **fields: Any) -> None:
        label = WRITERS[move.who % len(WRITERS)]
        steps = {"steps": [{"say": {"en": SAYINGS[move.first % len(SAYINGS)]}}]} if move.second % 2 else {}
        document = practice(f"Onions {len(self.editions)}", **steps, **fields)
        self.editions.append(self.say(label, "fieldbook/edition", document, after=sorted(set(after))))

    def decide(self, move: Move, kind: str, body: dict[str, Any], *, who: Sequence[str] = REVIEWERS) -> None:
        target = self.edition(move.first)
        answered = self.decisions[-1 - move.second % 3 :] if move.second % 2 else []
        label = who[move.who % len(who)]
        self.decisions.append(self.say(label, kind, body, after=sorted({target, *answered})))


def _begin(history: History, move: Move) -> None:
    history.write(move)


def _next(history: History, move: Move) -> None:
    history.write(move, after=[history.edition(move.first)])


def _adapt(history: History, move: Move) -> None:
    history.write(move, after=[history.edition(move.first)], adaptation=True)


def _merge(history: History, move: Move) -> None:
    history.write(move, after=[history.edition(move.first), history.edition(move.second)])


def _approve(history: History, move: Move) -> None:
    history.decide(
        move, "fieldbook/approval", APPROVED | ({"second_word": SECOND_WORD} if move.second % 3 == 0 else {})
    )


def _send_back(history: History, move: Move) -> None:
    history.decide(move, "fieldbook/sent-back", {"reason": "Say how much water."}, who=WRITERS)


def _retire(history: History, move: Move) -> None:
    history.decide(move, "fieldbook/retirement", {"reason": "There is a better way."})


def _hold(history: History, move: Move) -> None:
    history.decide(move, "fieldbook/hold", {"on": move.second % 4 < 2, "reason": "A hen died."}, who=WRITERS)


def _recall(history: History, move: Move) -> None:
    after = [history.edition(move.first)]
    body: dict[str, Any] = {"harm": "Two children were sick.", "instead": "Use soap."}
    named = history.store.get(after[0])
    if named is not None and (marks := likenesses(named.body)):
        body["likenesses"] = sorted(marks)
    history.recalls.append(history.say(REVIEWERS[move.who % 2], "fieldbook/recall", body, after=after))


def _lift(history: History, move: Move) -> None:
    if history.recalls:
        after = {history.recalls[move.second % len(history.recalls)], *history.editions[: 1 + move.first % 4]}
        for label in ("C3", "S1", "L2")[move.who % 2 :][:2]:
            history.say(label, "fieldbook/lifting", {"reason": "It was the soap."}, after=sorted(after))


def _formless(history: History, move: Move) -> None:
    body = FORMLESS[move.second % len(FORMLESS)]
    kind = ("edition", "approval", "recall", "lifting", "hold", "sent-back", "retirement", "site")[move.who % 8]
    name = history.slip_in("L2", f"fieldbook/{kind}", body, after=[history.edition(move.first)] if move.who else [])
    if kind == "edition":
        history.editions.append(name)


def _newer(history: History, move: Move) -> None:
    document = practice("Onions of tomorrow", colour="violet")
    after = [history.edition(move.first)] if move.second % 2 else []
    history.editions.append(history.say("L2", "fieldbook/edition", document, after=after, critical=["colour"]))


def _unknown(history: History, move: Move) -> None:
    history.decisions.append(
        history.slip_in("T1", "fieldbook/song", {"tune": "low"}, after=[history.edition(move.first)])
    )


def _take_back(history: History, move: Move) -> None:
    target = history.store.get(history.edition(move.first))
    label = next((name for name, key in history.circle.keys.items() if target and key.public == target.author), "C1")
    history.say(label, "sync/redaction", {}, after=[history.edition(move.first)])


def _stop(history: History, move: Move) -> None:
    """A steward stops a key; good is what it had said before some moment."""
    key = history.circle.keys[WRITERS[move.who % len(WRITERS)]].public
    own = [one.id for one in history.store.statements() if one.author == key]
    last = own[-1 - move.first % 3 :][:1] if move.second % 4 else []
    history.revocations.append(history.say("S1", "sync/revocation", {"key": key, "last": last}))


def _allow(history: History, move: Move) -> None:
    if history.revocations:
        for label in ("C1", "S1"):
            history.say(
                label, "sync/reinstatement", {}, after=[history.revocations[move.first % len(history.revocations)]]
            )


def _new_stewards(history: History, move: Move) -> None:
    chosen = history._stewards[: 2 + move.first % 2]
    for label in ("C1", "L1", "S1")[: 2 + move.second % 2]:
        body, after = history.ledger.next_stewards(chosen, threshold=2)
        history.say(label, "sync/stewards", body, after=after)


def _grant(history: History, move: Move) -> None:
    scope = ["compost"] if move.second % 2 else []
    body = {"key": history.circle.keys["T1"].public, "name": "T1", "role": "reviewer", "scope": scope}
    body["site"] = history.circle["T"].site_key.public
    for label in ("C1", "L1")[: 1 + move.first % 2]:
        history.say(label, "sync/grant", body)


def _stop_site(history: History, move: Move) -> None:
    """A site is stopped, so that whom it vouches for has no voice where nobody else vouches."""
    site = history.circle["TL"[move.who % 2]].site_key.public
    history.revocations.append(history.say("S1", "sync/revocation", {"key": site, "last": []}))


MOVES: dict[str, Callable[[History, Move], None]] = {
    "begin": _begin,
    "next": _next,
    "adapt": _adapt,
    "merge": _merge,
    "approve": _approve,
    "send back": _send_back,
    "retire": _retire,
    "hold": _hold,
    "recall": _recall,
    "lift": _lift,
    "formless": _formless,
    "newer": _newer,
    "unknown": _unknown,
    "take back": _take_back,
    "stop": _stop,
    "allow": _allow,
    "new stewards": _new_stewards,
    "grant": _grant,
    "stop site": _stop_site,
}
_MOVE = st.builds(Move, st.sampled_from(sorted(MOVES)), st.integers(0, 23), st.integers(0, 23), st.integers(0, 23))
SAME_EVERY_RUN = settings(
    deadline=None,
    derandomize=True,
    database=None,
    phases=(Phase.explicit, Phase.generate, Phase.shrink),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
HISTORIES = st.lists(_MOVE, min_size=3, max_size=16)


def written(circle: Circle, moves: Sequence[Move]) -> History:
    """A history with all its moves made; after each one the view is what a fold from nothing gives."""
    history = History(circle)
    for move in moves:
        history.make(move)
        assert history.site.view.differences_from_fold(history.ledger) == []
    return history


def pack(history: History, statements: Sequence[Statement], stick: Path, *, chance: Random) -> None:
    """Leave statements on a stick as one change bundle of Cloudstep's, in any order and whatever lane."""
    bundle = seal_bundle(
        key=history.site.site_key,
        network_id=history.store.network.id,
        log=chance.randbytes(8).hex(),
        lane=chance.choice(("urgent", "text")),
        number=1,
        previous=None,
        statements=statements,
    )
    file = stick / history.store.network.folder / bundle.path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(bundle.to_bytes())


def found(site: Site) -> list[set[tuple[str, str, str | None, str]]]:
    """All that readers and reviewers find."""
    hits = [site.index.search("onions", limit=200, readers_only=readers) for readers in (True, False)]
    return [{(hit.edition, hit.state, hit.standing, hit.title) for hit in some} for some in hits]


def assert_whole(site: Site) -> None:
    """The view is what a fold from nothing gives, and the index what all documents give."""
    assert site.ledger is not None
    assert site.view.differences_from_fold(site.ledger) == []
    if site.view.count():
        before = found(site)
        site.rebuild_index()
        assert before == found(site), "the search index was not brought up to date"


def assert_readable(site: Site, worker: Signer) -> None:
    """Every list and page can be shown to readers and to reviewers; what was withdrawn shows nothing but its notice."""
    for reader in (None, worker):
        for card in site.cards(reader=reader):
            page = site.page(card.entry, reader=reader)
            assert page.sentences()
            assert page.as_document()
            if page.state == "recalled":
                assert (page.document, card.summary, card.picture) == ({}, {}, None)
                assert page.notice is not None
    for item in site.review_queue.items(worker):
        assert site.differences(item.card.edition) is not None
