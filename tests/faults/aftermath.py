"""What must be true after a fault, whatever it was and wherever it struck.

Not a test. Its one rule: what was acknowledged is there and whole, what was not is there whole or not at all, one plain
sentence said so, and the next try succeeds without anybody repairing files.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from tests.faults import work
from tests.sync.second_verifier import check_carrier
from tests.view.histories import assert_whole

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.site import Site
    from tests.faults.tracing import Outcome
    from tests.faults.work import Scene

_LEFT_BEHIND = re.compile(r"\.(part|new|tmp)$|^incoming-|-journal$")
_KEPT = re.compile(r"\bis kept\b|\bwas kept\b|is safe")


def check(name: str, given: Scene, outcome: Outcome) -> None:
    """Check a site and its stick after a work that met a fault.

    Args:
        name: the work.
        given: site and stick as they are now.
        outcome: what became of the work.
    """
    if outcome.refused is not None:
        _assert_plain(outcome)
    site = work.opened(given, chance="after")
    try:
        assert given.held <= _statements(site), "a statement was lost"
        assert_sound(site)
        done = DONE[name](site, given, outcome)
        assert done or outcome.told is None, "what was acknowledged is not there"
        if outcome.refused is not None and done:
            assert _KEPT.search(f"{outcome.refused} {outcome.hint}"), f"refused, and done all the same: {outcome}"
        if not done:
            again = replace(outcome, told=str(work.WORKS[name](site, given)))
            assert DONE[name](site, given, again)
        report = site.exchange(given.stick)
        assert (report.not_left, report.not_proven) == (0, 0)
        assert_sound(site)
        assert site.exchange(given.stick).refused == ()
    finally:
        site.close()
    assert check_carrier(given.stick) == []
    left = [
        path for folder in (given.place, given.stick) for path in folder.rglob("*") if _LEFT_BEHIND.search(path.name)
    ]
    assert left == []


def _assert_plain(outcome: Outcome) -> None:
    said = outcome.refused or ""
    assert re.fullmatch(r"[a-z“'/][^\n]{10,240}[^.\n]", said), f"no plain sentence: {said!r}"
    assert outcome.hint, f"no word on what to do: {said!r}"
    assert not re.search(r"Error|Errno|Traceback|sqlite3|Operational", said), f"words of a machine: {said!r}"


def assert_sound(site: Site) -> None:
    """Everything verifies, the view and the index are what the statements say, every draft and photo is whole."""
    assert site.verify().problems == ()
    assert_whole(site)
    for draft in site.notebook.drafts():
        _assert_photos(site, draft.name, draft.document)
    for card in site.cards():
        page = site.page(card.entry)
        if page.notice is None:
            _assert_photos(site, page.line.edition, page.document)


def _assert_photos(site: Site, about: str, document: object) -> None:
    assert isinstance(document, dict)
    home = {photo.name: photo for photo in site.notebook.home_photos(about)}
    for photo in document.get("photos", ()):
        if "ref" in photo:
            assert site.attachment(photo["ref"]) is not None, "a photo is named that is not here"
        else:
            assert photo["name"] in home, f"a photo of {about} is lost"
    for photo in home.values():
        assert site.notebook.home_photo_bytes(photo.full), "a photo that stays is lost"
        assert site.notebook.home_photo_bytes(photo.thumb), "a photo that stays is lost"


def _statements(site: Site) -> frozenset[str]:
    assert site.ledger is not None
    return frozenset(said.id for said in site.ledger.all_said())


def _editions(site: Site, title: str) -> list[str]:
    assert site.ledger is not None
    return [
        said.id
        for said in site.ledger.all_said()
        if said.kind == "fieldbook/edition" and (said.body or {}).get("title") == {"en": title}
    ]


def _offered(site: Site, title: str, outcome: Outcome) -> bool:
    editions = _editions(site, title)
    assert len(editions) <= 1, "it was offered twice"
    assert outcome.told in {None, *editions}
    for edition in editions:
        names = {photo.name for photo in site.notebook.home_photos(edition)}
        assert names == {"crowd"}, f"of the photos that stay, {names} is here"
    return bool(editions)


def _written(site: Site, _given: Scene, outcome: Outcome) -> bool:
    return _offered(site, "Rows of garlic", outcome)


def _kept(site: Site, _given: Scene, outcome: Outcome) -> bool:
    drafts = [draft for draft in site.notebook.drafts() if draft.document["title"] == {"en": "Rows of okra"}]
    assert outcome.told in {None, *(draft.name for draft in drafts)}
    return bool(drafts)


def _draft_offered(site: Site, _given: Scene, outcome: Outcome) -> bool:
    offered = _offered(site, "Rows of chard", outcome)
    drafts = [draft for draft in site.notebook.drafts() if draft.document["title"] == {"en": "Rows of chard"}]
    assert offered != bool(drafts), "an entry is both a draft and offered, or neither"
    return offered


def _approved(site: Site, given: Scene, _outcome: Outcome) -> bool:
    return site.page(site.entry_id(given.edition)).state == "approved"


def _exchanged(_site: Site, _given: Scene, outcome: Outcome) -> bool:
    return outcome.told is not None


def _rebuilt(_site: Site, _given: Scene, outcome: Outcome) -> bool:
    return outcome.told is not None


DONE: dict[str, Callable[[Site, Scene, Outcome], bool]] = {
    "write": _written,
    "keep": _kept,
    "offer": _draft_offered,
    "approve": _approved,
    "exchange": _exchanged,
    "rebuild": _rebuilt,
}
