"""A bed, box, can or pen as JSON, for whoever asks at a terminal.

Not a paper of the notebook (``bed_papers``). Its one rule: days stand in it as people read them, with the waits that
run now.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.site.bed_papers import happening_paper, spot_paper
from fieldbook.tasks.bars import CONTACT_WORDS, HANGS_CLEAR, TOUCHES_SOIL

if TYPE_CHECKING:
    from fieldbook.site.beds import BedBook
    from fieldbook.tasks.spots import Spot


def bed_document(book: BedBook, spot: Spot) -> dict[str, Any]:
    """A spot with the waits that run, its plantings and its history.

    Args:
        book: The bed book.
        spot: Which one; where nobody knows which day it is there, all its waits that ever ran stand in it.
    """
    words, today = spot.count.words, book.today_of(spot, book.today())
    return {
        **{name: value for name, value in spot_paper(spot).items() if name != "plates"},
        "waits": [
            {
                "for": CONTACT_WORDS[contact],
                "until": words(longest.until),
                "days": longest.days,
                "after": longest.because.wait_words,
                "since": words(longest.because.day),
                "source": longest.source,
            }
            for contact in (TOUCHES_SOIL, HANGS_CLEAR)
            if (longest := next(iter(book.bars(spot, contact)), None)) is not None
            and (today is None or today < longest.until)
        ],
        "plantings": [
            {
                "crop": one.crop.crop_id,
                "number": one.number,
                "since": words(one.day),
                "first_picking": words(book.first_picking(spot, one).day),
            }
            for one in book.plantings(spot)
            if one.end_day is None
        ],
        "history": [
            {**happening_paper(one), "number": one.number, "day": words(one.day), "struck": one.struck or None}
            for one in book.history(spot)
        ],
    }
