"""The kinds of statements that gardens need: their lane, and who may sign them.

One table, handed to ``sync``. Its one rule: what stops harm travels in the urgent lane.
"""

from __future__ import annotations

import sync

_URGENT, _TEXT = "urgent", "text"
_WRITERS = ("trainer", "reviewer")
_ANYONE = ("volunteer", "trainer", "reviewer", "steward", "site")


def _kind(name: str, lane: str, *signers: str, stops: bool = False) -> sync.KindRule:
    return sync.KindRule(name, lane, frozenset(signers), stops)  # type: ignore[arg-type]


KINDS = (
    _kind("fieldbook/site", _TEXT, "site"),
    _kind("fieldbook/edition", _TEXT, *_WRITERS),
    _kind("fieldbook/translation", _TEXT, *_WRITERS),
    _kind("fieldbook/read-back", _TEXT, *_WRITERS),
    _kind("fieldbook/hold", _TEXT, *_WRITERS, "site"),
    _kind("fieldbook/approval", _TEXT, "reviewer"),
    _kind("fieldbook/sent-back", _TEXT, "trainer", "reviewer"),
    _kind("fieldbook/retirement", _TEXT, "reviewer"),
    _kind("fieldbook/trial", _TEXT, *_ANYONE),
    _kind("fieldbook/report", _TEXT, *_ANYONE),
    _kind("fieldbook/recall", _URGENT, "reviewer", stops=True),
    _kind("fieldbook/lifting", _URGENT, "reviewer", "steward"),
    _kind("fieldbook/acknowledgement", _URGENT, "site"),
)
