"""What old growers say of the year, beside what the figures say.

What it is: five questions that anybody who farmed here for years can answer with a month, and where answers and
figures part. What it is not: a source of figures; memory corrects no number, it makes people look again.

Its one rule: where they part, both are shown and neither is believed.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from fieldbook.climate.bounds import MONTHS
from fieldbook.climate.normals import Normals
from fieldbook.climate.seasons import Period
from fieldbook.climate.year import MONTH_OF_DAY

QUESTIONS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "rains_start": "In which month do the rains begin that you sow by? If there are two seasons, tick both.",
        "wettest": "Which month has the most rain?",
        "driest": "Which month has the least rain?",
        "coldest": "Which month has the coldest nights?",
        "hottest": "Which month has the hottest days?",
    }
)
NEAR_MONTHS: Final = 1  # our choice: an answer one month beside the figures still agrees
_NEAR_RAIN_SHARE: Final = 0.1  # months that lie so near the extreme count as well
_NEAR_RAIN_MM: Final = 5.0
_NEAR_C: Final = 0.5

Answers = Mapping[str, Sequence[int]]


@dataclass(frozen=True, slots=True)
class Remembered:
    """One question, what people answered and what the figures say.

    Attributes:
        question: Its code in `QUESTIONS`.
        said: How many growers named each month, by month.
        figures: The months that the figures give; empty where they give none.
        asked: Growers who answered it.
        agree: Of these, how many named a month of the figures or one beside it.
    """

    question: str
    said: tuple[tuple[int, int], ...]
    figures: tuple[int, ...]
    asked: int
    agree: int

    @property
    def parts(self) -> bool:
        """Whether at least half of those who answered say something else than the figures."""
        return bool(self.figures) and self.asked > 0 and 2 * self.agree <= self.asked

    def as_value(self) -> dict[str, object]:
        """Give what is printed."""
        return {
            "question": self.question,
            "said": {str(month): count for month, count in self.said},
            "figures": list(self.figures),
            "asked": self.asked,
            "agree": self.agree,
            "parts": self.parts,
        }


def remembered(growers: Sequence[Answers], normals: Normals, periods: Iterable[Period]) -> tuple[Remembered, ...]:
    """Compare what growers say with the figures, question by question.

    Args:
        growers: Of each grower, the months (1 to 12) by question; a question that is not there was not answered.
        normals: The months that the site goes by.
        periods: Its growing periods.

    Source: ours.
    """
    figures = months_of_figures(normals, periods)
    return tuple(
        _compared(question, [one.get(question, ()) for one in growers], figures[question]) for question in QUESTIONS
    )


def months_of_figures(normals: Normals, periods: Iterable[Period]) -> Mapping[str, tuple[int, ...]]:
    """Give the months that the figures answer each question with, those near the extreme too.

    Args:
        normals: The months that the site goes by.
        periods: Its growing periods; one that lasts all year begins in no month.

    Source: ours.
    """
    starts = sorted({MONTH_OF_DAY[one.start_day - 1] for one in periods if one.start_day is not None})
    slack = max(_NEAR_RAIN_MM, _NEAR_RAIN_SHARE * max(normals.rain_mm))
    most, least = max(normals.rain_mm), min(normals.rain_mm)
    coldest, hottest = min(normals.tmin_c), max(normals.tmax_c)
    return {
        "rains_start": tuple(starts),
        "wettest": _months(value >= most - slack for value in normals.rain_mm),
        "driest": _months(value <= least + _NEAR_RAIN_MM for value in normals.rain_mm),
        "coldest": _months(value <= coldest + _NEAR_C for value in normals.tmin_c),
        "hottest": _months(value >= hottest - _NEAR_C for value in normals.tmax_c),
    }


def _months(chosen: Iterable[bool]) -> tuple[int, ...]:
    return tuple(month for month, is_it in enumerate(chosen, start=1) if is_it)


def _compared(question: str, answers: Sequence[Sequence[int]], figures: tuple[int, ...]) -> Remembered:
    given = [sorted(set(months)) for months in answers if months]
    said = Counter(month for months in given for month in months)
    agree = sum(all(_near(month, figures) for month in months) for months in given)
    return Remembered(question, tuple(sorted(said.items())), figures, len(given), agree if figures else 0)


def _near(month: int, figures: Sequence[int]) -> bool:
    apart = ((month - one) % MONTHS for one in figures)
    return any(min(gap, MONTHS - gap) <= NEAR_MONTHS for gap in apart)
