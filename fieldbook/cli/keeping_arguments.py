"""What may be typed after the verbs that keep a site from being lost. Not the verbs themselves (``keeping``)."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable


def _backup(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", metavar="FILE", help="the file to write, best on a stick that stays elsewhere")


def _restore(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", metavar="FILE", help="the backup")
    verb.add_argument("folder", metavar="DIR", help="where the site shall be: a folder that is not there yet")


def _mend(verb: argparse.ArgumentParser) -> None:
    what = verb.add_mutually_exclusive_group()
    what.add_argument("--look", action="store_true", help="say what is damaged and who holds it; change nothing")
    what.add_argument("--remove-old", action="store_true", help="remove the damaged file that a mending set aside")


KEEPING_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {
        "mend": ("after damage: keep what still verifies; an exchange brings back what others hold", _mend),
        "backup": ("write all that cannot be made anew into one sealed file, and show its recovery phrase", _backup),
        "restore": ("put a site back from its backup and the words on its recovery sheet", _restore),
    }
)
