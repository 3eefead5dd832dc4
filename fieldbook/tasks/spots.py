"""A bed, box, can or pen with its letter and number, and what happened there.

Not what follows from it (``bars``, ``due``). Its one rule: no map, no names, no households: a letter and a number, as
on the stake that stands in the soil.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fieldbook.tasks.days import Count, TaskError

if TYPE_CHECKING:
    from collections.abc import Iterable

SPOT_KINDS = {"bed": "bed", "box": "box or sack", "can": "can", "pen": "pen"}
GROWING = frozenset({"bed", "box"})
CAN_CONTENTS = {
    "urine": "human urine",
    "animal_urine": "animal urine",
    "dung_steep": "dung steep",
    "leaf_steep": "steep of leaves only",
}
REASON_MAX_CHARACTERS = 200
_LABEL = re.compile(r"[A-Z]{1,2}[1-9][0-9]{0,2}")


@dataclass(frozen=True, slots=True)
class What:
    """One kind of thing that happens.

    Attributes:
        words: As it is chosen from a list.
        at: The kinds of spots where it can happen.
        counts_as: What waiting times count it as: dung, wet-dung, urine, pond, spray, flood, word; empty for none.
    """

    words: str
    at: frozenset[str]
    counts_as: str = ""


_CAN, _PEN, _ALL = frozenset({"can"}), frozenset({"pen"}), frozenset(SPOT_KINDS)
WHATS = {
    "dung": What("raw dung, or dung water, went into the soil", GROWING, "dung"),
    "compost": What("compost went in, and nobody wrote down its heat", GROWING, "dung"),
    "checked_compost": What("compost went in: its heat was written down, or it is of plants only", GROWING),
    "animal_urine": What("urine of animals went in", GROWING, "dung"),
    "urine": What("stored human urine went in, from a can of this book", GROWING, "urine"),
    "fresh_urine": What("human urine went in that had not stood its time, or nobody knows", GROWING, "dung"),
    "dung_on_leaves": What("dung water, or water of a dunged pond, wetted leaves or fruit", GROWING, "wet-dung"),
    "pond_water": What("water of a pond, drum or fish tank wetted leaves or fruit", GROWING, "pond"),
    "spray": What("something was sprayed", GROWING, "spray"),
    "flood": What("flood water reached it", GROWING, "flood"),
    "drain": What("drain or waste water reached it", GROWING, "flood"),
    "officer": What("a health officer said until when nothing is eaten", GROWING, "word"),
    "planned": What("something is to be sown or planted", GROWING),
    "planted": What("something was sown or planted", GROWING),
    "planted_out": What("seedlings were planted out of the nursery", GROWING),
    "picked": What("something was picked", GROWING),
    "lost": What("a loss: plants, fruit or animals", _ALL),
    "cleared": What("it was cleared", GROWING),
    "filled": What("the last was poured in", _CAN),
    "emptied": What("it was emptied", _CAN),
    "cleaned": What("it was cleaned out", _PEN),
    "left": What("it was left behind", _ALL),
}
WAIT_WORDS = {  # what asks for a wait, as it stands on a stake
    "dung": "dung",
    "compost": "compost, heat not known",
    "animal_urine": "animal urine",
    "urine": "stored urine",
    "fresh_urine": "fresh urine",
    "dung_on_leaves": "dung water over leaves",
    "pond_water": "pond water over leaves",
    "spray": "spray",
    "flood": "flood",
    "drain": "drain water",
    "officer": "the word of a health officer",
}


@dataclass(frozen=True, slots=True)
class Spot:
    """One bed, box, can or pen.

    Attributes:
        number: Its number in the notebook.
        label: Letter and number, as on its stake.
        kind: bed, box, can or pen.
        count: How its days are counted.
        marked: Where they are marked by hand, the last day that was marked.
        shared: Whether others than the own household eat of it, or it is sold.
        holds: What a can holds; empty for all else.
        area_m2: Its area, as a decimal text; empty where nobody measured it.
        plates: How many plates the person who keeps it still expects of it; None where it was not said.
    """

    number: int
    label: str
    kind: str
    count: Count
    marked: int | None = None
    shared: bool = False
    holds: str = ""
    area_m2: str = ""
    plates: int | None = None

    @property
    def grows(self) -> bool:
        """Whether something is planted in it."""
        return self.kind in GROWING


@dataclass(frozen=True, slots=True)
class Happening:
    """What happened at a spot on one day of its count.

    Attributes:
        number: Its number in the notebook.
        what: A key of ``WHATS``.
        day: The day, from day 0 of the spot.
        crop: Of a plan, a planting or a picking, the crop's word in the table.
        contact: Of a plan or planting, how what is eaten meets the soil: edible_soil, edible_none or not_eaten.
        raised: Of a plan or planting, where it began: nursery, seed (sown in place) or seedling (planted).
        of: Of a planting out, the number of its planting.
        can: Of urine, the label of the can.
        stored_days: Of urine, how long it had stood; None where nobody knows.
        wait_days: Of a spray, the wait that is published for it; None where none is.
        until: Of a health officer's word, the first day on which may be eaten again.
        said: Words beside it: of a spray which it was, of an officer the role and the day of the word.
        struck: Why it was struck out; then it counts for nothing.
        doubted: Why somebody says that it is wrong; it counts until a second person says so too.
        doubted_by: The label of who said so, as C1.
        doubted_by_trainer: Whether they are a trainer.
    """

    number: int
    what: str
    day: int
    crop: str = ""
    contact: str = ""
    raised: str = ""
    of: int | None = None
    can: str = ""
    stored_days: int | None = None
    wait_days: int | None = None
    until: int | None = None
    said: str = ""
    struck: str = ""
    doubted: str = ""
    doubted_by: str = ""
    doubted_by_trainer: bool = False

    @property
    def ends_a_wait(self) -> bool:
        """Whether a wait may end sooner without it: what asks for one, and the day from which a can has stood."""
        return bool(WHATS[self.what].counts_as) or self.what == "filled"

    @property
    def wait_words(self) -> str:
        """What asks for a wait, as it stands on a stake."""
        return WAIT_WORDS[self.what]


def read_label(text: str) -> str:
    """A letter with a number, as on a stake; small letters are made capital.

    Raises:
        TaskError: it is anything else.
    """
    label = text.strip().upper()
    if _LABEL.fullmatch(label) is None:
        raise TaskError(
            f"{text.strip()[:20]!r} is no letter with a number",
            hint="write one or two letters and a number up to 999, such as B3",
        )
    return label


def standing(history: Iterable[Happening]) -> tuple[Happening, ...]:
    """What counts of a history, by day and then as it was noted: nothing that was struck out."""
    return tuple(sorted((one for one in history if not one.struck), key=lambda one: (one.day, one.number)))


def filled_on(history: Iterable[Happening]) -> Happening | None:
    """The last filling of a can; None where it is empty."""
    last = None
    for one in standing(history):
        if one.what in {"filled", "emptied"}:
            last = one if one.what == "filled" else None
    return last


def struck_out(happening: Happening, reason: str, *, by: str, trainer: bool) -> Happening:
    """A happening that somebody says is wrong: it no longer counts, or is doubted where a wait may hang on it.

    A wait never ends by one person's word: what may shorten one counts until a second person has said that it is wrong,
    one of the two a trainer.

    Args:
        happening: What was noted.
        reason: Why it is wrong; not asked of the second person.
        by: The label of who says so, as C1.
        trainer: Whether they are a trainer.

    Raises:
        TaskError: no reason is given, the same person said so before, or neither of the two is a trainer.

    Source: ours.
    """
    if happening.doubted:
        return _confirmed(happening, by=by, trainer=trainer)
    said = reason.strip()[:REASON_MAX_CHARACTERS]
    if not said:
        raise TaskError("it is not said why this is struck out", hint="write why it is wrong, in a few words")
    if happening.ends_a_wait:
        return replace(happening, doubted=said, doubted_by=by, doubted_by_trainer=trainer)
    return replace(happening, struck=said)


def _confirmed(happening: Happening, *, by: str, trainer: bool) -> Happening:
    if by == happening.doubted_by:
        raise TaskError(
            f"{by} has said already that this is wrong",
            hint="let another person look, too; until then it counts, since a wait hangs on it",
        )
    if not trainer and not happening.doubted_by_trainer:
        raise TaskError(
            f"neither {happening.doubted_by} nor {by} is a trainer",
            hint="let a trainer look, too; until then it counts, since a wait hangs on it",
        )
    return replace(happening, struck=f"{happening.doubted} ({happening.doubted_by}, {by})", doubted="", doubted_by="")


def believed(happening: Happening) -> Happening:
    """A happening that is right after all: nobody doubts it any more."""
    return replace(happening, doubted="", doubted_by="", doubted_by_trainer=False)
