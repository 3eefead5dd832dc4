"""Withdrawals at a site: what stops an entry, who has allowed it again, and allowing it again.

Not the judging (``review.folding`` counts the voices). Its one rule: a person says exactly which editions they allow
again, and against which withdrawals; what they do not name stays stopped.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from fieldbook.review import body_faults, moved
from fieldbook.site.kept import Kept
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.reviewing import said_words
from fieldbook.site.stopping.hearing import Lines, lines_of
from fieldbook.view import acts, notice_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.ledger import Ledger, Said
    from fieldbook.site.joining import Joining
    from fieldbook.view import Notice

_RECALL, _LIFTING = "fieldbook/recall", "fieldbook/lifting"
NAMED_MAX = 64  # what one statement may name


@dataclass(frozen=True)
class LiftingVoice:
    """One voice that allows editions again: who, of which site, which editions."""

    statement: str
    by: str
    letter: str
    reviewer: bool
    editions: tuple[str, ...]
    reason: str


@dataclass(frozen=True)
class Stopped:
    """One withdrawal that stops an entry.

    Attributes:
        recall: its id.
        notice: its words.
        letter: the site of who said it.
        target: the entry that it names; its own id where that has not arrived.
        editions: the editions of the entry asked for that it stops.
        voices: who has allowed some of them again.
        copy: True where the entry asked for is stopped since it reads the same as what was withdrawn.
    """

    recall: str
    notice: Notice
    letter: str
    target: str
    editions: tuple[str, ...]
    voices: tuple[LiftingVoice, ...]
    copy: bool = False

    @property
    def lines(self) -> Lines:
        """The two lines for a radio."""
        return lines_of(entry=self.target, recall=self.recall, words=self.notice.now or self.notice.instead)

    def as_document(self) -> dict[str, Any]:
        """The withdrawal as JSON."""
        return {
            "recall": self.recall,
            "by": self.notice.by,
            "harm": self.notice.harm,
            "now": self.notice.now,
            "instead": self.notice.instead,
            "at_risk": self.notice.at_risk,
            "sources": self.notice.sources,
            "entry": self.target,
            "editions": list(self.editions),
            "copy": self.copy,
            "allowed_by": [dict(voice.__dict__) for voice in self.voices],
            "lines": [self.lines.first, self.lines.second],
        }


class Stops:
    """The withdrawals that are known at a site."""

    def __init__(self, site: Joining) -> None:
        """Take the site; nothing is read yet."""
        self._site = site
        self._kept = Kept()

    def of(self, entry: str) -> tuple[Stopped, ...]:
        """The withdrawals that stop editions of an entry, in the order in which its page names them."""
        ledger = self._site.need_ledger()
        stopped: dict[str, list[str]] = {}
        for edition in self._site.view.folded(entry)["editions"]:
            for recall in edition["recalls"]:
                stopped.setdefault(recall["id"], []).append(edition["id"])
        liftings = self._liftings(ledger, entry) if stopped else ()
        family = {entry, *self._site.view.ancestors(entry)} if stopped else set()
        found = (self._stopped(ledger, recall, tuple(ids), liftings) for recall, ids in stopped.items())
        return tuple(replace(one, copy=one.target not in family and one.notice.ingredient is None) for one in found)

    def every(self) -> tuple[Stopped, ...]:
        """Every withdrawal that stops something here or waits for its entry, each once, by the id of its entry.

        Its editions are all that it stops here: those of the entry that it names first, then copies and adaptations.
        """
        found: tuple[Stopped, ...] = self._kept.get(self._site.stamp, "every", self._every)
        return found

    def _every(self) -> tuple[Stopped, ...]:
        ledger, found = self._site.need_ledger(), dict[str, Stopped]()
        editions: dict[str, list[str]] = {}
        for entry in self._site.view.entries():
            for one in self.of(entry):
                codes, named = editions.setdefault(one.recall, []), one.target == entry
                editions[one.recall] = [*one.editions, *codes] if named else [*codes, *one.editions]
                if one.recall not in found or named:
                    found[one.recall] = one
        found = {recall: replace(one, editions=tuple(editions[recall])) for recall, one in found.items()}
        for said in ledger.said_of_kind(_RECALL):
            if acts(said) and said.id not in found and all(self._site.view.entry_of(one) is None for one in said.after):
                found[said.id] = self._stopped(ledger, said.id, (), ())
        return tuple(sorted(found.values(), key=lambda one: (one.target, one.recall)))

    def _stopped(self, ledger: Ledger, recall: str, editions: tuple[str, ...], liftings: Sequence[Said]) -> Stopped:
        said = ledger.said(recall)
        named = () if said is None else said.after
        target = next((entry for one in named if (entry := self._site.view.entry_of(one))), None)
        voices = [_voice(one, editions, ledger) for one in liftings if recall in one.after]
        return Stopped(
            recall=recall,
            notice=notice_of(recall, ledger),
            letter="?" if said is None else ledger.letter_of(said.author),
            target=target or (named[0] if named else recall),
            editions=editions,
            voices=tuple(voice for voice in voices if voice.editions),
        )

    def _liftings(self, ledger: Ledger, entry: str) -> tuple[Said, ...]:
        decisions = self._site.view.gathered(ledger, entry).decisions
        return tuple(
            one
            for one in decisions
            if one.kind == _LIFTING and one.stands == "accepted" and not body_faults(_LIFTING, one.body, strict=False)
        )

    def allow_again(self, editions: Sequence[str], *, signer: Signer, reason: str) -> str:
        """Say one of the two voices that allow editions of one entry again; returns the statement's id.

        Args:
            editions: their ids; what is not named stays stopped.
            signer: a reviewer or steward; the other voice comes from another site, and one of both is a reviewer's.
            reason: why it is no longer feared, in a sentence.

        Raises:
            FieldbookError: nothing is named, one is not withdrawn, the person may not, or their site has said it.
        """
        site, why = self._site, {"reason": said_words(reason, "the reason")}
        ledger = site.need_ledger()
        ledger.check_may_say(signer.key, _LIFTING)
        if not editions:
            raise SiteError("no edition was chosen", hint="choose the editions that may be used again")
        entries = {site.entry_id(edition) for edition in editions}
        if len(entries) > 1:
            raise SiteError("these editions are of several entries", hint="allow one practice entry at a time")
        folded = site.view.folded(entries.pop())
        recalls = self._recalls_of(folded, frozenset(editions))
        self._check_second_site(folded["entry"], editions, recalls, signer)
        named = sorted({*editions, *recalls})
        if len(named) > NAMED_MAX:
            raise SiteError(
                f"one voice can name {NAMED_MAX} editions and withdrawals, here are {len(named)}",
                hint="choose fewer editions, the newest alone if need be",
            )
        statement = ledger.say(signer.key, _LIFTING, why, after=named, time=site.claimed_time(), random=site.random)
        site.refresh_view()
        return statement

    @staticmethod
    def _recalls_of(folded: Mapping[str, Any], editions: frozenset[str]) -> tuple[str, ...]:
        """The withdrawals that stop these editions, each of which must be stopped."""
        named = [one for one in folded["editions"] if one["id"] in editions]
        for one in named:
            moved(one["state"], _LIFTING)
        return tuple(sorted({recall["id"] for one in named for recall in one["recalls"]}))

    def _check_second_site(self, entry: str, editions: Sequence[str], recalls: Sequence[str], signer: Signer) -> None:
        """Refuse a voice that could add nothing: its site has said all of it."""
        ledger = self._site.need_ledger()
        own = ledger.letter_of(signer.key.public)
        stops = {one.recall: one for one in self.of(entry)}
        said = {
            (recall, edition)
            for recall in recalls
            for voice in stops[recall].voices
            if voice.letter == own
            for edition in voice.editions
        }
        if said.issuperset((recall, edition) for recall in recalls for edition in editions):
            raise SiteError(
                f"site {own} has allowed this again already, and one site has one voice",
                hint="ask a reviewer or signatory of another site for the second one",
            )


def _voice(said: Said, editions: Sequence[str], ledger: Ledger) -> LiftingVoice:
    return LiftingVoice(
        statement=said.id,
        by=ledger.label(said.author),
        letter=ledger.letter_of(said.author),
        reviewer="reviewer" in ledger.roles_behind(said),
        editions=tuple(one for one in editions if one in said.after),
        reason=str((said.body or {}).get("reason", "")),
    )
