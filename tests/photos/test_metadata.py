"""No metadata survives: by our own count of the bytes, and by the word of exiftool."""

from __future__ import annotations

import json
import subprocess
from typing import TYPE_CHECKING

import pytest
from PIL import ImageCms

from fieldbook.photos import prepare_photo
from tests.photos.bare_bytes import assert_nothing_but_pixels
from tests.photos.pictures import SECRET, TELLTALE, drawing, photo, saved, telltale_jpeg, telltale_png

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PIL import Image

SUBJECTS: dict[str, Callable[[], Image.Image]] = {"photo": photo, "drawing": drawing}


def told_by_exiftool(*paths: Path) -> list[dict[str, object]]:
    """Everything that exiftool finds in each file, as group:tag; unknown and doubled tags and embedded files included.

    All files in one go, since it takes longer to start than to read.
    """
    words = ("exiftool", "-json", "-G1", "-a", "-u", "-U", "-ee3")
    found: list[dict[str, object]] = json.loads(
        subprocess.run([*words, *paths], capture_output=True, check=True).stdout
    )
    assert [one["SourceFile"] for one in found] == [str(path) for path in paths]
    return found


@pytest.mark.parametrize("subject", SUBJECTS)
@pytest.mark.parametrize("ending", TELLTALE)
def test_nothing_but_pixels_is_left_of_a_telltale_picture(ending: str, subject: str) -> None:
    telltale = TELLTALE[ending](SUBJECTS[subject]())
    assert SECRET in telltale
    prepared = prepare_photo(telltale, name=f"IMG_0001.{ending}")
    for data in (prepared.full, prepared.thumb):
        assert_nothing_but_pixels(data)
        assert SECRET not in data


def test_a_colour_profile_does_not_travel() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    telltale = telltale_jpeg(photo(), profile=profile)
    assert b"ICC_PROFILE" in telltale
    assert_nothing_but_pixels(prepare_photo(telltale).full)


@pytest.mark.exiftool
@pytest.mark.parametrize("ending", TELLTALE)
def test_exiftool_sees_the_secret_before_and_nothing_after(ending: str, tmp_path: Path) -> None:
    before, full, thumb = tmp_path / f"before.{ending}", tmp_path / "full", tmp_path / "thumb"
    before.write_bytes(TELLTALE[ending](photo()))
    prepared = prepare_photo(before.read_bytes())
    full.write_bytes(prepared.full)
    thumb.write_bytes(prepared.thumb)
    told, *after = told_by_exiftool(before, full, thumb)
    assert SECRET.decode() in json.dumps(told)
    assert told["GPS:GPSLatitudeRef"] == "South"
    for names in after:
        groups = {name.split(":")[0] for name in names if ":" in name}
        # ExifTool, System and File describe the file itself, Composite is computed from its size
        assert groups <= {"ExifTool", "System", "File", "JFIF", "PNG", "Composite"}
        assert {name for name in names if name.startswith("Composite:")} <= {
            "Composite:ImageSize",
            "Composite:Megapixels",
        }


@pytest.mark.exiftool
def test_exiftool_sees_nothing_in_a_finished_drawing(tmp_path: Path) -> None:
    after = tmp_path / "after.png"
    after.write_bytes(prepare_photo(TELLTALE["png"](drawing())).full)
    told = {name for name in told_by_exiftool(after)[0] if name.startswith("PNG")}
    assert told <= {
        f"PNG:{tag}"
        for tag in (
            "ImageWidth",
            "ImageHeight",
            "BitDepth",
            "ColorType",
            "Compression",
            "Filter",
            "Interlace",
            "Palette",
        )
    }


def test_the_same_file_gives_the_same_bytes() -> None:
    data = telltale_jpeg(photo((1700, 900)))
    assert prepare_photo(data) == prepare_photo(data)


def test_two_files_that_differ_only_beside_the_pixels_give_the_same_bytes() -> None:
    assert prepare_photo(telltale_png(photo())) == prepare_photo(saved(photo(), "PNG"))
