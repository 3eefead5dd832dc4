"""Two editions brought together: nothing is lost, nothing that health hangs on is decided, halves are never mixed."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import Entry, read_entry
from fieldbook.practices.merging import Merge, merge_entries

if TYPE_CHECKING:
    from fieldbook.practices.merging import Side

FEW = settings(derandomize=True, database=None, deadline=None, max_examples=80)
BASE: dict[str, Any] = {
    "kind": "manure",
    "title": {"fr": "Macération"},
    "topics": ["steeped-manure"],
    "water_kind": ["clean"],
    "ratios": [{"a": "rabbit dung", "b": "water", "by": "volume", "value": 2}],
    "waiting": [{"before": "harvest", "days_min": 90, "after": "tea"}],
    "steps": [
        {"say": {"fr": "Remplir."}, "do_not": {"fr": "Ne pas fermer."}},
        {"say": {"fr": "Secouer."}, "day_offset": 3},
        {"say": {"fr": "Ouvrir."}, "day_offset": 10},
    ],
    "sources": [{"key": "a", "citation": "A work"}],
    "facts": {"none": ["fish"], "cautions": ["C01"]},
}


def changed(**fields: Any) -> Entry:
    return read_entry(json.loads(json.dumps({**BASE, **fields})), strict=False)


def merged(one: Entry, other: Entry, base: Entry | None = None) -> Merge:
    return merge_entries(base or changed(), one, other)


def wanted(merge: Merge, side: Side) -> dict[str, Any]:
    return merge.document(dict.fromkeys(range(len(merge.choices)), side))


def test_identical_sides_merge_to_themselves() -> None:
    one = changed(topics=["dung-day"])
    merge = merged(one, one)
    assert merge.choices == ()
    assert merge.document({}) == one.document


def test_what_only_one_side_changed_is_proposed_and_named() -> None:
    steps = [*BASE["steps"][:2], {"say": {"fr": "Ouvrir dehors."}, "day_offset": 10}]
    merge = merged(changed(steps=steps), changed(topics=["steeped-manure", "dung-day"]))
    assert [(one.field, one.proposed) for one in merge.choices] == [
        ("topics", "other"),
        ("steps[2].say.fr", "one"),
    ]
    document = merge.document({})
    assert (document["steps"], document["topics"]) == (steps, ["steeped-manure", "dung-day"])


def test_words_are_compared_by_language_and_marked_to_be_read_again() -> None:
    merge = merged(changed(title={"fr": "Macération, 20 L"}), changed(title={"fr": "Macération", "ar": "منقوع"}))
    document = merge.document({})
    assert document["title"] == {"fr": "Macération, 20 L", "ar": "منقوع"}
    assert document["unread"] == ["ar", "fr"]


def test_a_language_that_nobody_had_read_stays_so() -> None:
    merge = merged(changed(unread=["fr"]), changed(topics=["dung-day", "steeped-manure"]))
    assert merge.document({})["unread"] == ["fr"]


def test_what_one_side_left_out_is_asked_not_dropped() -> None:
    merge = merged(changed(title={"ar": "منقوع"}), changed())
    (gone,) = merge.conflicts
    assert (gone.field, gone.one, gone.other, gone.why) == ("title.fr", None, "Macération", "left-out")
    assert [one.field for one in merge.proposed] == ["title.ar"]


@pytest.mark.parametrize(
    "change",
    [
        {"waiting": [{"before": "harvest", "days_min": 120, "after": "tea"}]},
        {"ratios": [{"a": "rabbit dung", "b": "water", "by": "volume", "value": 10}]},
        {"facts": {"none": ["fish"], "cautions": ["C01", "C09"]}},
        {"facts": {"none": ["fish", "animals"], "cautions": ["C01"]}},
        {"hazards": [{"code": "C01"}]},
        {"first_aid": {"fr": "Rincer."}},
        {"protect": ["gloves"]},
        {"people": {"can_child": "yes"}},
        {"materials": [{"item": "tin", "must_not_have_held": ["paint"]}]},
        {"space": {"roof": True, "load_kg_m2_wet": 90}},
        {"steps": [{"say": {"fr": "Remplir."}}, *BASE["steps"][1:]]},
        {"steps": [BASE["steps"][0], {"say": {"fr": "Secouer."}, "day_offset": 4}, BASE["steps"][2]]},
        {"steps": BASE["steps"][1:]},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_health_hangs_on_is_never_decided_even_where_only_one_side_changed_it(change: dict[str, Any]) -> None:
    merge = merged(changed(**change), changed())
    assert merge.choices
    assert {one.why for one in merge.choices} == {"safety"}
    assert merge.proposed == ()
    with pytest.raises(KeyError):
        merge.document({})


def test_a_ratio_of_one_is_never_mixed_with_the_dung_of_the_other() -> None:
    thinner = {**BASE["ratios"][0], "value": 3}
    of_goats = {**BASE["ratios"][0], "a": "goat dung"}
    merge = merged(changed(ratios=[thinner]), changed(ratios=[of_goats]))
    (choice,) = merge.choices
    assert (choice.field, choice.one, choice.other) == ("ratios[0]", thinner, of_goats)


def test_two_waits_may_both_stand_so_that_the_longer_one_is_shown() -> None:
    short, long = ({**BASE["waiting"][0], "days_min": days} for days in (90, 120))
    other = {"before": "touching", "days_min": 1}
    merge = merged(changed(waiting=[short, other]), changed(waiting=[long]))
    (choice,) = merge.choices
    assert "both" in choice.sides
    assert merge.document({0: "both"})["waiting"] == [short, other, long]


def test_rows_with_a_name_are_matched_by_it_and_not_by_their_place() -> None:
    first, second = {"key": "b", "citation": "Second"}, {"key": "c", "citation": "Third"}
    merge = merged(changed(sources=[first, *BASE["sources"]]), changed(sources=[*BASE["sources"], second]))
    assert merge.conflicts == ()
    assert {row["key"] for row in merge.document({})["sources"]} == {"a", "b", "c"}


def test_without_a_common_edition_each_difference_is_asked() -> None:
    merge = merge_entries(None, changed(title={"fr": "Un"}), changed(title={"fr": "Deux"}))
    assert [(one.field, one.why) for one in merge.choices] == [("title.fr", "both-changed")]


def test_whether_a_first_edition_was_an_adaptation_is_no_matter_of_the_merged_one() -> None:
    one = Entry({**changed().document, "adaptation": True})
    merge = merged(one, changed(topics=["steeped-manure", "dung-day"]), one)
    assert "adaptation" not in merge.document({})


def test_it_is_named_from_which_side_each_place_was_taken() -> None:
    one, other = changed(title={"fr": "Un"}, topics=["dung-day"]), changed(title={"fr": "Deux"}, water_kind=["salty"])
    merge = merged(one, other)
    written = {**BASE, "title": {"fr": "Trois"}, "topics": ["dung-day"], "water_kind": ["salty"]}
    assert {taken.field: taken.side for taken in merge.taken_into(written)} == {
        "title.fr": "new",
        "topics": "one",
        "water_kind": "other",
    }


WORD = st.sampled_from(["a", "b"])
WORDS = st.dictionaries(st.sampled_from(["fr", "ar", "en"]), WORD, min_size=1)
STEP = st.fixed_dictionaries(
    {"say": WORDS}, optional={"do_not": WORDS, "day_offset": st.integers(0, 2), "picture": WORD}
)
WAIT = st.fixed_dictionaries({"before": st.just("harvest"), "days_min": st.sampled_from([0, 90, 120])})
DOCUMENT = st.fixed_dictionaries(
    {"kind": st.sampled_from(["manure", "water"]), "title": WORDS},
    optional={
        "steps": st.lists(STEP, max_size=3),
        "waiting": st.lists(WAIT, max_size=2),
        "topics": st.lists(WORD, max_size=2, unique=True),
        "sun_h": st.fixed_dictionaries({}, optional={"low": st.integers(0, 2), "high": st.integers(3, 4)}),
        "storage": st.fixed_dictionaries({}, optional={"how": WORDS, "shelf_days": st.integers(0, 2)}),
        "sources": st.lists(
            st.fixed_dictionaries({"key": WORD, "citation": WORD}), max_size=2, unique_by=lambda row: row["key"]
        ),
        "facts": st.fixed_dictionaries({}, optional={"none": st.lists(WORD, max_size=2), "wick": st.just({"n": 1})}),
        "newer": st.one_of(st.integers(0, 1), st.lists(st.integers(0, 1), max_size=2)),
    },
)


def unordered(document: dict[str, Any]) -> dict[str, Any]:
    """A document without what follows from the merging itself, its named rows in one order."""
    kept = {name: value for name, value in document.items() if name != "unread"}
    if "sources" in kept:
        kept["sources"] = sorted(kept["sources"], key=lambda row: str(row["key"]))
    return kept


@FEW
@given(DOCUMENT, DOCUMENT, DOCUMENT)
def test_no_field_of_either_side_is_lost(base: Any, one: Any, other: Any) -> None:
    """Whoever takes one side everywhere gets exactly that side back, so every difference is in a choice."""
    merge = merge_entries(Entry(base), Entry(one), Entry(other))
    assert unordered(wanted(merge, "one")) == unordered(one)
    assert unordered(wanted(merge, "other")) == unordered(other)


@FEW
@given(DOCUMENT, DOCUMENT, DOCUMENT)
def test_it_does_not_matter_which_comes_first(base: Any, one: Any, other: Any) -> None:
    forth = merge_entries(Entry(base), Entry(one), Entry(other))
    back = merge_entries(Entry(base), Entry(other), Entry(one))
    swapped = {"one": "other", "other": "one", None: None}

    def told(merge: Merge, *, turned: bool) -> list[str]:
        found = []
        for choice in merge.choices:
            sides = (choice.other, choice.one) if turned else (choice.one, choice.other)
            proposed = swapped[choice.proposed] if turned else choice.proposed
            field = "sources" if choice.field.startswith("sources") else choice.field
            found.append(json.dumps([field, *sides, proposed, choice.why], sort_keys=True))
        return sorted(found)

    assert told(forth, turned=False) == told(back, turned=True)
    assert forth.read_again == back.read_again


@FEW
@given(DOCUMENT, DOCUMENT, DOCUMENT)
def test_no_safety_value_is_ever_proposed(base: Any, one: Any, other: Any) -> None:
    merge = merge_entries(Entry(base), Entry(one), Entry(other))
    roots = {choice.field.partition(".")[0].partition("[")[0] for choice in merge.proposed}
    assert roots.isdisjoint({"facts", "waiting", "storage"})
    assert not any("do_not" in choice.field or "day_offset" in choice.field for choice in merge.proposed)


@FEW
@given(DOCUMENT, DOCUMENT)
def test_the_same_words_twice_need_no_choice(base: Any, one: Any) -> None:
    merge = merge_entries(Entry(base), Entry(one), Entry(one))
    assert merge.choices == ()
    assert unordered(merge.document({})) == unordered(one)


@FEW
@given(DOCUMENT, DOCUMENT, DOCUMENT)
def test_each_place_is_traced_to_the_side_it_was_taken_from(base: Any, one: Any, other: Any) -> None:
    merge = merge_entries(Entry(base), Entry(one), Entry(other))
    traced = merge.taken_into(wanted(merge, "one"))
    assert [taken.field for taken in traced] == [choice.field for choice in merge.choices]
    assert {taken.side for taken in traced} <= {"one"}
