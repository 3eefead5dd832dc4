"""What was sprayed, as the bed book notes it: by a practice with its own waiting time, or in words.

Its one rule: where no waiting time is published none is invented, and of two the longer one is taken.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.languages import pick
from fieldbook.practices import waits_shown
from fieldbook.tasks.noting import read_wait_days

if TYPE_CHECKING:
    from fieldbook.practices import Entry
    from fieldbook.site.season import Season

_SPRAYS = "pest-deterrent"
_EATEN = frozenset({"eating-raw", "harvest"})
_AFTER = frozenset({None, "spray", "other"})


def spray_practices(site: Season) -> tuple[tuple[str, str], ...]:
    """The practices against pests that readers here may follow: the id, and the title with its waiting time."""
    found = []
    for card in site.cards(_SPRAYS):
        try:
            days = spray_wait_days(site.entry_value(card.edition))
        except FieldbookError:  # its words are not here, so nobody can follow it either
            continue
        title = pick(card.title, site.languages)[1]
        found.append(
            (card.edition, f"{title} ({'no waiting time is published' if days is None else f'wait {days} days'})")
        )
    return tuple(found)


def spray_wait_days(entry: Entry) -> int | None:
    """The longest wait between spraying and eating that a practice names [days]; None where none is published."""
    rows = (one for one in waits_shown(entry) if one.row.get("before") in _EATEN and one.row.get("after") in _AFTER)
    return max((one.days for one in rows if one.days is not None), default=None)


def spray_details(site: Season, *, practice: str, said: str, wait_days: str) -> dict[str, Any]:
    """What a happening of kind spray keeps.

    Args:
        site: Where.
        practice: The edition of a practice; empty where it was something else.
        said: What was in it, in words.
        wait_days: Days to wait as they are typed; empty where none is published.

    Raises:
        FieldbookError: the practice is not here, or the days are no number.
    """
    typed = read_wait_days(wait_days)
    if not practice:
        return {"said": said.strip()[:200], "wait_days": typed}
    entry = site.entry_value(practice)
    named = [days for days in (spray_wait_days(entry), typed) if days is not None]
    return {"said": pick(entry.title, site.languages)[1][:200], "wait_days": max(named, default=None)}
