"""Works of a site that a fault meets, and the scene in which they begin.

Not a test. Its one rule: each work is what a person does in one go, and says one thing when it is acknowledged.
"""

from __future__ import annotations

import io
import shutil
from dataclasses import dataclass
from functools import cache
from random import Random
from typing import TYPE_CHECKING, Any

from PIL import Image

from fieldbook.site import PhotoIn, Signer, Site
from sync import SigningKey
from tests.orrendal import copy_of_circle, fast_folder, noon, practice

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

ROLES = {"C1": frozenset({"trainer"}), "C3": frozenset({"trainer", "reviewer"})}


@dataclass(frozen=True)
class Scene:
    """A site and a stick before the work, and what the work needs to know."""

    place: Path
    stick: Path
    seeds: dict[str, str]
    edition: str
    held: frozenset[str]

    def copied(self, folder: Path) -> Scene:
        """The same, in a folder of its own."""
        for path in (self.place, self.stick):
            shutil.copytree(path, folder / path.name)
        return Scene(folder / self.place.name, folder / self.stick.name, self.seeds, self.edition, self.held)


def picture(shade: int) -> bytes:
    """A small photo."""
    file = io.BytesIO()
    Image.radial_gradient("L").resize((96, 64)).point(lambda value: (value + shade) % 256).save(file, "JPEG")
    return file.getvalue()


def photos() -> tuple[PhotoIn, PhotoIn]:
    """One that may leave the site and one that stays."""
    return PhotoIn("bed", picture(10), "none", "bed.jpg"), PhotoIn("crowd", picture(90), "", "crowd.jpg")


@cache
def scene() -> Scene:
    """Cloudstep with a draft, with an edition that waits for C3, and a stick with much to take and to leave."""
    circle = copy_of_circle(fast_folder())
    site = circle["C"]
    waiting = circle.write("C1", practice("Rows of leeks"))
    site.write(practice("Rows of chard"), signer=circle.signer("C1"), photos=photos(), draft=True)
    first = circle.write("L2", practice("Rows of beans"), photos=(PhotoIn("beans", picture(50), "none", "b.jpg"),))
    circle.carry("L")
    circle.recall("L2", first)
    circle.write("L2", practice("Rows of kale"))
    circle.carry("L")
    circle.write("C1", practice("Rows of onions"), photos=photos()[:1])
    assert site.ledger is not None
    held = frozenset(said.id for said in site.ledger.all_said())
    circle.close()
    seeds = {label: key.seed.hex() for label, key in circle.keys.items()}
    return Scene(circle.place("C"), circle.stick, seeds, waiting, held)


def opened(given: Scene, *, chance: str = "work") -> Site:
    """The site of a scene."""
    return Site.open(given.place, clock=noon, random=Random(chance).randbytes)


def signer(given: Scene, label: str) -> Signer:
    """A person at it."""
    return Signer(label, ROLES[label], SigningKey.from_seed(bytes.fromhex(given.seeds[label])))


def write(site: Site, given: Scene) -> str:
    """Offer an entry with a photo that leaves and one that stays."""
    written = site.write(practice("Rows of garlic"), signer=signer(given, "C1"), photos=photos())
    assert written.edition is not None
    return written.edition


def keep(site: Site, given: Scene) -> str:
    """Keep a draft with photos."""
    written = site.write(practice("Rows of okra"), signer=signer(given, "C1"), photos=photos(), draft=True)
    assert written.draft is not None
    return written.draft


def offer(site: Site, given: Scene) -> str:
    """Offer the draft."""
    written = site.offer("draft-1", signer=signer(given, "C1"))
    assert written.edition is not None
    return written.edition


def approve(site: Site, given: Scene) -> str:
    """Approve the edition that waits."""
    return site.approve(given.edition, signer=signer(given, "C3"), answers={})


def exchange(site: Site, given: Scene) -> str:
    """Take in and leave."""
    report = site.exchange(given.stick)
    return f"accepted {report.accepted} left {report.left} not left {report.not_left} not proven {report.not_proven}"


def rebuild(site: Site, given: Scene) -> str:
    """Make view and index anew."""
    return f"entries {site.rebuild()}"


WORKS: dict[str, Callable[[Site, Scene], Any]] = {
    work.__name__: work for work in (write, keep, offer, approve, exchange, rebuild)
}


def do(name: str, given: Scene) -> str:
    """Open the site, do one work, and close it."""
    site = opened(given)
    try:
        return str(WORKS[name](site, given))
    finally:
        site.close()
