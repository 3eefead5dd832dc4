"""The verbs of the bed book and of what is due: ``bed``, ``due``.

Its one rule: what a terminal says of a bed is what its page says, and a wait is never said without what it is counted
from.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli.arguments import UsageError
from fieldbook.site.bed_document import bed_document
from fieldbook.tasks.days import date_words
from fieldbook.tasks.spots import WHATS

if TYPE_CHECKING:
    import argparse

    from fieldbook.site import Site

Said = tuple[dict[str, Any], list[str]]


def bed(site: Site, options: argparse.Namespace) -> Said:
    """List the bed book, show one bed, write one in, note what happened there, or mark its day by hand."""
    book = site.beds
    if options.label is None:
        found = [bed_document(book, spot) for spot in book.spots()]
        return {"spots": found}, [line for one in found for line in _lines(one)] or [
            "Nothing stands in the bed book yet."
        ]
    if options.add is not None:
        book.add(
            options.label,
            kind=options.add,
            day_zero=options.day,
            by_hand=options.by_hand,
            holds=options.holds,
            area_m2=options.area,
            shared=options.shared,
        )
    elif options.note is not None:
        _note(site, options)
    elif options.mark is not None:
        book.mark(options.label, options.mark, sure=options.sure)
    document = bed_document(book, book.spot(options.label))
    return document, _lines(document)


def _note(site: Site, options: argparse.Namespace) -> None:
    book = site.beds
    spot = book.spot(options.label)
    today = book.today_of(spot, book.today())
    if not options.day and today is None:
        raise UsageError("on which day?", hint="say `--day DAY` with the note")
    details: dict[str, Any] = {
        "crop": options.crop,
        "raised": options.raised,
        "contact": "edible_none" if options.clear else "",
        "can": options.can,
        "said": options.said,
        "until": options.until,
    }
    if options.note == "spray":
        details = book.spray("", said=options.said, wait_days=options.wait)
    book.write_down(
        options.label,
        options.note,
        options.day or spot.count.typed(today or 0),
        **{k: v for k, v in details.items() if v or v == 0},
    )


def due(site: Site, options: argparse.Namespace) -> Said:
    """What is due: as a list, or as an iCalendar file."""
    today = site.beds.today(options.day)
    if options.ics is not None:
        text = site.due.calendar_file(today, languages=site.languages)
        Path(options.ics).write_bytes(text.encode())
        return {"file": options.ics}, [f"What is due within a year stands in {options.ics}."]
    waiting, ahead = site.due.waiting(today), site.due.ahead(today, days=7 * options.weeks)
    document = {
        "today": None if today is None else today.isoformat(),
        "stopped": [one.as_document() for one in site.due.stopped()],
        "waiting": [line.as_document() for line in waiting],
        "ahead": [line.as_document() for line in ahead],
        "unknown": list(site.due.unknown(today)),
    }
    lines = (
        ["This laptop does not know which day it is; say `--day`."]
        if today is None
        else [f"Today is {date_words(today)}."]
    )
    lines += [f"Stop at {one.begun.place}: {one.begun.stop}. {' '.join(one.said)}" for one in site.due.stopped()]
    for heading, found in (("Begun, and not done yet:", waiting), ("Ahead:", ahead)):
        lines += [heading, *(_due_line(line) for line in found)] if found else []
    if not waiting and not ahead:
        lines.append("Nothing is due.")
    return document, lines


def _due_line(line: Any) -> str:
    until = f", until {line.until}" if line.until else ""
    words = line.said.get("en") or next(iter(line.said.values()), "")
    sized = f" {line.sized}" if line.sized else ""
    return f"  {line.when}{until}  {line.place.label}: {words}{sized}{' [done]' if line.due.done else ''}"


def _lines(document: dict[str, Any]) -> list[str]:
    lines = [f"{document['label']} ({document['kind']}{', ' + document['holds'] if document['holds'] else ''})"]
    lines += [
        f"  {wait['for']}: not before {wait['until']} "
        f"({wait['days']} days after {wait['after']} on {wait['since']}; {wait['source']})"
        for wait in document["waits"]
    ]
    lines += [f"  {one['crop']}: first picking not before {one['first_picking']}" for one in document["plantings"]]
    lines += [f"  {one['day']}: {WHATS[one['what']].words}{_struck(one)}" for one in document["history"]]
    return lines


def _struck(one: dict[str, Any]) -> str:
    """What somebody says of a happening that was noted by mistake."""
    if one["struck"]:
        return " (struck out)"
    return f" ({one['doubted_by']} says that it is wrong; it counts until a second does)" if "doubted" in one else ""
