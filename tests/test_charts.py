"""The picture of the year: one well-formed, self-contained drawing that reads without colour."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest

from fieldbook.charts import Bar, ChartError, Strip, YearWords, year_picture

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

SVG = "{http://www.w3.org/2000/svg}"
WORDS = YearWords(
    rain="rain, mm a month",
    eto="water that a green cover uses, mm a month",
    tmax="warm end of the day, C",
    tmin="cool end of the day, C",
    planting="to plant",
    harvest="to harvest",
    months=tuple("JFMAMJJASOND"),
)
RAIN_MM = (62, 78, 138, 186, 142, 48, 34, 66, 112, 158, 126, 0)
ETO_MM = (134, 128, 138, 119, 112, 105, 109, 117, 126, 129, 117, 125)
TMIN_C = (11, 11, 12, 12, 12, 11, 10, 11, 11, 11, -3, 11)
TMAX_C = (25, 25, 25, 23, 22, 22, 21, 22, 24, 24, 23, 24)
KALE = Strip("Kale", (Bar(24, 130), Bar(220, 310)), (Bar(70, 203), Bar(265, 18)))


def picture(**changed: Any) -> str:
    given: dict[str, Any] = {
        "title": "The year here",
        "description": "Rain, thirst, warmth and crops.",
        "words": WORDS,
        "rain_mm": RAIN_MM,
        "eto_mm": ETO_MM,
        "tmin_c": TMIN_C,
        "tmax_c": TMAX_C,
        "strips": (KALE,),
    }
    return year_picture(**{**given, **changed})


def drawn(**changed: Any) -> ET.Element:
    return ET.fromstring(picture(**changed))  # noqa: S314 - our own text


def texts(svg: ET.Element) -> list[str]:
    return ["".join(node.itertext()) for node in svg.iter(f"{SVG}text")]


def test_a_picture_has_a_title_a_description_and_a_size_of_its_own() -> None:
    svg = drawn()
    assert svg.find(f"{SVG}title") is not None
    assert svg.get("role") == "img"
    assert svg.get("aria-labelledby") == "year-title year-desc"
    assert re.fullmatch(r"0 0 320 \d+(\.\d)?", svg.get("viewBox") or "")


def test_a_picture_needs_nothing_from_outside_and_runs_nothing() -> None:
    text = picture()
    assert {node.tag.removeprefix(SVG) for node in drawn().iter()} <= {
        *("svg", "title", "desc", "defs", "pattern", "path", "polyline", "circle", "g", "text"),
    }
    assert not re.search(r"style=|href|url\((?!#)|\son[a-z]+=|@import|javascript", text)


def test_no_colour_carries_meaning() -> None:
    assert set(re.findall(r"#[0-9a-f]{3,6}\b", picture())) <= {"#000", "#fff"}
    assert "rgb" not in picture()


def test_rain_columns_stand_on_the_axis_and_a_dry_month_has_none() -> None:
    columns = next(node for node in drawn().iter(f"{SVG}path") if (node.get("d") or "").count("z") == 11)
    feet = re.findall(r"M[\d.]+ ([\d.]+)V", columns.get("d") or "")
    assert len(set(feet)) == 1
    heights = [float(foot) - float(top) for foot, top in re.findall(r" ([\d.]+)V([\d.]+)", columns.get("d") or "")]
    assert heights == pytest.approx([rain / 2 for rain in RAIN_MM if rain], abs=0.1)  # 100 units for 200 mm


def test_a_bar_over_the_new_year_is_drawn_at_both_ends() -> None:
    wrapped = drawn(strips=(Strip("x", (Bar(350, 10),), ()),))
    bars = [node.get("d") or "" for node in wrapped.iter(f"{SVG}path") if (node.get("d") or "").count("v8") == 2]
    assert len(bars) == 1
    lefts = [float(left) for left in re.findall(r"M([\d.]+) ", bars[0])]
    rights = [float(right) for right in re.findall(r"H([\d.]+)v", bars[0])]
    assert (lefts[0], rights[1]) == (40, 314)  # the two borders of the field
    assert lefts[1] > rights[0]


def test_frost_lies_below_nought_on_the_axis() -> None:
    assert "-10" in texts(drawn())
    assert "-0" not in texts(drawn())


def test_an_even_year_still_has_a_scale() -> None:
    assert drawn(tmin_c=(20,) * 12, tmax_c=(20,) * 12, rain_mm=(0,) * 12, eto_mm=(0,) * 12) is not None


def test_short_month_labels_stand_under_each_month_and_long_ones_under_every_second() -> None:
    assert [text for text in texts(drawn(strips=())) if text in set("JFMASOND")][:12] == list("JFMAMJJASOND")
    long = tuple(f"Month{number}" for number in range(1, 13))
    words = YearWords(**{**{name: getattr(WORDS, name) for name in WORDS.__slots__}, "months": long})
    assert [text for text in texts(drawn(words=words, strips=())) if text.startswith("Month")][:6] == list(long[::2])


def test_long_words_go_on_in_the_next_line() -> None:
    lines = texts(drawn())
    assert "water that a green cover" in lines
    assert "uses, mm a month" in lines


def test_words_are_at_least_16_px_on_a_screen_of_320_px() -> None:
    picture_px = 320 - 2 * 16  # the page keeps a margin of 16 px on both sides
    units = float(drawn().get("viewBox", "").split()[2])
    assert float(drawn().get("font-size", "0")) * picture_px / units >= 16


def test_words_of_any_script_are_escaped_and_kept() -> None:
    svg = drawn(title='<b>&"', strips=(Strip("ملوخية <&>", (Bar(1, 365),), ()),), description="a\x07b")
    assert "ملوخية <&>" in texts(svg)
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert title.text == '<b>&"'
    assert "\x07" not in picture(description="a\x07b")


def test_a_long_calendar_stays_small() -> None:
    strips = tuple(Strip(f"Crop number {number}", KALE.planting, KALE.harvest) for number in range(26))
    assert len(picture(strips=strips).encode()) <= 12 * 1024


def test_the_same_figures_give_the_same_picture() -> None:
    assert picture() == picture()
    assert set(re.findall(r'id="(\w+)-', picture(key="other"))) == {"other"}


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"rain_mm": (1.0,) * 11}, "rain has 11 months, not 12"),
        ({"tmax_c": (float("nan"),) * 12}, "tmax holds something that is no number"),
        ({"strips": (Strip("x", (Bar(0, 5),), ()),)}, "days 0 to 5 are not of the year"),
        ({"key": 'x" onload="y'}, "is no id"),
    ],
)
def test_what_cannot_be_drawn_is_refused(changed: dict[str, Any], fault: str) -> None:
    with pytest.raises(ChartError, match=fault):
        picture(**changed)


@pytest.mark.browser
def test_the_picture_fits_a_narrow_screen_with_no_word_cut_off(page: Page, tmp_path: Path) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    sheet = tmp_path / "sheet.html"
    sheet.write_text(
        f'<!doctype html><meta charset="utf-8"><body dir="rtl" style="margin:0">{picture()}', encoding="utf-8"
    )
    page.set_content(sheet.read_text(encoding="utf-8"))
    boxes = page.eval_on_selector_all("svg text", "all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert len(boxes) > 20
    assert all(box["left"] >= 0 and box["right"] <= 320 and box["height"] >= 14 for box in boxes)
