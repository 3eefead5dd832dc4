"""What is at stake in an entry, and what keeps it off a sheet to take home: germs, poison, load, open water."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.practices import read_entry
from fieldbook.practices.codes import CAUTIONS
from fieldbook.review.stakes import STAKES, cautions_at_stake, stakes_of, unchecked_stakes
from tests.review.practice import facts

if TYPE_CHECKING:
    from fieldbook.practices import Entry


def practice(document: dict[str, Any] | None = None, **groups: Any) -> Entry:
    """An entry of these facts that names no caution."""
    head = {"kind": "teaching", "title": {"en": "A practice"}, "facts": facts(**groups) | {"cautions": []}}
    return read_entry(head | (document or {}))


PLAIN = practice()
DUNG = practice(inputs={"kind": "hen_manure", "wait_d": 120})
ROOF = practice(structure={"kind": "roof_bed", "on_roof": True})


def test_nothing_is_at_stake_where_every_danger_is_ruled_out() -> None:
    assert stakes_of(PLAIN) == ()
    assert unchecked_stakes(PLAIN, reviewers=0) == ()


def test_dung_is_a_matter_of_germs_and_a_roof_of_load() -> None:
    assert "germs" in stakes_of(DUNG)
    assert "load" not in stakes_of(DUNG)
    assert "load" in stakes_of(ROOF)


def test_what_is_not_said_counts_as_at_stake() -> None:
    bare = read_entry({"kind": "teaching", "title": {"en": "Anything"}})
    assert stakes_of(bare) == tuple(STAKES)


def test_a_danger_that_the_author_names_is_at_stake_whatever_the_facts_say() -> None:
    assert stakes_of(practice({"hazards": [{"code": "C09"}]})) == ("open-water",)


def test_two_reviewers_are_enough_and_one_is_not() -> None:
    assert unchecked_stakes(ROOF, reviewers=2) == ()
    assert "load" in unchecked_stakes(ROOF, reviewers=1)


def test_a_local_word_covers_only_what_it_is_about_and_only_beside_an_approval() -> None:
    entry = practice({"hazards": [{"code": "C07"}, {"code": "C01"}]})
    assert unchecked_stakes(entry, reviewers=1) == ("germs", "load")
    assert unchecked_stakes(entry, reviewers=1, covered=["C07"]) == ("germs",)
    assert unchecked_stakes(entry, reviewers=1, covered=["C07", "C01"]) == ()
    assert unchecked_stakes(entry, reviewers=0, covered=["C07", "C01"]) == ("germs", "load")


@pytest.mark.parametrize("stake", STAKES)
def test_each_caution_of_a_stake_exists_and_stands_under_one_stake_only(stake: str) -> None:
    mine = set(STAKES[stake])  # type: ignore[index]
    assert mine <= set(CAUTIONS)
    assert all(mine.isdisjoint(keys) for other, keys in STAKES.items() if other != stake)


def test_an_unknown_caution_of_newer_software_is_not_counted_and_breaks_nothing() -> None:
    entry = read_entry({"kind": "teaching", "title": {"en": "x"}, "hazards": [{"code": "C99"}]}, strict=False)
    assert "C99" not in cautions_at_stake(entry)
