"""How far a withdrawal has come: which sites know it, and which have taken its paper down.

Not who holds which bundle (``holding``): a site says this itself, by its key, the moment a withdrawal is taken in, so
that it leaves on the same stick. Its one rule: what no site has said is not counted.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.review import body_faults
from fieldbook.site.kept import Kept
from fieldbook.site.parts import Signer, SiteError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.ledger import Ledger, Said
    from fieldbook.site.joining import Joining

_KIND, _RECALL = "fieldbook/acknowledgement", "fieldbook/recall"
_NAMED_AT_ONCE = 60  # recalls in one statement, which names at most 64 others
SHEETS_MAX = 9999
_WORKERS = frozenset({"trainer", "reviewer", "steward"})


@dataclass(frozen=True)
class SiteReach:
    """What one site has said of a withdrawal: ``sheets`` is how many it took down, None where it said nothing of it."""

    letter: str
    knows: bool
    sheets: int | None


@dataclass(frozen=True)
class Reach:
    """How far a withdrawal has come, a line a site of the network, by letter."""

    sites: tuple[SiteReach, ...]

    @property
    def knowing(self) -> int:
        """How many sites know it."""
        return sum(one.knows for one in self.sites)

    @property
    def cleared(self) -> int:
        """How many sites have taken their paper down."""
        return sum(one.sheets is not None for one in self.sites)

    def sentence(self) -> str:
        """The same for people."""
        sites = "1 site knows" if len(self.sites) == 1 else f"{len(self.sites)} sites know"
        paper = "1 has taken its paper down" if self.cleared == 1 else f"{self.cleared} have taken their paper down"
        return f"{self.knowing} of {sites} of it; {paper}."

    def as_document(self) -> dict[str, Any]:
        """The reach as JSON."""
        return {"knowing": self.knowing, "cleared": self.cleared, "sites": [dict(one.__dict__) for one in self.sites]}


class Acknowledging:
    """What sites say of the withdrawals that they know."""

    def __init__(self, site: Joining) -> None:
        """Take the site; nothing is read yet."""
        self._site = site
        self._looked_at = -1
        self._kept = Kept()

    def say_known(self) -> None:
        """Say that the withdrawals held here are known here; what cannot be written now is said at the next exchange.

        Those of this site's own people are known here by themselves, so nothing is said of them.
        """
        ledger = self._site.ledger
        if ledger is None or ledger.count() == self._looked_at or not ledger.is_granted(self._site.site_key.public):
            return
        with suppress(FieldbookError):
            unsaid = tuple(self._unsaid(ledger))
            for start in range(0, len(unsaid), _NAMED_AT_ONCE):
                self._say({"has": "word"}, unsaid[start : start + _NAMED_AT_ONCE])
            self._looked_at = ledger.count()

    def _unsaid(self, ledger: Ledger) -> Iterator[str]:
        own = self._site.site_key.public
        said = {name for one in ledger.said_of_kind(_KIND) if one.author == own for name in one.after}
        for recall in ledger.said_of_kind(_RECALL):
            if recall.stands == "accepted" and recall.id not in said and ledger.site_of(recall.author) != own:
                yield recall.id

    def took_down(self, recall: str, *, sheets: int, signer: Signer) -> str:
        """Say for this site that its paper was taken down; returns the statement's id.

        Args:
            recall: the withdrawal's id.
            sheets: how many sheets were taken down or crossed out; 0 where none hung here.
            signer: who answers for it here; the site says it.

        Raises:
            SiteError: there is no such withdrawal, the number cannot be right, or the person may not.
        """
        ledger = self._site.need_ledger()
        said = ledger.said(recall)
        if said is None or said.kind != _RECALL:
            raise SiteError("there is no such withdrawal here", hint="open the notice of the practice and begin there")
        if not 0 <= sheets <= SHEETS_MAX:
            raise SiteError(f"{sheets} sheets cannot be right", hint=f"write a whole number from 0 to {SHEETS_MAX}")
        if self._site.signers_role(signer).roles.isdisjoint(_WORKERS):
            raise SiteError(
                f"{signer.label} may not say it for this site", hint="ask a trainer to type in what was taken down"
            )
        earlier = [one.id for one in self._about(ledger, recall) if one.author == self._site.site_key.public]
        return self._say({"has": "paper", "sheets": sheets}, (recall, *earlier[-_NAMED_AT_ONCE:]))

    def reach(self, recall: str) -> Reach:
        """How far a withdrawal has come, as far as is known here."""
        ledger = self._site.need_ledger()
        said = ledger.said(recall)
        home = None if said is None else ledger.site_of(said.author)
        by_site: dict[str, list[Said]] = {}
        for one in self._about(ledger, recall):
            by_site.setdefault(one.author, []).append(one)
        own = self._site.site_key.public
        lines = [
            SiteReach(
                site["letter"],
                site["key"] in {home, own} or site["key"] in by_site,
                _sheets(by_site.get(site["key"], ())),
            )
            for site in ledger.sites()
        ]
        return Reach(tuple(sorted(lines, key=lambda one: one.letter)))

    def _about(self, ledger: Ledger, recall: str) -> Sequence[Said]:
        """What sites said of a withdrawal, in order of depth."""
        by_recall: dict[str, list[Said]] = self._kept.get(self._site.stamp, "said", lambda: _by_recall(ledger))
        return by_recall.get(recall, ())

    def _say(self, body: Mapping[str, Any], after: Sequence[str]) -> str:
        site = self._site
        return site.need_ledger().say(
            site.site_key, _KIND, body, after=sorted(set(after)), time=site.claimed_time(), random=site.random
        )


def _by_recall(ledger: Ledger) -> dict[str, list[Said]]:
    found: dict[str, list[Said]] = {}
    for one in ledger.said_of_kind(_KIND):
        if one.stands == "accepted" and not body_faults(_KIND, one.body, strict=False):
            for recall in one.after:
                found.setdefault(recall, []).append(one)
    return found


def _sheets(said: Sequence[Said]) -> int | None:
    """How many sheets a site says that it took down, by its last word on it."""
    down = [one.body["sheets"] for one in said if one.body and one.body.get("has") == "paper" and "sheets" in one.body]
    return int(down[-1]) if down else None
