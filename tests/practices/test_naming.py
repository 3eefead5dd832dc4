"""Names of crops, pests and animals: one name leads to one row or to none."""

from __future__ import annotations

import pytest

from fieldbook.practices.naming import ThingNames
from fieldbook.shipped import shipped_text

NAMES = ThingNames(shipped_text("seed_entries/names.csv"))


@pytest.mark.parametrize(
    ("typed", "thing"),
    [("aphids", "aphid"), ("Aphid", "aphid"), ("puceron", "aphid"), ("sukuma  wiki", "kale"), ("kale", "kale"),
     ("tomatoes", "tomato"), ("chou frisé", "kale"), ("sweet potato", "sweet-potato")],
)  # fmt: skip
def test_a_name_in_any_language_of_the_table_leads_to_its_row(typed: str, thing: str) -> None:
    assert NAMES.thing(typed) == thing


@pytest.mark.parametrize("typed", ["vidukari", "قطيفة", "holes in leaves", ""])
def test_a_name_of_several_or_of_none_stays_what_was_typed(typed: str) -> None:
    """Kiswahili vidukari is aphid and whitefly; Arabic قطيفة is amaranth and marigold (the table's own notes)."""
    assert NAMES.thing(typed) == ""


def test_a_row_has_its_first_name_in_each_language() -> None:
    assert NAMES.words("kale")["sw"] == "sukuma wiki"
    assert NAMES.words("no-such-thing") == {}
