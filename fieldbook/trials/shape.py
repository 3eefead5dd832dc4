"""The shape of a trial's record: every field and what it means, and the closed lists that it uses.

Not what fields say about each other (``agreement``), and not what follows from what was counted. Its one rule: this
table is the one source; ``schemas/trial.schema.json`` is written from it. A code that once stood in a signed trial is
never given another meaning; new ones may be added.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.codes import UNITS
from fieldbook.practices.faults import shown
from fieldbook.practices.records import Either, Field, ListOf, Record, TextMap
from fieldbook.practices.shapes import DATE, Code, Flag, Number, Text, Whole

if TYPE_CHECKING:
    from fieldbook.practices.faults import Reading

LOWER, HIGHER = "lower", "higher"
QUESTIONS: Final = MappingProxyType(  # which way is good; part of the code, so that nobody chooses it afterwards
    {
        "faster": LOWER,
        "less-pest": LOWER,
        "less-water": LOWER,
        "more-harvest": HIGHER,
        "more-sprout": HIGHER,
        "survives": HIGHER,
        "tastes-ok": HIGHER,
    }
)
SIDE_BY_SIDE, PAIRED, BEFORE_AFTER = "side-by-side", "paired-halves", "before-after"
DESIGNS = (BEFORE_AFTER, PAIRED, SIDE_BY_SIDE)
TRIED_UNITS = ("bed", "bottle", "drum", "household", "pen", "sack", "tray", "tyre")
BY_LOT = "by-lot"
CHOSEN = ("alternate", BY_LOT, "chosen")
COMPARISONS = ("nothing", "other-practice", "usual-way", "water-only")
HARMED = "harmed"
OUTCOMES = (HARMED, "no", "partly", "worked")
NOT_HEARD, DIED = "not-heard", "died"
LOSSES = ("broken", DIED, "eaten", "flooded", "moved", NOT_HEARD, "other", "stolen")
WEATHERS = ("cold", "dry", "hot", "storm", "usual", "wet")
COUNTED_PER = ("animal", "fruit", "leaf", "plant")
SEASONS = ("cold", "dry", "hot", "long-rains", "rains", "short-rains")
MOST_UNITS, MOST_COUNTS, MOST_COUNTED = 100, 40, 100_000  # of one trial, of one unit, of one count
MOST_DAYS = 1000  # from the start to the count
NOTE_MAX_CHARACTERS = 300
_INSIDE_A_UNIT = ("flower", "fruit", "head", "leaf", "leaves", "plant", "plants", "seed", "seedling", "seeds", "shoot")


@dataclass(frozen=True, kw_only=True)
class _Unit(Code):
    """What gets a treatment as a whole; the fault for a leaf says why it is none."""

    def _read_spelled(self, value: str, at: str, reading: Reading) -> str:
        if value.casefold() not in _INSIDE_A_UNIT:
            return super()._read_spelled(value, at, reading)
        hint = "write sack, bed, tray or what they grew in, and which one each count is of"
        reading.fault(at, f"{shown(value)}: those of one sack are no separate tries", hint)
        return value


@dataclass(frozen=True, kw_only=True)
class _Label(Text):
    """The number or letters on a unit; an author may write a number without quotes."""

    def read(self, value: Any, at: str, reading: Reading) -> Any:
        """Read it as text."""
        number = reading.strict and isinstance(value, int) and not isinstance(value, bool)
        return super().read(str(value) if number else value, at, reading)


@dataclass(frozen=True, kw_only=True)
class _Counts(ListOf):
    """One number for each plant or leaf that was looked at in a unit; an author may write a single number alone."""

    def read(self, value: Any, at: str, reading: Reading) -> Any:
        """Read a list, or make one of a single number."""
        lone = reading.strict and isinstance(value, int | float | str)
        if value == []:
            reading.fault(at, "is empty", "fill it in, or leave it out")
        return super().read([value] if lone else value, at, reading)

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        return super()._schema(defs) | {"minItems": 1}


_ITEM = Either(
    options=(Text(max_chars=120), TextMap(max_chars=120)),
    hint="write an id of the names table, or the word in each language",
    named="item",
)
_WORDS = TextMap(max_chars=NOTE_MAX_CHARACTERS, named="words")
_COUNTS = _Counts(item=Number(high=MOST_COUNTED), max_items=MOST_COUNTS, named="counts")
_TOTALS = _Counts(item=Whole(low=1, high=MOST_COUNTED), max_items=MOST_COUNTS, named="totals")

_START = Record(
    fields={
        "date": Field(shape=DATE),
        "season": Field(shape=Code(codes=SEASONS), about="With `week`, where no clock is trusted."),
        "week": Field(shape=Whole(low=1, high=53), about="Of that season."),
        "day": Field(
            shape=Whole(high=100_000), about="The day number that the site counts, where no clock is trusted."
        ),
    }
)
_ARM = Record(
    fields={
        "name": Field(
            shape=TextMap(max_chars=60, named="name"), about="A few words that can stand before sacks: sprayed."
        ),
        "what": Field(shape=_WORDS, about="What exactly was done, with amounts."),
        "usual_way": Field(shape=Flag(), about="true for the way that the other is compared with."),
    },
    required=("name", "usual_way"),
)
_ROW = Record(
    fields={
        "label": Field(shape=_Label(max_chars=12), about="The number or letters on this unit. One row for each unit."),
        "arm": Field(shape=Whole(high=9), about="Which of `arms` it got, counted from 0."),
        "pair": Field(shape=Whole(low=1, high=MOST_UNITS), about="For paired halves: the number of its pair."),
        "counted": Field(
            shape=_COUNTS, about="One number for each plant or leaf; averaged to the unit before all else."
        ),
        "before": Field(shape=_COUNTS, about="The same before anything was done."),
        "out_of": Field(shape=_TOTALS, about="Of how many, one for each of `counted`: seeds sown, leaves looked at."),
        "day": Field(shape=Whole(high=MOST_DAYS), about="Days from the start to the count."),
        "knew_arm": Field(shape=Flag(), about="Whether who counted knew which way this unit got."),
        "lost": Field(shape=Code(codes=LOSSES), about="Why there is no count. A lost unit stays in the list."),
        "why": Field(shape=Text(max_chars=200), about="More about the loss. No names."),
    },
    required=("arm",),
)

TRIAL: Final = Record(
    fields={
        "question": Field(shape=Code(codes=tuple(QUESTIONS)), about="Which way is good is part of the code."),
        "crop": Field(shape=_ITEM, about="An id of the names table, or words."),
        "thing": Field(shape=_ITEM, about="What was counted or measured: an id of the names table, or words."),
        "measured_in": Field(shape=Code(codes=UNITS), about="A Unicode CLDR unit id; left out for a plain count."),
        "counted_per": Field(
            shape=Code(codes=COUNTED_PER),
            about="What each number was counted on, such as plant; left out where it is of the whole unit.",
        ),
        "design": Field(shape=Code(codes=DESIGNS), about="before-after has one way alone; it is kept, never pooled."),
        "unit": Field(shape=_Unit(codes=TRIED_UNITS), about="What got one way or the other as a whole."),
        "chosen": Field(shape=Code(codes=CHOSEN), about="How it was settled which unit gets which way."),
        "comparison": Field(shape=Code(codes=COMPARISONS), about="What the practice was compared with."),
        "arms": Field(shape=ListOf(item=_ARM, max_items=10), about="The practice and the usual way, in any order."),
        "units": Field(shape=ListOf(item=_ROW, max_items=MOST_UNITS), about="One row for each unit, lost ones too."),
        "start": Field(shape=_START, about="A date, or season and week, or a day number."),
        "bbch_at_start": Field(shape=Whole(high=99), about="Stage of growth by the BBCH scale."),
        "weather": Field(shape=Code(codes=WEATHERS)),
        "outcome": Field(shape=Code(codes=OUTCOMES), about="What the grower says came of it."),
        "harm_note": Field(shape=Text(max_chars=NOTE_MAX_CHARACTERS), about="What it did, to whom. No names."),
        "note": Field(shape=_WORDS, about="No names, no numbers of people."),
    },
    required=("question", "crop", "thing", "design", "unit", "chosen", "arms", "units", "start", "outcome"),
)
