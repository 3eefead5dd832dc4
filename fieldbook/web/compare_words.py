"""The words of comparisons on pages: what is asked, what is counted, which way each unit got.

Not the figures that follow from the counts (``fieldbook.trials``). Its one rule: a lost unit and a failure stand in
the same words, of the same size, as a success.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from fieldbook.languages import autonym
from fieldbook.web.said import Said, in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.practices.faults import Fault
    from fieldbook.site.trial_papers import TrialPaper
    from fieldbook.web.words import Told

QUESTION_WORDS: Final = {
    "less-pest": "fewer pests",
    "more-harvest": "more harvest",
    "more-sprout": "more that sprouts",
    "survives": "more that lives on",
    "less-water": "less water",
    "faster": "sooner ready",
    "tastes-ok": "people like the taste",
}
UNIT_WORDS: Final = {  # one, several
    "sack": ("sack", "sacks"),
    "bed": ("bed", "beds"),
    "bottle": ("bottle", "bottles"),
    "drum": ("drum", "drums"),
    "tray": ("tray", "trays"),
    "tyre": ("tyre", "tyres"),
    "pen": ("pen", "pens"),
    "household": ("household", "households"),
}
UNIT_LIST: Final = tuple((code, one) for code, (one, _) in UNIT_WORDS.items())
COMPARISON_WORDS: Final = {
    "water-only": "water only",
    "nothing": "nothing done",
    "usual-way": "what people here usually do",
    "other-practice": "another practice",
}
DESIGN_WORDS: Final = {
    "side-by-side": "two groups, mixed by lot",
    "paired-halves": "pairs: two that are alike stand together, or two halves of one; the lot decides between both",
    "before-after": "before and after only",
}
CHOSEN_WORDS: Final = {"by-lot": "drawn by lot", "alternate": "in turn", "chosen": "chosen by somebody"}
LOSS_WORDS: Final = {
    "died": "it died",
    "eaten": "animals ate it",
    "stolen": "it was taken",
    "broken": "it broke",
    "flooded": "it was flooded",
    "moved": "it was moved away",
    "not-heard": "nobody heard of it again, or nobody counted",
    "other": "another reason",
}
OUTCOME_WORDS: Final = {
    "worked": "It worked",
    "partly": "It worked in part",
    "no": "It did not work",
    "harmed": "It hurt someone, or an animal",
}
WEATHER_WORDS: Final = {
    "usual": "as usual",
    "dry": "dry",
    "wet": "wet",
    "hot": "hot",
    "cold": "cold",
    "storm": "a storm",
}
SEASON_WORDS: Final = {
    "rains": "the rains",
    "long-rains": "the long rains",
    "short-rains": "the short rains",
    "dry": "the dry season",
    "cold": "the cold season",
    "hot": "the hot season",
}
PER_WORDS: Final = {"plant": "plant", "leaf": "leaf", "fruit": "fruit", "animal": "animal"}
MEASURE_WORDS: Final = {
    "": "number of things counted",
    "mass-gram": "grams",
    "volume-milliliter": "millilitres",
    "volume-liter": "litres",
    "duration-day": "days",
}


@dataclass(frozen=True)
class UnitLine:
    """One sack, bed or tray of a comparison: its label, its way, and what is known of it.

    Attributes:
        row: its number, from 0.
        label: the number or letters on it.
        way: what it got.
        usual: True for the way that the practice is compared with.
        before: the counts before, as they are shown.
        counted: the counts after.
        day: days from the start to the count; None where it was not counted.
        lost: why there is no count, in words; empty where there is one or it is not known yet.
        why: more about the loss.
        state: what is there: nothing, before, counted or lost.
    """

    row: int
    label: str
    way: Said | None
    usual: bool
    before: str
    counted: str
    day: int | None
    lost: str
    why: str
    state: str


def tongues(tags: Iterable[str]) -> list[tuple[str, str]]:
    """Languages to choose from, each by its own name."""
    return [(tag, autonym(tag)) for tag in tags]


def unit_words(unit: str, number: int = 2) -> str:
    """What got one way or the other as a whole, in words."""
    one, several = UNIT_WORDS.get(unit, (unit, unit))
    return one if number == 1 else several


def unit_lines(body: Mapping[str, Any], languages: Sequence[str]) -> list[UnitLine]:
    """Every unit of a trial, lost ones too, in order."""
    ways = [(in_language(arm["name"], languages), bool(arm["usual_way"])) for arm in body["arms"]]
    return [_line(n, row, ways) for n, row in enumerate(body["units"])]


def _line(number: int, row: Mapping[str, Any], ways: Sequence[tuple[Said | None, bool]]) -> UnitLine:
    way, usual = ways[row["arm"]] if row["arm"] < len(ways) else (None, False)
    states = ("lost", "counted", "before")
    return UnitLine(
        row=number,
        label=str(row.get("label", number + 1)),
        way=way,
        usual=usual,
        before=_numbers(row.get("before"), None),
        counted=_numbers(row.get("counted"), row.get("out_of")),
        day=row.get("day"),
        lost=LOSS_WORDS.get(row.get("lost", ""), str(row.get("lost", ""))),
        why=str(row.get("why", "")),
        state=next((state for state in states if state in row), "nothing"),
    )


def _numbers(counts: Sequence[Any] | None, totals: Sequence[Any] | None) -> str:
    if not counts:
        return ""
    if totals:
        return ", ".join(f"{some} of {every}" for some, every in zip(counts, totals, strict=False))
    return ", ".join(str(one) for one in counts)


def start_words(start: Mapping[str, Any]) -> str:
    """When a comparison began, in words."""
    if "date" in start:
        return str(start["date"])
    if "day" in start:
        return f"day {start['day']} of this site"
    season = SEASON_WORDS.get(str(start.get("season", "")), str(start.get("season", "")))
    return f"week {start.get('week', '')} of {season}"


def row_values(paper: TrialPaper, number: int) -> dict[str, Any]:
    """What stands in the boxes of one unit: lists as long as there are boxes."""
    row, boxes = paper.body["units"][number], max(paper.per_unit, 1)
    totals = row.get("out_of") or ([paper.out_of] * boxes if paper.out_of else [])

    def filled(values: Sequence[Any]) -> list[str]:
        return [str(value) for value in (*values, *[""] * boxes)][: max(boxes, len(values))]

    knew = row.get("knew_arm")
    return {
        "before": filled(row.get("before") or ()),
        "counted": filled(row.get("counted") or ()),
        "out_of": filled(totals),
        "day": str(row.get("day", paper.day)),
        "knew_arm": "" if knew is None else ("yes" if knew else "no"),
        "lost": str(row.get("lost", "")),
        "why": str(row.get("why", "")),
    }


def faults_at(faults: Sequence[Fault], told: Any, boxes: Sequence[str]) -> dict[str, list[Told]]:
    """Each fault at the box that it is about; what is about none of them stands under the empty name."""
    found: dict[str, list[Told]] = {}
    for fault in faults:
        stem = fault.field.partition("[")[0].partition(".")[0]
        found.setdefault(stem if stem in boxes else "", []).append(told(fault.message, fault.hint))
    return found
