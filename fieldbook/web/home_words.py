"""Why an edition may not be taken home on paper, and what to do about each reason, in sentences.

Not the judging (``site.second_words.lacks_for_home``). Its one rule: each reason says what to do, and who does it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.web.queue_words import STAKE_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from fieldbook.review import Finding
    from fieldbook.view import EntryPage

Reason = tuple[str, str]
_SECOND_CHECK = (
    "Another reviewer approves it too; or print the questions, ask a licensed local person, type in the answer, and a "
    "reviewer of this site signs it with an approval."
)


def home_reasons(
    page: EntryPage, lacks: Iterable[str], findings: Sequence[Finding], *, newer: bool
) -> tuple[Reason, ...]:
    """Give each reason that keeps an edition off a sheet, with what to do.

    Args:
        page: the edition as it is shown.
        lacks: what it lacks, by code; see ``SecondWords.lacks_for_home``.
        findings: what the rules find in it.
        newer: another edition of its entry is to be followed now.
    """
    codes = list(lacks)
    found = _of_state(page, newer=newer)
    stops = dict.fromkeys(one.words for one in findings if one.result == "stop")
    found += [
        (f"A rule of safety stops it: {words}", "The review shows what to do instead; the next edition says it.")
        for words in stops
    ]
    if "unchecked" in codes:
        found.append(
            (
                "Nobody has checked it.",
                "A reviewer finds it in the list of what waits. Until then show it on the screen, with its mark.",
            )
        )
    found += [
        (f"A second check is missing on {STAKE_WORDS[code]}.", _SECOND_CHECK) for code in codes if code in STAKE_WORDS
    ]
    return tuple(found)


def _of_state(page: EntryPage, *, newer: bool) -> list[Reason]:
    found: list[Reason] = []
    if page.paused_here:
        found.append(("It is paused at this site.", "Ask the trainer who paused it. Take down what hangs of it."))
    if page.state == "sent-back":
        found.append(("It was sent back to its author.", "The author writes the next edition; print that one."))
    if page.state == "retired":
        found.append(("It is out of date.", "Use what takes its place, or search for another practice."))
    if newer and page.state not in {"sent-back", "retired"}:
        found.append(("Another edition is to be followed now.", "Open the practice without choosing an edition."))
    return found
