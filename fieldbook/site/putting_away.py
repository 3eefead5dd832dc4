"""What waits for voices and is put away at this site: a list that nobody wants any more, a voice said by mistake.

A voice cannot be taken back, and what lacks voices waits until another list is in force, or for ever. Its one rule:
nothing that is signed changes by it; it is a paper of this site, by whom and when, and whatever somebody else says
shows the thing again.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from fieldbook.ledger import Motion
    from fieldbook.notebook import Record
    from fieldbook.site.parts import Signer
    from fieldbook.site.signatories import Signatories

_KIND = "put-away"


@dataclass(frozen=True)
class PutAway:
    """What was put away, by whom, and the claimed time."""

    motion: Motion
    by: str
    time: str | None


class PuttingAway:
    """What is put away at one site."""

    def __init__(self, site: Signatories) -> None:
        """Read the notebook when asked."""
        self._site = site

    def waiting(self) -> tuple[Motion, ...]:
        """What waits for voices and is not put away; nothing outside a network."""
        return tuple(motion for motion, record in self._all() if record is None)

    def away(self) -> tuple[PutAway, ...]:
        """What is put away and still waits."""
        return tuple(
            PutAway(motion, record.document["by"], record.document["time"])
            for motion, record in self._all()
            if record is not None
        )

    def put(self, motion: Motion, *, signer: Signer) -> None:
        """Put something away, until somebody else says it too.

        Raises:
            SiteError: it is put away already, or the signer is a volunteer or nobody here any more.
        """
        self._check(signer)
        if self._paper(motion) is not None:
            raise SiteError("this is put away here already", hint="what is put away stands below what waits")
        document = {
            "spoken": sorted(motion.spoken),
            "by": signer.label,
            "time": self._site.claimed_time(),
        }
        self._site.notebook.add_record(_KIND, document, about=_mark(motion))

    def take_out(self, motion: Motion, *, signer: Signer) -> None:
        """Show it again among what waits.

        Raises:
            SiteError: it is not put away, or the signer is a volunteer or nobody here any more.
        """
        self._check(signer)
        record = self._paper(motion)
        if record is None:
            raise SiteError("this is not put away here", hint="it stands among what waits for voices")
        self._site.notebook.remove_record(record)

    @staticmethod
    def may(signer: Signer) -> bool:
        """True where a person may put things away here and show them again: whoever looks after this site."""
        return not signer.roles.isdisjoint({"trainer", "reviewer", "steward"})

    def _check(self, signer: Signer) -> None:
        if not self.may(signer):
            raise SiteError(
                f"{signer.label} may not put this away", hint="a trainer or a signatory of this site can do that"
            )

    def _all(self) -> list[tuple[Motion, Record | None]]:
        ledger = self._site.ledger
        return [] if ledger is None else [(motion, self._paper(motion)) for motion in ledger.motions()]

    def _paper(self, motion: Motion) -> Record | None:
        """The paper by which this is put away; none where somebody has said it since, or a further stop has come."""
        papers = self._site.notebook.records(_KIND, about=_mark(motion))
        return next((one for one in papers if motion.spoken.issubset(one.document["spoken"])), None)


def _mark(motion: Motion) -> str:
    """Names what is said, whoever says it and however often; the lifting of other stops is another thing."""
    stops = motion.names if motion.kind == "sync/reinstatement" else ()
    said = json.dumps([motion.kind, motion.key, motion.body, sorted(stops)], sort_keys=True, default=dict)
    return hashlib.sha256(said.encode()).hexdigest()
