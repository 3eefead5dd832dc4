"""What may be typed after the verbs about what harms. Not the verbs themselves (``stopping``)."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable


def _person(verb: argparse.ArgumentParser, *, required: bool = True) -> None:
    verb.add_argument("--as", dest="person", metavar="PERSON", required=required, help="who says it, for example C1")


def _edition(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("edition", metavar="EDITION", help="its id, or the first eight or more characters of it")


def _tell(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    what = verb.add_mutually_exclusive_group(required=True)
    what.add_argument("--hurt", action="store_true", help="it hurt someone, or an animal: it is paused here at once")
    what.add_argument("--did-not-work", action="store_true", help="it did not work")
    verb.add_argument("--words", default="", metavar="WORDS", help="what happened; no names, no numbers of people")
    _person(verb, required=False)


def _told(verb: argparse.ArgumentParser) -> None:
    verb.set_defaults(person=None)


def _answer(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("report", metavar="REPORT", help="its id as `told` gives it, or the first eight characters")
    verb.add_argument("--words", required=True, metavar="WORDS", help="the answer, which everybody can read")
    _person(verb)


STOP_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {
        "tell": ("tell that a practice did not work or hurt someone, without an account", _tell),
        "told": ("what people told, with the answers; open reports of harm first", _told),
        "answer": ("answer what somebody told", _answer),
    }
)
