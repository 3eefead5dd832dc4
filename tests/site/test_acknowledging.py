"""How far a withdrawal has come, what paper hangs, drills, and withdrawals that one key says alone."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import Signer
from tests.orrendal import NOON, practice

if TYPE_CHECKING:
    from tests.orrendal import Circle


def approved(circle: Circle) -> str:
    """An approved entry of T, known at all four sites."""
    edition = circle.write("T1", practice("Smoke spray"))
    circle.carry("TL")
    circle.approve("L2", edition)
    circle.carry("LTCSLTCS")
    return edition


def test_each_site_says_at_the_same_exchange_that_it_knows(circle: Circle) -> None:
    recall = circle.recall("L2", approved(circle))
    assert (
        circle["L"].acknowledging.reach(recall).sentence() == "1 of 4 sites know of it; 0 have taken their paper down."
    )
    circle.carry("LSCT")
    assert circle["T"].acknowledging.reach(recall).knowing == 4
    circle.carry("L")
    reach = circle["L"].acknowledging.reach(recall)
    assert [(one.letter, one.knows, one.sheets) for one in reach.sites] == [(x, True, None) for x in "CLST"]


def test_a_site_says_it_once_however_often_the_stick_comes(circle: Circle) -> None:
    circle.recall("L2", approved(circle))
    circle.carry("LSCTLSCT")
    before = circle["S"].verify().statements
    circle.carry("SCTLSCTL")
    assert circle["S"].verify().statements == before


def test_paper_that_was_taken_down_is_said_with_its_number_and_the_last_word_counts(circle: Circle) -> None:
    edition = approved(circle)
    recall = circle.recall("L2", edition)
    circle.carry("LS")
    for sheets in (3, 5):
        circle["S"].acknowledging.took_down(recall, sheets=sheets, signer=circle.signer("S1"))
    circle.carry("SL")
    reach = circle["L"].acknowledging.reach(recall)
    assert (reach.knowing, reach.cleared) == (2, 1)
    assert [one.sheets for one in reach.sites if one.letter == "S"] == [5]
    assert "1 has taken its paper down" in reach.sentence()


def test_the_register_says_what_to_take_down_also_of_what_was_made_from_it_and_never_leaves(circle: Circle) -> None:
    edition = approved(circle)
    made = circle.write("S1", practice("Smoke of dry leaves"), after=[edition], adaptation=True)
    other = circle.write("S1", practice("Onions"))
    papers = circle["S"].papers
    for name, sheets, where in ((edition, 12, "tap stand"), (made, 2, "school wall"), (other, 4, "ferry")):
        papers.register(name, sheets=sheets, where=where, signer=circle.signer("S1"))
    recall = circle.recall("L2", edition)
    circle.carry("LS")
    assert [(one.code, one.sheets, one.where) for one in papers.to_take_down(recall)] == [
        (edition[:12], 12, "tap stand"),
        (made[:12], 2, "school wall"),
    ]
    papers.took_down(recall, sheets=14, signer=circle.signer("S1"))
    assert papers.to_take_down(recall) == ()
    assert [one.where for one in papers.hanging()] == ["ferry"]
    assert papers.of(edition)[0].down
    circle.carry("S")
    assert not any(b"tap stand" in file.read_bytes() for file in circle.stick.rglob("*") if file.is_file())


def test_bad_input_is_refused(circle: Circle) -> None:
    edition = approved(circle)
    recall = circle.recall("L2", edition)
    site, trainer = circle["L"], circle.signer("L1")
    for sheets in (0, -1, 10_000):
        with pytest.raises(FieldbookError, match=f"{sheets} sheets cannot be right"):
            site.papers.register(edition, sheets=sheets, where="wall")
    with pytest.raises(FieldbookError, match="it is not said where the sheets hang"):
        site.papers.register(edition, sheets=1, where=" ")
    with pytest.raises(FieldbookError, match="takes more than 60 characters"):
        site.papers.register(edition, sheets=1, where="x" * 61)
    with pytest.raises(FieldbookError, match="10000 sheets cannot be right"):
        site.acknowledging.took_down(recall, sheets=10_000, signer=trainer)
    for unknown in ("f" * 64, edition):
        with pytest.raises(FieldbookError, match="there is no such withdrawal here"):
            site.acknowledging.took_down(unknown, sheets=1, signer=trainer)
        with pytest.raises(FieldbookError, match="there is no such withdrawal here"):
            site.seconding.second(unknown, signer=circle.signer("L2"))
    site.add_person("L3", role="volunteer", passphrase="four plain words here")
    volunteer = Signer("L3", frozenset({"volunteer"}), site.unlock("L3", "four plain words here").key)
    with pytest.raises(FieldbookError, match="L3 may not say it for this site"):
        site.acknowledging.took_down(recall, sheets=1, signer=volunteer)
    with pytest.raises(FieldbookError, match="nobody seconds their own withdrawal"):
        site.seconding.second(recall, signer=circle.signer("L2"))


# a drill


def test_a_drill_goes_the_way_of_a_withdrawal_and_says_how_long_it_took(circle: Circle) -> None:
    recall = circle["L"].drills.begin(signer=circle.signer("L2"))
    with pytest.raises(FieldbookError, match="a drill is under way already"):
        circle["L"].drills.begin(signer=circle.signer("L2"))
    circle.carry("LS")
    edition = circle["L"].drills.every()[0].edition
    page = circle["S"].page(edition)
    assert page.notice is not None
    assert page.notice.drill
    assert page.notice.harm.startswith("This is a drill.")
    circle.carry("CTSL")
    (drill,) = circle["L"].drills.every()
    assert (drill.recall, drill.done, drill.exchanges, drill.days) == (recall, True, 2, 0)
    assert drill.sentence().endswith("It took 2 exchanges here and 0 days.")
    circle["L"].clock = lambda: NOON + dt.timedelta(days=9)
    circle.carry("L")
    assert circle["L"].drills.every()[0].exchanges == 2, "what it took is noted once"


def test_a_clock_in_doubt_leaves_the_exchanges_and_claims_no_days(circle: Circle) -> None:
    circle["L"].clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    circle["L"].drills.begin(signer=circle.signer("L2"))
    circle.carry("LL")
    (drill,) = circle["L"].drills.every()
    assert (drill.done, drill.exchanges, drill.days) == (False, 2, None)
    assert drill.sentence().endswith("It took 2 exchanges here so far.")


def test_what_somebody_else_wrote_is_never_shown_as_a_drill(circle: Circle) -> None:
    edition = approved(circle)
    circle["L"].recall(edition, signer=circle.signer("L2"), harm="A child was sick.", instead="Use soap.", drill=True)
    notice = circle["L"].page(edition).notice
    assert notice is not None
    assert not notice.drill


# one key alone


def recalls_by_l2(circle: Circle, number: int) -> list[str]:
    editions = [circle.write("L1", practice(f"Onions {n}")) for n in range(number)]
    return [circle.recall("L2", edition) for edition in editions]


def test_from_the_fourth_withdrawal_that_nobody_seconded_on_one_is_marked_and_all_stop(circle: Circle) -> None:
    recalls = recalls_by_l2(circle, 5)
    circle.carry("LC")
    for letter in "LC":
        assert set(circle[letter].seconding.alone()) == set(recalls[3:])
        assert {card.state for card in circle[letter].cards()} == {"recalled"}
    assert set(circle["C"].seconding.to_look_at(circle.signer("C3"))) == set(recalls[3:])
    assert circle["L"].seconding.to_look_at(circle.signer("L2")) == ()


def test_a_seconded_withdrawal_begins_the_count_anew_and_both_must_be_answered_to_allow_it_again(
    circle: Circle,
) -> None:
    recalls = recalls_by_l2(circle, 5)
    circle.carry("LC")
    second = circle["C"].seconding.second(recalls[3], signer=circle.signer("C3"))
    assert circle["C"].seconding.seconded_by(recalls[3]) == ("C3",)
    assert circle["C"].seconding.alone() == ()
    edition = circle["C"].stops.every()[0].target
    entry = next(one.target for one in circle["C"].stops.every() if one.recall == recalls[3])
    assert {one.recall for one in circle["C"].stops.of(entry)} == {recalls[3], second}
    assert edition
    circle.carry("CL")
    for label in ("C3", "L2"):
        circle[label[0]].stops.allow_again([entry], signer=circle.signer(label), reason="It was the pot.")
    circle.carry("CLCL")
    assert circle["L"].stops.of(entry) == ()
