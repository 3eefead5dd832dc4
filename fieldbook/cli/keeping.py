"""The verbs that keep a site from being lost: ``backup``, ``restore`` and ``mend``.

Its one rule: the recovery phrase is never an argument, and is shown once.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.site import Site, SiteError, back_up, mend, restore
from fieldbook.web import recovery_words

if TYPE_CHECKING:
    import argparse

    from fieldbook.site import BackedUp

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


def mended(folder: Path) -> tuple[dict[str, Any], list[str]]:
    """Keep of a damaged store what still verifies, and say what does not."""
    made = mend(folder)
    site = Site.open(folder)
    try:
        entries = site.rebuild()
    finally:
        site.close()
    lines = [f"The store is mended: {made.kept} statements verify. Practice entries: {entries}."]
    if made.lost:
        lines += [f"{len(made.lost)} statements are damaged and no longer here:", *(f"  {one}" for one in made.lost)]
    if made.bare:
        lines += [f"Of {len(made.bare)} statements the words are damaged:", *(f"  {one}" for one in made.bare)]
    if made.lost or made.bare:
        lines.append("Exchange with every stick: what another site holds comes back.")
    lines.append(
        "The old file is store.sqlite.damaged; remove it when all is well: it may hold what is taken back later."
    )
    return {**made.__dict__, "entries": entries}, lines


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
