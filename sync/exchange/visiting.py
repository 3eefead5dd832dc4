"""One visit from beginning to end: take in, seal, leave, read back.

Not the steps themselves. One rule: the order is fixed: network, joining, urgent of all sites, receipts, text,
attachments, in taking as in leaving; and a site that seems restored or cloned begins a new log before it seals.
"""

from __future__ import annotations

from functools import partial
from heapq import merge
from itertools import groupby
from typing import TYPE_CHECKING

from sync.attachments import attachment_path
from sync.errors import LocalError, RemoteError
from sync.exchange.checking import read_again, take_attachments
from sync.exchange.layout import NETWORK_FOLDER, Survey, survey
from sync.exchange.leaving import Leaving
from sync.exchange.papers import read_joinings, read_network_file, read_receipts, renew_receipt
from sync.exchange.report import Counting, ExchangeReport, Progress, Visit
from sync.exchange.sealing import begin_log, present_log, seal
from sync.exchange.taking import Taking
from sync.receipt import state_hash
from sync.store.spilling import SpillingSet

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from sync.charter import Judgement
    from sync.exchange.report import Carrier
    from sync.keys import SigningKey
    from sync.store import Store

_NEW_LOG = (
    "this site was put back from an older copy, or runs twice; what it says from now on goes under a new log, and"
    " nothing is lost"
)


def exchange(
    store: Store,
    carrier: Carrier,
    *,
    site_key: SigningKey,
    random: Callable[[int], bytes],
    state_lines: Callable[[], Iterable[str]],
    fold: int = 1,
    progress: Progress | None = None,
    verifying_threads: int = 1,
    urgent_begins: Callable[[], None] | None = None,
    urgent_taken: Callable[[], None] | None = None,
) -> ExchangeReport:
    """Take in all that is valid and new on a carrier, then leave on it what it lacks.

    Doing it twice changes nothing the second time.

    Args:
        store: Ours.
        carrier: A stick or a meeting folder.
        site_key: With which bundles and receipts are sealed.
        random: Gives so many random bytes.
        state_lines: Called once, after all was taken in: every line of the folded state, without newlines, the
            charter's line first; for the receipt.
        fold: Version of the fold that gives those lines.
        progress: Told what is being done, how much of it is done, and of how much.
        verifying_threads: How many verify signatures at once; the outcome is the same with any number.
        urgent_begins: Called before a portion of urgent bundles is taken in; the caller makes room on a full disk.
        urgent_taken: Called when a portion is in the store, before anything else is read; the caller applies them.

    Raises:
        CarrierError: The carrier cannot be listed; nothing was done.
        RemoteError: The carrier belongs to another network; nothing was done.
        LocalError: The store failed, what was taken in before stays; or it is another site's, and nothing was done.
    """
    store.renew_scratch()
    visit = Visit(store, carrier, site_key, progress or _silent, verifying_threads)
    _require_network(visit)
    _require_own_store(visit)
    found = survey(carrier, visit.folder, store.scratch)
    for fault in found.faults:
        visit.refuse(fault.file.removeprefix(visit.folder), fault)
    visit.unnamed += found.more_faults
    store.rest(frozenset())
    erased = SpillingSet(store.scratch)
    erased.update(store.erase_redacted())
    store.remove_redacted_files()
    before = store.judgement
    try:
        lanes = partial(_take_lanes, visit, found, urgent_begins or _nothing, urgent_taken or _nothing)
        erased.update(_take_in(visit, found, lanes, random))
        log = _seal(visit, random)
        renew_receipt(visit, log=log, fold=fold, state=state_hash(state_lines()))
        leaving = Leaving(visit, found)
        leaving.leave_all()
        not_proven = leaving.prove()
        _clear(visit, found, before)
    finally:
        store.rest(frozenset())
    erased.update(store.erase_redacted())
    store.remove_redacted_files()
    return _report(visit, leaving, before, erased, not_proven)


def _nothing() -> None:
    """Do nothing."""


def _silent(_what: str, _done: int, _of: int) -> None:
    """Tell nobody."""


def _require_own_store(visit: Visit) -> None:
    """A file that was put into the folder of another site must not speak for it."""
    if visit.store.papers.is_of_another(visit.key.public):
        raise LocalError(
            "the store in this site's folder is that of another site",
            hint="put the site's folder back from a copy; the next exchanges bring what came since",
        )


def _require_network(visit: Visit) -> None:
    """A carrier that holds other networks and not ours is not ours to write on."""
    is_here, other = False, ""
    for found in visit.carrier.look(wanted=NETWORK_FOLDER.fullmatch):
        if found.kind == "folder" and f"{found.name}/" == visit.folder:
            is_here = True
        elif found.kind == "folder":
            other = min(other or found.name, found.name)
    if not other:
        return
    if not is_here:
        raise RemoteError(
            f"the carrier belongs to another network ({other})",
            hint=f"take the right stick; to use this one for both, first make a folder {visit.folder} on it",
        )
    visit.note("the carrier also holds the folder of another network, which was left alone")


def _take_in(
    visit: Visit, found: Survey, take_lanes: Callable[[Taking], None], random: Callable[[int], bytes]
) -> SpillingSet:
    """Take in all, and read again some of what is held; the ids whose bodies were erased."""
    read_network_file(visit, found)
    read_joinings(visit, found)
    taking = Taking(visit, found)
    take_lanes(taking)
    taken = taking.taken()
    read_again(visit, found, random=random)
    if taking.taken() != taken:  # two entries were crossed, and what lay in one of them may let a site in
        take_lanes(taking)
    taking.name_what_stays()
    return taking.erased


def _take_lanes(
    visit: Visit, found: Survey, urgent_begins: Callable[[], None], urgent_taken: Callable[[], None], taking: Taking
) -> None:
    """Take in until nothing new is admitted, the urgent always before the rest."""
    while True:
        more = True
        while more:
            urgent_begins()
            more = taking.take_lane("urgent")
            urgent_taken()
        read_receipts(visit, found)
        if not taking.take_lane("text"):
            break
    read_joinings(visit, found)
    take_attachments(visit, found)


def _seal(visit: Visit, random: Callable[[int], bytes]) -> str:
    """Seal what was said here; the log in which it went."""
    log = present_log(visit.store, visit.site)
    if log is None or visit.outdated:
        log = begin_log(visit.store, visit.site, random=random)
    if visit.outdated:
        visit.note(_NEW_LOG)
    seal(visit.store, key=visit.key, log=log)
    return log


def _clear(visit: Visit, found: Survey, before: Judgement) -> None:
    """Remove what was taken back before this visit, and what somebody did not write to its end."""
    gone = visit.store.judgement.files_gone
    for name in found.attachments if before.files_gone and gone else ():
        if name in before.files_gone and name in gone:
            visit.remove(found.attachments[name] or attachment_path(name))
    for file in found.leftovers:
        visit.remove(file)


def _report(visit: Visit, leaving: Leaving, before: Judgement, erased: SpillingSet, not_proven: int) -> ExchangeReport:
    added = visit.intake.added
    old, after = before.verdicts, visit.store.judgement.verdicts

    def turned() -> Iterator[str]:
        return (name for name in after.turned(old) if name not in added)

    moved = {"accepted": Counting(), "waiting": Counting(), "quarantined": Counting()}
    for name, was_here in merge(((name, True) for name in turned()), ((name, False) for name in added)):
        now = after.of(name).state
        if not was_here or old.of(name).state != now:
            moved[now].add(name)
    otherwise = (name for name in merge(visit.intake.supplied, erased) if name not in added)
    changed = Counting()
    for name, _ in groupby(merge(turned(), otherwise, added)):
        changed.add(name)
    if leaving.not_left:
        visit.note(f"{leaving.not_left} files could not be written on the carrier; they are written when there is room")
    if visit.unnamed:
        visit.note(f"{visit.unnamed} more files were refused or left alone, and are not named here")
    return ExchangeReport(
        accepted=moved["accepted"].listed(),
        waiting=moved["waiting"].listed(),
        quarantined=moved["quarantined"].listed(),
        refused=tuple(visit.refused),
        waiting_files=tuple(visit.waiting_files),
        left=leaving.left,
        not_left=leaving.not_left,
        not_proven=not_proven,
        changed=changed.listed(),
        notes=tuple(visit.notes),
    )
