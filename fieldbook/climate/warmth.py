"""How well the warmth of a site suits a crop, planting by planting.

What it is: the score of Ecocrop, 1 within what a crop likes and 0 where it ends, and three grades of it. What it is
not: a bar: what a crop bears stays open, and the grade says what to expect of it.

Its one rule: a planting is graded by its worst day, from planting until it has come to its harvest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Final, Literal

from fieldbook.climate.crops import Warmth
from fieldbook.climate.planting import Case, Opening
from fieldbook.climate.year import DAYS_IN_YEAR, ring_day

Suits = Literal["well", "fairly", "badly"]

GRADES: Final[tuple[Suits, ...]] = ("well", "fairly", "badly")
LEAST_RUN_DAYS: Final = 7  # ours: months know no better, so fewer days count to the worse of those beside them
FAIR_SCORE: Final = 0.5  # ours: from halfway between what it likes and what ends it on, expect little


@dataclass(frozen=True, slots=True)
class SuitedDays:
    """Days of a window on which plantings are of one grade.

    Attributes:
        suits: How well the warmth suits what is planted on them.
        start_day: First of them, 1 to 365.
        end_day: Last of them.
    """

    suits: Suits
    start_day: int
    end_day: int

    def holds(self, day: int) -> bool:
        """Whether a day of the year (1 to 365) is one of them."""
        return (day - self.start_day) % DAYS_IN_YEAR <= (self.end_day - self.start_day) % DAYS_IN_YEAR


def warmth_score(*, mean_c: float, warmth: Warmth) -> float:
    """Return how well a mean temperature suits a crop.

    Args:
        mean_c: Mean of the day [C].
        warmth: What the crop bears and likes.

    Returns:
        1 within what it likes, 0 at and beyond what it bears, straight lines between [-].

    Source: ecocrop, the usual reading of its four limits; that they are meant for the mean is from memory.
    Valid: any temperature.
    """
    if warmth.likes_min_c <= mean_c <= warmth.likes_max_c:
        return 1.0
    if not warmth.bears_min_c < mean_c < warmth.bears_max_c:
        return 0.0
    if mean_c < warmth.likes_min_c:
        return (mean_c - warmth.bears_min_c) / (warmth.likes_min_c - warmth.bears_min_c)
    return (warmth.bears_max_c - mean_c) / (warmth.bears_max_c - warmth.likes_max_c)


def suited_days(case: Case, opening: Opening) -> tuple[SuitedDays, ...]:
    """Return the days of an opening by how well the warmth suits what is planted on them, in their order.

    Args:
        case: The crop at the site.
        opening: The days on which it can be planted.

    Source: ecocrop; the grades are ours.
    Valid: any opening of the case.
    """
    days = DAYS_IN_YEAR if case.lasting else case.bars.need_days
    lows, highs = _standing_extremes(case.year.tmean_c, min(days, DAYS_IN_YEAR))
    first = (opening.start_day - 1) % DAYS_IN_YEAR
    last = first + opening.days
    grades = _grades(case.crop.warmth, (lows * 2)[first:last], (highs * 2)[first:last])
    return _dated(_careful([(suits, len(list(group))) for suits, group in groupby(grades)]), opening)


def _careful(runs: list[tuple[Suits, int]]) -> list[tuple[Suits, int]]:
    """Give runs of a few days the worse grade of their neighbours, and join what is then alike."""
    held: list[tuple[Suits, int]] = []
    for at, (suits, days) in enumerate(runs):
        beside = (held[-1:] + runs[at + 1 : at + 2]) if days < LEAST_RUN_DAYS else []
        worst = max((suits, *(one for one, _ in beside)), key=GRADES.index)
        joined = held.pop()[1] if held and held[-1][0] == worst else 0
        held.append((worst, joined + days))
    return held


def _dated(runs: list[tuple[Suits, int]], opening: Opening) -> tuple[SuitedDays, ...]:
    """Give runs their days of the year; in a window of the whole year the last may go on in the first."""
    dated: list[SuitedDays] = []
    start = opening.start_day
    for suits, days in runs:
        dated.append(SuitedDays(suits, ring_day(start), ring_day(start + days - 1)))
        start += days
    if opening.all_year and len(dated) > 1 and dated[0].suits == dated[-1].suits:
        dated[0] = SuitedDays(dated[0].suits, dated.pop().start_day, dated[0].end_day)
    return tuple(dated)


def _grades(warmth: Warmth, lows: Sequence[float], highs: Sequence[float]) -> list[Suits]:
    """Grade plantings by the lowest and highest mean that they meet: the score falls on both sides of what it likes."""
    likes, most = warmth.likes_min_c, warmth.likes_max_c
    if min(lows) >= likes and max(highs) <= most:
        return ["well"] * len(lows)
    cool = likes - FAIR_SCORE * (likes - warmth.bears_min_c)
    warm = most + FAIR_SCORE * (warmth.bears_max_c - most)
    return [
        "well" if low >= likes and high <= most else "fairly" if low >= cool and high <= warm else "badly"
        for low, high in zip(lows, highs, strict=True)
    ]


@lru_cache(maxsize=64)  # a calendar of many crops asks for few different lengths
def _standing_extremes(tmean_c: tuple[float, ...], days: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the lowest and highest mean of so many days from each day of the year on."""
    reach = 1 << (days.bit_length() - 1)
    lows, highs = _reaching(tmean_c, reach)
    rest = days - reach
    if not rest:
        return lows, highs
    return tuple(map(min, lows, lows[rest:] + lows[:rest])), tuple(map(max, highs, highs[rest:] + highs[:rest]))


@lru_cache(maxsize=64)
def _reaching(tmean_c: tuple[float, ...], reach: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the same for a power of two of days, each from the half of it."""
    if reach == 1:
        return tmean_c, tmean_c
    half = reach // 2
    lows, highs = _reaching(tmean_c, half)
    return tuple(map(min, lows, lows[half:] + lows[:half])), tuple(map(max, highs, highs[half:] + highs[:half]))
