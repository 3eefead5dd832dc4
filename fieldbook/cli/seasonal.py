"""The verbs of a site's climate: ``climate``, ``borrow``, ``figures``.

Its one rule: a borrowed climate is said to be borrowed before any figure.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli import words
from fieldbook.cli.arguments import UsageError
from fieldbook.climate.borrowing import likeness
from fieldbook.climate.figures import decimal_figure
from fieldbook.site import Site, SiteError, climate_of, read_text_file

if TYPE_CHECKING:
    import argparse

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
    )
    return document, words.climate(document)


def climate_of_site(site: Site) -> Said:
    """The same of a site, and whose climate it goes by."""
    document = site.climate_document()
    return document, words.climate(document)


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
    """Go by this site's own twelve months from now on."""
    site.own_climate(read_text_file(Path(options.normals)))
    return {"borrowed_climate": None}, ["From now on the calendar is computed from this site's own figures."]


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
