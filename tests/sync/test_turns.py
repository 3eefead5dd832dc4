"""Whose turn it is in the urgent lane: the sites one after the other, however many there are."""

from __future__ import annotations

from itertools import groupby, islice

from hypothesis import given
from hypothesis import strategies as st

from sync.exchange.copies import Copy
from sync.exchange.taking import in_turns

SITES = st.integers(0, 9).map(lambda number: f"{number:026x}")
LEFT = st.dictionaries(SITES, st.lists(st.integers(1, 3), max_size=5), max_size=10)


def copies(site: str, bundles: list[int]) -> list[Copy]:
    """Of each bundle so many copies, the fullest first."""
    return [
        Copy(site, "1" * 16, "urgent", number, f"{number:026x}", absent)
        for number, of_bundle in enumerate(bundles, start=1)
        for absent in range(of_bundle)
    ]


def in_order(left: dict[str, list[int]], taken: dict[str, int]) -> list[Copy]:
    """By the number of bundles that were taken from a site before, then by site."""
    return sorted(
        (copy for site, bundles in left.items() for copy in copies(site, bundles)),
        key=lambda copy: (taken.get(copy.site, 0) + copy.number, copy.site, copy.absent),
    )


@given(left=LEFT, taken=st.dictionaries(SITES, st.integers(0, 4)), most=st.integers(1, 40))
def test_as_many_as_are_asked_for_come_as_they_do_where_all_are_looked_at(
    left: dict[str, list[int]], taken: dict[str, int], most: int
) -> None:
    coming = in_turns((iter(copies(site, left[site])) for site in sorted(left)), taken, most=most)
    assert list(islice(coming, most)) == in_order(left, taken)[:most]


@given(left=LEFT)
def test_no_site_has_a_second_turn_before_each_has_had_its_first(left: dict[str, list[int]]) -> None:
    coming = in_turns((iter(copies(site, left[site])) for site in sorted(left)), {}, most=100)
    turns = [number for (number, _), _ in groupby(coming, key=lambda copy: (copy.number, copy.site))]
    assert turns == sorted(turns)
