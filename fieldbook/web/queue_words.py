"""Why an edition stands where it stands in a reviewer's list, in sentences.

Not the order (``review.queueing``). Its one rule: each reason is a sentence of its own, the heaviest first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.web.words import counted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

STAKE_WORDS = {"germs": "germs", "poison": "poison", "load": "weight overhead", "open-water": "open water"}
_REASONS: dict[str, Callable[[int], str]] = {
    "harmed": lambda n: f"{counted(n, 'report', 'reports')} that it hurt somebody.",
    "stops": lambda n: f"{counted(n, 'finding stops it', 'findings stop it')}.",
    "answers": lambda n: f"{counted(n, 'finding needs', 'findings need')} your answer.",
    "unsaid": lambda n: f"{counted(n, 'thing is', 'things are')} not said.",
    "second": lambda _: "Checked once; a second check is missing before it is taken home on paper.",
    "in-use": lambda _: "It is followed now.",
    "waited": lambda n: f"It has waited {counted(n, 'day', 'days')}.",
}


def reason_sentences(reasons: Iterable[tuple[str, int]]) -> list[str]:
    """The reasons of an edition; what is at stake is drawn together in one sentence."""
    found = dict(reasons)
    stakes = [words for code, words in STAKE_WORDS.items() if code in found]
    said = {code: words(found[code]) for code, words in _REASONS.items() if code in found}
    at_stake = [f"At stake: {', '.join(stakes)}."] if stakes else []
    heavy = [said.pop(code) for code in ("harmed", "stops") if code in said]
    return [*heavy, *at_stake, *said.values()] or ["The rules find nothing to answer."]
