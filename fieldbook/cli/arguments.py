"""What may be typed: every verb with its arguments. Its one rule: a passphrase is never an argument."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any, NoReturn

from fieldbook.cli.bed_arguments import BED_VERBS
from fieldbook.cli.compare_arguments import COMPARE_VERBS
from fieldbook.cli.keeping_arguments import KEEPING_VERBS
from fieldbook.cli.role_arguments import ROLE_VERBS, whole_number
from fieldbook.cli.starting import starting_arguments
from fieldbook.cli.stop_arguments import STOP_VERBS
from fieldbook.climate.monthly import METHODS
from fieldbook.errors import FieldbookError
from fieldbook.quantities import CALCULATORS
from fieldbook.review.sending_back import REASONS

if TYPE_CHECKING:
    from collections.abc import Callable


class UsageError(FieldbookError):
    """What was typed is no command."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise UsageError(message, hint=f"type `{self.prog} --help` to see what can be typed")


def build_parser() -> argparse.ArgumentParser:
    """The parser of the whole command; a parsed verb stands in ``verb``."""
    parser = _Parser(
        prog="fieldbook", description="Practices that sites keep offline and exchange. Screen name: Tried Ground."
    )
    parser.add_argument("--site", metavar="DIR", help="the site's folder (or FIELDBOOK_SITE)")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", required=True, parser_class=_Parser)
    for name, (help_text, add_arguments) in _VERBS.items():
        verb = verbs.add_parser(name, help=help_text, description=help_text)
        add_arguments(verb)
        verb.add_argument("--json", action="store_true", help="print JSON for machines")
    return parser


def _as_person(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--as", dest="person", metavar="PERSON", required=True, help="who says it, for example C1")


def _as_reader(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--as", dest="person", metavar="PERSON", help="sign in as this trainer or reviewer, who sees more than readers"
    )


def _place(verb: argparse.ArgumentParser, *, required: bool) -> None:
    verb.add_argument("--latitude", metavar="N", required=required, help="degrees, south negative, for example -25.4")
    verb.add_argument("--elevation", metavar="N", required=required, help="metres above the sea")
    verb.add_argument(
        "--setting", choices=("interior", "coast", "island"), default="interior", help="how near the sea (interior)"
    )


def _new(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--network", metavar="TITLE", help="found a network of this title; without it the site will join one"
    )
    verb.add_argument("--steward", metavar="LABEL", help="with --network: its first signatory, for example C1")
    verb.add_argument("--no-starters", action="store_true", help="with --network: begin without the starter entries")
    verb.add_argument("--name", required=True, help="the site's name in the network")
    verb.add_argument("--letter", required=True, help="one capital letter")
    _place(verb, required=True)
    verb.add_argument("--normals", metavar="CSV", required=True, help="twelve months: month,rain_mm,tmin_c,tmax_c")
    verb.add_argument("--languages", default="en", metavar="TAGS", help="the site's languages, for example fr,sw")
    verb.add_argument("--watering", action="store_true", help="there is water for plants outside the rains")
    verb.add_argument("--frost-months", default="", metavar="MONTHS", help="months with frost on some nights, as 6,7,8")
    verb.add_argument("--salt-months", default="", metavar="MONTHS", help="months in which the water is salty, as 1,2")


def _person(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("label", metavar="LABEL", help="letter and number, for example C1")
    verb.add_argument("--role", choices=("trainer", "volunteer"), required=True, help="what they do here")


class _PhotoAction(argparse.Action):
    def __call__(self, _parser: object, space: argparse.Namespace, value: Any, _option: object = None) -> None:
        space.photo = [*(space.photo or []), {"file": value, "people": ""}]


class _PeopleAction(argparse.Action):
    def __call__(self, _parser: object, space: argparse.Namespace, value: Any, _option: object = None) -> None:
        if not space.photo or space.photo[-1]["people"]:
            raise UsageError("--people says who is on a photo", hint="type it right after --photo FILE, once for each")
        space.photo[-1]["people"] = value


def _write(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", metavar="ENTRY.json", help="the entry, in the shape of seed_entries/*/entry.json")
    verb.add_argument(
        "--photo", action=_PhotoAction, metavar="FILE", help="a photo; say --people after it, else it stays home"
    )
    verb.add_argument(
        "--people", action=_PeopleAction, choices=("none", "covered", "agreed"), help="who is on that photo"
    )
    verb.add_argument("--draft", action="store_true", help="keep it here, offer it later")
    verb.add_argument(
        "--after", action="append", default=[], metavar="EDITION", help="the edition that this one follows"
    )
    verb.add_argument("--adaptation", action="store_true", help="with --after: a new entry made from that edition")
    _as_person(verb)


def _edition(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("edition", metavar="EDITION", help="its id, or the first eight or more characters of it")


def _offer(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("draft", metavar="DRAFT", help="for example draft-3")
    _as_person(verb)


def _minutes(text: str) -> int:
    if (minutes := whole_number(text)) < 1:
        raise argparse.ArgumentTypeError(f"{minutes} minutes are none; write 1 or more")
    return minutes


def _queue(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--minutes", type=_minutes, default=20, metavar="N", help="how long you have: what fits is for now (20)"
    )
    _as_person(verb)


def _approve(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    verb.add_argument(
        "--answer", action="append", default=[], metavar="RULE=WORDS", help="covers all findings of that rule"
    )
    verb.add_argument("--limit", action="append", default=[], metavar="WORDS", help="approved only with this limit")
    verb.add_argument("--second-word", nargs=3, metavar=("OFFICE", "DAY", "WORDS"), help="a licensed local person's")
    verb.add_argument("--about", action="append", default=[], metavar="CAUTION", help="which danger that is on, as C07")
    _as_person(verb)


def _with_reason(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    verb.add_argument("--reason", required=True, metavar="WORDS", help="why, in a sentence")
    _as_person(verb)


def _send_back(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    verb.add_argument("--code", choices=tuple(REASONS), default="", help="one of the usual reasons")
    verb.add_argument("--reason", default="", metavar="WORDS", help="what the author should change, in a sentence")
    _as_person(verb)


def _take_back(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    verb.add_argument("--photo", metavar="NAME", help="only this photo; without, all its words go")
    _as_person(verb)


def _retire(verb: argparse.ArgumentParser) -> None:
    _with_reason(verb)
    verb.add_argument("--replaced-by", metavar="ENTRY", help="what to use now")


def _release(verb: argparse.ArgumentParser) -> None:
    _edition(verb)
    _as_person(verb)


def _show(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("entry", metavar="ENTRY", help="the id of the entry or of one of its editions")
    verb.add_argument("--language", action="append", default=[], metavar="L", help="in this language where it has it")
    _as_reader(verb)


def _exchange(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("carrier", metavar="CARRIER", help="the folder of the stick")


def _join(verb: argparse.ArgumentParser) -> None:
    _exchange(verb)
    verb.add_argument("--words", default="", metavar="WORDS", help="the eight words of the network as you heard them")
    verb.add_argument(
        "--try", dest="tried", action="store_true", help="only show the words of the network on the stick"
    )


def _holds(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--carrier", metavar="DIR", help="say as well what this stick lacks")


def _admit(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("words", metavar="WORDS", nargs="+", help="the eight words that the site said to you itself")
    verb.add_argument("--carrier", metavar="DIR", required=True, help="the folder of the stick with its request")
    verb.add_argument(
        "--same-letter", action="store_true", help="let it in although a site of the network has its letter"
    )
    _as_person(verb)


def _search(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("words", nargs="+", metavar="WORDS", help="what you see or seek, in your own words")
    verb.add_argument("--language", metavar="L", help="only entries in this language, for example sw")
    verb.add_argument("--limit", type=whole_number, default=20, metavar="N", help="how many at most (20)")
    _as_reader(verb)


def _calendar(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--crop", action="append", default=[], metavar="CROP", help="only this crop of the table")
    verb.add_argument("--persons", metavar="N", help="reckon with a household of N persons; say --water too")
    verb.add_argument("--water", metavar="L", help="all the water that this household has, litres a day")


def _climate(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "normals",
        metavar="NORMALS.csv",
        nargs="?",
        help="twelve months: month,rain_mm,tmin_c,tmax_c, with the place; without it the climate of the site",
    )
    _place(verb, required=False)
    _method(verb)


def _method(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--method", choices=METHODS, help="by which evaporation is computed")


def _borrow(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "lender", metavar="SITE", nargs="?", help="its letter or key; without it the sites that can lend are listed"
    )
    verb.add_argument(
        "--other-side", action="store_true", help="the site lies across the equator, and its wet months are ours"
    )


def _figures(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("normals", metavar="NORMALS.csv", nargs="?", help="twelve months: month,rain_mm,tmin_c,tmax_c")
    verb.add_argument("--own-log", choices=("yes", "no"), help="go by this site's own log, or no longer")
    verb.add_argument("--latitude", metavar="N", help="where the site lies from now on, as after a move")
    verb.add_argument("--elevation", metavar="N", help="metres above the sea from now on")
    verb.add_argument("--setting", choices=("interior", "coast", "island"), help="how near the sea from now on")
    verb.add_argument("--watering", choices=("yes", "no"), help="whether there is water for plants outside the rains")
    verb.add_argument(
        "--frost-months", metavar="MONTHS", help="months with frost on some nights, as 6,7,8; '' for none"
    )
    verb.add_argument("--salt-months", metavar="MONTHS", help="months in which the water is salty, as 1,2; '' for none")
    _method(verb)


def _weather(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("days", metavar="DAYS.csv", nargs="?", help="days: date,rain_mm,rain_days,tmin_c,tmax_c")
    verb.add_argument("--whose", default="", metavar="WORDS", help="with a table: who read these days, and where")
    verb.add_argument("--date", metavar="DATE", help="one day that was read, as 2026-11-25")
    for name, unit in (("rain", "mm"), ("tmin", "C"), ("tmax", "C")):
        verb.add_argument(
            f"--{name}", default="", metavar="N", help=f"with --date: {unit}; leave out what was not read"
        )
    verb.add_argument("--rain-days", default="", metavar="N", help="with --rain: days since the gauge was emptied (1)")


def _compute(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("calculator", metavar="NAME", choices=tuple(CALCULATORS), help=", ".join(CALCULATORS))
    verb.add_argument("file", metavar="INPUT.json", nargs="?", help="what is given; - reads it from the input")
    verb.add_argument("--describe", action="store_true", help="list what it asks for, with units")


def _serve(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--port", type=whole_number, default=8765, metavar="N", help="the port (8765)")
    verb.add_argument(
        "--host", metavar="ADDRESS", default="127.0.0.1", help="the laptop's address on its hotspot, for phones"
    )


def _demo(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--data", metavar="DIR", help="where to build the four sites")
    verb.add_argument("--port", type=whole_number, default=8765, metavar="N", help="the port (8765)")
    verb.add_argument("--no-serve", action="store_true", help="build and exchange only")


def _nothing(_verb: argparse.ArgumentParser) -> None:
    """The verb takes no arguments of its own."""


_VERBS: dict[str, tuple[str, Callable[[argparse.ArgumentParser], None]]] = {
    "new": ("begin a site", _new),
    "person": ("add a person, with a key under a passphrase", _person),
    "write": ("write a practice entry", _write),
    "offer": ("offer a draft for review", _offer),
    "findings": ("what the safety rules find in an edition", _edition),
    "queue": ("what waits for a reviewer, in the order of harm, with the reasons", _queue),
    "approve": ("approve one exact edition", _approve),
    "send-back": ("send an edition back to its author", _send_back),
    "take-back": ("erase the words or a photo of an edition at every site that the word of it reaches", _take_back),
    "retire": ("mark as out of date, not harmful", _retire),
    "hold": ("pause an edition at this site", _with_reason),
    "release": ("end this site's pause", _release),
    **STOP_VERBS,
    **BED_VERBS,
    **COMPARE_VERBS,
    "show": ("show a practice entry", _show),
    "begin": ("what an edition asks of a place, and beginning it there", starting_arguments),
    "join": ("ask a network to let this site in, by a request on a stick", _join),
    "admit": ("let a site into the network, by the words that it said", _admit),
    **ROLE_VERBS,
    "exchange": ("take in from a stick, then leave on it what it lacks", _exchange),
    "holds": ("which sites are known to hold what, and what would be lost with this laptop", _holds),
    "heartbeat": ("say as a signatory how much is stopped, so that sites can tell what they lack", _as_person),
    "search": ("find practice entries in your own words", _search),
    "calendar": ("planting windows from this site's climate", _calendar),
    "borrow": ("go by the climate of another site, moved to this one's height", _borrow),
    "figures": ("go by this site's own twelve months, its own log or another method from now on", _figures),
    "weather": ("the site's log of gauge and thermometer: what it says, one day, or a table of days", _weather),
    "climate": ("reference evaporation and growing periods of a place", _climate),
    "compute": ("a sum of the trade: mixes, dung, plants, loads, water, animals, seeds", _compute),
    "verify": ("check every signature, chain, file and the view", _nothing),
    "rebuild": ("make the view and the search index anew", _nothing),
    **KEEPING_VERBS,
    "serve": ("show the pages at a local address", _serve),
    "demo": ("build and serve the invented network of four sites", _demo),
}
VERBS = tuple(_VERBS)
