"""Each carrier of hidden words alone: it is there before, it is gone after, and the pixels are as if it had never been."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from fieldbook.photos import prepare_photo
from tests.photos.bare_bytes import assert_nothing_but_pixels
from tests.photos.carriers import CARRIERS, bare
from tests.photos.pictures import SECRET, drawing, photo
from tests.photos.test_metadata import told_by_exiftool

if TYPE_CHECKING:
    from pathlib import Path

# what exiftool, without reading names that only a maker knows, does not show by itself
HIDDEN_FROM_EXIFTOOL = {
    "jpg bytes behind the end",
    "jpg second picture, bare",
    "png private chunk",
    "png private chunk before the end",
    "png sPLT",
    "webp ICCP",
    "jpg colour profile",
    "png iCCP",
    "jpg JFIF thumbnail",
}


@pytest.mark.parametrize("name", CARRIERS)
def test_of_each_carrier_nothing_is_left_and_the_pixels_are_the_same(name: str) -> None:
    picture = photo((320, 240))
    telling = CARRIERS[name](picture)
    assert SECRET in telling
    prepared = prepare_photo(telling, name=f"IMG_0001.{name.split(maxsplit=1)[0]}")
    for data in (prepared.full, prepared.thumb):
        assert_nothing_but_pixels(data)
        assert SECRET not in data
    assert prepared == prepare_photo(bare(name, picture))


@pytest.mark.parametrize("name", [name for name in CARRIERS if name.startswith("png")])
def test_a_drawing_that_stays_a_png_keeps_none_of_it_either(name: str) -> None:
    prepared = prepare_photo(CARRIERS[name](drawing()))
    assert prepared.format == "png"
    assert_nothing_but_pixels(prepared.full)
    assert SECRET not in prepared.full


@pytest.mark.exiftool
def test_exiftool_sees_the_carriers_where_we_put_them(tmp_path: Path) -> None:
    """So that the fixtures hide what real files hide, and not bytes that no reader would find."""
    unseen, picture = [], photo((320, 240))
    pairs = [
        (tmp_path / f"{number} picture.{name.split()[0]}", tmp_path / f"{number} plain.{name.split()[0]}")
        for number, name in enumerate(CARRIERS)
    ]
    for (name, make), (path, plain) in zip(CARRIERS.items(), pairs, strict=True):
        path.write_bytes(make(picture))
        plain.write_bytes(bare(name, picture))
    seen = iter(told_by_exiftool(*(path for pair in pairs for path in pair)))
    for name in CARRIERS:
        told, less = (
            {tag: value for tag, value in next(seen).items() if not tag.startswith(("System:", "Source"))}
            for _ in range(2)
        )
        if SECRET.decode() not in json.dumps(told) and told.keys() <= less.keys():
            unseen.append(name)
    assert set(unseen) <= HIDDEN_FROM_EXIFTOOL
