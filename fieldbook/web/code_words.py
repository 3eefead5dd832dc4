"""What the codes of an entry are called on a screen.

What it is: one table from code to words, in the language of the screens. What it is not: a list of the codes that exist
(`practices.codes`). Its one rule: a page never shows a raw code or a raw unit id; what has no words here is an error.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

KIND_WORDS = {
    "growing": "Growing",
    "companions": "Plants side by side",
    "pest-deterrent": "Keeping pests away",
    "manure": "Dung and steeps",
    "compost": "Compost",
    "water": "Water",
    "structure": "Beds, walls and sacks",
    "animal": "Hens, rabbits, goats",
    "fish": "Fish",
    "linked-system": "Several linked into one",
    "seed": "Seed",
    "food": "Food from the garden",
    "teaching": "Teaching",
}

# Symbols of the SI are the same in every language written in Latin letters; words stand where there is no symbol.
UNIT_WORDS = {
    "area-square-meter": "m²",
    "concentr-item": "pieces",
    "concentr-percent": "%",
    "duration-day": "days",
    "duration-hour": "hours",
    "duration-minute": "minutes",
    "duration-month": "months",
    "duration-week": "weeks",
    "length-centimeter": "cm",
    "length-meter": "m",
    "length-millimeter": "mm",
    "mass-gram": "g",
    "mass-kilogram": "kg",
    "temperature-celsius": "°C",
    "volume-liter": "L",
    "volume-milliliter": "mL",
}
ONE_OF_UNIT = {
    "days": "day",
    "hours": "hour",
    "minutes": "minute",
    "months": "month",
    "weeks": "week",
    "pieces": "piece",
}

BEFORE_WORDS = {
    "harvest": "picking",
    "eating-raw": "eating it raw",
    "touching": "touching the plants",
    "feeding": "feeding it to animals",
    "next-spray": "the next spray",
}
PER_WORDS = {
    "animal": "from each animal",
    "batch": "from each batch",
    "bottle": "from each bottle",
    "plant": "from each plant",
    "sack": "from each sack",
    "square-metre": "from each square metre",
}
UNTIL_WORDS = {
    "harvest": "until you pick",
    "ready": "until it is ready",
    "season-end": "until the season ends",
    "sign-gone": "until the sign is gone",
}
MARK_WORDS = {
    "read": "read in the document",
    "secondary": "read where another quotes it",
    "computed": "computed",
    "common practice": "common practice in the trade",
    "from memory": "from memory, not looked up",
}
PROTECT_WORDS = {
    "boots": "boots",
    "eyes": "eye cover",
    "gloves": "gloves",
    "keep-children-away": "keep children away",
    "mask": "a cloth or mask over mouth and nose",
    "ventilate": "open doors and windows",
    "wash-hands": "wash hands with soap",
}
DEMAND_WORDS = {
    "area": "how large the place is, and how many animals it holds",
    "bird_flu": "whether bird flu is near (ask the animal-health worker)",
    "cover": "that open water is covered or fenced",
    "engineer_ok": "that a builder or engineer has looked at the roof or wall",
    "prior_use": "what each found container held before",
    "safe_load": "what weight the roof or wall bears",
    "soil_source": "where the soil comes from",
}
PEOPLE_WORDS = {
    "none": "Nobody is on it",
    "covered": "Faces are covered for good (a child is always covered)",
    "agreed": "Only adults who agreed, with a slip kept here",
}
STRENGTH_WORDS = {"light": "light work", "medium": "some strength", "heavy": "heavy work"}
CHILD_WORDS = {"yes": "yes", "watched": "yes, with an adult beside them", "no": "no"}
COST_WORDS = {"none": "nothing to buy", "small": "a little money", "some": "some money"}
WATER_WORDS = {
    "clean": "clean water",
    "re-used-kitchen": "kitchen water used again",
    "re-used-wash": "washing water used again",
    "roof": "roof water",
    "salty": "salty water",
}
BASIS_WORDS = {"measured": "measured", "guessed": "guessed"}
EFFECT_WORDS = {"helps": "helps", "harms": "harms", "no-evidence": "no evidence either way"}
BY_WORDS = {"volume": "by volume", "mass": "by weight"}
TIME_WORDS = {"dawn": "at dawn", "day": "by day", "dusk": "at dusk", "night": "at night"}
VERDICT_WORDS = {
    "good": "may be used",
    "weak": "works less well",
    "unknown": "not known whether it works",
    "forbidden": "must not be used",
}
HELD_WORDS = {"fuel": "fuel", "paint": "paint", "pesticide": "pesticide", "unknown": "anything unknown"}
WHO_WORDS = {
    "animals": "animals", "bees": "bees", "children": "children", "eaters": "those who eat it", "fish": "fish",
    "grower": "the grower", "neighbours": "neighbours",
}  # fmt: skip
CREDIT_WORDS = {
    "role": "my role and the site's letter",
    "site": "the site's letter only",
    "name-with-consent": "a name, with a consent slip kept here",
}
LICENCES = ("CC0-1.0", "CC-BY-4.0", "CC-BY-SA-4.0")

# The codes of facts and topics read as words as they stand; these few do not.
_ODD_CODES = {
    "cca": "green-tinted (copper, chromium, arsenic)",
    "creosote": "tarry (creosote)",
    "railway": "railway sleeper",
    "tagetes": "marigold (Tagetes)",
    "tephrosia": "Tephrosia",
    "rotenone": "rotenone",
    "neem": "neem",
    "none": "none",
    "foliar": "on the leaves",
    "drench": "poured on the ground",
    "soil_incorporated": "mixed into the soil",
    "soil_surface": "laid on the soil",
    "edible_soil": "the part that is eaten touches the soil",
    "edible_none": "the part that is eaten stays off the soil",
    "not_eaten": "nobody eats it",
    "tomato_potato": "tomato and potato family",
    "under_5": "children under five",
    "foot": "at the foot of the plant",
    "lid": "a fastened lid",
    "narrow_neck": "a neck too narrow for a hand",
    "greywater": "used washing or kitchen water",
    "nappies": "nappy washing",
    "flood": "flood water",
    "washing": "it is washed in clean water",
    "disinfecting_wash": "it is washed in water that disinfects",
    "drip_low_crop": "drip under a low crop",
    "drip_high_crop": "drip under a high crop",
    "cooking": "it is cooked through",
    "peeling": "it is peeled",
    "pit_or_tank_work": "work in a pit or tank",
    "affected": "bird flu is near",
    "free": "no bird flu near",
    "in_vessel": "closed container",
    "static": "heap that is not turned",
    "windrow": "long turned heap",
    "turned": "turned heap",
    "raw": "raw",
    "skin": "skin (sleeves, trousers)",
    "hands": "hands",
    "mask": "mouth and nose",
}
_TOPIC_ODD = {
    "root-knot": "root-knot worms",
    "children-animals-hygiene": "children and animals: hygiene",
    "hens-newcastle": "hens: sudden deaths (Newcastle disease)",
    "ants-mealybug": "ants and mealybugs",
    "slugs-snails": "slugs and snails",
    "ash-soap": "ash and soap",
    "hens-heat": "hens: heat",
    "dung-day": "dung day (when dung may go on)",
}


def code_words(code: str) -> str:
    """The words of a code of the facts, as ``soil_surface``."""
    return _ODD_CODES.get(code, code.replace("_", " "))


def topic_words(code: str) -> str:
    """The words of a topic, as ``hens-heat``."""
    return _TOPIC_ODD.get(code, code.replace("-", " "))


def choices_of(words: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """Choices for a form, in the order of the table."""
    return tuple(words.items())


def choices_from(codes: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Choices for a form from a closed list of codes."""
    return tuple((code, code_words(code)) for code in codes)
