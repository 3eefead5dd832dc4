"""The verbs that keep a site from being lost: ``backup``, ``restore`` and ``mend``.

Its one rule: the recovery phrase is never an argument, and is shown once.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.site import Site, SiteError, back_up, look_at, mend, remove_damaged, restore
from fieldbook.web import recovery_words
from fieldbook.web.mend_words import damage_words

if TYPE_CHECKING:
    import argparse

    from fieldbook.site import BackedUp, SiteDamage

_WORDS_A_LINE = 5


def backup(site: Site, options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Write a backup; a phrase that stands in ``FIELDBOOK_RECOVERY`` is used again, else a new one is shown once."""
    given = os.environ.get("FIELDBOOK_RECOVERY") or None
    made = back_up(site, Path(options.file), phrase=given)
    document = made.as_document()
    if given is not None:
        del document["phrase"]
    return document, [*_made(made), *(_sheet(made) if given is None else ())]


def restored(options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Put a site back from a backup, and make its view and index anew."""
    back = restore(Path(options.file), Path(options.folder), phrase=_phrase())
    site = Site.open(back.folder)
    try:
        document = back.as_document() | {"entries": site.view.count(), "site": site.site_key.public}
    finally:
        site.close()
    since = f"as it was on {back.time[:10]}" if back.time else "as it was when the backup was written"
    return document, [
        f"{back.letter} {back.name} is back in {back.folder}, {since}. Practice entries: {document['entries']}.",
        "Exchange with the newest stick before anybody uses it: what was withdrawn since then is not known here yet.",
        recovery_words.OLD_LAPTOP,
    ]


def mended(folder: Path, options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Keep of a damaged store what still verifies, and say what does not; or only look, or remove the old file."""
    if options.remove_old:
        gone = remove_damaged(folder)
        return {"removed": gone}, ["The old file is removed." if gone else "There is no old file."]
    found = look_at(folder)
    if options.look:
        return found.as_document(), _damage(found)
    made = mend(folder)
    site = Site.open(folder)
    try:
        entries = site.rebuild()
    finally:
        site.close()
    lines = [*_damage(found), f"The store is mended: {made.kept} statements verify. Practice entries: {entries}."]
    if made.lost or made.bare or made.files:
        lines.append("Exchange with every stick: what another site holds comes back.")
    lines.append(
        "The old file is store.sqlite.damaged; remove it (`mend --remove-old`) when all is well: "
        "it may hold what is taken back later."
    )
    return {**found.as_document(), **made.__dict__, "entries": entries}, lines


def _damage(found: SiteDamage) -> list[str]:
    shown = damage_words(found, (), id_characters=64)
    lines = [f"{found.sound} signed words are sound."]
    for heading, damaged, count in (
        ("Damaged, and not known to be at any other site", shown.lost, len(found.held_alone)),
        ("Damaged, and known to be at other sites", shown.returning, len(found.returning)),
        ("Damaged photos", shown.photos, len(found.photos)),
    ):
        lines += [f"{heading}: {count}.", *(f"  {line}" for line in damaged)] if count else []
    lines += [f"And {shown.more} more; `--json` names all."] if shown.more else []
    lines += [f"Sealed batches that no longer hold: {found.bundles}. Sound words are sealed again."] * (
        found.bundles > 0
    )
    return [*lines, *found.problems] if not found.is_whole else [*lines, "Nothing is damaged."]


def _made(made: BackedUp) -> list[str]:
    lines = [
        f"The backup {made.file} is written and was read back: {made.files} files, {made.size_bytes} bytes, sealed."
    ]
    if made.left_out:
        lines.append(
            f"Damaged here, so not in it: {', '.join(made.left_out)}. An exchange brings back what others have."
        )
    return lines


def _sheet(made: BackedUp) -> list[str]:
    words = [f"{place:>2} {word:<10}" for place, word in recovery_words.numbered(made.phrase)]
    return [
        "",
        "RECOVERY SHEET: write this on paper now. The words are shown once and kept nowhere.",
        *(f"  {name}: {value}" for name, value in recovery_words.sheet_facts(made)),
        *("  " + "".join(words[at : at + _WORDS_A_LINE]).rstrip() for at in range(0, len(words), _WORDS_A_LINE)),
        *(f"  {place}. {step}" for place, step in enumerate(recovery_words.STEPS, start=1)),
        recovery_words.KEEP,
    ]


def _phrase() -> str:
    """The recovery phrase, from ``FIELDBOOK_RECOVERY`` or as typed; it is shown while it is typed, being long."""
    given = os.environ.get("FIELDBOOK_RECOVERY")
    if given:
        return given
    if not sys.stdin.isatty():
        raise SiteError("the recovery phrase is needed", hint="set FIELDBOOK_RECOVERY, or run it in a terminal")
    print("The words on the recovery sheet, in one line: ", end="", file=sys.stderr, flush=True)
    return sys.stdin.readline()
