"""The small files of a carrier at a visit: the network file, wishes to join, receipts.

Not bundles. One rule: none of them is needed for anything but itself, so a bad one is removed and never stops a visit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.carrier import CarrierError
from sync.errors import LocalError, RemoteError, UnknownVersionError
from sync.exchange.sealing import followed_logs, present_log
from sync.limits import HEX_IN_NAMES, JOINING_BYTES_MAX, JOININGS_MAX, NETWORK_BYTES_MAX, RECEIPT_BYTES_MAX
from sync.network import NETWORK_FILE, Joining, parse_joining, parse_network
from sync.receipt import Receipt, parse_receipt, write_receipt

if TYPE_CHECKING:
    from sync.exchange.layout import ReceiptName, Survey
    from sync.exchange.report import Visit

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
    visit.store.papers.drop_joinings(granted)
    done = {key[:HEX_IN_NAMES] for key in granted}
    kept = {joining.site.key[:HEX_IN_NAMES] for joining in visit.store.papers.joinings()}
    new = [site for site in sorted(survey.joinings) if site not in kept]
    for site in new[:JOININGS_MAX]:
        if site in done:
            visit.remove(survey.joinings.pop(site))
        elif joining := _read_joining(visit, survey, site):
            visit.store.papers.keep_joining(joining)


def _read_joining(visit: Visit, survey: Survey, site: str) -> Joining | None:
    file = survey.joinings[site]
    try:
        joining = parse_joining(visit.read(file, limit_bytes=JOINING_BYTES_MAX), network_id=visit.store.network.id)
        _require_name(joining.path, file)
    except (UnknownVersionError, CarrierError) as error:
        visit.leave_alone(file, error.message, error.hint)
        return None
    except RemoteError as error:
        visit.refuse(file, error)
        visit.remove(survey.joinings.pop(site))
        return None
    return joining


def _require_name(right: str, file: str) -> None:
    if right != file:
        raise RemoteError("the name of the file does not fit what is in it", hint=_WRITE_AGAIN)


def read_receipts(visit: Visit, survey: Survey) -> None:
    """Keep the receipts that are newer than those here; note one of our own that we cannot have written."""
    known = visit.prefixes_taken()
    held = {receipt.path for receipt in visit.store.receipts()}
    newest = {(name.site, name.log): name.counter for name in sorted(survey.receipts, key=lambda name: name.counter)}
    for name in list(survey.receipts):
        news = name.file not in held and name.counter == newest[name.site, name.log]
        if name.site in known and news and (receipt := _read_receipt(visit, survey, name)):
            _keep_receipt(visit, receipt)


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
        data = visit.read(name.file, limit_bytes=RECEIPT_BYTES_MAX)
        receipt = parse_receipt(data, network_id=visit.store.network.id)
        _require_name(receipt.path, name.file)
    except UnknownVersionError as error:
        visit.leave_alone(name.file, error.message, error.hint)
        return None
    except CarrierError as error:
        visit.refuse(name.file, error)
        return None
    except RemoteError as error:
        visit.refuse(name.file, error)
        survey.receipts.remove(name)
        visit.remove(name.file)
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
    """For each log the numbers up to which no bundle and no body is missing, (urgent, text)."""
    store = visit.store
    lacking = store.bundles.holding_any(store.lacking())
    reached: dict[tuple[str, str, str], int] = {}
    broken: set[tuple[str, str, str]] = set()
    for bundle in store.bundles.listed():
        place = bundle.site, bundle.log, bundle.lane
        last = reached.setdefault(place, 0)
        if bundle.id in lacking or bundle.number > last + 1:
            broken.add(place)
            reached[place] = min(last, bundle.number - 1)
        elif place not in broken:
            reached[place] = bundle.number
    held: dict[str, tuple[int, int]] = {}
    for site, log, _ in reached:
        numbers = reached.get((site, log, "urgent"), 0), reached.get((site, log, "text"), 0)
        other = held.get(log, numbers)
        held[log] = min(numbers[0], other[0]), min(numbers[1], other[1])
    return held
