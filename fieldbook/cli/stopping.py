"""The verbs about what harms: telling, answering, and what comes of it.

Its one rule: each asks one room of the site.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.site import SiteError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from fieldbook.site import Complaint, Signer, Site
    from fieldbook.site.stopping import Stopped

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


def _allow(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    assert signer is not None
    editions = [site.edition_id(one) for one in options.editions]
    statement = site.stops.allow_again(editions, signer=signer, reason=options.reason)
    waits = bool(site.stops.of(site.entry_id(editions[0])))
    line = (
        "Said. It stays withdrawn until somebody of another site says the same; a reviewer must be one of both."
        if waits
        else "Said. Two sites allow it again, so it is shown again here, and wherever both words arrive."
    )
    return {"statement": statement, "editions": editions, "waits": waits}, [line]


def _second(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    assert signer is not None
    others = [one for one in site.stops.of(site.entry_id(options.edition)) if one.notice.by != signer.label]
    if not others:
        raise SiteError("nobody else withdrew this practice", hint="look at its notice with `withdrawn`")
    statements = [site.seconding.second(one.recall, signer=signer) for one in others]
    return {"statements": statements}, [f"{signer.label} looked at it, and withdrew it too."]


def _printed(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    edition = site.edition_id(options.edition)
    noted = site.papers.register(edition, sheets=options.sheets, where=options.where, signer=signer)
    document = {"edition": edition, "code": noted.code, "sheets": noted.sheets, "where": noted.where}
    return document, [f"Noted here: {noted.sheets} with the code {noted.code}, {noted.where}."]


def _took_down(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    assert signer is not None
    stops = site.stops.of(site.entry_id(options.entry))
    if not stops:
        raise SiteError("this practice is not withdrawn", hint="look at what is, with `withdrawn`")
    statements = [site.papers.took_down(one.recall, sheets=options.sheets, signer=signer) for one in stops]
    return {"statements": statements}, ["Said: the paper is down here."]


def _drill(site: Site, _options: argparse.Namespace, signer: Signer | None) -> Step:
    begun = None if signer is None else site.drills.begin(signer=signer)
    drills = site.drills.every()
    lines = ["The drill has begun; it goes first on the next stick."] if begun else [one.sentence() for one in drills]
    return {"begun": begun, "drills": [one.as_document() for one in drills]}, lines or ["No drill was begun here yet."]


def _withdrawn(site: Site, options: argparse.Namespace, _signer: Signer | None) -> Step:
    stops = site.stops.every() if options.entry is None else site.stops.of(site.entry_id(options.entry))
    heard = site.hearing.standing()
    document = {
        "withdrawn": [_stopped_document(site, one) for one in stops],
        "heard": [dict(one.__dict__) for one in heard],
    }
    lines = [line for one in stops for line in _stopped_lines(site, one)]
    lines += [
        f"{one.entry}  paused here by word of radio, typed in by {one.by or site.letter}. {one.words}" for one in heard
    ]
    return document, lines or ["Nothing that is known here is withdrawn."]


def _stopped_document(site: Site, one: Stopped) -> dict[str, Any]:
    return {
        **one.as_document(),
        "reach": site.acknowledging.reach(one.recall).as_document(),
        "seconded_by": list(site.seconding.seconded_by(one.recall)),
        "not_seconded": one.recall in site.seconding.alone(),
        "to_take_down": [dict(sheet.__dict__) for sheet in site.papers.to_take_down(one.recall)],
    }


def _stopped_lines(site: Site, one: Stopped) -> list[str]:
    notice = one.notice
    lines = [f"{one.target[:12]}  {notice.by} withdrew it: {notice.harm}"]
    lines += ["    it reads the same as the practice that was withdrawn, under another name"] if one.copy else []
    lines += [f"    now: {notice.now}"] if notice.now else []
    lines.append(f"    instead: {notice.instead}")
    lines += [f"    who is at risk: {notice.at_risk}"] if notice.at_risk else []
    lines += [f"    how it is known: {notice.sources}"] if notice.sources else []
    lines += [f"    over a radio: {one.lines.first}", f"    {one.lines.second}"]
    lines.append(f"    {site.acknowledging.reach(one.recall).sentence()}")
    lines += ["    not seconded by another reviewer"] if one.recall in site.seconding.alone() else []
    lines += [
        f"    take down: {one.sheets} with the code {one.code}, {one.where}"
        for one in site.papers.to_take_down(one.recall)
    ]
    return [*lines, *(f"    {voice.by} has allowed it again: {voice.reason}" for voice in one.voices)]


def _heard(site: Site, options: argparse.Namespace, signer: Signer | None) -> Step:
    assert signer is not None
    pause = site.hearing.hear(options.first, options.second, signer=signer)
    entries = site.hearing.entries_of(pause)
    line = (
        "Understood. What the lines name is paused here now, until a trainer ends it or the signed withdrawal comes."
        if entries
        else "Understood. What the lines name is not here yet; when it comes, it is paused at once."
    )
    return {"entry_begins": pause.entry, "entries": list(entries), "words": pause.words}, [line]


STEPS: Final[MappingProxyType[str, Callable[[Site, argparse.Namespace, Signer | None], Step]]] = MappingProxyType(
    {
        "tell": _tell,
        "told": _told,
        "answer": _answer,
        "allow": _allow,
        "withdrawn": _withdrawn,
        "second": _second,
        "printed": _printed,
        "took-down": _took_down,
        "drill": _drill,
        "heard": _heard,
    }
)
