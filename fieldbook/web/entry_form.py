"""The form in which a trainer writes a practice entry.

What it is: the sections and boxes of the form, and the two ways between a form and an entry document. What it is not:
the facts for the safety rules (`fact_questions`), or a check. Its one rule: one form writes one language; the words of
other languages, and all that the form does not show, stay as they were.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices import codes
from fieldbook.web import code_words as say
from fieldbook.web.boxes import Box, Part, Rows, Values, fill, get_at, put_at, read
from fieldbook.web.caution_words import ALL
from fieldbook.web.fact_questions import QUESTIONS, fill_facts, read_facts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.web.boxes import Posted

CARRIED_MAX_CHARACTERS = 600_000
_UNITS = tuple((unit, words) for unit, words in say.UNIT_WORDS.items() if not unit.startswith("duration"))


@dataclass(frozen=True, kw_only=True)
class Section:
    """One numbered part of the form."""

    title: str
    parts: tuple[Part, ...]
    hint: str = ""


_WHAT = Section(
    title="What it is",
    parts=(
        Box(at="title", label="Its name", hint="As a neighbour would call it.", width="broad"),
        Box(at="kind", label="What kind of practice?", takes="pick", choices=say.choices_of(say.KIND_WORDS)),
        Box(at="summary", label="In one or two sentences", takes="long", hint="At most 200 characters.", width="full"),
        Rows(
            at="topics",
            label="Topic",
            many="What it answers",
            boxes=(
                Box(
                    at="",
                    label="Topic",
                    takes="pick",
                    choices=tuple((code, say.topic_words(code)) for code in sorted(codes.TOPICS)),
                ),
            ),
            hint="Searching finds it by these.",
        ),
    ),
)
_FIT = Section(
    title="What it needs of a place",
    hint="Leave out what does not matter.",
    parts=(
        Box(at="space.area_m2", label="Ground [m²]", takes="number", width="narrow"),
        Box(at="space.depth_cm", label="Depth of soil [cm]", takes="number", width="narrow"),
        Box(at="space.height_cm", label="Height [cm]", takes="number", width="narrow"),
        Box(at="space.roof", label="On a roof?", takes="flag", width="narrow"),
        Box(at="space.wall", label="On a wall?", takes="flag", width="narrow"),
        Box(
            at="space.load_kg_m2_wet",
            label="Weight when wet [kg per m²]",
            takes="number",
            hint="Needed on a roof or wall.",
            width="narrow",
        ),
        Box(at="sun_h.low", label="Hours of sun, at least", takes="number", width="narrow"),
        Box(at="water_l_day", label="Water a day [L]", takes="number", width="narrow"),
        Box(at="people.strength", label="Strength", takes="pick", choices=say.choices_of(say.STRENGTH_WORDS)),
        Box(at="people.can_child", label="May a child help?", takes="pick", choices=say.choices_of(say.CHILD_WORDS)),
        Box(at="cost.class", label="Money", takes="pick", choices=say.choices_of(say.COST_WORDS)),
    ),
)
_ITEM_SOURCE = Box(
    at="source", label="How do you know?", takes="text", hint="a source below, common practice, or from memory"
)
_THINGS = Section(
    title="Things and amounts",
    parts=(
        Rows(
            at="materials",
            label="Thing",
            many="Things",
            hint="What is used up or built in. Millilitres and grams; no spoons, cups or handfuls.",
            boxes=(
                Box(at="item", label="What?", width="broad"),
                Box(at="qty.value", label="Amount", takes="number", width="narrow"),
                Box(at="qty.unit", label="Unit", takes="pick", choices=_UNITS, width="narrow"),
                Box(at="reclaimed", label="Found or used before?", takes="flag", width="narrow"),
            ),
            blank=4,
        ),
        Rows(
            at="tools", label="Tool", many="Tools", hint="What is used and kept.", boxes=(Box(at="", label="Which?"),)
        ),
        Rows(
            at="ratios",
            label="Mixing",
            many="Mixing",
            hint="For what is mixed: 1 part of the first to so many parts of the second.",
            boxes=(
                Box(at="a", label="1 part of"),
                Box(at="value", label="to how many parts", takes="number", width="narrow"),
                Box(at="b", label="of"),
                Box(at="by", label="Measured", takes="pick", choices=say.choices_of(say.BY_WORDS), width="narrow"),
                _ITEM_SOURCE,
            ),
            blank=1,
        ),
    ),
)
_COMPANIONS = Section(
    title="Plants side by side",
    hint="Only for that kind.",
    parts=(
        Rows(
            at="companions",
            label="Pair",
            many="Pairs",
            boxes=(
                Box(at="crop", label="This crop"),
                Box(at="with", label="beside"),
                Box(at="effect", label="Effect", takes="pick", choices=say.choices_of(say.EFFECT_WORDS)),
                _ITEM_SOURCE,
            ),
            blank=1,
        ),
    ),
)
_DOING = Section(
    title="Steps, by day",
    hint="One action in each step, the verb first, at most 25 words. Day 0 is the day of beginning.",
    parts=(
        Rows(
            at="steps",
            label="Step",
            many="Steps",
            boxes=(
                Box(at="day_offset", label="Day", takes="number", width="narrow"),
                Box(at="say", label="What to do", takes="long", width="broad"),
                Box(at="do_not", label="What not to do"),
                Box(at="success_sign", label="How one sees that it went well"),
            ),
            blank=4,
        ),
    ),
)
_WAITING = Section(
    title="Waiting",
    hint="Needed with dung, urine, used water or a spray. Never invent a waiting time: write “none published”.",
    parts=(
        Rows(
            at="waiting",
            label="Wait",
            many="Waiting times",
            boxes=(
                Box(at="before", label="Before", takes="pick", choices=say.choices_of(say.BEFORE_WORDS)),
                Box(at="days_min", label="At least [days]", takes="days", hint="or: none published", width="narrow"),
                Box(at="condition", label="When does it hold?"),
                _ITEM_SOURCE,
            ),
            blank=1,
        ),
    ),
)
_JUDGING = Section(
    title="Signs, harvest",
    parts=(
        Rows(
            at="success_signs",
            label="Sign that it works",
            many="Signs that it works",
            boxes=(Box(at="", label="What does one see?"),),
        ),
        Rows(
            at="failure_signs",
            label="Sign that it fails",
            many="Signs that it fails",
            boxes=(
                Box(at="sign", label="What does one see?"),
                Box(at="likely_cause", label="Why, most likely?"),
                Box(at="first_action", label="What to do first"),
            ),
        ),
        Box(at="yield.qty.value", label="Harvest", takes="number", width="narrow"),
        Box(at="yield.qty.unit", label="Unit", takes="pick", choices=_UNITS, width="narrow"),
        Box(at="yield.per", label="From", takes="pick", choices=say.choices_of(say.PER_WORDS), width="narrow"),
        Box(at="yield.basis", label="Measured?", takes="pick", choices=say.choices_of(say.BASIS_WORDS), width="narrow"),
        Box(at="first_result_days", label="Days to the first result", takes="number", width="narrow"),
    ),
)
_SAFETY = Section(
    title="Safety",
    hint="Whoever reviews this reads it first. Say what is so; what you do not know, leave as not said.",
    parts=(
        Rows(
            at="hazards",
            label="Danger",
            many="Dangers, and what is done about them",
            boxes=(
                Box(
                    at="code",
                    label="Which caution?",
                    takes="pick",
                    choices=tuple((c.key, f"{c.key}, {c.heading}") for c in ALL),
                ),
                Box(at="control", label="What is done about it", takes="long", width="broad"),
            ),
        ),
        Box(
            at="facts.demands",
            label="What must be asked at each place before beginning?",
            takes="picks",
            choices=say.choices_of(say.DEMAND_WORDS),
        ),
        Box(at="protect", label="What to wear or do", takes="picks", choices=say.choices_of(say.PROTECT_WORDS)),
        Box(at="first_aid", label="If somebody is hurt", takes="long"),
        Box(at="disposal", label="What to do with what is left over", takes="long"),
    ),
)
PHOTO_ROWS = Rows(
    at="photos",
    label="Photo",
    many="Photos that are here",
    boxes=(
        Box(at="alt", label="What it shows, for those who cannot see it", takes="long", width="broad"),
        Box(at="people", label="Who is on it?", takes="pick", choices=say.choices_of(say.PEOPLE_WORDS)),
    ),
    blank=0,
    hint="These came with the edition or draft before. To leave one out, empty its row.",
)
CAUTIONS_BOX = Box(at="facts.cautions", label="Cautions that stand with this entry", takes="picks")
_SOURCES = Section(
    title="Where you know it from",
    parts=(
        Rows(
            at="sources",
            label="Source",
            many="Sources",
            boxes=(
                Box(at="key", label="Short name", takes="text", hint="used above", width="narrow"),
                Box(at="citation", label="What is it?", takes="text", width="broad"),
                Box(at="place", label="Page, table or section", takes="text"),
                Box(at="mark", label="How it is known", takes="pick", choices=say.choices_of(say.MARK_WORDS)),
            ),
            blank=1,
        ),
        Box(
            at="licence",
            label="Others may use the text under",
            takes="pick",
            choices=tuple((n, n) for n in say.LICENCES),
        ),
        Box(at="credit.kind", label="Say who wrote it as", takes="pick", choices=say.choices_of(say.CREDIT_WORDS)),
    ),
)
SECTIONS = (_WHAT, _FIT, _THINGS, _COMPANIONS, _DOING, _WAITING, _JUDGING, _SAFETY, _SOURCES)
_BEGINNING = {"licence": "CC-BY-4.0", "credit": {"kind": "role"}}


def parts() -> Iterator[Part]:
    """Every box and list of rows of the form but the facts."""
    for section in SECTIONS:
        yield from section.parts
    yield CAUTIONS_BOX
    yield PHOTO_ROWS


def new_document() -> dict[str, Any]:
    """What an empty form begins with."""
    return json.loads(json.dumps(_BEGINNING))  # type: ignore[no-any-return]


def fill_form(document: Mapping[str, Any], *, language: str) -> Values:
    """What every box of the form shows of a document."""
    values = fill(document, parts(), language=language) | fill_facts(document, language=language)
    return values | {"unread": ["yes"] if language in (document.get("unread") or []) else []}


def read_form(posted: Posted, document: Mapping[str, Any], *, language: str) -> dict[str, Any]:
    """The document that the form says now.

    Args:
        posted: what was sent.
        document: what the form was filled from (the carried document).
        language: the language of its words.
    """
    out = read(posted, document, parts(), language=language)
    out = read_facts(posted, out, language=language)
    for number, step in enumerate(out.get("steps") or [], start=1):
        step["n"] = number
    others = [tag for tag in out.get("unread") or [] if tag != language]
    out["unread"] = sorted({*others, language}) if posted.getlist("unread") else others
    return out


def box_names(values: Values) -> list[str]:
    """The names of all boxes that are filled from these values, so that a fault finds its box."""
    plain = [part.at for part in parts()] + [question.name for question in QUESTIONS]
    return list(dict.fromkeys([*values, *plain]))


def carry(document: Mapping[str, Any]) -> str:
    """The document as it travels through the page, for what the form does not show."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def carried(text: str) -> dict[str, Any] | None:
    """The document that came back with the form, or None where it was tampered with."""
    if len(text) > CARRIED_MAX_CHARACTERS:
        return None
    try:
        document = json.loads(text, parse_float=str, parse_constant=str)
    except (ValueError, RecursionError):
        return None
    return document if isinstance(document, dict) else None


def free_name(file_name: str, taken: set[str]) -> str:
    """A name for a photo, made from its file's name and not taken yet."""
    stem = re.sub(r"[^a-z0-9]+", "-", file_name.rsplit(".", 1)[0].lower()).strip("-")[:40] or "photo"
    name, number = stem, 2
    while name in taken:
        name, number = f"{stem}-{number}", number + 1
    return name


def with_photo(document: Mapping[str, Any], photo: Mapping[str, Any], *, step: str) -> dict[str, Any]:
    """The document with one more photo, shown with a step where a step's number is given."""
    photos = [*(document.get("photos") or []), {name: value for name, value in photo.items() if value}]
    out: dict[str, Any] = put_at(document, "photos", photos)
    steps = [dict(one) for one in get_at(out, "steps") or []]
    if step.isascii() and step.isdigit() and 1 <= int(step) <= len(steps):
        steps[int(step) - 1]["picture"] = photo["name"]
        out["steps"] = steps
    return out
