"""What people tell of a practice: it did not work, or it hurt someone; and the answers they get.

Anyone at the site may tell, without an account and without a name; what is told is signed by the site. A comparison
that harmed somebody is a report of harm too. Its one rule: a report of harm stops the practice here before anything
else is written, and waits until a reviewer has answered it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.review import TOLD_MAX_CHARACTERS, body_faults
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.reviewing import said_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.ledger import Key, Ledger, Said
    from fieldbook.site.joining import Joining

HURT, DID_NOT_WORK, _ANSWER = "hurt", "did-not-work", "answer"
TELLING = (DID_NOT_WORK, HURT)
_REPORT, _HOLD, _TRIAL = "fieldbook/report", "fieldbook/hold", "fieldbook/trial"
HARMED = "harmed"  # the outcome by which a comparison is a report of harm
# from one site on one entry: enough to be heard, too few to fill a network by pressing a button
UNANSWERED_MAX = 12
_ANSWERS_NAMED = 50  # a statement names at most 64 others
# seven or more digits, however they are parted: a telephone, a card, a place on a map
_NUMBER_OF_A_PERSON = re.compile(r"\d(?:[ ./()+-]{0,2}\d){6,}")
_WORKERS = frozenset({"trainer", "reviewer"})


@dataclass(frozen=True)
class Answered:
    """An answer to a report: the statement, who gave it, its words, and whether a reviewer said it."""

    statement: str
    by: str
    words: str
    reviewer: bool


@dataclass(frozen=True)
class Complaint:
    """One report of what came of a practice.

    Attributes:
        statement: its id.
        entry: the entry it speaks of.
        edition: the edition it speaks of.
        harm: True where somebody was hurt.
        compared: True where a comparison tells it.
        words: what was said besides; may be empty.
        by: who told it: a site's letter for a reader without a name, else a letter and a number.
        letter: the site where it was told.
        time: the claimed time.
        answers: the answers, oldest first.
    """

    statement: str
    entry: str
    edition: str
    harm: bool
    compared: bool
    words: str
    by: str
    letter: str
    time: str | None
    answers: tuple[Answered, ...]

    @property
    def is_open(self) -> bool:
        """True where it waits: of harm for a reviewer, of what did not work for anyone who may answer."""
        return not any(answer.reviewer or not self.harm for answer in self.answers)

    def as_document(self) -> dict[str, Any]:
        """The report as JSON."""
        return {**self.__dict__, "answers": [dict(one.__dict__) for one in self.answers], "open": self.is_open}


class Complaints:
    """The reports that this site holds, from its own people and from other sites."""

    def __init__(self, site: Joining) -> None:
        """Take the site; nothing is read yet."""
        self._site = site
        self._read: tuple[str, dict[str, tuple[Complaint, ...]]] = ("", {})

    # what is known

    def about(self, entry: str) -> tuple[Complaint, ...]:
        """All reports on any edition of an entry: open ones of harm first, then open ones, then the rest."""
        return self._by_entry().get(entry, ())

    def of_harm(self, entry: str) -> int:
        """How many reports of harm on an entry no reviewer has answered yet."""
        return sum(one.harm and one.is_open for one in self.about(entry))

    def of_failure(self, entry: str) -> int:
        """How many open reports on an entry say that it did not work."""
        return sum(not one.harm and one.is_open for one in self.about(entry))

    def every(self) -> tuple[Complaint, ...]:
        """All reports, of all entries: open ones of harm first, then open ones, then the rest."""
        return tuple(sorted((one for found in self._by_entry().values() for one in found), key=_urgency))

    def waiting(self) -> tuple[Complaint, ...]:
        """The reports that nobody who may has answered, those of harm first."""
        return tuple(one for one in self.every() if one.is_open)

    @property
    def harm_waiting(self) -> int:
        """How many reports of harm wait for a reviewer, over all entries."""
        return sum(one.harm for one in self.waiting())

    def _by_entry(self) -> dict[str, tuple[Complaint, ...]]:
        ledger = self._site.ledger
        if ledger is None:
            return {}
        mark = ledger.set_hash()  # everything below follows from the set alone
        if self._read[0] != mark:
            self._read = (mark, self._sorted(ledger))
        return self._read[1]

    def _sorted(self, ledger: Ledger) -> dict[str, tuple[Complaint, ...]]:
        said = [one for one in ledger.said_of_kind(_REPORT) if _is_understood(one)]
        answers = [one for one in said if (one.body or {})["says"] == _ANSWER]
        told = [one for one in said if (one.body or {})["says"] in TELLING]
        told += [one for one in ledger.said_of_kind(_TRIAL) if _tells_harm(one)]
        found: dict[str, list[Complaint]] = {}
        for one in told:
            edition = next((name for name in one.after if self._site.view.entry_of(name)), None)
            if edition is not None:
                entry = self._site.view.entry_of(edition) or edition
                found.setdefault(entry, []).append(_complaint(one, entry, edition, answers, ledger))
        return {entry: tuple(sorted(of_entry, key=_urgency)) for entry, of_entry in found.items()}

    # telling

    def tell(self, edition: str, *, says: str, words: str = "", signer: Signer | None = None) -> str:
        """Tell what came of a practice; where somebody was hurt it is paused here first.

        Returns the report's id; an empty one where this site is not let in yet, so that only the pause was noted.

        Args:
            edition: the id of the edition that was followed.
            says: ``hurt`` or ``did-not-work``.
            words: what happened, without names; may be empty.
            signer: who tells it, where they are signed in; the site says it for everybody else.

        Raises:
            FieldbookError: the words are too long or hold a number of a person, or as many reports wait already.
        """
        if says not in TELLING:
            raise SiteError("nothing was chosen", hint="choose whether it did not work or hurt someone")
        clean, entry = clean_words(words), self._site.entry_id(edition)
        ledger = self._site.need_ledger()
        key = self._site.site_key if signer is None else signer.key
        if not ledger.is_granted(self._site.site_key.public):
            return self._told_outside(entry, says)
        paused = self.pause_for_harm(edition) if says == HURT else ()
        ledger.check_may_say(key, _REPORT)
        self._check_room(entry, says)
        return self._say(key, _REPORT, {"says": says, "words": clean}, (edition, *paused))

    def pause_for_harm(self, edition: str) -> tuple[str, ...]:
        """Pause a practice here because somebody was hurt; the ids of what was said, none where it is stopped already.

        Raises:
            FieldbookError: this site may not say it.
        """
        if self._is_stopped(self._site.entry_id(edition), edition):
            return ()
        self._site.need_ledger().check_may_say(self._site.site_key, _HOLD)
        body = {"on": True, "reason": "A reader says that it hurt someone."}
        return (self._say(self._site.site_key, _HOLD, body, (edition,)),)

    def _told_outside(self, entry: str, says: str) -> str:
        """At a site that is not let in yet nothing can be signed, but what hurt somebody is paused all the same."""
        site = self._site
        if says != HURT:
            raise SiteError(
                "this site is not let into the network yet, so what is told cannot leave it",
                hint="tell a trainer by word of mouth what went wrong",
            )
        if not site.pause_test()(site.view.folded(entry)):
            why = "A reader says that it hurt someone."
            site.local_pauses.add(entry=entry, recall="", words=why, by="", time=site.claimed_time())
            site.view.learn_again([entry])
        return ""

    def _is_stopped(self, entry: str, edition: str) -> bool:
        """True where readers here are shown nothing of it already."""
        folded = self._site.view.folded(entry)
        recalled = any(one["id"] == edition and one["state"] == "recalled" for one in folded["editions"])
        return recalled or self._site.pause_test()(folded)

    def _check_room(self, entry: str, says: str) -> None:
        own = [one for one in self.about(entry) if one.is_open and one.letter == self._site.letter]
        if sum(one.harm == (says == HURT) for one in own) < UNANSWERED_MAX:
            return
        if says == HURT:
            raise SiteError(
                f"{UNANSWERED_MAX} reports of harm from here wait for an answer already, and it is paused here",
                hint="tell a trainer by word of mouth what happened",
            )
        raise SiteError(
            f"{UNANSWERED_MAX} reports from here that it did not work wait for an answer already",
            hint="tell a trainer by word of mouth what went wrong",
        )

    # answering

    def answer(self, report: str, *, signer: Signer, words: str) -> str:
        """Answer a report; shown beside it at every site. Harm waits until a reviewer answers. Returns the id.

        Raises:
            FieldbookError: there is no such report, nothing is said, or the person is neither trainer nor reviewer.
        """
        found = self.named(report)
        signer = self._site.signers_role(signer)
        if signer.roles.isdisjoint(_WORKERS):
            raise SiteError(
                f"{signer.label} is neither trainer nor reviewer", hint="ask a trainer or reviewer to answer it"
            )
        clean = clean_words(said_words(words, "the answer"))
        self._site.need_ledger().check_may_say(signer.key, _REPORT)
        earlier = [one.statement for one in found.answers[-_ANSWERS_NAMED:]]  # named, so that they stand in order
        after = (found.edition, found.statement, *earlier)
        return self._say(signer.key, _REPORT, {"says": _ANSWER, "words": clean}, after)

    def named(self, text: str) -> Complaint:
        """The report that a person names by its first eight or more characters.

        Raises:
            SiteError: none or several begin so.
        """
        wanted = text.strip().lower()
        found = [one for one in self.every() if len(wanted) >= 8 and one.statement.startswith(wanted)]
        if len(found) != 1:
            raise SiteError(
                f"{text!r} names no report that is here", hint="write its id as the list of what people told gives it"
            )
        return found[0]

    def _say(self, key: Key, kind: str, body: Mapping[str, Any], after: Sequence[str]) -> str:
        site = self._site
        statement = site.need_ledger().say(
            key, kind, body, after=sorted(set(after)), time=site.claimed_time(), random=site.random
        )
        site.refresh_view()
        return statement


def _urgency(one: Complaint) -> tuple[bool, bool, str]:
    return (not (one.harm and one.is_open), not one.is_open, one.statement)


def _is_understood(said: Said) -> bool:
    return said.stands == "accepted" and said.body is not None and not body_faults(said.kind, said.body, strict=False)


def _tells_harm(said: Said) -> bool:
    """True for a comparison that harmed somebody, whatever else of it is understood: that is the careful side."""
    return said.stands == "accepted" and (said.body or {}).get("outcome") == HARMED


def _complaint(said: Said, entry: str, edition: str, answers: Sequence[Said], ledger: Ledger) -> Complaint:
    body = said.body or {}
    given = [one for one in answers if said.id in one.after and not ledger.roles_behind(one).isdisjoint(_WORKERS)]
    return Complaint(
        statement=said.id,
        entry=entry,
        edition=edition,
        harm=said.kind == _TRIAL or body["says"] == HURT,
        compared=said.kind == _TRIAL,
        words=str(body.get("harm_note" if said.kind == _TRIAL else "words", "")),
        by=ledger.label(said.author),
        letter=ledger.letter_of(said.author),
        time=said.time,
        answers=tuple(
            Answered(
                one.id,
                ledger.label(one.author),
                str((one.body or {}).get("words", "")),
                "reviewer" in ledger.roles_behind(one),
            )
            for one in given
        ),
    )


def clean_words(words: str) -> str:
    """Words for every site: without line ends.

    Raises:
        SiteError: they are too long, or hold what looks like a telephone number or a number of a person.
    """
    clean = " ".join(words.split())
    if len(clean) > TOLD_MAX_CHARACTERS:
        raise SiteError(
            f"the words are longer than {TOLD_MAX_CHARACTERS} characters", hint="say what happened in two sentences"
        )
    if _NUMBER_OF_A_PERSON.search(clean):
        raise SiteError(
            "the words hold a long number, and what is written here goes to every site",
            hint="leave out telephone numbers, card numbers and places",
        )
    return clean
