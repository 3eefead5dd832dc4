"""Paints each starter entry's ``drawing.svg`` as the ``drawing.png`` beside it, in a real browser.

Not a drawing program: the SVG is the source and is written by hand. Its one rule: the picture is 1200 px wide, black
on white, in 16 greys that only smooth the edges. ``python -m tests.drawings`` paints all of them anew.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from tests.conftest import find_program

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SEED_ENTRIES = Path(__file__).parents[1] / "seed_entries"
WIDTH_PX = 1200
_GREYS = 16
_FINER = 3  # painted so much larger first, so that thin strokes keep their width


def starter_folders() -> list[Path]:
    """Return the folders that hold a starter entry, in the order of their names."""
    return sorted(path.parent for path in SEED_ENTRIES.glob("*/entry.json"))


def paint(browser: Browser, svg: str, *, finer: int = _FINER) -> Image.Image:
    """Return the drawing as a picture of 16 greys, WIDTH_PX wide; less fine is quicker, and thin strokes are paler."""
    page = browser.new_page(viewport={"width": WIDTH_PX, "height": WIDTH_PX}, device_scale_factor=finer)
    page.set_content(f"<!doctype html><style>body{{margin:0}}svg{{display:block}}</style>{svg}")
    raw = page.locator("svg").first.screenshot()
    page.close()
    large = Image.open(io.BytesIO(raw)).convert("L")
    small = large.resize((WIDTH_PX, round(large.height * WIDTH_PX / large.width)), Image.Resampling.LANCZOS)
    step = 255 // (_GREYS - 1)
    return small.point([min(255, (grey + step // 2) // step * step) for grey in range(256)])


def encode(picture: Image.Image) -> bytes:
    """Return the picture as a PNG of at most 16 greys."""
    out = io.BytesIO()
    picture.convert("P", palette=Image.Palette.ADAPTIVE, colors=_GREYS).save(out, "PNG", optimize=True)
    return out.getvalue()


def main() -> None:
    """Paint every drawing anew."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_program("browser"), args=["--no-sandbox"])
        for folder in starter_folders():
            painted = encode(paint(browser, (folder / "drawing.svg").read_text(encoding="utf-8")))
            (folder / "drawing.png").write_bytes(painted)
            sys.stdout.write(f"{folder.name}: {len(painted)} bytes\n")
        browser.close()


if __name__ == "__main__":
    main()
