"""What lies in the network's folder on a carrier, by its names alone.

Not its content: nothing is opened here. One rule: only names of the agreed form are seen, and only in folders of the
agreed form; whatever else lies on a carrier is nobody's business.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, field
from sys import intern
from typing import TYPE_CHECKING

from sync.attachments import ATTACHMENT_PATH
from sync.bundle import BUNDLE_PATH
from sync.carrier import LEFTOVER, CarrierError
from sync.limits import HEX_IN_NAMES, LOG_HEX
from sync.network import NETWORK_FILE
from sync.receipt import RECEIPT_PATH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync.exchange.report import Carrier

JOINING_PATH = re.compile(rf"joining/(?P<site>[0-9a-f]{{{HEX_IN_NAMES}}})\.json")
NETWORK_FOLDER = re.compile(rf"tried-ground-[0-9a-f]{{{HEX_IN_NAMES}}}")
_SITE = re.compile(rf"[0-9a-f]{{{HEX_IN_NAMES}}}")
_LOG = re.compile(rf"[0-9a-f]{{{LOG_HEX}}}")
_TWO = re.compile(r"[0-9a-f]{2}")
_LANE = re.compile(r"urgent|text")
_WALKS: tuple[tuple[str, tuple[re.Pattern[str], ...]], ...] = (
    ("joining", ()),
    ("receipts", ()),
    ("sites", (_SITE, _LOG, _LANE)),
    ("attachments", (_TWO,)),
)


_TOP = frozenset(name for name, _ in _WALKS)


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy of a bundle, as its name tells it.

    Attributes:
        file: Its path in the network's folder.
        site: Beginning of the site's key.
        log: 16 hex.
        lane: ``urgent`` or ``text``.
        number: In its log and lane.
        absent: How many bodies it says that it lacks.
    """

    file: str
    site: str
    log: str
    lane: str
    number: int
    absent: int

    @property
    def stem(self) -> str:
        """What all copies of this bundle share."""
        return self.file.rpartition("-")[0]


@dataclass(frozen=True, slots=True)
class ReceiptName:
    """A receipt, as its name tells it."""

    file: str
    site: str
    log: str
    counter: int


@dataclass
class Survey:
    """What was found; kept in step with what the visit removes and writes.

    Attributes:
        has_network: Whether the network file is there.
        joinings: Their files, by the beginning of the key.
        receipts: In order of their names.
        copies: By stem, the fullest first.
        attachments: Their ids.
        leftovers: Files that somebody did not write to their end.
        faults: What could not be listed, or is no regular file under a name of ours.
    """

    has_network: bool = False
    joinings: dict[str, str] = field(default_factory=dict)
    receipts: list[ReceiptName] = field(default_factory=list)
    copies: defaultdict[str, list[Copy]] = field(default_factory=lambda: defaultdict(list))
    attachments: set[str] = field(default_factory=set)
    leftovers: list[str] = field(default_factory=list)
    faults: list[CarrierError] = field(default_factory=list)

    def drop(self, copy: Copy) -> None:
        """Forget a copy that is gone or counts as gone."""
        self.copies[copy.stem].remove(copy)

    def in_order(self, lane: str) -> Iterator[Copy]:
        """The copies of a lane, by site, log and number, the fullest of each bundle first."""
        for stem in sorted(self.copies):
            yield from (copy for copy in list(self.copies[stem]) if copy.lane == lane)


def survey(carrier: Carrier, folder: str) -> Survey:
    """List the network's folder.

    Args:
        carrier: Where.
        folder: The network's folder, with its slash.

    Raises:
        CarrierError: The folder itself cannot be listed.
    """
    found = Survey()
    top = carrier.look(folder.rstrip("/"), wanted=lambda name: name in _TOP or _is_ours(name.removesuffix(LEFTOVER)))
    _sort_in(found, [*top.files])
    _note_odd(found, [*top.odd, *top.folders])
    for name, below in _WALKS:
        if name in top.folders:
            _walk(carrier, found, folder, name, below)
    for copies in found.copies.values():
        copies.sort(key=lambda copy: (copy.absent, copy.file))
    return found


def _walk(carrier: Carrier, found: Survey, folder: str, path: str, below: tuple[re.Pattern[str], ...]) -> None:
    def ours(name: str) -> bool:
        return _is_ours(f"{path}/{name.removesuffix(LEFTOVER)}")

    try:
        listing = carrier.look(folder + path, wanted=below[0].fullmatch if below else ours)
    except CarrierError as error:
        found.faults.append(error)
        return
    if not below:
        _sort_in(found, [f"{path}/{name}" for name in listing.files])
        _note_odd(found, [f"{path}/{name}" for name in (*listing.odd, *listing.folders)])
        return
    for name in listing.folders:
        _walk(carrier, found, folder, f"{path}/{name}", below[1:])


def _sort_in(found: Survey, files: list[str]) -> None:
    for file in files:
        if file == NETWORK_FILE:
            found.has_network = True
        elif file.endswith(LEFTOVER) and _is_ours(file.removesuffix(LEFTOVER)):
            found.leftovers.append(file)
        elif match := BUNDLE_PATH.fullmatch(file):
            site, log, lane = (intern(match[part]) for part in ("site", "log", "lane"))  # thousands share them
            copy = Copy(file, site, log, lane, int(match["number"]), int(match["absent"]))
            found.copies[copy.stem].append(copy)
        elif match := RECEIPT_PATH.fullmatch(file):
            found.receipts.append(ReceiptName(file, match["site"], match["log"], int(match["counter"])))
        elif match := ATTACHMENT_PATH.fullmatch(file):
            found.attachments.add(match["id"])
        elif match := JOINING_PATH.fullmatch(file):
            found.joinings[match["site"]] = file


def _note_odd(found: Survey, files: list[str]) -> None:
    """Note what is no file although its name is that of one of ours: a link, a device, a folder."""
    found.faults.extend(CarrierError("odd", file) for file in files if _is_ours(file))


def _is_ours(file: str) -> bool:
    forms = BUNDLE_PATH, RECEIPT_PATH, ATTACHMENT_PATH, JOINING_PATH
    return file == NETWORK_FILE or any(form.fullmatch(file) for form in forms)
