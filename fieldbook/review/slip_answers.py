"""The answers of a slip: read from what people typed, with all faults at once, and given on as facts of the place.

Not what they allow. Its one rule: "do not know", nothing, and nothing but spaces are one and the same, and none of them
is ever a yes.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.errors import FieldbookError
from fieldbook.practices.faults import Reading, first_of, near, shown
from fieldbook.practices.numbers import decimal_of, kept_number
from fieldbook.review.place import PLACE_FACTS
from fieldbook.review.slip_table import ANIMALS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.practices.faults import Fault
    from fieldbook.review.slip_table import Question

Answers = MappingProxyType[str, str]
YES, NO, UNKNOWN = "yes", "no", "unknown"
FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2099, 12, 31)  # no bed here is older, no plan is longer
_SAID = {True: YES, False: NO, "do not know": UNKNOWN, "not known": UNKNOWN}
# what a yes, and a no, are among the facts of a place
_FACTS: Final[Mapping[str, tuple[str, Any, Any]]] = {
    "engineer_ok": ("engineer_ok", True, False),
    "prior_use_known": ("prior_use", "food", UNKNOWN),
    "covered": ("cover", "lid", "none"),
    "soil_clean": ("soil_source", "clean", UNKNOWN),
    "no_bird_flu": ("bird_flu", "free", UNKNOWN),
    "air_ok": ("stings_eyes", False, True),
}
_AS_THEY_ARE = (
    *("safe_load_kg_m2", "depth_cm", "dung_kg_year", "water_area_m2", "fish_kg", "applied_on"),
    "harvest_on",
    *(f"{animal}_{figure}" for animal in ANIMALS for figure in ("n", "weight_kg")),
)
_CM2_PER_M2 = 10_000


class SlipError(FieldbookError):
    """Answers that cannot be kept as they stand.

    Attributes:
        faults: every fault; the field is the code of the question.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Say the first fault, and how many there are."""
        super().__init__(first_of(faults, whole="the slip"), hint=faults[0].hint)
        self.faults = faults


def read_answers(questions: Iterable[Question], given: Mapping[str, Any]) -> Answers:
    """Read the answers to these questions.

    Args:
        questions: what is asked.
        given: by code, as people typed it: yes, no or unknown; numbers as text or integers; days as 2026-11-25.

    Returns:
        Those that were answered, each as text; ``unknown`` is kept as an answer, what is blank is left out.

    Raises:
        SlipError: something is not understood, or is asked by no question; all faults are in it.
    """
    reading, asked = Reading(strict=True), {question.code: question for question in questions}
    said = {code: value for code, value in given.items() if not _is_blank(value)}
    for code in said.keys() - asked.keys():
        reading.fault(code, "this is not asked here", near(code, tuple(asked)) if asked else "take it out")
    kept = {code: _read(asked[code], said[code], reading) for code in asked if code in said}
    if reading.faults:
        raise SlipError(tuple(reading.faults))
    return MappingProxyType(kept)


def _is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def _read(question: Question, value: Any, reading: Reading) -> str:
    plain = value.strip() if isinstance(value, str) else value
    plain = _SAID.get(plain, plain) if isinstance(plain, str | bool) else plain
    if plain == UNKNOWN:
        return UNKNOWN
    if question.takes == "yes":
        if plain not in {YES, NO}:
            reading.fault(question.code, f"{shown(value)} is no answer", "choose yes, no, or do not know")
        return str(plain)
    return _read_day(question, plain, reading) if question.takes == "day" else _read_number(question, plain, reading)


def _read_number(question: Question, value: Any, reading: Reading) -> str:
    number = None if isinstance(value, bool) else decimal_of(value)
    if number is None:
        reading.fault(question.code, f"{shown(value)} is no number", "write digits, with a point for parts: 12 or 4.5")
        return str(value)
    if not 0 < number <= question.most:
        most, unit = question.most, question.unit or "in number"
        reading.fault(question.code, f"{number} is out of range", f"write a number above 0 and at most {most} {unit}")
    elif question.whole and number != number.to_integral_value():
        reading.fault(question.code, f"{number} is not whole", "write a whole number")
    return str(kept_number(number))


def _read_day(question: Question, value: Any, reading: Reading) -> str:
    try:
        day = date.fromisoformat(value) if isinstance(value, str) and len(value) == len("2026-11-25") else None
    except ValueError:
        day = None
    if day is None:
        reading.fault(question.code, f"{shown(value)} is no day of the calendar", "write it like 2026-11-25")
        return str(value)
    if not FIRST_DAY <= day <= LAST_DAY:
        reading.fault(question.code, f"{day} is too far away", "write a day between 2000 and 2099")
    return day.isoformat()


def facts_of(code: str) -> tuple[str, ...]:
    """The facts of the place, by the names that the rules know, that the answer to a question gives."""
    if code in _FACTS:
        return (_FACTS[code][0],)
    if code.startswith("bed_"):
        return ("dunged_area_m2",)
    animal, _, rest = code.partition("_")
    return (f"{animal}_room_m2",) if rest.startswith("floor_") else (code,) if code in _AS_THEY_ARE else ()


def number_of(answers: Mapping[str, str], code: str) -> Decimal | None:
    """A number that was answered, or None."""
    return decimal_of(answers.get(code))


def area_m2(answers: Mapping[str, str], length: str, width: str) -> Decimal | None:
    """A floor or bed from its length and width in centimetres [m²], or None where one is not known."""
    long, wide = number_of(answers, length), number_of(answers, width)
    return None if long is None or wide is None else long * wide / _CM2_PER_M2


def bed_m2(answers: Mapping[str, str]) -> Decimal | None:
    """The bed [m²], or None where it is not known."""
    return area_m2(answers, "bed_length_cm", "bed_width_cm")


def room_m2(answers: Mapping[str, str], species: str) -> Decimal | None:
    """The floor of a kind of animal [m²], or None where it is not known."""
    return area_m2(answers, f"{species}_floor_length_cm", f"{species}_floor_width_cm")


def place_facts(answers: Mapping[str, str]) -> dict[str, Any]:
    """Give the answers as facts of the place, by the names that the rules know; what is not known is left out."""
    facts: dict[str, Any] = {}
    for code, (name, if_yes, if_no) in _FACTS.items():
        if answers.get(code) in {YES, NO}:
            facts[name] = if_yes if answers[code] == YES else if_no
    known = {code: answers[code] for code in _AS_THEY_ARE if answers.get(code, UNKNOWN) != UNKNOWN}
    facts |= {code: text if code.endswith("_on") else kept_number(Decimal(text)) for code, text in known.items()}
    areas = {"dunged_area_m2": bed_m2(answers)}
    areas |= {f"{animal}_room_m2": room_m2(answers, animal) for animal in ANIMALS}
    facts |= {name: kept_number(area) for name, area in areas.items() if area is not None}
    return {name: value for name, value in facts.items() if name in PLACE_FACTS}
