"""What may be typed after the verbs about what harms. Not the verbs themselves (``stopping``)."""

from __future__ import annotations

import argparse
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable


def _person(verb: argparse.ArgumentParser, *, required: bool = True) -> None:
    verb.add_argument("--as", dest="person", metavar="PERSON", required=required, help="who says it, for example C1")


def _edition(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("edition", metavar="EDITION", help="its id, or the first eight or more characters of it")


def _recall(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    verb.add_argument("--harm", required=True, metavar="WORDS", help="what it did, to whom")
    verb.add_argument("--now", default="", metavar="WORDS", help="what to do now where it is in use")
    verb.add_argument("--instead", required=True, metavar="WORDS", help="what to do instead")
    verb.add_argument("--at-risk", default="", metavar="WORDS", help="who may have been harmed, and is looked after")
    verb.add_argument("--sources", default="", metavar="WORDS", help="how the harm is known, by office, without names")
    verb.add_argument(
        "--ingredient", default="", metavar="PURPOSE THING", help="stop all that holds it too, as 'spray tobacco'"
    )
    _person(verb)


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


def _allow(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("editions", metavar="EDITION", nargs="+", help="what may be used again; all else stays stopped")
    verb.add_argument("--reason", required=True, metavar="WORDS", help="why it is no longer feared")
    _person(verb)


def _withdrawn(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("entry", metavar="ENTRY", nargs="?", help="only this entry; without it, everything withdrawn")
    verb.set_defaults(person=None)


def _heard(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("first", metavar="LINE1", help="the line that begins with STOP, in quotes")
    verb.add_argument("second", metavar="LINE2", nargs="?", default="", help="what to do, in quotes; may be left out")
    _person(verb)


def _second(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    _person(verb)


def _sheets(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--sheets", type=_whole_number, required=True, metavar="N", help="how many sheets")


def _whole_number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise argparse.ArgumentTypeError(f"{text!r} is no whole number")
    return int(text)


def _printed(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    _sheets(verb)
    verb.add_argument("--where", required=True, metavar="WORDS", help="where they hang, in a few words without names")
    _person(verb, required=False)


def _took_down(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("entry", metavar="ENTRY", help="the withdrawn practice, by its id or that of an edition")
    _sheets(verb)
    _person(verb)


def _drill(verb: argparse.ArgumentParser) -> None:
    _person(verb, required=False)


STOP_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {
        "recall": ("stop a harmful practice at every site", _recall),
        "tell": ("tell that a practice did not work or hurt someone, without an account", _tell),
        "told": ("what people told, with the answers; open reports of harm first", _told),
        "answer": ("answer what somebody told", _answer),
        "allow": ("one of the two voices that allow a withdrawn practice again", _allow),
        "withdrawn": ("what is withdrawn, with its notice and its lines for a radio", _withdrawn),
        "second": ("withdraw the same as another reviewer, having looked at it", _second),
        "printed": ("note how many sheets of an edition were printed, and where they hang", _printed),
        "took-down": ("say for this site that the paper of a withdrawn practice is down", _took_down),
        "drill": ("with --as, withdraw a practice made for a drill; else say how far drills have come", _drill),
        "heard": ("pause here what two lines over a radio name", _heard),
    }
)
