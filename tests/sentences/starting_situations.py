"""Every question of the slip "Before you start here", what is said where it has no yes, and why answers lapse."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from fieldbook.review.lapsing import lapse_of
from fieldbook.review.slip_answers import SlipError, read_answers
from fieldbook.review.slip_questions import questions_of
from fieldbook.review.slip_table import ANIMALS, EVENTS, QUESTIONS
from fieldbook.review.starting import judge
from tests.review.practice import BARE, LETTUCE, practice
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.practices import Entry, Fault

# together they raise every question
EVERYTHING = practice(
    structure={"kind": "roof_bed", "on_roof": True, "depth_cm": 15, "density": 1922},
    vessel={"volume_l": 200, "cover": "lid"},
    soil={"source": "clean"},
    animals=[{"species": species} for species in ANIMALS],
    spray={"plants": ["chilli"]},
    inputs=[BARE | {"kind": "hen_manure", "treatment": "raw"}],
    crop=LETTUCE,
    fish={"n": 10},
)
SOMEWHERE = practice(structure={"kind": "box"})


def entry_asking(code: str) -> Entry:
    return SOMEWHERE if code == "on_ground" else EVERYTHING


def asked(code: str) -> Callable[[Scene], object]:
    """What is read on the slip."""
    return lambda _: next(one for one in questions_of(entry_asking(code)) if one.code == code).words


def refused(code: str) -> Callable[[Scene], object]:
    """What is said where the question has no answer."""
    return lambda _: next(one for one in judge(entry_asking(code), {}).reasons if one.question == code).words


def fault(code: str, said: Any, entry: Entry = EVERYTHING) -> Callable[[Scene], object]:
    """What is read beside an answer that is not understood."""

    def come(_: Scene) -> Fault:
        try:
            read_answers(questions_of(entry), {code: said})
        except SlipError as error:
            return error.faults[0]
        raise AssertionError(code)

    return come


def lapsed(**known: Any) -> Callable[[Scene], object]:
    usual: dict[str, Any] = {"given_on": None, "today": None, "exchanges_since": 0, "concerned_by": EVENTS}

    def come(_: Scene) -> str:
        lapse = lapse_of(**{**usual, "events_since": (), **known})
        assert lapse is not None
        return lapse.words

    return come


def _template(words: str) -> str:
    for animals in ANIMALS.values():
        words = words.replace(animals, "{animals}")
    return words


_QUESTIONS = {_template(one.words): one.code for one in QUESTIONS.values()}
_REASONS = {one.reason: one.code for one in reversed(list(QUESTIONS.values()))}

SITUATIONS = (
    *(Situation(says, "", f"the slip asks for {code}", asked(code), finding=True) for says, code in _QUESTIONS.items()),
    *(Situation(says, "", f"nobody knows {code}", refused(code)) for says, code in _REASONS.items()),
    *(
        Situation(says, "", f"answers before: {EVENTS[event]}", lapsed(events_since=[event]))
        for event, says in {
            "storm": "there was a storm after these answers were given",
            "flood": "there was a flood after these answers were given",
            "move": "it was moved after these answers were given",
            "rebuild": "it was rebuilt after these answers were given",
        }.items()
    ),
    Situation(
        "these answers are of {given_on}: twelve months have passed",
        "",
        "answers of last year",
        lapsed(given_on=date(2025, 11, 25), today=date(2026, 11, 25)),
    ),
    Situation(
        "{exchanges_since} exchanges have passed, and no clock here tells how old these answers are",
        "",
        "no clock, and seven sticks since",
        lapsed(exchanges_since=7),
    ),
    Situation("{value} is no answer", "choose yes, no, or do not know", "perhaps", fault("covered", "perhaps")),
    Situation(
        "{value} is no number",
        "write digits, with a point for parts: 12 or 4.5",
        "a depth in words",
        fault("depth_cm", "knee-deep"),
    ),
    Situation(
        "{number} is out of range",
        "write a number above 0 and at most {most} {unit}",
        "soil of six metres",
        fault("depth_cm", "600"),
    ),
    Situation("{number} is not whole", "write a whole number", "half a hen", fault("hen_n", "4.5")),
    Situation(
        "{value} is no day of the calendar",
        "write it like 2026-11-25",
        "30 February",
        fault("applied_on", "2026-02-30"),
    ),
    Situation(
        "{day} is too far away",
        "write a day between 2000 and 2099",
        "a year mistyped",
        fault("applied_on", "3026-02-03"),
    ),
    Situation("this is not asked here", "use one of: {known}", "a word of its own", fault("zzz", "yes")),
    Situation(
        "this is not asked here",
        "take it out",
        "an answer to an entry that asks nothing",
        fault("covered", "yes", practice()),
    ),
)
