"""What calculators are given: exact numbers, all faults at once, the same bytes each time, and the command."""

from __future__ import annotations

import json
from decimal import ROUND_UP, localcontext
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.cli.run import run
from fieldbook.quantities import CALCULATORS, QuantityError
from fieldbook.sources import SOURCES

if TYPE_CHECKING:
    from pathlib import Path


def said(error: QuantityError) -> str:
    """All faults, as the command lists them."""
    return "; ".join(getattr(error, "faults", (error.message,)))


LOAD = {"depth_cm": "30", "wet_density_kg_m3": 1922, "stated_limit_kg_m2": None}


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({**LOAD, "depth_cm": 0}, "depth_cm is 0; it must be above 0 and at most 500 cm"),
        ({**LOAD, "depth_cm": -3}, "depth_cm is -3"),
        ({**LOAD, "depth_cm": "1e3"}, "depth_cm is not a number"),
        ({**LOAD, "depth_cm": 1.5}, "depth_cm is not a number"),
        ({**LOAD, "depth_cm": True}, "depth_cm is not a number"),
        ({**LOAD, "depth_cm": "NaN"}, "depth_cm is not a number"),
        ({**LOAD, "depth_cm": "٣"}, "depth_cm is not a number"),
        ({"depth_cm": 3}, "wet_density_kg_m3 is missing"),
        ({**LOAD, "deep": 3}, "deep is not asked for"),
        ([], "the input is not an object"),
    ],
)
def test_what_cannot_be_is_refused_and_named(given: Any, words: str) -> None:
    with pytest.raises(QuantityError) as refused:
        CALCULATORS["load"].run(given)
    assert words in said(refused.value)
    assert refused.value.hint


@pytest.mark.parametrize(
    ("name", "given", "words"),
    [
        ("linked-system", {"ph": 3}, "ph is 3; it must be from 5 to 11"),
        ("linked-system", {"ph": 14}, "ph is 14"),
        ("manure-nitrogen", {"animals": [{"kind": "camel", "count": 1}], "area_m2": 1}, "animals[0].kind is 'camel'"),
        ("manure-nitrogen", {"animals": [], "area_m2": 1}, "animals is not a list of 1 to 50"),
        ("compost-mix", {"materials": [{"name": "x", "wet_kg": -1}]}, "materials[0].wet_kg is -1"),
        ("plants-that-fit", {"length_mm": "10.5"}, "length_mm is 10.5, not a whole number"),
    ],
)
def test_each_fault_names_its_place(name: str, given: Any, words: str) -> None:
    with pytest.raises(QuantityError) as refused:
        CALCULATORS[name].run(given)
    assert words in said(refused.value)


def test_all_faults_come_at_once() -> None:
    with pytest.raises(QuantityError) as refused:
        CALCULATORS["load"].run({"depth_cm": 0, "wet_density_kg_m3": 9})
    assert "depth_cm" in said(refused.value)
    assert "wet_density_kg_m3" in said(refused.value)
    assert "(and 1 more)" in refused.value.message


@pytest.mark.parametrize("name", CALCULATORS)
def test_each_calculator_names_method_sources_cautions_and_units(name: str) -> None:
    calculator = CALCULATORS[name]
    assert calculator.method
    assert calculator.valid
    assert calculator.cautions
    assert set(calculator.sources) <= set(SOURCES)
    assert "safe" not in " ".join(calculator.cautions).lower().replace("unsafe", "")
    described = calculator.described()
    assert [each["name"] for each in described["inputs"]]


def test_the_same_input_gives_the_same_bytes() -> None:
    answers = {json.dumps(CALCULATORS["load"].run(LOAD), sort_keys=True) for _ in range(3)}
    assert len(answers) == 1


def test_the_decimals_of_whoever_asks_change_nothing() -> None:
    heap = {"materials": [{"material": "straw", "wet_kg": 7}, {"material": "leaves"}], "goal_carbon_nitrogen_ratio": 60}
    wanted = CALCULATORS["compost-mix"].run(heap)
    with localcontext(prec=5, rounding=ROUND_UP):
        assert CALCULATORS["compost-mix"].run(heap) == wanted


# the command


def test_a_calculator_runs_without_a_site(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "given.json"
    file.write_text(json.dumps(LOAD), encoding="utf-8")
    assert run(["compute", "load", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["load_kg_m2"] == "576.6"
    assert run(["compute", "load", str(file)]) == 0
    assert "Wet soil is dead load" in capsys.readouterr().out


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_calculator_says_what_it_asks_for(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["compute", name, "--describe", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["calculator"] == name
    assert run(["compute", name, "--describe"]) == 0


@pytest.mark.parametrize("text", ["", "{", "[" * 100_000, "\x00"])
def test_a_file_that_is_no_json_is_refused(tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "given.json"
    file.write_text(text, encoding="utf-8")
    assert run(["compute", "load", str(file)]) == 1
    assert "Traceback" not in capsys.readouterr().err


def test_without_a_file_it_says_what_to_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["compute", "load"]) == 1
    assert "no file was named" in capsys.readouterr().err


@pytest.mark.parametrize("depth", ["12.5", '"12.5"', "12.50", "1250e-2"])
def test_a_number_of_a_file_is_taken_as_it_is_written(
    tmp_path: Path, depth: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """0.125 m of 1,922 kg/m³ are 240.25 kg/m²; a power of ten has no place among decimals."""
    file = tmp_path / "given.json"
    file.write_text(f'{{"depth_cm": {depth}, "wet_density_kg_m3": 1922}}', encoding="utf-8")
    assert run(["compute", "load", str(file), "--json"]) == ("e" in depth)
    told = capsys.readouterr().out
    assert json.loads(told).get("load_kg_m2") == (None if "e" in depth else "240.25")


@pytest.mark.parametrize(
    "text",
    [
        '{"depth_cm": 10, "depth_cm": 20, "wet_density_kg_m3": 1922}',
        '{"depth_cm": NaN, "wet_density_kg_m3": 1922}',
        '{"depth_cm": Infinity, "wet_density_kg_m3": 1922}',
        '{"depth_cm": " 10", "wet_density_kg_m3": 1922}',
        '{"depth_cm": "+10", "wet_density_kg_m3": 1922}',
        '{"depth_cm": "010", "wet_density_kg_m3": 1922}',
        '{"depth_cm": "10,5", "wet_density_kg_m3": 1922}',
        '{"depth_cm": 1' + "0" * 5000 + ', "wet_density_kg_m3": 1922}',
        '{"depth_cm": [10], "wet_density_kg_m3": 1922}',
        "null",
        '"load"',
    ],
)
def test_what_could_be_read_in_two_ways_is_refused(
    tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "given.json"
    file.write_text(text, encoding="utf-8")
    assert run(["compute", "load", str(file), "--json"]) == 1
    told = capsys.readouterr()
    assert json.loads(told.out)["hint"]
    assert "Traceback" not in told.err


def test_a_builder_who_states_nothing_at_all_is_taken_at_his_word() -> None:
    found = CALCULATORS["load"].run({"depth_cm": 1, "wet_density_kg_m3": 769, "stated_limit_kg_m2": "-0"})
    assert (found["within_stated_limit"], found["depth_at_limit_cm"]) == (False, 0)


def test_small_shares_keep_their_digits() -> None:
    """0 °C and pH 6 by the formula of Emerson et al. 1975: 1 / (1 + 10^(10.0845 - 6)) = 0.00008233."""
    pond = {"tank_m2": 1, "tank_litres": 1000, "birds": 0, "fish_kg": 1, "water_temperature_c": 0, "ph": 6}
    assert CALCULATORS["linked-system"].run(pond)["ammonia_fraction"] == "0.00008233"
    hens = {"animals": [{"kind": "laying-hen", "count": 1}], "area_m2": 10_000}
    assert CALCULATORS["manure-nitrogen"].run(hens)["nitrogen_g_m2_year"] == "0.03835"


def test_the_command_says_a_sum_in_kiswahili_with_the_english_beside_it_and_its_json_stays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "given.json"
    file.write_text(json.dumps(LOAD), encoding="utf-8")
    run(["compute", "load", str(file), "--json"])
    in_english = capsys.readouterr().out
    monkeypatch.setenv("LC_ALL", "sw_KE.UTF-8")
    run(["compute", "load", str(file), "--json"])
    assert capsys.readouterr().out == in_english
    run(["compute", "load", str(file)])
    lines = capsys.readouterr().out.splitlines()
    assert "Udongo kwenye kila mita ya mraba, uliolowa [Soil on each square metre, wet]: 576.6 kg" in lines
    assert any(
        line.startswith("Udongo uliolowa ni uzito wa kudumu") and "[Wet soil is dead load" in line for line in lines
    )
    run(["compute", "load", "--describe"])
    assert "depth_cm [cm]: Kina cha udongo [Depth of the soil]" in capsys.readouterr().out
