"""A square says its words to a reader that we did not write (ZXing-C++, which decodes ISO/IEC 18004 symbols)."""

from __future__ import annotations

import re
from random import Random

import numpy as np
import pytest
import zxingcpp  # type: ignore[import-not-found,unused-ignore]

from fieldbook.ledger import Ledger
from fieldbook.qr import QUIET_MODULES, qr_lines, qr_svg

HALVES = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
FINGERPRINTS = [Ledger.words(Random(number).randbytes(32).hex()) for number in range(20)]


def read_square(light: list[list[int]], module_px: int = 4) -> str:
    """What a camera would read: each module as a small square of pixels, light as white."""
    picture = np.kron(np.array(light, dtype=np.uint8) * 255, np.ones((module_px, module_px), dtype=np.uint8))
    found = zxingcpp.read_barcodes(picture)
    assert len(found) == 1
    return str(found[0].text)


def as_terminal_shows(lines: list[str]) -> list[list[int]]:
    return [[HALVES[sign][half] for sign in line] for line in lines for half in (0, 1)]


def as_page_shows(svg: str) -> list[list[int]]:
    view = re.search(r'viewBox="0 0 (\d+) \1"', svg)
    assert view is not None
    light = [[1] * int(view[1]) for _ in range(int(view[1]))]
    for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", svg):
        light[int(y)][int(x) : int(x) + int(wide)] = [0] * int(wide)
    return light


@pytest.mark.parametrize("words", FINGERPRINTS)
def test_another_reader_reads_the_words_from_the_page_and_from_the_terminal(words: str) -> None:
    assert read_square(as_page_shows(qr_svg(words, label="words"))) == words.upper()
    assert read_square(as_terminal_shows(qr_lines(words))) == words.upper()


@pytest.mark.parametrize("key", [Random(number).randbytes(32).hex() for number in range(5)])
def test_what_was_read_is_taken_as_the_words_of_that_key(key: str) -> None:
    read = read_square(as_page_shows(qr_svg(Ledger.words(key), label="words")))
    assert Ledger.same_words(key, read)


def test_the_square_has_its_light_border_and_fits_a_narrow_terminal() -> None:
    lines = qr_lines(FINGERPRINTS[0])
    light = as_terminal_shows(lines)
    assert all(all(row[:QUIET_MODULES]) and all(row[-QUIET_MODULES:]) for row in light)
    assert all(all(row) for row in (*light[:QUIET_MODULES], *light[-QUIET_MODULES:]))
    assert max(map(len, lines)) <= 45
    assert len(lines) <= 24


def test_the_label_of_a_picture_cannot_break_out_of_it() -> None:
    assert "<b>" not in qr_svg("A", label='"><b>')
