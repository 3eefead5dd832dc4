"""A site with as many checked entries as wanted, for what is measured of pages, search, memory and start.

Not how people write: the statements are signed and kept by the real code, but past the forms. One rule: the entries are
small ones of about 280 words, each different, each approved.
"""

from __future__ import annotations

from contextlib import contextmanager
from random import Random
from typing import TYPE_CHECKING, Any

from sync import author_statement
from tests.bench.history import Prose
from tests.orrendal import fast_folder, practice
from tests.web.gardens import planted_copy

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.ledger import Key
    from tests.orrendal import Circle

STEPS, STEP_WORDS = 6, 42
_APPROVED: dict[str, Any] = {"answers": {}, "findings": [], "limits": [], "rules": "2026-11"}


@contextmanager
def garden(entries: int) -> Iterator[Circle]:
    """Cloudstep with two starter entries and so many more, view and index made; gone in the end."""
    with planted_copy(fast_folder()) as circle:
        site = circle["C"]
        store = site.need_ledger()._store
        chance = Random(7)
        prose = Prose(chance)
        last = {label: store.last_of(circle.keys[label].public) for label in ("C1", "C3")}

        def say(label: str, kind: str, body: dict[str, Any], *after: str) -> str:
            key: Key = circle.keys[label]
            place: dict[str, Any] = {"network_id": store.network.id, "salt": chance.randbytes(16), "after": after}
            statement = author_statement(key=key, kind=kind, body=body, previous=last[label], **place)
            store.add([statement], sealed=False)
            last[label] = statement.id
            return statement.id

        with store.transaction():
            for _ in range(entries):
                say("C3", "fieldbook/approval", _APPROVED, say("C1", "fieldbook/edition", _entry(prose)))
        site.rebuild()
        yield circle


def _entry(prose: Prose) -> dict[str, Any]:
    return practice(
        prose.sentence(6),
        summary={"en": prose.sentence(20)},
        steps=[{"n": n, "say": {"en": prose.sentence(STEP_WORDS)}} for n in range(1, STEPS + 1)],
    )
