"""Sites that can lend their climate, in words: how like each is to this place.

Not a choice, and not an order of likeness: sites stand by their letters. Its one rule: a difference says which way.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.climate.borrowing import likeness
from fieldbook.climate.figures import plain
from fieldbook.web.season_words import month_runs
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from fieldbook.climate.borrowing import Likeness
    from fieldbook.climate.place import Place
    from fieldbook.site import Lender

_OTHER_RAINS = "tick below that it rains in the same months, if people here say so; else choose another site"
OTHER_SIDE = (
    "The equator lies between that site and yours: its warm and cool months, and mostly its rains, come half a year "
    "apart from yours. Borrow from it only if people here say that it rains in the same months, and tick that below."
)


@dataclass(frozen=True)
class LenderLine:
    """One site that lends, in words; ``moved`` is empty where it lies too far above or below to lend."""

    key: str
    whose: str
    latitude: str
    height: str
    rain: str
    wet: str
    moved: str
    other_side: bool
    in_reach: bool


def lender_lines(
    lenders: Sequence[Lender], here: Place, *, year_rain_mm: float | None, wet_months: frozenset[int]
) -> list[LenderLine]:
    """Each site with how like it is to this place, in the order given.

    Args:
        lenders: the sites.
        here: this place.
        year_rain_mm: what people here know of the rain of a year [mm]; None for not known.
        wet_months: the months, 1 to 12, that people here call wet; none for not known.
    """
    return [
        _line(one, here, likeness(here, one.place, one.normals, year_rain_mm=year_rain_mm, wet_months=wet_months))
        for one in lenders
    ]


def picked_lender(lenders: Iterable[Lender], here: Place, *, key: str, sure: str) -> tuple[Lender | None, str]:
    """The site that a person picked, or what keeps it from being borrowed from.

    Args:
        lenders: the sites that were shown.
        here: this place.
        key: of the site that was picked.
        sure: ``yes`` where the person ticked that the rains of a site across the equator come in the same months.
    """
    lender = next((one for one in lenders if one.key == key), None)
    if lender is None:
        return None, told("no site was chosen", "choose one, or write figures of this place")
    like = likeness(here, lender.place, lender.normals)
    if not like.in_reach:
        return None, told("that site lies too far above or below this one", "choose another one")
    if like.other_side and sure != "yes":
        return None, told("the equator lies between that site and yours, so nothing was borrowed", _OTHER_RAINS)
    return lender, ""


def _line(lender: Lender, here: Place, like: Likeness) -> LenderLine:
    return LenderLine(
        key=lender.key,
        whose=lender.whose,
        latitude=_latitude(lender.place.latitude_deg, like.latitude_difference_deg),
        height=f"{plain(lender.place.elevation_m, places=0)} m, {_height(like.height_difference_m)}",
        rain=_rain(like),
        wet=_wet(like),
        moved=_moved(lender, here) if like.in_reach else "",
        other_side=like.other_side,
        in_reach=like.in_reach,
    )


def _latitude(latitude_deg: float, difference_deg: float) -> str:
    side = "on the equator" if latitude_deg == 0 else f"{'north' if latitude_deg > 0 else 'south'} of the equator"
    degrees = plain(abs(difference_deg), places=0)
    if degrees == "0":
        where = "as far from it as this place"
    else:
        where = f"{degrees}° {'further from' if difference_deg > 0 else 'nearer to'} it than this place"
    return f"{side}, {where}" if latitude_deg == 0 else f"{plain(abs(latitude_deg), places=0)}° {side}, {where}"


def _height(difference_m: float) -> str:
    metres = plain(abs(difference_m), places=0)
    if metres == "0":
        return "as high as this place"
    return f"{metres} m {'higher' if difference_m > 0 else 'lower'} than this place"


def _rain(like: Likeness) -> str:
    rain = f"{plain(like.year_rain_mm, places=0)} mm in a year"
    if like.rain_difference_mm is None:
        return rain
    more = plain(abs(like.rain_difference_mm), places=0)
    if more == "0":
        return f"{rain}, as much as you said"
    return f"{rain}, {more} mm {'more' if like.rain_difference_mm > 0 else 'less'} than you said"


def _wet(like: Likeness) -> str:
    wet = month_runs(like.wet_months)
    if like.wet_in_both is None or like.wet_here_alone is None:
        return wet
    there_alone = tuple(month for month in like.wet_months if month not in like.wet_in_both)
    parts = [
        f"{words} {month_runs(months)}"
        for words, months in (
            ("wet in both places:", like.wet_in_both),
            ("wet there alone:", there_alone),
            ("wet here alone:", like.wet_here_alone),
        )
        if months
    ]
    return f"{wet} ({'; '.join(parts)})"


def _moved(lender: Lender, here: Place) -> str:
    lent = lender.lend(here)
    coolest, warmest = plain(min(lent.tmin_c), places=1), plain(max(lent.tmax_c), places=1)
    return f"from {coolest} °C in the coolest nights to {warmest} °C on the warmest days"
