"""A withdrawal by ingredient stops whatever holds it, here or still to come, in any order, and nothing else."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.practices import can_be_named, ingredients_of
from fieldbook.practices.codes import FACT_GROUPS
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle

JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.sampled_from(["tobacco", "other", "plants", "spray"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["facts", "spray", "plants", "inputs", "kind"]), inner, max_size=3)
    ),
    max_leaves=8,
)


def with_spray(title: str, *plants: str) -> dict[str, Any]:
    groups = [group for group in FACT_GROUPS if group != "spray"]
    return practice(title, facts={"none": groups, "cautions": [], "spray": {"plants": list(plants)}})


@settings(derandomize=True, database=None, deadline=None, max_examples=100)
@given(JUNK)
def test_whatever_stands_in_a_document_its_ingredients_can_be_read(value: object) -> None:
    assert all(thing != "other" for _, thing in ingredients_of(value))


def test_other_is_no_thing() -> None:
    assert not can_be_named("spray", "other")
    assert can_be_named("spray", "tobacco")
    assert ingredients_of(with_spray("x", "other", "tobacco")) == {("spray", "tobacco")}


def withdraw(circle: Circle, edition: str) -> str:
    return circle["L"].recall(
        edition, signer=circle.signer("L2"), harm="A child was sick.", instead="Use soap.", ingredient="spray tobacco"
    )


@pytest.mark.parametrize("seed", range(4))
def test_it_stops_all_that_holds_it_in_any_order_of_sticks(circle: Circle, seed: int) -> None:
    first = circle.write("T1", with_spray("Tobacco spray", "tobacco"))
    circle.carry("T", circle.new_stick("first"))
    circle["L"].exchange(circle.new_stick("first"))
    made = circle.write("T1", with_spray("Soap spray", "soap"))
    mixed = circle.write("C1", with_spray("Soap and tobacco", "soap", "tobacco"))
    circle.carry("T", circle.new_stick("soap"))
    circle.carry("C", circle.new_stick("mixed"))
    withdraw(circle, first)
    circle.carry("L", circle.new_stick("word"))
    sticks = ["first", "soap", "mixed", "word"] * 2
    Random(seed).shuffle(sticks)
    known = False
    reviewer = circle.signer("S1")
    for stick in sticks:
        circle["S"].exchange(circle.new_stick(stick))
        known = known or stick == "word"
        for edition in (first, mixed):
            if known and circle["S"].view.entry_of(edition):
                assert circle["S"].page(edition, edition=edition, reader=reviewer).state == "recalled"
        assert circle["S"].verify().problems == ()
    assert circle["S"].page(made, edition=made, reader=reviewer).state == "offered"
    notice = circle["S"].page(mixed).notice
    assert notice is not None
    assert notice.ingredient == ("spray", "tobacco")
    later = circle.write("S1", with_spray("More tobacco", "tobacco"))
    assert circle["S"].page(later).state == "recalled"


def test_an_edition_without_it_may_follow_and_two_sites_may_allow_one_again(circle: Circle) -> None:
    first = circle.write("L1", with_spray("Tobacco spray", "tobacco"))
    mixed = circle.write("L1", with_spray("Soap and tobacco", "soap", "tobacco"))
    withdraw(circle, first)
    without = circle.write("L1", with_spray("Soap alone", "soap"), after=[mixed])
    states = {line.edition: line.state for line in circle["L"].page(mixed).editions}
    assert states == {mixed: "recalled", without: "offered"}
    circle.carry("LC")
    for label in ("L2", "C3"):
        circle[label[0]].stops.allow_again([mixed], signer=circle.signer(label), reason="Dried stems only.")
    circle.carry("CLCL")
    assert circle["L"].page(mixed, edition=mixed, reader=circle.signer("L2")).state == "offered"
    assert circle["L"].page(first).state == "recalled"


@pytest.mark.parametrize("named", ["tobacco", "spray other", "spray onions", "salt tobacco"])
def test_what_no_practice_can_hold_is_refused(circle: Circle, named: str) -> None:
    edition = circle.write("L1", with_spray("Tobacco spray", "tobacco"))
    with pytest.raises(FieldbookError, match="is no ingredient that can be named"):
        circle["L"].recall(
            edition, signer=circle.signer("L2"), harm="A child was sick.", instead="Use soap.", ingredient=named
        )
    assert circle["L"].ingredients(edition) == ("spray tobacco",)
