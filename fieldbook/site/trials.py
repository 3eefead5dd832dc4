"""Comparisons of a practice with the usual way: begun by lot, counted bit by bit, signed when whole.

What is under way stays in the notebook. Its one rule: nothing that was counted is lost or signed twice, and a
comparison that harmed somebody pauses the practice here before anything else is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.site.complaining import HURT, clean_words
from fieldbook.site.known_trials import KIND, KnownTrials, thing_names
from fieldbook.site.parts import SiteError
from fieldbook.site.showing import why_not_begun
from fieldbook.site.trial_papers import PAPER, TrialPaper, paper_of
from fieldbook.trials import Trial, read_trial
from fieldbook.trials.counting import finished, with_counts
from fieldbook.trials.lots import draw_lots
from fieldbook.trials.plan import read_plan, unit_rows
from fieldbook.trials.shape import PAIRED

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.ledger import Key
    from fieldbook.notebook import Record
    from fieldbook.site.parts import Signer

OPEN_MOST = 24  # of one site: more than anybody counts; a form that is sent for ever fills no disk (ours)


class Trials(KnownTrials):
    """The comparisons of one site: those under way here, and all that it has heard of."""

    def papers(self) -> tuple[TrialPaper, ...]:
        """All comparisons that were begun here, oldest first: under way, signed, given up."""
        return tuple(self._settled(paper_of(record)) for record in self._site.notebook.records(PAPER))

    def under_way(self) -> tuple[TrialPaper, ...]:
        """Those that are neither signed nor given up."""
        return tuple(paper for paper in self.papers() if not paper.said and not paper.dropped)

    def paper(self, number: int) -> TrialPaper:
        """One that was begun here.

        Raises:
            SiteError: there is none of this number.
        """
        return self._settled(paper_of(self._record(number)))

    def begin(self, edition: str, plan: Mapping[str, Any], *, signer: Signer | None) -> TrialPaper:
        """Begin a comparison: lots say which unit gets which way.

        Args:
            edition: the exact edition that is tried.
            plan: what was typed, by the names of `fieldbook.trials.plan.PLAN_FIELDS`.
            signer: who begins it; None for a reader without a name.

        Raises:
            TrialError: it cannot be compared so; its faults name the boxes.
            SiteError: the practice may not be used here now, or too many are under way.
        """
        why = self.why_not_tried(edition)
        if why:
            raise SiteError(
                f"this may not be compared here: {why}", hint="look at the practice entry, and ask a trainer"
            )
        if len(self.under_way()) >= OPEN_MOST:
            raise SiteError(
                f"{OPEN_MOST} comparisons are under way here already", hint="finish one, or give one up and say why"
            )
        read = read_plan(plan)
        body, each = _with_rows_of_names(read["body"]), read["each"]
        for words in (plan.get(name) or "" for name in ("thing", "crop", "way", "way_what", "usual", "usual_what")):
            clean_words(str(words))
        labels = [str(row["label"]) for row in unit_rows(body["design"], each, (0, 1))]
        lots = draw_lots(labels, paired=body["design"] == PAIRED, below=self._below)
        document = {
            "edition": edition,
            **{name: read[name] for name in ("per_unit", "out_of", "day")},
            "body": {**body, "units": unit_rows(body["design"], each, lots)},
            "by": self._site.letter if signer is None else signer.label,
        }
        return paper_of(self._site.notebook.add_record(PAPER, document, about=self._site.entry_id(edition)))

    def count(self, number: int, row: int, typed: Mapping[str, Any]) -> TrialPaper:
        """Keep what was counted in one unit, in the place of what stood there.

        Args:
            number: of the comparison.
            row: of the unit, from 0.
            typed: by the names of `fieldbook.trials.counting.COUNT_FIELDS`.

        Raises:
            TrialError: something of it cannot be; nothing is changed.
            SiteError: there is no such comparison or unit, or it is no longer under way.
        """
        record, paper = self._open(number)
        if not 0 <= row < len(paper.body["units"]):
            raise SiteError("there is no such unit in this comparison", hint="choose one of its list")
        clean_words(str(typed.get("why") or ""))
        return self._keep(record, body=with_counts(paper.body, row, typed))

    def drop(self, number: int, why: str) -> TrialPaper:
        """Give a comparison up; what was counted stays in the notebook with the reason.

        Raises:
            SiteError: no reason is given, or it is no longer under way.
        """
        record, _ = self._open(number)
        words = clean_words(why)
        if not words:
            raise SiteError("nobody said why it is given up", hint="say why in a few words; nothing is wiped")
        return self._keep(record, dropped=words)

    def finish(self, number: int, word: Mapping[str, Any], *, signer: Signer | None) -> str:
        """Sign a comparison that is whole; where it harmed somebody, the practice is paused here first.

        Args:
            number: of the comparison.
            word: by the names of `fieldbook.trials.counting.WORD_FIELDS`.
            signer: who signs it; None for a reader without a name, for whom the site does.

        Returns:
            The id of the statement.

        Raises:
            TrialError: it is not whole, or its counts cannot be compared.
            FieldbookError: it may not be said; what was counted stays as it was.
        """
        record, paper = self._open(number)
        for name in ("harm_note", "note"):
            clean_words(str(word.get(name) or ""))
        trial = finished(paper.body, word)

        def announce(statement: str) -> None:
            self._keep(record, said=statement)

        return self._sign(paper.edition, trial, signer=signer, announce=announce)

    def tell_whole(self, edition: str, document: Mapping[str, Any], *, signer: Signer | None) -> str:
        """Sign a comparison that was done on paper: the body of a trial, as its schema says; returns the id.

        Raises:
            TrialError: it has faults; all of them are in it.
            FieldbookError: it may not be said.
        """
        trial = read_trial(document)
        for words in (trial.document.get("harm_note", ""), *trial.document.get("note", {}).values()):
            clean_words(words)
        return self._sign(edition, trial, signer=signer)

    def _sign(self, edition: str, trial: Trial, *, signer: Signer | None, announce: Any = None) -> str:
        site, ledger = self._site, self._site.need_ledger()
        key: Key = site.site_key if signer is None else signer.key
        if not ledger.is_granted(site.site_key.public):
            if trial.harmed:
                site.complaints.tell(edition, says=HURT)  # nothing can be signed, but it is paused all the same
            raise SiteError(
                "this site is not let into the network yet, so a comparison cannot leave it",
                hint="keep it under way, and finish it when a signatory has let this site in",
            )
        ledger.check_may_say(key, KIND)
        paused = site.complaints.pause_for_harm(edition) if trial.harmed else ()
        statement = ledger.say(
            key,
            KIND,
            trial.document,
            after=sorted({edition, *paused}),
            time=site.claimed_time(),
            random=site.random,
            announce=announce or (lambda _id: None),
        )
        site.refresh_view()
        return statement

    def why_not_tried(self, edition: str) -> str:
        """Why an edition may not be tried here now, a clause; empty where it may."""
        site = self._site
        entry = site.view.entry_of(edition)
        if entry is None:  # a site that was put back may hold the paper before the entry
            return "its words are not here in a form that this software knows"
        folded = site.view.folded(entry)
        return why_not_begun(
            folded, edition, site.need_ledger(), own_site=site.site_key.public, paused=site.pause_test()(folded)
        )

    def _below(self, number: int) -> int:
        """A whole number below another, by this site's chance; what is left over of 2^64 tips it by next to nothing."""
        return int.from_bytes(self._site.random(8), "big") % number

    def _settled(self, paper: TrialPaper) -> TrialPaper:
        """A paper whose announced statement is not here after all (the power went) is under way still."""
        ledger = self._site.ledger
        here = ledger is not None and paper.said and ledger.said(paper.said) is not None
        return paper if here or not paper.said else TrialPaper(**{**paper.__dict__, "said": ""})

    def _open(self, number: int) -> tuple[Record, TrialPaper]:
        record, paper = self._record(number), self.paper(number)
        if paper.said or paper.dropped:
            raise SiteError("this comparison is no longer under way", hint="begin another one from the practice entry")
        return record, paper

    def _keep(self, record: Record, **changed: Any) -> TrialPaper:
        return paper_of(self._site.notebook.change_record(record, {**record.document, **changed}))

    def _record(self, number: int) -> Record:
        record = self._site.notebook.record(PAPER, number)
        if record is None:
            raise SiteError(
                "there is no such comparison here", hint="look at the list of comparisons, or begin one from an entry"
            )
        return record


def _with_rows_of_names(body: Mapping[str, Any]) -> dict[str, Any]:
    """A plan whose crop and thing are rows of the names table where known, so that languages do not part it."""
    meant = {name: thing_names().thing(next(iter(body[name].values()))) for name in ("crop", "thing")}
    return {**body, **{name: thing for name, thing in meant.items() if thing}}
