"""Entries as the search sees them.

Not the search. Its one rule: of what is withdrawn only the notice can be found, never its content.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.search import Document, Text
from fieldbook.view import notice_of, standing_here, words_shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.ledger import Ledger

_TEXT_FIELDS = (
    "materials",
    "tools",
    "steps",
    "waiting",
    "success_signs",
    "failure_signs",
    "hazards",
    "companions",
    "not_for",
)


def document_of(
    folded: Mapping[str, Any], edition: Mapping[str, Any], ledger: Ledger, *, own_site: str, withheld: bool
) -> Document:
    """An edition as the search sees it; of a withdrawn one, the notice alone."""
    body = words_shown(ledger, edition)
    titles: Mapping[str, str] = body["title"]
    if edition["state"] == "recalled":
        notice = notice_of(edition["recalls"][0]["id"], ledger)
        said = f"{notice.harm} {notice.now} {notice.instead}"
        texts = {tag: Text(title=title, summary=said) for tag, title in titles.items()}
    else:
        summaries = body.get("summary") or {}
        texts = {
            tag: Text(title, str(summaries.get(tag, "")), " ".join(_said_in(body, tag)))
            for tag, title in titles.items()
        }
    return Document(
        entry=folded["entry"],
        edition=edition["id"],
        state=edition["state"],
        standing=standing_here(edition, own_site),  # type: ignore[arg-type]
        own=edition["site"] == own_site,
        topics=tuple(body.get("topics") or ()),
        texts=texts,
        names=tuple(one["names_ref"] for one in body.get("taxa") or () if one.get("names_ref")),
        withheld=withheld,
    )


def _said_in(body: Mapping[str, Any], tag: str) -> Iterator[str]:
    """All words of an entry in one language, and the names that people of that language use."""
    for one in body.get("local_names") or ():
        if one.get("lang") == tag:
            yield str(one.get("name", ""))
    for name in _TEXT_FIELDS:
        yield from _texts(body.get(name), tag)


def _texts(value: Any, tag: str) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            if name == tag and isinstance(inner, str):
                yield inner
            else:
                yield from _texts(inner, tag)
    elif isinstance(value, list):
        inner_values: Sequence[Any] = value
        for inner in inner_values:
            yield from _texts(inner, tag)
