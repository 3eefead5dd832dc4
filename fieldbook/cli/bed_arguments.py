"""What may be typed after the verbs of beds and of what is due. Not the verbs themselves (``gardening``)."""

from __future__ import annotations

import argparse
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from fieldbook.tasks.plantings import RAISED_WORDS
from fieldbook.tasks.spots import CAN_CONTENTS, SPOT_KINDS, WHATS

if TYPE_CHECKING:
    from collections.abc import Callable

WEEKS_MAX = 52


def _weeks(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 4 and 1 <= int(text) <= WEEKS_MAX):
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is no number of weeks from 1 to {WEEKS_MAX}")
    return int(text)


def _bed(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("label", nargs="?", metavar="LABEL", help="letter and number, as B3; without it the whole book")
    verb.add_argument("--add", metavar="KIND", choices=tuple(SPOT_KINDS), help="write it in: bed, box, can or pen")
    verb.add_argument("--holds", default="", choices=tuple(CAN_CONTENTS), help="of a can: what it is for")
    verb.add_argument("--area", default="", metavar="M2", help="its square metres")
    verb.add_argument("--shared", action="store_true", help="others eat of it too, or it is sold")
    verb.add_argument("--by-hand", action="store_true", help="its days are marked by hand, today is day 0")
    verb.add_argument("--note", metavar="WHAT", choices=tuple(WHATS), help="what happened there, as dung or planted")
    verb.add_argument("--day", default="", metavar="DAY", help="on which day: 2027-03-01, or the number of the day")
    verb.add_argument("--crop", default="", metavar="CROP", help="with planted or picked: a crop of the table")
    verb.add_argument("--raised", default="", choices=tuple(RAISED_WORDS), help="with planted: how it was begun")
    verb.add_argument("--clear", action="store_true", help="with planted: what is eaten hangs clear of the soil")
    verb.add_argument("--can", default="", metavar="LABEL", help="with urine: from which can")
    verb.add_argument("--said", default="", metavar="WORDS", help="with spray, officer, lost: what, or whose word")
    verb.add_argument("--wait", default="", metavar="DAYS", help="with spray: the wait that is published")
    verb.add_argument("--until", default="", metavar="DAY", help="with officer: eaten again from this day on")
    verb.add_argument("--mark", metavar="N", help="mark by hand which day it is there")
    verb.add_argument("--sure", action="store_true", help="with --mark: it is right though it lies far ahead")


def _due(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--weeks", type=_weeks, default=2, metavar="N", help="how far ahead (2)")
    verb.add_argument("--day", default="", metavar="DATE", help="today's date, where the clock is wrong")
    verb.add_argument("--ics", metavar="FILE", help="write an iCalendar file for a phone instead")


BED_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {
        "bed": ("the bed book: beds, boxes, cans and pens, and what happened there", _bed),
        "due": ("what is due by day and bed, or a calendar file of it", _due),
    }
)
