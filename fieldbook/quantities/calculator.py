"""A calculator as people and machines meet it: what it asks, what it answers, where that comes from, what to beware of.

Not the sums (they stand in the modules beside this one). Its one rule: no answer leaves without its method, its sources
and its cautions, and none of them says "safe".
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, localcontext
from typing import TYPE_CHECKING, Final

from fieldbook.quantities.reading import Given, read_inputs
from fieldbook.sources import SOURCES

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.quantities.reading import Input

_DIGITS = 34  # exact far beyond what is shown, and the same on every machine (IEEE 754, decimal128)


WORDY_UNITS: Final = ("days", "g a year", "g/day", "% of wet", "% of dry", "to 1", "mm/day", "L/m²/day", "yes", "no")
"""Units that are words, and the words of what is so or not: said in the reader's language. Source: ours."""


def note(words: str) -> str:
    """A sentence of an answer: what it comes to, or what to mind."""
    return words


@dataclass(frozen=True)
class Output:
    """One figure of an answer, as people read it.

    Attributes:
        name: its field in the answer.
        words: what it is called, in plain words.
        unit: for people; empty where it has none.
        rows: for a list or a group of figures, what stands in each.
    """

    name: str
    words: str
    unit: str = ""
    rows: tuple[Output, ...] = ()


@dataclass(frozen=True)
class Calculator:
    """One calculator.

    Attributes:
        name: as typed, for example ``compost-mix``.
        title: for people.
        purpose: what people use it for, in a few words.
        method: how it computes, in a sentence.
        valid: where it holds.
        inputs: what it asks for.
        outputs: every figure that an answer can hold, in the order in which people read them.
        answer: from what was read to the figures.
        sources: keys of works.
        cautions: what to beware of, in whole sentences.
    """

    name: str
    title: str
    purpose: str
    method: str
    valid: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    answer: Callable[[Given], Given]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]

    def run(self, document: object, *, plain: bool = False) -> Given:
        """Compute from JSON to JSON: the figures, then method, validity, sources and cautions.

        Args:
            document: what is given, as parsed JSON.
            plain: say by labels, not by fields, what is wrong with it.

        Raises:
            QuantityError: something given is missing or out of range, or it has no answer.
        """
        with localcontext() as context:
            context.prec = _DIGITS
            context.rounding = ROUND_HALF_EVEN
            figures = self.answer(read_inputs(self.inputs, document, plain=plain))
        return {
            "calculator": self.name,
            **figures,
            "method": self.method,
            "valid": self.valid,
            "sources": [{"key": key, "words": SOURCES[key].words, "mark": SOURCES[key].mark} for key in self.sources],
            "cautions": list(self.cautions),
        }

    def described(self) -> Given:
        """What it asks for and what it does, for ``--describe``."""
        return {
            "calculator": self.name,
            "title": self.title,
            "method": self.method,
            "valid": self.valid,
            "inputs": [each.as_document() for each in self.inputs],
        }
