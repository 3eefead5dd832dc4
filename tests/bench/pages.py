"""How long the server thinks about a page, and how many bytes it sends, through the real application.

The floor of the time is an application of the same framework that sends the same bytes ready-made; the floor of the
bytes is the same text packed by xz.
"""

from __future__ import annotations

import gzip
import lzma
from typing import TYPE_CHECKING

from flask import Flask, Response

from fieldbook.web import create_app
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.garden import garden
from tests.bench.measure import middle_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from flask.testing import FlaskClient

PACKED = {"Accept-Encoding": "gzip"}


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Ask for the pages that people ask for most, with few entries and with many."""
    for entries in (0, size.entries):
        with garden(entries) as circle:
            site = circle["C"]
            client = create_app(site).test_client()
            pages = {"first page": "/", "entry": f"/entry/{site.view.entries()[0]}", "calendar": "/calendar"}
            pages |= {"a crop": "/calendar/kale", "all crops": "/calendar/whole"}
            pages["all entries"] = "/practices"
            for name, path in pages.items():
                yield page_figure(f"{name}, {number(entries + 2)} entries", client, path, size)


def page_figure(what: str, client: FlaskClient, path: str, size: Size) -> Figure:
    """One page through the real application, against the same bytes ready-made."""
    packed = client.get(path, headers=PACKED)
    if packed.status_code != 200:
        raise AssertionError(f"{path} answers {packed.status_code}")
    page = gzip.decompress(packed.data)
    asked = 2 * size.repeats + 1  # times; the first is left out of the median by it
    nothing = Flask("nothing")
    nothing.add_url_rule("/", view_func=lambda: Response(packed.data, mimetype="text/html"))
    bare = nothing.test_client()
    floor = middle_of(lambda: bare.get("/"), repeats=asked)
    ours = middle_of(lambda: client.get(path, headers=PACKED), repeats=asked)
    least = len(lzma.compress(page, preset=6))  # the higher ones differ for more than 8 MiB alone, and take longer
    return Figure(
        what,
        f"{seconds(floor)}: the same bytes ready; {number(least)} bytes by xz",
        f"{seconds(ours)}, {number(len(packed.data))} bytes sent, {number(len(page))} unpacked",
        f"{seconds(ours - floor)} more; {times(len(packed.data), least)} the bytes",
    )
