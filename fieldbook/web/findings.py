"""What the safety rules find, as a reviewer reads it: one paragraph a rule, with every place it fires at.

Not the rules (``review``). Its one rule: every place is named, and the words, the source and the ways out stand once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.web.code_words import code_words
from fieldbook.web.differences import place_words
from fieldbook.web.words import Told, retold

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.review import Finding

_RESULTS = ("stop", "answer", "unknown", "note")
_HEADINGS = {"stop": "Stop", "answer": "Answer this", "unknown": "", "note": "Note"}  # unknown ones say it


@dataclass(frozen=True)
class FindingGroup:
    """Findings of one rule with one result and the same words.

    Attributes:
        rule: the rule's id.
        result: stop, answer, unknown or note.
        heading: what is read first.
        places: where, what was found there, and what it was held against, in words; of what is not said, the places
            to fill in.
        source: where the rule comes from.
        instead: safe ways, each with what it rests on.
        changes: for each way, the name of the change that it can make to a draft; empty where it makes none.
        asks: the reviewer's answer is asked here (once for a rule).
    """

    rule: str
    result: str
    heading: Told
    places: tuple[str, ...]
    source: str
    instead: tuple[tuple[Told, str], ...]
    changes: tuple[str, ...]
    asks: bool


def finding_groups(findings: Iterable[Finding]) -> list[FindingGroup]:
    """The findings drawn together by rule, what stops first."""
    drawn: dict[tuple[int, str, str], list[Finding]] = {}
    for one in findings:
        drawn.setdefault((_RESULTS.index(one.result), one.rule, one.words), []).append(one)
    groups: list[FindingGroup] = []
    for (_, rule, words), found in sorted(drawn.items(), key=lambda item: item[0][:2]):
        first = found[0]
        asked = any(group.rule == rule and group.asks for group in groups)
        groups.append(
            FindingGroup(
                rule=rule,
                result=first.result,
                heading=retold(words, where=_HEADINGS[first.result]),
                places=_unsaid(found) if first.result == "unknown" else tuple(filter(None, map(_place, found))),
                source=first.source,
                instead=tuple((retold(way.words), way.basis) for way in first.instead),
                changes=tuple(way.change for way in first.instead),
                asks=first.result in {"answer", "unknown"} and not asked,
            )
        )
    return groups


def _unsaid(found: Iterable[Finding]) -> tuple[str, ...]:
    """The places that say nothing yet; where nothing of a group is said, the words of the finding name it already."""
    fields = [field for one in found for field in one.missing if field.count(".") > 1]
    return tuple(dict.fromkeys(map(place_words, fields)))


def _in_words(value: str) -> str:
    """A code in its words; what is no code stays as it is."""
    return code_words(value) if re.fullmatch(r"[a-z_]+", value) else value


def _place(finding: Finding) -> str:
    parts = (
        place_words(finding.field).rstrip("?") if finding.field else "",
        f"found {_in_words(finding.value)}" if finding.value else "",
        f"held against {finding.limit}" if finding.limit else "",
    )
    return "; ".join(part for part in parts if part)
