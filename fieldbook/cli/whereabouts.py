"""The verbs about other sites' holdings: ``holds`` and ``heartbeat``.

Its one rule: what is not known to lie elsewhere is said to be here alone.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.languages import pick
from fieldbook.site import SiteError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fieldbook.site import HeldLine, Signer, Site


def holds(site: Site, options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Say who holds what, what would be lost with this laptop, and what a stick lacks.

    Raises:
        SiteError: the site is in no network, or the stick cannot be listed.
    """
    if options.carrier is not None and not options.carrier.strip():
        raise SiteError("which stick? its name is empty", hint="name its folder after --carrier")
    lines, alone, said = site.held_lines(), site.held_alone(), site.heartbeats()
    document: dict[str, Any] = {
        "alone": {**alone.__dict__, "safe_to_wipe": alone.safe_to_wipe},
        "heartbeats": [dict(one.__dict__) for one in said],
        "differing": list(site.differing()),
        "held": [line.as_document() for line in lines],
    }
    if alone.safe_to_wipe:
        told = [
            "Other sites are known to hold every signed word of this laptop; keys and people are only in its backup."
        ]
    else:
        told = ["Do not wipe this laptop yet."]
        told.append(
            f"Here alone, as far as is known: {alone.statements} signed words, "
            f"{alone.drafts} drafts, {alone.home_photos} photos that stay here."
        )
    if site.differing():
        told.append(
            f"ALARM: {', '.join(site.differing())} holds exactly the same words and shows something else: run `verify` "
            "and `rebuild` at both, and bring both to the same software."
        )
    told += [_heartbeat(one.label, one.number, one.lacking, one.exchanges) for one in said]
    told += [_line(line, site.languages) for line in lines]
    if options.carrier is not None:
        lacks = site.stick_lacks(Path(options.carrier))
        document["carrier_lacks"] = dict(lacks.__dict__)
        told.append(
            f"The stick lacks {lacks.urgent + lacks.text} signed words ({lacks.urgent} of them urgent) and "
            f"{lacks.files} photo files."
        )
    return document, told


def _heartbeat(label: str, number: int, lacking: int, exchanges: int) -> str:
    ago = "at the last exchange" if exchanges == 0 else f"{exchanges} exchanges ago"
    here = f"at least {lacking} did not reach this site" if lacking else "none of them is known to be missing here"
    return f"{label} counts {number} withdrawals and stopped keys, heard {ago}: {here}."


def _line(line: HeldLine, languages: Sequence[str]) -> str:
    title = pick(line.title, languages)[1] if line.title else "a practice entry that has not arrived"
    known = ", ".join(f"{one.letter} for {one.exchanges} exchanges" for one in line.holders) or "here alone"
    what = "Withdrawal of" if line.what == "recall" else "Edition of"
    second = "" if line.paths > 1 else "; no second path"
    return f"{what} “{title}” by {line.author} ({line.statement[:12]}): {known}{second}."


def heartbeat(site: Site, signer: Signer) -> tuple[dict[str, Any], list[str]]:
    """Say as a steward how much is stopped.

    Raises:
        FieldbookError: the signer is no steward.
    """
    statement = site.beat(signer=signer)
    return {"statement": statement}, ["Said. It travels with the next exchange, before everything else."]
