"""The few words that a sheet to take home says by itself, in the household's language with the English beside them.

Not the words of an entry. Its one rule: the English always stands there too, since no speaker has read the others
(all of them from memory).
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from fieldbook.languages import ENGLISH
from fieldbook.shipped import shipped_text
from fieldbook.web.said import Said

if TYPE_CHECKING:
    from collections.abc import Mapping

TABLE = "seed_entries/sheet_words.csv"


@dataclass(frozen=True)
class SheetWords:
    """One label: in the language of the sheet, None where it has no words in it or is English; and in English."""

    own: Said | None
    english: str


@cache
def sheet_words(tag: str) -> Mapping[str, SheetWords]:
    """The labels of a sheet in a language, by their keys.

    Args:
        tag: the language of the sheet; of one such as ``pt-BR``, that of ``pt`` where there is no other.
    """
    rows = list(csv.DictReader(io.StringIO(shipped_text(TABLE))))
    known = next((one for one in (tag, tag.partition("-")[0]) if one != ENGLISH and rows and one in rows[0]), None)
    return {row["key"]: SheetWords(Said(known, row[known]) if known else None, row[ENGLISH]) for row in rows}
