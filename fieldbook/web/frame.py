"""What the frame of every page tells, whatever somebody came for: what is missing, waits, contradicts or is damaged.

Not the notices that the notebook alone gives (``site.notices``). Its one rule: a store that cannot be read never keeps
a page from being shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.ledger import DamagedLedgerError

if TYPE_CHECKING:
    from fieldbook.site import Signer, Site


@dataclass(frozen=True)
class Frame:
    """What the store gives to the frame of a page.

    Attributes:
        stops_lacking: a sentence where a withdrawal is missing here.
        outside: a sentence where this site is not in a network, or waits to be let in (``waits``).
        rivals: whether rival lists of signatories stand.
        stopped: whether the key of whoever is signed in was stopped.
        harm: how many reports of harm wait for a reviewer.
        damaged: whether what was asked for this could not be read.
    """

    stops_lacking: str | None = None
    outside: str | None = None
    waits: bool = False
    rivals: bool = False
    stopped: bool = False
    harm: int = 0
    damaged: bool = False


def frame_of(site: Site, signer: Signer | None) -> Frame:
    """What the frame tells whoever asks."""
    try:
        return Frame(
            stops_lacking=site.stops_lacking,
            outside=site.outside,
            waits=site.waits,
            rivals=signer is not None and site.has_rivals,
            stopped=signer is not None and site.is_stopped(signer.key.public),
            harm=0 if signer is None else site.complaints.harm_waiting,
        )
    except DamagedLedgerError:
        return Frame(damaged=True)
