"""What people see, folded from the statements and kept in a disposable file.

``folding`` turns what was said of one entry into one canonical value, ``folded`` keeps it, ``assembly`` makes of it the
plain values of ``shown``. Its one rule: delete the file and nothing is lost.
"""

from fieldbook.view.assembly import notice_of, standing_here, words_of_edition, words_shown
from fieldbook.view.file import FOLD_VERSION, ViewError, ViewUnusable
from fieldbook.view.folded import View
from fieldbook.view.folding import Gathered, acts, reviews_of, understood
from fieldbook.view.shown import STANDING_WORDS, Approved, Card, EditionLine, EntryPage, Notice, Remark

__all__ = [
    "FOLD_VERSION",
    "STANDING_WORDS",
    "Approved",
    "Card",
    "EditionLine",
    "EntryPage",
    "Gathered",
    "Notice",
    "Remark",
    "View",
    "ViewError",
    "ViewUnusable",
    "acts",
    "notice_of",
    "reviews_of",
    "standing_here",
    "understood",
    "words_of_edition",
    "words_shown",
]
