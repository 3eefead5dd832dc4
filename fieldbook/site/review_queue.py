"""What waits for a reviewer of this site, in the order of harm, with the reasons.

Not the order itself (``review.queueing``) and not the decision (``reviewing``). Its one rule: nobody's own work, and
nothing that this person may not see, stands in it.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.review.queueing import SITTING_MIN, Weight, how_many_fit, in_order, weight_of
from fieldbook.review.stakes import NEEDED_CHECKS, unchecked_stakes
from fieldbook.site.kept import Kept
from fieldbook.site.parts import time_claimed
from fieldbook.site.showing import showable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.site import Site
    from fieldbook.site.parts import Signer
    from fieldbook.view import Card


@dataclass(frozen=True)
class QueueItem:
    """One edition that waits for a reviewer: its card, why it stands where it stands, and whether it is for now."""

    card: Card
    weight: Weight
    now: bool

    def as_document(self) -> dict[str, Any]:
        """The item as JSON."""
        return {
            "edition": self.card.edition,
            "entry": self.card.entry,
            "title": dict(self.card.title),
            "site": self.card.site_letter,
            "now": self.now,
            "reasons": [{"reason": code, "number": number} for code, number in self.weight.reasons()],
        }


class ReviewQueue:
    """What waits for the reviewers of one site."""

    def __init__(self, site: Site) -> None:
        """Look at a site."""
        self._site = site
        self._kept = Kept()
        self._at_stake: dict[str, bool] = {}  # an edition never changes, so whether anything is at stake in it stays

    def items(self, signer: Signer, *, minutes: int = SITTING_MIN) -> tuple[QueueItem, ...]:
        """What waits for this person, in order; ``now`` marks what fits into their minutes."""
        who = (signer.key.public, signer.roles, None if time_claimed(now := self._site.clock()) is None else now.date())
        weights, cards = self._kept.get(self._site.stamp, who, lambda: self._weighed(signer))
        fit = how_many_fit(minutes)
        return tuple(QueueItem(cards[name], weights[name], n < fit) for n, name in enumerate(cards))

    def _weighed(self, signer: Signer) -> tuple[dict[str, Weight], dict[str, Card]]:
        """The weight of all that waits for a person, and the cards in their order."""
        waiting = {
            str(edition["id"]): (folded, edition)
            for folded in map(self._site.view.folded, self._site.view.entries())
            for edition in folded["editions"]
            if self._waits_for(signer, edition)
        }
        in_use = Counter(begun.entry for begun in self._site.starting.begun())
        weights = {name: self._weight(*found, in_use[found[0]["entry"]]) for name, found in waiting.items()}
        return weights, {name: self._card(*waiting[name]) for name in in_order(weights)}

    def _waits_for(self, signer: Signer, edition: Mapping[str, Any]) -> bool:
        """True for each newest edition that is offered, hurt somebody, or needs a second check by another."""
        return (
            (edition["state"] == "offered" or self._hurt(signer, edition) or self._needs_second(signer, edition))
            and edition["newest"]
            and edition["author"] != signer.key.public
            and self._in_scope(signer, str(edition["kind"]))
            and showable(
                edition, self._site.need_ledger(), own_site=self._site.site_key.public, reader=signer, paused=False
            )
        )

    def _in_scope(self, signer: Signer, kind: str) -> bool:
        """True where this person decides on this kind of practice; whoever decides on none may look at all."""
        scope = self._site.need_ledger().reviewer_scope(signer.key.public)
        return "reviewer" not in signer.roles or not scope or kind in scope

    def _hurt(self, signer: Signer, edition: Mapping[str, Any]) -> bool:
        """True where what was approved is said to have hurt somebody, and no reviewer has answered."""
        if edition["state"] != "approved" or not edition["understood"] or "reviewer" not in signer.roles:
            return False
        return self._site.complaints.of_harm(self._site.entry_id(edition["id"])) > 0

    def _needs_second(self, signer: Signer, edition: Mapping[str, Any]) -> bool:
        mine = any(one["author"] == signer.key.public for one in edition["approvals"])
        return "reviewer" in signer.roles and not mine and self._lacks_second(edition)

    def _lacks_second(self, edition: Mapping[str, Any]) -> bool:
        if edition["state"] != "approved" or not edition["understood"]:
            return False
        if len({one["author"] for one in edition["approvals"]}) >= NEEDED_CHECKS:
            return False
        name = edition["id"]
        if name not in self._at_stake:
            self._at_stake[name] = bool(unchecked_stakes(self._site.entry_value(name), reviewers=1))
        return self._at_stake[name]

    def _card(self, folded: Mapping[str, Any], edition: Mapping[str, Any]) -> Card:
        site = self._site
        return site.view.card(site.need_ledger(), folded["entry"], edition["id"], own_site=site.site_key.public)

    def _weight(self, folded: Mapping[str, Any], edition: Mapping[str, Any], in_use: int) -> Weight:
        value = self._site.entry_value(edition["id"])
        followed = any(one["state"] == "approved" and one["understood"] for one in folded["editions"])
        return weight_of(
            value,
            self._site.findings(edition["id"]),
            harmed=self._site.complaints.of_harm(folded["entry"]),
            second=self._lacks_second(edition),
            in_use=int(followed) + in_use,
            waited_days=self._waited_days(edition["id"]),
        )

    def _waited_days(self, edition: str) -> int | None:
        """Whole days since an edition claims to have been offered, where neither clock is in doubt."""
        said, now = self._site.need_ledger().said(edition), self._site.clock()
        if said is None or said.time is None or time_claimed(now) is None:
            return None
        then = dt.datetime.fromisoformat(said.time)
        return max((now - then).days, 0) if time_claimed(then) is not None else None
