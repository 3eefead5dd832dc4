"""The facts of a practice, asked as plain questions.

What it is: for each group of facts one yes-or-no question and a label for each fact. What it is not: the shapes of the
facts (`practices.facts_shape`, which this table only dresses in words) or the rules that read them (`review`). Its one
rule: a question is answered with yes, no or not said; "no" becomes a group in ``facts.none``, and "not said" stays
unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices.facts_shape import group_record
from fieldbook.practices.records import Either, ListOf
from fieldbook.practices.shapes import Code, Flag, Text
from fieldbook.web.boxes import Box, Rows, Takes, Values, fill, get_at, put_at, read
from fieldbook.web.code_words import choices_from

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.practices.shapes import Shape
    from fieldbook.web.boxes import Posted

# group -> (question, {fact -> label}); in the order in which they are asked
_ASKED: dict[str, tuple[str, dict[str, str]]] = {
    "inputs": (
        "Does anything go on the soil or the plants: dung, urine, compost, ash, a steep?",
        {
            "kind": "What is it?",
            "treatment": "What was done to it before?",
            "amount_kg": "How much at a time [kg]",
            "amount_l": "How much at a time [L]",
            "area_m2": "On what area [m²]",
            "times_a_year": "How many times a year",
            "wait_d": "Days from putting it on to picking",
            "mode": "Where does it go?",
            "contact": "Does the part that is eaten touch the soil?",
            "wets_edible": "Does it wet a part that is eaten?",
            "incorporated_after_d": "Mixed into the soil after how many days",
            "stored_d": "Stored how many days before",
            "eaten_by_others": "Do people outside the household eat from it?",
        },
    ),
    "tea": (
        "Is dung, compost or leaves steeped in water, and the water used?",
        {
            "source_treatment": "What is steeped?",
            "water": "In which water?",
            "additive": "Is sugar or anything else added?",
            "ecoli_cfu_100ml": "Tested E. coli [CFU per 100 mL]",
            "mode": "Where does it go?",
        },
    ),
    "compost": (
        "Is compost made?",
        {
            "of_dung": "Is dung or anything else of animals or people in it?",
            "system": "How?",
            "temp_c": "Temperatures measured [°C], one after another with spaces",
            "days_hot": "Days at 55 to 77 °C throughout",
            "turnings": "How many times turned in those days",
            "cn_start": "Carbon to nitrogen at the start (30 for 30:1)",
            "moisture_pct": "Moisture [%]",
        },
    ),
    "crop": (
        "Is a plant grown?",
        {
            "name": "Which one?",
            "family": "Which family?",
            "part": "Which part is eaten?",
            "eaten_raw": "Is it eaten raw?",
            "flowering": "Is it in flower when this is done?",
        },
    ),
    "harvest": (
        "Does the text promise how long to wait before picking?",
        {"claimed_wait_d": "How many days does it promise?"},
    ),
    "spray": (
        "Is anything sprayed on plants?",
        {
            "plants": "What is in it?",
            "soap_g_l": "Soap [g per L]",
            "conc": "How strong, in g or mL per litre",
            "ppe": "What does the entry tell people to cover?",
            "interval_d": "Days from spraying to picking",
            "near_water_m": "How far from open water [m]",
            "time_of_day": "When?",
        },
    ),
    "irrigation": (
        "Are plants watered?",
        {
            "source": "With which water?",
            "origin": "If it was used before: for what?",
            "mode": "How?",
            "wait_d": "Days from the last watering to picking",
            "wets_edible": "Does it touch a part that is eaten?",
            "barriers": "What else is done before it is eaten?",
            "dunged": "Do animal droppings get into this water?",
        },
    ),
    "vessel": (
        "Is water or anything else held in containers, or does water stand open?",
        {
            "volume_l": "How large [L]",
            "area_m2": "Open water surface [m²]",
            "cover": "What covers it?",
            "age_water_d": "Longest time that the same water stands [days]",
            "prior_use": "What did it hold before?",
        },
    ),
    "wick": ("Does a wick lift water?", {"rise_cm": "How high [cm]", "medium": "Through what?"}),
    "structure": (
        "Is anything built: a bed, box, wall, tower, pen or roof bed?",
        {
            "kind": "What?",
            "depth_cm": "Depth of soil [cm]",
            "density": "Weight of the wet soil [kg per m³]",
            "on_roof": "Does it stand on a roof or balcony?",
            "engineer_ok": "Has an engineer checked this very place?",
            "safe_load_kg_m2": "Load that the place bears [kg per m²]",
            "height_cm": "Height [cm]",
            "diameter_cm": "Width of its foot [cm]",
            "braced": "Is it braced?",
        },
    ),
    "materials": (
        "Are wood, tyres, metal or other found materials built in?",
        {"kind": "Which?", "treatment": "In which state?", "liner": "Is it lined?"},
    ),
    "soil": ("Is soil brought in?", {"source": "From where?"}),
    "bed": (
        "Does it say how many plants go into a bed?",
        {
            "length_mm": "Length [mm]",
            "width_mm": "Width [mm]",
            "spacing_mm": "Spacing [mm]",
            "pattern": "Pattern",
            "count": "Number of plants",
        },
    ),
    "animals": (
        "Are animals kept or handled?",
        {
            "species": "Which?",
            "n": "How many",
            "weight_kg": "Weight of one [kg]",
            "area_m2": "Floor of their house [m²]",
            "height_cm": "Height of their house [cm]",
            "litter": "Floor",
            "ammonia_ppm": "Ammonia measured [ppm]",
            "stings_eyes": "Does the air in their house sting the eyes?",
            "over_water": "Do they live over water?",
            "droppings_to": "Where do the droppings go?",
        },
    ),
    "fish": (
        "Are fish kept?",
        {
            "species": "Which?",
            "n": "How many",
            "kg": "Weight of all [kg]",
            "aeration": "Is air blown in?",
            "exchange_pct_d": "Water changed each day [%]",
            "manure_fed": "Does dung get into their water?",
            "purpose": "What for?",
        },
    ),
    "water": (
        "Is the water of fish measured?",
        {"tan": "Ammonia, total [mg N per L]", "ph": "pH", "temp_c": "Temperature [°C]", "do": "Oxygen [mg per L]"},
    ),
    "area": ("Does bird flu matter here (hens, ducks, droppings)?", {"bird_flu": "What is known?"}),
    "task": (
        "Is any of this work done: with animals or droppings, spraying, on a roof, in a pit, lifting?",
        {"kind": "Which work?", "audience": "Who does it?"},
    ),
    "nutrition": (
        "Does it say what the food gives (vitamins, protein)?",
        {
            "nutrient": "What?",
            "value": "How much",
            "unit": "In which unit (vitamin A: RE or RAE)",
            "table": "From which food table?",
            "food_no": "Its number there",
            "form": "Raw or cooked?",
        },
    ),
    "evidence": (
        "Does it claim an effect in numbers?",
        {
            "n": "Counted on how many",
            "control": "Compared with doing nothing?",
            "effect": "What effect?",
            "source": "Source",
        },
    ),
}  # fmt: skip

# what a group is called where a fact of it is named
NOUNS = {
    "inputs": "what goes on soil or plants",
    "tea": "the steep",
    "compost": "the compost",
    "crop": "the plant",
    "harvest": "the harvest",
    "spray": "the spray",
    "irrigation": "the watering",
    "vessel": "containers and open water",
    "wick": "the wick",
    "structure": "what is built",
    "materials": "found materials",
    "soil": "the soil",
    "bed": "the bed",
    "animals": "the animals",
    "fish": "the fish",
    "water": "the fish water",
    "area": "bird flu",
    "task": "the work, and who does it",
    "nutrition": "what the food gives",
    "evidence": "the claimed effect",
}


@dataclass(frozen=True, kw_only=True)
class Question:
    """One group of facts: its question, and the rows that open with "yes"."""

    group: str
    asks: str
    rows: Rows

    @property
    def name(self) -> str:
        """The name of its answer in the form."""
        return f"ask.{self.group}"


def _takes(shape: Shape) -> Takes:
    if isinstance(shape, Either):
        return _takes_either(shape)
    if isinstance(shape, ListOf):
        return "picks" if isinstance(shape.item, Code) else "numbers"
    plain: dict[type[Shape], Takes] = {Flag: "flag", Code: "pick", Text: "text"}
    return plain.get(type(shape), "number")


def _takes_either(shape: Either) -> Takes:
    kinds = {type(option) for option in shape.options}
    if ListOf in kinds:
        return "picks"
    if Flag in kinds:
        return "answer"
    return "days" if Code in kinds else "text"


def _choices(shape: Shape) -> tuple[tuple[str, str], ...]:
    if isinstance(shape, Either):
        return next((found for option in shape.options if (found := _choices(option))), ())
    if isinstance(shape, ListOf):
        return _choices(shape.item)
    return choices_from(shape.codes) if isinstance(shape, Code) else ()


def _hint(shape: Shape, takes: Takes) -> str:
    if takes == "days":
        return f"whole days, or: {' or '.join(words for _, words in _choices(shape))}"
    return "yes, no, or in words" if takes == "answer" else ""


def _box(group: str, fact: str, label: str) -> Box:
    shape = group_record(group).fields[fact].shape
    takes = _takes(shape)
    choices = _choices(shape) if takes in {"pick", "picks"} else ()
    return Box(at=fact, label=label, takes=takes, hint=_hint(shape, takes), choices=choices)


def _question(group: str) -> Question:
    asks, labels = _ASKED[group]
    boxes = tuple(_box(group, fact, label) for fact, label in labels.items())
    return Question(group=group, asks=asks, rows=Rows(at=f"facts.{group}", label="", boxes=boxes, blank=0, lone=True))


QUESTIONS = tuple(_question(group) for group in _ASKED)


def fill_facts(document: Mapping[str, Any], *, language: str) -> Values:
    """What the questions show of a document: each answer, and the facts behind a yes."""
    values = fill(document, [question.rows for question in QUESTIONS], language=language)
    none = get_at(document, "facts.none") or []
    for question in QUESTIONS:
        present = get_at(document, question.rows.at) is not None
        values[question.name] = ["no" if question.group in none else "yes" if present else ""]
    return values


def read_facts(posted: Posted, document: Mapping[str, Any], *, language: str) -> dict[str, Any]:
    """The document with the facts that were answered.

    A yes without any fact keeps its group, empty: it is known to be there, and the rules ask for what is missing.
    """
    out: dict[str, Any] = dict(document)
    none = []
    for question in QUESTIONS:
        answer = (posted.getlist(question.name) or [""])[0]
        if answer == "no":
            none.append(question.group)
            out = put_at(out, question.rows.at, None)
            continue
        out = read(posted, out, [question.rows], language=language)
        if answer == "yes" and get_at(out, question.rows.at) is None:
            out = put_at(out, question.rows.at, [{}] if question.group == "inputs" else {})
    done: dict[str, Any] = put_at(out, "facts.none", sorted(none) or None)
    return done
