"""Comparisons from a terminal: begun by a plan, counted from a file, signed, and what all of them say."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from tests.cli.terminal import refused
from tests.orrendal import practice
from tests.trials.kale import THREE_SITES, kale
from tests.trying import plan

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.terminal import Terminal


def written(terminal: Terminal, name: str, document: Any) -> Path:
    path = terminal.folder / f"{name}.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def entry(terminal: Terminal) -> str:
    file = written(terminal, "entry", practice("Chilli and garlic water"))
    return str(terminal.asked("C", "write", file, "--as", "C1")["edition"])


def test_it_is_begun_counted_and_signed_from_files_and_then_shown_with_the_entry(terminal: Terminal) -> None:
    edition = entry(terminal)
    assert terminal.at("C", "compare").done().out.startswith("Nothing is compared here")
    begun = terminal.asked("C", "compare", edition, "--begin", written(terminal, "plan", plan()), "--as", "C1")
    ways = {unit["label"]: unit["arm"] for unit in begun["body"]["units"]}
    out = terminal.at("C", "compare").done().out
    assert "6 not counted yet" in out
    counts = [
        {"label": label, "before": [20, 21], "counted": [1 + 9 * way, int(label)], "day": 7, "knew_arm": False}
        for label, way in ways.items()
        if label != "6"
    ]
    counts.append({"label": "6", "lost": "eaten", "why": "a goat"})
    number = begun["number"]
    document = terminal.asked(
        "C", "compare", "--number", number, "--counts", written(terminal, "n", {"units": counts}), "--as", "C1"
    )
    assert document["left"] == []
    word = written(terminal, "word", {"outcome": "partly", "note": "A goat came in."})
    signed = terminal.asked("C", "compare", "--number", number, "--finish", word, "--as", "C1")["statement"]
    shown = terminal.asked("C", "show", edition, "--as", "C1")["compared"]
    assert [one["statement"] for one in shown["trials"]] == [signed]
    assert (shown["evidence_level"], shown["groups"][0]["shown"]) == (0, "units")
    words = terminal.at("C", "compare", edition).done().out
    assert "Told, not tried by anyone as far as is known." in words
    assert "Growers say: worked 0, partly 1, did not work 0, harmed 0." in words
    assert "1 of 6 were lost and are in no figure" in words


def test_one_that_was_done_on_paper_is_signed_whole_and_by_the_site_where_nobody_is_named(terminal: Terminal) -> None:
    edition = entry(terminal)
    sprayed, water, before = THREE_SITES[0]
    body = kale(sprayed, water, before=before)
    terminal.at("C", "compare", edition, "--whole", written(terminal, "trial", body)).done()
    (known,) = terminal.asked("C", "compare")["signed"]
    assert (known["by"], known["trial"]["question"]) == ("C", "less-pest")
    assert "one site: elsewhere it may be otherwise" in terminal.at("C", "compare", edition).done().out.lower()
    broken = written(terminal, "broken", {**body, "unit": "leaf"})
    refused(terminal.at("C", "compare", edition, "--whole", broken), "those of one sack are no separate tries")


def test_it_is_given_up_with_a_reason(terminal: Terminal) -> None:
    edition = entry(terminal)
    begun = terminal.asked("C", "compare", edition, "--begin", written(terminal, "plan", plan()), "--as", "C1")
    out = terminal.at("C", "compare", "--number", begun["number"], "--drop", "Goats came in.").done().out
    assert "given up: Goats came in." in out


def test_what_is_typed_wrong_is_told_in_one_sentence(terminal: Terminal) -> None:
    edition = entry(terminal)
    file = written(terminal, "plan", plan())
    number = terminal.asked("C", "compare", edition, "--begin", file, "--as", "C1")["number"]
    refused(terminal.at("C", "compare", edition, "--begin", file, "--drop", "x"), "one step at a time", code=2)
    refused(terminal.at("C", "compare", edition, "--drop", "x"), "which comparison?", code=2)
    refused(terminal.at("C", "compare", "--number", "many", "--drop", "x"), "which comparison?", code=2)
    several: tuple[dict[str, Any], ...] = ({"counts": []}, {"units": [3]})
    for wrong in several:
        sent = terminal.at("C", "compare", "--number", number, "--counts", written(terminal, "wrong", wrong))
        refused(sent, "the file holds no list of counts", code=2)
    stray = written(terminal, "stray", {"units": [{"label": "77", "counted": [1], "day": 7}]})
    refused(terminal.at("C", "compare", "--number", number, "--counts", stray), "there is no '77'", code=2)
    listed = written(terminal, "listed", {"units": [{"label": "1", "counted": {"a": 1}, "day": [7]}]})
    refused(terminal.at("C", "compare", "--number", number, "--counts", listed))
    refused(terminal.at("C", "compare", "--number", number, "--finish", file), "not a name we know here")
    refused(terminal.at("C", "compare", "--number", number + 1, "--drop", "x"), "there is no such comparison here")
