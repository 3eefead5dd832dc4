"""What may be typed after the verb of comparisons. Not the verb itself (``comparing``)."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable


def _compare(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("entry", metavar="ENTRY", nargs="?", help="the practice, or one of its editions; without it all")
    verb.add_argument(
        "--begin", metavar="PLAN.json", help="draw lots by this plan, as the form of the page asks for it"
    )
    verb.add_argument("--number", metavar="N", help="which comparison, as `compare` lists it")
    verb.add_argument(
        "--counts", metavar="FILE.json", help='type in counts: {"units": [{"label": "1", "counted": [3]}]}'
    )
    verb.add_argument("--finish", metavar="FILE.json", help='sign it: {"outcome": "worked", "note": "..."}')
    verb.add_argument("--drop", metavar="WHY", help="give it up; what was counted stays in the notebook")
    verb.add_argument("--whole", metavar="TRIAL.json", help="sign one that was done on paper, as its schema says")
    verb.add_argument("--as", dest="person", metavar="PERSON", help="who signs; without it the site does")


COMPARE_VERBS: Final[MappingProxyType[str, tuple[str, Callable[[argparse.ArgumentParser], None]]]] = MappingProxyType(
    {"compare": ("compare a practice with the usual way: begin, count, sign, and what all comparisons say", _compare)}
)
