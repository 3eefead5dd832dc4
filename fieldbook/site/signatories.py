"""Signatories: whose voice counts, what the next list of them would be, and giving a voice for one.

Its one rule: since a voice cannot be taken back, none is given twice, and none for the list that is in force already.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.site.borrowing import Borrowing
from fieldbook.site.parts import Signer, SiteError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.ledger import Known, Ledger, Motion, Outcome


class Signatories(Borrowing):
    """Who is a signatory, and who shall be one."""

    def is_signatory(self, signer: Signer | None) -> bool:
        """True where this person's voice counts for reviewers, stops and liftings, stopped or not."""
        return signer is not None and self.ledger is not None and self.ledger.counts_in_all(signer.key.public)

    def is_listed(self, signer: Signer | None) -> bool:
        """True where a list in force names this person, so that they can say a next one; of rival lists any."""
        return signer is not None and self.ledger is not None and self.ledger.is_signatory(signer.key.public)

    @property
    def has_rivals(self) -> bool:
        """True while rival lists of signatories stand beside one another."""
        return self.ledger is not None and bool(self.ledger.rival_lists())

    @property
    def rivals_alarm(self) -> str | None:
        """A sentence while rival lists of signatories stand beside one another, else None."""
        if not self.has_rivals:
            return None
        return (
            "Two rival lists of signatories are in force; only what both allow counts. `who` says what differs. "
            "The one way out: talk to each other, then agree to one list; it counts when enough people of each have."
        )

    def check_signatory(self, signer: Signer) -> Ledger:
        """Check that a person's voice counts for reviewers, stops and liftings.

        Raises:
            SiteError: it does not, or only in one of the lists that stand beside one another.
        """
        ledger = self.need_ledger()
        if ledger.counts_in_all(signer.key.public):
            return ledger
        if not ledger.is_signatory(signer.key.public):
            raise self._no_signatory(signer)
        raise SiteError(
            f"{signer.label} stands in one of the rival lists only, and only what every list allows counts",
            hint="agree on one list first: on the page of signatories, or by `stewards`",
        )

    @staticmethod
    def _no_signatory(signer: Signer) -> SiteError:
        return SiteError(
            f"{signer.label} is no signatory of the network", hint="the page of people names the signatories"
        )

    # the next list

    def next_signatories(self, *, add: Sequence[Known] = (), leave: Sequence[Known] = ()) -> list[dict[str, str]]:
        """The list of signatories with some more and without others.

        Raises:
            SiteError: somebody added is stopped or no person, somebody left out is none of them, or nobody is left.
        """
        ledger = self.need_ledger()
        listed = {one["key"]: one for one in ledger.listed_stewards()}
        for person in leave:
            if listed.pop(person.key, None) is None:
                raise SiteError(f"{person.label} is no signatory now", hint="look who is one: `who`")
        for person in add:
            if person.stopped or person.is_site or person.site is None:
                raise SiteError(
                    f"{person.label} cannot become a signatory", hint="name a person of a site whose key is not stopped"
                )
            listed[person.key] = {"key": person.key, "name": ledger.plain_name(person.key), "site": person.site}
        if not listed:
            raise SiteError("a list of signatories names at least one", hint="add somebody in the same step")
        return [listed[key] for key in sorted(listed)]

    def state_stewards(self, stewards: Sequence[dict[str, str]], *, threshold: int, signer: Signer) -> str:
        """One voice for the next version of the stewards, or for one that others have stated already.

        Raises:
            FieldbookError: the list is none to come, the signer is in no list that counts here, or has said it already.
        """
        key = signer.key.public
        if not self.is_listed(signer) and key not in {one["key"] for one in stewards}:
            raise self._no_signatory(signer)
        body, after = self._next_stewards(stewards, threshold)
        if any(self._is_list(motion, stewards, threshold) and key in motion.spoken for motion in self._lists_waiting()):
            raise SiteError(f"{signer.label} has said this already", hint="another signatory has to say it too")
        return self._say_as(signer, "sync/stewards", body, after=after)

    def has_said_another(self, stewards: Sequence[Mapping[str, str]], *, threshold: int, signer: Signer) -> bool:
        """True where this person gave a voice for another list, and that one may still find enough."""
        waiting = self._lists_waiting()
        return any(signer.key.public in one.spoken and not self._is_list(one, stewards, threshold) for one in waiting)

    def _lists_waiting(self) -> list[Motion]:
        return [one for one in self.need_ledger().motions() if one.kind == "sync/stewards"]

    @staticmethod
    def _is_list(motion: Motion, stewards: Sequence[Mapping[str, str]], threshold: int) -> bool:
        wanted = sorted((dict(one) for one in stewards), key=lambda one: one["key"])
        return bool(motion.body["threshold"] == threshold and motion.body["stewards"] == wanted)

    def _next_stewards(
        self, stewards: Sequence[dict[str, str]], threshold: int
    ) -> tuple[dict[str, Any], tuple[str, ...]]:
        self._check_threshold(len(stewards), threshold)
        ledger = self.need_ledger()
        keys, now = {one["key"] for one in stewards}, {one["key"] for one in ledger.listed_stewards()}
        if keys == now and threshold == ledger.can_sign()[1] and not self.has_rivals:
            raise SiteError(
                "this is the list that is in force",
                hint="add somebody, leave somebody out, or change how many must agree",
            )
        return ledger.next_stewards(stewards, threshold=threshold)

    @staticmethod
    def _check_threshold(signatories: int, threshold: int) -> None:
        least = signatories // 2 + 1
        if not least <= threshold <= signatories:
            raise SiteError(
                f"of {signatories} signatories {threshold} cannot be the number that must agree",
                hint=f"take from {least} to {signatories}: more than half, so that no two halves can rule",
            )

    def if_stewards(self, stewards: Sequence[dict[str, str]], *, threshold: int) -> Outcome:
        """What would change if all who must agree had said this list.

        Raises:
            SiteError: the threshold does not fit the list, or the list is in force.
        """
        body, after = self._next_stewards(stewards, threshold)
        return self.need_ledger().outcome_agreed("sync/stewards", body, after)

    def if_agreed(self, motion: Motion) -> Outcome:
        """What would change if all who must agree had agreed."""
        return self.need_ledger().outcome_agreed(motion.kind, motion.body, motion.after)
