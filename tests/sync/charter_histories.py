"""Random histories of a small circle, in which right and wrong people say right and wrong things.

Nothing is judged here. One rule: every body is well formed, so that what is tested is authority, order and
what is missing; a choice is made by the ``Random`` that is handed in, so a seed replays a history.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.sync.charter_scene import Circle, key

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from sync.statement import Statement

STEWARDS = ("C1", "L1", "S1")
PEOPLE = ("C1", "C2", "C3", "L1", "L2", "S1", "T2")
SITES = ("C", "T", "L", "S")
FILES = ("f0" * 32, "f1" * 32)
AWAY = "ab" * 32


class History:
    """A circle to which something happens at each step."""

    def __init__(self, random: Random) -> None:
        """Found it with one to three stewards."""
        self.random = random
        founders = STEWARDS[: random.choice((1, 1, 2, 3))]
        self.circle = Circle(*founders, threshold=len(founders) // 2 + 1)

    def step(self) -> Statement:
        """Let somebody say something."""
        acts: list[tuple[int, Callable[[], Statement]]] = [
            (4, self._site),
            (5, self._reviewer),
            (4, self._person),
            (8, self._ordinary),
            (4, self._revoke),
            (2, self._reinstate),
            (5, self._version),
            (6, self._second),
            (3, self._redact),
            (3, self._adopt),
        ]
        return self.random.choices([act for _, act in acts], [weight for weight, _ in acts])[0]()

    def run(self, steps: int) -> Circle:
        """Begin as most circles do, then let this many things happen."""
        for opening in (self._site, self._site, *(self._person,) * 6):
            if self.random.random() < 0.8:
                opening()
        for _ in range(steps):
            self.step()
        return self.circle

    def _by(self, usual: tuple[str, ...]) -> str:
        return self.random.choice(usual if self.random.random() < 0.85 else (*PEOPLE, *SITES, "X9"))

    def _after(self, *kinds: str, usual: float = 0.5) -> list[str]:
        """Some earlier statements, of these kinds where any are named, now and then one that is away."""
        said = [s.id for s in self.circle.said if not kinds or s.kind in kinds]
        after = self.random.sample(said, min(len(said), self.random.choice((1, 1, 2)))) if said else []
        after = after if self.random.random() < usual else []
        return [*after, AWAY] if self.random.random() < 0.05 else after

    def _parts(self, by: str) -> dict[str, Any]:
        """Now and then a chain forks, or goes on from nowhere or from somebody else."""
        if self.random.random() < 0.8:
            return {}
        own = [s.id for s in self.circle.said if s.author == key(by)]
        return {"previous": self.random.choice([None, AWAY, *own, *(s.id for s in self.circle.said)])}

    def _say(self, by: str, kind: str, body: dict[str, Any] | None = None, **parts: Any) -> Statement:
        parts.setdefault("after", self._after(usual=0.1))
        return self.circle.say(by, kind, body, **parts, **self._parts(by))

    def _site(self) -> Statement:
        by, letter = self._by(STEWARDS), self.random.choice(SITES)
        body = {"key": key(letter), "letter": letter, "name": letter, "role": "site"}
        return self._say(by, "sync/grant", body)

    def _reviewer(self) -> Statement:
        label = self.random.choice(("C3", "L2"))
        scope = self.random.choice(([], [], ["bed"]))
        body = {"key": key(label), "name": label, "role": "reviewer", "scope": scope, "site": key(label[0])}
        return self._say(self._by(STEWARDS), "sync/grant", body)

    def _person(self) -> Statement:
        label = self.random.choice(PEOPLE)
        role = self.random.choice(("trainer", "volunteer"))
        return self._say(self._by((label[0],)), "sync/person", {"key": key(label), "name": label, "role": role})

    def _ordinary(self) -> Statement:
        kind = self.random.choice(
            ("fieldbook/edition",) * 5
            + ("fieldbook/approval", "fieldbook/trial", "fieldbook/recall", "sync/heartbeat", "a-later/kind")
        )
        files = [file for file in FILES if self.random.random() < 0.2]
        return self._say(self._by(("C2", "L2", "T2", "C1")), kind, after=self._after(usual=0.4), attachments=files)

    def _revoke(self) -> Statement:
        label = self._by(PEOPLE)
        own = [s.id for s in self.circle.said if s.author == key(label)]
        last = self.random.choice([own[-1:], own[:1], [], self.random.sample(own, min(2, len(own))), [AWAY]])
        return self._say(self._by(STEWARDS), "sync/revocation", {"key": key(label), "last": sorted(last)})

    def _reinstate(self) -> Statement:
        """By one, or by all who may still be needed."""
        after = self._after("sync/revocation", usual=0.95)
        for by in STEWARDS[: self.random.choice((0, 2))]:
            self._say(by, "sync/reinstatement", {}, after=after)
        return self._say(self._by(STEWARDS), "sync/reinstatement", {}, after=after)

    def _version(self) -> Statement:
        """Mostly by all who are needed, answering nothing, the last version, or the last two."""
        labels = self.random.choice((("C1",), ("C1", "L1"), STEWARDS, STEWARDS, ("L1", "S1"), ("C1", "S1", "T2")))
        before = self.random.choice((STEWARDS, STEWARDS, STEWARDS, ("C1",), ()))
        last = {s.body_bytes: s for s in self.circle.said if s.kind == "sync/stewards"}
        answered = list(last.values())[-self.random.choice((1, 1, 2)) :] if self.random.random() < 0.7 else []
        number = 1 + max([1, *(s.body["version"] for s in answered if s.body is not None)])
        body = self.circle.version(number, *labels, threshold=len(labels) // 2 + 1, before=before)
        voices = STEWARDS if self.random.random() < 0.6 else (self._by(STEWARDS),)
        for by in voices[1:]:
            self._say(by, "sync/stewards", body, after=answered)
        return self._say(voices[0], "sync/stewards", body, after=answered)

    def _second(self) -> Statement:
        """Somebody says what another steward said, answering the same: most thresholds are met so."""
        said = [s for s in self.circle.said if s.kind in {"sync/stewards", "sync/grant", "sync/reinstatement"}]
        if not said:
            return self._ordinary()
        first = self.random.choice(said[-6:])
        return self._say(self._by(STEWARDS), first.kind, dict(first.body or {}), after=first.after)

    def _redact(self) -> Statement:
        by = self._by(PEOPLE)
        own = [s.id for s in self.circle.said if s.author == key(by) and s.kind.startswith("fieldbook")]
        after = self.random.sample(own, min(1, len(own))) + self._after(usual=0.3)
        files = [file for file in FILES if self.random.random() < 0.3]
        return self._say(by, "sync/redaction", {}, after=after, attachments=files)

    def _adopt(self) -> Statement:
        """Mostly what somebody said whom a steward has stopped."""
        stopped = {s.body["key"] for s in self.circle.said if s.kind == "sync/revocation" and s.body is not None}
        said = [s.id for s in self.circle.said if s.author in stopped and not s.kind.startswith("sync/")]
        after = self.random.sample(said, min(2, len(said))) or self._after()
        return self._say(self._by(("C3", "L2", *STEWARDS)), "sync/adoption", {}, after=after)
