"""A site on its first day: it founded a network of one and took up the starter entries; built once, copied for a test.

Not a test. Its one rule: it comes to be by the function that people use, with time and chance given.
"""

from __future__ import annotations

import shutil
from functools import cache
from random import Random
from typing import TYPE_CHECKING

from fieldbook.site import Founding, Site, begin_site
from tests.orrendal import PASSPHRASE, fast_folder, noon, site_facts

if TYPE_CHECKING:
    from pathlib import Path

PROGRESS: list[tuple[str, int, int]] = []


@cache
def _first_day() -> Path:
    folder = fast_folder() / "cloudstep"
    begin_site(
        folder,
        site_facts("C"),
        founding=Founding("Cloudstep Terrace", "C1", PASSPHRASE, starters=True),
        clock=noon,
        random=Random("first day").randbytes,
        progress=lambda *said: PROGRESS.append(said),
    )
    return folder


def lone_site(folder: Path | None = None) -> Site:
    """A copy of that site, open; close it."""
    place = folder or fast_folder() / "cloudstep"
    shutil.copytree(_first_day(), place)
    return Site.open(place, clock=noon, random=Random("day after").randbytes)
