"""The verb ``begin``: what an edition asks of a place, and beginning it there on answers from a file.

Its one rule: what may not begin is kept as a slip with every reason, and ends with the exit code of a refusal.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.site import SiteError, read_text_file

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from fieldbook.review.slip_table import Question
    from fieldbook.site import JudgedSlip, Signer, Site

Told = tuple[dict[str, Any], list[str], int]
_REFUSED = 1
_MAY_HOLD = ("answers", "said_on")


def starting_arguments(verb: argparse.ArgumentParser) -> None:
    """What may be typed behind ``begin``."""
    verb.add_argument("edition", metavar="EDITION", help="its id, or the first eight or more characters of it")
    verb.add_argument("--place", metavar="WORDS", help="a few words that tell the place apart here, no address")
    verb.add_argument(
        "--answers", metavar="FILE.json", help="what the place answers, - from the input; without it: the questions"
    )
    verb.add_argument("--as", dest="person", metavar="PERSON", help="the trainer who begins it, with --answers")


def begin(site: Site, options: argparse.Namespace, signer: Callable[[], Signer]) -> Told:
    """List what an edition asks of a place; with answers, begin it there or say every reason why not yet.

    Args:
        site: where.
        options: ``edition``, ``place`` and ``answers``.
        signer: unlocks the trainer; only asked where something is written.

    Raises:
        FieldbookError: the edition is not here, or the file of answers cannot be used.
    """
    edition = site.edition_id(options.edition)
    if options.answers is None:
        questions = site.starting.questions(edition)
        return {"edition": edition, "questions": [one.as_document() for one in questions]}, _asked(questions), 0
    if options.person is None:
        raise SiteError("nobody is named who begins it", hint="name a trainer of this site, for example --as C1")
    given, person = _read(options.answers), signer()
    judged = site.starting.answer(
        edition,
        place=options.place or "",
        answers=given.get("answers", {}),
        said_on=given.get("said_on", {}),
        signer=person,
    )
    if not judged.may_begin:
        return judged.as_document() | {"begun": None}, _refused(judged), _REFUSED
    begun = site.starting.begin(judged.slip.number, signer=person)
    lines = [f"Begun at {begun.place}.", *(f"  {one.words} ({one.source})" for one in judged.outcome.allows)]
    return judged.as_document() | {"begun": begun.number}, lines, 0


def _read(name: str) -> dict[str, Any]:
    text = sys.stdin.read() if name == "-" else read_text_file(Path(name))
    try:
        given: dict[str, Any] = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise SiteError(f"{name} is not JSON", hint="write it like README shows") from error
    known = isinstance(given, dict) and given.keys() <= set(_MAY_HOLD)
    if not known or not all(_is_plain(one) for one in given.values()):
        raise SiteError(f"{name} does not hold answers of a place", hint="write it like README shows")
    return given


def _is_plain(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(one, str | int) or one is None for one in value.values())


def _asked(questions: tuple[Question, ...]) -> list[str]:
    lines = [f"{one.code}: {one.words}{_behind(one)}" for one in questions]
    return lines or ["This practice entry asks nothing of the place."]


def _behind(question: Question) -> str:
    whom = f"; ask the {ROLES_HERE[question.ask]}" if question.ask else ""
    unit = f" {question.unit}" if question.unit else ""
    return f" [{question.takes}{unit}{whom}]"


def _refused(judged: JudgedSlip) -> list[str]:
    lines = [f"Not yet at {judged.slip.place}. The answers are kept."]
    if judged.standing or judged.lapse is not None:
        lines.append(f"  {judged.against}")
    for reason in judged.outcome.reasons:
        whom = f" Ask the {ROLES_HERE[reason.ask]}." if reason.ask else ""
        figures = f" Here {reason.value}, held against {reason.limit}." if reason.value and reason.limit else ""
        lines.append(f"  {reason.words.rstrip('.')}.{figures}{whom}")
        lines += [f"    or: {way}" for way in reason.instead]
    return lines
