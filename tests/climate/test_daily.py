"""Days as they are handed in: what is taken, what is unknown, and every fault with its day."""

from __future__ import annotations

import datetime as dt
import random

import pytest

from fieldbook.climate.daily import LIMIT_CHARACTERS, DailyError, DailyRecord, Day, read_day, read_days, record_of
from tests.climate.places import HYDERABAD
from tests.climate.records import DATA, open_record

HEADING = "date,rain_mm,rain_days,tmin_c,tmax_c"
NOV_25 = dt.date(2026, 11, 25)


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(DailyError) as refused:
        read_days(text)
    assert refused.value.hint.startswith("write one line a day")
    return refused.value.faults


def one_line(line: str) -> tuple[str, ...]:
    return faults(f"{HEADING}\n{line}")


def test_an_empty_cell_and_a_day_that_is_not_there_are_unknown_and_never_nought() -> None:
    record = read_days(f"{HEADING}\n2026-11-25,,,18,27\n2026-11-27,0,,,\n2026-11-28,,,,\n")
    assert record.rain_mm == {dt.date(2026, 11, 27): 0.0}
    assert record.tmin_c == {NOV_25: 18.0}
    assert dt.date(2026, 11, 26) not in record.rain_mm
    assert record.span == (NOV_25, dt.date(2026, 11, 28))
    assert DailyRecord(()).span is None


def test_a_gauge_emptied_after_three_days_gives_their_sum_and_none_of_the_days() -> None:
    record = read_days(f"{HEADING}\n2026-11-25,30,3,,\n2026-11-30,0,4,,\n")
    assert record.days[0].rain_dates == (dt.date(2026, 11, 23), dt.date(2026, 11, 24), NOV_25)
    assert not {dt.date(2026, 11, day) for day in (23, 24, 25)} & record.rain_mm.keys()
    assert {
        dt.date(2026, 11, day) for day in (27, 28, 29, 30)
    } == record.rain_mm.keys()  # an empty gauge says it of all


def test_rows_may_come_in_any_order_and_with_the_marks_of_other_machines() -> None:
    text = (DATA / "hyderabad.csv").read_text(encoding="utf-8")
    heading, *lines = text.splitlines()
    random.Random(1).shuffle(lines)
    assert read_days("\ufeff" + "\r\n".join((heading.upper(), *lines))) == open_record("hyderabad")


def test_months_of_an_open_record_are_those_worked_out_apart() -> None:
    """Monthly means of the record, as they stand in `places`, were worked out by another program."""
    record = open_record("hyderabad")
    for month in range(1, 13):
        rain = sum(mm for date, mm in record.rain_mm.items() if date.month == month) / 11
        assert rain == pytest.approx(HYDERABAD.rain_mm[month - 1], abs=0.06)


def test_what_was_read_later_stands_in_the_place_of_the_older_figure_by_figure() -> None:
    older = Day(date=NOV_25, rain_mm=12.0, rain_days=2, tmin_c=18.0)
    newer = Day(date=NOV_25, tmin_c=17.5, tmax_c=26.0)
    (day,) = record_of([older, newer]).days
    assert (day.rain_mm, day.rain_days, day.tmin_c, day.tmax_c) == (12.0, 2, 17.5, 26.0)
    assert older.over(None) == older


def test_one_day_is_read_from_what_is_typed() -> None:
    assert read_day({"date": "2026-11-25", "rain_mm": "12.5", "rain_days": "", "tmin_c": "", "tmax_c": "27"}) == Day(
        date=NOV_25, rain_mm=12.5, tmax_c=27.0
    )
    for cells, fault in (
        ({"date": "25/11/2026", "rain_mm": "1"}, "the date is no day of the calendar (write it as 2026-11-25)"),
        ({"date": "2026-11-25"}, "nothing was read on 2026-11-25"),
    ):
        with pytest.raises(DailyError) as refused:
            read_day(cells)
        assert refused.value.faults == (fault,)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("2026-02-29,1,,,", "the date of line 2 is no day of the calendar (write it as 2026-11-25)"),
        ("2026-13-01,1,,,", "the date of line 2 is no day of the calendar (write it as 2026-11-25)"),
        ("0001-01-02,5,31,,", "the year of 0001-01-02 is outside 1800 to 2100"),
        ("9999-12-31,5,1,,", "the year of 9999-12-31 is outside 1800 to 2100"),
        ("2026-11-25,-1,,,", "rain_mm of 2026-11-25 is -1, outside 0 to 2000 (millimetres, not inches)"),
        (
            "2026-11-25,1,40,,",
            (
                "rain_days of 2026-11-25 is 40, outside 1 to 31 "
                "(the days since the gauge was emptied, 1 where it is read every day)"
            ),
        ),
        ("2026-11-25,1,1.5,,", "rain_days of 2026-11-25 is 1.5, no whole number of days"),
        ("2026-11-25,,,64,81", "tmin_c of 2026-11-25 is 64, outside -60 to 50 (degrees Celsius, not Fahrenheit)"),
        ("2026-11-25,trace,,,", "rain_mm of 2026-11-25 is no number: 'trace'"),
        ("2026-11-25,,,27,18", "the coolest of 2026-11-25 (27) is above the warmest (18); are they swapped?"),
        ("2026-11-25,1,,", "line 2 has 4 cells, the heading 5"),
        ("2026-11-25,1,,,\n2026-11-25,2,,,", "the day 2026-11-25 stands 2 times"),
    ],
)
def test_a_doubtful_day_is_refused_with_its_date(line: str, fault: str) -> None:
    assert fault in one_line(line)


def test_29_february_is_a_day_of_a_leap_year_and_equal_extremes_are_a_foggy_day() -> None:
    record = read_days("date,tmin_c,tmax_c\n2028-02-29,12,12\n")
    assert record.tmin_c == record.tmax_c == {dt.date(2028, 2, 29): 12.0}


def test_what_is_no_table_of_days_is_refused() -> None:
    assert faults("date\n2026-11-25") == ("there is no column of figures (rain_mm, tmin_c or tmax_c)",)
    assert faults("day,rain_mm\n1,2")[-1] == "column date is missing"
    assert faults("") == ("the table is empty",)
    assert faults("\0") == ("the file is no text",)
    assert "more than" in faults("x" * (LIMIT_CHARACTERS + 1))[0]
    assert faults('date,rain_mm\n"2026-11-25') == ("the table is torn: unexpected end of data",)


def test_of_very_many_faults_the_first_are_said_and_all_are_counted() -> None:
    text = "\n".join(("date,rain_mm", *(f"2026-11-{day:02d},-1" for day in range(1, 31))))
    with pytest.raises(DailyError, match="30 faults, the first: rain_mm of 2026-11-01") as refused:
        read_days(text)
    assert len(refused.value.faults) == 30
    assert "2026-11-13" not in refused.value.message
