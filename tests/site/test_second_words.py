"""A licensed local person's word: asked on a sheet, typed in, signed with an approval, and counted at its own site."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle

ROOF = practice("Lettuce on a roof", hazards=[{"code": "C07"}])
DUNGED_ROOF = practice("Lettuce on a dunged roof", hazards=[{"code": "C07"}, {"code": "C01"}])
WORD: dict[str, Any] = {
    "role": "builder",
    "on": "2026-11-20",
    "words": "The roof of block C carries 120 kg on each m².",
    "about": ["C07"],
}


def lacks(circle: Circle, letter: str, edition: str) -> tuple[str, ...]:
    return circle[letter].second_words.lacks_for_home(circle[letter].page(edition, edition=edition))


def test_one_reviewer_and_a_builders_word_make_a_second_check_at_that_site_only(circle: Circle) -> None:
    edition = circle.write("C1", ROOF)
    site, reviewer = circle["C"], circle.signer("C3")
    assert lacks(circle, "C", edition) == ("unchecked",)
    circle.approve("C3", edition)
    assert lacks(circle, "C", edition) == ("load",)
    noted = site.second_words.keep(edition, signer=reviewer, **WORD)
    assert lacks(circle, "C", edition) == ("load",)  # kept here, signed by nobody
    site.approve(edition, signer=reviewer, answers={}, second_word=noted.as_body())
    assert lacks(circle, "C", edition) == ()
    assert site.page(edition).standing == "checked-twice"
    assert any(
        "The builder said on 2026-11-20" in said and "at this site" in said for said in site.page(edition).sentences()
    )
    circle.carry("CLC")
    assert circle["L"].page(edition).standing == "checked-once"
    assert lacks(circle, "L", edition) == ("load",)
    (_, there) = circle["L"].page(edition).approvals
    assert (there.word_counts, there.site_letter) == (False, "C")
    circle.approve("L2", edition)
    assert lacks(circle, "L", edition) == ()


def test_a_word_on_the_load_covers_no_germs(circle: Circle) -> None:
    edition = circle.write("C1", DUNGED_ROOF)
    body = circle["C"].second_words.checked(edition, signer=circle.signer("C3"), **WORD)
    circle["C"].approve(edition, signer=circle.signer("C3"), answers={}, second_word=body)
    assert lacks(circle, "C", edition) == ("germs",)


def test_what_is_paused_sent_back_or_out_of_date_is_for_no_sheet(circle: Circle) -> None:
    site, reviewer = circle["C"], circle.signer("C3")
    for stop in (site.hold, site.send_back, site.retire):
        edition = circle.write("C1", practice("Rows of leeks"))
        circle.approve("C3", edition)
        assert lacks(circle, "C", edition) == ()
        stop(edition, signer=reviewer, reason="We had a flood.")
        page = site.page(site.entry_id(edition), edition=edition, reader=reviewer)
        assert site.second_words.lacks_for_home(page) == ("stop",)


def test_a_word_stays_in_the_notebook_until_it_is_signed(circle: Circle) -> None:
    edition = circle.write("C1", ROOF)
    before = circle["C"].need_ledger().count()
    circle["C"].second_words.keep(edition, signer=circle.signer("C3"), **WORD, answers={"MAT-01": " Oil tins only. "})
    assert circle["C"].need_ledger().count() == before
    (word,) = circle["C"].second_words.of(edition)
    assert (word.role, word.on, word.about, word.typed_by) == ("builder", "2026-11-20", ("C07",), "C3")
    assert word.answers == {"MAT-01": "Oil tins only."}
    assert circle["C"].second_words.word(edition, word.number) == word


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"role": "neighbour"}, "this is no office of a licensed person"),
        ({"role": ""}, "this is no office of a licensed person"),
        ({"on": "20 November"}, "there is no day 20 November"),
        ({"on": "20261120"}, "there is no day 20261120"),
        ({"on": "2026-02-30"}, "there is no day 2026-02-30"),
        ({"on": "2026-11-26"}, "the day 2026-11-26 is still to come"),
        ({"words": " \n "}, "their word is empty"),
        ({"words": "x" * 1001}, "their word is longer than 1000 characters"),
        ({"about": []}, "on which danger of this edition"),
        ({"about": ["C02"]}, "on which danger of this edition"),
        ({"about": ["C07", "C99"]}, "on which danger of this edition"),
    ],
)
def test_a_word_that_lacks_something_is_refused_and_nothing_is_kept(
    circle: Circle, change: dict[str, Any], words: str
) -> None:
    edition = circle.write("C1", ROOF)
    with pytest.raises(FieldbookError) as refusal:
        circle["C"].second_words.keep(edition, signer=circle.signer("C3"), **(WORD | change))
    assert words in refusal.value.message
    assert refusal.value.hint
    assert circle["C"].second_words.of(edition) == ()


def test_the_day_of_a_word_is_believed_where_the_clock_is_not(circle: Circle) -> None:
    edition = circle.write("C1", ROOF)
    circle["C"].clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    assert circle["C"].second_words.keep(edition, signer=circle.signer("C3"), **WORD).on == "2026-11-20"


def test_the_author_does_not_type_in_the_word_on_their_own_edition(circle: Circle) -> None:
    edition = circle.write("C1", ROOF)
    with pytest.raises(FieldbookError, match="whoever wrote an edition does not type in"):
        circle["C"].second_words.keep(edition, signer=circle.signer("C1"), **WORD)
    with pytest.raises(FieldbookError, match="this word of a local person is not kept here"):
        circle["C"].second_words.word(edition, 7)


def test_a_volunteer_does_not_type_it_in(circle: Circle) -> None:
    edition = circle.write("C1", ROOF)
    signer = circle.signer("C3")
    volunteer = type(signer)(signer.label, frozenset({"volunteer"}), signer.key)
    with pytest.raises(FieldbookError, match="only trainers and reviewers"):
        circle["C"].second_words.keep(edition, signer=volunteer, **WORD)


def test_a_reviewer_of_some_kinds_of_practice_is_not_asked_about_others(circle: Circle) -> None:
    for voice in ("C1", "L1"):
        circle[voice[0]].grant_reviewer(
            circle.keys["S1"].public,
            "S1",
            circle["S"].site_key.public,
            scope=["compost"],
            signer=circle.signer(voice),
        )
        circle.carry(voice[0])
    heap = circle.write("C1", practice("A heap", kind="compost"))
    circle.write("C1", practice("A lesson"))
    circle.carry("CS")
    queue = circle["S"].review_queue.items(circle.signer("S1"))
    assert [item.card.edition for item in queue] == [heap]


def test_what_is_said_to_have_hurt_somebody_comes_first_even_where_it_was_approved(circle: Circle) -> None:
    stopped = circle.write("L1", practice("Open drums", hazards=[{"code": "C09"}]))
    plain = circle.write("C1", practice("Plain"))
    circle.approve("C3", plain)
    circle.carry("LCLC")
    queue = circle["C"].review_queue
    assert [item.card.edition for item in queue.items(circle.signer("C3"))] == [stopped]
    circle["C"].complaints.tell(plain, says="hurt", words="Two children were sick.")
    assert [item.card.edition for item in queue.items(circle.signer("C3"))] == [plain, stopped]
    assert queue.items(circle.signer("C3"))[0].weight.reasons()[0] == ("harmed", 1)
    assert plain not in {item.card.edition for item in queue.items(circle.signer("C1"))}


def test_the_other_reviewers_queue_asks_for_the_second_check_after_what_nobody_has_checked(circle: Circle) -> None:
    roof, plain, onions = circle.write("C1", ROOF), circle.write("C1", practice("Plain")), circle.write("C1")
    circle.carry("CL")
    for edition in (roof, plain):
        circle.approve("C3", edition)
    circle.carry("CL")
    queue = circle["L"].review_queue.items(circle.signer("L2"))
    assert [item.card.edition for item in queue] == [onions, roof]
    assert dict(queue[1].weight.reasons()) == {"load": 1, "second": 1}
    assert [item.card.edition for item in circle["C"].review_queue.items(circle.signer("C3"))] == [onions]
    circle.approve("L2", roof)
    assert [item.card.edition for item in circle["L"].review_queue.items(circle.signer("L2"))] == [onions]
