"""One busy exchange, tried again and again with a fault at each call in turn.

Not the faults themselves. One rule: every trial starts from the same folders, byte for byte.
"""

from __future__ import annotations

import shutil
from itertools import count
from typing import TYPE_CHECKING

from sync import check_store
from tests.sync.camps import Site, bundles_of, carry, circle, folder_of, meet, new_stick, share_one_set

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def busy_scene(place: Path) -> tuple[dict[str, Site], Path]:
    """A stick that has something to take, to leave, to replace, to mend and to clear."""
    sites = circle(place, "CT")
    stick = new_stick(place)
    meet(stick, *sites.values())
    photo = sites["C"].store.attachments.put(b"a drawing")
    edition = sites["C"].edition(attachments=[photo])
    sites["C"].say("garden/recall", {})
    sites["C"].exchange(stick)
    sites["C"].edition("and one more")
    sites["C"].exchange(stick)
    bundles_of(stick, "urgent")[0].write_bytes(b"damaged")
    (folder_of(stick) / "network.json").write_bytes(b"")
    sites["T"].edition("of T", attachments=[sites["T"].store.attachments.put(b"another")])
    own = sites["T"].edition("taken back")
    sites["T"].exchange(new_stick(place, "other"))
    sites["T"].say("sync/redaction", {}, after=[own.id])
    assert edition
    return sites, stick


def each_time(place: Path, *, every: int = 1) -> Iterator[tuple[int, dict[str, Site], Path]]:
    """The scene, as it was, once for each call (or every so manieth) that is to go wrong."""
    sites, _ = busy_scene(place / "scene")
    for site in sites.values():
        site.store.close()
    for number in count(1, every):
        shutil.copytree(place / "scene", place / "now")
        for letter, site in sites.items():
            site.folder = place / "now" / letter
            site.reopen()
        yield number, sites, place / "now" / "stick"
        for site in sites.values():
            site.store.close()
        shutil.rmtree(place / "now")


def acknowledged_at(sites: dict[str, Site]) -> set[str]:
    """The ids of all that was said."""
    return {each.id for site in sites.values() for each in site.store.statements()}


def require_all_well(sites: dict[str, Site], stick: Path, acknowledged: set[str]) -> None:
    """The next exchanges succeed, and nothing that was acknowledged is lost.

    A torn copy under a good name is found by whoever reads it, so it may cost each of them one visit more.
    """
    carry(stick, sites["T"], sites["C"], sites["T"], rounds=1)
    if not share_one_set(*sites.values()):
        carry(stick, sites["C"], sites["T"], rounds=1)
    assert share_one_set(*sites.values())
    for site in sites.values():
        assert {each.id for each in site.store.statements()} == acknowledged
    assert check_store(sites["T"].store) == ()
    assert not list(stick.rglob("*.part"))
