"""``begin`` at the command: what an edition asks of a place, and beginning it there on a file of answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.cli.terminal import refused
from tests.orrendal import practice
from tests.roofs import ANSWERS, PLACE, roof_bed

if TYPE_CHECKING:
    from tests.cli.terminal import Answer, Terminal


def begin(terminal: Terminal, edition: str, given: Any, *options: object, place: str = PLACE) -> Answer:
    file = terminal.entry_file(given, "answers.json")
    return terminal.at("C", "begin", edition, "--place", place, "--answers", file, "--as", "C1", *options)


def test_without_answers_it_lists_what_is_asked_and_of_whom(terminal: Terminal) -> None:
    edition = terminal.write("C1", roof_bed())
    said = terminal.asked("C", "begin", edition)
    assert [one["code"] for one in said["questions"]] == list(
        dict.fromkeys(["engineer_ok", "way_up", "nobody_below", "safe_load_kg_m2", *ANSWERS])
    )
    assert said["questions"][0]["ask"] == "builder"
    lines = terminal.at("C", "begin", edition).done().out
    assert "safe_load_kg_m2: How much more weight may this place carry" in lines
    assert "[number kg/m²; ask the builder or engineer]" in lines
    plain = terminal.write("C1", practice())
    assert terminal.at("C", "begin", plain).done().out == "This practice entry asks nothing of the place.\n"


def test_on_answers_that_allow_it_the_practice_is_begun_with_figures_and_sources(terminal: Terminal) -> None:
    edition = terminal.write("C1", roof_bed())
    told = begin(terminal, edition, {"answers": ANSWERS, "said_on": {"builder": "2026-11-20"}}).done().out
    assert told.startswith(f"Begun at {PLACE}.\n  19.22 kg/m² for each cm of wet soil (published wet densities")
    document = begin(terminal, edition, {"answers": ANSWERS}, "--json").done().json
    assert document["may_begin"] is True
    assert isinstance(document["begun"], int)
    assert {one["rule"] for one in document["allows"]} == {"STR-02"}
    assert all(one["source"] for one in document["allows"])


def test_what_may_not_begin_yet_is_kept_with_every_reason_and_ends_with_1(terminal: Terminal) -> None:
    edition = terminal.write("C1", roof_bed())
    given = {"answers": ANSWERS | {"safe_load_kg_m2": "97.6", "way_up": None}}
    answer = begin(terminal, edition, given)
    assert (answer.code, answer.err) == (1, "")
    assert f"Not yet at {PLACE}. The answers are kept." in answer.out
    assert "Here 231 kg/m², held against 97.6 kg/m² (5 cm). Ask the builder or engineer." in answer.out
    assert "or: Put the bed on posts of its own that stand on the ground. (our own choice)" in answer.out
    document = begin(terminal, edition, given, "--json").json
    assert (document["may_begin"], document["begun"]) == (False, None)
    assert [one["rule"] for one in document["reasons"]] == ["C07", "STR-02"]
    assert all(set(one) >= {"words", "ask", "source", "instead"} for one in document["reasons"])


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("{", "is not JSON"),
        ([], "does not hold answers of a place"),
        ({"answers": ["yes"]}, "does not hold answers of a place"),
        ({"answers": {"depth_cm": 1.5}}, "does not hold answers of a place"),
        ({"answer": {}}, "does not hold answers of a place"),
        ({"answers": {"roof_ok": "yes"}}, "this is not asked here"),
        ({"answers": {"depth_cm": "deep", "way_up": "hm"}}, "(and 1 more)"),
        ({"answers": {}, "said_on": {"builder": "soon"}}, "is no day of the calendar"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_and_nothing_is_kept(terminal: Terminal, given: Any, says: str) -> None:
    edition = terminal.write("C1", roof_bed())
    refused(begin(terminal, edition, given), says)
    refused(begin(terminal, edition, given, "--json"), says)


def test_it_takes_a_trainer_and_a_place(terminal: Terminal) -> None:
    edition = terminal.write("C1", roof_bed())
    file = terminal.entry_file({"answers": ANSWERS}, "answers.json")
    refused(terminal.at("C", "begin", edition, "--answers", file), "nobody is named who begins it")
    refused(terminal.at("C", "begin", edition, "--answers", file, "--as", "C1"), "no place was named")
    refused(terminal.at("C", "begin", edition, "--answers", file, "--as", "C9"), "there is no person 'C9'")
    refused(terminal.at("C", "begin", "ffffffff", "--answers", file, "--as", "C1"))
