"""The files that come with the program: `schemas/` and `seed_entries/`.

What it is: the one place that knows where these folders lie, in a checkout (beside the package) and in an installed
wheel (inside it, under `_shipped/`). What it is not: a way to read a site's own files.

Its one rule: only files below these two folders are opened, they are read as they are, and never written.
"""

from functools import cache
from pathlib import Path, PurePosixPath

from fieldbook.errors import FieldbookError

_PACKAGE = Path(__file__).resolve().parent
_FOLDERS = frozenset({"schemas", "seed_entries"})


@cache
def _root() -> Path:
    """Return the folder that holds `schemas/` and `seed_entries/`; the installed place comes first."""
    for root in (_PACKAGE / "_shipped", _PACKAGE.parent):
        if all((root / folder).is_dir() for folder in _FOLDERS):
            return root
    message = "the folders schemas and seed_entries are missing from this installation"
    raise FieldbookError(message, hint="install the package again")


def _located(name: str) -> Path:
    parts = PurePosixPath(name).parts
    if not parts or parts[0] not in _FOLDERS or ".." in parts or "\\" in name:
        raise FieldbookError(
            f"no shipped file is called {name!r}", hint="begin the name with schemas/ or seed_entries/"
        )
    return _root().joinpath(*parts)


@cache
def shipped_bytes(name: str) -> bytes:
    """Return the bytes of a shipped file.

    Args:
        name: Its address from the top, with forward slashes, such as `seed_entries/crops.csv`.

    Raises:
        FieldbookError: No such file comes with the program.
    """
    path = _located(name)
    if not path.is_file():
        raise FieldbookError(f"no shipped file is called {name!r}", hint="install the package again")
    return path.read_bytes()


@cache
def shipped_text(name: str) -> str:
    """Return the text of a shipped file (UTF-8), as `shipped_bytes` finds it."""
    return shipped_bytes(name).decode("utf-8")


def shipped_names(folder: str) -> tuple[str, ...]:
    """Return the names of all files below a shipped folder, sorted, each as `shipped_bytes` takes it.

    Args:
        folder: `schemas`, `seed_entries` or a folder below them, with forward slashes.

    Raises:
        FieldbookError: No such folder comes with the program.
    """
    start = _located(folder)
    if not start.is_dir():
        raise FieldbookError(f"no shipped folder is called {folder!r}", hint="install the package again")
    found = (path.relative_to(_root()) for path in start.rglob("*") if path.is_file())
    return tuple(sorted(path.as_posix() for path in found))
