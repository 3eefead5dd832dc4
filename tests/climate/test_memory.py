"""Five questions to old growers beside the figures."""

from __future__ import annotations

from fieldbook.climate.memory import QUESTIONS, months_of_figures, remembered
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.seasons import Period, growing_periods
from tests.climate.places import PLACES, normals_of


def periods_of(site: str) -> tuple[Period, ...]:
    months = monthly_climate(normals_of(site), PLACES[site])
    return growing_periods(rain_mm=normals_of(site).rain_mm, eto_mm=[month.eto_mm for month in months])


def compared(site: str, *growers: dict[str, list[int]]) -> dict[str, dict[str, object]]:
    found = remembered(growers, normals_of(site), periods_of(site))
    return {one.question: one.as_value() for one in found}


def test_the_figures_answer_the_same_five_questions() -> None:
    assert dict(months_of_figures(normals_of("thornpan"), periods_of("thornpan"))) == {
        "rains_start": (6,),
        "wettest": (8,),
        "driest": (1, 2, 3, 11, 12),
        "coldest": (1, 12),
        "hottest": (4, 5),
    }
    assert len(months_of_figures(normals_of("cloudstep"), periods_of("cloudstep"))["rains_start"]) == 2


def test_answers_within_a_month_of_the_figures_agree() -> None:
    said = compared(
        "thornpan", {"rains_start": [7], "wettest": [9]}, {"rains_start": [5], "wettest": [4]}, {"wettest": [5]}
    )
    assert said["rains_start"] == {
        "question": "rains_start",
        "said": {"5": 1, "7": 1},
        "figures": [6],
        "asked": 2,
        "agree": 2,
        "parts": False,
    }
    assert (said["wettest"]["agree"], said["wettest"]["parts"]) == (1, True)
    assert (said["coldest"]["asked"], said["coldest"]["parts"]) == (0, False)


def test_december_and_january_are_neighbours() -> None:
    assert (
        compared("thornpan", {"coldest": [2]})["coldest"]["agree"] == 1
    )  # January counts, and February lies beside it
    assert compared("longshade", {"wettest": [12]})["wettest"]["agree"] == 1


def test_two_seasons_agree_only_if_both_do() -> None:
    starts = months_of_figures(normals_of("cloudstep"), periods_of("cloudstep"))["rains_start"]
    assert compared("cloudstep", {"rains_start": [*starts]})["rains_start"]["agree"] == 1
    assert compared("cloudstep", {"rains_start": [starts[0], (starts[0] + 3) % 12 + 1]})["rains_start"]["parts"] is True


def test_a_year_without_a_start_is_compared_with_nothing() -> None:
    year = remembered([{"rains_start": [4]}], normals_of("thornpan"), ())
    assert (year[0].figures, year[0].asked, year[0].agree, year[0].parts) == ((), 1, 0, False)
    assert [one.question for one in year] == list(QUESTIONS)
