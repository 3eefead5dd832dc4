"""The water of a household at this site, and what of the calendar it reaches for.

Not the sums (``climate.household``). Its one rule: nothing of a household is kept unless a trainer says so, and what is
kept never leaves this site.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Any

from fieldbook.climate.figures import decimal_figure
from fieldbook.climate.household import Household, covered_m2
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.climate.windows import Calendar, Window
    from fieldbook.notebook import Record
    from fieldbook.site.season import Season

KIND = "household-water"


@dataclass(frozen=True)
class HouseholdYear:
    """The calendar of a household.

    Attributes:
        household: Whose.
        calendar: With watering where water is left for plants, else by rain alone.
        refused: Windows that ask for watering, of crops that rain alone does not carry; empty where water is left.
    """

    household: Household
    calendar: Calendar
    refused: tuple[Window, ...]


class HouseholdBook:
    """What is known here of a household's water."""

    def __init__(self, site: Season) -> None:
        """Belong to a site."""
        self._site = site

    def year(self, household: Household, *, crops: Sequence[str] = ()) -> HouseholdYear:
        """The planting windows that a household's water allows, and those that it does not."""
        if household.garden_l_day > 0:
            return HouseholdYear(household, self._site.calendar(crops=crops, watering=True), ())
        by_rain = self._site.calendar(crops=crops, watering=False)
        carried = {window.crop for window in by_rain.windows}
        watered = self._site.calendar(crops=crops, watering=True).windows
        refused = tuple(window for window in watered if window.crop not in carried and window.supply != "rain")
        return HouseholdYear(household, by_rain, refused)

    def document(self, household: Household, *, crops: Sequence[str] = ()) -> dict[str, Any]:
        """The same as JSON; with each window the ground that the water keeps in its thirstiest month."""
        year = self.year(household, crops=crops)
        document = year.calendar.as_value() | {"borrowed_climate": self._site.borrowed_climate}
        for window, value in zip(year.calendar.windows, document["windows"], strict=True):
            value["household_keeps_m2"] = _ground(household, window)
        document["household"] = {
            "persons": household.persons,
            "water_l_day": decimal_figure(household.water_l_day, places=1),
            "for_people_l_day": decimal_figure(household.domestic_l_day, places=1),
            "for_plants_l_day": decimal_figure(household.garden_l_day, places=1),
            "refused": sorted({window.crop for window in year.refused}),
        }
        return document

    @property
    def kept(self) -> Household | None:
        """The household that this site reckons with, if a trainer keeps one."""
        record = self._record()
        if record is None:
            return None
        return Household(persons=int(record.document["persons"]), water_l_day=float(record.document["water_l_day"]))

    def keep(self, household: Household) -> None:
        """Reckon with this household from now on."""
        document = {"persons": household.persons, "water_l_day": str(household.water_l_day)}
        record = self._record()
        if record is None:
            self._site.notebook.add_record(KIND, document)
        else:
            self._site.notebook.change_record(record, document)

    def forget(self) -> None:
        """Reckon with none."""
        record = self._record()
        if record is not None:
            self._site.notebook.remove_record(record)

    def _record(self) -> Record | None:
        records = self._site.notebook.records(KIND)
        return records[-1] if records else None


def _ground(household: Household, window: Window) -> int | str | None:
    """The ground of a window that the water keeps, rounded down; None where rain covers all, so that any is kept."""
    ground = covered_m2(garden_l_day=household.garden_l_day, need_l_m2_day=window.highest_l_m2_day)
    return None if ground is None else decimal_figure(floor(ground * 10) / 10, places=1)


def household_from_text(*, persons: str, water_l_day: str) -> Household:
    """A household from what people type.

    Args:
        persons: How many live on the water.
        water_l_day: All the water of a day [l/day].

    Raises:
        FieldbookError: one is no number, or no household's.
    """
    if re.fullmatch(r"[0-9]{1,4}", persons.strip()) is None:
        raise SiteError(f"the number of persons {persons!r} is no number", hint="write how many persons, as 4")
    if re.fullmatch(r"[0-9]{1,6}([.,][0-9]{1,2})?", water_l_day.strip()) is None:
        raise SiteError(f"the water {water_l_day!r} is no number", hint="write all the litres of a day, as 80")
    return Household(persons=int(persons), water_l_day=float(water_l_day.strip().replace(",", ".")))
