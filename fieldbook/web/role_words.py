"""What pages and commands say about keys: what a key said, what waits for voices, what would come of a step.

Not the roles themselves (``ledger``). Its one rule: people are named as everywhere, by letter and number; what cannot
be undone is said before it is done.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.web import words
from fieldbook.web.code_words import KIND_WORDS
from fieldbook.web.said import in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.ledger import Motion, Outcome, Said
    from fieldbook.site import Site
    from fieldbook.site.putting_away import PutAway

LISTED_MAX = 12  # words named one by one before the rest is counted
_ABOUT_AN_ENTRY = {
    "fieldbook/edition": "an edition of {}",
    "fieldbook/translation": "a translation of {}",
    "fieldbook/read-back": "a reading back of {}",
    "fieldbook/approval": "the approval of {}",
    "fieldbook/sent-back": "{} sent back",
    "fieldbook/retirement": "{} marked as out of date",
    "fieldbook/hold": "a pause of {}",
    "fieldbook/recall": "the withdrawal of {}",
    "fieldbook/lifting": "{} allowed again",
    "fieldbook/acknowledgement": "the withdrawal of {} noted",
    "fieldbook/trial": "a trial of {}",
    "fieldbook/report": "a report on {}",
}
_ABOUT_A_KEY = {
    "sync/person": "{} named as {role}",
    "sync/revocation": "{} stopped",
    "site": "site {} let in",
    "reviewer": "a voice for {} as reviewer",
}
_PLAIN = {
    "fieldbook/site": "what the site says of itself",
    "sync/stewards": "a voice for a list of signatories",
    "sync/reinstatement": "a voice for lifting a stop",
    "sync/heartbeat": "how much is stopped",
    "sync/redaction": "something taken back",
    "sync/adoption": "words of a stopped key taken back in",
}
SIGNATORY_RULES = (
    "A signatory alone lets a site in, stops a key, and takes single good words of a stopped key back in. Making a "
    "reviewer, lifting a stop and naming new signatories take several."
)
CANNOT_BE_UNDONE = {
    "grant": "A voice cannot be taken back, and the letter and number named in it cannot be erased. A reviewer who "
    "should be none any more is stopped.",
    "stewards": "A voice cannot be taken back. A list that enough have agreed to ends only by a further list.",
    "stop": "The stop itself stays in every site's book. It ends only when enough signatories lift it together.",
    "lift": "A lifting that enough have said cannot be taken back: from then on all that the key ever said counts "
    "again, what was set aside too. If the key may still be in wrong hands, do not lift.",
    "adopt": "This cannot be taken back. An entry can still be withdrawn or marked as out of date afterwards.",
}


def day(time: str | None) -> str:
    """The day that a word claims to be from."""
    return time[:10] if time else "no date"


def said_words(site: Site, said: Said, preferred: Sequence[str]) -> str:
    """What somebody said, as a few words: ``the approval of “Onion rows”``."""
    ledger = site.need_ledger()
    body: Mapping[str, Any] = said.body or {}
    if said.kind in _ABOUT_AN_ENTRY:
        form = "the end of a pause of {}" if body.get("on") is False else _ABOUT_AN_ENTRY[said.kind]
        return form.format(_title(site, said, preferred))
    form = _ABOUT_A_KEY.get(str(body.get("role")) if said.kind == "sync/grant" else said.kind, "")
    if form and "key" in body:
        role = words.ROLE_WORDS.get(str(body.get("role")), "")
        return form.format(ledger.label(str(body["key"])), role=f"a {role}")
    return _PLAIN.get(said.kind, "something that this software does not know")


def damaged_words(kind: str, title: Mapping[str, str], preferred: Sequence[str]) -> str:
    """The same of words that no longer verify, from the little that can be read of them."""
    shown = in_language(title, preferred)
    named = f"“{shown.text}”" if shown else "an entry whose title cannot be read"
    if kind in _ABOUT_AN_ENTRY:
        return _ABOUT_AN_ENTRY[kind].format(named)
    role = "a word on who may do what" if kind.startswith("sync/") else "words of a kind that cannot be read"
    return _PLAIN.get(kind, role)


def _title(site: Site, said: Said, preferred: Sequence[str]) -> str:
    ledger = site.need_ledger()
    answered = [found for name in said.after if (found := ledger.said(name)) is not None]
    answered += [found for one in answered for name in one.after if (found := ledger.said(name)) is not None]
    for one in (said, *answered):
        if one.kind == "fieldbook/edition":
            title = in_language((one.body or {}).get("title"), preferred)
            return f"“{title.text}”" if title else "an entry without a title"
    return "an entry that is not here"


def scope_words(scope: Iterable[str]) -> str:
    """The kinds of entries that a reviewer may judge."""
    named = [KIND_WORDS.get(kind, kind).lower() for kind in scope]
    return words.joined(named) if named else "all kinds of entries"


def motion_words(site: Site, motion: Motion) -> str:
    """What waits for voices, in a sentence."""
    label = site.need_ledger().label(motion.key)
    if motion.kind == "sync/grant":
        return f"{label} becomes a reviewer of {scope_words(motion.body['scope'])}."
    if motion.kind == "sync/reinstatement":
        return f"The stop of {label} is lifted."
    return signatories_words(site, motion.body["stewards"], motion.body["threshold"])


def signatories_words(site: Site, stewards: Iterable[Mapping[str, str]], threshold: int) -> str:
    """A list of signatories, in a sentence."""
    listed = sorted(site.need_ledger().steward_label(one["key"], one["name"]) for one in stewards)
    if len(listed) == 1:
        return f"The only signatory is {listed[0]}, whose voice alone is enough."
    return f"The signatories are {words.joined(listed)}, and {threshold} of them must agree."


def voices_words(motion: Motion) -> str:
    """Who has said it and when, and how many more it takes."""
    said = f"Said by {_said_by(motion, motion.said)}." if motion.said else "Nobody whose voice counts now has said it."
    earlier = (
        f" {_said_by(motion, motion.earlier)} said it before something changed, and would have to say it again."
        if motion.earlier
        else ""
    )
    return f"{said}{earlier} {words.counted(motion.lacking, 'more voice is', 'more voices are')} needed."


def _said_by(motion: Motion, labels: Iterable[str]) -> str:
    return words.joined(f"{label} ({day(motion.times.get(label))})" for label in labels)


def away_words(away: PutAway) -> str:
    """Who put it away at this site, and when."""
    return f"Put away at this site by {away.by} ({day(away.time)})."


@dataclass(frozen=True)
class Line:
    """One thing that would come of a step: a sentence, or a heading with what falls under it, one by one."""

    text: str
    parts: tuple[str, ...] = ()


def outcome_lines(site: Site, outcome: Outcome, preferred: Sequence[str]) -> list[Line]:
    """What would come of a step, a line a thing; one sentence where nothing would."""
    lines = [Line(f"{label} is no longer {words.roles(had)}.") for label, had in outcome.lost]
    lines += [Line(f"{label} becomes {words.roles(has)}.") for label, has in outcome.gained]
    for found, what in ((outcome.set_aside, "Set aside"), (outcome.back, "Counts then")):
        if names := _in_the_order_said(site, found):
            lines.append(_listed(site, f"{what} at every site", names, preferred))
    if outcome.rivals:
        lines.append(Line("Two rival lists of signatories stand beside one another then. Do not do this."))
    return lines or [Line("Nothing that stands now changes.")]


def typed_out(lines: Iterable[Line]) -> list[str]:
    """The same for a terminal, what falls under a heading indented beneath it."""
    return [text for line in lines for text in (line.text, *(f"  {part}" for part in line.parts))]


def _in_the_order_said(site: Site, names: Sequence[str]) -> list[str]:
    """Words but for voices, which say nothing beside what they decide; those of each key in the order of its saying."""
    ledger = site.need_ledger()
    authors = {name: said.author for name in names if (said := ledger.said(name)) and not _is_voice(said)}
    chains = (ledger.chain_of(key) for key in sorted(set(authors.values()), key=ledger.label))
    return [name for chain in chains for name in chain if name in authors]


def _is_voice(said: Said) -> bool:
    reviewer = said.kind == "sync/grant" and (said.body or {}).get("role") == "reviewer"
    return reviewer or said.kind in {"sync/stewards", "sync/reinstatement"}


def _listed(site: Site, what: str, names: Sequence[str], preferred: Sequence[str]) -> Line:
    """Words one by one under a heading with their count; of one author alone the heading names whose."""
    ledger = site.need_ledger()
    found = [said for name in names[:LISTED_MAX] if (said := ledger.said(name)) is not None]
    authors = {said.author for name in names if (said := ledger.said(name)) is not None}
    whose = f" of {ledger.label(min(authors))}" if len(authors) == 1 else ""
    parts = [
        f"{said_words(site, said, preferred)} ({'' if whose else f'{ledger.label(said.author)}, '}{day(said.time)})"
        for said in found
    ]
    more = len(names) - len(parts)
    if more:
        parts.append(f"and {more} more")
    return Line(f"{what}: {words.counted(len(names), 'word', 'words')}{whose}.", tuple(parts))


def alarm_lines(site: Site) -> list[str]:
    """Each of the rival lists, in a sentence; empty when all is well."""
    return [
        f"One list names {words.joined(one.stewards)}; {one.threshold} must agree. {words.joined(one.said)} said it."
        for one in site.need_ledger().rival_lists()
    ]
