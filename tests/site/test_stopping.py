"""Allowing a withdrawn practice again: two people of two sites, who name the same editions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site.stopping.withdrawals import NAMED_MAX
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle

WHY = "It was the pot, not the spray."


def withdrawn_everywhere(circle: Circle, **fields: Any) -> tuple[str, str]:
    """An approved entry of T, and the withdrawal of it by L2, known to all."""
    edition = circle.write("T1", practice("Smoke spray", **fields))
    circle.carry("TL")
    circle.approve("L2", edition)
    recall = circle.recall("L2", edition)
    circle.carry("LCTSLCTS")
    return edition, recall


def allow(circle: Circle, label: str, *editions: str) -> str:
    return circle[label[0]].stops.allow_again(editions, signer=circle.signer(label), reason=WHY)


@pytest.mark.parametrize("voices", [("L2", "C3"), ("C3", "S1"), ("S1", "L2")])
def test_two_voices_of_two_sites_one_of_them_a_reviewers_allow_an_entry_again(
    circle: Circle, voices: tuple[str, str]
) -> None:
    edition, _ = withdrawn_everywhere(circle)
    allow(circle, voices[0], edition)
    circle.carry("CTLSCTLS")
    assert {circle[letter].page(edition).state for letter in "CTLS"} == {"recalled"}
    allow(circle, voices[1], edition)
    circle.carry("CTLSCTLS")
    assert {circle[letter].page(edition).state for letter in "CTLS"} == {"approved"}
    assert all(circle[letter].stops.of(edition) == () for letter in "CTLS")
    assert all(hit.state == "approved" for hit in circle["S"].search("smoke spray"))


def test_two_signatories_without_a_reviewer_allow_nothing(circle: Circle) -> None:
    edition, _ = withdrawn_everywhere(circle)
    allow(circle, "C1", edition)
    allow(circle, "S1", edition)
    circle.carry("CSLTCSLT")
    assert circle["S"].page(edition).state == "recalled"
    (stop,) = circle["L"].stops.of(edition)
    assert {(voice.by, voice.reviewer) for voice in stop.voices} == {("C1", False), ("S1", False)}


def test_one_site_has_one_voice(circle: Circle) -> None:
    edition, _ = withdrawn_everywhere(circle)
    allow(circle, "C3", edition)
    for label in ("C3", "C1"):
        with pytest.raises(FieldbookError, match="site C has allowed this again already"):
            allow(circle, label, edition)


def test_what_both_do_not_name_stays_withdrawn_and_a_later_edition_too(circle: Circle) -> None:
    edition, _ = withdrawn_everywhere(circle)
    later = circle.write("T1", practice("Smoke spray, weaker"), after=[edition])
    circle.carry("TLCTLC")
    allow(circle, "L2", edition, later)
    allow(circle, "C3", later)
    circle.carry("LCLC")
    states = {one.edition: one.state for one in circle["L"].page(edition).editions}
    assert states == {edition: "recalled", later: "offered"}


def test_an_adaptation_is_allowed_again_by_itself_and_each_withdrawal_is_answered(circle: Circle) -> None:
    first = circle.write("C1", practice("Smoke spray"))
    made = circle.write("C1", practice("Smoke of dry leaves"), after=[first], adaptation=True)
    circle.carry("CL")
    recalls = {circle.recall("C3", first), circle.recall("L2", made)}
    circle.carry("CLCL")
    assert {stop.recall for stop in circle["L"].stops.of(made)} == recalls
    allow(circle, "L2", made)
    allow(circle, "C3", made)
    circle.carry("CLCL")
    reviewer = circle.signer("L2")
    states = [circle["L"].page(one, reader=reviewer).state for one in (made, first)]
    assert states == ["offered", "recalled"]


def test_bad_input_changes_nothing(circle: Circle) -> None:
    edition, _ = withdrawn_everywhere(circle)
    other = circle.write("L1", practice("Onions"))
    count = circle["L"].verify().statements
    for editions, refusal in (
        ((), "no edition was chosen"),
        ((other,), "this edition waits for a decision, so it cannot be allowed again"),
        ((edition, other), "of several entries"),
        (("f" * 64,), "no edition here begins"),
    ):
        with pytest.raises(FieldbookError, match=refusal):
            allow(circle, "L2", *editions)
    with pytest.raises(FieldbookError, match="the reason is empty"):
        circle["L"].stops.allow_again([edition], signer=circle.signer("L2"), reason=" ")
    with pytest.raises(FieldbookError, match="T1 may not say “lifting” here"):
        allow(circle, "T1", edition)
    assert circle["L"].verify().statements == count


def test_one_voice_names_no_more_than_a_statement_can(circle: Circle) -> None:
    editions = [circle.write("C1", practice("Smoke 0"))]
    for number in range(1, NAMED_MAX):
        editions.append(circle.write("C1", practice(f"Smoke {number}"), after=[editions[-1]]))
    circle.recall("C3", editions[0])
    with pytest.raises(FieldbookError, match="one voice can name 64 editions and withdrawals, here are 65"):
        allow(circle, "C3", *editions)


def test_a_notice_that_no_link_takes_is_refused_in_one_sentence(circle: Circle) -> None:
    edition = circle.write("C1", practice("Smoke spray"))
    long = "ش" * 299
    with pytest.raises(FieldbookError, match=r"the notice takes 18[0-9][0-9] bytes, and 1024 go over any link"):
        circle["C"].recall(edition, signer=circle.signer("C3"), harm=long, now=long, instead=long)
    assert circle["C"].page(edition).state == "offered"
    with pytest.raises(FieldbookError, match="the harm is longer than 300 characters"):
        circle["C"].recall(edition, signer=circle.signer("C3"), harm="x" * 5000, instead="Use soap.")


def test_a_withdrawal_of_an_unknown_id_is_refused(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="no edition here begins with ffff"):
        circle["C"].recall("f" * 64, signer=circle.signer("C3"), harm="A hen died.", instead="Use soap.")


def test_what_is_out_of_date_names_what_replaces_it_and_never_itself(circle: Circle) -> None:
    old, new = circle.write("C1", practice("Rows of onions")), circle.write("C1", practice("Beds of onions"))
    with pytest.raises(FieldbookError, match="cannot replace itself"):
        circle["C"].retire(old, signer=circle.signer("C3"), reason="A better one is here.", replaced_by=old[:12])
    circle["C"].retire(old, signer=circle.signer("C3"), reason="A better one is here.", replaced_by=new[:12])
    page = circle["C"].page(old, edition=old, reader=circle.signer("C1"))
    assert page.retired[0].replaced_by == new
    assert f"Use this practice entry instead: {new[:12]}" in page.sentences()


def test_every_withdrawal_is_listed_once_even_where_its_entry_has_not_arrived(circle: Circle) -> None:
    edition, recall = withdrawn_everywhere(circle)
    circle.write("T1", practice("Smoke, thinned"), after=[edition], adaptation=True)
    circle.carry("TS")
    assert [(stop.recall, stop.target) for stop in circle["S"].stops.every()] == [(recall, edition)]
