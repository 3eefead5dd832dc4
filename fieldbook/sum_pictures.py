"""Pictures of sums and comparisons as small SVG in one ink: parts of a mix, plants on a bed, what goes round, spans.

What it is: pure functions from figures and words to text. What it is not: a source of words or of figures. Its one
rule: a picture needs nothing from outside it and says in its title and description what it shows; beside it stands a
table of the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from math import ceil, floor, isfinite, log10
from textwrap import wrap
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_WIDTH: Final = 320  # pixels: the narrowest screen that is served, so that nothing shrinks on it
_TYPE: Final = 18  # 16 px where the picture is 288 px wide
_LINE: Final = 22
_LETTERS: Final = 27  # that fit beside a sample
_IN_BOX_LETTERS: Final = 24
_ACROSS_LETTERS: Final = 30
_EDGE: Final = 22  # room beside the outermost marks for their figures
_TALLEST: Final = 420  # pixels: more does not fit a phone's screen
_CONTROL: Final = dict.fromkeys((*range(32), 127), " ")
PLANTS_DRAWN_MOST: Final = 600  # more are a grey field, and a heavy page
_HATCHES: Final = ("", "M0 6L6 0", "M0 0L6 6", "M0 3h6", "M3 0v6", "M0 6L6 0M0 0L6 6")


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a whole: its words and its share, above 0, in any unit."""

    words: str
    share: float


def divided_bar(*, title: str, description: str, parts: Sequence[Part]) -> str:
    """A whole as one bar, divided by shares, with a line of words for each part beneath.

    Args:
        title: what it shows.
        description: the same in words.
        parts: in order; those of no share are left out of the bar.
    """
    shown = [part for part in parts if part.share > 0]
    whole = sum(part.share for part in shown) or 1.0
    drawn, left, bottom = [], 2.0, 66.0
    for number, part in enumerate(shown):
        wide = (_WIDTH - 4) * part.share / whole
        drawn += [_box(left, 4, wide, 44, fill=_fill(number)), _box(2, bottom, 24, 18, fill=_fill(number))]
        left += wide
        for line in wrap(part.words, _LETTERS) or [""]:
            drawn.append(_words(34, bottom + 15, line))
            bottom += _LINE
        bottom += 6
    used = range(1, min(len(shown), len(_HATCHES)))
    return _Picture("mix", title, description).drawn(
        f"<defs>{''.join(map(_pattern, used))}</defs>{''.join(drawn)}", bottom
    )


def bed_plan(
    *, title: str, description: str, length_mm: int, width_mm: int, plants_mm: Sequence[tuple[float, float]]
) -> str:
    """A bed from above, to scale, with a dot for each plant.

    Args:
        title: what it shows.
        description: the same in words.
        length_mm: across the picture [mm].
        width_mm: down the picture [mm].
        plants_mm: where each plant stands, from one corner [mm].
    """
    scale = min((_WIDTH - 4) / length_mm, _TALLEST / width_mm)
    thick = max(3.0, min(18.0, scale * _between_mm(plants_mm, length_mm) / 2))
    dots = "".join(f"M{_short(2 + x * scale)} {_short(2 + y * scale)}h0" for x, y in plants_mm)
    plants = f'<path d="{dots}" stroke="#000" stroke-width="{_short(thick)}" stroke-linecap="round" fill="none"/>'
    bed = _box(2, 2, length_mm * scale, width_mm * scale, fill="none")
    return _Picture("bed", title, description).drawn(bed + plants, width_mm * scale + 4)


def _between_mm(plants_mm: Sequence[tuple[float, float]], length_mm: int) -> float:
    """How far the first two plants of a row stand apart [mm]."""
    first, second = (*plants_mm, (0.0, -1.0), (0.0, -2.0))[:2]
    return second[0] - first[0] if first[1] == second[1] else length_mm / 4


@dataclass(frozen=True, slots=True)
class Stop:
    """One place that something goes through: its words, and what goes on from it to the next."""

    words: tuple[str, ...]
    onward: str


def loop(*, title: str, description: str, stops: Sequence[Stop], back: str) -> str:
    """A round from place to place, top to bottom, with amounts on its arrows and one arrow back to the top.

    Args:
        title: what it shows.
        description: the same in words.
        stops: in order; the last one's onward words stand on no arrow.
        back: what goes from the last to the first.
    """
    drawn, bottom, middles = list[str](), 4.0, list[float]()
    for number, stop in enumerate(stops):
        lines = [line for words in stop.words for line in wrap(words, _IN_BOX_LETTERS)]
        tall = len(lines) * _LINE + 14
        drawn.append(_box(2, bottom, 260, tall, fill="#fff"))
        drawn += [_words(12, bottom + 22 + n * _LINE, line) for n, line in enumerate(lines)]
        middles.append(bottom + tall / 2)
        bottom += tall
        if number + 1 < len(stops):
            amounts = wrap(stop.onward, _IN_BOX_LETTERS) or [""]
            long = len(amounts) * _LINE + 14
            drawn.append(_arrow(f"M24 {_short(bottom)}v{_short(long - 4)}m-7 -10l7 10l7 -10"))
            drawn += [_words(44, bottom + 24 + n * _LINE, line) for n, line in enumerate(amounts)]
            bottom += long
    drawn.append(_arrow(f"M262 {_short(middles[-1])}h28V{_short(middles[0])}h-26m10 -7l-10 7l10 7"))
    for line in wrap(back, _ACROSS_LETTERS):
        bottom += _LINE
        drawn.append(_words(2, bottom, line))
    return _Picture("loop", title, description).drawn("".join(drawn), bottom + 8)


@dataclass(frozen=True, slots=True)
class Span:
    """A figure and how far it may lie from the truth.

    Attributes:
        words: whose it is.
        low: the lower end.
        middle: the figure itself, between both ends.
        high: the upper end.
        together: True where it stands for all the others.
    """

    words: str
    low: float
    middle: float
    high: float
    together: bool = False


def spans_picture(
    *, title: str, description: str, spans: Sequence[Span], same: float, same_words: str, key: str = "spans"
) -> str:
    """Spans beneath one another over one scale, with an upright line where there is no difference.

    Args:
        title: what it shows.
        description: the same in words.
        spans: in order, in one unit; those that stand for all others are drawn as a thick bar.
        same: where there is no difference, in that unit.
        same_words: what stands at that line.
        key: begins the ids inside, so that several can stand on one page.

    Raises:
        ValueError: an end is no finite number.
    """
    ends = [end for span in spans for end in (span.low, span.middle, span.high)]
    if not all(map(isfinite, [*ends, same])):
        raise ValueError("an end of a span is no finite number")
    low, high = min(*ends, same), max(*ends, same)
    step = _round_step((high - low) or 1.0)
    low, high = floor(low / step) * step, ceil(high / step) * step
    wide = high - low or step

    def across(value: float) -> float:
        return _EDGE + (_WIDTH - 2 * _EDGE) * (value - low) / wide

    drawn, bottom = list[str](), 4.0
    for span in spans:
        for line in wrap(span.words, _ACROSS_LETTERS) or [""]:
            bottom += _LINE
            drawn.append(_words(2, bottom - 4, line))
        drawn.append(_span(span, across, bottom + 9))
        bottom += 26
    marks = [low + n * step for n in range(round(wide / step) + 1)]
    upright = f'<path d="M{_short(across(same))} 2V{_short(bottom)}" stroke="#000" stroke-dasharray="4 4"/>'
    scale = "".join(f"M{_short(across(mark))} {_short(bottom)}v8" for mark in marks)
    drawn.append(f'<path d="M{_EDGE} {_short(bottom)}H{_WIDTH - _EDGE}{scale}" fill="none" stroke="#000"/>')
    drawn += [_words(across(mark), bottom + 26, f"{mark:.6g}", anchor="middle") for mark in marks]
    bottom += 26
    for line in wrap(same_words, _ACROSS_LETTERS):
        bottom += _LINE
        drawn.append(_words(2, bottom, line))
    return _Picture(key, title, description).drawn(upright + "".join(drawn), bottom + 8)


def _round_step(range_of_all: float) -> float:
    """A step of 1, 2 or 5 and noughts, by which a range has three to seven marks."""
    power = 10.0 ** floor(log10(range_of_all))
    return next(power * part for part in (0.2, 0.5, 1.0, 2.0) if range_of_all / (power * part) <= 5)


def _span(span: Span, across: Callable[[float], float], middle: float) -> str:
    left, right, dot = (_short(across(value)) for value in (span.low, span.high, span.middle))
    up, down = _short(middle - 7), _short(middle + 7)
    if span.together:
        bar = f"M{left} {_short(middle)}L{dot} {up}L{right} {_short(middle)}L{dot} {down}z"
        return f'<path d="{bar}" fill="#000" stroke="#000" stroke-width="2"/>'
    line = f"M{left} {up}V{down}M{right} {up}V{down}M{left} {_short(middle)}H{right}"
    point = f'<circle cx="{dot}" cy="{_short(middle)}" r="5" fill="#000"/>'
    return f'<path d="{line}" fill="none" stroke="#000" stroke-width="2"/>{point}'


@dataclass(frozen=True, slots=True)
class _Picture:
    """A picture's key on its page, its title and what it shows in words."""

    key: str
    title: str
    description: str

    def drawn(self, body: str, height: float) -> str:
        """The whole picture."""
        key = self.key
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_short(height)}" role="img" '
            f'aria-labelledby="{key}-title {key}-desc" direction="ltr" fill="#000" font-size="{_TYPE}">'
            f'<title id="{key}-title">{_text(self.title)}</title><desc id="{key}-desc">{_text(self.description)}</desc>'
            f"{body}</svg>"
        )


def _fill(number: int) -> str:
    hatch = number % len(_HATCHES)
    return f"url(#mix-{hatch})" if hatch else "#fff"


def _pattern(hatch: int) -> str:
    return (
        f'<pattern id="mix-{hatch}" width="6" height="6" patternUnits="userSpaceOnUse">'
        f'<path d="M0 0h6v6H0z" fill="#fff"/><path d="{_HATCHES[hatch]}" stroke="#000"/></pattern>'
    )


def _box(left: float, top: float, wide: float, tall: float, *, fill: str) -> str:
    side = f"M{_short(left)} {_short(top)}h{_short(wide)}v{_short(tall)}h-{_short(wide)}z"
    return f'<path d="{side}" fill="{fill}" stroke="#000" stroke-width="2"/>'


def _arrow(path: str) -> str:
    return f'<path d="{path}" fill="none" stroke="#000" stroke-width="3"/>'


def _words(x: float, y: float, words: str, *, anchor: str = "") -> str:
    anchored = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{_short(x)}" y="{_short(y)}"{anchored}>{_text(words)}</text>'


def _text(words: str) -> str:
    return escape(words.translate(_CONTROL))


def _short(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")
