"""Beginning a practice at a place of this site: the slip "Before you start here", what makes it lapse, what is in use.

Everything stays in the notebook. Its one rule: a practice begins only on answers that hold now, for an edition that
readers here may follow; whatever is not known stands against it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.practices.faults import Fault, shown
from fieldbook.practices.scaling import bases, scale, scale_to_kept
from fieldbook.review.allowing import Allowance, allowances
from fieldbook.review.lapsing import Lapse, lapse_of
from fieldbook.review.sizing import judge_size
from fieldbook.review.slip_answers import SlipError, read_answers
from fieldbook.review.slip_questions import questions_of
from fieldbook.review.slip_table import EVENTS, Question
from fieldbook.review.starting import judge
from fieldbook.site.kept import Kept
from fieldbook.site.parts import SiteError
from fieldbook.site.showing import why_not_begun, why_not_gone_on
from fieldbook.site.slips import (
    BEGUN,
    EVENT,
    SLIP,
    Begun,
    Event,
    JudgedSlip,
    Slip,
    begun_of,
    day_of,
    event_of,
    is_at,
    place_words,
    slip_of,
)

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from fieldbook.notebook import Record
    from fieldbook.review.starting import Reason
    from fieldbook.site.parts import Signer
    from fieldbook.site.season import Season
    from fieldbook.site.sums import KeptSize, SumBook

_TRAINER = "trainer"


class Starting:
    """Slips, events and practices in use of one site."""

    def __init__(self, site: Season, sums: SumBook) -> None:
        """Read and write the papers of this site; ``sums`` keeps the sizes in which it makes a practice."""
        self._site = site
        self._notebook = site.notebook
        self._sums = sums
        self._kept = Kept()

    def questions(self, edition: str) -> tuple[Question, ...]:
        """What an edition asks of a place.

        Raises:
            SiteError: the words of the edition are not here, or it was withdrawn.
        """
        entry = self._site.entry_value(edition)
        if _is_recalled(self._site.view.folded(self._site.entry_id(edition)), edition):
            raise SiteError("this practice was withdrawn", hint="do not begin it; its notice says what to do instead")
        return questions_of(entry)

    def computed(self, edition: str) -> tuple[Allowance, ...]:
        """What is computed of an edition before a place has answered anything, for the sheet to ask with.

        Raises:
            SiteError: the words of the edition are not here.
        """
        return allowances(self._site.entry_value(edition), {})

    def answer(
        self,
        edition: str,
        *,
        place: str,
        answers: Mapping[str, Any],
        said_on: Mapping[str, str] | None = None,
        signer: Signer,
    ) -> JudgedSlip:
        """Keep what a place answers, in the place of what it answered before.

        Args:
            edition: the exact edition's id.
            place: words that tell the place apart here.
            answers: by the code of the question, as people typed them.
            said_on: for a role the day of its word, as people typed it.
            signer: a trainer of this site.

        Raises:
            SlipError: an answer is not understood, or two contradict each other; all faults are in it.
            SiteError: no trainer answers, the place is not named well, or the edition was withdrawn.
        """
        need_trainer(signer)
        words, questions = place_words(place), self.questions(edition)
        read = read_answers(questions, answers)
        days = self._days(questions, said_on or {})
        judge(self._site.entry_value(edition), read)  # what contradicts itself is not kept
        document = {
            "entry": self._site.entry_id(edition),
            "edition": edition,
            "place": words,
            "answers": dict(read),
            "said_on": days,
            **self._now(signer),
        }
        return self.slip(self._keep_slip(document).number)

    def slips(self) -> tuple[JudgedSlip, ...]:
        """All slips as they stand now, oldest first; those whose edition's words are gone are left out."""
        records = self._notebook.records(SLIP)
        return tuple(self._judged(slip_of(record)) for record in records if self._is_readable(record))

    def slip(self, number: int) -> JudgedSlip:
        """One slip as it stands now.

        Raises:
            SiteError: there is no such slip, or the words of its edition are not here.
        """
        return self._judged(slip_of(self._record(number)))

    def still_so(self, number: int, *, signer: Signer) -> JudgedSlip:
        """Say that all is still as it was answered, where only the age of the answers is in doubt.

        Raises:
            SiteError: there is no such slip, or more than its age stands against it.
        """
        need_trainer(signer)
        record, judged = self._record(number), self.slip(number)
        if judged.lapse is not None and judged.lapse.by != "exchanges":
            raise SiteError("these answers have lapsed", hint="ask again, and type in what you are told")
        self._notebook.change_record(record, {**record.document, "exchanges": self._exchanges})
        return self.slip(number)

    def happened(self, event: str, *, place: str = "", signer: Signer) -> Event:
        """Note that something happened here; the answers that it concerns have lapsed from now on.

        Args:
            event: a code of `EVENTS`.
            place: the words of one place; empty for all of the site.
            signer: a trainer of this site.

        Raises:
            SiteError: the event is not known, or no trainer says it.
        """
        need_trainer(signer)
        if event not in EVENTS:
            raise SiteError("what happened is not known here", hint=f"choose one of: {', '.join(EVENTS)}")
        document = {"event": event, "place": place_words(place) if place else "", **self._now(signer)}
        return event_of(self._notebook.add_record(EVENT, document))

    def heard_of_beds(self, event: str, *, place: str = "") -> Event:
        """Note what the bed book tells of a place, whoever wrote it there: a word that ends answers needs no trainer.

        Args:
            event: a code of `EVENTS`.
            place: the letter and number of a spot; empty for all of the site.
        """
        today = self._today
        document = {"event": event, "place": place, "day": None if today is None else today.isoformat()}
        return event_of(self._notebook.add_record(EVENT, document))

    def events(self) -> tuple[Event, ...]:
        """All that happened, oldest first."""
        return tuple(event_of(record) for record in self._notebook.records(EVENT))

    def begin(self, number: int, *, signer: Signer, size: int | None = None) -> Begun:
        """Begin a practice on the answers of its slip; one that is in use at this place already stays as it is.

        Args:
            number: of the slip.
            signer: a trainer of this site.
            size: the number of a size that is kept here for the edition; None to make it as the entry says.

        Raises:
            SiteError: something stands against it or against the size, or no such size is kept.
        """
        need_trainer(signer)
        judged = self.slip(number)
        if not judged.may_begin:
            words = judged.against
            raise SiteError(
                f"this may not begin here yet: {words}",
                hint="look at the slip: it says whom to ask and what to do instead",
            )
        there = next((one for one in self.begun() if one.slip == number), None)
        if there is not None:
            return there
        slip, in_size = judged.slip, {}
        if size is not None:
            in_size = {"size": self._size_held(judged, size).as_document()}
        document = {"edition": slip.edition, "place": slip.place, "slip": number, **in_size, **self._now(signer)}
        return begun_of(self._notebook.add_record(BEGUN, document, about=slip.entry))

    def begun(self) -> tuple[Begun, ...]:
        """The practices in use here, oldest first."""
        if self._site.ledger is None:
            return self._begun()
        found: tuple[Begun, ...] = self._kept.get(self._site.stamp, "begun", self._begun)
        return found

    def _begun(self) -> tuple[Begun, ...]:
        in_use = (record for record in self._notebook.records(BEGUN) if not record.document.get("ended"))
        return tuple(begun_of(one, stop=self._stop(str(one.document.get("edition")))) for one in in_use)

    def begun_at(self, label: str) -> tuple[Begun, ...]:
        """The practices in use at one spot of the bed book, by its label, oldest first."""
        return tuple(one for one in self.begun() if is_at(label, one.place))

    def end(self, number: int, *, signer: Signer) -> None:
        """Say that a practice is no longer in use.

        Raises:
            SiteError: it is not in use here.
        """
        need_trainer(signer)
        record = self._notebook.record(BEGUN, number)
        if record is None or record.document.get("ended"):
            raise SiteError("this practice is not in use here", hint="look at the list of what is in use")
        self._notebook.change_record(record, {**record.document, "ended": self._now(signer)})

    def sizes(self, slip: Slip) -> tuple[tuple[KeptSize, tuple[Reason, ...]], ...]:
        """The sizes that are kept for the edition of a slip, each with every reason against it at its place.

        Raises:
            ScalingError: one of them cannot be read.
        """
        kept = self._sums.sizes(slip.edition)
        return tuple((one, self.against_size(slip, one.as_document())) for one in kept)

    def against_size(self, slip: Slip, size: Mapping[str, Any]) -> tuple[Reason, ...]:
        """Every reason against making a practice in a size at the place of a slip; empty where the answers hold for it.

        Raises:
            FieldbookError: the edition cannot be recomputed for it.
        """
        entry = self._site.entry_value(slip.edition)
        return judge_size(entry, slip.answers, scale_to_kept(entry, size))

    def beyond_answers(self, slip: Slip) -> tuple[Reason, ...]:
        """What of the entry's own amounts is more than the answers hold for; it may begin, made smaller by hand."""
        entry = self._site.entry_value(slip.edition)
        own = next(iter(bases(entry)), None)
        if own is None:
            return ()
        reasons = judge_size(entry, slip.answers, scale(entry, base=own.key, amount=own.amount, unit=own.unit))
        return tuple(reason for reason in reasons if reason.value)

    def _size_held(self, judged: JudgedSlip, number: int) -> KeptSize:
        size = self._kept_size(judged.slip.edition, number)
        reasons = self.against_size(judged.slip, size.as_document())
        if reasons:
            words, found, fits = reasons[0].words, reasons[0].value, reasons[0].limit
            raise SiteError(
                f"this may not begin here in this size: {words}",
                hint=f"choose a smaller size, or ask anew and type in the answers: here {found}, and {fits} would fit"
                if found
                else "begin it as the entry says, or ask a trainer for an edition that says how deep its soil is",
            )
        return size

    def _kept_size(self, edition: str, number: int) -> KeptSize:
        found = next((one for one in self._sums.sizes(edition) if one.number == number), None)
        if found is None:
            raise SiteError(
                "this size is not kept here any more",
                hint="choose one of the sizes that are shown, or begin it as the entry says",
            )
        return found

    @property
    def _exchanges(self) -> int:
        return int(self._notebook.fact("exchanges") or 0)

    @property
    def _today(self) -> dt.date | None:
        return None if self._site.clock_doubt else self._site.clock().date()

    def _now(self, signer: Signer) -> dict[str, Any]:
        today, events = self._today, self._notebook.records(EVENT)
        return {
            "day": None if today is None else today.isoformat(),
            "exchanges": self._exchanges,
            "events_seen": max((record.number for record in events), default=0),
            "by": signer.label,
        }

    def _days(self, questions: Iterable[Question], said_on: Mapping[str, str]) -> dict[str, str]:
        """The days of the words of those who are asked, checked."""
        today, faults = self._today, []
        kept = {question.ask: said_on[question.ask].strip() for question in questions if said_on.get(question.ask)}
        for role, text in kept.items():
            day = day_of(text) if len(text) == len("2026-11-25") else None
            if text and day is None:
                said = f"{shown(text)} is no day of the calendar"
                faults.append(Fault(f"said_on.{role}", said, "write it like 2026-11-25"))
            elif day is not None and today is not None and day > today:
                faults.append(Fault(f"said_on.{role}", "this day has not come yet", "write the day of their word"))
        if faults:
            raise SlipError(tuple(faults))
        return {role: text for role, text in kept.items() if text}

    def _keep_slip(self, document: Mapping[str, Any]) -> Record:
        entry = str(document["entry"])
        for record in self._notebook.records(SLIP, about=entry):
            slip = slip_of(record)
            if (slip.edition, slip.place.casefold()) == (document["edition"], str(document["place"]).casefold()):
                return self._notebook.change_record(record, document)
        return self._notebook.add_record(SLIP, document, about=entry)

    def _record(self, number: int) -> Record:
        record = self._notebook.record(SLIP, number)
        if record is None:
            raise SiteError(
                "there is no such slip here", hint="look at the list of slips, or answer the questions anew"
            )
        return record

    def _judged(self, slip: Slip) -> JudgedSlip:
        entry, folded = self._site.entry_value(slip.edition), self._site.view.folded(slip.entry)
        questions = questions_of(entry)
        return JudgedSlip(
            slip=slip,
            questions=questions,
            outcome=judge(entry, slip.answers),
            lapse=self._lapse(slip, questions),
            standing=why_not_begun(
                folded,
                slip.edition,
                self._site.need_ledger(),
                own_site=self._site.site_key.public,
                paused=self._site.pause_test()(folded),
            ),
            limits=self._limits(slip),
        )

    def _lapse(self, slip: Slip, questions: Iterable[Question]) -> Lapse | None:
        since = (one for one in self.events() if one.number > slip.events_seen)
        return lapse_of(
            given_on=slip.given_on,
            today=self._today,
            exchanges_since=self._exchanges - slip.exchanges,
            concerned_by=frozenset(event for question in questions for event in question.events),
            events_since=[one.event for one in since if is_at(one.place, slip.place)],
        )

    def _limits(self, slip: Slip) -> tuple[str, ...]:
        """The limits with which reviewers approved the edition."""
        try:
            approvals = self._site.page(slip.entry, edition=slip.edition).approvals
        except FieldbookError:
            return ()  # it is not shown here, and so it stands against beginning already
        return tuple(limit for approval in approvals for limit in approval.limits)

    def _stop(self, edition: str) -> str:
        """Why what is in use may not be gone on with; empty where it may."""
        try:
            folded = self._site.view.folded(self._site.entry_id(edition))
        except FieldbookError:
            return "its words are not here any more"
        paused = self._site.pause_test()(folded)
        return why_not_gone_on(folded, edition, self._site.need_ledger(), paused=paused)

    def _is_readable(self, record: Record) -> bool:
        said = self._site.need_ledger().said(str(record.document.get("edition", "")))
        return said is not None and said.body is not None


def _is_recalled(folded: Mapping[str, Any], edition: str) -> bool:
    return any(one["id"] == edition and one["state"] == "recalled" for one in folded["editions"])


def need_trainer(signer: Signer) -> None:
    """Let only trainers of this site go on.

    Raises:
        SiteError: whoever asks is none.
    """
    if _TRAINER not in signer.roles:
        raise SiteError("only a trainer begins and ends practices", hint="ask a trainer of this site to do it")
