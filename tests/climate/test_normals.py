"""The table of normals: what is taken, and one clear list of faults for what is not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.climate.normals import LIMIT_CHARACTERS, NormalsError, read_normals
from fieldbook.climate.windows import planting_windows
from fieldbook.shipped import shipped_text
from tests.climate.places import PLACES, crop_table

HEADING = "month,rain_mm,tmin_c,tmax_c"
LINES = tuple(f"{month},{10 * month},{10 + month / 10},{25 + month / 10}" for month in range(1, 13))
TABLE = "\n".join((HEADING, *LINES)) + "\n"
WHOLE = "\n".join((f"{HEADING},humidity_pct,wind_m_s,sun_h", *(f"{line},60,2.5,7" for line in LINES)))


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(NormalsError) as refused:
        read_normals(text)
    assert all(fault in refused.value.message for fault in refused.value.faults)
    assert "one line a month" in refused.value.hint
    return refused.value.faults


def with_line(number: int, line: str) -> str:
    return "\n".join((HEADING, *LINES[: number - 1], line, *LINES[number:]))


def test_the_invented_sites_are_read_as_they_stand() -> None:
    normals = read_normals(shipped_text("seed_entries/demo/normals_longshade.csv"))
    assert list(normals.rain_mm) == [128, 112, 92, 44, 18, 9, 8, 10, 26, 66, 98, 122]
    assert (normals.tmin_c[6], normals.tmax_c[6], normals.tmean_c[6]) == (4.6, 22.9, 13.75)
    assert (normals.humidity_pct, normals.wind_m_s, normals.sun_h) == (None, None, None)


def test_humidity_wind_and_sunshine_are_taken_where_given() -> None:
    normals = read_normals(WHOLE)
    assert (normals.humidity_pct, normals.wind_m_s, normals.sun_h) == ((60,) * 12, (2.5,) * 12, (7,) * 12)


@given(st.permutations(LINES))
def test_the_order_of_rows_does_not_matter(lines: list[str]) -> None:
    assert read_normals("\n".join((HEADING, *lines))) == read_normals(TABLE)


def test_months_may_be_named_and_columns_stand_in_any_order() -> None:
    names = ["January", "Feb", "mar.", "APR", "may", "June", "jul", "Aug", "Sept", "oct", "November", "12"]
    lines = (
        f"{line.split(',')[3]},{name},{line.split(',')[1]},{line.split(',')[2]}"
        for name, line in zip(names, LINES, strict=True)
    )
    assert read_normals("\n".join(("tmax_c,Month,rain_mm,tmin_c", *lines))) == read_normals(TABLE)


def test_a_byte_order_mark_blank_lines_and_windows_line_ends_are_taken() -> None:
    assert read_normals("\ufeff" + TABLE.replace("\n", "\r\n\r\n")) == read_normals(TABLE)


def test_a_gap_in_an_optional_column_makes_it_unknown_all_year_and_never_nought() -> None:
    normals = read_normals(WHOLE.replace("2.5,7", ",7", 1))
    assert normals.wind_m_s is None
    assert normals.incomplete == ("wind_m_s",)
    assert normals.sun_h is not None


def test_a_gap_in_a_needed_column_is_a_fault() -> None:
    assert faults(with_line(4, "4,,10.4,25.4")) == ("rain_mm of month 4 is empty, so unknown",)


def test_eleven_months_are_refused_with_the_one_that_is_missing() -> None:
    assert faults("\n".join((HEADING, *LINES[:4], *LINES[5:]))) == ("month 5 is missing (11 months in all)",)


def test_thirteen_months_are_refused_with_the_one_that_is_doubled() -> None:
    assert faults(TABLE + LINES[2]) == ("month 3 is there more than once (13 months in all)",)


def test_a_month_outside_the_year_is_refused() -> None:
    found = faults(with_line(12, "13,5,10,20"))
    assert found[0] == "line 13 names no month (1 to 12, or its English name)"
    assert found[1] == "month 12 is missing (11 months in all)"


def test_a_table_torn_off_in_a_line_is_refused() -> None:
    found = faults(TABLE[: TABLE.index("8,80") + 4])
    assert found == (
        "line 9 has 2 cells, the heading 4 (torn off?)",
        "months 8 to 12 are missing (7 months in all)",
    )


@given(st.integers(0, len(TABLE) - 8))
def test_a_table_cut_anywhere_is_refused_in_one_sentence(length: int) -> None:
    """Cut inside its last figure it may still be whole; anywhere before, it is not."""
    assert faults(TABLE[:length])


def test_tmin_above_tmax_is_refused_and_so_is_no_span_at_all() -> None:
    assert faults(with_line(2, "2,20,25.2,10.2")) == (
        "Tmin 25.2 is not below Tmax 10.2 in month 2 (are they swapped?)",
    )
    assert faults(with_line(2, "2,20,20,20")) == ("Tmin 20 is not below Tmax 20 in month 2 (are they swapped?)",)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("6,-3,10,20", "rain_mm of month 6 is -3, outside 0 to 4000 (millimetres in the month, not inches)"),
        ("6,30,60,75", "tmin_c of month 6 is 60, outside -50 to 45 (degrees Celsius, not Fahrenheit)"),
        ("6,30,10,75", "tmax_c of month 6 is 75, outside -45 to 55 (degrees Celsius, not Fahrenheit)"),
        ("6,30,nan,20", "tmin_c of month 6 is no number: 'nan' (plain digits are wanted)"),
        ("6,1e3,10,20", "rain_mm of month 6 is no number: '1e3' (plain digits are wanted)"),
        ('6,"12,5",10,20', "rain_mm of month 6 is no number: '12,5' (write decimals with a point)"),
        ("6,12,5,10,20", "line 7 has 5 cells, the heading 4 (decimals are written with a point)"),
    ],
)
def test_a_doubtful_figure_is_refused_with_its_month(line: str, fault: str) -> None:
    assert fault in faults(with_line(6, line))


@pytest.mark.parametrize(
    ("figures", "fault"),
    [
        ("0.6,2.5,7", "humidity_pct of month 1 is 0.6, outside 5 to 100 (percent, not a fraction)"),
        ("60,170,7", "wind_m_s of month 1 is 170, outside 0 to 15 (metres a second at 2 m, not kilometres a day)"),
        ("60,2.5,220", "sun_h of month 1 is 220, outside 0 to 24 (hours a day, not a month)"),
    ],
)
def test_another_unit_is_refused_with_the_one_wanted(figures: str, fault: str) -> None:
    assert faults(WHOLE.replace("60,2.5,7", figures, 1)) == (fault,)


def test_headings_are_checked_before_anything_else() -> None:
    assert faults(TABLE.replace("rain_mm", "rain_in")) == (
        "unknown column 'rain_in' (known are month, rain_mm, tmin_c, tmax_c, humidity_pct, wind_m_s, sun_h)",
        "column rain_mm is missing",
    )
    assert faults(TABLE.replace("tmax_c", "tmin_c")) == ("column tmin_c stands twice", "column tmax_c is missing")
    assert faults(TABLE.replace(",", ";")) == ("the heading is not separated by commas",)


def test_all_faults_are_named_at_once() -> None:
    text = f"{HEADING}\n1,-1,10,20\n2,5,20,10\n2,5,8,18\nx,5,8,18"
    assert len(faults(text)) == 5
    with pytest.raises(NormalsError, match="5 faults: "):
        read_normals(text)


def test_what_is_no_table_is_refused() -> None:
    assert faults("") == ("the table is empty",)
    assert faults("\n \n") != ()
    assert faults("PK\x03\x04\0\0") == ("the file is no text",)
    assert faults("x" * (LIMIT_CHARACTERS + 1)) == ("the table has 65537 characters, more than 65536",)
    assert faults(f'{HEADING}\n1,"2')[0].startswith("the table is torn: ")


def test_a_year_so_dry_that_it_may_be_in_inches_is_asked_about() -> None:
    """Cloudstep's 1224 mm are 48 inches; no other column tells that they are no millimetres."""
    millimetres = read_normals(shipped_text("seed_entries/demo/normals_cloudstep.csv"))
    inches = replace(millimetres, rain_mm=tuple(rain / 25.4 for rain in millimetres.rain_mm))
    (note,) = planting_windows(crop_table(), inches, PLACES["cloudstep"]).notes
    assert note.words.startswith("the rain of the whole year is 48 mm, as in a desert: if the figures are inches")
    assert planting_windows(crop_table(), millimetres, PLACES["cloudstep"]).notes == ()
