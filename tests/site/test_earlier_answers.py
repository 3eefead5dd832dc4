"""A reviewer's earlier answers are offered again to the same rule on the same value, and never filled in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.review import findings_of
from fieldbook.review.precedents import answered_alike
from tests.orrendal import practice
from tests.review.practice import practice as judged

if TYPE_CHECKING:
    from tests.orrendal import Circle

RATIO = {"a": "soap", "b": "water", "by": "volume", "value": 100}
ANSWER = "We measured it here for two seasons."


def mixed(title: str, **ratio: Any) -> dict[str, Any]:
    return practice(title, ratios=[{**RATIO, **ratio}])


def test_the_same_rule_with_the_same_value_is_offered_with_where_it_comes_from(circle: Circle) -> None:
    first = circle.write("C1", mixed("Soap water"))
    circle.approve("C3", first, answers={"GEN-01": ANSWER})
    second = circle.write("C1", mixed("Soap water for beans"))
    (offered,) = circle["C"].earlier_answers.offered(second, signer=circle.signer("C3"))
    assert (offered.rule, offered.words, offered.edition, offered.on) == ("GEN-01", ANSWER, first, "2026-11-25")
    assert offered.title == {"en": "Soap water"}


def test_another_value_another_rule_or_another_reviewer_offers_nothing(circle: Circle) -> None:
    first = circle.write("C1", mixed("Soap water", source="A work"))
    circle.carry("CL")
    assert circle["C"].findings(first) == ()
    unsourced = circle.write("C1", mixed("Soap water for beans"))
    circle.approve("C3", unsourced, answers={"GEN-01": ANSWER})
    circle.carry("CL")
    other = circle.write("L1", mixed("Soap water for kale"))
    assert circle["L"].earlier_answers.offered(other, signer=circle.signer("L2")) == ()


def test_one_value_more_than_was_answered_is_not_covered() -> None:
    """What was answered for water of 9 and of 12 days covers 9 days alone, and never the other way round."""
    nine, twelve = ({"cover": "fence", "prior_use": "food", "age_water_d": days} for days in (9, 12))
    one, two = (findings_of(judged(vessel=vessels)) for vessels in ([nine], [nine, twelve]))
    assert "MOS-01" in answered_alike(one, one)
    assert "MOS-01" in answered_alike(one, two)
    assert "MOS-01" not in answered_alike(two, one)


def test_a_local_persons_answer_is_offered_before_the_reviewers_own(circle: Circle) -> None:
    earlier = circle.write("C1", mixed("Soap water"))
    circle.approve("C3", earlier, answers={"GEN-01": ANSWER})
    edition = circle.write("C1", mixed("Soap water for beans") | {"hazards": [{"code": "C16"}]})
    circle["C"].second_words.keep(
        edition,
        signer=circle.signer("C3"),
        role="doctor",
        on="2026-11-24",
        words="It does not burn at this strength.",
        about=["C16"],
        answers={"GEN-01": "So it is used at the clinic."},
    )
    offered = circle["C"].earlier_answers.offered(edition, signer=circle.signer("C3"))
    assert [(one.role, one.words) for one in offered] == [("doctor", "So it is used at the clinic."), ("", ANSWER)]


def test_an_answer_whose_edition_was_taken_back_is_not_offered(circle: Circle) -> None:
    first = circle.write("C1", mixed("Soap water"))
    circle.approve("C3", first, answers={"GEN-01": ANSWER})
    circle["C"].take_back(first, signer=circle.signer("C1"))
    second = circle.write("C1", mixed("Soap water for beans"))
    assert circle["C"].earlier_answers.offered(second, signer=circle.signer("C3")) == ()


def test_what_was_not_offered_cannot_be_taken_over(circle: Circle) -> None:
    edition = circle.write("C1", mixed("Soap water"))
    taken = circle["C"].earlier_answers.taken(edition, {("GEN-01", "f" * 64)}, signer=circle.signer("C3"))
    assert taken == ()
