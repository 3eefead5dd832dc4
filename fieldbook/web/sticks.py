"""Where a stick may be on this machine.

What it is: a list of folders to choose from. What it is not: the way to a stick's content (``site.exchange``). Its one
rule: it only looks at names below the folders where machines show their sticks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

CARRIER_PREFIX = "tried-ground-"
_DEEP = 2  # /media/user/STICK


def plausible_sticks(roots: Iterable[Path]) -> tuple[Path, ...]:
    """The folders that look like sticks: mounted there, or already used for exchanging."""
    return tuple(sorted({found for root in roots for found in _below(root, _DEEP)}))


def _below(folder: Path, levels: int) -> Iterator[Path]:
    for child in _folders_in(folder):
        if child.is_mount() or any(one.name.startswith(CARRIER_PREFIX) for one in _folders_in(child)):
            yield child
        elif levels > 1:
            yield from _below(child, levels - 1)


def _folders_in(folder: Path) -> list[Path]:
    try:
        return sorted(child for child in folder.iterdir() if not child.is_symlink() and child.is_dir())
    except OSError:  # not there, or not ours to look into: nothing to offer
        return []
