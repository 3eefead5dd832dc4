"""The verbs of a site's climate: ``climate``, ``borrow``, ``figures``, ``weather``.

Its one rule: a borrowed climate is said to be borrowed before any figure.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli import weather_lines, words
from fieldbook.cli.arguments import UsageError
from fieldbook.climate.borrowing import likeness
from fieldbook.climate.daily import LIMIT_CHARACTERS
from fieldbook.climate.figures import decimal_figure
from fieldbook.climate.monthly import METHODS
from fieldbook.site import Site, SiteError, climate_of, household_from_text, months_from_text, read_text_file

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from fieldbook.site import Lender

Said = tuple[dict[str, Any], list[str]]


def climate_of_table(options: argparse.Namespace) -> Said:
    """Light, thirst and growing periods of a table of months and a place that are named."""
    if options.latitude is None or options.elevation is None:
        raise UsageError("which place?", hint="say `--latitude N --elevation N` with the table, south negative")
    document = climate_of(
        read_text_file(Path(options.normals)),
        latitude_deg=options.latitude,
        elevation_m=options.elevation,
        setting=options.setting,
        method=options.method or METHODS[0],
    )
    return document, words.climate(document)


def climate_of_site(site: Site, options: argparse.Namespace) -> Said:
    """The same of a site, and whose climate it goes by."""
    if options.method is not None:
        raise UsageError(
            "a site computes by one method", hint="say `figures --method` to change it, or name a table of months"
        )
    document = site.climate_document()
    return document, words.climate(document)


def calendar(site: Site, options: argparse.Namespace) -> Said:
    """The planting windows, for a household's water where that is named."""
    if options.persons is None and options.water is None:
        document = site.calendar_document(crops=options.crop)
        return document, words.calendar(document)
    if options.persons is None or options.water is None:
        raise UsageError("a household has persons and water", hint="say both --persons N and --water L")
    asked = household_from_text(persons=options.persons, water_l_day=options.water)
    document = site.household.document(asked, crops=options.crop)
    return document, words.calendar(document)


def borrow(site: Site, options: argparse.Namespace) -> Said:
    """List the sites that can lend, or go by the climate of one of them from now on."""
    if options.lender is None:
        listed = [_listed(site, one) for one in site.lenders()]
        return {"lenders": listed}, words.lenders(listed)
    lender = site.lender(options.lender)
    if likeness(site.place(), lender.place, lender.normals).other_side and not options.other_side:
        raise SiteError(
            f"the equator lies between {lender.whose} and this site: warm and cool months, and mostly the rains, come "
            "half a year apart",
            hint="say --other-side too, but only if people here say that it rains in the same months",
        )
    site.borrow_climate(lender)
    document = {"borrowed_climate": site.borrowed_climate}
    return document, words.borrowed_climate(document)


def figures(site: Site, options: argparse.Namespace) -> Said:
    """Go by other figures, by the own log, or by another method from now on."""
    stated = _stated(site, options)
    if options.normals is None and options.own_log is None and options.method is None and stated is None:
        raise UsageError("nothing is to be changed", hint="name a table of months, --own-log or --method")
    if options.own_log == "yes":
        site.weather.need_years()  # before anything is changed
    table = None if options.normals is None else read_text_file(Path(options.normals))
    if stated is not None:
        site.state_place(**stated, normals=table)
    elif table is not None:
        site.own_climate(table)
    if options.own_log is not None:
        site.weather.go_by(own=options.own_log == "yes")
    if options.method is not None:
        site.weather.choose_method(options.method)
    document = {"borrowed_climate": site.borrowed_climate, "goes_by_log": site.weather.goes_by}
    return document, [f"From now on: {site.climate_document()['method']}."]


def _stated(site: Site, options: argparse.Namespace) -> dict[str, Any] | None:
    """Where the site lies and what its people know, with what is changed; None where nothing of it is."""
    stated = site.stated_place
    place = {"latitude_deg": options.latitude, "elevation_m": options.elevation, "setting": options.setting}
    months = {"frost_months": options.frost_months, "salt_water_months": options.salt_months}
    if options.watering is None and not any(one is not None for one in (*place.values(), *months.values())):
        return None
    stated["place"] |= {name: one for name, one in place.items() if one is not None}
    stated |= {name: months_from_text(one) for name, one in months.items() if one is not None}
    return stated if options.watering is None else stated | {"watering": options.watering == "yes"}


def weather(site: Site, options: argparse.Namespace) -> Said:
    """What the log says; before that, one day or a table of days put into it."""
    if options.date is not None and options.days is not None:
        raise UsageError("a day and a table at once", hint="put in the one, then the other")
    if options.date is not None:
        cells = {name: getattr(options, name.split("_")[0]) for name in ("rain_mm", "tmin_c", "tmax_c")}
        site.weather.put_down({"date": options.date, "rain_days": options.rain_days, **cells})
    elif options.rain or options.tmin or options.tmax:
        raise UsageError("which day?", hint="say `--date 2026-11-25` with what was read")
    if options.days is not None:
        text = read_text_file(Path(options.days), limit_bytes=LIMIT_CHARACTERS)
        site.weather.bring_in(text, whose=options.whose)
    document = site.weather.document()
    return document, weather_lines.weather(document)


STEPS: dict[str, Callable[[Site, argparse.Namespace], Said]] = {
    "borrow": borrow,
    "figures": figures,
    "weather": weather,
}


def _listed(site: Site, lender: Lender) -> dict[str, Any]:
    like = likeness(site.place(), lender.place, lender.normals)
    return {
        "site": lender.key,
        "letter": lender.letter,
        "name": lender.name,
        "latitude_deg": decimal_figure(lender.place.latitude_deg, places=0),
        "elevation_m": decimal_figure(lender.place.elevation_m, places=0),
        "height_difference_m": decimal_figure(like.height_difference_m, places=0),
        "year_rain_mm": decimal_figure(like.year_rain_mm, places=0),
        "wet_months": list(like.wet_months),
        "other_side": like.other_side,
        "in_reach": like.in_reach,
    }
