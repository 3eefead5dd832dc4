"""Trap f: one crop list, four climates. What each site is told follows from its own twelve months."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site.season import crop_table

if TYPE_CHECKING:
    from tests.orrendal import Circle

# amaranth likes warmth, dies of frost and of salt: the tests of the crop table name the sources of its figures
CROP = "amaranth"


def spans(circle: Circle, letter: str, crop: str = CROP) -> list[tuple[str, str]]:
    return [(one["start"], one["end"]) for one in circle[letter].calendar_document(crops=[crop])["windows"]]


def days(span: tuple[str, str]) -> int:
    start, end = (sum((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[: int(d[:2]) - 1]) + int(d[3:]) for d in span)
    return (end - start) % 365 + 1


def is_open(circle: Circle, letter: str, month: int, crop: str = CROP) -> bool:
    return any(window.crop == crop for window in circle[letter].windows_in_month(month))


def test_two_rains_give_two_windows_at_c(circle: Circle) -> None:
    first, second = spans(circle, "C")
    assert (first[0][:2], second[0][:2]) == ("01", "08")
    assert not is_open(circle, "C", 7)
    assert not is_open(circle, "C", 12) or second[1][:2] == "12"


def test_one_short_rain_gives_one_short_window_at_t(circle: Circle) -> None:
    (window,) = spans(circle, "T")
    assert window[0][:2] == "06"
    assert days(window) < 60
    assert [month for month in range(1, 13) if is_open(circle, "T", month)] == [6, 7, 8]


def test_frost_in_june_to_august_leaves_a_gap_at_l_and_the_window_crosses_the_year(circle: Circle) -> None:
    (window,) = spans(circle, "L")
    assert window[0] == "09-01"
    assert window[1] < window[0]
    assert not any(is_open(circle, "L", month) for month in (6, 7, 8))
    (found,) = circle["L"].calendar_document(crops=[CROP])["windows"]
    assert any("frost" in reason for reason in found["reasons"])


def test_salt_in_january_and_february_leaves_a_gap_at_s(circle: Circle) -> None:
    (window,) = spans(circle, "S")
    assert window[0] == "03-01"
    assert days(window) > 240
    assert not any(is_open(circle, "S", month) for month in (1, 2))
    (found,) = circle["S"].calendar_document(crops=[CROP])["windows"]
    assert any("salty" in reason for reason in found["reasons"])


@pytest.mark.parametrize("letter", list("CTLS"))
def test_every_answer_names_its_method_its_sources_and_how_sure_it_is(circle: Circle, letter: str) -> None:
    document = circle[letter].calendar_document()
    wanted: dict[str, Any] = {"crop": str, "start": str, "end": str, "harvest_from": str, "harvest_to": str}
    wanted |= {"limits": list, "reasons": list, "sources": list, "how_sure": str}
    for window in document["windows"]:
        assert all(isinstance(window[name], kind) for name, kind in wanted.items())
        assert window["sources"]
        assert window["reasons"]
        assert window["how_sure"]
        assert float(str(window["water_l_m2_day"])) >= 0
    crops = {window["crop"] for window in document["windows"]}
    assert crops <= {crop.crop_id for crop in crop_table()}
    picture = circle[letter].year_picture(circle[letter].calendar())
    assert picture.startswith("<svg")


def test_the_calendar_needs_no_network_no_clock_and_writes_nothing(circle: Circle) -> None:
    site = circle["C"]
    before = site.verify()
    first = site.calendar_document()
    assert site.calendar_document() == first
    assert site.verify() == before


def test_an_unknown_crop_is_refused_with_the_crops_there_are(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="no 'pineapple'") as refusal:
        circle["C"].calendar_document(crops=["kale", "pineapple"])
    assert "kale" in refusal.value.hint
