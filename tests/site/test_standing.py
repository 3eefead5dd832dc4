"""Who sees what: readers and workers, at the site that wrote an entry and at others, in every state and standing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.practices import read_entry
from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.review import approval_body
from tests.orrendal import practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.site import Signer, Site
    from tests.orrendal import Circle

SECOND_WORD = {"role": "vet", "words": "The hens are well.", "on": "2026-11-20"}
POISON = practice("Onions in tins") | {
    "facts": {
        "none": [group for group in FACT_GROUPS if group != "vessel"],
        "cautions": ["C04"],
        "vessel": {"volume_l": 5, "cover": "lid", "prior_use": "paint"},
    },
    "hazards": [{"code": "C04"}],
}


def seen(site: Site, reader: Signer | None = None) -> set[tuple[str, str | None]]:
    """State and standing of what lists, pages and search show alike."""
    cards = site.cards(reader=reader)
    found = {(hit.edition, hit.state, hit.standing) for hit in site.search("onions", reader=reader)}
    listed = {(card.edition, card.state, card.standing) for card in cards}
    assert found >= listed if reader else found == listed
    for card in cards:
        page = site.page(card.entry, reader=reader)
        assert (page.line.edition, page.state, page.standing) == (card.edition, card.state, card.standing)
    return {(card.state, card.standing) for card in cards}


def _offered(circle: Circle) -> None:
    circle.write("L1")


def _stopped_by_a_rule(circle: Circle) -> None:
    circle.write("L1", POISON)


def _sent_back(circle: Circle) -> None:
    circle["L"].send_back(circle.write("L1"), signer=circle.signer("L2"), reason="Say how much water.")


def _sent_back_by_the_author(circle: Circle) -> None:
    circle["L"].send_back(circle.write("L1"), signer=circle.signer("L1"), reason="I mixed up the litres.")


def _checked_once(circle: Circle) -> None:
    circle.approve("L2", circle.write("L1"))


def _checked_twice(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle.carry("LC")
    circle.approve("C3", edition)
    circle.carry("CL")


def _paused(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle["L"].hold(edition, signer=circle.signer("L1"), reason="A hen died.")


def _paused_and_released(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle["L"].hold(edition, signer=circle.signer("L1"), reason="A hen died.")
    circle["L"].release(edition, signer=circle.signer("L2"))


def _out_of_date(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle["L"].retire(edition, signer=circle.signer("L2"), reason="There is a better way.")


def _out_of_date_and_never_checked(circle: Circle) -> None:
    circle["L"].retire(circle.write("L1"), signer=circle.signer("L2"), reason="There is a better way.")


def _out_of_date_with_a_stop(circle: Circle) -> None:
    circle["L"].retire(circle.write("L1", POISON), signer=circle.signer("L2"), reason="There is a better way.")


def _withdrawn(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle.recall("L2", edition)


def _approved_after_it_was_sent_back(circle: Circle) -> None:
    edition = circle.write("L1")
    circle["L"].send_back(edition, signer=circle.signer("L2"), reason="Say how much water.")
    circle.approve("L2", edition)


def _sent_back_after_it_was_approved(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle["L"].send_back(edition, signer=circle.signer("L2"), reason="The litres are wrong.")


UNCHECKED, ONCE, TWICE = ("offered", "unchecked"), ("approved", "checked-once"), ("approved", "checked-twice")
SENT_BACK, DATED, WITHDRAWN = ("sent-back", None), ("retired", None), ("recalled", None)

# what a reader at L (which wrote it) sees, a worker at L, a reader at C, a worker at C; None: nothing
TABLE: list[tuple[Any, ...]] = [
    (_offered, UNCHECKED, UNCHECKED, None, UNCHECKED),
    (_stopped_by_a_rule, None, UNCHECKED, None, UNCHECKED),
    (_sent_back, None, SENT_BACK, None, SENT_BACK),
    (_sent_back_by_the_author, None, SENT_BACK, None, SENT_BACK),
    (_checked_once, ONCE, ONCE, ONCE, ONCE),
    (_checked_twice, TWICE, TWICE, TWICE, TWICE),
    (_paused, None, ONCE, ONCE, ONCE),
    (_paused_and_released, ONCE, ONCE, ONCE, ONCE),
    (_out_of_date, DATED, DATED, DATED, DATED),
    (_out_of_date_and_never_checked, DATED, DATED, None, DATED),
    (_out_of_date_with_a_stop, None, DATED, None, DATED),
    (_withdrawn, WITHDRAWN, WITHDRAWN, WITHDRAWN, WITHDRAWN),
    (_approved_after_it_was_sent_back, ONCE, ONCE, ONCE, ONCE),
    (_sent_back_after_it_was_approved, None, SENT_BACK, None, SENT_BACK),
]


@pytest.mark.parametrize(
    ("situation", "reader_here", "worker_here", "reader_there", "worker_there"),
    TABLE,
    ids=[row[0].__name__.strip("_") for row in TABLE],
)
def test_what_each_person_sees(
    circle: Circle,
    situation: Callable[[Circle], None],
    reader_here: tuple[str, str | None] | None,
    worker_here: tuple[str, str | None] | None,
    reader_there: tuple[str, str | None] | None,
    worker_there: tuple[str, str | None] | None,
) -> None:
    situation(circle)
    circle.carry("LC")
    here, there = circle["L"], circle["C"]
    found = [seen(here), seen(here, circle.signer("L1")), seen(there), seen(there, circle.signer("C3"))]
    wanted = (reader_here, worker_here, reader_there, worker_there)
    assert found == [set() if one is None else {one} for one in wanted]


@pytest.mark.parametrize(
    ("situation", "words"),
    [
        (_sent_back, "it was sent back to its author"),
        (_paused, "it is paused at this site"),
        (_stopped_by_a_rule, "the safety rules stop it as it stands"),
    ],
)
def test_a_reader_who_may_not_see_is_told_why_in_words(
    circle: Circle, situation: Callable[[Circle], None], words: str
) -> None:
    situation(circle)
    (entry,) = circle["L"].view.entries()
    with pytest.raises(FieldbookError, match=words) as refusal:
        circle["L"].page(entry)
    assert refusal.value.hint


def test_the_word_of_a_licensed_local_person_counts_at_that_site_only(circle: Circle) -> None:
    edition = circle.write("C1")
    circle.carry("CL")
    site = circle["L"]
    assert site.ledger is not None
    body = approval_body(read_entry(practice()), answers={}, second_word=SECOND_WORD)
    key = circle.keys["L2"]
    site.ledger.say(key, "fieldbook/approval", body, after=[edition], time=None, random=site.random)
    site.refresh()
    circle.carry("LC")
    assert seen(circle["L"]) == {TWICE}
    assert seen(circle["C"]) == {ONCE}
    assert len(circle.states("CL")) == 1


def test_one_reviewer_who_approves_twice_has_checked_once(circle: Circle) -> None:
    edition = circle.write("C1")
    for _ in range(2):
        circle.approve("C3", edition)
    assert seen(circle["C"]) == {ONCE}


def test_nobody_approves_their_own_by_any_way(circle: Circle) -> None:
    edition = circle.write("L2")
    with pytest.raises(FieldbookError, match="nobody approves their own work"):
        circle.approve("L2", edition)
    site = circle["L"]
    assert site.ledger is not None
    body = approval_body(read_entry(practice()), answers={})
    key = circle.keys["L2"]
    site.ledger.say(key, "fieldbook/approval", body, after=[edition], time=None, random=site.random)
    site.refresh()
    assert seen(site) == {UNCHECKED}


@pytest.mark.parametrize("label", ["T1", "L1", "S1", "C1"])
def test_whoever_is_no_reviewer_approves_and_withdraws_nothing(circle: Circle, label: str) -> None:
    edition = circle.write("C1")
    circle.carry("CTLS")
    site, signer = circle[label[0]], circle.signer(label)
    before = site.verify()
    with pytest.raises(FieldbookError, match="may not say “approval” here"):
        site.approve(edition, signer=signer, answers={})
    with pytest.raises(FieldbookError, match="may not say “recall” here"):
        site.recall(edition, signer=signer, harm="None.", instead="None.")
    with pytest.raises(FieldbookError, match="may not say “retirement” here"):
        site.retire(edition, signer=signer, reason="None.")
    if label != "C1":
        with pytest.raises(FieldbookError, match="is no reviewer"):
            site.send_back(edition, signer=signer, reason="None.")
    assert site.verify() == before


def test_a_pause_hides_at_its_own_site_and_is_a_remark_at_others(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.approve("L2", edition)
    circle.carry("LC")
    circle["C"].hold(edition, signer=circle.signer("C1"), reason="A hen died.")
    circle.carry("CL")
    assert seen(circle["C"]) == set()
    assert seen(circle["L"]) == {ONCE}
    page = circle["L"].page(edition)
    assert [(one.site_letter, one.reason) for one in page.paused] == [("C", "A hen died.")]
    assert not page.paused_here
    with pytest.raises(FieldbookError, match="not paused here"):
        circle["L"].release(edition, signer=circle.signer("L2"))


def test_readers_follow_the_checked_edition_while_a_newer_one_waits(circle: Circle) -> None:
    first = circle.write("L1")
    circle.approve("L2", first)
    newer = circle.write("L1", practice("Onions, closer"), after=[first])
    assert circle["L"].page(first).line.edition == first
    assert [line.edition for line in circle["L"].page(first).others] == [newer]
    circle.approve("L2", newer)
    assert circle["L"].page(first).line.edition == newer


def test_the_queue_holds_each_newest_offered_edition_that_is_not_ones_own_most_at_stake_first(circle: Circle) -> None:
    plain, own = circle.write("L1"), circle.write("L2", practice("By the reviewer"))
    poison = circle.write("L1", POISON)
    older = circle.write("L1", practice("Older"))
    newest = circle.write("L1", practice("Newest"), after=[older])
    queue = circle["L"].review_queue.items(circle.signer("L2"))
    assert queue[0].card.edition == poison
    assert [bool(item.weight.stops) for item in queue] == [True, False, False]
    assert {item.card.edition for item in queue} == {poison, plain, newest}
    assert own in {item.card.edition for item in circle["L"].review_queue.items(circle.signer("L1"))}


def test_a_list_is_worked_out_once_and_anew_after_whatever_changes_it(circle: Circle) -> None:
    site = circle["L"]
    worker = circle.signer("L2")
    edition = circle.write("L1")
    steps: list[Callable[[], object]] = [
        lambda: site.hold(edition, signer=worker, reason="Ants in it."),
        lambda: site.release(edition, signer=worker),
        lambda: circle.approve("L2", edition),
        lambda: circle.write("L1", practice("Onions in rows")),
        lambda: site.write(practice("Leeks"), signer=circle.signer("L1"), draft=True),
        site.rebuild,
        lambda: circle.recall("L2", edition),
        lambda: circle.carry("CL"),
    ]
    for step in steps:
        before = {reader: site.cards(reader=reader) for reader in (None, worker)}
        assert all(site.cards(reader=reader) is cards for reader, cards in before.items())
        step()
        for reader in before:
            assert site.ledger is not None
            assert site.cards(reader=reader) == tuple(site._cards_now(site.ledger, reader))
