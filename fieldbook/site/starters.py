"""The starter entries that come with the program, as a site writes them.

Not a way to bring them into a network that has them already: only a site that founds one takes them up. Its one rule:
they are written by a person of the site like any other entry, and count for no more than that.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.shipped import shipped_bytes, shipped_names, shipped_text
from fieldbook.site.writing import PhotoIn

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fieldbook.site.parts import Signer
    from fieldbook.site.writing import Writing

_ROOT = "seed_entries"
_ENTRY = "/entry.json"


@dataclass(frozen=True)
class StarterEntry:
    """A shipped entry with its photos, and who writes it and approves it with which answers in the demonstration."""

    name: str
    document: dict[str, Any]
    photos: tuple[PhotoIn, ...]
    writer: str
    approvals: tuple[Mapping[str, Any], ...]


def starter_names() -> tuple[str, ...]:
    """The names of all starter entries, sorted."""
    return tuple(sorted(name.split("/")[1] for name in shipped_names(_ROOT) if name.endswith(_ENTRY)))


def starter_entries() -> tuple[StarterEntry, ...]:
    """All starter entries that come with the program, by name."""
    return tuple(_starter(name) for name in starter_names())


def _starter(name: str) -> StarterEntry:
    root = f"{_ROOT}/{name}/"
    document = json.loads(shipped_text(root + "entry.json"), parse_float=str)
    review = json.loads(shipped_text(root + "answers.json"))
    photos = tuple(
        PhotoIn(photo["name"], shipped_bytes(root + photo["file"]), photo["people"]) for photo in document["photos"]
    )
    return StarterEntry(name, document, photos, review["writer"], tuple(review["approvals"]))


def write_starters(site: Writing, *, signer: Signer, progress: Callable[[str, int, int], None]) -> None:
    """Let a person of a site write every starter entry, offered and unchecked.

    Args:
        site: the open site, in a network that has none of them.
        signer: who says them: a trainer.
        progress: called with what is being done, how many are done, and of how many.

    Raises:
        FieldbookError: the signer may not write here, or the disk is full.
    """
    names = starter_names()
    for done, name in enumerate(names, start=1):
        starter = _starter(name)
        site.write(starter.document, signer=signer, photos=starter.photos)
        progress("writing the starter entries", done, len(names))
