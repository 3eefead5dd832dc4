"""A practice entry for one's own size on its page: amounts, tins, dated steps, cautions, and what does not scale."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from fieldbook.practices import read_entry
from fieldbook.practices.scaling import bases, scale
from fieldbook.sentences import shipped_sentences
from fieldbook.web.size_form import own_size
from tests.starters import entry_of
from tests.web.gardens import entry_with
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

PAGE_MAX_BYTES = 20_000


def address(circle: Circle, words: str = "Rabbit-dung", **typed: str) -> str:
    given = {"language": "en", **{("in" if name == "unit" else name): value for name, value in typed.items()}}
    return f"/entry/{entry_with(circle, words)}/size?{urlencode(given)}"


def test_an_entry_leads_to_its_sizes_and_the_sizes_to_its_sums(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    visitor.get(f"/entry/{entry}?language=en")
    assert f"/entry/{entry}/size?" in visitor.page
    visitor.get(address(planted))
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "A batch of steeped dung" in visitor.words()
    assert "dung_kg=2" in visitor.page
    assert "the container (20 L)" in visitor.words()


def test_a_can_of_five_litres_gets_a_quarter_with_the_cautions_beside_it(planted: Circle, visitor: Visitor) -> None:
    visitor.get(address(planted, base="container", amount="5", unit="L"))
    words = visitor.words()
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "You have 5 L : the container . This is 0.25 times what the entry says." in words
    assert "500 g rabbit droppings, without bedding the entry says 2 kg" in words
    assert "Thin it: 2.5 L with 5 L of water." in words
    assert "stock: 2.5 L; water: 5 L" in visitor.page
    assert "Gather 2 kg [500 g] of rabbit droppings with the shovel" in words
    assert "<s>2 kg</s>" in visitor.page
    assert "Pour 6 L into each bare bed of 100 cm by 60 cm : 5 beds" in words
    assert '<u class="own">6 L</u>' in visitor.page
    assert "no wait shrinks" in words
    assert "Germs in dung" in words
    assert len(visitor.page.encode()) <= PAGE_MAX_BYTES


def test_steps_get_dates_from_the_first_day(planted: Circle, visitor: Visitor) -> None:
    visitor.get(address(planted, base="container", amount="20", unit="L", begin="2028-02-20"))
    words = visitor.words()
    assert "5 March 2028" in words  # day 14, over a leap day
    assert "13 July 2028" in words  # day 144
    visitor.get(address(planted, base="container", amount="20", unit="L"))
    assert "Day 144" in visitor.words()


@pytest.mark.parametrize("day", ["30 February", "2027-02-30", "1970-01-01", "2099-01-01"])
def test_a_day_that_is_none_is_said_at_its_box(planted: Circle, visitor: Visitor, day: str) -> None:
    visitor.get(address(planted, base="container", amount="20", unit="L", begin=day))
    assert visitor.status == 422
    assert "That is no day." in visitor.words()


def test_buckets_and_tins_of_this_site_are_understood_and_spoken(planted: Circle, visitor: Visitor) -> None:
    sums = planted["C"].sums
    bucket = sums.add_measure({"name": "bucket of droppings", "kind": "mass", "holds": 2500})
    sums.add_measure({"name": "milk tin", "kind": "volume", "holds": 400})
    visitor.get(address(planted, base="material-0", amount="3", unit=f"measure-{bucket.number}"))
    words = visitor.words()
    assert "7.5 kg rabbit droppings, without bedding 3 × bucket of droppings the entry says 2 kg" in words
    assert "37.5 L clean water for steeping 93 × milk tin and 300 mL" in words


def test_ground_is_typed_as_length_and_width_or_in_paces(planted: Circle, visitor: Visitor) -> None:
    visitor.get(address(planted, base="ground", amount="3", across="2", unit="m"))
    assert "This is 2 times" in visitor.words()
    pace = planted["C"].sums.add_measure({"name": "pace", "kind": "length", "holds": 750})
    visitor.get(address(planted, base="ground", amount="4", across="2", unit=f"measure-{pace.number}"))
    assert "This is 1.5 times" in visitor.words()


def test_own_ground_says_what_fits_on_it_and_what_it_weighs() -> None:
    """A roof bed of 2 by 0.6 m at 25 cm carries 16; 288.3 kg on each square metre of 1.2 m²."""
    roof = read_entry(entry_of("coop-roof-bed"))
    own = own_size(roof, {"base": ["ground"], "amount": ["2"], "in": ["m"], "across": ["0.6"]}, ())
    assert own.ground[0] == "Plants that fit 250 mm apart: 16 in squares, 15 in triangles."
    assert (
        own.ground[1]
        == "When wet it weighs about 346 kg, 288.3 kg on each square metre: ask a competent builder first."
    )
    small = own_size(roof, {"base": ["ground"], "amount": ["2"], "in": ["m"], "across": ["0.2"]}, ())
    assert small.scaled is None
    assert "smaller than one spacing of 250 mm" in small.faults["amount"]


def test_a_trainer_keeps_a_size_everybody_finds_it_again_and_a_reader_cannot_keep_one(
    planted: Circle, visitor: Visitor
) -> None:
    visitor.get(address(planted, base="container", amount="5", unit="L"))
    assert "Keep this size" not in visitor.words()
    visitor.sit("C1").get(address(planted, base="container", amount="5", unit="L"))
    assert read_page(visitor.page).judged() == []
    edition = planted["C"].page(entry_with(planted, "Rabbit-dung")).line.edition
    where = f"/entry/{entry_with(planted, 'Rabbit-dung')}/size"
    sent = {"base": "container", "amount": "5", "in": "L", "across": "", "edition": edition, "language": "en"}
    visitor.post(where, sent)
    assert "Sizes that this site makes 5 L : the container" in visitor.words()
    assert read_page(visitor.page).judged() == []
    (kept,) = planted["C"].sums.sizes(edition)
    visitor.post(where, {"edition": edition, "forget": str(kept.number)})
    assert planted["C"].sums.sizes(edition) == ()


def test_a_size_that_was_tampered_with_is_not_kept(planted: Circle, visitor: Visitor) -> None:
    edition = planted["C"].page(entry_with(planted, "Rabbit-dung")).line.edition
    visitor.sit("C1").get(address(planted, base="container", amount="5", unit="L"))
    visitor.post(
        f"/entry/{entry_with(planted, 'Rabbit-dung')}/size",
        {"base": "moon", "amount": "5", "in": "L", "edition": edition},
    )
    assert visitor.status == 422
    assert "The size that was sent cannot be reckoned." in visitor.words()
    assert planted["C"].sums.sizes(edition) == ()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"amount": ""}, "How much of it is missing"),
        ({"amount": "0"}, "How much of it is 0; it must be above 0"),
        ({"amount": "-1"}, "How much of it is -1"),
        ({"amount": "many"}, "How much of it is not a number"),
        ({"amount": "5000"}, "too far from what this practice entry was tried at"),
        ({"amount": "5", "unit": "kg"}, "kg and L do not measure the same"),
        ({"amount": "5", "unit": "cups"}, "cups is no unit that is known here"),
        ({"amount": "5", "base": "moon"}, "has no such amount"),
        ({"amount": "5", "across": "x"}, "And across, for ground is not a number"),
    ],
)
def test_what_cannot_be_reckoned_is_said_at_its_box(
    planted: Circle, visitor: Visitor, typed: dict[str, str], words: str
) -> None:
    visitor.get(address(planted, **{"base": "container", "unit": "L", **typed}))
    assert visitor.status == 422
    assert words.casefold() in visitor.words().casefold()
    assert read_page(visitor.page).judged() == []
    assert "Germs in dung" in visitor.words()


def test_the_reader_keeps_their_language(planted: Circle, visitor: Visitor) -> None:
    visitor.get(address(planted, base="container", amount="5", unit="L").replace("language=en", "language=fr"))
    assert "crottes de lapin" in visitor.words()
    assert read_page(visitor.page).judged() == []


def test_a_withdrawn_entry_has_no_size(planted: Circle, visitor: Visitor) -> None:
    site, entry = planted["C"], entry_with(planted, "Rabbit-dung")
    page = site.page(site.entry_id(entry))
    site.recall(page.line.edition, signer=planted.signer("C3"), harm="two children were sick", instead="use compost")
    visitor.get(f"/entry/{entry}/size?language=en&base=container&amount=5&in=L")
    assert "withdrawn" in visitor.words().casefold()
    assert "500 g" not in visitor.words()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"amount": ""}, "How much of it is missing (a number)."),
        ({"amount": "3", "across": "0", "unit": "m"}, "And across, for ground is 0; it must be above 0"),
    ],
)
def test_what_was_typed_amiss_is_said_at_its_box_in_kiswahili_too(
    planted: Circle, visitor: Visitor, typed: dict[str, str], words: str
) -> None:
    visitor.get(address(planted, base="ground", **typed), headers={"Accept-Language": "sw"})
    assert visitor.status == 422
    assert words in visitor.words()
    assert 'class="retold" lang="sw"' in visitor.page


@pytest.mark.parametrize("name", ["coop-roof-bed", "dung-steep", "fish-hen-garden", "leaf-box"])
def test_what_does_not_scale_is_said_in_kiswahili_too(planted: Circle, visitor: Visitor, name: str) -> None:
    document = {key: value for key, value in entry_of(name).items() if key != "photos"}
    steps = [{key: value for key, value in step.items() if key != "picture"} for step in document["steps"]]
    edition = planted.write("C1", document | {"steps": steps})
    entry = visitor.site.entry_value(edition)
    base = bases(entry)[0]
    for times in (2, 11):
        typed = {"base": base.key, "amount": str(base.amount * times), "in": base.unit, "language": "en"}
        where = f"/entry/{planted['C'].entry_id(edition)}/size?{urlencode(typed)}"
        visitor.get(where, headers={"Accept-Language": "sw"})
        assert visitor.status == 200
        for words in scale(entry, base=base.key, amount=base.amount * times, unit=base.unit).stays:
            said = shipped_sentences().say(words, "sw")
            assert said is not None
            assert f"{said} {words}" in visitor.words()
        assert len(visitor.page.encode()) <= PAGE_MAX_BYTES


def test_own_ground_is_told_in_kiswahili_too(planted: Circle, visitor: Visitor) -> None:
    document = {key: value for key, value in entry_of("coop-roof-bed").items() if key != "photos"}
    steps = [{key: value for key, value in step.items() if key != "picture"} for step in document["steps"]]
    edition = planted.write(
        "C1", document | {"steps": steps, "title": {"en": "Another bed above the hens", "fr": "Un autre bac"}}
    )
    typed = {"base": "ground", "amount": "2", "in": "m", "across": "0.6", "language": "en"}
    visitor.get(f"/entry/{planted['C'].entry_id(edition)}/size?{urlencode(typed)}", headers={"Accept-Language": "sw"})
    assert "Mimea inayoenea kwa nafasi ya 250 mm: 16 kwa miraba, 15 kwa pembetatu." in visitor.words()
    assert "Likiwa limelowa lina uzito wa takriban 346 kg, 288.3 kg kwenye kila mita ya mraba" in visitor.words()
