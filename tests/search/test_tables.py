"""The names table, the table of topics, and the words of alarm."""

from __future__ import annotations

import csv
import io

import pytest

from fieldbook.languages import checked_tag
from fieldbook.practices.codes import TOPICS
from fieldbook.search import is_worried
from fieldbook.search.asked import asked_words
from fieldbook.search.names import NAME_LANGUAGES, shipped_names_table
from fieldbook.search.slips import Lexicon
from fieldbook.shipped import shipped_text

NAMES = list(csv.DictReader(io.StringIO(shipped_text("seed_entries/names.csv"))))
WORDS = list(csv.DictReader(io.StringIO(shipped_text("seed_entries/topics.csv"))))


def named(text: str) -> set[str]:
    asked = asked_words(text, languages=(), lexicon=Lexicon(()))
    return set(shipped_names_table().ids_in([word.shapes for word in asked]))


@pytest.mark.parametrize("language", NAME_LANGUAGES)
def test_each_name_leads_to_every_row_in_which_it_stands(language: str) -> None:
    rows_of: dict[str, set[str]] = {}
    for row in NAMES:
        for name in filter(None, row[language].split("|")):
            rows_of.setdefault(name, set()).add(row["id"])
    assert rows_of
    for name, rows in rows_of.items():
        assert rows <= named(name), name


@pytest.mark.parametrize(
    ("name", "rows"),
    [("vidukari", {"aphid", "whitefly"}), ("قطيفة", {"amaranth", "marigold"}), ("digir", {"bean", "cowpea"})],
)
def test_a_doubtful_name_offers_all_that_it_may_mean(name: str, rows: set[str]) -> None:
    assert named(name) == rows


def test_of_names_within_names_the_longest_is_meant() -> None:
    assert named("sweet potato") == {"sweet-potato"}
    assert named("kitunguu saumu") == {"garlic"}
    assert named("kitunguu na nyanya") == {"onion", "tomato"}


def test_each_name_says_for_itself_whether_it_is_sure() -> None:
    for row in NAMES:
        for language in NAME_LANGUAGES:
            names, marks = row[language], row[f"{language}_sure"]
            assert names.count("|") == marks.count("|")
            assert set(filter(None, marks.split("|"))) <= {"yes", "no"}
            assert bool(names) == bool(marks)


def test_the_table_of_topics_holds_just_the_topics_that_an_entry_may_have() -> None:
    assert list(dict.fromkeys(row["topic"] for row in WORDS)) == list(TOPICS)


def test_each_topic_has_words_in_the_languages_that_sites_teach_in() -> None:
    for topic in TOPICS:
        assert {"en", "sw", "fr", "ar", "es"} <= {row["language"] for row in WORDS if row["topic"] == topic}, topic


def test_a_row_of_the_table_of_topics_is_well_formed() -> None:
    ids = {row["id"] for row in NAMES}
    for row in WORDS:
        words = row["words"].split("|")
        assert len(set(words)) == len(words), row
        assert all(word == word.strip() != "" for word in words), row
        assert row["sure"] in {"yes", "no"}
        if row["language"] == "names":
            assert set(words) <= ids, row
        else:
            checked_tag(row["language"])


@pytest.mark.parametrize(
    "words",
    ["my goat is DYING", "kuku wanakufa wana kinyesi cha damu", "jeunes lapins mort subite", "الدجاج تموت", "بطن منتفخ",
     "mis conejos muertos", "fish gulping at the surface", "the leaves poisoned a child"],
)  # fmt: skip
def test_a_worried_question_is_known_as_such(words: str) -> None:
    assert is_worried(words)


@pytest.mark.parametrize(
    "words",
    ["when to plant onions", "strong sun on seedlings", "mboga zinazokua haraka", "combien d'eau pour le purin",
     "كم يوما بعد الرش نأكل", "12 سم", ""],
)  # fmt: skip
def test_a_calm_question_is_not_made_a_worry(words: str) -> None:
    assert not is_worried(words)


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("aphids", "aphid"), ("Greenfly", "aphid"), ("sukuma wiki", "kale"), ("chou frisé", "kale"),
        ("vidukari", None), ("kale aphids", None), ("", None), ("the", None), ("leaves", None),
    ],
)  # fmt: skip
def test_a_whole_name_leads_to_its_row_and_one_of_several_meanings_to_none(text: str, row: str | None) -> None:
    """Vidukari is said of aphids and of whiteflies (names.csv), so nobody may take one of the two for meant."""
    assert shipped_names_table().only_row(text) == row
