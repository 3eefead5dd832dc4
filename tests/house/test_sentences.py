"""Each sentence that the source can say to a person is in the catalogue, in every language of it, and none is there for nothing."""

from __future__ import annotations

import csv
import io

import pytest

from fieldbook.sentences import FOLDER, read_template, shipped_sentences
from fieldbook.shipped import shipped_text
from tests.sentences.areas import LISTED, area_of, collected, sentences_of


def shapes_of_table(area: str) -> set[str]:
    rows = csv.DictReader(io.StringIO(shipped_text(f"{FOLDER}/{area}.csv")))
    return {read_template(row["english"]).shape for row in rows}


@pytest.mark.parametrize("area", LISTED)
def test_each_sentence_can_be_read_without_running_it(area: str) -> None:
    assert [where for where in sorted(collected().unreadable) if area_of(where) == area] == []


@pytest.mark.parametrize("area", LISTED)
def test_each_sentence_is_in_the_catalogue(area: str) -> None:
    held = {english.shape for english, _ in shipped_sentences()}
    assert [f"{each.place}: {each.template}" for each in sentences_of(area) if each.shape not in held] == []


@pytest.mark.parametrize("area", LISTED)
def test_no_sentence_is_in_the_catalogue_for_nothing(area: str) -> None:
    assert shapes_of_table(area) - {each.shape for each in sentences_of(area)} == set()


@pytest.mark.parametrize("area", LISTED)
def test_each_sentence_is_there_in_kiswahili(area: str) -> None:
    ours = shapes_of_table(area)
    assert [english.shape for english, said in shipped_sentences() if english.shape in ours and "sw" not in said] == []
