"""What lies in the network's folder on a carrier, by its names alone.

Not its content: nothing is opened here. One rule: only names of the agreed form are seen, and only in folders of the
agreed form; whatever else lies on a carrier is nobody's business.
"""

from __future__ import annotations

import re
from sys import intern
from typing import TYPE_CHECKING, NamedTuple

from sync.attachments import ATTACHMENT_PATH
from sync.bundle import BUNDLE_PATH
from sync.carrier import LEFTOVER, CarrierError
from sync.exchange.copies import Copies, Copy
from sync.exchange.report import NAMED_MAX
from sync.limits import HEX_IN_NAMES, LOG_HEX, NUMBER_MAX
from sync.network import NETWORK_FILE
from sync.receipt import RECEIPT_PATH
from sync.store.spilling import SpillingMap, SpillingQueue

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync.carrier import Found
    from sync.exchange.report import Carrier
    from sync.store.scratch import Scratch

JOINING_PATH = re.compile(rf"joining/(?P<site>[0-9a-f]{{{HEX_IN_NAMES}}})\.json")
NETWORK_FOLDER = re.compile(rf"tried-ground-[0-9a-f]{{{HEX_IN_NAMES}}}")
_SITE = re.compile(rf"[0-9a-f]{{{HEX_IN_NAMES}}}")
_LOG = re.compile(rf"[0-9a-f]{{{LOG_HEX}}}")
_TWO = re.compile(r"[0-9a-f]{2}")
_LANE = re.compile(r"urgent|text")
_WALKS: dict[str, tuple[re.Pattern[str], ...]] = {
    "joining": (),
    "receipts": (),
    "sites": (_SITE, _LOG, _LANE),
    "attachments": (_TWO,),
}
_LOG_ENDS = HEX_IN_NAMES + LOG_HEX
_COUNTER_ENDS = _LOG_ENDS + 8


class ReceiptName(NamedTuple):
    """A receipt, as its name tells it.

    Attributes:
        site: Beginning of the site's key.
        log: 16 hex.
        counter: Of that log.
        digest: Beginning of the hash of the file, 8 hex.
        spelled: How its file is spelled on the carrier, where that is not in small letters.
    """

    site: str
    log: str
    counter: int
    digest: str
    spelled: str = ""

    @property
    def file(self) -> str:
        """Its path in the network's folder."""
        return f"receipts/{self.site}-{self.log}-{self.counter:08d}-{self.digest}.json"

    @property
    def place(self) -> str:
        """The same as it is spelled on the carrier."""
        return self.spelled or self.file


class Receipts:
    """All receipts on one carrier, by site and log, the newest first."""

    def __init__(self, scratch: Scratch) -> None:
        """None yet."""
        self._spelled = _spellings(scratch)

    def add(self, name: ReceiptName) -> None:
        """Put one in; of two names that differ only in case, the last in order."""
        _note_spelling(self._spelled, _key_of(name), name.spelled)

    def drop(self, name: ReceiptName) -> None:
        """Forget one that is gone."""
        self._spelled.pop(_key_of(name), None)

    def __contains__(self, name: ReceiptName) -> bool:
        """Whether it is among them, however it is spelled."""
        return _key_of(name) in self._spelled

    def __iter__(self) -> Iterator[ReceiptName]:
        """Each of them."""
        for key in self._spelled:
            counter = NUMBER_MAX - int(key[_LOG_ENDS:_COUNTER_ENDS])
            names = key[:HEX_IN_NAMES], key[HEX_IN_NAMES:_LOG_ENDS], counter, key[_COUNTER_ENDS:]
            yield ReceiptName(*names, self._spelled.get(key, ""))


class Survey:
    """What was found; kept in step with what the visit removes and writes.

    Attributes:
        has_network: Whether the network file is there.
        joinings: How each is spelled where that is not in small letters, by the beginning of the key.
        receipts: Their names.
        copies: Of bundles.
        attachments: How each is spelled where that is not in small letters, by id.
        leftovers: Files that somebody did not write to their end.
        faults: What could not be listed, or is no regular file under a name of ours; so many as a report names.
        more_faults: How many more there are.
    """

    def __init__(self, scratch: Scratch) -> None:
        """Nothing yet.

        Args:
            scratch: Where that goes of which there is too much for the memory.
        """
        self.has_network = False
        self.joinings = _spellings(scratch)
        self.receipts = Receipts(scratch)
        self.copies = Copies(scratch)
        self.attachments = _spellings(scratch)
        self.leftovers = SpillingQueue(scratch)
        self.faults: list[CarrierError] = []
        self.more_faults = 0

    def add(self, file: str, spelled: str) -> None:
        """Sort in a regular file of the network's folder.

        Args:
            file: Its path there, in small letters.
            spelled: The path as it stands there.
        """
        otherwise = "" if spelled == file else spelled
        if file == NETWORK_FILE:
            self.has_network = True
        elif file.endswith(LEFTOVER) and _is_ours(file.removesuffix(LEFTOVER)):
            self.leftovers.append(spelled)
        elif match := BUNDLE_PATH.fullmatch(file):
            site, log, lane = (intern(match[part]) for part in ("site", "log", "lane"))  # thousands share them
            self.copies.add(Copy(site, log, lane, int(match["number"]), match["id"], int(match["absent"]), otherwise))
        elif match := RECEIPT_PATH.fullmatch(file):
            name = match["site"], match["log"], int(match["counter"]), match["digest"]
            self.receipts.add(ReceiptName(*name, otherwise))
        elif match := ATTACHMENT_PATH.fullmatch(file):
            _note_spelling(self.attachments, match["id"], otherwise)
        elif match := JOINING_PATH.fullmatch(file):
            _note_spelling(self.joinings, match["site"], otherwise)

    def add_fault(self, fault: CarrierError) -> None:
        """Remember a fault while there are few."""
        if len(self.faults) < NAMED_MAX:
            self.faults.append(fault)
        else:
            self.more_faults += 1


def survey(carrier: Carrier, folder: str, scratch: Scratch) -> Survey:
    """List the network's folder.

    Args:
        carrier: Where.
        folder: The network's folder, with its slash.
        scratch: Where that goes of which there is too much for the memory.

    Raises:
        CarrierError: The folder itself cannot be listed.
        LocalError: There is so much in it that it needs the disk, and that is full or fails.
    """
    found = Survey(scratch)

    def ours(name: str) -> bool:
        return name in _WALKS or _is_ours(name.removesuffix(LEFTOVER))

    for each in carrier.look(folder.rstrip("/"), wanted=ours):
        if each.kind == "folder" and each.name in _WALKS:
            _walk(carrier, found, folder, _Way(each.name, each.spelled), _WALKS[each.name])
        else:
            _sort_in(found, each, _Way(each.name, each.spelled))
    found.copies.settle()
    found.faults.sort(key=lambda fault: fault.file)
    return found


class _Way(NamedTuple):
    """A path in the network's folder."""

    path: str
    spelled: str


def _walk(carrier: Carrier, found: Survey, folder: str, way: _Way, below: tuple[re.Pattern[str], ...]) -> None:
    def ours(name: str) -> bool:
        return _is_ours(f"{way.path}/{name.removesuffix(LEFTOVER)}")

    try:
        for each in carrier.look(folder + way.spelled, wanted=below[0].fullmatch if below else ours):
            within = _Way(f"{way.path}/{each.name}", f"{way.spelled}/{each.spelled}")
            if not below:
                _sort_in(found, each, within)
            elif each.kind == "folder":
                _walk(carrier, found, folder, within, below[1:])
    except CarrierError as error:
        found.add_fault(error)


def _sort_in(found: Survey, each: Found, way: _Way) -> None:
    """Sort in a file, or note what is none although its name is that of one of ours: a link, a device, a folder."""
    if each.kind == "file":
        found.add(*way)
    elif _is_ours(way.path):
        found.add_fault(CarrierError("odd", way.path))


def _is_ours(file: str) -> bool:
    forms = BUNDLE_PATH, RECEIPT_PATH, ATTACHMENT_PATH, JOINING_PATH
    return file == NETWORK_FILE or any(form.fullmatch(file) for form in forms)


def _spellings(scratch: Scratch) -> SpillingMap[str]:
    return SpillingMap(scratch, packed=str.encode, unpacked=bytes.decode)


def _note_spelling(known: SpillingMap[str], key: str, spelled: str) -> None:
    """Of two names that differ only in case, the one in small letters counts, which is the last in order."""
    other = known.get(key)
    known[key] = spelled if other is None else max(other, spelled) if other and spelled else ""


def _key_of(name: ReceiptName) -> str:
    """Hex by which receipts stand in the order of site and log, those with the greatest counter first."""
    return f"{name.site}{name.log}{NUMBER_MAX - name.counter:08d}{name.digest}"
