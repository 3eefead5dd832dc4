"""A draft at a site, changed by a safe way and put back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.site import SiteError
from fieldbook.site.instead import BEFORE_CHANGE, STEPS_KEPT
from tests.review.known_drafts import BAD

if TYPE_CHECKING:
    from tests.orrendal import Circle

STEEP = next(draft.entry.document for draft in BAD if draft.rule == "MAN-06")
DUNG_DAY = ("MAN-06", "stop", "keep-the-raw-wait")


def kept(circle: Circle, document: Any = STEEP) -> Any:
    site = circle["C"]
    return site.notebook.draft(str(site.write(document, signer=circle.signer("C1"), draft=True).draft))


def test_a_change_and_its_taking_back_leave_the_draft_as_it_was(circle: Circle) -> None:
    site, me, draft = circle["C"], circle.signer("C1"), kept(circle)
    assert DUNG_DAY in site.instead.offered(draft)
    changed = site.notebook.draft(str(site.instead.change(draft, DUNG_DAY, signer=me).draft))
    assert [one.name for one in site.notebook.drafts()] == [changed.name]
    assert "stop" not in {one.result for one in site.instead.findings(changed)}
    assert site.instead.before(changed) == draft.document
    back = site.notebook.draft(str(site.instead.take_back(changed, signer=me).draft))
    assert back.document == draft.document
    assert site.instead.before(back) is None
    assert site.notebook.records(BEFORE_CHANGE) == ()


def test_what_a_tap_set_goes_with_the_edition_and_a_taken_back_tap_leaves_no_mark(circle: Circle) -> None:
    site, me, draft = circle["C"], circle.signer("C1"), kept(circle)
    changed = site.notebook.draft(str(site.instead.change(draft, DUNG_DAY, signer=me).draft))
    (mark,) = changed.document["by_rule"]
    assert mark["rule"] == "MAN-06"
    assert {"at": "facts.inputs[0].wait_d", "to": "120"} in mark["places"]
    edition = str(site.offer(changed.name, signer=me).edition)
    assert site.entry_value(edition).document["by_rule"] == [mark]
    again = kept(circle)
    back = site.notebook.draft(str(site.instead.change(again, DUNG_DAY, signer=me).draft))
    assert "by_rule" not in site.notebook.draft(str(site.instead.take_back(back, signer=me).draft)).document


def test_a_change_that_is_not_offered_is_refused_and_changes_nothing(circle: Circle) -> None:
    site, draft = circle["C"], kept(circle)
    for name in (("MAN-06", "stop", "cover-up"), ("MAN-99", "stop", "keep-the-raw-wait"), ("", "", "")):
        with pytest.raises(SiteError, match="cannot be changed so any more"):
            site.instead.change(draft, name, signer=circle.signer("C1"))
    assert site.notebook.drafts() == (draft,)


def test_nothing_can_be_taken_back_where_nothing_was_changed(circle: Circle) -> None:
    site, draft = circle["C"], kept(circle)
    with pytest.raises(SiteError, match="no change of draft-1 is kept here"):
        site.instead.take_back(draft, signer=circle.signer("C1"))


def test_several_changes_are_taken_back_one_by_one_and_what_is_orphaned_goes(circle: Circle) -> None:
    site, me = circle["C"], circle.signer("C1")
    bare = {**STEEP, "facts": {**STEEP["facts"], "cautions": []}}
    draft = kept(circle, bare)
    once = site.notebook.draft(str(site.instead.change(draft, DUNG_DAY, signer=me).draft))
    twice = site.notebook.draft(
        str(site.instead.change(once, ("GEN-02", "stop", "add-missing-cautions"), signer=me).draft)
    )
    assert len(site.notebook.records(BEFORE_CHANGE)) == 1
    back = site.notebook.draft(str(site.instead.take_back(twice, signer=me).draft))
    assert back.document == once.document
    assert site.instead.before(back) == draft.document
    site.notebook.remove_draft(back)
    other = kept(circle)
    site.instead.change(other, DUNG_DAY, signer=me)
    assert len(site.notebook.records(BEFORE_CHANGE)) == 1
    assert STEPS_KEPT >= 2
