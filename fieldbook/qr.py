"""A short text as a square that a phone's camera reads, for pages and for terminals.

Not the words themselves: whoever shows a square shows its words beside it, for people without a camera. Its one rule:
the square says exactly the text that was given, in capitals, and nothing else: no address, nothing that a phone opens.
"""

from __future__ import annotations

from html import escape
from itertools import groupby
from typing import Final

import segno

QUIET_MODULES: Final = 4  # the light border; Source: ISO/IEC 18004, section "Quiet zone" (from memory)
_SPARE = "m"  # up to about 15 % of the square may be unreadable (ISO/IEC 18004, level M, from memory)
_HALVES = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}


def qr_svg(text: str, *, label: str) -> str:
    """Draw a text as an SVG picture, black on white.

    Args:
        text: letters, digits and spaces; written in capitals, which a square holds in fewer modules.
        label: what the picture is, for readers who hear the page.
    """
    rows = _light_rows(text)
    paths = []
    for y, row in enumerate(rows):
        x = 0
        for light, run in groupby(row):
            wide = len(list(run))
            if not light:
                paths.append(f"M{x} {y}h{wide}v1h-{wide}z")
            x += wide
    side = len(rows)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="qr" role="img" aria-label="{escape(label)}" '
        f'viewBox="0 0 {side} {side}" width="{side * 5}" height="{side * 5}" shape-rendering="crispEdges">'
        f'<rect width="{side}" height="{side}" fill="#fff"/><path d="{"".join(paths)}" fill="#000"/></svg>'
    )


def qr_lines(text: str) -> list[str]:
    """Draw a text for a terminal, two rows of modules a line; what is light is drawn, as terminals are mostly dark."""
    rows = _light_rows(text)
    if len(rows) % 2:
        rows.append([True] * len(rows))
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return ["".join(_HALVES[above, below] for above, below in zip(*pair, strict=True)) for pair in pairs]


def _light_rows(text: str) -> list[list[bool]]:
    """The modules with their border, row by row; True is light."""
    code = segno.make(text.upper(), error=_SPARE, boost_error=False, micro=False)
    return [[not dark for dark in row] for row in code.matrix_iter(border=QUIET_MODULES)]
