"""The schemas that leave a site: written from the shapes that read, and valid by an outside validator."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import EntryError, read_entry
from fieldbook.practices.codes import CAUTIONS, FACT_GROUPS, INPUT_KINDS, SPRAY_PLANTS, UNITS
from fieldbook.review import BODIES, body_faults
from fieldbook.review.documents import SCHEMAS, schema_text
from fieldbook.shipped import shipped_text

ENTRY = jsonschema.Draft202012Validator(json.loads(schema_text("entry.schema.json")))


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_shipped_schema_is_what_the_shapes_say(name: str) -> None:
    text = schema_text(name)
    assert shipped_text(f"schemas/{name}") == text, f"write schemas/{name} anew from schema_text"
    jsonschema.Draft202012Validator.check_schema(json.loads(text))


NUMBERS = st.one_of(
    st.integers(-3, 1200), st.sampled_from(["2.5", "0.25", "-1", "1e3", "007", "", "three", "2.", "none published"])
)
ODD = st.one_of(NUMBERS, st.booleans(), st.none(), st.just([]), st.just({}), st.just({"en": "x"}), st.text(max_size=5))
WORDS = st.one_of(
    st.dictionaries(st.sampled_from(["en", "sw", "pt-BR", "e", "en_GB"]), st.sampled_from(["x", "", " y"])), ODD
)
QUANTITY = st.fixed_dictionaries(
    {"value": NUMBERS, "unit": st.sampled_from([*UNITS, "volume-cup", "mass-pound"])}, optional={"low": NUMBERS}
)


def one_or_list(value: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(value, st.lists(value, max_size=2), ODD)


FACTS = st.fixed_dictionaries(
    {},
    optional={
        "none": st.lists(st.sampled_from([*FACT_GROUPS, "fsh"]), max_size=3),
        "cautions": st.lists(st.sampled_from([*CAUTIONS, "C25"]), max_size=3),
        "inputs": one_or_list(
            st.fixed_dictionaries(
                {}, optional={"kind": st.sampled_from([*INPUT_KINDS, "moon_dust"]), "wait_d": NUMBERS}
            )
        ),
        "spray": one_or_list(
            st.fixed_dictionaries(
                {}, optional={"plants": st.lists(st.sampled_from([*SPRAY_PLANTS, "oleander"])), "soap_g_l": NUMBERS}
            )
        ),
        "wick": one_or_list(st.fixed_dictionaries({}, optional={"rise_cm": ODD})),
    },
)
DOCUMENTS = st.fixed_dictionaries(
    {"kind": st.sampled_from(["manure", "manur"]), "title": WORDS},
    optional={
        "summary": WORDS,
        "facts": one_or_list(FACTS),
        "materials": st.lists(st.fixed_dictionaries({"item": WORDS}, optional={"qty": QUANTITY, "reclaimed": ODD})),
        "steps": st.lists(
            st.fixed_dictionaries({"say": WORDS}, optional={"day_offset": NUMBERS, "duration": ODD}), max_size=2
        ),
        "water_l_day": st.one_of(NUMBERS, QUANTITY),
        "first_result_days": NUMBERS,
        "licence": st.sampled_from(["CC-BY-4.0", "free to use", ""]),
    },
)


def fields_at_fault(document: dict[str, Any]) -> set[str]:
    try:
        read_entry(document)
    except EntryError as error:
        return {fault.field for fault in error.faults}
    return set()


@settings(max_examples=150)
@given(DOCUMENTS)
def test_what_the_reader_takes_the_schema_takes(document: dict[str, Any]) -> None:
    """Jsonschema is the outside judge; the reader alone knows agreement between fields and the spelling of numbers."""
    if not fields_at_fault(document):
        kept = read_entry(document).document
        assert [error.message for error in ENTRY.iter_errors(kept)] == []


@settings(max_examples=150)
@given(DOCUMENTS)
def test_what_the_schema_refuses_the_reader_refuses_or_spells_anew(document: dict[str, Any]) -> None:
    """An author may write 1e3 or 007; what is kept then differs from what was written."""
    if not ENTRY.is_valid(document) and not fields_at_fault(document):
        assert read_entry(document).document != document


@pytest.mark.parametrize("kind", BODIES)
def test_every_kind_of_decision_has_its_schema_and_an_empty_body_has_faults(kind: str) -> None:
    assert f"{kind.removeprefix('fieldbook/')}.schema.json" in SCHEMAS
    assert body_faults(kind, {})
    assert body_faults(kind, None)
    assert body_faults(kind, [])


def test_a_notice_of_five_kilobytes_is_refused_before_signing() -> None:
    body = {"harm": "x" * 5000, "instead": "Use soap."}
    assert [fault.field for fault in body_faults("fieldbook/recall", body)] == ["harm"]


def test_a_full_notice_fits_and_older_software_still_stops_by_one_with_names_that_it_does_not_know() -> None:
    body = {"harm": "h", "now": "n", "instead": "i", "at_risk": "Whoever ate of it.", "sources": "Seen by a trainer."}
    assert body_faults("fieldbook/recall", body) == ()
    assert body_faults("fieldbook/recall", {**body, "tomorrow": 1}, strict=False) == ()
    jsonschema.Draft202012Validator(json.loads(schema_text("recall.schema.json"))).validate(body)
    (spoilt,) = body_faults("fieldbook/recall", {**body, "likenesses": ["XYZ"]})
    assert spoilt.hint == "write it as 26 small hexadecimal figures"


def test_the_rounded_facts_of_a_site_are_in_form() -> None:
    months = [60, 80, 140, 185, 140, 50, 35, 65, 110, 160, 125, 75]
    body = {
        "languages": ["fr", "sw"],
        "latitude_deg": 1,
        "elevation_m": 1900,
        "rain_mm": months,
        "tmin_c": ["11.5"] * 12,
    }
    assert body_faults("fieldbook/site", body) == ()
    schema = json.loads(schema_text("site.schema.json"))
    jsonschema.Draft202012Validator(schema).validate(body)
    assert body_faults("fieldbook/site", {**body, "latitude_deg": "1.27"})
