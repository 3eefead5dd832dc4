"""The shape of ``facts``: what the safety rules read, group by group.

Not the rules themselves (``fieldbook.review``). Its one rule: a fact that is not known is left out, never guessed;
a group that is known to have no place in the practice is named in ``none``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices import codes
from fieldbook.practices.records import Either, Elsewhere, Field, ListOf, OneOrMore, Record
from fieldbook.practices.shapes import Code, Flag, Number, Shape, Text, Whole

if TYPE_CHECKING:
    from fieldbook.practices.faults import Reading

_DATED = Elsewhere("write wait_d, the whole days between the two: an entry has no dates")
_WORDS = Text(max_chars=300)
_DAYS = Whole(low=0, high=3650)
_NUMBER = Number(low=0)
_FLAG = Flag()
_WAIT = Either(
    options=(_DAYS, Code(codes=(codes.NONE_PUBLISHED,))),
    hint=f'write whole days, or "{codes.NONE_PUBLISHED}"',
    named="days_or_none_published",
)


def _one_of(codes_known: tuple[str, ...]) -> Shape:
    return Code(codes=codes_known)


def _many_of(codes_known: tuple[str, ...]) -> Shape:
    return ListOf(item=Code(codes=codes_known))


def _group(*, elsewhere: dict[str, Elsewhere] | None = None, **fields: Shape | Field) -> Record:
    named = {name: one if isinstance(one, Field) else Field(shape=one) for name, one in fields.items()}
    return Record(fields=named, elsewhere=elsewhere or {})


_INPUT = _group(
    kind=Field(
        shape=_one_of(codes.INPUT_KINDS),
        about="What goes on it. compost and worm_compost may hold dung; plant_compost holds plants and soil only.",
    ),
    treatment=Field(
        shape=_one_of(codes.TREATMENTS),
        about="Only heat_processed, or composted with its heat in the group compost, is not judged as raw.",
    ),
    amount_kg=_NUMBER,
    amount_l=_NUMBER,
    area_m2=_NUMBER,
    times_a_year=Field(shape=_NUMBER, about="How often a year this amount is given."),
    wait_d=Field(shape=_WAIT, about="Whole days between putting it on and picking; none published counts as 0."),
    mode=_one_of(codes.MODES),
    contact=Field(shape=_one_of(codes.CONTACTS), about="Whether the part that is eaten touches the soil."),
    wets_edible=Field(shape=_FLAG, about="A drench that wets a part that is eaten."),
    incorporated_after_d=Field(
        shape=Either(options=(_DAYS, Code(codes=("never",))), hint="write whole days, or never"),
        about="Days until it is mixed into the soil.",
    ),
    stored_d=_DAYS,
    eaten_by_others=_FLAG,
    elsewhere={"applied_on": _DATED, "harvest_on": _DATED},
)

_GROUPS: dict[str, Record] = {
    "harvest": _group(
        claimed_wait_d=Field(shape=_WAIT, about="The waiting time that the text claims."),
        elsewhere={"harvest_on": _DATED},
    ),
    "compost": _group(
        of_dung=Field(shape=_FLAG, about="Animal or human matter is in it."),
        system=_one_of(codes.COMPOST_SYSTEMS),
        temp_c=ListOf(item=Number(low=-30, high=120)),
        days_hot=Field(shape=_DAYS, about="Days at 55 to 77 °C throughout."),
        turnings=Whole(low=0, high=1000),
        cn_start=_NUMBER,
        moisture_pct=Number(low=0, high=100),
    ),
    "tea": _group(
        source_treatment=Field(shape=_one_of(codes.TEA_SOURCES), about="What it is made from."),
        water=_one_of(codes.TEA_WATERS),
        additive=_one_of(codes.TEA_ADDITIVES),
        ecoli_cfu_100ml=Field(shape=_NUMBER, about="Tested E. coli, CFU/100 mL."),
        mode=_one_of(codes.MODES),
    ),
    "crop": _group(
        name=_WORDS,
        family=_one_of(codes.CROP_FAMILIES),
        eaten_raw=_FLAG,
        part=Field(shape=_one_of(codes.CROP_PARTS), about="The part that is eaten; none for what nobody eats."),
        flowering=_FLAG,
    ),
    "structure": _group(
        kind=_one_of(codes.STRUCTURE_KINDS),
        depth_cm=_NUMBER,
        density=Field(shape=_NUMBER, about="Wet growing medium, kg/m³."),
        on_roof=_FLAG,
        engineer_ok=Field(shape=_FLAG, about="A fact of one place: an entry demands it instead (demands)."),
        safe_load_kg_m2=_NUMBER,
        height_cm=_NUMBER,
        diameter_cm=_NUMBER,
        braced=_FLAG,
    ),
    "materials": _group(kind=_one_of(codes.MATERIAL_KINDS), treatment=_one_of(codes.MATERIAL_TREATMENTS), liner=_FLAG),
    "bed": _group(
        length_mm=Whole(),
        width_mm=Whole(),
        spacing_mm=Whole(),
        pattern=_one_of(("square", "triangular")),
        count=Whole(),
    ),
    "wick": _group(
        rise_cm=Field(shape=_NUMBER, about="From the lowest water to the roots."),
        medium=_one_of(("cloth", "cord", "sand", "soil")),
    ),
    "vessel": _group(
        volume_l=_NUMBER,
        area_m2=Field(shape=_NUMBER, about="Open water surface, m²."),
        cover=Field(shape=_one_of(codes.COVERS), about="lid means fastened; narrow_neck: a hand does not go in."),
        age_water_d=Field(shape=_DAYS, about="Longest time, in days, that the same water stands."),
        prior_use=Field(shape=_one_of(codes.PRIOR_USES), about="What it held before."),
    ),
    "irrigation": _group(
        source=_one_of(codes.IRRIGATION_SOURCES),
        origin=_many_of(codes.IRRIGATION_ORIGINS),
        mode=_one_of(codes.IRRIGATION_MODES),
        wait_d=Field(shape=_WAIT, about="Days between the last such watering and picking."),
        dunged=Field(shape=_FLAG, about="Animal droppings get into this water."),
        wets_edible=Field(shape=_FLAG, about="It touches a part that is eaten."),
        barriers=Field(
            shape=_many_of(codes.BARRIERS), about="What stands between this water and the eater, besides the days."
        ),
    ),
    "fish": _group(
        species=_WORDS,
        n=_NUMBER,
        kg=_NUMBER,
        aeration=_FLAG,
        exchange_pct_d=Number(low=0, high=10_000),
        manure_fed=_FLAG,
        purpose=_one_of(codes.FISH_PURPOSES),
    ),
    "water": _group(tan=_NUMBER, ph=Number(low=0, high=14), temp_c=Number(low=-5, high=60), do=_NUMBER),
    "animals": _group(
        species=_one_of(codes.ANIMAL_SPECIES),
        n=_NUMBER,
        weight_kg=_NUMBER,
        area_m2=Field(shape=_NUMBER, about="Usable area of the house, m²."),
        height_cm=_NUMBER,
        litter=_one_of(codes.LITTERS),
        ammonia_ppm=_NUMBER,
        stings_eyes=Field(shape=_FLAG, about="The air of their house stings the eyes."),
        over_water=_FLAG,
        droppings_to=Field(shape=_many_of(codes.DROPPINGS_TO), about="Where the droppings go."),
    ),
    "soil": _group(source=_one_of(codes.SOIL_SOURCES)),
    "spray": _group(
        plants=Field(shape=_many_of(codes.SPRAY_PLANTS), about="All that is in it; tagetes is marigold."),
        soap_g_l=_NUMBER,
        conc=Field(shape=_WORDS, about="Strength in words with g or mL per litre."),
        ppe=Field(shape=_many_of(codes.PPE), about="What the entry tells people to cover."),
        interval_d=Field(shape=_WAIT, about="Days between spraying and picking, or none published."),
        near_water_m=Field(shape=_NUMBER, about="Least distance to open water that the entry tells people to keep."),
        time_of_day=_one_of(codes.TIMES_OF_DAY),
    ),
    "area": _group(bird_flu=_one_of(codes.BIRD_FLU)),
    "task": _group(
        kind=Either(
            options=(_many_of(codes.TASK_KINDS), _one_of(codes.TASK_KINDS)),
            hint=f"write one or a list of: {', '.join(codes.TASK_KINDS)}",
        ),
        audience=_many_of(codes.AUDIENCES),
    ),
    "nutrition": _group(nutrient=_WORDS, value=_NUMBER, unit=_WORDS, table=_WORDS, food_no=_WORDS, form=_WORDS),
    "evidence": _group(
        n=Field(shape=Whole(), about="Plots or repetitions of each kind."),
        control=Field(
            shape=Either(options=(_FLAG, _WORDS), hint="write true, false, or what it was compared with"),
            about="Untreated plots stood beside it.",
        ),
        effect=Either(options=(_NUMBER, _WORDS), hint="write per cent as a number, or words"),
        source=_WORDS,
    ),
}


_RECORDS = {
    name: Record(fields=group.fields, elsewhere=group.elsewhere, named=f"facts_{name}")
    for name, group in {"inputs": _INPUT, **_GROUPS}.items()
}


def group_record(name: str) -> Record:
    """Give the shape of one item of a group."""
    return _RECORDS[name]


@dataclass(frozen=True, kw_only=True)
class _AlwaysList(ListOf):
    """A list; an author may write its only item without the brackets."""

    def read(self, value: Any, at: str, reading: Reading) -> Any:
        return super().read([value] if reading.strict and isinstance(value, dict) else value, at, reading)


def _groups() -> dict[str, Field]:
    """Give the groups by name; the inputs are always a list, every other group is one object or a list."""
    records = {name: group_record(name) for name in codes.FACT_GROUPS}
    return {
        name: Field(shape=_AlwaysList(item=record) if name == "inputs" else OneOrMore(item=record))
        for name, record in records.items()
    }


FACTS = Record(
    fields={
        **_groups(),
        "none": Field(shape=_many_of(codes.FACT_GROUPS), about="Groups known to have no place in this practice."),
        "demands": Field(
            shape=_many_of(codes.DEMANDS), about="What the entry itself tells people to have checked before they start."
        ),
        "cautions": Field(shape=_many_of(codes.CAUTIONS), about="Keys of the cautions that stand with the entry."),
        "warned_against": Field(
            shape=Record(fields=_groups(), named="facts_warned_against"),
            about="What the text advises against; judged by no rule.",
        ),
    },
    named="facts",
)
