"""The words of a recovery sheet: what a person needs who stands before a new laptop with a backup and a paper.

Not the phrase itself. Its one rule: each step can be done by somebody who has never done it before.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldbook.site import BackedUp

KEEP = (
    "Keep this sheet apart from the laptop and from the backup, in a dry place under lock. Whoever has the backup and "
    "these words can speak as this site and read where it is. Without them nobody can open it, not even who wrote it."
)
OLD_LAPTOP = (
    "Do not go on with the old laptop. If it may be in other hands, tell a signatory first: the site may have to be "
    "let in with a new key."
)
STEPS = (
    "Install the software on the new laptop and put in the stick with the backup.",
    "Make an empty folder, type: fieldbook --site FOLDER serve, and choose to put a site back on its first page.",
    "Choose the backup and type the words. Capitals and spaces do not matter; of each word the first three letters do.",
    "Exchange with the newest stick of the network before anybody uses what the site shows.",
    OLD_LAPTOP,
)


def numbered(phrase: str) -> tuple[tuple[int, str], ...]:
    """The words of a phrase with their places."""
    return tuple(enumerate(phrase.split(), start=1))


def sheet_facts(made: BackedUp) -> tuple[tuple[str, str], ...]:
    """What the sheet says of its backup, by name."""
    return (
        ("Site", f"{made.letter} {made.name}"),
        ("Network", made.network or "none yet"),
        ("Date", made.time[:10] if made.time else "write it here: ____________"),
        ("Backup", made.file.name),
    )
