"""The shape of a practice entry: every field, what it means, and whether it is needed.

Not what is computed from an entry, and not what later statements add to it (state, limits, approvals, trials). Its one
rule: this table is the one source; ``schemas/entry.schema.json`` is written from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices import codes
from fieldbook.practices.facts_shape import FACTS
from fieldbook.practices.faults import shown
from fieldbook.practices.records import Either, Elsewhere, Field, ListOf, Record, TextMap
from fieldbook.practices.shapes import DATE, DURATION, IDENTIFIER, TAG, Code, Flag, Number, Shape, Text, Whole

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.practices.faults import Reading

WORDS = TextMap(named="text")
_PLAIN = Text(max_chars=300)
_FLAG = Flag()
_NUMBER = Number()
_TEMPERATURE = Number(low=-60, high=80)

_ITEM = Either(
    options=(Text(max_chars=120), TextMap(max_chars=120)),
    hint="write an id of the names table, or the word in each language",
    named="item",
)


def _record(
    extra: Mapping[str, Shape] | None = None,
    /,
    *,
    required: tuple[str, ...] = (),
    named: str = "",
    **shapes: Shape | Field,
) -> Record:
    """Give a record; `extra` holds the names that Python keeps for itself, such as `class` and `with`."""
    fields = {**(extra or {}), **shapes}
    known = {name: one if isinstance(one, Field) else Field(shape=one) for name, one in fields.items()}
    return Record(fields=known, required=required, named=named)


def _codes(*known: str) -> Code:
    return Code(codes=known)


def _quantity(units: tuple[str, ...], *, named: str = "") -> Record:
    return _record(
        required=("value", "unit"),
        named=named,
        value=Field(shape=_NUMBER, about="An integer, or a decimal string."),
        unit=Field(
            shape=_Unit(codes=units),
            about="A Unicode CLDR unit id; doses in volume-milliliter or mass-gram only.",
        ),
        low=_NUMBER,
        high=_NUMBER,
        measure_id=Field(shape=_PLAIN, about="The id of a household measure in `measures` that holds as much."),
    )


class _Unit(Code):
    """A unit; the fault for a household measure says where it may stand."""

    def _read_spelled(self, value: str, at: str, reading: Reading) -> str:
        if not any(word in value for word in ("spoon", "cup", "handful", "pinch", "matchbox", "bottle", "tin")):
            return super()._read_spelled(value, at, reading)
        hint = "give millilitres or grams; name a household measure beside them only"
        reading.fault(at, f"{shown(value)} is not a word we know here", hint)
        return value


_QUANTITY = _quantity(codes.UNITS, named="quantity")


@dataclass(frozen=True, kw_only=True)
class _PlainNumber(Number):
    """A number in one unit; an author may write it as a quantity in that unit, and the number is kept."""

    units: tuple[str, ...]

    def read(self, value: Any, at: str, reading: Reading) -> Any:
        if reading.strict and isinstance(value, dict) and set(value) == {"value", "unit"}:
            Code(codes=self.units).read(value["unit"], f"{at}.unit", reading)
            return super().read(value["value"], f"{at}.value", reading)
        return super().read(value, at, reading)


_HOURS = _PlainNumber(units=("duration-hour",))
# The locale data name no such unit; this is how they would compose it.
_LOAD = _PlainNumber(units=("mass-kilogram-per-area-square-meter", "kilogram-per-square-meter"))


def _number_in(*units: str) -> Either:
    return Either(
        options=(_NUMBER, _quantity(units)),
        hint=f"write a number, or a quantity in {units[0]}",
    )


_SPACE = _record(
    area_m2=_number_in("area-square-meter"),
    depth_cm=_number_in("length-centimeter"),
    height_cm=_number_in("length-centimeter"),
    wall=_FLAG,
    roof=_FLAG,
    floor=_FLAG,
    window=_FLAG,
    load_kg_m2_wet=Field(shape=_LOAD, about="Wet weight, kg/m²; needed on a roof or wall.", need="S"),
)

_SUBSTITUTION = _record(
    required=("item", "verdict"),
    item=_ITEM,
    ratio=_NUMBER,
    verdict=_codes("forbidden", "good", "unknown", "weak"),
    source=_PLAIN,
)

_MATERIAL = _record(
    required=("item",),
    item=_ITEM,
    qty=_QUANTITY,
    reclaimed=_FLAG,
    must_not_have_held=ListOf(item=_codes("fuel", "paint", "pesticide", "unknown")),
    substitutions=ListOf(item=_SUBSTITUTION),
)

_RATIO = _record(
    required=("a", "b", "by", "value"),
    a=_ITEM,
    b=_ITEM,
    by=_codes("mass", "volume"),
    value=Field(shape=_NUMBER, about="Parts of b to one part of a."),
    low=_NUMBER,
    high=_NUMBER,
    source=Field(shape=_PLAIN, about="A key of `sources`, a citation, common practice or from memory."),
)

_REPEAT = _record(
    every_days=Whole(low=1, high=3650),
    times=Whole(low=1, high=1000),
    until=_codes("harvest", "ready", "season-end", "sign-gone"),
)

STEP_MAX_WORDS = 25
SET_MAX_CHARACTERS = 200
_STEP = _record(
    required=("say",),
    n=Whole(low=1, high=200),
    say=Field(shape=TextMap(max_words=STEP_MAX_WORDS, named="short_text"), about="One action, verb first."),
    day_offset=Field(shape=Whole(low=-3650, high=3650), about="Days from the day the practice is begun."),
    repeat=_REPEAT,
    time_of_day=Code(codes=codes.TIMES_OF_DAY),
    duration=DURATION,
    materials=ListOf(item=_ITEM),
    picture=Field(shape=_PLAIN, about="The name of a photo."),
    do_not=WORDS,
    success_sign=WORDS,
    stop_if=WORDS,
)

_WAITING = _record(
    required=("before", "days_min"),
    before=_codes("eating-raw", "feeding", "harvest", "next-spray", "touching"),
    days_min=Either(
        options=(Whole(high=3650), Code(codes=(codes.NONE_PUBLISHED,))),
        hint=f'write whole days, or "{codes.NONE_PUBLISHED}"; never invent a waiting time',
    ),
    condition=Either(options=(_PLAIN, WORDS), hint="write words, or words by language"),
    after=Field(
        shape=_codes("dung", "other", "spray", "tea", "urine", "water"),
        about="What it follows; a wait after a spray says nothing about dung.",
    ),
    source=_PLAIN,
)

_PHOTO = _record(
    required=("name",),
    name=_PLAIN,
    file=Field(shape=_PLAIN, about="A file beside the entry, before saving."),
    ref=IDENTIFIER,
    thumb=IDENTIFIER,
    alt=TextMap(may_be_empty=True),
    people=_codes("agreed", "covered", "none"),
)

_SOURCE = _record(
    required=("citation",),
    key=Field(shape=Text(max_chars=60), about="What `source` elsewhere in the entry calls it."),
    citation=Text(max_chars=600),
    place=Field(shape=_PLAIN, about="Section, table or page."),
    mark=Field(shape=Code(codes=codes.MARKS), about="How it is known; from memory is never shown as read."),
    url=_PLAIN,
    own_words=_FLAG,
    licence=_PLAIN,
)

_MEASURE = _record(
    required=("id", "name", "equals"),
    id=_PLAIN,
    name=WORDS,
    equals=_quantity(("mass-gram", "volume-milliliter")),
    measured_on=DATE,
    by=_PLAIN,
)

_HAZARD = _record(
    required=("code",),
    code=Field(shape=Code(codes=codes.CAUTIONS), about="The key of its caution."),
    likelihood=_codes("likely", "possible", "rare"),
    who=ListOf(item=_codes("animals", "bees", "children", "eaters", "fish", "grower", "neighbours")),
    control=Field(shape=WORDS, about="What is done about it."),
    raised_by=Field(shape=_PLAIN, about="The rule, or the person by role."),
)

_BY_RULE = _record(
    required=("rule", "places"),
    rule=Text(max_chars=12),
    places=ListOf(
        item=_record(
            required=("at", "to"),
            at=_PLAIN,
            to=Field(shape=Text(max_chars=SET_MAX_CHARACTERS), about="The value as JSON, cut to its first characters."),
        )
    ),
)

_FOLDED = Elsewhere("leave it out: it is said by later statements")
_NOT_INSIDE = dict.fromkeys(
    ("approved_by", "approved_on", "evidence_level", "limits", "recall", "review_by", "state", "trials"), _FOLDED
) | {"id": Elsewhere("leave it out: the id is made when the entry is signed")}


def _field(shape: Shape, about: str = "", need: str = "") -> Field:
    return Field(shape=shape, about=about, need=need)


_FIT: dict[str, Field] = {
    "space": _field(_SPACE),
    "sun_h": _field(_record(low=_NUMBER, high=_NUMBER)),
    "water_l_day": _field(_number_in("volume-liter")),
    "water_kind": _field(ListOf(item=Code(codes=codes.WATER_KINDS))),
    "climate": _field(
        _record(
            tmin_c=_TEMPERATURE,
            tmax_c=_TEMPERATURE,
            frost_ok=_FLAG,
            rain=_codes("any", "dry", "some", "wet"),
            months=_PLAIN,
        )
    ),
    "season": _field(_record(trigger=_codes("any", "rain-start", "temp"), window=_PLAIN)),
    "animals_needed": _field(ListOf(item=_record(animal=Code(codes=codes.ANIMAL_SPECIES), at_least=Whole(low=1)))),
    "people": _field(
        _record(
            strength=_codes("heavy", "light", "medium"),
            hands=Whole(low=1, high=100),
            hours=_HOURS,
            can_child=_codes("no", "watched", "yes"),
        )
    ),
    "cost": _field(
        _record(
            {"class": _codes("none", "small", "some")},
            amount=_NUMBER,
            currency=Text(max_chars=3, pattern=r"^[A-Z]{3}$", like="an ISO 4217 code such as USD"),
            date=DATE,
        )
    ),
    "not_for": _field(
        ListOf(
            item=_record(
                code=Text(max_chars=40, pattern=r"^[a-z0-9-]+$", like="a short word such as steep-roof"), reason=WORDS
            )
        )
    ),
}

_IDENTITY: dict[str, Field] = {
    "kind": _field(Code(codes=codes.ENTRY_KINDS), "What kind of practice it is.", "R"),
    "adaptation": _field(_FLAG, "Made from the editions that this statement answers; it begins a new entry."),
    "companions": _field(
        ListOf(
            item=_record({"with": _ITEM}, crop=_ITEM, effect=_codes("harms", "helps", "no-evidence"), source=_PLAIN)
        ),
        "For kind companions.",
        "R",
    ),
    "title": _field(TextMap(max_chars=120), 'Write {"en": "..."}.', "R"),
    "summary": _field(TextMap(max_chars=200), "At most 200 characters in each language.", "R"),
    "topics": _field(ListOf(item=Code(codes=codes.TOPICS)), "What the entry answers.", "R"),
    "local_names": _field(
        ListOf(
            item=_record(
                required=("lang", "name"), lang=TAG, region=_PLAIN, name=_PLAIN, sure=_FLAG, said_by_role=_PLAIN
            )
        )
    ),
    "taxa": _field(
        ListOf(
            item=_record(
                role=_codes("animal", "crop", "helper", "ingredient", "pest"),
                scientific=_PLAIN,
                eppo=Text(max_chars=6, pattern=r"^[A-Z0-9]{5,6}$", like="an EPPO code"),
                agrovoc=_PLAIN,
                names_ref=Field(shape=_PLAIN, about="An id of the names table."),
            )
        )
    ),
}

_THINGS: dict[str, Field] = {
    "materials": _field(ListOf(item=_MATERIAL), "What is used up or built in.", "R"),
    "tools": _field(ListOf(item=_ITEM), "What is used and kept.", "R"),
    "ratios": _field(ListOf(item=_RATIO), "For preparations.", "S"),
    "measures": _field(ListOf(item=_MEASURE), "Household measures, each with what it holds."),
}

_DOING: dict[str, Field] = {
    "steps": _field(ListOf(item=_STEP), f"At most {STEP_MAX_WORDS} words each.", "R"),
    "waiting": _field(ListOf(item=_WAITING), "With manure, urine, re-used water or spray.", "S"),
    "storage": _field(_record(how=WORDS, shelf_days=Whole(high=3650), label=WORDS)),
    "yield": _field(
        _record(
            required=("qty",),
            qty=_QUANTITY,
            per=_codes("animal", "batch", "bottle", "plant", "sack", "square-metre"),
            during=DURATION,
            basis=_codes("guessed", "measured"),
            source=_PLAIN,
        )
    ),
    "first_result_days": _field(Whole(high=3650)),
    "stages": _field(ListOf(item=_record(taxon=_PLAIN, bbch_from=Whole(high=99), bbch_to=Whole(high=99)))),
}

_SAFETY: dict[str, Field] = {
    "facts": _field(FACTS, "What the safety rules read.", "S"),
    "hazards": _field(ListOf(item=_HAZARD), "", "S"),
    "protect": _field(
        ListOf(item=_codes("boots", "eyes", "gloves", "keep-children-away", "mask", "ventilate", "wash-hands"))
    ),
    "first_aid": _field(WORDS),
    "disposal": _field(WORDS),
}

_JUDGING: dict[str, Field] = {
    "success_signs": _field(ListOf(item=WORDS), "", "R"),
    "failure_signs": _field(
        ListOf(item=_record(required=("sign",), sign=WORDS, likely_cause=WORDS, first_action=WORDS)), "", "R"
    ),
    "sources": _field(ListOf(item=_SOURCE)),
    "by_rule": _field(
        ListOf(item=_BY_RULE), "What a way of a rule set in the draft by one tap; for the reviewer alone."
    ),
}

_RIGHTS: dict[str, Field] = {
    "licence": _field(Text(max_chars=60, pattern=r"^[A-Za-z0-9.+-]+$", like="an SPDX licence id"), "", "R"),
    "unread": _field(ListOf(item=TAG), "Languages that no second speaker has read; [] where all were.", "S"),
    "credit": _field(
        _record(required=("kind",), kind=_codes("name-with-consent", "role", "site"), name=_PLAIN), "", "R"
    ),
    "photos": _field(ListOf(item=_PHOTO, max_items=30)),
}

ENTRY = Record(
    fields=_IDENTITY | _FIT | _THINGS | _DOING | _SAFETY | _JUDGING | _RIGHTS,
    required=("kind", "title"),
    elsewhere=_NOT_INSIDE,
)
