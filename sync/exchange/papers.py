"""The small files of a carrier at a visit: the network file, wishes to join, receipts.

Not bundles. One rule: none of them is needed for anything but itself, so a bad one is removed and never stops a visit.
"""

from __future__ import annotations

from itertools import groupby, islice
from typing import TYPE_CHECKING

from sync.carrier import CarrierError
from sync.errors import LocalError, RemoteError, TooManyValuesError, UnknownVersionError
from sync.exchange.sealing import followed_logs, present_log
from sync.limits import HEX_IN_NAMES, JOINING_BYTES_MAX, JOININGS_MAX, NETWORK_BYTES_MAX, RECEIPT_BYTES_MAX
from sync.network import NETWORK_FILE, Joining, parse_joining, parse_network
from sync.receipt import Receipt, parse_receipt, write_receipt

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sync.exchange.layout import ReceiptName, Survey
    from sync.exchange.report import Visit
    from sync.store import HeldBundle
    from sync.store.gaps import Gaps

_LOGS_MAX = 50_000  # in a receipt of ours: writing one takes 35 MiB then, and 100 MiB where it is as long as may be
_WRITE_AGAIN = "it is removed; whoever holds a sound one writes it again"


def read_network_file(visit: Visit, survey: Survey) -> None:
    """Look whether the network file is sound; one that is not counts as absent."""
    if not survey.has_network:
        return
    try:
        network = parse_network(visit.read(NETWORK_FILE, limit_bytes=NETWORK_BYTES_MAX))
        _require_same(network.id, visit.store.network.id)
    except UnknownVersionError as error:
        visit.leave_alone(NETWORK_FILE, error.message, error.hint)
    except RemoteError as error:
        visit.refuse(NETWORK_FILE, error)
        survey.has_network = False


def _require_same(found: str, ours: str) -> None:
    if found != ours:
        raise RemoteError("this is the file of another network", hint="do nothing: the right one replaces it")


def read_joinings(visit: Visit, survey: Survey) -> None:
    """Keep the wishes to join that are new; let go of those that have been granted."""
    granted = visit.store.judgement.sites_taken
    wishing = [joining.site.key for joining in visit.store.papers.joinings()]
    visit.store.papers.drop_joinings(key for key in wishing if key in granted)
    taken = visit.prefixes_taken()
    own = "" if visit.site in granted else visit.site[:HEX_IN_NAMES]
    kept = {key[:HEX_IN_NAMES] for key in wishing if key not in granted}
    new = (site for site in survey.joinings if site not in kept)
    for site in list(islice(new, JOININGS_MAX)):
        if site in taken and site != own:
            visit.remove(_place_of(survey, site))
            del survey.joinings[site]
        elif joining := _read_joining(visit, survey, site):
            visit.store.papers.keep_joining(joining)


def _read_joining(visit: Visit, survey: Survey, site: str) -> Joining | None:
    file = f"joining/{site}.json"
    place = _place_of(survey, site)
    try:
        joining = parse_joining(visit.read(place, limit_bytes=JOINING_BYTES_MAX), network_id=visit.store.network.id)
        _require_name(joining.path, file)
    except (UnknownVersionError, CarrierError) as error:
        visit.leave_alone(file, error.message, error.hint)
        return None
    except RemoteError as error:
        visit.refuse(file, error)
        visit.remove(place)
        del survey.joinings[site]
        return None
    return joining


def _place_of(survey: Survey, site: str) -> str:
    """How the file of a wish is spelled on the carrier."""
    return survey.joinings[site] or f"joining/{site}.json"


def _require_name(right: str, file: str) -> None:
    if right != file:
        raise RemoteError("the name of the file does not fit what is in it", hint=_WRITE_AGAIN)


def read_receipts(visit: Visit, survey: Survey) -> None:
    """Keep the receipts that are newer than those here; note one of our own that we cannot have written."""
    known = visit.prefixes_taken()
    for _, of_log in groupby(survey.receipts, key=lambda name: (name.site, name.log)):
        newest = 0
        for name in of_log:  # the greatest counter comes first
            newest = newest or name.counter
            if name.site in known and name.counter == newest and not _is_held(visit, name):
                _take_receipt(visit, survey, name)


def _take_receipt(visit: Visit, survey: Survey, name: ReceiptName) -> None:
    receipt = _read_receipt(visit, survey, name)
    if receipt is not None:
        _keep_receipt(visit, receipt)


def _is_held(visit: Visit, name: ReceiptName) -> bool:
    return (name.counter, name.file) in visit.store.papers.receipts_of(name.site, name.log)


def _keep_receipt(visit: Visit, receipt: Receipt) -> None:
    if not visit.takes(receipt.site):
        return
    if receipt.site == visit.site and receipt.log == present_log(visit.store, visit.site):
        mine = visit.store.papers.receipt(receipt.site, receipt.log)
        if mine is None or receipt.counter >= mine.counter:
            visit.outdated = True
    visit.store.papers.keep_receipt(receipt)


def _read_receipt(visit: Visit, survey: Survey, name: ReceiptName) -> Receipt | None:
    try:
        data = visit.read(name.place, limit_bytes=RECEIPT_BYTES_MAX)
        receipt = parse_receipt(data, network_id=visit.store.network.id)
        _require_name(receipt.path, name.file)
    except (UnknownVersionError, TooManyValuesError) as error:
        visit.leave_alone(name.file, error.message, error.hint)
        return None
    except CarrierError as error:
        visit.refuse(name.file, error)
        return None
    except RemoteError as error:
        visit.refuse(name.file, error)
        survey.receipts.drop(name)
        visit.remove(name.place)
        return None
    return receipt


def renew_receipt(visit: Visit, *, log: str, fold: int, state: str) -> None:
    """Write our receipt into the store, if it says anything new."""
    before = visit.store.papers.receipt(visit.site, log)
    try:
        receipt = _write_receipt(visit, log=log, counter=1 + (before.counter if before else 0), fold=fold, state=state)
    except LocalError as error:  # somebody began so many logs that no receipt can name them: it can do without
        visit.note(f"no receipt was written, which does no harm: {error.message}")
        return
    if before is None or _says(before) != _says(receipt):
        visit.store.papers.keep_receipt(receipt)


def _write_receipt(visit: Visit, *, log: str, counter: int, fold: int, state: str) -> Receipt:
    return write_receipt(
        key=visit.key,
        network_id=visit.store.network.id,
        log=log,
        counter=counter,
        held=numbers_held(visit),
        follows=followed_logs(visit.store, visit.site),
        fold=fold,
        set_digest=visit.store.set_hash(),
        state_digest=state,
    )


def _says(receipt: Receipt) -> tuple[object, ...]:
    return receipt.held, receipt.follows, receipt.fold, receipt.set, receipt.state


def numbers_held(visit: Visit) -> dict[str, tuple[int, int]]:
    """For each log the numbers up to which no bundle and no body is missing, (urgent, text).

    Raises:
        LocalError: There are more logs than fit into any receipt.
    """
    held: dict[str, tuple[int, int]] = {}
    for (_, log), of_log in groupby(visit.store.bundles.listed(), key=lambda bundle: (bundle.site, bundle.log)):
        numbers = _reached(of_log, visit.store.gaps())
        other = held.get(log, numbers)
        held[log] = min(numbers[0], other[0]), min(numbers[1], other[1])
        if len(held) > _LOGS_MAX:
            raise LocalError(f"a receipt of ours names at most {_LOGS_MAX} logs")
    return held


def _reached(bundles: Iterable[HeldBundle], gaps: Gaps) -> tuple[int, int]:
    """The same for one log of one site, whose bundles come by lane and number."""
    reached, broken = {"urgent": 0, "text": 0}, set[str]()
    for bundle in bundles:
        last = reached[bundle.lane]
        if gaps.lack(bundle.row) or bundle.number > last + 1:
            broken.add(bundle.lane)
            reached[bundle.lane] = min(last, bundle.number - 1)
        elif bundle.lane not in broken:
            reached[bundle.lane] = bundle.number
    return reached["urgent"], reached["text"]
