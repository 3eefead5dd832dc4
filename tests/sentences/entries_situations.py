"""Every fault of an entry, with the situation in which its author reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import EntryError, Fault, read_entry
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

PLAIN: dict[str, Any] = {"kind": "teaching", "title": {"en": "How we share water"}}
SOAP = {"plants": ["chilli", "soap"], "soap_g_l": 5, "ppe": []}
NEAR = "did you mean {close}?"
LISTED = "use one of: {known}"
UNKNOWN = "{value} is not a word we know here"
NO_NAME = "{name} is not a name we know here"
UNFIT = "{value} does not fit here"
WHOLE = "write a whole number from {low} to {high}"
FILL = "fill it in, or leave it out"


def step(**fields: Any) -> dict[str, Any]:
    """An entry of one step, with more fields in it."""
    return PLAIN | {"steps": [{"say": {"en": "Dig a hole."}} | fields]}


def waiting(**fields: Any) -> dict[str, Any]:
    return PLAIN | {"waiting": [{"before": "harvest", "days_min": 3} | fields]}


def facts(**groups: Any) -> dict[str, Any]:
    return PLAIN | {"facts": groups}


def at(field: str, document: Any) -> Callable[[Scene], object]:
    """The fault that an author reads at a place of a document."""

    def come(_: Scene) -> Fault:
        try:
            read_entry(document)
        except EntryError as error:
            return next(fault for fault in error.faults if fault.field == field)
        raise AssertionError(document)

    return come


def taken(document: Any) -> Callable[[Scene], object]:
    """What is said of a document as a whole."""
    return lambda _: read_entry(document)


_LIKE = (
    ("a language nobody can name", at("unread[0]", PLAIN | {"unread": ["12"]})),
    ("a date that is none", at("cost.date", PLAIN | {"cost": {"class": "some", "date": "soon"}})),
    ("a duration in words", at("steps[0].duration", step(duration="an hour"))),
    ("a photo by a short id", at("photos[0].ref", PLAIN | {"photos": [{"name": "hole", "ref": "abc"}]})),
    ("a currency in small letters", at("cost.currency", PLAIN | {"cost": {"class": "some", "currency": "usd"}})),
    ("a place that it does not suit, in a sentence", at("not_for[0].code", PLAIN | {"not_for": [{"code": "A roof"}]})),
    ("a plant's code in small letters", at("taxa[0].eppo", PLAIN | {"taxa": [{"eppo": "abcde"}]})),
    ("a licence in words", at("licence", PLAIN | {"licence": "free for all"})),
)

SITUATIONS = (
    Situation(
        "says that nobody eats it, yet that it is eaten raw",
        "choose one of the two",
        "marigolds that are eaten raw",
        at("facts.crop.eaten_raw", facts(crop={"part": "none", "eaten_raw": True})),
    ),
    Situation(
        "says that it goes on the leaves, yet wets nothing that is eaten",
        "say yes here, or choose where else it goes",
        "a steep on lettuce leaves that stay dry",
        at(
            "facts.inputs[0].wets_edible",
            facts(inputs=[{"kind": "leaf_steep", "mode": "foliar", "wets_edible": False}], crop={"part": "leaf"}),
        ),
    ),
    Situation(
        "says that no dung gets to the fish, yet droppings go to them as feed",
        "say yes here, or send the droppings elsewhere",
        "hens that feed fish which no dung reaches",
        at(
            "facts.fish.manure_fed",
            facts(fish={"manure_fed": False}, animals={"species": "hen", "droppings_to": ["fish_feed"]}),
        ),
    ),
    Situation(
        "says {said}, but this is step {number}",
        "number the steps in their order",
        "the first step is numbered 2",
        at("steps[0].n", step(n=2)),
    ),
    Situation(
        "is only for the kind of practice companions",
        "choose that kind, or leave it out",
        "pairs of plants in an entry on something else",
        at("companions", PLAIN | {"companions": [{"crop": "maize", "with": "beans", "effect": "helps"}]}),
    ),
    Situation(
        "the least, the usual and the most are not in rising order",
        "put the smallest first",
        "a harvest of 5 kg, at least 6 kg",
        at("yield.qty", PLAIN | {"yield": {"qty": {"value": 5, "unit": "mass-kilogram", "low": 6}}}),
    ),
    Situation(
        "no photo is named “{picture}”",
        "add a photo of that name, or take the name out",
        "a step shows a photo that is not there",
        at("steps[0].picture", step(picture="hole")),
    ),
    Situation(
        "“{name}” is there twice",
        "give each photo its own name",
        "two photos of one name",
        at("photos[1].name", PLAIN | {"photos": [{"name": "hole"}, {"name": "hole"}]}),
    ),
    Situation(
        "no household measure is named “{measure}”",
        "add one of that name, or take the name out",
        "an amount in a measure that is not described",
        at(
            "materials[0].qty.measure_id",
            PLAIN
            | {"materials": [{"item": "soap", "qty": {"value": 5, "unit": "mass-gram", "measure_id": "small tin"}}]},
        ),
    ),
    Situation(
        "says that there is no {group}, yet describes it",
        "keep one of the two",
        "a spray that is ruled out and described",
        at("facts.none[0]", facts(none=["spray"], spray=SOAP)),
    ),
    Situation(
        "says that there is no {group}, yet the kind of practice is {kind}",
        "describe the {group}, or choose another kind of practice",
        "an entry on fish says that there are none",
        at("facts.none[0]", facts(none=["fish"]) | {"kind": "fish"}),
    ),
    Situation(
        "the title has no text in “{tag}”",
        "name only languages in which the entry has a title",
        "a language that nobody else has read, and nobody wrote",
        at("unread[0]", PLAIN | {"unread": ["sw"]}),
    ),
    Situation(
        "the title has no text in “{tag}”",
        "add the title in that language too",
        "a summary in a language that the title lacks",
        at("summary.sw", PLAIN | {"summary": {"sw": "Maji."}}),
    ),
    Situation("{where}: {message}", "fill it in", "an entry lacks its title", taken({"kind": "teaching"})),
    Situation("{where}: {message} (and {more} more)", "fill it in", "an entry lacks kind and title", taken({})),
    Situation("{value} is not a group of names", "put it between {{ and }}", "an entry that is a list", at("", [])),
    Situation("is missing", "fill it in", "an entry without a title", at("title", {"kind": "teaching"})),
    Situation(NO_NAME, "look it up in the schema of the document", "a name like none", at("qqqq", PLAIN | {"qqqq": 1})),
    Situation(
        NO_NAME, LISTED, "a name like none in a small group", at("storage.qqqq", PLAIN | {"storage": {"qqqq": 1}})
    ),
    Situation(NO_NAME, NEAR, "a name with a slip", at("steps[0].dayoffset", step(dayoffset=1))),
    Situation(
        NO_NAME,
        "leave it out: it is said by later statements",
        "an author calls the entry approved",
        at("state", PLAIN | {"state": "approved"}),
    ),
    Situation(
        NO_NAME,
        "leave it out: the id is made when the entry is signed",
        "an author makes up an id",
        at("id", PLAIN | {"id": "1"}),
    ),
    Situation(
        NO_NAME,
        "write wait_d, the whole days between the two: an entry has no dates",
        "a date of harvest in an entry",
        at("facts.harvest.harvest_on", facts(harvest={"harvest_on": "2026-11-25"})),
    ),
    Situation(
        UNFIT,
        "write an id of the names table, or the word in each language",
        "a thing that is a number",
        at("tools[0]", PLAIN | {"tools": [5]}),
    ),
    Situation(
        UNFIT,
        "write a number, or a quantity in {unit}",
        "water a day in words",
        at("water_l_day", PLAIN | {"water_l_day": "much"}),
    ),
    Situation(
        UNFIT,
        'write whole days, or "{none}"; never invent a waiting time',
        "a waiting time in words",
        at("waiting[0].days_min", waiting(days_min="soon")),
    ),
    Situation(
        UNFIT,
        "write words, or words by language",
        "the condition of a wait is a number",
        at("waiting[0].condition", waiting(condition=5)),
    ),
    Situation(
        UNFIT,
        'write whole days, or "{none}"',
        "a claimed wait in words",
        at("facts.harvest.claimed_wait_d", facts(harvest={"claimed_wait_d": "soon"})),
    ),
    Situation(
        UNFIT,
        "write one or a list of: {kinds}",
        "a kind of work that is not in the list",
        at("facts.task.kind", facts(task={"kind": "dancing"})),
    ),
    Situation(
        UNFIT,
        "write per cent as a number, or words",
        "an effect that is a list",
        at("facts.evidence.effect", facts(evidence={"effect": []})),
    ),
    Situation(
        UNFIT,
        "write whole days, or never",
        "mixed into the soil some day",
        at("facts.inputs[0].incorporated_after_d", facts(inputs=[{"incorporated_after_d": "soon"}])),
    ),
    Situation(
        UNFIT,
        "write true, false, or what it was compared with",
        "compared with a number",
        at("facts.evidence.control", facts(evidence={"control": 5})),
    ),
    Situation("{value} is not a list", "put it between [ and ]", "one tool alone", at("tools", PLAIN | {"tools": {}})),
    Situation(
        "has {count} items",
        "keep it to {most}",
        "31 photos",
        at("photos", PLAIN | {"photos": [{"name": f"photo {n}"} for n in range(31)]}),
    ),
    Situation(
        "{value} does not say its language",
        'write {{"en": "...", "sw": "..."}}',
        "a title in no language",
        at("title", PLAIN | {"title": "Water"}),
    ),
    Situation(
        "{tag} is not a language tag",
        "use a tag such as en, sw, fr, pt-BR",
        "a title in a language by its whole name",
        at("title.English text", PLAIN | {"title": {"English text": "Water"}}),
    ),
    Situation(
        "has {count} words",
        "say it in {most} or fewer, or make two of it",
        "a step of 30 words",
        at("steps[0].say.en", step(say={"en": "dig " * 30})),
    ),
    Situation(UNKNOWN, NEAR, "a kind with a slip", at("kind", PLAIN | {"kind": "manuer"})),
    Situation(UNKNOWN, LISTED, "a kind like none", at("kind", PLAIN | {"kind": "qqqq"})),
    Situation(
        UNKNOWN,
        "give millilitres or grams; name a household measure beside them only",
        "soap by the spoon",
        at(
            "materials[0].qty.unit",
            PLAIN | {"materials": [{"item": "soap", "qty": {"value": 1, "unit": "tablespoon"}}]},
        ),
    ),
    Situation("{value} is not a code", LISTED, "a kind that is a number", at("kind", PLAIN | {"kind": 5})),
    Situation(
        "{value} is not text",
        "write it as text in quotes",
        "a licence by number",
        at("licence", PLAIN | {"licence": 5}),
    ),
    Situation("is empty", FILL, "a licence of blanks", at("licence", PLAIN | {"licence": "  "})),
    Situation(
        "has {count} characters",
        "shorten it to {most} or fewer",
        "a long summary",
        at("summary.en", PLAIN | {"summary": {"en": "w" * 201}}),
    ),
    *(Situation("{text} is not {like}", "write it as {like}", when, come) for when, come in _LIKE),
    Situation(
        "holds an invisible control character",
        "type the text again without it",
        "a title with a bell in it",
        at("title.en", PLAIN | {"title": {"en": "Wa\x07ter"}}),
    ),
    Situation(
        "{value} is not a whole number",
        WHOLE,
        "days in words",
        at("first_result_days", PLAIN | {"first_result_days": "soon"}),
    ),
    Situation(
        "{number} is out of range",
        WHOLE,
        "a wait of 30 years",
        at("first_result_days", PLAIN | {"first_result_days": 10958}),
    ),
    Situation(
        "{value} is not a number",
        'write 3 or "2.5": digits, and a point for decimals',
        "hours of sun in words",
        at("sun_h.low", PLAIN | {"sun_h": {"low": "many"}}),
    ),
    Situation(
        "{number} is out of range",
        "write a number from {low} to {high}",
        "less than no sun",
        at("sun_h.low", PLAIN | {"sun_h": {"low": -1}}),
    ),
    Situation(
        "{value} is neither true nor false",
        "write true or false, without quotes",
        "an adaptation, perhaps",
        at("adaptation", PLAIN | {"adaptation": "perhaps"}),
    ),
)
