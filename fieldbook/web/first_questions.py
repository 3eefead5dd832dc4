"""The twelve questions that come first when an entry is begun, in words.

Not what the answers make known (``practices.first_answers``). Its one rule: what is not answered rules out nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices.first_answers import TWELVE, facts_from_first_answers

if TYPE_CHECKING:
    from collections.abc import Mapping

_ASKED = {
    "dung": "Does dung go on soil or plants, or water in which dung, compost or leaves were steeped?",
    "urine": "Does urine of people or animals go on soil or plants?",
    "other_water": "Are plants watered with water that is neither clean nor off a roof: used, drain, pond, drum, fish?",
    "open_water": "Are fish kept, or does water stand open?",
    "roof": "Does anything stand on a roof or balcony, or hang on a wall?",
    "tower": "Is there a sack, a tower or anything tall, or a wick that lifts water?",
    "found_things": "Are found containers, wood, tyres or metal used?",
    "outside_soil": "Is soil brought in from elsewhere?",
    "spray": "Is anything sprayed on plants?",
    "animals": "Are animals kept or handled?",
    "eaten_raw": "Is anything of it eaten raw?",
    "sold": "Is anything of it sold, or eaten by others than the household?",
}
FIRST_QUESTIONS = tuple((f"first.{name}", _ASKED[name]) for name in TWELVE)
"""The name of each answer in the form, and the question."""


def first_facts(asked: Mapping[str, str]) -> dict[str, Any]:
    """The facts that the answers of a form make known; empty where nothing was answered."""
    said = {name: asked.get(f"first.{name}") for name in TWELVE}
    return facts_from_first_answers({name: word == "yes" for name, word in said.items() if word in {"yes", "no"}})
