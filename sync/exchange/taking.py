"""Taking in: all that is valid on a carrier and not held here, urgent first, until nothing new is admitted.

Not leaving. One rule: what is wrong accuses the copy and nobody else: the copy goes away, so that whoever holds the
bundle writes it again; what cannot be judged here (a newer version, a site not granted) stays where it is.
"""

from __future__ import annotations

from heapq import merge, nsmallest
from itertools import chain
from typing import TYPE_CHECKING, Any

from sync.bundle import Bundle, parse_bundle
from sync.carrier import CarrierError
from sync.errors import RemoteError, UnknownVersionError
from sync.exchange.sealing import present_log
from sync.limits import BUNDLE_PACKED_BYTES_MAX
from sync.store import spilling
from sync.store.spilling import SpillingMap, SpillingSet

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from sync.exchange.copies import Copy
    from sync.exchange.layout import Survey
    from sync.exchange.report import Visit
    from sync.store import HeldBundle
    from sync.store.gaps import Gaps

PORTION_FIRST = 16  # urgent bundles taken in before those that came are applied
PORTION_STATEMENTS = 1000  # or so many statements, where that is less: verifying them takes a fraction of a second
PORTION_GROWS = 2  # times as many in the next portion, so that a flood is not listed too often
PORTION_MOST = 256  # times the first: of so many sites at once may copies be looked at
NOT_GRANTED = "it comes from a site that no signatory has granted yet"
_ASK_STEWARD = "leave it there; once a signatory has granted the site it is taken in by itself"
_MISNAMED = "the name of the file does not fit what is in it"
_REWRITTEN = "do nothing: what is valid in it was taken in, and it is written again under its right name"


class Taking:
    """The taking in of bundles at one visit."""

    def __init__(self, visit: Visit, survey: Survey) -> None:
        """Begin with what was listed."""
        self._visit = visit
        self._survey = survey
        self._portion = 1
        self._turns = SpillingMap[int](visit.store.scratch, packed=_packed, unpacked=int)
        self._complete = ""
        self._misnamed: list[Copy] = []
        self._known_redacted = visit.store.judgement.redacted
        self.erased = SpillingSet(visit.store.scratch)

    def take_lane(self, lane: str) -> bool:
        """Take in the copies of a lane that bring something; whether there may be more to take.

        Of the urgent lane a portion at a time, the sites in turns: a site that leaves a million statements there keeps
        nobody else's withdrawal waiting.
        """
        before = self.taken()
        all_taken = self._take_all(lane, self._portion if lane == "urgent" else None)
        if lane == "urgent":
            self._portion = min(self._portion * PORTION_GROWS, PORTION_MOST)
        self._remove_misnamed()
        self._act_on_redactions()
        return not all_taken or before != self.taken()

    def _take_all(self, lane: str, portion: int | None) -> bool:
        """Take in what a lane brings, or one portion of that many times the first holds; whether it was all."""
        statements = 0
        copies, total = self._counted(lane, portion)
        for index, copy in enumerate(copies):
            if portion and (index >= portion * PORTION_FIRST or statements >= portion * PORTION_STATEMENTS):
                return False
            self._visit.progress(f"taking in {lane}", index, total)
            self._survey.copies.try_one(copy)
            if copy.stem != self._complete:  # else a fuller copy of the same bundle came just before
                self._turns[copy.site] = self._turns.get(copy.site, 0) + 1
                statements += self._take(copy)
        return True

    def _counted(self, lane: str, portion: int | None) -> tuple[Iterable[Copy], int]:
        """The copies of a lane that bring something, and how many; where they are very many, how many at most.

        Of those some go on for no longer than the portion does.
        """
        known = self._visit.prefixes_taken()
        gaps = self._visit.store.gaps()
        of_sites = (self._wanted(copies, gaps) for copies in self._survey.copies.not_tried(lane, known))
        are_many = self._survey.copies.are_many
        most = portion * PORTION_FIRST + 1 if portion and are_many else spilling.KEPT
        in_order = in_turns(of_sites, self._turns, most=most) if portion else chain.from_iterable(of_sites)
        if are_many:
            return in_order, self._survey.copies.count_not_tried(lane, known)
        few = list(in_order)
        return few, len(few)

    def _remove_misnamed(self) -> None:
        """Let go of the copies under wrong names, now that what is in them is written down."""
        self._visit.intake.commit()
        for copy in self._misnamed:
            self._survey.copies.drop(copy)
            self._visit.remove(copy.place)
        self._misnamed.clear()

    def taken(self) -> tuple[int, int, int]:
        """How much was taken in so far: statements, bodies, bundles."""
        intake = self._visit.intake
        return len(intake.added), len(intake.supplied), intake.bundles

    def name_what_stays(self) -> None:
        """Put the copies of sites that are not granted into the report."""
        for copy in self._survey.copies.of_others(self._visit.prefixes_taken()):
            self._visit.leave_alone(copy.file, NOT_GRANTED, _ASK_STEWARD)

    def _wanted(self, copies: Iterable[Copy], gaps: Gaps) -> Iterator[Copy]:
        """Those copies that bring something, as far as names tell."""
        bundles = self._visit.store.bundles
        for copy in copies:
            held = bundles.at(copy.stem)
            if held is None or (gaps.lack(held.row) and copy.absent < held.length):
                yield copy

    def _take(self, copy: Copy) -> int:
        """Open one copy and give it to intake; how many statements lie in it, 0 where it was not taken."""
        visit = self._visit
        bundle = open_copy(visit, self._survey, copy)
        if bundle is None:
            return 0
        news = not visit.store.bundles.has(bundle.id)
        try:
            visit.intake.take(bundle)
        except RemoteError as error:
            refuse_copy(visit, self._survey, copy, error)
            return 0
        if not bundle.absent:
            self._complete = copy.stem
            self._survey.copies.try_all(copy.stem)
        if news and bundle.site == visit.site and bundle.log == present_log(visit.store, visit.site):
            visit.outdated = True
        if bundle.path != copy.file:
            self._misnamed.append(copy)
            visit.refuse(copy.file, RemoteError(_MISNAMED, hint=_REWRITTEN))
            if len(self._misnamed) > spilling.KEPT:
                self._remove_misnamed()
        return len(bundle.statements)

    def _act_on_redactions(self) -> None:
        """Erase what authors took back; let what stewards took back in this very exchange rest until its end."""
        store = self._visit.store
        redacted = store.judgement.redacted
        resting = SpillingSet(store.scratch)
        if redacted is not self._known_redacted:
            new = (name for name in redacted if name not in self._known_redacted)
            resting.update(name for name in new if not self._acts_now(name))
        store.rest(resting)
        self.erased.update(store.erase_redacted())

    def _acts_now(self, name: str) -> bool:
        target = self._visit.store.get(name)
        return any(
            self._visit.store.judgement.verdicts[redaction.id].state != "quarantined"
            and (redaction.id not in self._visit.intake.added or (target and redaction.author == target.author))
            for redaction in self._visit.store.redactions_of(name)
        )


def in_turns(of_sites: Iterable[Iterator[Copy]], taken: Mapping[str, int], *, most: int) -> Iterator[Copy]:
    """The first copy of each site, then the second of each; those count that were taken from a site before.

    Args:
        of_sites: Of each site the copies in order; there may be a million sites.
        taken: How many were taken before, by site.
        most: So many come in this order, and then perhaps some more; only so many sites are kept in mind, since those
            whose turn comes later give none of the first.
    """
    begun = (
        (*first, chain([first], numbered))
        for numbered in (_numbered(copies, taken) for copies in of_sites)
        if (first := next(numbered, None)) is not None
    )
    soonest = nsmallest(most, begun, key=_turn)
    return (copy for _, copy in merge(*(numbered for _, _, numbered in soonest), key=_turn))


def _turn(numbered: tuple[Any, ...]) -> tuple[int, str]:
    """When it is whose turn."""
    return numbered[0], numbered[1].site


def _packed(number: int) -> bytes:
    return b"%d" % number


def _numbered(copies: Iterable[Copy], taken: Mapping[str, int]) -> Iterator[tuple[int, Copy]]:
    """The copies of one site, each with its turn; copies of one bundle stay together."""
    turn, last = None, ""
    for copy in copies:
        turn = taken.get(copy.site, 0) if turn is None else turn
        turn += copy.stem != last
        last = copy.stem
        yield turn, copy


def open_copy(visit: Visit, survey: Survey, copy: Copy) -> Bundle | None:
    """Read a copy and check its form; None where that fails, which is then dealt with."""
    try:
        bundle = parse_bundle(visit.read(copy.place, limit_bytes=BUNDLE_PACKED_BYTES_MAX))
    except UnknownVersionError as error:
        visit.leave_alone(copy.file, error.message, error.hint)
    except CarrierError as error:
        visit.refuse(copy.file, error)
    except RemoteError as error:
        refuse_copy(visit, survey, copy, error)
    else:
        if visit.takes(bundle.site):
            return bundle
        visit.leave_alone(copy.file, NOT_GRANTED, _ASK_STEWARD)
    return None


def refuse_copy(visit: Visit, survey: Survey, copy: Copy, error: RemoteError) -> None:
    """Name a copy whose bytes fail and remove it, so that the next holder writes it again."""
    visit.refuse(copy.file, error)
    survey.copies.drop(copy)
    visit.remove(copy.place)


def bodies_in(bundle: Bundle) -> frozenset[str]:
    """The ids of the statements whose bodies are in a copy."""
    return frozenset(statement.id for statement in bundle.statements if statement.body_bytes is not None)


def sound_copy(visit: Visit, survey: Survey, copy: Copy, held: HeldBundle) -> frozenset[str] | None:
    """Open a copy of a bundle that is held; the ids whose bodies are in it, None where it is not what its name says."""
    if copy.file in visit.opened:
        return visit.opened[copy.file]
    bundle = open_copy(visit, survey, copy)
    if bundle is None:
        survey.copies.drop(copy)  # the place is that of a bundle held here, whatever lies there instead
        return None
    try:
        visit.intake.verify(bundle)
    except RemoteError as error:
        refuse_copy(visit, survey, copy, error)
        return None
    if bundle.id != held.id or bundle.path != copy.file:
        visit.intake.take(bundle)  # two entries may have been crossed, and this may be the last copy of it
        visit.intake.commit()
        refuse_copy(visit, survey, copy, RemoteError(_MISNAMED, hint=_REWRITTEN))
        return None
    return bodies_in(bundle)
