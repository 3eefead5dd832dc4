"""A practice in use that may not be gone on with: why, and what people said is to be done now.

Not the judging (``showing.why_not_gone_on``). Its one rule: what somebody said of it stands there in their words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldbook.site.season import Season
    from fieldbook.site.slips import Begun
    from fieldbook.view import EntryPage


@dataclass(frozen=True)
class StoppedUse:
    """A practice in use that may not be gone on with.

    Attributes:
        begun: Which one, and why.
        said: What people said of it: what to do now and instead, or why it was stopped.
        instead: The entry that takes its place; None where none was named.
    """

    begun: Begun
    said: tuple[str, ...]
    instead: str | None

    def as_document(self) -> dict[str, Any]:
        """The same as JSON."""
        one = self.begun
        return {"at": one.place, "entry": one.entry, "edition": one.edition, "why": one.stop, "said": list(self.said)}


def stopped_use(site: Season, begun: Begun) -> StoppedUse:
    """What is to be said of a practice in use that is stopped.

    Args:
        site: where it is in use.
        begun: which one; its edition may be known here no more.
    """
    if site.view.entry_of(begun.edition) is None:
        return StoppedUse(begun, (), None)
    page = site.view.page(site.need_ledger(), begun.entry, begun.edition, own_site=site.site_key.public)
    said = (*_said_of(page, site.letter), *(pause.words for pause in site.local_pauses_of(begun.entry)))
    instead = next((remark.replaced_by for remark in page.retired if remark.replaced_by), None)
    return StoppedUse(begun, tuple(words for words in dict.fromkeys(said) if words), instead)


def _said_of(page: EntryPage, letter: str) -> tuple[str, ...]:
    if page.notice is not None:
        return page.notice.now, page.notice.instead
    if page.state == "retired":
        return tuple(remark.reason for remark in page.retired)
    return tuple(remark.reason for remark in page.paused if remark.site_letter == letter)
