"""Cards and pages, put together from the folded value and the words of the statements.

Not who may see them (``site.showing``). Its one rule: what is withdrawn gives its notice and nothing of its content.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import longer_waits, read_entry
from fieldbook.review.folding import named_ingredient
from fieldbook.review.states import standing
from fieldbook.view.shown import Approved, Card, EditionLine, EntryPage, LongerWait, Notice, Remark

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.ledger import Ledger, Said


_STANDS_BESIDE = frozenset({"offered", "approved"})  # what was sent back or is out of date decides nothing
_STOPPED = frozenset({"recalled", "retired", "sent-back"})


def standing_here(edition: Mapping[str, Any], own_site: str) -> str | None:
    """The standing at a site, None where it is stopped.

    A licensed local person's word counts at the site of the reviewer who recorded it.
    """
    if edition["state"] in _STOPPED or edition["standing"] is None:
        return None
    if edition["standing"] == "unchecked":
        return "unchecked"
    second = any(one["second_word"] and one["site"] == own_site for one in edition["approvals"])
    return standing(reviewers=len({one["author"] for one in edition["approvals"]}), second_word_here=second)


def card_of(folded: Mapping[str, Any], edition: Mapping[str, Any], ledger: Ledger, *, own_site: str) -> Card:
    """An edition as one line of a list."""
    body = words_shown(ledger, edition)
    recalled = edition["state"] == "recalled"
    return Card(
        entry=folded["entry"],
        edition=edition["id"],
        kind=edition["kind"],
        title=body["title"],
        summary={} if recalled else body.get("summary") or {},
        topics=tuple(body.get("topics") or ()),
        state=edition["state"],
        standing=standing_here(edition, own_site),
        site_letter=ledger.letter_of(edition["author"]),
        picture=None
        if recalled
        else next((photo["thumb"] for photo in body.get("photos") or () if "thumb" in photo), None),
        own=edition["site"] == own_site,
    )


def page_of(folded: Mapping[str, Any], edition: Mapping[str, Any], ledger: Ledger, *, own_site: str) -> EntryPage:
    """Everything that is shown of one edition."""
    lines = tuple(_lines(folded, ledger, own_site))
    notices = [notice_of(one["id"], ledger) for one in edition["recalls"]]
    decisions = [said for one in edition["decisions"] if (said := ledger.said(one)) is not None]
    holds = _holds_shown(folded, edition, own_site)
    paused = tuple(_remark(ledger, said) for one in holds if (said := ledger.said(one)) is not None)
    mine = next(line for line in lines if line.edition == edition["id"])
    others = tuple(line for line in lines if line.newest and line.edition != edition["id"] and line.state != "recalled")
    return EntryPage(
        entry=folded["entry"],
        line=mine,
        document={} if notices else words_of_edition(ledger, edition["id"]),
        title=words_shown(ledger, edition)["title"],
        approvals=()
        if notices
        else tuple(_approved(one["id"], edition["id"], ledger, own_site) for one in edition["approvals"]),
        notice=notices[0] if notices else None,
        sent_back=tuple(_remark(ledger, said) for said in decisions if said.kind == "fieldbook/sent-back"),
        retired=tuple(_remark(ledger, said) for said in decisions if said.kind == "fieldbook/retirement"),
        paused=paused,
        editions=lines,
        others=others,
        longer_waits=() if notices else tuple(_longer_waits(folded, edition, others, ledger)),
        made_from=tuple(folded["made_from"]),
        own=edition["site"] == own_site,
        at_odds="" if notices else _at_odds(decisions, ledger),
        paused_here=any(one["site"] == own_site for line in folded["editions"] for one in line["holds"]),
    )


def _at_odds(decisions: Sequence[Said], ledger: Ledger) -> str:
    """A sentence where reviewers decided differently without knowing of each other; the careful word holds."""
    by_kind = {
        kind: sorted({ledger.label(said.author) for said in decisions if said.kind == f"fieldbook/{kind}"})
        for kind in ("approval", "sent-back", "retirement")
    }
    against = [*by_kind["sent-back"], *by_kind["retirement"]]
    if not by_kind["approval"] or not against:
        return ""
    did = "sent it back" if by_kind["sent-back"] else "marked it as out of date"
    return (
        f"{' and '.join(by_kind['approval'])} approved it and {' and '.join(against)} {did}, neither knowing of the "
        "other: the careful word holds until a reviewer decides once more."
    )


def _holds_shown(folded: Mapping[str, Any], edition: Mapping[str, Any], own_site: str) -> tuple[str, ...]:
    """All holds on this edition, and this site's own on any edition of the entry, since one pauses them all here."""
    own = [one["id"] for line in folded["editions"] for one in line["holds"] if one["site"] == own_site]
    return tuple(dict.fromkeys([*(one["id"] for one in edition["holds"]), *own]))


def _lines(folded: Mapping[str, Any], ledger: Ledger, own_site: str) -> Iterator[EditionLine]:
    for number, edition in enumerate(folded["editions"], start=1):
        said = ledger.said(edition["id"])
        yield EditionLine(
            edition=edition["id"],
            number=number,
            author=ledger.label(edition["author"]),
            site_letter=ledger.letter_of(edition["author"]),
            state=edition["state"],
            standing=standing_here(edition, own_site),
            parents=tuple(edition["parents"]),
            time=None if said is None else said.time,
            newest=edition["newest"],
        )


def _longer_waits(
    folded: Mapping[str, Any], edition: Mapping[str, Any], others: tuple[EditionLine, ...], ledger: Ledger
) -> Iterator[LongerWait]:
    """Longer waits that editions beside this one state: until a person decides, the longer one holds."""
    readable = {one["id"] for one in folded["editions"] if one["understood"]}
    if edition["id"] not in readable:
        return
    mine = read_entry(words_of_edition(ledger, edition["id"]), strict=False)
    for line in others:
        if line.edition in readable and line.state in _STANDS_BESIDE:
            beside = read_entry(words_of_edition(ledger, line.edition), strict=False)
            for row in longer_waits(mine, beside):
                yield LongerWait(line.number, line.author, row["days_min"], row["before"], row.get("after", ""))


def words_of_edition(ledger: Ledger, identity: str) -> Mapping[str, Any]:
    """What an edition, or any statement, says; empty where its body is not here."""
    said = ledger.said(identity)
    return {} if said is None or said.body is None else said.body


def words_shown(ledger: Ledger, edition: Mapping[str, Any]) -> Mapping[str, Any]:
    """What an edition says in a form that can be shown, with a title always.

    One that is not understood keeps its title where that is one, and nothing else: it may still have to be withdrawn
    by name. Where there is no title either, its id stands for it, in no language (``und``, RFC 5646, section 4.1).
    """
    body = words_of_edition(ledger, edition["id"])
    if edition["understood"]:
        return body
    written = body.get("title")
    titles = written if isinstance(written, dict) else {}
    kept = {tag: title for tag, title in titles.items() if isinstance(title, str) and title.strip()}
    return {"title": kept or {"und": f"practice entry {edition['id'][:12]}"}}


def notice_of(identity: str, ledger: Ledger) -> Notice:
    """The notice that a recall gives; one whose words cannot be read still stops."""
    said = ledger.said(identity)
    body = words_of_edition(ledger, identity)
    return Notice(
        statement=identity,
        by="a reviewer" if said is None else ledger.label(said.author),
        harm=str(body.get("harm", "the reason is not here")),
        now=str(body.get("now", "")),
        instead=str(body.get("instead", "ask a trainer")),
        time=None if said is None else said.time,
        at_risk=str(body.get("at_risk", "")),
        sources=str(body.get("sources", "")),
        ingredient=named_ingredient(body),
        drill=said is not None and body.get("drill") is True and _is_own_only(said, ledger),
    )


def _is_own_only(recall: Said, ledger: Ledger) -> bool:
    """True where a recall names nothing but what its reviewer wrote: only then it may call itself a drill."""
    named = [ledger.said(one) for one in recall.after]
    return all(one is not None and one.author == recall.author for one in named)


def _approved(identity: str, edition: str, ledger: Ledger, own_site: str) -> Approved:
    said = ledger.said(identity)
    body = words_of_edition(ledger, identity)
    return Approved(
        by="a reviewer" if said is None else ledger.label(said.author),
        edition=edition,
        answers=body.get("answers") or {},
        limits=tuple(body.get("limits") or ()),
        time=None if said is None else said.time,
        second_word=body.get("second_word"),
        word_counts="second_word" in body and said is not None and ledger.site_of(said.author) == own_site,
        site_letter="" if said is None else ledger.letter_of(said.author),
    )


def _remark(ledger: Ledger, said: Said) -> Remark:
    body = said.body or {}
    return Remark(
        statement=said.id,
        by=ledger.label(said.author),
        site_letter=ledger.letter_of(said.author),
        reason=str(body.get("reason", "")),
        time=said.time,
        replaced_by=body.get("replaced_by"),
    )
