"""The twelve questions that come first, and what their answers make known of a practice.

Not their words (a page says them). Its one rule: a "no" is a known fact and rules groups of facts out; "do not know"
and silence rule out nothing. Compost, human waste, pits and wells, nightshade and food values are never ruled out here.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

TWELVE: Final = (
    "dung",
    "urine",
    "other_water",
    "open_water",
    "roof",
    "tower",
    "found_things",
    "outside_soil",
    "spray",
    "animals",
    "eaten_raw",
    "sold",
)
"""The questions in their order, each answered with True, False, or not at all."""

_RULED_OUT_BY: Final = MappingProxyType(  # group: the questions that must all be answered with no
    {
        "animals": ("animals",),
        "area": ("animals", "dung"),
        "fish": ("open_water",),
        "irrigation": ("other_water",),
        "materials": ("found_things",),
        "soil": ("outside_soil",),
        "spray": ("spray",),
        "structure": ("roof", "tower"),
        "tea": ("dung",),
        "vessel": ("open_water", "found_things"),
        "water": ("open_water",),
        "wick": ("tower",),
    }
)
_SHOWN_BY: Final = MappingProxyType({"animals": "animals", "outside_soil": "soil", "spray": "spray"})


def facts_from_first_answers(answers: Mapping[str, bool]) -> dict[str, Any]:
    """Give the facts that the first answers make known.

    Args:
        answers: by the names of `TWELVE`; a question that is missing was not answered.

    Returns:
        A block ``facts``: ``none`` with the groups that are ruled out, an empty group where a yes shows that it is
        there, and what is eaten raw or sold where that was denied.
    """
    facts: dict[str, Any] = {}
    none = [group for group, asked in _RULED_OUT_BY.items() if all(answers.get(one) is False for one in asked)]
    if none:
        facts["none"] = sorted(none)
    for question, group in _SHOWN_BY.items():
        if answers.get(question) is True:
            facts[group] = {}
    if answers.get("eaten_raw") is False:
        facts["crop"] = {"eaten_raw": False}
    if answers.get("urine") is True and "sold" in answers:
        facts["inputs"] = [{"eaten_by_others": answers["sold"]}]
    return facts
