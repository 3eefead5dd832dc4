"""A practice entry as a frozen value, its facts, what it lacks, and how two editions differ.

Not the safety rules (``fieldbook.review``), not photos, not files. Its one rule: everything here is a pure function of
a document.
"""

from fieldbook.practices.changes import Difference, differences
from fieldbook.practices.completeness import missing_to_approve, missing_to_repeat
from fieldbook.practices.entry import Entry, EntryError, read_entry
from fieldbook.practices.facts import Facts
from fieldbook.practices.faults import Fault
from fieldbook.practices.ingredients import PURPOSES, can_be_named, ingredients_of
from fieldbook.practices.likeness import likenesses
from fieldbook.practices.waits import ShownWait, longer_waits, waits_shown

__all__ = [
    "PURPOSES",
    "Difference",
    "Entry",
    "EntryError",
    "Facts",
    "Fault",
    "ShownWait",
    "can_be_named",
    "differences",
    "ingredients_of",
    "likenesses",
    "longer_waits",
    "missing_to_approve",
    "missing_to_repeat",
    "read_entry",
    "waits_shown",
]
