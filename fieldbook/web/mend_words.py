"""What the pages say of damage: the words that were hit, who can bring them back, and which are lost.

Not the finding of it (``site.mending``). Its one rule: what no other site is known to hold stands first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.web import words
from fieldbook.web.role_words import damaged_words
from fieldbook.web.said import in_language

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.site import DamagedPhoto, DamagedWords, SiteDamage

LISTED_MAX = 40  # what an old phone loads in one go; the rest is counted


@dataclass(frozen=True)
class DamageWords:
    """Lines of a page, each one thing that is damaged; ``more`` counts those that are not named."""

    lost: tuple[str, ...]
    returning: tuple[str, ...]
    photos: tuple[str, ...]
    more: int


def damage_words(found: SiteDamage, preferred: Sequence[str], *, id_characters: int = 12) -> DamageWords:
    """What is damaged, line by line, each with so much of its id."""
    lost, returning = (
        tuple(_line(one, preferred, id_characters) for one in damaged)
        for damaged in (found.held_alone, found.returning)
    )
    photos = tuple(_photo(one, preferred, id_characters) for one in found.photos)
    more = sum(max(0, len(lines) - LISTED_MAX) for lines in (lost, returning, photos))
    return DamageWords(lost[:LISTED_MAX], returning[:LISTED_MAX], photos[:LISTED_MAX], more)


def _line(one: DamagedWords, preferred: Sequence[str], id_characters: int) -> str:
    by = f", by {one.author}" if one.author else ""
    name = f" ({one.statement[:id_characters]})" if one.statement else ""
    who = f"; known to be at {words.joined(one.holders)}" if one.holders else ""
    return f"{damaged_words(one.kind, one.title, preferred)}{by}{name}{who}"


def _photo(one: DamagedPhoto, preferred: Sequence[str], id_characters: int) -> str:
    if one.stays_home:
        return f"a photo that stays at this site ({one.file[:id_characters]}): only a backup can bring it back"
    title = in_language(one.title, preferred)
    of = f" of “{title.text}”" if title else ""
    who = f"; most likely at {words.joined(one.holders)}" if one.holders else "; no other site is known to have it"
    return f"a photo{of} ({one.file[:id_characters]}){who}"
