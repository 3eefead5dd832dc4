"""What a stranger writes who has read the meaning of the fields is taken, judged, and approved only where it may be."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import pytest

from tests.cli import strangers
from tests.cli.terminal import refused

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal

KINDS = ["MINIMAL", "STEEP", "SPRAY", "WALL", "ROOF", "FISH", "COMPANIONS"]
FINDING = {"rule", "result", "words", "source", "instead"}


def results(terminal: Terminal, edition: str, letter: str = "C") -> dict[str, set[str]]:
    """The rules that found something, by result."""
    found: dict[str, set[str]] = {}
    for one in terminal.asked(letter, "findings", edition)["findings"]:
        found.setdefault(one["result"], set()).add(one["rule"])
    return found


def changed(document: dict[str, Any], **facts: Any) -> dict[str, Any]:
    """The same entry with other facts."""
    other = copy.deepcopy(document)
    other["facts"] |= facts
    return other


@pytest.mark.parametrize("name", KINDS)
def test_what_a_stranger_writes_is_taken_and_each_finding_has_its_parts(terminal: Terminal, name: str) -> None:
    edition = terminal.write("C1", getattr(strangers, name))
    said = terminal.asked("C", "findings", edition)
    assert said["edition"] == edition
    assert said["findings"]
    for finding in said["findings"]:
        assert finding.keys() >= FINDING
        assert finding["result"] in {"stop", "answer", "note", "unknown"}
        assert all(isinstance(finding[part], str) and finding[part] for part in FINDING - {"instead"})
        assert all(isinstance(way, str) for way in finding["instead"])


def test_leaves_cut_two_days_after_a_steep_are_stopped_whatever_is_answered(terminal: Terminal) -> None:
    """Some growers do so (common practice); MAN-01, MAN-03 and MAN-06 catch it (7 CFR 205.203(c)(1); 21 CFR 112.56)."""
    edition = terminal.write("C1", strangers.STEEP)
    assert results(terminal, edition)["stop"] == {"MAN-01", "MAN-03", "MAN-06"}
    words = ["--answer", "MAN-01=we always did", "--answer", "MAN-06=nobody was sick", "--answer", "MAN-03=it grows"]
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "approve", edition, *words, "--as", "C3"), "MAN-01: stop", "no answer lifts a stop")
    assert terminal.hits("C", "dung", "steep", "leaves") == []


def test_a_rest_in_a_sack_is_no_treatment(terminal: Terminal) -> None:
    """Droppings rest 2 weeks in a sack (common practice): judged as raw dung, 119 days is short and 120 is not."""
    inputs = {"kind": "rabbit_manure", "treatment": "rested", "mode": "soil_incorporated", "contact": "edible_soil"}
    for days, stopped in ((119, True), ("120", False)):
        dressed = changed(strangers.STEEP, inputs=[{**inputs, "wait_d": days}], harvest={"claimed_wait_d": days})
        dressed["facts"].pop("tea")
        dressed["waiting"] = [{"before": "harvest", "days_min": days, "source": "7 CFR 205.203"}]
        edition = terminal.write("C1", dressed)
        assert ("MAN-01" in results(terminal, edition).get("stop", set())) is stopped


def test_fish_water_goes_to_the_foot_of_plants(terminal: Terminal) -> None:
    """Catfish water is changed about monthly (common practice); on leaves eaten raw within 12 days IRR-01 stops it."""
    on_leaves = terminal.write("S1", strangers.FISH)
    assert "IRR-01" in results(terminal, on_leaves, "S")["stop"]
    at_the_foot = changed(strangers.FISH, irrigation={"source": "fish", "mode": "foot", "wait_d": 3})
    assert "IRR-01" not in results(terminal, terminal.write("S1", at_the_foot), "S")["stop"]


def test_chilli_and_tobacco_without_cover_are_stopped(terminal: Terminal) -> None:
    found = results(terminal, terminal.write("C1", strangers.SPRAY))
    assert found["stop"] >= {"PST-01", "PST-02", "PST-03", "PST-06", "GEN-02"}
    assert {"PST-04", "PST-07"} <= found["answer"]


def test_a_roof_that_bears_less_than_the_bed_weighs_is_stopped(terminal: Terminal) -> None:
    """30 cm of wet garden soil at 19.22 kg/m² a cm weighs 577 kg/m², the roof bears 97.6 (computed)."""
    assert results(terminal, terminal.write("C1", strangers.ROOF))["stop"] >= {"STR-01", "STR-02"}


@pytest.mark.parametrize(
    ("name", "lacking"), [("MINIMAL", "facts"), ("WALL", "space.load_kg_m2_wet"), ("SPRAY", "hazards")]
)
def test_what_lacks_a_needed_field_is_approved_by_no_answer(terminal: Terminal, name: str, lacking: str) -> None:
    edition = terminal.write("C1", getattr(strangers, name))
    said = terminal.asked("C", "findings", edition)
    assert lacking in said["missing"]
    rules = {one["rule"] for one in said["findings"]}
    answers = [word for rule in sorted(rules) for word in ("--answer", f"{rule}=I have seen it")]
    refused(terminal.at("C", "approve", edition, *answers, "--as", "C3"), f"{lacking}: is needed before anyone")


@pytest.mark.parametrize("field", ["waiting", "ratios"])
def test_a_steep_without_its_waits_or_ratios_cannot_be_approved(terminal: Terminal, field: str) -> None:
    edition = terminal.write("C1", {name: value for name, value in strangers.STEEP.items() if name != field})
    assert terminal.asked("C", "findings", edition)["missing"] == [field]


def test_numbers_are_kept_as_integers_or_decimal_strings_whatever_was_typed(terminal: Terminal) -> None:
    text = (
        '{"kind": "teaching", "title": {"en": "Sun"}, "sun_h": {"low": 4.50, "high": 8.0}, "first_result_days": "14"}'
    )
    edition = terminal.write("C1", text)
    document = terminal.asked("C", "show", edition, "--as", "C1")["document"]
    assert document["sun_h"] == {"low": "4.50", "high": 8}
    assert document["first_result_days"] == 14
