"""Drafts changed by a safe way, and put back: what a draft was before stays at this site until it is offered.

Not the rules or the changes (``review``). Its one rule: a change is computed anew from the draft as it lies here, never
from what a page sent.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices import differences, read_entry
from fieldbook.practices.changes import spelled
from fieldbook.practices.entry_shape import SET_MAX_CHARACTERS
from fieldbook.review import changed, findings_of
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.notebook import Draft, Record
    from fieldbook.review import Finding
    from fieldbook.site.parts import Signer
    from fieldbook.site.season import Season
    from fieldbook.site.writing import PhotoIn, Written

BEFORE_CHANGE: Final = "draft-before-change"
STEPS_KEPT = 8  # how many changes in a row can be taken back; each is as large as the draft


class Instead:
    """The ways that change a draft, at one site."""

    def __init__(self, site: Season) -> None:
        """Stand beside the site whose drafts these are."""
        self._site = site

    def findings(self, draft: Draft) -> tuple[Finding, ...]:
        """What the rules find in a draft."""
        return findings_of(read_entry(draft.document, strict=False))

    def offered(self, draft: Draft) -> frozenset[tuple[str, str, str]]:
        """The changes that can be made now: rule, result, and the change's name."""
        return frozenset((rule, result, change) for rule, result, change, _ in self._changes(draft))

    def _changes(self, draft: Draft) -> Iterator[tuple[str, str, str, dict[str, Any]]]:
        entry = read_entry(draft.document, strict=False)
        seen = set()
        for finding in findings_of(entry):
            for way in finding.instead:
                name = (finding.rule, finding.result, way.change)
                if name not in seen and (document := changed(entry, finding, way)) is not None:
                    yield (*name, document)
                seen.add(name)

    def change(
        self, draft: Draft, name: tuple[str, str, str], *, signer: Signer, photos: Sequence[PhotoIn] = ()
    ) -> Written:
        """Make one of the offered changes; the draft as it was stays beside it.

        Raises:
            FieldbookError: the change is not offered (any more).
        """
        for rule, result, change, document in self._changes(draft):
            if (rule, result, change) == name:
                earlier = self._earlier(draft.name)
                written = self._write(draft, _marked(draft, document, rule), signer, photos)
                self._keep(written, [*earlier, dict(draft.document)][-STEPS_KEPT:])
                return written
        raise SiteError(
            f"{draft.name} cannot be changed so any more", hint="look again at what the rules find in it now"
        )

    def before(self, draft: Draft) -> dict[str, Any] | None:
        """What the draft was before its last change, or None where it was not changed."""
        return next(iter(reversed(self._earlier(draft.name))), None)

    def take_back(self, draft: Draft, *, signer: Signer, photos: Sequence[PhotoIn] = ()) -> Written:
        """Put a draft back to what it was before its last change.

        Raises:
            FieldbookError: it was not changed.
        """
        earlier = self._earlier(draft.name)
        if not earlier:
            raise SiteError(
                f"no change of {draft.name} is kept here", hint="open it in the form and write it as you want it"
            )
        written = self._write(draft, earlier[-1], signer, photos)
        self._keep(written, earlier[:-1])
        return written

    def _write(self, draft: Draft, document: Mapping[str, Any], signer: Signer, photos: Sequence[PhotoIn]) -> Written:
        return self._site.write(
            document,
            signer=signer,
            photos=photos,
            draft=True,
            after=draft.parents,
            adaptation=bool(draft.document.get("adaptation")),
            instead_of=draft,
        )

    def _earlier(self, name: str) -> list[dict[str, Any]]:
        records = self._site.notebook.records(BEFORE_CHANGE, about=name)
        return list(records[-1].document["drafts"]) if records else []

    def _keep(self, written: Written, earlier: list[dict[str, Any]]) -> None:
        """Keep what came before under the draft's new name; what belongs to no draft any more goes."""
        notebook = self._site.notebook
        there = {draft.name for draft in notebook.drafts()} - {written.draft}
        gone: list[Record] = [one for one in notebook.records(BEFORE_CHANGE) if one.about not in there]
        for record in gone:
            notebook.remove_record(record)
        if earlier and written.draft is not None:
            notebook.add_record(BEFORE_CHANGE, {"drafts": earlier}, about=written.draft)


def _marked(draft: Draft, document: Mapping[str, Any], rule: str) -> dict[str, Any]:
    """The changed document with a mark of what was set, which a reviewer sees wherever the edition goes."""
    before, after = (read_entry(one, strict=False) for one in (draft.document, document))
    places = [{"at": one.field, "to": spelled(one.new)[:SET_MAX_CHARACTERS]} for one in differences(before, after)]
    return {**document, "by_rule": [*(document.get("by_rule") or ()), {"rule": rule, "places": places}]}
