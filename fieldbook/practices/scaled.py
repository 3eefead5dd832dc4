"""A practice recomputed for one's own size, as a frozen value that can be kept as a document and read again.

Not the reckoning (``scaling``). Its one rule: exact and round figures stand side by side, and so does what the entry
itself says.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.practices.numbers import decimal_of, kept_number
from fieldbook.quantities import number as figure

if TYPE_CHECKING:
    from collections.abc import Mapping

_PLACES = Decimal("1e-9")  # of an exact figure when it is kept; nobody measures finer


class ScalingError(FieldbookError):
    """A practice cannot be recomputed as asked."""


@dataclass(frozen=True)
class Base:
    """What of an entry a reader's own is compared with.

    Attributes:
        key: ``container``, ``ground``, ``batch``, or ``material-`` and its place in the list.
        item: what it is: words, or a text by language.
        amount: as the entry says.
        unit: L, mL, kg, g, m, cm, mm, m² or pieces.
    """

    key: str
    item: Any
    amount: Decimal
    unit: str


@dataclass(frozen=True)
class ScaledThing:
    """One material for one's own size.

    Attributes:
        number: its place in the entry's list, from 0; -1 for what a batch gives, -2 for ground and weight.
        item: as the entry names it.
        was: as the entry says, in ``was_unit``.
        was_unit: that unit.
        exact: for one's own size.
        near: the round figure to measure by; of pieces the exact one.
        unit: of both.
    """

    number: int
    item: Any
    was: int | str
    was_unit: str
    exact: Decimal
    near: Decimal
    unit: str

    @property
    def change(self) -> str:
        """What becomes of an amount in the words of a step: ``2 kg becomes 500 g``."""
        return f"{amount_words(Decimal(str(self.was)), self.was_unit)} becomes {self.mine}"

    @property
    def mine(self) -> str:
        """The round amount in words; between two whole pieces both stand."""
        whole = int(self.near)
        return (
            amount_words(self.near, self.unit)
            if self.unit != "pieces" or whole == self.near
            else f"{whole}–{whole + 1}"
        )


@dataclass(frozen=True)
class Mark:
    """One figure in the words of a step: where it stands, and whose it is; None where it is no material's."""

    start: int
    end: int
    thing: ScaledThing | None


@dataclass(frozen=True)
class ScaledStep:
    """One step.

    Attributes:
        number: from 1.
        day_offset: its day; None where the entry gives none.
        named: what its words name that changes, in any of its languages.
        others: True where they name amounts of which that is not known.
        marks: by language, where in its words each of them stands.
    """

    number: int
    day_offset: int | None
    named: tuple[ScaledThing, ...]
    others: bool
    marks: Mapping[str, tuple[Mark, ...]]

    @property
    def changes(self) -> str:
        """What becomes of all its amounts, and which are left as the entry has them; empty where it names none."""
        found = "; ".join(thing.change for thing in self.named)
        if not self.others:
            return found
        return f"{found}; its other amounts are those of the entry" if found else "its amounts are those of the entry"


@dataclass(frozen=True)
class Scaled:
    """A practice for one's own size.

    Attributes:
        base: what the reader's own was compared with.
        amount: what they have of it, in ``unit``.
        unit: as they said it.
        factor: how many times the entry it is.
        things: the materials that have an amount.
        gives: what a batch gives; None where the entry does not say, or not by the batch.
        mixing: stock and water [L] of the batch; None where it is not thinned by volume.
        steps: each step's day and the amounts in its words.
        stays: what does not scale, in whole sentences.
    """

    base: Base
    amount: Decimal
    unit: str
    factor: Decimal
    things: tuple[ScaledThing, ...]
    gives: ScaledThing | None
    mixing: tuple[Decimal, Decimal] | None
    steps: tuple[ScaledStep, ...]
    stays: tuple[str, ...]

    def as_document(self) -> dict[str, Any]:
        """As JSON, for whoever keeps it with a begun practice; what the entry itself holds is left out."""
        return {
            "base": self.base.key,
            "amount": kept_number(self.amount),
            "unit": self.unit,
            "factor": _kept(self.factor),
            "things": [
                {"number": one.number, "exact": _kept(one.exact), "near": _kept(one.near), "unit": one.unit}
                for one in self.things
            ],
            "stays": list(self.stays),
        }


def kept_size(document: Any) -> tuple[str, Decimal, str]:
    """The base, amount and unit of a size that was kept, to recompute the practice by.

    Args:
        document: what `Scaled.as_document` gave.

    Raises:
        ScalingError: it is no such document.
    """
    parts = document if isinstance(document, dict) else {}
    base, unit, amount = parts.get("base"), parts.get("unit"), decimal_of(parts.get("amount"))
    if not isinstance(base, str) or not isinstance(unit, str) or not amount or amount < 0:
        raise ScalingError(
            "the size that was kept cannot be read", hint="choose your own size anew on the entry's page"
        )
    return base, amount, unit


def amount_words(amount: Decimal, unit: str) -> str:
    """An amount with its unit; pieces are mere numbers."""
    words = str(figure(amount, places=3))
    return words if unit == "pieces" else f"{words} {unit}"


def _kept(exact: Decimal) -> int | str:
    return kept_number(exact.quantize(_PLACES).normalize())
