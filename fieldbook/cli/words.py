"""What a person reads after a verb: plain lines made from the same documents that machines get."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from tqdm import tqdm

from fieldbook.cli.entry_lines import entry_lines
from fieldbook.cli.telling import told
from fieldbook.climate.year import date_words
from fieldbook.languages import pick
from fieldbook.qr import qr_lines

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from fieldbook.ledger import Join
    from fieldbook.view import EntryPage

_RESULTS = {"stop": "stop", "answer": "needs an answer", "unknown": "not said", "note": "note"}


def begun(document: Mapping[str, Any], network: str | None, folder: Path) -> list[str]:
    """After ``new``."""
    lines = [f"{document['letter']} {document['name']} begins in {folder}."]
    if network:
        lines.append(f"It founds the network “{network}”. Keep its words for others to compare: {document['words']}")
        if document["entries"]:
            entries = _count(document["entries"], "starter entry")
            lines.append(f"It begins with {entries} of its own. Nobody has checked them yet, and each one says so.")
    else:
        lines.append("It is in no network yet. Drafts, people and the calendar work without one.")
        lines.append(f"Keep its words for the signatory who will let it in: {document['words']}")
    return lines


def network_looked_at(document: Mapping[str, Any]) -> list[str]:
    """After ``join --try``."""
    return [
        f"The stick holds the network “{document['network_title']}”. Nothing was joined and nothing written.",
        *fingerprint_lines("The words of the network", document["network_words"]),
        *fingerprint_lines("The words of this site", document["words"]),
        "A site joins one network, once: let a signatory read its words to you first.",
        "If all eight are the same: `join` with --words and what they said.",
    ]


def asked_to_join(document: Mapping[str, Any]) -> list[str]:
    """After ``join``."""
    return [
        f"A request to join “{document['network_title']}” lies on the stick. Carry it to a signatory of the network.",
        *fingerprint_lines("The words of the network", document["network_words"]),
        *fingerprint_lines("The words of this site", document["words"]),
        "Say both to the signatory in your own voice, face to face or by telephone; all eight words must be the same.",
    ]


def admitted(document: Mapping[str, Any]) -> list[str]:
    """After ``admit``."""
    site = f"{document['letter']} {document['name']}"
    return [f"{site} is let in. Carry the stick back there and exchange.", *_left(document)]


def fingerprint_lines(what: str, fingerprint: str) -> list[str]:
    """Words, and their square where this terminal can draw one."""
    square = qr_lines(fingerprint) if _draws(qr_lines("A")[0]) else []
    return [f"{what}: {fingerprint}", *square]


def _draws(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def climate(document: Mapping[str, Any]) -> list[str]:
    """After ``climate``."""
    lines = [*borrowed_climate(document), document["method"], "month  radiation MJ/m²  daylight h  evaporation mm/day"]
    lines += [
        f"{one['month']:>5}  {one['ra_mj_m2_day']:>15}  {one['daylight_h']:>10}  {one['eto_mm_day']:>18}"
        for one in document["months"]
    ]
    lines.append(f"How sure: {document['how_sure']}.")
    if not document["periods"]:
        lines.append("No growing period: rain never reaches half of what evaporates.")
    for period in document["periods"]:
        if period["start"] is None:
            lines.append("Growing period: all year.")
        else:
            lines.append(
                f"Growing period: {period['start']} to {period['end']}, {period['days']} days; "
                f"rains end {period['rain_ends']}; {_humid(period)}; {period['stored_mm']} mm stored in the soil then."
            )
    return lines


def _humid(period: Mapping[str, Any]) -> str:
    if period["humid_start"] is None:
        return "no humid part"
    return f"humid {period['humid_start']} to {period['humid_end']}"


def borrowed_climate(document: Mapping[str, Any]) -> list[str]:
    """Whose climate a site goes by, where it is borrowed."""
    lent = document.get("borrowed_climate")
    if not lent:
        return []
    since = f"since {lent['on'][:10]}" if lent["on"] else "since when is not known"
    whose = f"BORROWED from site {lent['letter']} {lent['name']} at {lent['elevation_m']} m, {since}."
    return [f"{whose} Temperatures are moved to this height, rain is as it is there: dates are a first guess."]


def lenders(listed: Sequence[Mapping[str, Any]]) -> list[str]:
    """After ``borrow`` without a site; by letter, for a person to choose."""
    lines = []
    for one in listed:
        side = "; ACROSS THE EQUATOR: seasons half a year apart" if one["other_side"] else ""
        reach = "" if one["in_reach"] else "; more than 1000 m above or below: cannot be borrowed"
        months = ", ".join(str(month) for month in one["wet_months"]) or "none"
        lines.append(
            f"{one['letter']} {one['name']}: latitude {one['latitude_deg']}, {one['elevation_m']} m, "
            f"{one['year_rain_mm']} mm of rain a year, wet months {months}{side}{reach}"
        )
    if not lines:
        return ["No other site is known here that has said a climate of its own. Exchange with a stick first."]
    return [*lines, "Compare the wet months with what people here say, then height and rain. `borrow LETTER` borrows."]


def written(document: Mapping[str, Any], findings: Sequence[Mapping[str, Any]]) -> list[str]:
    """After ``write`` and ``offer``."""
    if "draft" in document:
        return [f"Kept here as {document['draft']}. `offer {document['draft']}` sends it to review."]
    lines = [f"Offered for review: edition {document['edition']}."]
    lines += [f"The photo {name} stays at this site until you say who is on it." for name in document["kept_home"]]
    stops = [finding for finding in findings if finding["result"] == "stop"]
    if stops:
        lines.append("It cannot be approved as it stands:")
        lines += _finding_lines(stops)
    return lines


def findings(document: Mapping[str, Any]) -> list[str]:
    """After ``findings``."""
    lines = _finding_lines(document["findings"])
    lines += [f"Missing before it can be approved: {name}." for name in document["missing"]]
    return lines or ["The rules find nothing to answer. That is not proof that it is safe."]


def _finding_lines(found: Sequence[Mapping[str, Any]]) -> list[str]:
    lines = []
    for finding in found:
        lines.append(f"{finding['rule']} ({_RESULTS[finding['result']]}): {finding['words']} [{finding['source']}]")
        if finding["missing"]:
            lines.append(f"    fill in: {', '.join(finding['missing'])}")
        lines += [f"    instead: {one}" for one in finding["instead"]]
    return lines


def page(shown: EntryPage, *, languages: Sequence[str]) -> list[str]:
    """After ``show``; of what is withdrawn, the notice alone."""
    title = pick(shown.title, languages)[1] if shown.title else "(no title)"
    return [title, *shown.sentences(), *(entry_lines(shown.document, languages) if shown.document else [])]


def exchanged(document: Mapping[str, Any]) -> list[str]:
    """After ``exchange``."""
    lines = [f"Taken in: {document['accepted']}. Left on the stick: {_count(document['left'], 'file')}."]
    statements = document["waiting"] - len(document["waiting_files"])
    if statements:
        lines.append(f"Waiting for what they answer, for a role or for more voices: {statements}.")
    if document["quarantined"]:
        lines.append(f"Set aside, kept but not believed: {document['quarantined']}.")
    lines += [f"Left to wait: {one['file']}: {told(one['reason'], one['hint'])}" for one in document["waiting_files"]]
    lines += [f"Refused: {one['file']}: {told(one['reason'], one['hint'])}" for one in document["refused"]]
    return [*lines, *_left(document)]


def to_be_done(voices: int, joins: Sequence[Join]) -> list[str]:
    """After ``exchange``: what waits for somebody of this site."""
    lines = [f"{_count(voices, 'thing')} {'waits' if voices == 1 else 'wait'} for a voice from here: `who` lists them."]
    asked = [
        f"{join.letter} {join.name} wishes to join: `admit` lets it in, by the words that it says." for join in joins
    ]
    return (lines if voices else []) + asked


def _left(document: Mapping[str, Any]) -> list[str]:
    if document["safe_to_remove"]:
        last = "The stick is safe to remove."
    elif document["not_left"]:
        last = "Not everything was left on the stick: do not rely on it alone."
    else:
        last = "Written, not proven: do not rely on this stick alone."
    return [*(told(note) for note in document["notes"]), last]


def _count(number: int, thing: str) -> str:
    many = f"{thing[:-1]}ies" if thing.endswith("y") else f"{thing}s"
    return f"{number} {thing if number == 1 else many}"


def hits(document: Mapping[str, Any]) -> list[str]:
    """After ``search``."""
    lines = [f"{hit['title']}  ({hit['standing_words']})  {hit['entry'][:12]}" for hit in document["hits"]]
    if lines:
        return lines
    nothing = "Nothing found. Try other words, or the name of the plant, the animal or the part that looks ill."
    return [nothing, *([document["kept_back"]] if document["kept_back"] else [])]


def _household(document: Mapping[str, Any]) -> list[str]:
    """A household's water, where one was named."""
    if (asked := document.get("household")) is None:
        return []
    people = f"{asked['persons']} persons on {asked['water_l_day']} L a day, of which people need"
    lines = [f"{people} {asked['for_people_l_day']} L: {asked['for_plants_l_day']} L for plants."]
    if asked["refused"]:
        lines.append(
            "No clean water is left for plants. What rain alone does not carry is refused: "
            f"{', '.join(asked['refused'])}. Only water that was used before may go to plants: at the foot, never on "
            "leaves, none from nappies, kitchen, dyes or chemicals."
        )
    return lines


def calendar(document: Mapping[str, Any]) -> list[str]:
    """After ``calendar``."""
    lines = [*borrowed_climate(document), *_household(document), document["method"]]
    for window in document["windows"]:
        start, end, first, last = (date_words(window[name]) for name in ("start", "end", "harvest_from", "harvest_to"))
        lines.append(
            f"{window['crop']}: sow or plant {start} to {end}, harvest {first} to {last}, at most "
            f"{window['water_l_m2_day']} L/m² a day"
        )
        if (ground := window.get("household_keeps_m2")) is not None:
            lines[-1] += f"; this water keeps {ground} m² at most"
        lines += [
            f"    {words}" for words in (*window["dung"], *window["again"], *window["limits"], *window["reasons"])
        ]
    for one in document["without"]:
        lines += [f"{one['crop']}: no window", *(f"    {reason}" for reason in one["reasons"])]
    return [*lines, f"How sure: {document['how_sure']}.", *document["notes"]]


def verified(document: Mapping[str, Any]) -> list[str]:
    """After ``verify``."""
    lines = [
        f"{_count(document['statements'], 'statement')}, {_count(document['entries'], 'practice entry')}.",
        f"set {document['set']}",
        f"state {document['state']}",
    ]
    lines += [told(problem) for problem in document["problems"]]
    lines.append(
        "Everything verifies."
        if document["ok"]
        else "Something is wrong. `rebuild` makes the view anew; `mend` mends the store."
    )
    return lines


def progress() -> Callable[[str, int, int], None]:
    """A bar on the error stream that moves while something long is done; nothing where nobody looks."""
    bars: dict[str, tqdm[Any]] = {}

    def moved(what: str, done: int, of: int) -> None:
        if what not in bars:
            bars[what] = tqdm(total=of, desc=what, file=sys.stderr, leave=False, disable=not sys.stderr.isatty())
        bars[what].total = of
        bars[what].update(done - bars[what].n)
        if done >= of:
            bars.pop(what).close()

    return moved
