"""The verbs about what harms: telling, answering, and what comes of it.

Its one rule: each asks one room of the site.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from fieldbook.site import Complaint, Signer, Site

Step = tuple[dict[str, Any], list[str]]


def _tell(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    edition, says = site.edition_id(options.edition), "hurt" if options.hurt else "did-not-work"
    statement = site.complaints.tell(edition, says=says, words=options.words, signer=signer)
    paused = "; the practice is paused at this site, and a reviewer must answer" if options.hurt else ""
    return {"statement": statement, "edition": edition}, [f"Told{paused}."]


def _told(site: Site, _options: argparse.Namespace, _signer: Signer | None) -> Step:
    every = site.complaints.every()
    document = {"told": [one.as_document() for one in every]}
    return document, [line for one in every for line in _complaint_lines(one)] or ["Nobody has told anything yet."]


def _complaint_lines(one: Complaint) -> list[str]:
    what = "It hurt someone" if one.harm else "It did not work"
    waits = "; waits for a reviewer" * (one.is_open and one.harm) + "; waits" * (one.is_open and not one.harm)
    words = f": {one.words}" if one.words else ""
    lines = [f"{one.statement[:12]}  edition {one.edition[:12]}, told at site {one.letter}{waits}. {what}{words}"]
    return [*lines, *(f"    {answer.by} answers: {answer.words}" for answer in one.answers)]


def _answer(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    assert signer is not None
    statement = site.complaints.answer(options.report, signer=signer, words=options.words)
    return {"statement": statement}, [f"{signer.label} answered."]


STEPS: Final[MappingProxyType[str, Callable[[Site, argparse.Namespace, Signer | None], Step]]] = MappingProxyType(
    {"tell": _tell, "told": _told, "answer": _answer}
)
