"""The forms of a site's climate: twelve months in boxes or as a table, and what people know of their rain.

From forms to values; no page, no file. Its one rule: all faults of a form at once, each beside its own box, in the
words of those who keep the rule (``climate``).
"""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING

from fieldbook.climate.monthly import METHODS
from fieldbook.climate.normals import NormalsError, read_normals
from fieldbook.errors import FieldbookError
from fieldbook.site.season import check_climate
from fieldbook.web.words import retold, told

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fieldbook.climate.monthly import Method
    from fieldbook.climate.place import Place

COLUMNS = ("rain_mm", "tmin_c", "tmax_c")
RAIN_OF_YEAR_MAX_MM = 15_000  # wetter than anywhere on earth: then it was no millimetres
_COLUMN_WORDS = {"rain_mm": "the rain", "tmin_c": "the coolest", "tmax_c": "the warmest"}
_ORDINARY = ("10", "10", "20")  # stands for the other months while one is judged by itself
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_WHOLE_MM = re.compile(r"[0-9]{1,5}")

Answers = dict[str, list[str]]
Faults = dict[str, str]


def one(answers: Mapping[str, Sequence[str]], name: str) -> str:
    """One answer as it was typed, without the blanks around it; nothing where it was not given."""
    return (answers.get(name) or [""])[0].strip()


def said_by_check(check: Callable[[], object]) -> str:
    """What a check says, as sentences; nothing where all is well."""
    try:
        check()
    except FieldbookError as error:
        return told(error.message, error.hint)
    return ""


def with_point(text: str) -> str:
    """A figure with a decimal point; many write a comma."""
    return text.replace(",", ".") if _DECIMAL_COMMA.fullmatch(text) else text


def ticked_months(answers: Answers, name: str) -> frozenset[int]:
    """The months that were ticked, 1 to 12; anything else is passed over."""
    return frozenset(int(month) for month in answers.get(name, []) if month in map(str, range(1, 13)))


def cell(column: str, month: int) -> str:
    """The name of the box of one figure; ``month`` is 1 to 12."""
    return f"{column}.{month}"


def normals_text(answers: Answers) -> str:
    """The twelve months as a table: what was pasted, else what stands in the boxes."""
    pasted = one(answers, "table")
    return pasted or _table([_figures(answers, month) for month in range(1, 13)])


def faults_at(answers: Answers, place: Callable[[], Place], method: Method = METHODS[0]) -> Faults:
    """What is wrong with twelve months, by the name of the box: by themselves, else at the place where they hold."""
    faults = {name: fault for name, fault in climate_faults(answers).items() if fault}
    if faults:
        return faults
    return {"table": said_by_check(lambda: check_climate(read_normals(normals_text(answers)), place(), method))}


def climate_faults(answers: Answers) -> Faults:
    """What is wrong with twelve months by themselves, by the name of the box."""
    filled = any(figure for month in range(1, 13) for figure in _figures(answers, month))
    if one(answers, "table"):
        twice = told("the boxes and the table are both filled in", "fill in the boxes or paste a table, not both")
        return {"table": twice if filled else said_by_check(lambda: read_normals(one(answers, "table")))}
    if not filled:
        return {"table": told("there are no figures", "fill in twelve months, or paste them as a table")}
    return {f"month.{month}": _month_fault(_figures(answers, month), month) for month in range(1, 13)}


def rain_of_year_fault(answers: Answers) -> str:
    """What is wrong with the rain of a year; it may be left out."""
    typed = one(answers, "year_rain")
    if not typed or (_WHOLE_MM.fullmatch(typed) and int(typed) <= RAIN_OF_YEAR_MAX_MM):
        return ""
    return told("this is no rain of a year", "write whole millimetres, such as 800, or leave it empty")


def rain_of_year_mm(answers: Answers) -> float | None:
    """What people know of the rain of a year [mm]; None where they left it out."""
    typed = one(answers, "year_rain")
    return float(typed) if typed and not rain_of_year_fault(answers) else None


def _figures(answers: Answers, month: int) -> tuple[str, ...]:
    return tuple(with_point(one(answers, cell(column, month))) for column in COLUMNS)


def _table(rows: Sequence[Sequence[str]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("month", *COLUMNS))
    writer.writerows((number, *row) for number, row in enumerate(rows, start=1))
    return text.getvalue()


def _month_fault(figures: tuple[str, ...], month: int) -> str:
    """What is wrong with one month, judged among eleven ordinary ones."""
    try:
        read_normals(_table([figures if number == month else _ORDINARY for number in range(1, 13)]))
    except NormalsError as error:
        faults = "; ".join(error.faults)
        for column, said in _COLUMN_WORDS.items():
            faults = faults.replace(column, said)
        return retold(faults)
    return ""
