"""The answer of a sum as a page shows it: figures with their units in plain words, notes, tables and a picture.

Not the sums. Its one rule: every figure of an answer is shown under the words that its calculator gives it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from fieldbook.quantities.spacing import places
from fieldbook.sum_pictures import PLANTS_DRAWN_MOST, Part, Stop, bed_plan, divided_bar, loop
from fieldbook.web.sum_said import Figure, drawn, name_drawn

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from fieldbook.quantities import Calculator, Input, Output

    Answer = Mapping[str, Any]


@dataclass(frozen=True)
class Group:
    """Figures under one heading; ``note`` says what they are for, where that hangs on what was given."""

    words: str
    figures: tuple[Figure, ...]
    note: str = ""


@dataclass(frozen=True)
class Shown:
    """An answer for a page.

    Attributes:
        verdict: what it comes to, in a sentence; empty where a figure says it.
        figures: the figures that stand alone.
        groups: those that stand together.
        notes: what to mind.
        given: what it was reckoned from, so that a printed answer can be checked.
        picture: the sum as a drawing; empty where there is none.
        typed: what was typed, whose digits the figures take.
    """

    verdict: str
    figures: tuple[Figure, ...]
    groups: tuple[Group, ...]
    notes: tuple[str, ...]
    given: tuple[Figure, ...]
    picture: Markup
    typed: str


def shown_answer(calculator: Calculator, answer: Answer, given: Mapping[str, Any], *, typed: str = "") -> Shown:
    """Lay out the answer to what was given."""
    told = [(one, answer[one.name]) for one in calculator.outputs if answer.get(one.name) is not None]
    picture = _plan_of(calculator.name, given, answer) or _PICTURES.get(calculator.name, _no_picture)(answer)
    return Shown(
        verdict=str(answer.get("words", "")),
        figures=tuple(_figure(one.words, one, value) for one, value in told if one.name != "words" and _alone(value)),
        groups=tuple(group for one, value in told for group in _groups(one, value)),
        notes=tuple(text for _, value in told if isinstance(value, list) for text in value if isinstance(text, str)),
        given=tuple(_given(calculator.inputs, given)),
        picture=Markup(picture),  # noqa: S704 -- our own drawing, which escapes every word
        typed=typed,
    )


def _given(inputs: Iterable[Input], given: Mapping[str, Any], of: str = "", number: int = 0) -> Iterator[Figure]:
    """What was given, in the order of the form; rows by their number."""
    for each in inputs:
        value = given.get(each.name)
        if isinstance(value, list):
            for n, row in enumerate(value, start=1):
                yield from _given(each.rows, row, each.label, n)
        elif value is not None:
            said = dict(zip(each.choices, each.says or each.choices, strict=True)).get(value, value)
            yield Figure(each.label, str(said), each.unit, of, number)


def _alone(value: Any) -> bool:
    if isinstance(value, list):
        return bool(value) and isinstance(value[0], int)
    return not isinstance(value, dict) or "least" in value


def _figure(words: str, one: Output, value: Any) -> Figure:
    if isinstance(value, bool):
        return Figure(words, "yes" if value else "no")
    if isinstance(value, list):
        return Figure(words, ", ".join(map(str, value)))
    if isinstance(value, dict):
        value = f"{value['least']}–{value['most']}" if value["least"] != value["most"] else value["least"]
    return Figure(words, str(value), one.unit)


def _groups(one: Output, value: Any) -> Iterator[Group]:
    if isinstance(value, dict) and "least" not in value:
        yield Group(one.words, tuple(_rows(one, value)), str(value.get("words", "")))
    if isinstance(value, list) and value and isinstance(value[0], dict):
        yield Group(one.words, tuple(_figure(row["name"], one.rows[-1], row[one.rows[-1].name]) for row in value))


def _rows(one: Output, value: Mapping[str, Any]) -> Iterator[Figure]:
    return (_figure(row.words, row, value[row.name]) for row in one.rows if row.name in value and row.words)


def _no_picture(_answer: Answer) -> str:
    return ""


def mix_bar(title: str, parts: Sequence[tuple[str, Any, str]]) -> str:
    """A mix as a divided bar: of each part its words, its amount and the unit; empty where there is but one."""
    known = [(f"{words}: {amount} {unit}", float(amount)) for words, amount, unit in parts if float(amount) > 0]
    if len(known) < 2:
        return ""
    said = "; ".join(words for words, _ in known)
    return divided_bar(title=title, description=said, parts=[Part(words, share) for words, share in known])


def _mix_bar(answer: Answer) -> str:
    parts = [(name_drawn(row["name"]), row["wet_kg"], "kg") for row in answer["materials"]]
    return mix_bar(drawn("The heap by weight"), [*parts, (drawn("water"), answer["water_kg"], "kg")])


def _dilution_bar(answer: Answer) -> str:
    if "stock_l" not in answer:
        return ""
    parts = [(drawn("stock"), answer["stock_l"], "L"), (drawn("water"), answer["water_l"], "L")]
    return mix_bar(drawn("The can by volume"), parts)


def _batch_bar(answer: Answer) -> str:
    parts = [(drawn("steep"), answer["water_l"], "L"), (drawn("water to thin it"), answer["thinning_water_l"], "L")]
    return mix_bar(drawn("The thinned steep by volume"), parts)


def _plan(answer: Answer, *, length_mm: int, width_mm: int, spacing_mm: int, pattern: str) -> str:
    count = answer[pattern]
    if count > PLANTS_DRAWN_MOST:
        return ""
    bed = {"length_mm": length_mm, "width_mm": width_mm}
    stand = places(**bed, spacing_mm=spacing_mm, pattern=pattern)
    words = drawn(f"{count} plants, {spacing_mm} mm apart, on {length_mm} by {width_mm} mm")
    return bed_plan(title=drawn("Where they stand, to scale"), description=words, **bed, plants_mm=stand)


def _loop(answer: Answer) -> str:
    feed, bed, plants = answer["feed_g_day"], answer["leafy_bed_m2"], answer["leafy_plants"]
    stops = (
        Stop(
            (drawn(f"birds: {answer['birds_supported']} at most"),),
            drawn(f"dry dung: yours {answer['birds_dung_g_day']} g a day, and it bears {answer['dung_borne_g_day']} g"),
        ),
        Stop(
            (
                drawn(f"water with fish: {answer['fish_kg_supported']} kg at most"),
                drawn(f"feed {feed['least']} to {feed['most']} g a day"),
            ),
            drawn("old water, to the foot of the plants"),
        ),
        Stop(
            (
                drawn(f"bed of leaves: {bed['least']} to {bed['most']} m²"),
                drawn(f"{plants['least']} to {plants['most']} plants"),
            ),
            "",
        ),
    )
    said = "; ".join(f"{', '.join(stop.words)}{f' → {stop.onward}' if stop.onward else ''}" for stop in stops)
    back = drawn("Back: greens for the birds. Each amount is the most that this water bears, at your fish.")
    return loop(title=drawn("What goes round"), description=f"{said}. {back}", stops=stops, back=back)


_PICTURES: dict[str, Callable[[Answer], str]] = {
    "compost-mix": _mix_bar,
    "dilution": _dilution_bar,
    "manure-batch": _batch_bar,
    "linked-system": _loop,
}


def _plan_of(calculator: str, given: Mapping[str, Any], answer: Answer) -> str:
    """The plants of a bed or wall from above, to scale; empty for other sums, or where there are too many to draw."""
    sides = {"plants-that-fit": ("length_mm", "width_mm"), "bottle-wall": ("width_mm", "height_mm")}.get(calculator)
    if sides is None:
        return ""
    length, width = (int(str(given[side])) for side in sides)
    size = {"length_mm": length, "width_mm": width, "spacing_mm": int(str(given["spacing_mm"]))}
    return _plan(answer, **size, pattern=given["pattern"])
