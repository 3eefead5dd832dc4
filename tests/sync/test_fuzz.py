"""No parser of foreign bytes does anything but give a value that spells the same again, or one refusal.

A short run of ``python -m tests.sync.fuzz``, over everything that its corpus has kept.
"""

from __future__ import annotations

from random import Random

import pytest

from tests.sync import fuzz

TRIES = 400


@pytest.mark.parametrize("target", fuzz.TARGETS)
def test_nothing_in_the_corpus_and_nothing_that_grows_out_of_it_breaks_a_parser(target: str) -> None:
    assert [found for data in fuzz.seeds_of(target) if (found := fuzz.try_one(target, data))] == []
    tried, failures = fuzz.grow(target, Random(7), seconds=60, tries=TRIES, keep=False)
    assert (tried, failures) == (TRIES, [])


def test_a_parser_that_breaks_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def careless(data: bytes) -> None:
        data.decode("ascii")

    monkeypatch.setitem(fuzz.TARGETS, "canonical", careless)
    _, failures = fuzz.grow("canonical", Random(7), seconds=60, tries=TRIES, keep=False)
    assert {found.error.partition(":")[0] for found in failures} == {"UnicodeDecodeError"}
