"""Reviewing at a site: findings, approval of an exact edition, and the ways to stop one.

Its one rule: the rules of safety run before signing; what the reviewer answered is signed with the approval, and
nothing is decided here that another site could not check from the statement alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import (
    PURPOSES,
    Difference,
    Entry,
    can_be_named,
    differences,
    ingredients_of,
    likenesses,
    missing_to_approve,
    read_entry,
)
from fieldbook.review import (
    MOVES,
    RULES_VERSION,
    approval_body,
    body_faults,
    findings_of,
    moved,
)
from fieldbook.review.bodies import LIKENESSES_MAX, NOTICE_MAX_BYTES, NOTICE_MAX_CHARACTERS, notice_bytes
from fieldbook.review.sending_back import reason_words
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.pausing import covers
from fieldbook.site.writing import Writing
from fieldbook.view import understood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.review import Finding

REASON_MAX_CHARACTERS = 1000
_TAKES_NO_PLACE = frozenset({"fieldbook/recall"})  # it beats all others anyway, and acts before they are here


class Reviewing(Writing):
    """What reviewers and trainers say about editions."""

    def findings(self, edition: str) -> tuple[Finding, ...]:
        """What the safety rules find in an edition; computed now, never stored as truth."""
        return findings_of(self.entry_value(edition))

    def missing_to_approve(self, edition: str) -> tuple[str, ...]:
        """The fields without which an edition cannot be approved, whatever is answered."""
        return missing_to_approve(self.entry_value(edition))

    def entry_value(self, edition: str) -> Entry:
        """The practice that an edition holds.

        Raises:
            SiteError: its words are not here, newer software wrote them, or it is set aside.
        """
        said = self.need_ledger().said(edition)
        if said is None or said.body is None:
            raise SiteError(f"the words of edition {edition[:12]} are not here", hint="take in a stick that holds them")
        if said.stands != "accepted":
            raise SiteError(
                f"edition {edition[:12]} is set aside", hint="its author's key was stopped; ask a signatory"
            )
        if not understood(said):
            raise SiteError(
                f"edition {edition[:12]} is not in a form that this software knows",
                hint="bring this site's software up to date",
            )
        return read_entry(said.body, strict=False)

    def ingredients(self, edition: str) -> tuple[str, ...]:
        """What an edition holds that a withdrawal can name, each as ``purpose thing``, sorted."""
        said = self.need_ledger().said(edition)
        found = ingredients_of(None if said is None else said.body)
        return tuple(sorted(f"{purpose} {thing}" for purpose, thing in found if can_be_named(purpose, thing)))

    def approved_before(self, edition: str) -> Entry | None:
        """The last approved edition of the entry besides this one, or None."""
        editions = self.view.folded(self.entry_id(edition))["editions"]
        approved = [
            one["id"] for one in editions if one["state"] == "approved" and one["understood"] and one["id"] != edition
        ]
        return self.entry_value(approved[-1]) if approved else None

    def differences(self, edition: str) -> tuple[Difference, ...]:
        """What changed since the last approved edition of the entry; everything, where none is approved."""
        return differences(self.approved_before(edition) or Entry({}), self.entry_value(edition))

    def approve(
        self,
        edition: str,
        *,
        signer: Signer,
        answers: Mapping[str, str],
        limits: Sequence[str] = (),
        second_word: Mapping[str, Any] | None = None,
    ) -> str:
        """Approve one exact edition; returns the statement's id.

        Args:
            edition: its id.
            signer: a reviewer who is not its author.
            answers: the reviewer's words by rule; one covers all findings of that rule.
            limits: approved only with these.
            second_word: a licensed local person's word, as ``second_words`` keeps it; it counts at this site only.

        Raises:
            FieldbookError: a stop stands, an answer is missing, a needed field is missing, or the person may not.
        """
        signer = self.signers_role(signer)
        self.need_ledger().check_may_say(signer.key, "fieldbook/approval")
        if self._author_key(edition) == signer.key.public:
            raise SiteError("nobody approves their own work", hint="another reviewer decides on this edition")
        self._check_not_stopped(edition)
        body = approval_body(
            self.entry_value(edition),
            answers=answers,
            limits=limits,
            scope=self._scope(signer),
            second_word=second_word,
        )
        return self._decide(signer, "fieldbook/approval", edition, body)

    def send_back(self, edition: str, *, signer: Signer, reason: str = "", code: str = "") -> str:
        """Send an edition back to its author; authors may send back their own.

        Args:
            edition: its id.
            signer: a reviewer, or its author.
            reason: in words; may be empty where a code says enough.
            code: one of ``review.sending_back.REASONS``, or empty.

        Raises:
            FieldbookError: no reason is given, the code is none of the list, or the person may not.
        """
        mine = self._author_key(edition) == signer.key.public
        if not mine and "reviewer" not in self.signers_role(signer).roles:
            raise SiteError(f"{signer.label} is no reviewer", hint="a reviewer sends back, or the author their own")
        words = said_words(reason_words(code, reason), "the reason")
        return self._decide(
            signer, "fieldbook/sent-back", edition, {"reason": words} | ({"code": code} if code else {})
        )

    def recall(
        self,
        edition: str,
        *,
        signer: Signer,
        harm: str,
        instead: str,
        now: str = "",
        at_risk: str = "",
        sources: str = "",
        ingredient: str = "",
        drill: bool = False,
    ) -> str:
        """Withdraw an entry, and all that was made from it, at every site.

        Args:
            edition: an edition of it.
            signer: a reviewer.
            harm: what it did, to whom.
            instead: what to do instead.
            now: what to do now where it is in use.
            at_risk: who may have been harmed and is looked after; may be empty.
            sources: how the harm is known, without names; may be empty.
            ingredient: stop all that holds this too: a purpose and a thing, as ``spray tobacco``.
            drill: nothing is wrong; the way of the word is tried.

        Raises:
            FieldbookError: the notice is too long, the ingredient is unknown, or the person may not.
        """
        body: dict[str, Any] = {
            "harm": said_words(harm, "the harm", most=NOTICE_MAX_CHARACTERS),
            "instead": said_words(instead, "what to do instead", most=NOTICE_MAX_CHARACTERS),
        }
        if now.strip():
            body["now"] = said_words(now, "what to do now", most=NOTICE_MAX_CHARACTERS)
        if at_risk.strip():
            body["at_risk"] = said_words(at_risk, "who is at risk", most=NOTICE_MAX_CHARACTERS)
        if sources.strip():
            body["sources"] = said_words(sources, "how it is known", most=NOTICE_MAX_CHARACTERS)
        if ingredient.strip():
            body["ingredient"] = _ingredient(ingredient)
        if drill:
            body["drill"] = True
        _check_length(body)
        return self._decide(signer, "fieldbook/recall", edition, self._with_likenesses(body, edition))

    def _with_likenesses(self, body: dict[str, Any], edition: str) -> dict[str, Any]:
        """A notice with the marks by which copies of what it stops are known, as many as its bytes leave room for."""
        ledger, marks = self.need_ledger(), list[str]()
        for one in (edition, *self.view.family(self.entry_id(edition))):
            said = ledger.said(one)
            found = sorted(likenesses(None if said is None else said.body) - set(marks))
            for mark in found:
                if (
                    len(marks) < LIKENESSES_MAX
                    and notice_bytes({**body, "likenesses": [*marks, mark]}) <= NOTICE_MAX_BYTES
                ):
                    marks.append(mark)
        return {**body, "likenesses": sorted(marks)} if marks else body

    def retire(self, edition: str, *, signer: Signer, reason: str, replaced_by: str | None = None) -> str:
        """Mark an edition as out of date."""
        body = {"reason": said_words(reason, "the reason")}
        if replaced_by and replaced_by.strip():
            instead = self.entry_id(replaced_by)
            if instead == self.entry_id(edition):
                raise SiteError("this practice cannot replace itself", hint="name another practice entry, or none")
            body["replaced_by"] = instead
        return self._decide(signer, "fieldbook/retirement", edition, body)

    def hold(self, edition: str, *, signer: Signer, reason: str) -> str:
        """Pause an edition at this site."""
        body = {"on": True, "reason": said_words(reason, "the reason")}
        return self._decide(signer, "fieldbook/hold", edition, body)

    def release(self, edition: str, *, signer: Signer) -> str:
        """End this site's pause, of the notebook too; returns the statement's id, empty where none was needed."""
        if self._end_local_pauses(edition, signer) and not self._own_holds(edition):
            return ""
        if not self._own_holds(edition):
            raise SiteError("this edition is not paused here", hint="ask the site that paused it to end that")
        return self._decide(signer, "fieldbook/hold", edition, {"on": False, "reason": ""}, answers="holds")

    def _end_local_pauses(self, edition: str, signer: Signer) -> bool:
        entry = self.entry_id(edition)
        local = self.local_pauses_of(entry)
        if local and self.signers_role(signer).roles.isdisjoint({"trainer", "reviewer"}):
            raise SiteError(f"{signer.label} may not end a pause", hint="ask a trainer or reviewer of this site")
        self.local_pauses.end(local)
        self.view.learn_again({entry, *(one for one in self.view.entries() if any(covers(p, [one]) for p in local))})
        return bool(local)

    def _decide(
        self, signer: Signer, kind: str, edition: str, body: Mapping[str, Any], *, answers: str = "decisions"
    ) -> str:
        """Say a decision; it answers the edition and what was decided on it before, so that it takes their place."""
        ledger = self.need_ledger()
        ledger.check_may_say(signer.key, kind)
        faults = body_faults(kind, body)
        if faults:
            raise SiteError(f"{faults[0].field}: {faults[0].message}", hint=faults[0].hint)
        if kind in MOVES:
            moved(self._folded_edition(edition)["state"], kind)
        earlier = () if kind in _TAKES_NO_PLACE else self._earlier(edition, answers)
        statement = ledger.say(
            signer.key, kind, body, after=(edition, *earlier), time=self.claimed_time(), random=self.random
        )
        self.refresh_view()
        return statement

    def _earlier(self, edition: str, answers: str) -> tuple[str, ...]:
        """Decisions on an edition that none answers yet, or this site's own holds on its entry."""
        return self._own_holds(edition) if answers == "holds" else tuple(self._folded_edition(edition)["decisions"])

    def _own_holds(self, edition: str) -> tuple[str, ...]:
        """This site's own holds on any edition of an entry (one pauses them all), and the editions they lie on."""
        editions = self.view.folded(self.entry_id(edition))["editions"]
        own = [(one["id"], hold["id"]) for one in editions for hold in one["holds"] if self._is_ours(hold)]
        return tuple(sorted({name for pair in own for name in pair} - {edition}))

    def _is_ours(self, hold: Mapping[str, Any]) -> bool:
        return bool(hold["site"] == self.site_key.public)

    def _folded_edition(self, edition: str) -> dict[str, Any]:
        editions: list[dict[str, Any]] = self.view.folded(self.entry_id(edition))["editions"]
        return next(one for one in editions if one["id"] == edition)

    def _check_not_stopped(self, edition: str) -> None:
        if self._folded_edition(edition)["state"] == "recalled":
            raise SiteError(
                "this practice entry is withdrawn", hint="two sites must allow it again before it is approved"
            )

    def _scope(self, signer: Signer) -> tuple[str, ...]:
        return self.need_ledger().reviewer_scope(signer.key.public)

    def _author_key(self, edition: str) -> str:
        said = self.need_ledger().said(edition)
        return "" if said is None else said.author


def _check_length(body: Mapping[str, Any]) -> None:
    """Refuse a notice that is too long for a weak link.

    Raises:
        SiteError: it is.
    """
    size = notice_bytes(body)
    if size > NOTICE_MAX_BYTES:
        raise SiteError(
            f"the notice takes {size} bytes, and {NOTICE_MAX_BYTES} go over any link",
            hint="say it shorter: what happened, what to do now and instead, who is at risk, one sentence each",
        )


def _ingredient(text: str) -> dict[str, str]:
    """A purpose and a thing, as typed or chosen.

    Raises:
        SiteError: no practice can hold that.
    """
    purpose, _, thing = text.strip().partition(" ")
    if not can_be_named(purpose, thing):
        listed = "; ".join(
            f"{one} {' '.join(sorted(set(things) - {'other'}))}" for one, (_, things) in PURPOSES.items()
        )
        raise SiteError(
            f"{text!r} is no ingredient that can be named", hint=f"choose a purpose and a thing of: {listed}"
        )
    return {"purpose": purpose, "thing": thing}


def said_words(text: str, what: str, *, most: int = REASON_MAX_CHARACTERS) -> str:
    """Words that a person must say.

    Raises:
        SiteError: they are blank or too long.
    """
    words = " ".join(text.split())
    if not words:
        raise SiteError(f"{what} is empty", hint="say it in a sentence")
    if len(words) > most:
        raise SiteError(f"{what} is longer than {most} characters", hint="say it shorter")
    return words


__all__ = ["RULES_VERSION", "Reviewing", "said_words"]
