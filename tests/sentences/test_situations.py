"""Each error, refusal and hint comes when it should, says in one sentence what to do, and says the same in Kiswahili."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.sentences import read_template, shipped_sentences
from tests.sentences import (
    beginnings_situations,
    commands_situations,
    decisions_situations,
    entries_situations,
    findings_situations,
    pages_situations,
    places_situations,
    rooms_situations,
    sizes_situations,
    starting_situations,
    stores_situations,
    sync_situations,
    workings_situations,
)
from tests.sentences.areas import WHOLE, sentences_of
from tests.sentences.scene import Scene, Situation, faults_of_finding, faults_of_hint, faults_of_sentence

if TYPE_CHECKING:
    from collections.abc import Iterator

TABLES = {
    "sync": sync_situations.SITUATIONS + stores_situations.SITUATIONS,
    "site": rooms_situations.SITUATIONS + workings_situations.SITUATIONS + sizes_situations.OF_THE_SITE,
    "entries": (
        *entries_situations.SITUATIONS,
        *decisions_situations.SITUATIONS,
        *findings_situations.SITUATIONS,
        *starting_situations.SITUATIONS,
        *places_situations.SITUATIONS,
        *sizes_situations.SITUATIONS,
    ),
    "pages": pages_situations.SITUATIONS + beginnings_situations.SITUATIONS + commands_situations.SITUATIONS,
}
ROWS = [pytest.param(row, id=f"{area}: {row.when}") for area, rows in TABLES.items() for row in rows]


@pytest.fixture(scope="module")
def scene() -> Iterator[Scene]:
    one = Scene()
    yield one
    one.close()


def assert_said_in_kiswahili(text: str, template: str) -> None:
    """The sentence is there, and what stood in its places stands in it, or is said in Kiswahili too."""
    sentences = shipped_sentences()
    said = sentences.say(text, "sw")
    assert said is not None, f"no Kiswahili of: {text}"
    for value in (read_template(template).values(text) or {}).values():
        parts = [value] if value in said else [sentences.say(part, "sw") or part for part in value.split("; ")]
        whole = sentences.say(value, "sw")
        assert all(part in said for part in parts) or (whole is not None and whole in said), (value, said)


@pytest.mark.parametrize("row", ROWS)
def test_a_situation_is_told_in_one_sentence_that_says_what_to_do(row: Situation, scene: Scene) -> None:
    message, hint = row.told(scene)
    assert read_template(row.says).values(message) is not None, message
    assert (faults_of_finding if row.finding else faults_of_sentence)(message) == [], message
    assert_said_in_kiswahili(message, row.says)
    if hint is None:
        assert row.hint == ""
        return
    assert read_template(row.hint).values(hint) is not None, hint
    assert (faults_of_finding if row.finding else faults_of_hint)(hint) == [], hint
    assert_said_in_kiswahili(hint, row.hint)


@pytest.mark.parametrize("area", WHOLE)
def test_each_sentence_has_its_situation(area: str) -> None:
    brought = {read_template(text).shape for rows in TABLES.values() for row in rows for text in (row.says, row.hint)}
    lacking = [
        f"{each.place}: {each.template}" for each in sentences_of(area) if each.whole and each.shape not in brought
    ]
    assert lacking == []
