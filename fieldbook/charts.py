"""Pictures drawn as small SVG, for a page or a sheet of paper in one ink.

What it is: pure functions from figures to text. What it is not: a plotting library, a source of words (labels come in,
in the reader's language) or a thing of colours: hatching, line and dot carry the meaning.

Its one rule: a picture needs nothing from outside it, no script, no style sheet, no font, and says in its title and
description what it shows.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, floor, isfinite
from textwrap import wrap
from typing import Final

from fieldbook.errors import FieldbookError

MONTHS: Final = 12
DAYS: Final = 365
_MONTH_STARTS: Final = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)
_WIDTH: Final = 320  # pixels: the narrowest screen we serve, so that nothing shrinks on it
_LEFT: Final = 40
_PLOT: Final = _WIDTH - _LEFT - 6
_TYPE: Final = 18  # 16 px where the picture is 288 px wide, on a 320 px screen with its margins
_LINE: Final = 22  # height of a line of text
_LEGEND_LETTERS: Final = 25  # that fit beside a sample; longer words go on in the next line
_LABEL_LETTERS: Final = 27  # that fit above a bar
_CONTROL: Final = dict.fromkeys((*range(32), 127), " ")


class ChartError(FieldbookError):
    """Figures that cannot be drawn."""


@dataclass(frozen=True, slots=True)
class Bar:
    """Days of the year from first to last, round the year where the last is the smaller.

    Attributes:
        first_day: 1 to 365.
        last_day: 1 to 365.
    """

    first_day: int
    last_day: int


@dataclass(frozen=True, slots=True)
class Strip:
    """One crop's line in the picture of the year.

    Attributes:
        label: Its name, in the reader's language.
        planting: When it can be planted.
        harvest: When it yields.
    """

    label: str
    planting: tuple[Bar, ...]
    harvest: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearWords:
    """The words of the picture of the year, in the reader's language, units included."""

    rain: str
    eto: str
    tmax: str
    tmin: str
    planting: str
    harvest: str
    months: tuple[str, ...]


def year_picture(
    *,
    title: str,
    description: str,
    words: YearWords,
    rain_mm: Sequence[float],
    eto_mm: Sequence[float],
    tmin_c: Sequence[float],
    tmax_c: Sequence[float],
    strips: Iterable[Strip] = (),
    key: str = "year",
) -> str:
    """Draw a site's year: rain against thirst, the span of temperature, and when each crop is planted and yields.

    Args:
        title: What it shows, read aloud first.
        description: The same in a sentence or two.
        words: Labels; month labels of more than two letters are written for every second month.
        rain_mm: Rain of each month, January first [mm].
        eto_mm: Reference evapotranspiration of each month [mm].
        tmin_c: Mean daily minimum of each month [C].
        tmax_c: Mean daily maximum of each month [C].
        strips: Crops, in the order wanted.
        key: Begins every id inside, so that several pictures can stand on one page; letters, digits and dashes.

    Returns:
        One `svg` element, 320 units wide, black on nothing.

    Raises:
        ChartError: There are not twelve months of something, or a figure is no number.
    """
    _check_key(key)
    _check_months(rain=rain_mm, eto=eto_mm, tmin=tmin_c, tmax=tmax_c, label=words.months)
    page = _Page(key)
    page.water(words, rain_mm, eto_mm)
    page.warmth(words, tmin_c, tmax_c)
    page.crops(words, tuple(strips))
    return page.closed(title, description)


def crops_picture(*, title: str, description: str, words: YearWords, strips: Iterable[Strip], key: str) -> str:
    """Draw when each of some crops is planted and yields, without the weather.

    Args:
        title: What it shows, read aloud first.
        description: The same in a sentence or two.
        words: Labels.
        strips: Crops, in the order wanted.
        key: Begins every id inside.

    Returns:
        One `svg` element, 320 units wide, black on nothing.

    Raises:
        ChartError: There are not twelve labels of months, or a day is none of the year.
    """
    _check_key(key)
    _check_months(label=words.months)
    page = _Page(key)
    page.crops(words, tuple(strips))
    return page.closed(title, description)


def _check_key(key: str) -> None:
    if not key.replace("-", "").isalnum():
        raise ChartError(f"the key {key!r} is no id", hint="use letters, digits and dashes")


def _check_months(**series: Sequence[float] | Sequence[str]) -> None:
    for name, values in series.items():
        if len(values) != MONTHS:
            raise ChartError(f"{name} has {len(values)} months, not 12", hint="give January to December")
        if any(not isinstance(value, str) and not isfinite(value) for value in values):
            raise ChartError(f"{name} holds something that is no number", hint="give a number for each month")


def _text(words: str) -> str:
    return escape(words.translate(_CONTROL), quote=True)


def _short(value: float) -> str:
    """Write a coordinate with at most one decimal, never minus nought."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def _x(day: float) -> float:
    """Where a moment of the year lies; 0 is the start of 1 January."""
    return _LEFT + _PLOT * day / DAYS


def _middles() -> Iterator[float]:
    yield from ((_MONTH_STARTS[month] + _MONTH_STARTS[month + 1]) / 2 for month in range(MONTHS))


@dataclass(frozen=True, slots=True)
class _Scale:
    """From figures to heights, with two or three round marks."""

    low: float
    high: float
    top: float
    height: float

    @classmethod
    def around(cls, values: Iterable[float], *, step: float, top: float, height: float) -> "_Scale":
        known = tuple(values)
        low, high = floor(min(known) / step) * step, ceil(max(known) / step) * step
        return cls(low, high if high > low else low + step, top, height)

    def y(self, value: float) -> float:
        return self.top + self.height * (self.high - value) / (self.high - self.low)

    def marks(self) -> tuple[float, ...]:
        return (self.low, (self.low + self.high) / 2, self.high)


class _Page:
    """What has been drawn so far, from the top down."""

    def __init__(self, key: str) -> None:
        self.key = key
        self.parts: list[str] = []
        self.bottom = 6.0

    def water(self, words: YearWords, rain_mm: Sequence[float], eto_mm: Sequence[float]) -> None:
        """Rain as hatched columns, thirst as a broken line with dots."""
        self._legend(words.rain, f'<path d="M0 -10h20v10h-20z" fill="url(#{self.key}-rain)" stroke="#000"/>')
        self._legend(
            words.eto,
            '<path d="M0 -5h20" stroke="#000" stroke-dasharray="5 3"/><circle cx="10" cy="-5" r="3" fill="#000"/>',
        )
        scale = self._frame((0, *rain_mm, *eto_mm), step=50, height=100)
        columns = "".join(self._column(scale, month, rain) for month, rain in enumerate(rain_mm) if rain > 0)
        if columns:
            self.parts.append(f'<path d="{columns}" fill="url(#{self.key}-rain)" stroke="#000"/>')
        self._line(scale, eto_mm, dashes="5 3", dot=2.5)
        self._months(words.months)

    def warmth(self, words: YearWords, tmin_c: Sequence[float], tmax_c: Sequence[float]) -> None:
        """The warm end as a whole line, the cool end as a dotted one."""
        self._legend(words.tmax, '<path d="M0 -5h20" stroke="#000" stroke-width="2"/>')
        self._legend(words.tmin, '<path d="M0 -5h20" stroke="#000" stroke-width="2" stroke-dasharray="1 4"/>')
        scale = self._frame((*tmin_c, *tmax_c), step=10, height=70)
        self._line(scale, tmax_c, dashes="", dot=0)
        self._line(scale, tmin_c, dashes="1 4", dot=0)
        self._months(words.months)

    def crops(self, words: YearWords, strips: tuple[Strip, ...]) -> None:
        """Two bars a crop, planting above harvest."""
        if not strips:
            return
        self._legend(words.planting, f'<path d="M0 -10h20v9h-20z" fill="url(#{self.key}-plant)" stroke="#000"/>')
        self._legend(words.harvest, f'<path d="M0 -10h20v9h-20z" fill="url(#{self.key}-yield)" stroke="#000"/>')
        top, plant, harvest = self.bottom, "", ""
        labels: list[str] = []
        for strip in strips:
            for line in wrap(strip.label, _LABEL_LETTERS) or [""]:
                self.bottom += _LINE
                labels.append(_words(_LEFT, self.bottom - 5, line))
            plant += "".join(_bar(bar, self.bottom) for bar in strip.planting)
            harvest += "".join(_bar(bar, self.bottom + 10) for bar in strip.harvest)
            self.bottom += 24
        self._month_lines(top, self.bottom)
        self.parts.append(f'<g stroke="#fff" stroke-width="4" paint-order="stroke">{"".join(labels)}</g>')
        self.parts.append(f'<path d="{plant}" fill="url(#{self.key}-plant)" stroke="#000"/>')
        self.parts.append(f'<path d="{harvest}" fill="url(#{self.key}-yield)" stroke="#000"/>')
        self._months(words.months)

    def closed(self, title: str, description: str) -> str:
        """Give the whole picture."""
        key = self.key
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_short(self.bottom + 4)}" role="img" '
            f'aria-labelledby="{key}-title {key}-desc" direction="ltr" fill="#000" font-size="{_TYPE}">'
            f'<title id="{key}-title">{_text(title)}</title><desc id="{key}-desc">{_text(description)}</desc>'
            f"<defs>{_pattern(key, 'rain', 'M0 6L6 0', 6)}{_pattern(key, 'plant', 'M0 0L4 4', 4)}"
            f"{_pattern(key, 'yield', 'M2 2h1.5', 4)}</defs>{''.join(self.parts)}</svg>"
        )

    def _legend(self, words: str, sample: str) -> None:
        place = f"{_LEFT} {_short(self.bottom + _LINE - 4)}"
        self.parts.append(f'<g transform="translate({place})" fill="none">{sample}</g>')
        for line in wrap(words, _LEGEND_LETTERS) or [""]:
            self.bottom += _LINE
            self.parts.append(_words(_LEFT + 28, self.bottom - 4, line))

    def _frame(self, values: Iterable[float], *, step: float, height: float) -> _Scale:
        """Open a field for figures: its scale, its marks and the borders of the months."""
        scale = _Scale.around(values, step=step, top=self.bottom + 8, height=height)
        for mark in scale.marks():
            y = _short(scale.y(mark))
            self.parts.append(f'<path d="M{_LEFT} {y}h{_PLOT}" stroke="#000" stroke-width=".5"/>')
            self.parts.append(_words(_LEFT - 4, scale.y(mark) + 6, _short(mark), anchor="end"))
        self._month_lines(scale.top, scale.top + height)
        self.bottom = scale.top + height
        return scale

    def _month_lines(self, top: float, bottom: float) -> None:
        lines = "".join(f"M{_short(_x(start))} {_short(top)}V{_short(bottom)}" for start in _MONTH_STARTS)
        self.parts.append(f'<path d="{lines}" stroke="#000" stroke-width=".3" fill="none"/>')

    def _months(self, labels: tuple[str, ...]) -> None:
        self.bottom += 19
        every = 2 if max(map(len, labels)) > 2 else 1
        for middle, label in list(zip(_middles(), labels, strict=True))[::every]:
            self.parts.append(_words(_x(middle), self.bottom, label, anchor="middle"))
        self.bottom += 8

    def _column(self, scale: _Scale, month: int, value: float) -> str:
        left, right = _x(_MONTH_STARTS[month]) + 3, _x(_MONTH_STARTS[month + 1]) - 3
        foot, top = scale.y(scale.low), scale.y(value)
        return f"M{_short(left)} {_short(foot)}V{_short(top)}H{_short(right)}V{_short(foot)}z"

    def _line(self, scale: _Scale, values: Sequence[float], *, dashes: str, dot: float) -> None:
        points = [
            (_short(_x(middle)), _short(scale.y(value))) for middle, value in zip(_middles(), values, strict=True)
        ]
        path = " ".join(f"{x},{y}" for x, y in points)
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        self.parts.append(f'<polyline points="{path}" fill="none" stroke="#000" stroke-width="2"{dashed}/>')
        if dot:
            self.parts += [f'<circle cx="{x}" cy="{y}" r="{dot}"/>' for x, y in points]


def _words(x: float, y: float, words: str, *, anchor: str = "") -> str:
    anchored = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{_short(x)}" y="{_short(y)}"{anchored}>{_text(words)}</text>'


def _bar(bar: Bar, top: float) -> str:
    if not (1 <= bar.first_day <= DAYS and 1 <= bar.last_day <= DAYS):
        raise ChartError(f"days {bar.first_day} to {bar.last_day} are not of the year", hint="give days from 1 to 365")
    spans = [(bar.first_day, bar.last_day)]
    if bar.first_day > bar.last_day:
        spans = [(1, bar.last_day), (bar.first_day, DAYS)]
    return "".join(
        f"M{_short(_x(first - 1))} {_short(top)}H{_short(_x(last))}v8H{_short(_x(first - 1))}z" for first, last in spans
    )


def _pattern(key: str, name: str, stroke: str, size: int) -> str:
    return (
        f'<pattern id="{key}-{name}" width="{size}" height="{size}" patternUnits="userSpaceOnUse">'
        f'<path d="M0 0h{size}v{size}H0z" fill="#fff"/><path d="{stroke}" stroke="#000"/></pattern>'
    )
