"""Which edition of an entry a person may see at a site, and which one they should follow.

Pure but for asking the ledger for an edition's words. Its one rule: what nobody checked is shown on its own site's
screens alone, and what was stopped, sent back or is paused here reaches no reader.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import read_entry
from fieldbook.review import findings_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.ledger import Ledger
    from fieldbook.site.parts import Signer

_WORKERS = frozenset({"trainer", "reviewer", "steward"})
# what to follow first: the newest checked edition, then what is out of date, then what nobody has checked
_FOLLOW_ORDER = ("approved", "retired", "offered", "sent-back", "recalled")


def may_work(reader: Signer | None) -> bool:
    """True for a signed-in trainer, reviewer or steward."""
    return reader is not None and not reader.roles.isdisjoint(_WORKERS)


def showable(edition: Mapping[str, Any], ledger: Ledger, *, own_site: str, reader: Signer | None, paused: bool) -> bool:
    """True where this person may see this edition (of a withdrawn one: its notice).

    ``paused`` says that its entry is paused here: then no edition of it reaches a reader, a later one neither.
    """
    if edition["stands"] != "accepted":
        return False
    if edition["state"] == "recalled":
        return True
    if may_work(reader):
        return bool(edition["understood"])
    return bool(edition["understood"]) and not paused and _for_readers(edition, ledger, own_site)


def is_held(folded: Mapping[str, Any], own_site: str) -> bool:
    """True where a site holds any edition of an entry: what hurt somebody is not helped by an older wording."""
    return any(hold["site"] == own_site for edition in folded["editions"] for hold in edition["holds"])


def _for_readers(edition: Mapping[str, Any], ledger: Ledger, own_site: str) -> bool:
    if edition["state"] not in {"approved", "retired", "offered"}:
        return False
    checked = edition["state"] == "approved" or (edition["state"] == "retired" and edition["was_checked"])
    return checked or (edition["site"] == own_site and not has_stop(edition["id"], ledger))


def has_stop(edition: str, ledger: Ledger) -> bool:
    """True where the rules of safety stop an edition; computed now, since rules change."""
    said = ledger.said(edition)
    if said is None or said.body is None:
        return True
    return any(finding.result == "stop" for finding in findings_of(read_entry(said.body, strict=False)))


def shown_edition(
    folded: Mapping[str, Any], ledger: Ledger, *, own_site: str, reader: Signer | None, paused: bool
) -> Mapping[str, Any] | None:
    """The edition of a folded entry that this person should follow, or None where there is none to see.

    ``paused`` says that the entry is paused here.
    """
    newest_first: Iterable[Mapping[str, Any]] = reversed(folded["editions"])
    candidates = sorted(newest_first, key=lambda edition: _FOLLOW_ORDER.index(edition["state"]))
    return next(
        (one for one in candidates if showable(one, ledger, own_site=own_site, reader=reader, paused=paused)), None
    )


def why_not_shown(folded: Mapping[str, Any], ledger: Ledger, *, own_site: str, paused: bool) -> str:
    """Say why readers are shown no edition of an entry, by its newest one: a clause."""
    newest = folded["editions"][-1]
    if newest["stands"] != "accepted" or not newest["understood"]:
        return "its words are not here in a form that this software knows"
    if paused:
        return "it is paused at this site"
    if newest["state"] == "sent-back":
        return "it was sent back to its author"
    if newest["site"] == own_site and has_stop(newest["id"], ledger):
        return "the safety rules stop it as it stands"
    return "no reviewer has approved it yet"


def why_not_begun(folded: Mapping[str, Any], edition: str, ledger: Ledger, *, own_site: str, paused: bool) -> str:
    """Say why an edition may not be begun here, whatever a place answers: a clause; empty where it may."""
    editions = folded["editions"]
    one = next(each for each in editions if each["id"] == edition)
    if one["state"] == "recalled":
        return "it was withdrawn: do not use it"
    if paused:
        return "it is paused at this site"
    if one["state"] == "sent-back":
        return "it was sent back to its author"
    if has_stop(edition, ledger):
        return "the safety rules stop it as it stands"
    if not _for_readers(one, ledger, own_site):
        return "no reviewer has approved it yet"
    newer = (other for other in editions if edition in _came_from(other, editions))
    replaced = any(showable(other, ledger, own_site=own_site, reader=None, paused=False) for other in newer)
    return "a newer edition took its place: answer the questions of that one" if replaced else ""


def why_not_gone_on(folded: Mapping[str, Any], edition: str, ledger: Ledger, *, paused: bool) -> str:
    """Say why what is in use here may not be gone on with: a clause; empty where it may."""
    one = next(each for each in folded["editions"] if each["id"] == edition)
    said = ledger.said(edition)
    if one["state"] == "recalled":
        return "it was withdrawn: do not use it"
    if said is None or said.body is None:
        return "its words are not here any more"
    if paused:
        return "it is paused at this site"
    if one["state"] == "sent-back":
        return "it was sent back to its author"
    if one["state"] == "retired":
        return "it is out of date"
    return "the safety rules stop it as it stands" if has_stop(edition, ledger) else ""


def _came_from(edition: Mapping[str, Any], editions: Iterable[Mapping[str, Any]]) -> set[str]:
    """The editions of an entry that one of them came from."""
    parents = {one["id"]: set(one["parents"]) for one in editions}
    found: set[str] = set()
    pending = set(edition["parents"])
    while pending:
        one = pending.pop()
        if one not in found:
            found.add(one)
            pending |= parents.get(one, set())
    return found
