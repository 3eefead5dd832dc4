"""A site's own tins, buckets and paces: measured, kept at the site, never guessed."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from fieldbook.practices import read_entry
from fieldbook.practices.scaling import scale
from fieldbook.quantities import QuantityError
from fieldbook.site import SiteError
from fieldbook.site.sums import MEASURES_MOST, SIZES_MOST
from tests.starters import entry_of

if TYPE_CHECKING:
    from tests.orrendal import Circle

TIN = {"name": "milk tin", "kind": "volume", "holds": 400}


def test_what_a_tin_holds_is_kept_and_leaves_with_nobody(circle: Circle) -> None:
    site = circle["C"]
    assert site.sums.measures() == ()
    added = site.sums.add_measure({**TIN, "name": "  milk   tin "})
    assert (added.name, added.holds, added.unit) == ("milk tin", Decimal(400), "mL")
    circle.open("C")
    assert circle["C"].sums.measures() == (added,)
    circle["C"].exchange(circle.stick)
    carried = b"".join(path.read_bytes() for path in circle.stick.rglob("*") if path.is_file())
    assert b"milk tin" not in carried


def test_a_size_is_kept_once_for_its_edition_and_forgotten_again(circle: Circle) -> None:
    sums, entry = circle["C"].sums, read_entry(entry_of("dung-steep"))
    small, large = (scale(entry, base="container", amount=Decimal(litres), unit="L") for litres in (5, 60))
    kept = sums.keep_size("ab" * 32, small)
    assert sums.keep_size("ab" * 32, small) == kept
    sums.keep_size("ab" * 32, large)
    assert [(one.base, one.amount, one.unit) for one in sums.sizes("ab" * 32)] == [
        ("container", Decimal(5), "L"),
        ("container", Decimal(60), "L"),
    ]
    assert sums.sizes("cd" * 32) == ()
    sums.remove_size(kept.number)
    sums.remove_size(kept.number)
    assert [one.amount for one in sums.sizes("ab" * 32)] == [Decimal(60)]


def test_so_many_sizes_and_no_more_are_kept_for_an_edition(circle: Circle) -> None:
    sums, entry = circle["C"].sums, read_entry(entry_of("dung-steep"))
    for litres in range(1, SIZES_MOST + 1):
        sums.keep_size("ab" * 32, scale(entry, base="container", amount=Decimal(litres), unit="L"))
    with pytest.raises(SiteError, match="sizes are kept for this practice entry"):
        sums.keep_size("ab" * 32, scale(entry, base="container", amount=Decimal(99), unit="L"))


def test_one_that_nobody_uses_is_forgotten_and_its_number_is_never_given_again(circle: Circle) -> None:
    sums = circle["C"].sums
    first = sums.add_measure(TIN)
    sums.remove_measure(first.number)
    sums.remove_measure(first.number)
    assert sums.measures() == ()
    assert sums.add_measure(TIN).number > first.number


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"name": " "}, "What it is called here is not a text"),
        ({"holds": 0}, "It holds is 0; it must be above 0"),
        ({"holds": "a lot"}, "It holds is not a number"),
        ({"kind": "spoon"}, "not one of volume, mass, length"),
        ({"name": "x" * 81}, "not a text of 1 to 80"),
    ],
)
def test_what_is_no_measure_is_refused_in_words_and_nothing_is_kept(
    circle: Circle, changed: dict[str, str], words: str
) -> None:
    with pytest.raises(QuantityError, match=words):
        circle["C"].sums.add_measure({**TIN, **changed})
    assert circle["C"].sums.measures() == ()


def test_two_of_one_name_and_too_many_are_refused(circle: Circle) -> None:
    sums = circle["C"].sums
    sums.add_measure(TIN)
    with pytest.raises(SiteError, match="already a measure called Milk TIN"):
        sums.add_measure({**TIN, "name": "Milk TIN"})
    for number in range(1, MEASURES_MOST):
        sums.add_measure({**TIN, "name": f"tin {number}"})
    with pytest.raises(SiteError, match="measures already"):
        sums.add_measure({**TIN, "name": "one more"})
