"""The drawings of the starter entries: one hand, black on white, thick enough for a photocopy, and truly the SVG."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from PIL import Image, ImageChops

from fieldbook.photos import prepare_photo
from tests.drawings import WIDTH_PX, paint
from tests.starters import FOLDERS, entry_of, every_entry

if TYPE_CHECKING:
    from playwright.sync_api import Browser

A5_WIDTH_MM = 148
THINNEST_PEN_MM = Decimal("0.5")
PNG_BYTES = 200_000


@every_entry
def test_a_drawing_is_named_with_words_in_each_language_and_used_by_a_step(name: str) -> None:
    entry = entry_of(name)
    (photo,) = entry["photos"]
    assert (photo["name"], photo["file"], photo["people"]) == ("drawing", "drawing.png", "none")
    assert set(photo["alt"]) == set(entry["title"])
    assert [step["picture"] for step in entry["steps"] if "picture" in step] == ["drawing"]
    numbered = len(re.findall(r"\b[1-4] ?:", photo["alt"]["en"])) + len(re.findall(r"[1-4]\.", photo["alt"]["en"]))
    assert numbered >= 3


@every_entry
def test_pens_are_at_least_half_a_millimetre_at_a5_and_nothing_is_grey(name: str) -> None:
    text = (FOLDERS[name] / "drawing.svg").read_text(encoding="utf-8")
    assert f'viewBox="0 0 {A5_WIDTH_MM} 105"' in text
    pens = [Decimal(width) for width in re.findall(r"stroke-width:([\d.]+)", text)]
    scales = [Decimal(scale) for scale in re.findall(r"scale\(([\d.]+)\)", text)]
    assert min(pens) * min([*scales, Decimal(1)]) >= THINNEST_PEN_MM
    assert set(re.findall(r"(?:fill|stroke)[:=]\"?(#?\w+)", text)) <= {"#000", "#fff", "none"}
    assert "<text" not in text


@every_entry
def test_a_drawing_is_small_wide_and_black_on_white(name: str) -> None:
    path = FOLDERS[name] / "drawing.png"
    picture = Image.open(path)
    grey = picture.convert("L")
    shares = grey.histogram()
    total = sum(shares)
    assert path.stat().st_size <= PNG_BYTES
    assert picture.width == WIDTH_PX
    assert ImageChops.difference(picture.convert("RGB"), grey.convert("RGB")).getbbox() is None
    assert (sum(shares[:64]) + sum(shares[192:])) / total > 0.97
    assert 0.03 < sum(shares[:128]) / total < 0.2


@every_entry
def test_a_drawing_stays_line_art_when_it_is_taken_in(name: str) -> None:
    prepared = prepare_photo((FOLDERS[name] / "drawing.png").read_bytes())
    assert prepared.format == "png"
    assert prepared.width_px == WIDTH_PX


@pytest.mark.browser
@every_entry
def test_the_png_is_the_svg_painted(name: str, chromium: Browser) -> None:
    folder = FOLDERS[name]
    painted = paint(chromium, (folder / "drawing.svg").read_text(encoding="utf-8"), finer=1)
    kept = Image.open(folder / "drawing.png")
    assert painted.size == kept.size
    apart = ImageChops.difference(painted.convert("L"), kept.convert("L")).histogram()
    assert sum(apart[64:]) / sum(apart) < 0.005
