"""Attachments that are wanted, and a second look at a few files that are held anyway.

Not the store's own check (that is `sync.intake.check_store`). One rule: each visit reads a few files again, those first
that were not looked at for longest, so that damage is found before the last sound copy is gone.
"""

from __future__ import annotations

from functools import partial
from heapq import nsmallest
from itertools import islice
from typing import TYPE_CHECKING

from sync.attachments import attachment_id, attachment_path
from sync.carrier import CarrierError
from sync.errors import RemoteError
from sync.exchange.taking import sound_copy
from sync.limits import ATTACHMENT_BYTES_MAX
from sync.store.spilling import SpillingQueue

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync.exchange.copies import Copy
    from sync.exchange.layout import Survey
    from sync.exchange.report import Visit
    from sync.store import HeldBundle

    Look = tuple[str, Callable[[], bool]]

READ_AGAIN = 4  # files a visit: a fraction of a second on a slow stick
ASKED_AT_ONCE = 500
OLDEST_AMONG = 4  # times as many are drawn from, so that sticks visited in turns do not always show the same files


def take_attachments(visit: Visit, survey: Survey) -> int:
    """Take in the attachments that statements here name and that are not held; how many came."""
    store = visit.store
    wanted = SpillingQueue(store.scratch)
    for name in survey.attachments:
        if not store.attachments.keeps(name) and store.names_file(name):
            wanted.append(name)
    taken = 0
    for index, name in enumerate(wanted):
        visit.progress("taking in photos and files", index, len(wanted))
        data = _read_attachment(visit, survey, name)
        if data is not None:
            store.attachments.put(data)
            taken += 1
    return taken


def read_again(visit: Visit, survey: Survey, *, random: Callable[[int], bytes]) -> None:
    """Read a few of the held files anew; a copy that fails counts as absent, so that it is written again."""
    papers = visit.store.papers
    oldest = nsmallest(READ_AGAIN * OLDEST_AMONG, _looks_with_visits(visit, survey), key=lambda each: each[:2])
    drawn = sorted(oldest, key=lambda _: random(4))[:READ_AGAIN]
    chosen = [file for _, file, _ in drawn]
    sound = [file for _, file, is_sound in drawn if is_sound()]
    visit_number = 1 + papers.last_check()
    with visit.store.transaction():
        papers.note_checks(sound, visit=visit_number)
        papers.forget_checks(set(chosen).difference(sound))


def _looks_with_visits(visit: Visit, survey: Survey) -> Iterator[tuple[int, str, Callable[[], bool]]]:
    """Each file here that is held as well: the visit at which it was looked at, its name, and how to look at it."""
    looks = _looks(visit, survey)
    while some := list(islice(looks, ASKED_AT_ONCE)):
        checks = visit.store.papers.checks([file for file, _ in some])
        yield from ((checks.get(file, 0), file, is_sound) for file, is_sound in some)


def _looks(visit: Visit, survey: Survey) -> Iterator[Look]:
    """Each file here that is held as well, with how to look at it."""
    for held in visit.store.bundles.listed():
        for copy in survey.copies.of(held.stem):
            if copy.absent == held.absent:
                yield copy.file, partial(_look_at_copy, visit, survey, copy, held)
    for name in survey.attachments:
        if visit.store.attachments.keeps(name):
            yield attachment_path(name), partial(_look_at_attachment, visit, survey, name)


def _look_at_copy(visit: Visit, survey: Survey, copy: Copy, held: HeldBundle) -> bool:
    bodies = sound_copy(visit, survey, copy, held)
    if bodies is not None:
        visit.opened[copy.file] = bodies
    return bodies is not None


def _look_at_attachment(visit: Visit, survey: Survey, name: str) -> bool:
    data = _read_attachment(visit, survey, name)
    if data is not None and not visit.store.attachments.has(name):
        visit.store.attachments.put(data)
    return data is not None


def _read_attachment(visit: Visit, survey: Survey, name: str) -> bytes | None:
    file = attachment_path(name)
    place = survey.attachments.get(name) or file
    try:
        data = visit.read(place, limit_bytes=ATTACHMENT_BYTES_MAX)
        _require_digest(data, name)
    except CarrierError as error:
        visit.refuse(file, error)
        return None
    except RemoteError as error:
        visit.refuse(file, error)
        survey.attachments.pop(name, None)
        visit.remove(place)
        return None
    return data


def _require_digest(data: bytes, name: str) -> None:
    if not data or attachment_id(data) != name:
        raise RemoteError("the file is not what its name says", hint="whoever holds a sound one writes it again")
