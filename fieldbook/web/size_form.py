"""The form of one's own size read back: what is compared, how much of it there is, and the first day.

Not the reckoning. Its one rule: what is wrong is said at its box, and nothing is reckoned from half of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError
from fieldbook.practices.scaling import scale
from fieldbook.quantities import InputError
from fieldbook.quantities.reading import read_inputs
from fieldbook.web.size_words import SIZE_INPUTS, day_of, ground_lines
from fieldbook.web.sum_form import MEASURE, document_of, faults_by_box, first, in_unit
from fieldbook.web.words import Told, retold, told

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from fieldbook.practices import Entry
    from fieldbook.practices.scaled import Scaled
    from fieldbook.quantities.measures import LocalMeasure
    from fieldbook.web.sum_form import Typed

_MM2_IN_M2 = 1_000_000


@dataclass(frozen=True)
class OwnSize:
    """What came of a form.

    Attributes:
        scaled: the practice for it; None where nothing was asked, or something is wrong.
        ground: what the reader's own ground takes, in sentences.
        begun: the first day, where one was given.
        faults: what is wrong, by box.
    """

    scaled: Scaled | None
    ground: tuple[str, ...]
    begun: dt.date | None
    faults: dict[str, Told]


def own_size(entry: Entry, typed: Typed, measures: Sequence[LocalMeasure]) -> OwnSize:
    """Reckon an entry for what was typed."""
    faults: dict[str, Told] = {}
    begun = _first_day(typed, faults)
    if "amount" not in typed:
        return OwnSize(None, (), begun, faults)
    try:
        read = read_inputs(SIZE_INPUTS, document_of(SIZE_INPUTS, typed, ()), plain=True)
    except InputError as error:
        faults |= {name: retold(fault) for name, fault in faults_by_box(error, SIZE_INPUTS, typed).items()}
        return OwnSize(None, (), begun, faults)
    amount, unit = _as_known(read["amount"], first(typed, "in"), measures)
    sides = _sides_mm(amount, unit, read["across"], typed, measures)
    if sides is not None:
        amount, unit = sides[0] * sides[1] / _MM2_IN_M2, "m²"
    try:
        scaled = scale(entry, base=first(typed, "base"), amount=amount, unit=unit)
        return OwnSize(scaled, ground_lines(entry, scaled, _whole(sides)), begun, faults)
    except FieldbookError as error:
        faults["amount"] = told(error.message, error.hint)
        return OwnSize(None, (), begun, faults)


def _first_day(typed: Typed, faults: dict[str, Told]) -> dt.date | None:
    try:
        return day_of(first(typed, "begin"))
    except FieldbookError as error:
        faults["begin"] = told(error.message, error.hint)
        return None


def _sides_mm(
    amount: Decimal, unit: str, across: Decimal | None, typed: Typed, measures: Sequence[LocalMeasure]
) -> tuple[Decimal, Decimal] | None:
    """Length and width of ground [mm]; None where no width was given, or the first is no length."""
    length = in_unit(amount, unit, "mm", ())
    if across is None or length is None:
        return None
    width = in_unit(*_as_known(across, first(typed, "in"), measures), "mm", ())
    return None if width is None else (length, width)


def _whole(sides: tuple[Decimal, Decimal] | None) -> tuple[int, int] | None:
    if sides is None:
        return None
    length, width = (int(side.to_integral_value(rounding=ROUND_HALF_EVEN)) for side in sides)
    return length, width


def _as_known(amount: Decimal, unit: str, measures: Sequence[LocalMeasure]) -> tuple[Decimal, str]:
    """An amount in a unit that everybody knows, where it was typed in a measure of the site."""
    own = next((one for one in measures if unit == f"{MEASURE}{one.number}"), None)
    return (amount, unit) if own is None else (amount * own.holds, own.unit)
