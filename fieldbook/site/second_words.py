"""The word of a licensed local person on an edition: typed in from the sheet on which it was asked.

It stays at this site until a reviewer signs it with an approval, and counts at this site only. Its one rule: a word is
dated, says by office who gave it and on which dangers, and is never the author's or the approving reviewer's own.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.review.bodies import LICENSED
from fieldbook.review.stakes import cautions_at_stake, unchecked_stakes
from fieldbook.site.parts import SiteError, time_claimed
from fieldbook.site.reviewing import said_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.notebook import Record
    from fieldbook.site.parts import Signer
    from fieldbook.site.season import Season
    from fieldbook.view import EntryPage

KIND = "second-word"
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_WRITERS = frozenset({"trainer", "reviewer"})


@dataclass(frozen=True)
class LocalWord:
    """What a licensed local person said of an edition.

    Attributes:
        number: of the paper in the notebook.
        role: their office, a code; never a name.
        on: the day on which it was said.
        words: what was said.
        about: the cautions on which it was said.
        answers: what was said to single rules.
        typed_by: who typed it in.
    """

    number: int
    role: str
    on: str
    words: str
    about: tuple[str, ...]
    answers: Mapping[str, str]
    typed_by: str

    def as_body(self) -> dict[str, Any]:
        """The word as a reviewer signs it with an approval."""
        return {"role": self.role, "words": self.words, "on": self.on, "about": list(self.about)}


class SecondWords:
    """The words of licensed local people at one site, and what still keeps an edition off a sheet to take home."""

    def __init__(self, site: Season) -> None:
        """Look at a site."""
        self._site = site

    def keep(
        self,
        edition: str,
        *,
        signer: Signer,
        role: str,
        on: str,
        words: str,
        about: Sequence[str],
        answers: Mapping[str, str] | None = None,
    ) -> LocalWord:
        """Keep a word as it was written on the sheet.

        Args:
            edition: its id.
            signer: a trainer or reviewer of this site who did not write the edition.
            role: the office of whoever said it.
            on: the day on which it was said, as 2026-11-25.
            words: what was said.
            about: keys of the cautions on which it was said.
            answers: what was said to single rules.

        Raises:
            SiteError: it lacks something, its day is still to come, or this person may not type it in.
        """
        word = self.checked(edition, signer=signer, role=role, on=on, words=words, about=about)
        given = {rule: " ".join(text.split()) for rule, text in (answers or {}).items() if text.strip()}
        document = {**word, "answers": given, "typed_by": signer.label}
        return _word(self._site.notebook.add_record(KIND, document, about=edition))

    def checked(
        self, edition: str, *, signer: Signer, role: str, on: str, words: str, about: Sequence[str]
    ) -> dict[str, Any]:
        """Give a word as a reviewer signs it with an approval, without keeping it; see ``keep``.

        Raises:
            SiteError: it lacks something, its day is still to come, or this person may not type it in.
        """
        self._check_person(edition, signer)
        if role not in LICENSED:
            raise SiteError("this is no office of a licensed person", hint=f"choose one of: {', '.join(LICENSED)}")
        self._check_day(on.strip())
        said = said_words(words, "their word")
        if not about or not set(about) <= set(self.at_stake(edition)):
            raise SiteError(
                "it is not said on which danger of this edition the word was given",
                hint="choose at least one danger that the sheet asks about, and no other",
            )
        return {"role": role, "words": said, "on": on.strip(), "about": sorted(set(about))}

    def of(self, edition: str) -> tuple[LocalWord, ...]:
        """The words on an edition that were typed in here, the newest first."""
        return tuple(_word(one) for one in reversed(self._site.notebook.records(KIND, about=edition)))

    def word(self, edition: str, number: int) -> LocalWord:
        """One word by its number.

        Raises:
            SiteError: there is none of this number on this edition.
        """
        found = [word for word in self.of(edition) if word.number == number]
        if not found:
            raise SiteError("this word of a local person is not kept here", hint="type it in from its sheet first")
        return found[0]

    def at_stake(self, edition: str) -> tuple[str, ...]:
        """The cautions on which a local person may be asked, sorted."""
        return tuple(sorted(cautions_at_stake(self._site.entry_value(edition))))

    def lacks_for_home(self, page: EntryPage) -> tuple[str, ...]:
        """What keeps an edition off a sheet to take home: ``stop``, ``unchecked``, or the dangers that lack a check."""
        if page.notice is not None or page.paused_here or page.state not in {"approved", "offered"}:
            return ("stop",)
        if not page.approvals:
            return ("unchecked",)
        if any(finding.result == "stop" for finding in self._site.findings(page.line.edition)):
            return ("stop",)
        value = self._site.entry_value(page.line.edition)
        covered = [key for one in page.approvals if one.word_counts for key in (one.second_word or {}).get("about", ())]
        return unchecked_stakes(value, reviewers=len({one.by for one in page.approvals}), covered=covered)

    def _check_person(self, edition: str, signer: Signer) -> None:
        said = self._site.need_ledger().said(edition)
        if said is not None and said.author == signer.key.public:
            raise SiteError(
                "whoever wrote an edition does not type in the word on it",
                hint="ask another trainer or reviewer of this site to type it in from the sheet",
            )
        if signer.roles.isdisjoint(_WRITERS):
            raise SiteError(
                "only trainers and reviewers type in such a word", hint="ask a trainer of this site to type it in"
            )

    def _check_day(self, on: str) -> None:
        said_on, now = _day(on), self._site.clock()
        if said_on is None:
            raise SiteError(f"there is no day {on}", hint="write the day as on the sheet, such as 2026-11-25")
        if time_claimed(now) is not None and said_on > now.date():
            raise SiteError(f"the day {on} is still to come", hint="write the day on which it was said")


def _day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        return None


def _word(record: Record) -> LocalWord:
    kept = record.document
    return LocalWord(
        number=record.number,
        role=kept["role"],
        on=kept["on"],
        words=kept["words"],
        about=tuple(kept["about"]),
        answers=kept["answers"],
        typed_by=kept["typed_by"],
    )
