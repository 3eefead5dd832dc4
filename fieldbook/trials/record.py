"""A trial as a frozen value, read from a document with all its faults at once.

Not what follows from it. Its one rule: one door (`read_trial`); an author's typing error is a fault, while what newer
software wrote elsewhere is kept as it came, and is left out of every sum where it is not understood.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.practices.faults import Fault, Reading, first_of
from fieldbook.practices.numbers import decimal_of
from fieldbook.trials.agreement import disagree
from fieldbook.trials.shape import HARMED, NOT_HEARD, QUESTIONS, TRIAL

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal


class TrialError(FieldbookError):
    """A trial that cannot be kept as it stands.

    Attributes:
        faults: every fault, in the order of the document.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Say the first fault, and how many there are."""
        super().__init__(first_of(faults, whole="the comparison"), hint=faults[0].hint)
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Arm:
    """One of the ways that are compared.

    Attributes:
        name: A few words, by language.
        what: What exactly was done, by language; empty where nobody said.
        usual_way: Whether it is the way that the practice is compared with.
    """

    name: Mapping[str, str]
    what: Mapping[str, str]
    usual_way: bool


@dataclass(frozen=True, slots=True)
class UnitRow:
    """One sack, bed or tray: which way it got, and what was counted in it.

    Attributes:
        label: The number or letters on it.
        arm: Which way it got, counted from 0.
        pair: The number of its pair, where halves are paired.
        counted: One number for each plant or leaf looked at; empty where it was lost.
        before: The same before anything was done.
        out_of: Of how many, one for each of `counted`; empty where that was not asked.
        day: Days from the start to the count [days].
        knew_arm: Whether who counted knew the way; None where it was not said.
        lost: Why there is no count, a code; empty where there is one.
        why: More about the loss.
    """

    label: str
    arm: int
    pair: int | None
    counted: tuple[Decimal, ...]
    before: tuple[Decimal, ...]
    out_of: tuple[Decimal, ...]
    day: int | None
    knew_arm: bool | None
    lost: str
    why: str


@dataclass(frozen=True)
class Trial:
    """One comparison, as one statement says it; the edition that was tried stands in that statement's `after`.

    Attributes:
        document: the body as it is signed. It is shared, so nobody may change it.
    """

    document: Mapping[str, Any]

    @property
    def question(self) -> str:
        """What was asked, a code of `QUESTIONS`, or one of newer software."""
        return str(self.document["question"])

    @property
    def good(self) -> str:
        """Which way is good: `lower` or `higher`; empty for a question of newer software."""
        return QUESTIONS.get(self.question, "")

    @property
    def design(self) -> str:
        """How it was laid out, a code."""
        return str(self.document["design"])

    @property
    def unit(self) -> str:
        """What got one way or the other as a whole, a code."""
        return str(self.document["unit"])

    @property
    def chosen(self) -> str:
        """How it was settled which unit gets which way, a code."""
        return str(self.document["chosen"])

    @property
    def comparison(self) -> str:
        """What the practice was compared with, a code; empty for before and after."""
        return str(self.document.get("comparison", ""))

    @property
    def outcome(self) -> str:
        """What the grower says came of it, a code."""
        return str(self.document["outcome"])

    @property
    def harmed(self) -> bool:
        """Whether it harmed somebody or something: for the top of the review queue."""
        return self.outcome == HARMED

    @property
    def measured_in(self) -> str:
        """The unit of what was counted, a CLDR id; empty for a plain count."""
        return str(self.document.get("measured_in", ""))

    @property
    def counted_per(self) -> str:
        """What each number was counted on, a code; empty where it is of the whole unit."""
        return str(self.document.get("counted_per", ""))

    @cached_property
    def arms(self) -> tuple[Arm, ...]:
        """The ways, in the order of the document."""
        return tuple(Arm(one["name"], one.get("what", {}), one["usual_way"]) for one in self.document["arms"])

    @cached_property
    def rows(self) -> tuple[UnitRow, ...]:
        """Every unit, lost ones too, in the order of the document."""
        return tuple(_row(one) for one in self.document["units"])

    @cached_property
    def losses(self) -> Counter[tuple[int, str]]:
        """How many units were lost, by way and reason; those that nobody heard of again are `not-heard`."""
        return Counter((row.arm, row.lost) for row in self.rows if row.lost)

    @property
    def silent(self) -> int:
        """How many units nobody heard of again."""
        return sum(count for (_, reason), count in self.losses.items() if reason == NOT_HEARD)

    @cached_property
    def disagreements(self) -> tuple[Fault, ...]:
        """Why its counts cannot be compared; empty for whatever was written here."""
        reading = Reading(strict=True)
        disagree(self.document, reading)
        return tuple(reading.faults)


def _row(row: Mapping[str, Any]) -> UnitRow:
    numbers = {
        name: tuple(number for value in row.get(name, ()) if (number := decimal_of(value)) is not None)
        for name in ("counted", "before", "out_of")
    }
    return UnitRow(
        label=row.get("label", ""),
        arm=row["arm"],
        pair=row.get("pair"),
        day=row.get("day"),
        knew_arm=row.get("knew_arm"),
        lost=row.get("lost", ""),
        why=row.get("why", ""),
        **numbers,
    )


def read_trial(document: object, *, strict: bool = True) -> Trial:
    """Read the body of a `fieldbook/trial`.

    Args:
        document: the parsed JSON of a trial.
        strict: somebody writes it here. False for what arrived from elsewhere: names and codes that are not known are
            kept, since newer software may have written them, and what its fields disagree on stands in
            `Trial.disagreements`.

    Raises:
        TrialError: it has faults; all of them are in it.
    """
    reading = Reading(strict=strict)
    kept = TRIAL.read(document, "", reading)
    if strict and not reading.faults:
        disagree(kept, reading)
    if reading.faults:
        raise TrialError(tuple(reading.faults))
    return Trial(kept)
