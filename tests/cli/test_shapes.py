"""What each verb says to a machine: these names, whole numbers as integers, others as decimal strings, days as MM-DD."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.cli.arguments import VERBS, build_parser
from fieldbook.shipped import shipped_text
from tests.cli.terminal import type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.cli.terminal import Terminal

DAY = re.compile(r"(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")
DECIMAL = re.compile(r"-?(0|[1-9]\d*)\.\d+")
DIGEST = re.compile(r"[0-9a-f]{64}")
HUMID = "month,rain_mm,tmin_c,tmax_c,humidity_pct,wind_m_s,sun_h\n" + "\n".join(
    f"{month},{30 + 10 * month},14.5,27.5,70,1.5,6.5" for month in range(1, 13)
)


def values(document: object) -> Iterator[object]:
    """Every value within a document."""
    if isinstance(document, dict | list):
        for inner in document.values() if isinstance(document, dict) else document:
            yield from values(inner)
    else:
        yield document


def is_number(value: object) -> bool:
    """An integer, or a decimal string that is not whole."""
    return (isinstance(value, int) and not isinstance(value, bool)) or (
        isinstance(value, str) and DECIMAL.fullmatch(value) is not None and not value.rstrip("0").endswith(".")
    )


def no_floats(document: dict[str, Any]) -> dict[str, Any]:
    assert not any(isinstance(value, float) for value in values(document))
    return document


def test_every_verb_takes_json_after_it() -> None:
    for verb in VERBS:
        assert any("--json" in action.option_strings for action in verb_parser(verb)._actions), verb


def verb_parser(verb: str) -> Any:
    (choices,) = (action.choices for action in build_parser()._actions if action.dest == "verb")
    assert choices is not None
    return dict(choices)[verb]


def test_no_verb_takes_a_passphrase() -> None:
    for verb in VERBS:
        for action in verb_parser(verb)._actions:
            assert not any(re.search(r"pass|secret|pin", option) for option in action.option_strings), verb


def test_write_offer_and_the_decisions(terminal: Terminal) -> None:
    draft = terminal.asked("C", "write", terminal.entry_file(practice()), "--draft", "--as", "C1")
    assert draft["draft"] == "draft-1"
    assert "edition" not in draft
    offered = terminal.asked("C", "offer", "draft-1", "--as", "C1")
    assert offered["entry"] == offered["edition"]
    assert DIGEST.fullmatch(offered["edition"])
    edition = offered["edition"]
    for verb, *words in (
        ("hold", "--reason", "x", "--as", "C1"),
        ("release", "--as", "C1"),
        ("approve", "--as", "C3"),
        ("send-back", "--reason", "x", "--as", "C3"),
        ("approve", "--as", "C3"),
        ("retire", "--reason", "x", "--as", "C3"),
        ("recall", "--harm", "x", "--instead", "y", "--as", "C3"),
    ):
        said = terminal.asked("C", verb, edition, *words)
        assert said["edition"] == edition
        assert DIGEST.fullmatch(said["statement"])


def test_person_and_new(terminal: Terminal) -> None:
    said = terminal.asked("C", "person", "C2", "--role", "volunteer")
    assert (said["person"], said["role"], bool(DIGEST.fullmatch(said["key"]))) == ("C2", "volunteer", True)
    normals = terminal.entry_file(HUMID, "normals.csv")
    words = ("--name", "Reed", "--letter", "R", "--latitude", "-6", "--elevation", "8", "--normals", normals)
    alone = type_words("--site", terminal.folder / "a", "new", *words, "--json").done().json
    assert (alone["letter"], alone["network"], len(alone["words"].split())) == ("R", None, 8)
    founded = ("--network", "Reed Circle", "--steward", "R1", "--no-starters")
    said = type_words("--site", terminal.folder / "b", "new", *words, *founded, "--json").done().json
    assert DIGEST.fullmatch(said["network"])
    assert said["entries"] == alone["entries"] == 0
    assert alone["warned"] == []
    assert said["warned"][0].startswith("There is only one signatory: if that one key is lost")
    assert type_words("--site", terminal.folder / "b", "verify", "--json").done().json["ok"] is True
    assert type_words("--site", terminal.folder / "a", "calendar", "--json").done().json["windows"]


def test_exchange(terminal: Terminal) -> None:
    terminal.write("C1", practice())
    report = no_floats(terminal.asked("C", "exchange", terminal.stick()))
    assert {type(report[name]) for name in ("accepted", "waiting", "quarantined", "left")} == {int}
    assert (report["accepted"], report["refused"]) == (0, [])
    assert report["left"] > 0
    assert terminal.asked("L", "exchange", terminal.stick())["accepted"] == 1


def test_search(terminal: Terminal) -> None:
    document = practice({"en": "Onions in rows", "sw": "Vitunguu kwa safu"}, topics=["aphids"])
    edition = terminal.write("C1", document)
    for words in (("onions",), ("vitunguu",), ("vitunguu", "--language", "sw"), ("onions", "--limit", "1")):
        (hit,) = terminal.hits("C", *words)
        assert hit.keys() >= {"entry", "edition", "title", "state", "standing", "topics"}
        assert (hit["entry"], hit["edition"], hit["topics"]) == (edition, edition, ["aphids"])
        assert hit["title"] in {"Onions in rows", "Vitunguu kwa safu"}
    assert terminal.hits("C", "vitunguu", "--language", "fr") == []


def test_verify(terminal: Terminal) -> None:
    terminal.write("C1", practice())
    found = no_floats(terminal.asked("C", "verify"))
    assert found.keys() == {"ok", "state", "set", "statements", "entries", "problems"}
    assert (found["ok"], found["entries"], found["problems"]) == (True, 1, [])
    assert DIGEST.fullmatch(found["state"])
    assert DIGEST.fullmatch(found["set"])


def test_a_photo_that_has_not_come_yet_is_wanted_and_no_problem(terminal: Terminal) -> None:
    """The text may travel first, over a weak link or on a full stick."""
    from PIL import Image

    path = terminal.folder / "desk" / "bed.png"
    path.parent.mkdir()
    Image.linear_gradient("L").save(path)
    edition = terminal.write("C1", practice("Onions"), "--photo", path, "--people", "none")
    terminal.approve("C3", edition)
    terminal.carry("C")
    for file in terminal.stick().rglob("attachments/*/*"):
        file.unlink()
    terminal.carry("L")
    assert terminal.asked("L", "verify")["ok"] is True
    assert terminal.asked("L", "show", edition)["document"]["photos"][0]["name"] == "bed"


@pytest.mark.parametrize("setting", ["interior", "coast", "island"])
def test_climate_needs_no_site(terminal: Terminal, setting: str) -> None:
    place = ("--latitude", "-6.3", "--elevation", "8", "--setting", setting)
    said = no_floats(type_words("climate", terminal.entry_file(HUMID, "n.csv"), *place, "--json").done().json)
    assert isinstance(said["method"], str)
    assert [month["month"] for month in said["months"]] == list(range(1, 13))
    for month in said["months"]:
        assert month.keys() == {"month", "ra_mj_m2_day", "daylight_h", "eto_mm_day"}
        assert all(is_number(value) for value in month.values())
    assert said["periods"]
    for period in said["periods"]:
        assert period.keys() == {"start", "rain_ends", "end", "days", "humid_start", "humid_end", "stored_mm"}
        check_days(period, "start", "rain_ends", "end", "humid_start", "humid_end")
        assert isinstance(period["days"], int)
        assert is_number(period["stored_mm"])


def check_days(item: dict[str, Any], *names: str) -> None:
    for name in names:
        assert item[name] is None or DAY.fullmatch(item[name]), (name, item[name])


@pytest.mark.parametrize("letter", "CTLS")
def test_calendar(terminal: Terminal, letter: str) -> None:
    said = no_floats(terminal.asked(letter, "calendar"))
    assert said["windows"]
    for window in said["windows"]:
        check_days(window, "start", "end", "harvest_from", "harvest_to")
        assert is_number(window["water_l_m2_day"])
        assert isinstance(window["crop"], str)
        for name in ("limits", "reasons", "sources"):
            assert all(isinstance(one, str) for one in window[name])
        assert window["reasons"]
        assert window["sources"]
    crop = said["windows"][0]["crop"]
    assert {one["crop"] for one in terminal.asked(letter, "calendar", "--crop", crop)["windows"]} == {crop}


def test_an_error_is_told_to_machines_too(terminal: Terminal) -> None:
    answer = terminal.at("C", "offer", "draft-1", "--as", "C1", "--json")
    assert (answer.code, answer.json["error"]) == (1, "there is no draft called draft-1 here")
    assert answer.err.startswith("fieldbook: there is no draft called draft-1 here (")


def test_the_summary_of_every_verb_reads_as_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert type_words("--help").code == 0
    for verb in VERBS:
        answer = type_words(verb, "--help")
        assert (answer.code, answer.err) == (0, "")
        for action in verb_parser(verb)._actions:
            assert action.help, f"{verb}: {action.dest} has no words"


def test_normals_of_the_demonstration_are_taken(terminal: Terminal) -> None:
    for name in ("cloudstep", "thornpan", "longshade", "saltreed"):
        path = terminal.entry_file(shipped_text(f"seed_entries/demo/normals_{name}.csv"), "n.csv")
        type_words("climate", path, "--latitude", "0", "--elevation", "0").done()
