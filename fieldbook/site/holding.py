"""What each site holds, what would be lost with this laptop, and how much the stewards say is stopped.

Its one rule: what is not known to be held elsewhere is said to be held here alone; and nothing here ever blocks
reading, writing or an exchange.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import Notice
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.travel import Travel

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from fieldbook.ledger import Lacks, Place, Reach

HEARTBEAT_EXCHANGES = 4  # a steward's word on what is stopped is said anew after so many; seldom enough to cost nothing
Reached = dict[tuple[str, str, str], list[tuple[int, int]]]


@dataclass(frozen=True)
class Holder:
    """A site that is known to hold something: its key, its letter, and for how many exchanges here that is known."""

    site: str
    letter: str
    exchanges: int


@dataclass(frozen=True)
class HeldLine:
    """One edition or recall, and which other sites are known to hold it.

    Attributes:
        statement: its id.
        what: ``edition`` or ``recall``.
        entry: the entry's id; None where the entry has not arrived.
        title: the entry's title by language; empty where it has not arrived.
        author: who said it, by letter and number.
        holders: the other sites, by letter.
    """

    statement: str
    what: str
    entry: str | None
    title: Mapping[str, str]
    author: str
    holders: tuple[Holder, ...]

    @property
    def paths(self) -> int:
        """How many other sites it can come back from; below two there is no second path."""
        return len(self.holders)

    def as_document(self) -> dict[str, Any]:
        """The line as JSON."""
        return {
            **self.__dict__,
            "title": dict(self.title),
            "holders": [dict(holder.__dict__) for holder in self.holders],
            "second_path": self.paths > 1,
        }


@dataclass(frozen=True)
class HeldAlone:
    """What would be lost with this laptop, as far as is known here.

    Attributes:
        statements: signed words that no other site is known to hold.
        editions: how many of them are editions.
        drafts: drafts, which never leave.
        home_photos: photos that stay at this site.
    """

    statements: int
    editions: int
    drafts: int
    home_photos: int

    @property
    def safe_to_wipe(self) -> bool:
        """True where other sites are known to hold every signed word, and nothing lies here that never leaves."""
        return not (self.statements or self.drafts or self.home_photos)


@dataclass(frozen=True)
class Heartbeat:
    """What a steward said last of how much is stopped, and what that means here.

    Attributes:
        label: the steward's letter and number.
        number: how many statements stopped something, as that steward knew them.
        lacking: at least so many of them are not here.
        proven: True where exactly what that steward held is here.
        exchanges: how many exchanges ago it came.
    """

    label: str
    number: int
    lacking: int
    proven: bool
    exchanges: int


class Holding(Travel):
    """What this site knows of other sites' holdings."""

    def _count_exchange(self) -> None:
        super()._count_exchange()
        if self.ledger is not None:
            self._note_reach()

    def _note_reach(self) -> None:
        ledger, now = self.need_ledger(), self._exchanges()
        reached = (
            (one.site, one.log, lane, number)
            for one in ledger.reaches(own_site=self.site_key.public)
            for lane, number in (("urgent", one.urgent), ("text", one.text))
        )
        self.notebook.note_reach(reached, exchange=now)
        came: dict[str, int] = self.notebook.fact("heartbeats") or {}
        newest = {one.statement: came.get(one.statement, now) for one in ledger.heard()}
        if newest != came:
            self.notebook.set_fact("heartbeats", newest)

    def _exchanges(self) -> int:
        return int(self.notebook.fact("exchanges") or 0)

    # what each site holds

    def held_lines(self) -> tuple[HeldLine, ...]:
        """Every edition and recall held here with the sites known to hold it: fewest first, recalls before editions."""
        ledger, known = self.need_ledger(), self._known()
        places = ledger.places()
        lines = []
        for entry in self.view.entries():
            folded = self.view.folded(entry)
            recalled = {one["id"]: one["author"] for edition in folded["editions"] for one in edition["recalls"]}
            said = {edition["id"]: edition["author"] for edition in folded["editions"]}
            title = self.view.card(ledger, entry, folded["editions"][-1]["id"], own_site=self.site_key.public).title
            for what, ids in (("recall", recalled), ("edition", said)):
                for one, author in ids.items():
                    holders = known.holders(places.get(one, ()))
                    lines.append(HeldLine(one, what, entry, title, ledger.label(author), holders))
        lines += self._early_recalls(known, places, {line.statement for line in lines})
        unique = {(line.statement, line.entry): line for line in lines}
        return tuple(sorted(unique.values(), key=lambda line: (line.paths, line.what != "recall", line.statement)))

    def _early_recalls(self, known: _Known, places: Mapping[str, Sequence[Place]], shown: set[str]) -> list[HeldLine]:
        """Recalls whose entries have not arrived."""
        ledger = self.need_ledger()
        return [
            HeldLine(said.id, "recall", None, {}, ledger.label(said.author), known.holders(places.get(said.id, ())))
            for said in ledger.said_of_kind("fieldbook/recall")
            if said.id not in shown and said.stands != "quarantined"
        ]

    def _known(self) -> _Known:
        ledger = self.need_ledger()
        reaches = tuple(ledger.reaches(own_site=self.site_key.public))
        letters = {one.site: ledger.label(one.site) for one in reaches}
        return _Known(reaches, letters, self.notebook.reach(), now=self._exchanges())

    def held_alone(self) -> HeldAlone:
        """What would be lost with this laptop: what no other site is known to hold, and what never leaves."""
        drafts = self.notebook.drafts()
        photos = self.notebook.count_home_photos()
        if self.ledger is None:
            return HeldAlone(0, 0, len(drafts), photos)
        known = self._known()
        alone = {name for name, lies in self.ledger.places().items() if not known.covers(lies)}
        editions = sum(said.id in alone for said in self.ledger.said_of_kind("fieldbook/edition"))
        return HeldAlone(len(alone), editions, len(drafts), photos)

    def stick_lacks(self, carrier: Path) -> Lacks:
        """Count what a stick lacks of what is held here, before an exchange.

        Raises:
            FieldbookError: there is no such folder, or it cannot be listed.
        """
        if not carrier.is_dir():
            raise SiteError(f"there is no folder {carrier}", hint="put the stick in and name its folder")
        return self.need_ledger().carrier_lacks(carrier)

    def differing(self) -> tuple[str, ...]:
        """The letters of sites that hold exactly the same words and make something else of them: an alarm."""
        return () if self.ledger is None else self.ledger.disagreeing(own_site=self.site_key.public)

    # how much is stopped

    def heartbeats(self) -> tuple[Heartbeat, ...]:
        """What each steward in force said last of how much is stopped, by label."""
        if self.ledger is None:
            return ()
        ledger, came, now = self.ledger, self.notebook.fact("heartbeats") or {}, self._exchanges()
        found = [
            Heartbeat(
                ledger.label(one.steward), one.number, one.lacking, one.proven, now - came.get(one.statement, now)
            )
            for one in ledger.heard()
        ]
        return tuple(sorted(found, key=lambda one: one.label))

    @property
    def stops_lacking(self) -> str | None:
        """A sentence where a steward counts more withdrawals and stopped keys than are here, else None."""
        worst = max(self.heartbeats(), key=lambda one: one.lacking, default=None)
        if worst is None or not worst.lacking:
            return None
        return Notice(
            f"The signatory {worst.label} counts more withdrawals and stopped keys than this site knows: "
            f"at least {worst.lacking} did not reach it. Go on reading, and exchange with another stick soon; "
            "ask there what was withdrawn."
        )

    def beat_if_due(self, *, signer: Signer) -> str | None:
        """Say how much is stopped where this steward's last word on it is old or no longer true; None where it is not.

        Called when a steward begins an exchange, so that nobody needs to remember it.
        """
        mine = next((one for one in self.heartbeats() if one.label == signer.label), None)
        fresh = mine is not None and mine.proven and mine.exchanges < HEARTBEAT_EXCHANGES
        return None if fresh else self.beat(signer=signer)

    def beat(self, *, signer: Signer) -> str:
        """Say how much is stopped, as a steward; other sites can then tell what they lack. Returns the statement's id.

        Raises:
            FieldbookError: the signer is no steward.
        """
        ledger = self.need_ledger()
        if "steward" not in ledger.roles_of(signer.key.public):
            raise SiteError(
                f"{signer.label} is no signatory of the network", hint="a signatory says how much is stopped"
            )
        statement = ledger.beat(signer.key, time=self.claimed_time(), random=self.random)
        self.refresh_view()
        self._note_reach()
        return statement


class _Known:
    """Which sites cover which places, and since which exchange."""

    def __init__(self, reaches: Sequence[Reach], letters: Mapping[str, str], learnt: Reached, *, now: int) -> None:
        self._numbers = {
            (one.site, one.log, lane): number
            for one in reaches
            for lane, number in (("urgent", one.urgent), ("text", one.text))
        }
        self._letters = letters
        self._learnt = learnt
        self._now = now

    def covers(self, places: Sequence[Place]) -> bool:
        """Whether any other site is known to hold what lies there."""
        return any(self._has(site, place) for place in places for site in self._letters)

    def holders(self, places: Sequence[Place]) -> tuple[Holder, ...]:
        """The other sites known to hold what lies there, by letter."""
        found = [
            Holder(site, letter, self._now - min(since))
            for site, letter in self._letters.items()
            if (since := [self._since(site, place) for place in places if self._has(site, place)])
        ]
        return tuple(sorted(found, key=lambda one: (one.letter, one.site)))

    def _has(self, site: str, place: Place) -> bool:
        return self._numbers.get((site, place.log, place.lane), 0) >= place.number

    def _since(self, site: str, place: Place) -> int:
        """The exchange that first showed it; the present one where the notebook was put back since."""
        steps = self._learnt.get((site, place.log, place.lane), [])
        index = bisect_left(steps, (place.number, -1))
        return min((exchange for _, exchange in steps[index:]), default=self._now)
