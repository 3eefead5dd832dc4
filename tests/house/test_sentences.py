"""Each sentence that the source can say to a person is in the catalogue, in every language of it, and none is there for nothing."""

from __future__ import annotations

import csv
import io
import re

import pytest

from fieldbook.sentences import FOLDER, Template, read_template, shipped_sentences
from fieldbook.shipped import shipped_text
from tests.check import ROOT
from tests.sentences.areas import LISTED, area_of, collected, sentences_of
from tests.sentences.recording import TABLE

pytestmark = pytest.mark.xdist_group("sentences")  # the source is read once in each process that asks for it


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


# which test brings which sentence about

UNTRIED_MOST = 7  # sentences that no test brings about yet; it may only fall


def rows_of_tests() -> dict[str, str]:
    with TABLE.open(newline="", encoding="utf-8") as table:
        return {row["english"]: row["test"] for row in csv.DictReader(table)}


def test_the_table_of_situations_holds_each_sentence_of_the_catalogue() -> None:
    """Made by ``python -m tests.sentences.recording``; a sentence that is new here has no test noted yet."""
    assert {english.shape for english, _ in shipped_sentences()} - rows_of_tests().keys() == set()


def test_each_situation_in_the_table_is_a_test_that_is_there() -> None:
    gone = set()
    texts: dict[str, str] = {}
    for test in filter(None, rows_of_tests().values()):
        file, _, rest = test.partition("::")
        text = texts.setdefault(file, (ROOT / file).read_text(encoding="utf-8") if (ROOT / file).is_file() else "")
        name = rest.split("::")[-1].partition("[")[0]
        if f"def {name}(" not in text:
            gone.add(test)
    assert gone == set()


def test_the_sentences_that_no_test_brings_about_never_grow() -> None:
    assert sum(not test for test in rows_of_tests().values()) <= UNTRIED_MOST


def test_whoever_says_who_belongs_to_the_network_is_a_signatory_in_every_sentence() -> None:
    """A steward is the word of the code; it is typed as the name of a verb or an option, and shown nowhere else."""
    typed = re.compile(r"`stewards`|--steward\b")
    assert [english.shape for english, _ in shipped_sentences() if "steward" in typed.sub("", _text(english))] == []


def _text(sentence: Template) -> str:
    return "{}".join(sentence.literals).casefold()
