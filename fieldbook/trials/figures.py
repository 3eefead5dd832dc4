"""A difference and its range in a reader's words: "about 12 fewer aphids per sack (likely 9 to 16 fewer)".

Not which differences may be shown. Its one rule: a figure has no more digits than its range bears out, and a range is
rounded outwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.practices.scaling import UNIT_NAMES
from fieldbook.trials.digits import in_34_digits

if TYPE_CHECKING:
    from fieldbook.trials.intervals import Interval

UNIT_WORDS: Final = {
    "bed": "bed", "bottle": "bottle", "drum": "drum", "household": "household", "pen": "pen", "sack": "sack",
    "tray": "tray", "tyre": "tyre", "animal": "animal", "fruit": "fruit", "leaf": "leaf", "plant": "plant",
}  # fmt: skip
UNITS_WORDS: Final = {
    "bed": "beds", "bottle": "bottles", "drum": "drums", "household": "households", "pen": "pens", "sack": "sacks",
    "tray": "trays", "tyre": "tyres",
}  # fmt: skip
DID_WORDS: Final = {  # of a share: what was asked of each
    "faster": "came in time",
    "less-pest": "had pests",
    "less-water": "had to be watered",
    "more-harvest": "gave a harvest",
    "more-sprout": "sprouted",
    "survives": "lived",
    "tastes-ok": "were liked",
}
_MEASURES: Final = {
    **UNIT_NAMES,
    "concentr-item": "",
    "concentr-percent": "%",
    "duration-day": "d",
    "duration-hour": "h",
    "duration-minute": "min",
    "temperature-celsius": "°C",
}
_FINENESS: Final = 4
"""A range is at least so many of the steps to which its ends are rounded. Source: ours."""


@dataclass(frozen=True)
class Difference:
    """What a difference is of, in a reader's words.

    Attributes:
        question: The code of the question.
        unit: The code of what got its way as a whole.
        per: The code of what each number was counted on.
        thing: What was counted.
        arm: The name of the practice's way.
        measured_in: A CLDR unit id; empty for a plain count.
        share: Whether the numbers are shares, said of 100.
    """

    question: str
    unit: str
    per: str
    thing: str
    arm: str
    measured_in: str
    share: bool


@in_34_digits
def number_of(value: Decimal | None, of: Difference) -> str:
    """A mean as it is shown: three digits that count; of a share how many of 100."""
    if value is None:
        return "none"
    shown = value * 100 if of.share else value
    step = Decimal(10) ** min(0, shown.adjusted() - 2) if shown else Decimal(1)
    text = _plain(shown.quantize(step, rounding=ROUND_HALF_EVEN))
    return f"{text}/100" if of.share else _with_unit(text, of)


@in_34_digits
def rounded(estimate: Decimal, low: Decimal, high: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    """Round an estimate to a step that its range bears out, and the range outwards to the same.

    The step is the largest power of ten of which the range holds four.
    Source: ours. Valid: low below high.
    """
    exponent = ((high - low) / _FINENESS).adjusted()
    step = Decimal(10) ** exponent
    return (
        (estimate / step).to_integral_value(ROUND_HALF_EVEN) * step,
        (low / step).to_integral_value(ROUND_FLOOR) * step,
        (high / step).to_integral_value(ROUND_CEILING) * step,
    )


@in_34_digits
def percents(found: Interval) -> tuple[str, str, str]:
    """A ratio or a share and its range as so many of 100, the range rounded outwards."""
    near, low, high = (100 * each for each in (found.estimate, found.low, found.high))
    return (
        f"{near.to_integral_value(ROUND_HALF_EVEN):f}",
        f"{low.to_integral_value(ROUND_FLOOR):f}",
        f"{high.to_integral_value(ROUND_CEILING):f}",
    )


def result(where: str, of: Difference, estimate: Decimal, low: Decimal, high: Decimal) -> str:
    """The sentence of a result: where, how much, and how far it may lie off.

    Args:
        where: such as "at one site".
        of: what it is of.
        estimate: practice less usual, in the unit of what was counted.
        low: the lower end of its range.
        high: the upper end.
    """
    near, least, most = _scaled(of, estimate, low, high)
    range_words = _likely(of, least, most)
    n = _amount(abs(near), of)
    if of.share:
        return _share_result(where, of, near, n, range_words)
    if of.question == "faster":
        return _time_result(where, of, near, n, range_words)
    arm, units, thing, per = of.arm, UNITS_WORDS[of.unit], of.thing, UNIT_WORDS[of.per]
    if not near:
        return f"{where}, “{arm}” {units} had about as much {thing} per {per} as the others ({range_words})"
    if near > 0:
        return f"{where}, “{arm}” {units} had about {n} more {thing} per {per} ({range_words})"
    if _counts(of):
        return f"{where}, “{arm}” {units} had about {n} fewer {thing} per {per} ({range_words})"
    return f"{where}, “{arm}” {units} had about {n} less {thing} per {per} ({range_words})"


def _share_result(where: str, of: Difference, near: Decimal, n: str, range_words: str) -> str:
    arm, units, thing, did = of.arm, UNITS_WORDS[of.unit], of.thing, DID_WORDS[of.question]
    if not near:
        return f"{where}, of 100 {thing} about as many {did} in “{arm}” {units} as in the others ({range_words})"
    if near > 0:
        return f"{where}, of 100 {thing} about {n} more {did} in “{arm}” {units} ({range_words})"
    return f"{where}, of 100 {thing} about {n} fewer {did} in “{arm}” {units} ({range_words})"


def _time_result(where: str, of: Difference, near: Decimal, n: str, range_words: str) -> str:
    arm, units, thing = of.arm, UNITS_WORDS[of.unit], of.thing
    if not near:
        return f"{where}, “{arm}” {units} reached {thing} at about the same time ({range_words})"
    if near > 0:
        return f"{where}, “{arm}” {units} reached {thing} about {n} later ({range_words})"
    return f"{where}, “{arm}” {units} reached {thing} about {n} sooner ({range_words})"


def likely(of: Difference, low: Decimal, high: Decimal) -> str:
    """A range alone: "likely 9 to 16 fewer"."""
    _, least, most = _scaled(of, low, low, high)
    return _likely(of, least, most)


def _likely(of: Difference, least: Decimal, most: Decimal) -> str:
    timed = of.question == "faster" and not of.share
    if least < 0 < most:
        low, high = _amount(-least, of), _amount(most, of)
        if timed:
            return f"likely between {low} sooner and {high} later"
        if _counts(of):
            return f"likely between {low} fewer and {high} more"
        return f"likely between {low} less and {high} more"
    low, high = _plain(min(abs(least), abs(most))), _amount(max(abs(least), abs(most)), of)
    if least >= 0:
        return f"likely {low} to {high} later" if timed else f"likely {low} to {high} more"
    if timed:
        return f"likely {low} to {high} sooner"
    return f"likely {low} to {high} fewer" if _counts(of) else f"likely {low} to {high} less"


def _scaled(of: Difference, estimate: Decimal, low: Decimal, high: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    if not of.share:
        return rounded(estimate, low, high)
    near, least, most = rounded(100 * estimate, 100 * low, 100 * high)
    return near, max(least, Decimal(-100)), min(most, Decimal(100))  # of 100 no more than 100 can differ


def _counts(of: Difference) -> bool:
    return of.share or of.measured_in in {"", "concentr-item"}


def _amount(value: Decimal, of: Difference) -> str:
    text = _plain(value)
    if of.measured_in == "duration-day" and not of.share:
        return f"{text} day" if text == "1" else f"{text} days"
    return text if of.share else _with_unit(text, of)


def _with_unit(text: str, of: Difference) -> str:
    unit = _MEASURES.get(of.measured_in, "")
    return f"{text} {unit}" if unit else text


def _plain(value: Decimal) -> str:
    """Digits with a point, without an exponent, a sign of nought or noughts behind the point."""
    text = f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"", "-0"} else text
