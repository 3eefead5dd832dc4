"""The bed book of a site: beds, boxes, cans and pens by letter and number, and what happened there on which day.

It stays in the notebook and never leaves. Its one rule: what was noted is struck out with a reason, never wiped, and
nothing goes from the book while a wait runs.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from fieldbook.site.bed_papers import HAPPENING, SPOT, TICK, happening_from, happening_paper, spot_from, spot_paper
from fieldbook.site.season import crop_table
from fieldbook.site.spraying import spray_details, spray_practices
from fieldbook.tasks.bars import HANGS_CLEAR, TOUCHES_SOIL, bars, earliest_day
from fieldbook.tasks.days import Count, TaskError, read_date
from fieldbook.tasks.noting import breaches, checked, drawn, refuse_in_wait
from fieldbook.tasks.plantings import first_picking, plans_of, plantings_of
from fieldbook.tasks.spots import CAN_CONTENTS, SPOT_KINDS, Happening, Spot, believed, read_label, standing, struck_out

if TYPE_CHECKING:
    from fieldbook.climate.crops import Crop
    from fieldbook.notebook import Record
    from fieldbook.site.season import Season
    from fieldbook.site.starting import Starting
    from fieldbook.tasks.bars import Bar
    from fieldbook.tasks.plantings import FirstPicking, Planting

MARK_AHEAD_DAYS = 42  # ours: a strip has six weeks; who marks further ahead is asked once more
_AREA = re.compile(r"\d{1,4}([.,]\d{1,2})?")
EVENT_OF = {"flood": "flood", "drain": "flood", "left": "move"}
"""What happens at a spot, with what it is to the answers of "Before you start here" that name the spot."""
_WHOLE = re.compile(r"\d{1,4}")


class BedBook:
    """Beds, boxes, cans and pens of one site."""

    def __init__(self, site: Season, starting: Starting) -> None:
        """Read and write the notebook of a site; its clock says which day it is, ``starting`` hears of floods."""
        self._site = site
        self._notebook = site.notebook
        self._starting = starting

    # which day it is

    def today(self, typed: str = "") -> dt.date | None:
        """The day that was typed, else today by the clock; None where it cannot be right.

        Raises:
            TaskError: what was typed is no day.
        """
        if typed.strip():
            return read_date(typed)
        return None if self._site.clock_doubt else self._site.clock().date()

    def today_of(self, spot: Spot, today: dt.date | None) -> int | None:
        """Today in the count of a spot: by the date, or the last day that was marked by hand; None if nobody knows."""
        if spot.count.by_hand:
            return spot.marked
        return None if today is None else spot.count.number(today)

    # beds, boxes, cans and pens

    @property
    def crops(self) -> dict[str, Crop]:
        """The crop table by the words of its rows."""
        return {crop.crop_id: crop for crop in crop_table()}

    def spots(self) -> tuple[Spot, ...]:
        """All of them, by letter and then by number."""
        found = (spot_from(record) for record in self._notebook.records(SPOT))
        return tuple(sorted(found, key=lambda spot: _order(spot.label)))

    def spot(self, label: str) -> Spot:
        """The one of this letter and number.

        Raises:
            TaskError: there is none.
        """
        found = next((spot for spot in self.spots() if spot.label == label.strip().upper()), None)
        if found is None:
            raise TaskError(
                f"there is no {label.strip()[:20]!r} in the bed book",
                hint="choose one of the list, or write it in first",
            )
        return found

    def add(
        self,
        label: str,
        *,
        kind: str,
        day_zero: str = "",
        by_hand: bool = False,
        holds: str = "",
        area_m2: str = "",
        shared: bool = False,
    ) -> Spot:
        """Write in a bed, box, can or pen.

        Args:
            label: Letter and number.
            kind: bed, box, can or pen.
            day_zero: The date of its day 0; empty for today.
            by_hand: Its days are marked by hand instead, beginning with day 0 today.
            holds: Of a can, what it is for.
            area_m2: Its area; empty where nobody measured it.
            shared: Whether others than the own household eat of it, or it is sold.

        Raises:
            TaskError: something of it cannot be, or the label is taken.
        """
        read, zero = read_label(label), None if by_hand else self._day_zero(day_zero)
        if kind not in SPOT_KINDS:
            raise TaskError(f"there is no such thing as a {kind[:20]!r} here", hint="choose bed, box, can or pen")
        if kind == "can" and holds not in CAN_CONTENTS:
            raise TaskError(f"it is not said what {read} holds", hint="choose what the can is for")
        if any(spot.label == read for spot in self.spots()):
            raise TaskError(f"there is a {read} already", hint="choose the next number")
        spot = Spot(
            number=0,
            label=read,
            kind=kind,
            count=Count(zero),
            marked=0 if by_hand else None,
            shared=shared,
            holds=holds if kind == "can" else "",
            area_m2=_read_area(area_m2),
        )
        return replace(spot, number=self._notebook.add_record(SPOT, spot_paper(spot)).number)

    def _day_zero(self, typed: str) -> dt.date:
        today = self.today(typed)
        if today is None:
            raise TaskError(
                "this laptop does not know which day it is",
                hint="type the day, or choose to count the days by hand",
            )
        return today

    def change(
        self, label: str, *, shared: bool | None = None, area_m2: str | None = None, plates: str | None = None
    ) -> Spot:
        """Change who eats of a bed, its area, or the plates that are still expected of it; what is None stays.

        Raises:
            TaskError: there is no such bed, or a figure cannot be.
        """
        spot = self.spot(label)
        if shared is not None:
            spot = self._shared(spot, shared=shared)
        if area_m2 is not None:
            spot = replace(spot, area_m2=_read_area(area_m2))
        if plates is not None:
            spot = replace(spot, plates=_read_plates(plates))
        return self._keep(spot)

    def _shared(self, spot: Spot, *, shared: bool) -> Spot:
        """A spot with who eats of it; refused where a running wait would end sooner by it."""
        changed, today = replace(spot, shared=shared), self.today_of(spot, self.today())
        for contact in (TOUCHES_SOIL, HANGS_CLEAR):
            now, then = (next(iter(self.bars(one, contact)), None) for one in (spot, changed))
            sooner = now is not None and (then is None or then.until < now.until)
            if now is not None and sooner and (today is None or today < now.until):
                raise TaskError(
                    f"a wait runs at {spot.label} until {spot.count.words(now.until)}, since others eat of it",
                    hint="leave it marked so until that day",
                )
        return changed

    def mark(self, label: str, day: str, *, sure: bool = False) -> Spot:
        """Mark by hand which day of a spot today is.

        Args:
            label: Letter and number.
            day: The number of the day, as typed.
            sure: Whether it is right although it lies far ahead of the last mark: a slip of the finger ends a wait.

        Raises:
            TaskError: its days are counted by dates, or the mark goes back behind what was noted, or far ahead.
        """
        spot = self.spot(label)
        if not spot.count.by_hand:
            raise TaskError(f"the days of {spot.label} are counted by dates", hint="leave it: there is nothing to mark")
        read = spot.count.read(day)
        newest = max((one.day for one in standing(self.history(spot))), default=0)
        if read < newest:
            raise TaskError(
                f"something was noted on day {newest} of {spot.label}",
                hint="write this number or a higher one, or strike out what is wrong first",
            )
        if read - (spot.marked or 0) > MARK_AHEAD_DAYS and not sure:
            raise TaskError(
                f"{spot.label} stood at day {spot.marked}, and day {read} is more than {MARK_AHEAD_DAYS} days further",
                hint="count the marks on the stake again; if it is right, say that you are sure",
            )
        return self._keep(replace(spot, marked=read))

    def give_dates(self, label: str, date_today: str) -> Spot:
        """Count a spot by dates from now on: today's date is known at last, and the mark says which day it is.

        Raises:
            TaskError: its days have dates already, or the date cannot be.
        """
        spot = self.spot(label)
        if not spot.count.by_hand or spot.marked is None:
            raise TaskError(f"the days of {spot.label} have dates already", hint="leave it as it is")
        zero = self._day_zero(date_today) - dt.timedelta(days=spot.marked)
        return self._keep(replace(spot, count=Count(zero), marked=None))

    # what happened

    def history(self, spot: Spot) -> tuple[Happening, ...]:
        """All that was noted of a spot, as it was noted, with what was struck out."""
        return tuple(happening_from(record) for record in self._notebook.records(HAPPENING, about=str(spot.number)))

    def write_down(self, label: str, what: str, day: str, **details: Any) -> Happening:
        """Note what happened at a spot.

        Args:
            label: Letter and number.
            what: A key of ``WHATS``.
            day: As it is typed: a date, or a day number where days are marked by hand.
            details: The other fields of a ``Happening``; ``until`` as it is typed.

        Raises:
            TaskError: it cannot have been so, or it would be eaten inside a wait.
        """
        spot = self.spot(label)
        until = details.pop("until", "")
        new = Happening(0, what, spot.count.read(day), until=spot.count.read(until) if until else None, **details)
        if what == "urine":
            new = self._drawn(new, spot)
        kept = checked(new, spot, self.history(spot), crops=self.crops, today=self.today_of(spot, self.today()))
        if what in EVENT_OF:  # first: should the power go between the two, answers lapse once too often
            self._starting.heard_of_beds(EVENT_OF[what], place=spot.label)
        record = self._notebook.add_record(HAPPENING, happening_paper(kept), about=str(spot.number))
        return replace(kept, number=record.number)

    def judge(self, label: str, what: str, day: str) -> None:
        """Look whether something could be noted, and note nothing.

        Raises:
            TaskError: as for ``write_down``.
        """
        spot = self.spot(label)
        new = Happening(0, what, spot.count.read(day))
        checked(new, spot, self.history(spot), crops=self.crops, today=self.today_of(spot, self.today()))

    def sprays(self) -> tuple[tuple[str, str], ...]:
        """The practices against pests with their waiting times, to choose from."""
        return spray_practices(self._site)

    def spray(self, practice: str, *, said: str, wait_days: str) -> dict[str, Any]:
        """What is kept of a spraying: by a practice, or in words.

        Raises:
            FieldbookError: the practice is not here, or the days are no number.
        """
        return spray_details(self._site, practice=practice, said=said, wait_days=wait_days)

    def _drawn(self, new: Happening, spot: Spot) -> Happening:
        can = self.spot(new.can)
        date = spot.count.date(new.day)
        can_day = can.marked if can.count.by_hand or date is None else can.count.number(date)
        if can_day is None:
            raise TaskError(
                f"the days of {can.label} have dates, those of {spot.label} have none",
                hint="give the bed dates first, on its page",
            )
        return drawn(new, spot, can, self.history(can), can_day=can_day)

    def strike(self, label: str, number: int, reason: str, *, by: str, trainer: bool) -> Happening:
        """Strike out what was noted by mistake: it stays readable; where a wait hangs on it two people must say so.

        Args:
            label: Letter and number of the spot.
            number: The number of what was noted.
            reason: Why it is wrong; not asked of the second person.
            by: The label of who says so.
            trainer: Whether they are a trainer.

        Raises:
            TaskError: nothing of this number stands there, or as for ``struck_out``.
        """
        return self._rewrite(struck_out(self._noted(label, number), reason, by=by, trainer=trainer))

    def believe(self, label: str, number: int) -> Happening:
        """Say that what somebody called wrong is right after all.

        Raises:
            TaskError: nothing of this number stands there.
        """
        return self._rewrite(believed(self._noted(label, number)))

    def _noted(self, label: str, number: int) -> Happening:
        spot = self.spot(label)
        found = next((one for one in self.history(spot) if one.number == number and not one.struck), None)
        if found is None:
            raise TaskError(f"nothing of this number stands at {spot.label}", hint="choose one of its list")
        return found

    def _rewrite(self, happening: Happening) -> Happening:
        self._notebook.change_record(self._record(HAPPENING, happening.number), happening_paper(happening))
        return happening

    def remove(self, label: str, *, sure: bool) -> None:
        """Take a spot out of the book, with all that was noted of it, where no wait runs any more.

        Args:
            label: Letter and number.
            sure: Whether it is meant: nothing of it comes back.

        Raises:
            TaskError: a wait runs, or nobody knows whether one does; or it is not sure.
        """
        spot = self.spot(label)
        until = earliest_day(self.history(spot), TOUCHES_SOIL, shared=spot.shared)
        today = self.today_of(spot, self.today())
        if until is not None and (today is None or today < until):
            raise TaskError(
                f"a wait runs at {spot.label} until {spot.count.words(until)}",
                hint="keep it until then: whoever digs there next must be able to read it",
            )
        if not sure:
            raise TaskError(
                f"all that was noted of {spot.label} would be gone",
                hint="tick that you mean it, or leave it in the book",
            )
        self._notebook.remove_record(self._record(SPOT, spot.number))  # first: what is left of the rest is never shown
        for kind, about in ((HAPPENING, str(spot.number)), (TICK, f"spot-{spot.number}")):
            for record in self._notebook.records(kind, about=about):
                self._notebook.remove_record(record)

    # what follows from it

    def bars(self, spot: Spot, contact: str = TOUCHES_SOIL) -> tuple[Bar, ...]:
        """The waits of a spot, the one that ends last first; those that are over too."""
        return bars(self.history(spot), contact, shared=spot.shared)

    def plantings(self, spot: Spot) -> tuple[Planting, ...]:
        """What stands there, and what stood there before."""
        return plantings_of(self.history(spot), self.crops)

    def plans(self, spot: Spot) -> tuple[Planting, ...]:
        """What is to be sown or planted there, and was not yet."""
        return plans_of(self.history(spot), self.crops)

    def first_picking(self, spot: Spot, planting: Planting) -> FirstPicking:
        """When a planting may first be picked."""
        return first_picking(planting, self.history(spot), spot)

    def breaches(self, spot: Spot) -> tuple[Happening, ...]:
        """Pickings that turned out to lie inside a wait."""
        return breaches(spot, self.history(spot), self.crops)

    def picking_refused(self, label: str, planting: int, day: str) -> None:
        """Judge a day on which somebody means to pick.

        Raises:
            TaskError: a wait runs on it; the earliest day is in the hint.
        """
        spot = self.spot(label)
        meant = next((one for one in self.plantings(spot) if one.number == planting), None)
        if meant is not None:
            refuse_in_wait(meant, spot, self.history(spot), spot.count.read(day))

    def _keep(self, spot: Spot) -> Spot:
        self._notebook.change_record(self._record(SPOT, spot.number), spot_paper(spot))
        return spot

    def _record(self, kind: str, number: int) -> Record:
        return next(record for record in self._notebook.records(kind) if record.number == number)


def _order(label: str) -> tuple[str, int]:
    letters = label.rstrip("0123456789")
    return letters, int(label[len(letters) :])


def _read_area(text: str) -> str:
    typed = text.strip().replace(",", ".")
    if typed and (_AREA.fullmatch(typed) is None or float(typed) == 0):
        raise TaskError(f"{text.strip()[:20]!r} is no area", hint="write square metres, such as 0.6 or 5")
    return typed


def _read_plates(text: str) -> int | None:
    typed = text.strip()
    if typed and _WHOLE.fullmatch(typed) is None:
        raise TaskError(f"{typed[:20]!r} is no number of plates", hint="write a whole number, such as 30")
    return int(typed) if typed else None
