"""The site's own season: climate, growing periods and planting windows from its exact normals.

Reads the notebook and the crop table, writes nothing. Its one rule: the calendar asks no clock; only "this month" does.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.charts import Bar, Strip, YearWords, crops_picture, year_picture
from fieldbook.climate.crops import Crop, read_crops
from fieldbook.climate.logged import by_own_log, own_months_kept
from fieldbook.climate.monthly import METHODS, method_used, monthly_climate
from fieldbook.climate.normals import Borrowed, read_normals
from fieldbook.climate.place import Place
from fieldbook.climate.seasons import growing_periods
from fieldbook.climate.siteyear import SiteFacts
from fieldbook.climate.windows import NOTHING_ENTERED, Calendar, Window, planting_windows
from fieldbook.shipped import shipped_text
from fieldbook.site.parts import SiteError
from fieldbook.site.taking_back import TakingBack

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.climate.monthly import Method
    from fieldbook.climate.normals import Normals

MONTH_LETTERS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_LATITUDE_HINT = "write degrees and decimals, south negative, as -25.4, or degrees, minutes and N or S, as 25 24 S"
_DEGREES = re.compile(
    r"""(?P<degrees>[0-9]{1,2}(\.[0-9]{1,6})?)\s*°?\s*((?P<minutes>[0-5]?[0-9](\.[0-9]{1,3})?)\s*['′]?\s*)?(?P<side>[NSns])"""
)
_WORDS = YearWords(
    rain="rain, mm a month",
    eto="evaporation, mm a month",
    tmax="warmest of the day, °C",
    tmin="coolest of the day, °C",
    planting="sow or plant out",
    harvest="harvest",
    months=MONTH_LETTERS,
)
_STRIPS_IN_PICTURE = 14  # three pictures of 42 crops fill a sheet of paper side by side
_DESCRIBED = (
    "Rain and evaporation of each month, the warmest and coolest of the day, and for each crop when to sow or plant "
    "out and when to harvest. The table says the same in figures."
)
_DESCRIBED_ALONE = (
    "Rain and evaporation of each month, and the warmest and coolest of the day. The table says the same in figures."
)
_DESCRIBED_LENT = " The climate is borrowed from site "


def place_from_text(*, latitude_deg: str, elevation_m: str, setting: str) -> Place:
    """A place from what people type.

    Args:
        latitude_deg: degrees and decimals, south negative, as -25.4; or degrees, minutes and N or S, as 25 24 S.
        elevation_m: metres above the sea.
        setting: interior, coast or island.

    Raises:
        FieldbookError: one is no number, or the methods cannot take it.
    """
    return Place(
        latitude_deg=latitude_from_text(latitude_deg),
        elevation_m=_number(elevation_m, "the elevation", "write metres above the sea, as 560"),
        setting=setting,  # type: ignore[arg-type]  # the place refuses what it does not know
    )


def latitude_from_text(text: str) -> float:
    """Degrees north of the equator [°], south negative, from what people type: `-25.4`, `25.4 S` or `25° 24' S`.

    Args:
        text: degrees and decimals with a sign, or degrees, minutes if any, and a letter.

    Raises:
        FieldbookError: it is none of these, or sign and letter stand together.
    """
    found = _DEGREES.fullmatch(text.strip())
    if found is None:
        return _number(text, "the latitude", _LATITUDE_HINT)
    degrees, minutes, side = float(found["degrees"]), float(found["minutes"] or 0), found["side"].upper()
    if minutes and not degrees.is_integer():
        raise SiteError(f"the latitude {text!r} is no number", hint=_LATITUDE_HINT)
    return (degrees + minutes / 60) * (-1 if side == "S" else 1)


def _number(text: str, name: str, hint: str) -> float:
    if re.fullmatch(r"[+-]?[0-9]{1,5}(\.[0-9]{1,6})?", text.strip()) is None:
        raise SiteError(f"{name} {text!r} is no number", hint=hint)
    return float(text)


def days_from_text(text: str) -> int:
    """A number of days from what people type.

    Args:
        text: a whole number.

    Raises:
        SiteError: it is none.
    """
    if re.fullmatch(r"[1-9][0-9]{0,2}", text) is None:
        raise SiteError(f"{text!r} days to the first leaf are not from 1 to 999", hint="write a whole number, as 30")
    return int(text)


@cache
def crop_table() -> tuple[Crop, ...]:
    """The crops that come with the program."""
    return read_crops(shipped_text("seed_entries/crops.csv"))


def climate_of(
    normals: str, *, latitude_deg: str, elevation_m: str, setting: str, method: Method = METHODS[0]
) -> dict[str, Any]:
    """Monthly radiation, daylight and evaporation of a place, and its growing periods; needs no site.

    Args:
        normals: the CSV text of twelve months.
        latitude_deg: degrees as text, south negative.
        elevation_m: metres above the sea as text.
        setting: interior, coast or island.
        method: by which evaporation is computed.

    Raises:
        FieldbookError: something in it cannot be right.
    """
    place = place_from_text(latitude_deg=latitude_deg, elevation_m=elevation_m, setting=setting)
    return _climate_document(read_normals(normals), place, method)


def check_climate(normals: Normals, place: Place, method: Method = METHODS[0]) -> None:
    """Check that evaporation can be computed in every month, before any of this is kept.

    Args:
        normals: the months.
        place: where they hold.
        method: by which evaporation is computed.

    Raises:
        ClimateError: a month or the place is outside what the method can take.
    """
    monthly_climate(normals, place, method=method)


def _climate_document(table: Normals, place: Place, method: Method) -> dict[str, Any]:
    months = monthly_climate(table, place, method=method)
    periods = growing_periods(rain_mm=table.rain_mm, eto_mm=[month.eto_mm for month in months])
    used = method_used(table, place, method=method)
    return {
        "method": used.words,
        "how_sure": used.how_sure,
        "sources": list(used.sources),
        "months": [month.as_value() for month in months],
        "periods": [period.as_value() for period in periods],
    }


def _strips(windows: Iterable[Window]) -> tuple[Strip, ...]:
    """One strip a crop, in the order of its first window."""
    by_crop: dict[str, list[Window]] = {}
    for window in windows:
        by_crop.setdefault(window.name, []).append(window)
    return tuple(
        Strip(
            name,
            tuple(Bar(window.start_day, window.end_day) for window in found),
            tuple(Bar(window.harvest_from_day, window.harvest_to_day) for window in found),
        )
        for name, found in by_crop.items()
    )


class Season(TakingBack):
    """What grows here, and when."""

    def normals(self) -> Normals:
        """The twelve months that this site goes by, exactly; they stay here, and say whether they are borrowed.

        Where the site goes by its own log, that takes the place of what was given or borrowed, whole columns at once.
        """
        given, own = self.given_normals(), self.notebook.fact("own_log")
        return given if own is None else by_own_log(given, own_months_kept(own))

    def given_normals(self) -> Normals:
        """The twelve months that were given or borrowed, whatever the site's own log says."""
        table, lent = read_normals(str(self.notebook.fact("normals"))), self.notebook.fact("borrowed_climate")
        if lent is None:
            return table
        whose = f"{lent['letter']} {lent['name']}"
        return replace(table, borrowed=Borrowed(whose=whose, height_difference_m=float(lent["height_difference_m"])))

    @property
    def borrowed_climate(self) -> dict[str, Any] | None:
        """Whose climate this site goes by, at which difference in height and since when; None where it is its own."""
        found: dict[str, Any] | None = self.notebook.fact("borrowed_climate")
        return found if found is None or self.normals().borrowed is not None else None

    @property
    def eto_method(self) -> Method:
        """The method by which evaporation is computed here, one for all answers."""
        found: Method = self.notebook.fact("eto_method") or METHODS[0]
        return found

    def climate_document(self) -> dict[str, Any]:
        """The site's months of light and thirst and its growing periods as JSON, and whose climate it is."""
        document = _climate_document(self.normals(), self.place(), self.eto_method)
        return document | {"borrowed_climate": self.borrowed_climate}

    def place(self) -> Place:
        """Where the site is, exactly; it stays here."""
        return place_from_text(
            latitude_deg=str(self.notebook.fact("latitude_deg")),
            elevation_m=str(self.notebook.fact("elevation_m")),
            setting=str(self.notebook.fact("setting")),
        )

    def calendar(
        self,
        *,
        crops: Sequence[str] = (),
        watering: bool | None = None,
        eaten_after_days: Mapping[str, int] = NOTHING_ENTERED,
    ) -> Calendar:
        """The planting windows of the crop table, or of some of its crops.

        Args:
            crops: their words in the table; none for all.
            watering: whether there is water for plants, where that is asked otherwise than the site states.
            eaten_after_days: for crops whose table lacks it, the day of the first bite as it is known here.

        Raises:
            FieldbookError: a crop is not in the table, or a day cannot be.
        """
        known = {crop.crop_id: crop for crop in crop_table()}
        for crop in crops:
            if crop not in known:
                raise SiteError(f"the crop table has no {crop!r}", hint=f"choose from: {', '.join(sorted(known))}")
        chosen = [known[crop] for crop in crops] or list(crop_table())
        facts = self.stated_facts() if watering is None else replace(self.stated_facts(), watering=watering)
        return planting_windows(
            chosen, self.normals(), self.place(), facts, method=self.eto_method, eaten_after_days=eaten_after_days
        )

    def stated_facts(self) -> SiteFacts:
        """What the twelve months do not show and the site states itself."""
        salt, frost = (self.notebook.fact(name) for name in ("salt_water_months", "frost_months"))
        return SiteFacts(
            watering=bool(self.notebook.fact("watering")),
            salt_water_months=None if salt is None else frozenset(salt),
            frost_months=None if frost is None else frozenset(frost),
        )

    def calendar_document(self, *, crops: Sequence[str] = ()) -> dict[str, Any]:
        """The calendar as JSON, and whose climate it is computed from."""
        return self.calendar(crops=crops).as_value() | {"borrowed_climate": self.borrowed_climate}

    def year_picture(self, calendar: Calendar, *, crops: bool = True) -> str:
        """The site's year as one SVG: rain, evaporation, temperature, and, if wanted, the windows of these crops."""
        normals = self.normals()
        lent = "" if normals.borrowed is None else _DESCRIBED_LENT + normals.borrowed.whose
        return year_picture(
            title=f"The year at site {self.letter}",
            description=f"{_DESCRIBED if crops else _DESCRIBED_ALONE}{lent}",
            words=_WORDS,
            rain_mm=normals.rain_mm,
            eto_mm=[month.eto_mm for month in calendar.months],
            tmin_c=normals.tmin_c,
            tmax_c=normals.tmax_c,
            strips=_strips(calendar.windows) if crops else (),
        )

    def crop_pictures(self, calendar: Calendar) -> tuple[str, ...]:
        """The windows of all crops as SVGs that stand beside one another on paper, by name."""
        strips = sorted(_strips(calendar.windows), key=lambda strip: strip.label.casefold())
        starts = range(0, len(strips), _STRIPS_IN_PICTURE)
        return tuple(
            crops_picture(
                title=f"Crops at site {self.letter}, {part} of {len(starts)}",
                description="For each crop when to sow or plant out and when to harvest.",
                words=_WORDS,
                strips=strips[start : start + _STRIPS_IN_PICTURE],
                key=f"crops-{part}",
            )
            for part, start in enumerate(starts, start=1)
        )

    def windows_in_month(self, month: int) -> tuple[Window, ...]:
        """The windows that are open on some day of a month (1 to 12)."""
        return tuple(window for window in self.calendar().windows if window.open_in(month))

    def windows_now(self) -> tuple[Window, ...]:
        """The windows that are open this month, as far as this machine's clock can be trusted."""
        return () if self.clock_doubt else self.windows_in_month(self.clock().month)
