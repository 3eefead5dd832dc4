"""What is said is plain, rounded outwards, alike for both sides, in the reader's language, and never a p-value."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.languages import pick
from fieldbook.sentences import shipped_sentences
from fieldbook.trials import read_trial
from fieldbook.trials.evidence import LEVEL_WORDS, level_line
from fieldbook.trials.figures import DID_WORDS, UNITS_WORDS, Difference, result, rounded
from fieldbook.trials.judging import Tried, judge_trials
from fieldbook.trials.line import Line
from fieldbook.trials.shape import COUNTED_PER, OUTCOMES, QUESTIONS, TRIED_UNITS
from fieldbook.trials.wording import lines_of, lines_of_all
from tests.trials.kale import THREE_SITES, halves, kale
from tests.trials.published import SPRAYS
from tests.trials.test_judging import judged, sites_that_fell, tried

KINDS = ("result", "hint", "counts", "caution", "method")


def english(item: Any) -> str:
    return item if isinstance(item, str) else pick(item, ["en"])[1]


def said(*bodies: dict[str, Any], about: str = "") -> list[str]:
    """Give the words of all groups, of one kind where it is named."""
    found = judged(*bodies)
    lines = [line for group in found.groups for line in lines_of(group, say=english)]
    assert {line.about for line in lines} <= set(KINDS)
    return [line.words for line in lines if about in {"", line.about}]


def shares(had: list[int], had_usual: list[int], of: int, **other: Any) -> dict[str, Any]:
    body = kale(list(had), list(had_usual), **other)
    for row in body["units"]:
        row["out_of"] = of
    return body


SEEDS: dict[str, Any] = {"question": "more-sprout", "thing": "seeds", "unit": "tray"}
TIMED: dict[str, Any] = {"question": "faster", "thing": "the first picking", "measured_in": "duration-day"}
SOLD: dict[str, Any] = {"question": "more-harvest", "thing": "leaves", "measured_in": "mass-gram"}
RESULTS = [
    (kale(SPRAYS["C"], SPRAYS["A"], thing="insects", counted_per="plant"),
     "at one site, “sprayed” sacks had about 12 fewer insects per plant (likely 9 to 16 fewer)"),
    (kale(SPRAYS["A"], SPRAYS["C"], thing="insects"),
     "at one site, “sprayed” sacks had about 12 more insects per plant (likely 9 to 16 more)"),
    (kale(SPRAYS["A"], SPRAYS["B"], thing="insects"),
     "at one site, “sprayed” sacks had about 1 fewer insects per plant (likely between 5 fewer and 3 more)"),
    (kale([5, 6, 7], [5, 6, 7], thing="insects"),
     "at one site, “sprayed” sacks had about as much insects per plant as the others (likely between 3 fewer and 3 more)"),
    (kale(["120.5", 130, 128], [100, 90, "95.2"], **SOLD),
     "at one site, “sprayed” sacks had about 31 g more leaves per plant (likely 19 to 43 g more)"),
    (kale([100, 90, "95.2"], ["120.5", 130, 128], **SOLD),
     "at one site, “sprayed” sacks had about 31 g less leaves per plant (likely 19 to 43 g less)"),
    (kale([100, 90, 95], [98, 93, 92], **SOLD),
     "at one site, “sprayed” sacks had about 1 g more leaves per plant (likely between 10 g less and 11 g more)"),
    (kale([10, 11, 13], [15, 14, 18], **TIMED),
     "at one site, “sprayed” sacks reached the first picking about 4 days sooner (likely 0 to 9 days sooner)"),
    (kale([15, 14, 18], [10, 11, 13], **TIMED),
     "at one site, “sprayed” sacks reached the first picking about 4 days later (likely 0 to 9 days later)"),
    (kale([10, 11, 13], [10, 11, 13], **TIMED),
     ("at one site, “sprayed” sacks reached the first picking at about the same time "
      "(likely between 4 days sooner and 4 days later)")),
    (shares([40, 42, 45, 41], [30, 28, 33, 31], 50, **SEEDS),
     "at one site, of 100 seeds about 23 more sprouted in “sprayed” trays (likely 15 to 31 more)"),
    (shares([30, 28, 33, 31], [40, 42, 45, 41], 50, **SEEDS),
     "at one site, of 100 seeds about 23 fewer sprouted in “sprayed” trays (likely 15 to 31 fewer)"),
    (shares([30, 28, 33, 31], [30, 28, 33, 31], 50, **SEEDS),
     ("at one site, of 100 seeds about as many sprouted in “sprayed” trays as in the others "
      "(likely between 8 fewer and 8 more)")),
]  # fmt: skip


@pytest.mark.parametrize(("body", "words"), RESULTS, ids=[words[:60] for _, words in RESULTS])
def test_a_result_says_how_much_of_what_where_and_how_far_off_it_may_be(body: dict[str, Any], words: str) -> None:
    """The first is the worked form for Beall's sprays C and A: about 12 fewer, likely 9 to 16 fewer."""
    assert said(body, about="result") == [words]


def test_one_day_is_a_day_and_days_are_said_in_kiswahili_too() -> None:
    (words,) = said(kale([10, "10.5", 11], ["11.5", 12, "11.5"], **TIMED), about="result")
    assert words.endswith("reached the first picking about 1.2 days sooner (likely 0.1 to 2.2 days sooner)")
    (words,) = said(kale([10, 12, 11], [11, 13, 12], **TIMED), about="result")
    assert words.endswith(
        "reached the first picking about 1 day sooner (likely between 4 days sooner and 2 days later)"
    )
    assert (shipped_sentences().say(words, "sw") or "").endswith(
        "yalifikia the first picking takriban siku 1 mapema (huenda kati ya siku 4 mapema na siku 2 baadaye)"
    )


def test_one_site_two_sites_and_few_sites_say_so() -> None:
    three = [kale(a, b, before=c) for a, b, c in THREE_SITES]
    assert said(*three[:1], about="hint")[0] == "one site: elsewhere it may be otherwise"
    assert said(*three[:2], about="hint") == [
        "two sites: each is shown by itself, since two cannot tell how far sites differ"
    ]
    assert not any(words.startswith("in 2 sites") for words in said(*three[:2]))
    assert said(*three, about="hint")[0] == "few sites: a hint, not a proof"
    assert said(*three, about="result")[0].startswith("in 3 sites, “sprayed” sacks had about 15 fewer aphid per plant")
    assert said(*three, about="method")[0].startswith(
        "sites together: weights of DerSimonian and Laird, range of Knapp"
    )


def test_five_sites_say_what_a_new_site_may_expect() -> None:
    results = said(*sites_that_fell(5), about="result")
    assert results[1].startswith("at a new site: likely ")
    assert len(results) == 7
    assert not any("new site" in words for words in said(*sites_that_fell(4)))


def test_below_three_units_only_counts_are_given() -> None:
    lines = said(kale([3, 1], [14, 20, 9]))
    assert "C: too few were counted for a range: here are the counts alone" in lines
    assert "no range below 3 of each way" in lines
    assert not any("likely" in words for words in lines)


def test_alike_counts_and_yes_or_no_in_pairs_say_why_there_is_no_range() -> None:
    alike = said(kale([2, 2, 2], [9, 9, 9]), about="counts")
    assert alike[-1] == "C: the counts of each way were all alike, which gives no range: here are the counts alone"
    pairs = halves([(1, 0), (1, 0), (0, 1), (1, 1)], question="survives")
    for row in pairs["units"]:
        row["out_of"] = 1
    assert said(pairs, about="counts")[-1] == "C: of 4 pairs 2 had it with the practice alone, 1 without it alone"


def test_pairs_name_their_own_method() -> None:
    assert said(halves([(3, 9), (2, 11), (4, 8)]), about="method") == [
        "mean of the differences within pairs: Student's t, 95 of 100"
    ]


def test_the_silent_are_counted_in_as_if_it_had_worked_for_none_and_for_all_of_them() -> None:
    """Handed to 30, heard from 20, worked for 12: 40 to 73 of 100, as checked with scipy and statsmodels."""
    body = shares([1] * 12 + [0] * 8, [1, 0, 0, 1], 1, question="tastes-ok", unit="household", thing="meals")
    body["units"] += [{"label": f"s{n}", "arm": 0, "lost": "not-heard"} for n in range(10)]
    counts = said(body, about="counts")
    assert counts[-1] == (
        "C: of 100 with the practice 60 did (likely 38 to 79); "
        "with the 10 counted in that nobody heard of, between 40 and 73"
    )
    assert "share: Wilson's range, 95 of 100" in said(body, about="method")
    assert lines_of_all(judged(body))[1].words == "nobody heard again of 10; they are in no figure"


def test_what_may_have_gone_wrong_stands_beside_what_came_out() -> None:
    body = kale([3, 1, 2], [14, 20, 9], before=[4, 5, 3, 41, 39, 45], chosen="chosen")
    body["units"] += [{"label": "x", "arm": 0, "lost": "stolen"}, {"label": "y", "arm": 1, "lost": "eaten"}]
    cautions = said(body, about="caution")
    assert cautions == [
        "not by lot in 1 of 1: whoever chose may have favoured one way",
        "in 1 of 1 whoever counted knew the way, or nobody said: hopes can colour a count",
        "in 1 of 1 the ways differed before anything was done: the rest may come from that",
        "2 of 8 were lost and are in no figure",
    ]


def test_a_careful_trial_has_no_caution() -> None:
    body = kale([3, 1, 2], [14, 20, 9], before=[40, 44, 38, 41, 39, 45])
    for row in body["units"]:
        row["knew_arm"] = False
    assert said(body, about="caution") == []


def test_several_editions_are_told() -> None:
    trials = [tried(body, site, edition=f"e{site}") for body, site in zip(sites_that_fell(3), "CLS", strict=True)]
    (group,) = judge_trials(trials).groups
    assert "3 editions were tried, and they may differ" in [line.words for line in lines_of(group, say=english)]


def test_what_is_kept_apart_says_why() -> None:
    lone = kale([4, 2, 1], [], before=[9, 8, 9], design="before-after")
    lone["arms"] = lone["arms"][:1]
    newer = Tried(tried(kale([3, 1, 2], [14, 20, 9]), "C").trial, "n", "e", "C", "C2")
    newer.trial.document["question"] = "sweeter"  # type: ignore[index]
    same = kale([3, 1, 2], [14, 20, 9], day=30)
    found = judge_trials(
        [tried(lone, "C"), newer, tried(same, "L", name="a"), tried(same, "L", name="b"), tried(same, "S")]
    )
    assert [line.words for line in lines_of_all(found)[1:]] == [
        "the same counts of the same site once more: taken once",
        "written by newer software, or its counts do not fit each other: kept, and put together with nothing",
        "before and after without the usual way beside it: kept, and put together with nothing",
    ]


def test_every_outcome_stands_in_one_line_with_noughts() -> None:
    found = judged(*(kale([1], [2], outcome=code, harm_note="Eyes.") for code in OUTCOMES))
    assert lines_of_all(found)[0].words == "growers say: worked 1, partly 1, did not work 1, harmed 1"


def test_each_level_is_said_with_its_number() -> None:
    words = [level_line(level).words for level in LEVEL_WORDS]
    assert words[3] == "evidence 3 of 4: repeated at another site"
    assert len(set(words)) == 5


# figures


@settings(max_examples=60, deadline=None)
@given(st.decimals(-500, 500, places=3), st.decimals("0.01", 300, places=3), st.decimals("0.01", 300, places=3))
def test_a_range_is_rounded_outwards_and_the_estimate_lies_in_it(at: Decimal, down: Decimal, up: Decimal) -> None:
    near, low, high = rounded(at, at - down, at + up)
    assert low <= at - down
    assert high >= at + up
    assert low <= near <= high
    assert high - low <= 2 * (down + up)  # no coarser than the range itself


WORDED = [
    *(("less-pest", unit, unit) for unit in TRIED_UNITS),
    *(("less-pest", "sack", per) for per in COUNTED_PER),
    *((question, "sack", "sack") for question in QUESTIONS),
]


@pytest.mark.parametrize(("question", "unit", "per"), WORDED)
def test_each_unit_and_question_has_words_in_english_and_kiswahili(question: str, unit: str, per: str) -> None:
    catalogue = shipped_sentences()
    for share in (False, True):
        of = Difference(question, unit, per, "vidukari wadogo", "maji ya pilipili", "", share)
        numbers = [Decimal(one) / (100 if share else 1) for one in ("-12", "-16", "-9")]
        words = Line(result("at one site", of, *numbers), "result").words
        told = catalogue.say(words, "sw") or ""
        assert UNITS_WORDS[unit] in words
        assert told.startswith("kwenye kituo kimoja, ")
        assert re.search(r"“maji ya pilipili”", told)
        assert not re.search(rf"\b({UNITS_WORDS[unit]}|likely|about|{DID_WORDS[question]})\b", told)


# for and against


def test_what_speaks_against_is_said_in_as_many_lines_as_what_speaks_for() -> None:
    good, bad = ([3, 1, 2], [14, 20, 9]), ([14, 20, 9], [3, 1, 2])
    for k in (1, 2, 3, 6):
        one, other = (
            said(*(kale(*arms, outcome=out) for _ in range(k))) for arms, out in ((good, "worked"), (bad, "no"))
        )
        assert len(one) == len(other)
    assert "the counts speak against the practice" in said(*(kale(*bad) for _ in range(3)), about="hint")
    assert "the counts speak for the practice" in said(*(kale(*good) for _ in range(3)), about="hint")
    assert "the counts do not tell which way is better" in said(kale([1, 2, 3], [1, 2, 3]), about="hint")


COUNTS = st.lists(st.integers(0, 40), min_size=1, max_size=5)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.builds(kale, COUNTS, COUNTS), min_size=1, max_size=6))
def test_no_line_ever_holds_a_p_value_or_calls_anything_significant(bodies: list[dict[str, Any]]) -> None:
    for words in said(*bodies):
        assert not re.search(r"\bp\s*[<=>]|p-value|signific|probab|prove[ns]?\b", words, re.IGNORECASE)
        assert not words.endswith(".")
        assert "E+" not in words
        assert "E-" not in words


# what arrives from elsewhere

ODD = st.sampled_from([0, 1, -1, 3, "2.5", "0", "1000001", 10**9, "-0.5"])
ARRIVED_ROWS = st.fixed_dictionaries(
    {"arm": st.sampled_from([0, 0, 1, 1, -1, 2])},
    optional={
        "label": st.sampled_from(["", "a", "b", "c"]),
        "pair": st.integers(-1, 2),
        "counted": st.lists(ODD, min_size=1, max_size=2),
        "before": st.lists(ODD, min_size=1, max_size=2),
        "out_of": st.lists(st.integers(-1, 3), min_size=1, max_size=2),
        "day": st.sampled_from([-1, 0, 7, 1000, 10**9]),
        "lost": st.sampled_from(["not-heard", "eaten", "beamed up"]),
    },
)
FIELDS = st.fixed_dictionaries(
    {},
    optional={
        "question": st.sampled_from([*QUESTIONS, "sweeter"]),
        "unit": st.sampled_from([*TRIED_UNITS, "jar"]),
        "counted_per": st.sampled_from(["leaf", "petal"]),
        "measured_in": st.sampled_from(["mass-gram", "mass-stone"]),
        "outcome": st.sampled_from(["harmed", "splendid"]),
        "chosen": st.sampled_from(["alternate", "by stars"]),
        "crop": st.sampled_from(["", {"sw": "x", "en": " Y "}]),
    },
)
DESIGNS = st.sampled_from(["paired-halves", "before-after", "side-by-side", "round"])
ARRIVED = st.one_of(
    st.builds(
        lambda rows, design, fields: kale([], [], design=design) | fields | {"units": rows},
        *(st.lists(ARRIVED_ROWS, max_size=8), DESIGNS, FIELDS),
    ),
    st.builds(
        lambda one, other, of, fields: dict(read_trial(shares(one, other, of)).document) | fields,
        *(COUNTS, COUNTS, st.integers(40, 50), FIELDS),
    ),
    st.builds(
        lambda one, other, fields: dict(read_trial(kale(one, other)).document) | fields, *(COUNTS, COUNTS, FIELDS)
    ),
)


@settings(max_examples=300, deadline=None)
@given(st.lists(ARRIVED, min_size=1, max_size=4))
def test_whatever_arrives_is_compared_or_kept_apart_and_breaks_no_page(bodies: list[dict[str, Any]]) -> None:
    trials = [
        Tried(read_trial(body, strict=False), str(n), "e", "CLST"[n], f"{'CLST'[n]}2") for n, body in enumerate(bodies)
    ]
    found = judge_trials(trials)
    for group in found.groups:
        assert all(line.words for line in lines_of(group, say=english))
    assert all(line.words for line in lines_of_all(found))
    shown = [tried.id for group in found.groups for site in group.sites for tried, _ in site.trials]
    assert sorted([*shown, *(tried.id for tried, _ in found.apart)]) == sorted(one.id for one in trials)
