"""Where a stick may be on this machine.

What it is: a list of folders to choose from. What it is not: the way to a stick's content (``site.exchange``). Its one
rule: it only looks at names below the folders where machines show their sticks.
"""

from __future__ import annotations

from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.web.here import WebError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

CARRIER_PREFIX = "tried-ground-"
BACKUP_SUFFIX = ".sealed"
_SHOWN_MAX = 50  # more is no choice; any other file can be typed
_DEEP = 2  # /media/user/STICK


def plausible_sticks(roots: Iterable[Path]) -> tuple[Path, ...]:
    """The folders that look like sticks: mounted there, or already used for exchanging."""
    return tuple(sorted({found for root in roots for found in _below(root, _DEEP)}))


def sealed_files(roots: Iterable[Path]) -> tuple[Path, ...]:
    """The files on sticks that are called like backups, in the stick itself or a folder of it."""
    folders = [place for stick in plausible_sticks(roots) for place in (stick, *_folders_in(stick))]
    found = (path for folder in folders for path in _files_in(folder) if path.suffix == BACKUP_SUFFIX)
    return tuple(islice(found, _SHOWN_MAX))


def chosen_folder(form: Mapping[str, str]) -> Path:
    """The folder that a form of ``stick_choice`` names: what was typed goes before what was picked.

    Raises:
        WebError: none was named, or there is none.
    """
    typed = form.get("typed", "").strip() or form.get("folder", "").strip()
    if not typed:
        raise WebError("no folder was chosen", hint="put the stick in, then choose its folder or type where it is")
    folder = Path(typed)
    if not folder.is_absolute() or not folder.is_dir():
        raise WebError(f"there is no folder {typed}", hint="type its whole path, such as /media/stick")
    return folder


def _below(folder: Path, levels: int) -> Iterator[Path]:
    for child in _folders_in(folder):
        if child.is_mount() or any(one.name.startswith(CARRIER_PREFIX) for one in _folders_in(child)):
            yield child
        elif levels > 1:
            yield from _below(child, levels - 1)


def _files_in(folder: Path) -> list[Path]:
    try:
        return sorted(child for child in folder.iterdir() if child.is_file() and not child.is_symlink())
    except OSError:
        return []


def _folders_in(folder: Path) -> list[Path]:
    try:
        return sorted(child for child in folder.iterdir() if not child.is_symlink() and child.is_dir())
    except OSError:  # not there, or not ours to look into: nothing to offer
        return []
