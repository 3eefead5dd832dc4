"""What may be typed after the verbs about who may do what. Not the verbs themselves (``roles``)."""

from __future__ import annotations

import argparse
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from fieldbook.practices.codes import ENTRY_KINDS

if TYPE_CHECKING:
    from collections.abc import Callable


def whole_number(text: str) -> int:
    """A whole number as it is typed.

    Raises:
        ArgumentTypeError: it is none.
    """
    try:
        return int(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no whole number") from error


def _as_person(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--as", dest="person", metavar="PERSON", required=True, help="who says it, for example C1")


def _who(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("label", metavar="LABEL", nargs="*", help="one key with all that it said, for example C3")


def _tried(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--try", dest="tried", action="store_true", help="say what would come of it, and do nothing")


def _grant(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("words", metavar="WORDS", nargs="+", help="the eight words that the person said to you")
    verb.add_argument(
        "--scope", action="append", default=[], metavar="KIND", choices=ENTRY_KINDS, help="only this kind of entries"
    )
    _as_person(verb)


def _stewards(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--add", action="append", default=[], metavar="WORDS", help="the eight words of a person, quoted")
    verb.add_argument("--leave", action="append", default=[], metavar="LABEL", help="a signatory who is none any more")
    verb.add_argument(
        "--threshold", type=whole_number, default=0, metavar="N", help="how many must agree, more than half"
    )
    _tried(verb)
    _as_person(verb)


def _agree(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("motion", metavar="ID", help="what waits for voices, as `who` lists it")
    verb.add_argument(
        "--words", action="append", default=[], metavar="WORDS", help="the eight words that a newcomer said, quoted"
    )
    _tried(verb)
    _as_person(verb)


def _put_away(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("motion", metavar="ID", help="what waits for voices, as `who` lists it")
    verb.add_argument("--back", action="store_true", help="show it again among what waits")
    _as_person(verb)


def _stop(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("label", metavar="LABEL", help="whose key, for example C3")
    doubt = verb.add_mutually_exclusive_group(required=True)
    doubt.add_argument(
        "--doubted",
        action="append",
        default=[],
        metavar="ID",
        help="the first word that you doubt, as `who LABEL` lists it",
    )
    doubt.add_argument("--everything", action="store_true", help="all that this key ever said is doubted")
    doubt.add_argument("--nothing", action="store_true", help="all that is here stands; only what comes later does not")
    _tried(verb)
    _as_person(verb)


def _lift(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("label", metavar="LABEL", help="whose key, for example C3")
    _tried(verb)
    _as_person(verb)


def _adopt(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("said", metavar="ID", nargs="+", help="what was set aside, as `who LABEL` lists it")
    _as_person(verb)


ROLE_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {
        "who": ("who may do what, what waits for voices, or one key with all that it said", _who),
        "grant": ("one signatory's voice for a reviewer, by the words that they said", _grant),
        "stewards": ("one voice for the next list of signatories", _stewards),
        "agree": ("add a voice to what other signatories have said", _agree),
        "put-away": ("hide at this site what waits for voices and is wanted no more", _put_away),
        "stop": ("stop a key that was stolen or lost", _stop),
        "lift": ("one voice for lifting the stop of a key", _lift),
        "adopt": ("take back in what was good of what a stop set aside", _adopt),
    }
)
