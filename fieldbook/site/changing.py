"""When things change at a site: less water, late rains, a flood, a move; reckoned from the bed book and the climate.

Not a forecast and not the bed book itself. Its one rule: a flood is noted in every bed that it reached or in none, and
what cannot be reckoned is named with the reason.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate.water import coefficients, water_need
from fieldbook.climate.year import DAYS_IN_YEAR, day_of_date
from fieldbook.tasks.changes import PICKING_DAYS, Thirst, can_follow, save_first
from fieldbook.tasks.days import TaskError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from fieldbook.climate.crops import Crop
    from fieldbook.climate.onset import WeekOdds
    from fieldbook.climate.windows import Window
    from fieldbook.site.beds import BedBook
    from fieldbook.site.season import Season
    from fieldbook.site.starting import Starting
    from fieldbook.site.weather import Weather
    from fieldbook.tasks.changes import Choice
    from fieldbook.tasks.plantings import Planting
    from fieldbook.tasks.spots import Spot

WATER_MAX_L = 100_000
SOON_DAYS = 60  # windows that open later than this are not yet what late rain is about
ODDS_WEEKS = 5  # this week and the next four
MOVE_SOON_DAYS = 7  # what ripens within a week is picked before a move


@dataclass(frozen=True)
class Drought:
    """What to save first.

    Attributes:
        choices: The plantings in their order.
        left_out: What cannot be reckoned, each with the reason.
        method: By which evaporation was computed.
    """

    choices: tuple[Choice, ...]
    left_out: tuple[tuple[str, str], ...]
    method: str


@dataclass(frozen=True)
class LastSowing:
    """Until when a crop can still be sown where the rains are late.

    Attributes:
        crop: Its name.
        window: The window that is open, or opens next.
        days_left: Days from today to its last day; None where today is not known, or it is open all year.
        stands_in: The beds in which it stands now.
    """

    crop: str
    window: Window
    days_left: int | None
    stands_in: tuple[str, ...]


@dataclass(frozen=True)
class Move:
    """What becomes of one bed, box, can or pen on a move.

    Attributes:
        spot: Which one.
        pick: What is ripe by then and barred by no wait: pick it before.
        barred: What stands there and may not be picked yet.
        goes_along: Whether it can be carried.
    """

    spot: Spot
    pick: tuple[str, ...]
    barred: tuple[str, ...]
    goes_along: bool


class Changing:
    """The four changes of one site."""

    def __init__(self, site: Season, beds: BedBook, weather: Weather, starting: Starting) -> None:
        """Reckon from the book, the climate and the log of a site; ``starting`` hears of a move."""
        self._site = site
        self._beds = beds
        self._weather = weather
        self._starting = starting

    # less water

    def drought(self, today: dt.date, *, water_l_day: str) -> Drought:
        """What to save first where there is less water than the beds want.

        Args:
            today: The day.
            water_l_day: Litres a day for all beds, as typed.

        Raises:
            TaskError: the litres are no number.
        """
        litres = _litres(water_l_day)
        calendar = self._site.calendar()
        eto_mm_day = [month.eto_mm_day for month in calendar.months]
        thirsts, left_out = [], []
        for spot in self._beds.spots():
            standing = [one for one in self._beds.plantings(spot) if one.end_day is None]
            for planting in standing:
                found = self._thirst(spot, planting, today, share=len(standing), eto_mm_day=eto_mm_day)
                if isinstance(found, Thirst):
                    thirsts.append(found)
                else:
                    left_out.append((f"{spot.label}, {planting.crop.common_name}", found))
        return Drought(save_first(thirsts, water_l_day=litres), tuple(left_out), calendar.method.words)

    def _thirst(
        self, spot: Spot, planting: Planting, today: dt.date, *, share: int, eto_mm_day: Sequence[float]
    ) -> Thirst | str:
        """What a planting still needs, or why that cannot be reckoned."""
        day = self._beds.today_of(spot, today)
        if day is None:
            return "nobody knows which day it is there"
        if planting.in_nursery:
            return "it is still in the nursery: it needs little, and can wait there"
        if not spot.area_m2:
            return "nobody measured the bed: write its square metres on its page"
        began = planting.day if planting.out_day is None else planting.out_day
        days = max(self._beds.first_picking(spot, planting).day - day, 0) + PICKING_DAYS
        in_bed = planting.crop.first_harvest.most + planting.crop.harvest.most
        curve = coefficients(planting.crop, bed_days=in_bed)[max(0, day - began) :][:days]
        if not curve:
            return "its time is over by the crop table: clear the bed"
        need = water_need(
            planted_day=day_of_date(month=today.month, day=today.day),
            kc_ratio=curve,
            eto_mm_day=eto_mm_day,
            rain_mm=self._site.normals().rain_mm,
        )
        area_m2 = float(spot.area_m2) / share
        return Thirst(
            label=spot.label,
            crop=planting.crop.common_name,
            days=len(curve),
            litres_day=need.highest_l_m2_day * area_m2,
            litres=need.total_l_m2 * area_m2,
            plates=spot.plates,
        )

    # rain late

    def last_sowings(self, today: dt.date | None) -> tuple[LastSowing, ...]:
        """For each crop whose window is open or opens soon, the last day to sow it again, the soonest over first."""
        stands: dict[str, list[str]] = {}
        for spot in self._beds.spots():
            for planting in self._beds.plantings(spot):
                if planting.end_day is None:
                    stands.setdefault(planting.crop.crop_id, []).append(spot.label)
        found = []
        for window in self._site.calendar().windows:
            left = None if today is None or window.all_year else _days_left(window, today)
            hurries = left is not None and left <= SOON_DAYS
            if hurries or (window.crop in stands and (left is not None or today is None or window.all_year)):
                found.append(LastSowing(window.name, window, left, tuple(stands.get(window.crop, ()))))
        return tuple(sorted(found, key=lambda one: (one.days_left is None, one.days_left or 0, one.crop)))

    def odds(self, today: dt.date | None) -> tuple[WeekOdds, ...]:
        """How often the rains had begun by the end of this week and the next ones, season by season of the log.

        Nothing where the day is unknown, or the log knows fewer than ten seasons.
        """
        if today is None:
            return ()
        now = day_of_date(month=today.month, day=today.day)
        found = []
        for seasons in self._weather.onsets(self._weather.record()):
            near = [week for week in seasons.weeks if (week.start_day + 6 - now) % DAYS_IN_YEAR < 7 * ODDS_WEEKS]
            found += near
        return tuple(found)

    # flooded

    def flood(self, labels: Sequence[str], what: str, day: str) -> tuple[Spot, ...]:
        """Note a flood, or drain water, in all beds that it reached.

        Args:
            labels: The beds.
            what: flood or drain.
            day: The date as it is typed.

        Raises:
            TaskError: no bed was named, one is not in the book, or the day cannot be; then nothing is noted.
        """
        if not labels:
            raise TaskError("no bed was named", hint="tick each bed that is meant")
        spots = [self._beds.spot(label) for label in labels]
        days = [str(spot.marked) if spot.count.by_hand else day for spot in spots]
        for spot, typed in zip(spots, days, strict=True):
            self._beds.judge(spot.label, what, typed)
        for spot, typed in zip(spots, days, strict=True):
            self._beds.write_down(spot.label, what, typed)
        return tuple(spots)

    def replanting(self, spot: Spot, today: dt.date | None) -> tuple[tuple[Crop, int], ...]:
        """What can follow in a barred bed, with the days until it is sown; nothing where the day is unknown.

        Where the date is known, the first day is told that both the wait and the calendar allow; what the calendar
        does not allow at all is left out.
        """
        day, longest = self._beds.today_of(spot, today), next(iter(self._beds.bars(spot)), None)
        if day is None or longest is None or longest.until <= day:
            return ()
        after_wait = can_follow(self._beds.crops, wait_days=longest.until - day)
        date = spot.count.date(day)
        if date is None:
            return after_wait
        windows: dict[str, list[Window]] = {}
        for window in self._site.calendar().windows:
            windows.setdefault(window.crop, []).append(window)
        found = [
            (crop, min(_days_to_sow(window, date, days) for window in windows[crop.crop_id]))
            for crop, days in after_wait
            if crop.crop_id in windows
        ]
        return tuple(sorted(found, key=lambda one: (one[1], one[0].common_name)))

    # we move

    def moves(self, today: dt.date | None) -> tuple[Move, ...]:
        """What to pick, carry and leave."""
        return tuple(self._move(spot, self._beds.today_of(spot, today)) for spot in self._beds.spots())

    def _move(self, spot: Spot, today: int | None) -> Move:
        pick, barred = [], []
        for planting in self._beds.plantings(spot):
            if planting.end_day is not None:
                continue
            first, name = self._beds.first_picking(spot, planting), planting.crop.common_name
            if today is not None and first.day <= today + MOVE_SOON_DAYS:
                pick.append(name if first.day <= today else f"{name}, from {spot.count.words(first.day)}")
            elif first.bar is not None:
                barred.append(f"{name}, not before {spot.count.words(first.day)}")
        return Move(spot, tuple(pick), tuple(barred), goes_along=spot.kind != "bed")

    def leave(self, labels: Iterable[str], day: str) -> tuple[Spot, ...]:
        """Note that the site moves: all answers of "Before you start here" lapse, and beds may be left behind.

        The waits of what is left behind stay in the book.

        Args:
            labels: What stays; none where all is carried.
            day: The date as it is typed.

        Raises:
            TaskError: as for ``flood``; then the move is not noted either.
        """
        left = tuple(labels)
        spots = self.flood(left, "left", day) if left else ()
        self._starting.heard_of_beds("move")
        return spots


def _days_left(window: Window, today: dt.date) -> int | None:
    """Days to the last day of a window that is open now or opens soon; None where it does neither."""
    now = day_of_date(month=today.month, day=today.day)
    to_end, to_start = (window.end_day - now) % DAYS_IN_YEAR, (window.start_day - now) % DAYS_IN_YEAR
    length = (window.end_day - window.start_day) % DAYS_IN_YEAR
    return to_end if to_end <= length or to_start <= SOON_DAYS else None


def _days_to_sow(window: Window, today: dt.date, least_days: int) -> int:
    """The first number of days from today, so many at least, after which a window is open."""
    if window.all_year:
        return least_days
    then = today + dt.timedelta(days=least_days)
    on = day_of_date(month=then.month, day=then.day)
    opened = (on - window.start_day) % DAYS_IN_YEAR <= (window.end_day - window.start_day) % DAYS_IN_YEAR
    return least_days if opened else least_days + (window.start_day - on) % DAYS_IN_YEAR


def _litres(text: str) -> float:
    typed = text.strip().replace(",", ".")
    try:
        litres = float(typed) if typed.replace(".", "", 1).isdecimal() else -1.0
    except ValueError:
        litres = -1.0
    if not 0 <= litres <= WATER_MAX_L:
        raise TaskError(
            f"{text.strip()[:20]!r} is no amount of water", hint="write litres a day for all beds, such as 40"
        )
    return litres
