"""A site's year of light and thirst, month by month, from its normals.

What it is: the methods of FAO-56 put together, with the paper's own procedures for what was not measured. What it is
not: a silent choice: `method_used` says what was measured, what was filled in and how sure the answer is.

Its one rule: one method a site, all the year, named in each answer.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal, get_args

from fieldbook.climate import evapotranspiration as air
from fieldbook.climate import radiation as sun
from fieldbook.climate.bounds import MONTHS, ClimateError
from fieldbook.climate.figures import Figure, decimal_figure, settled
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.year import DAYS_BEFORE_MONTH, DAYS_IN_MONTH

Method = Literal["penman-monteith", "hargreaves"]

METHODS: Final[tuple[Method, ...]] = get_args(Method)
_USUAL_WIND_M_S: Final = 2.0  # fao56-table4 and text: the mean over 2,000 stations
_MIDDAY_OF_MONTH: Final = 15  # fao56-annex2 was computed for this day


@dataclass(frozen=True, slots=True)
class MonthClimate:
    """Light and thirst of one month.

    Attributes:
        month: 1 to 12.
        ra_mj_m2_day: Radiation above the air [MJ/m2/day].
        daylight_h: Sunrise to sunset [h].
        eto_mm_day: Reference evapotranspiration [mm/day].
        tmean_c: Mean temperature [C].
        rain_mm: Rain of the month [mm].
    """

    month: int
    ra_mj_m2_day: float
    daylight_h: float
    eto_mm_day: float
    tmean_c: float
    rain_mm: float

    @property
    def eto_mm(self) -> float:
        """Reference evapotranspiration of the whole month [mm]."""
        return self.eto_mm_day * DAYS_IN_MONTH[self.month - 1]

    def as_value(self) -> dict[str, Figure]:
        """Give what is printed: two decimals."""
        return {
            "month": self.month,
            "ra_mj_m2_day": decimal_figure(self.ra_mj_m2_day, places=2),
            "daylight_h": decimal_figure(self.daylight_h, places=2),
            "eto_mm_day": decimal_figure(self.eto_mm_day, places=2),
        }


@dataclass(frozen=True, slots=True)
class MethodUsed:
    """What an answer rests on.

    Attributes:
        words: The method and what it took, as a sentence.
        how_sure: How sure the answer is and why, as a sentence.
        sources: Keys of the works it follows.
    """

    words: str
    how_sure: str
    sources: tuple[str, ...]


def monthly_climate(normals: Normals, place: Place, *, method: Method = "penman-monteith") -> tuple[MonthClimate, ...]:
    """Return radiation, daylight and reference evapotranspiration of the twelve months, on the 15th of each.

    Args:
        normals: The site's monthly normals.
        place: Where it lies.
        method: `penman-monteith`, or `hargreaves` where a site has chosen it.

    Raises:
        ClimateError: A figure lies outside what the method can take.

    Source: fao56-eq6, with Eq 19 or 48, Eq 35, 50 or 51, and soil heat from the month before; fao56-eq52.
    Valid: places and normals as their own types allow.
    """
    if method not in METHODS:
        raise ClimateError(f"there is no method {method!r}", hint=f"say one of: {', '.join(METHODS)}")
    return tuple(_month(normals, place, method, index) for index in range(MONTHS))


def _month(normals: Normals, place: Place, method: Method, index: int) -> MonthClimate:
    day = DAYS_BEFORE_MONTH[index] + _MIDDAY_OF_MONTH
    ra = sun.extraterrestrial_radiation_mj_m2_day(latitude_deg=place.latitude_deg, day_of_year=day)
    daylight = sun.daylight_h(latitude_deg=place.latitude_deg, day_of_year=day)
    if method == "hargreaves":
        eto = air.hargreaves_mm_day(tmin_c=normals.tmin_c[index], tmax_c=normals.tmax_c[index], ra_mj_m2_day=ra)
    else:
        eto = _penman_monteith(normals, place, index, ra=ra, daylight=daylight)
    return MonthClimate(
        month=index + 1,
        ra_mj_m2_day=settled(ra),
        daylight_h=settled(daylight),
        eto_mm_day=settled(max(eto, 0.0)),  # a negative month is dew: no thirst
        tmean_c=normals.tmean_c[index],
        rain_mm=normals.rain_mm[index],
    )


def _penman_monteith(normals: Normals, place: Place, index: int, *, ra: float, daylight: float) -> float:
    tmin, tmax = normals.tmin_c[index], normals.tmax_c[index]
    ea = _vapour_kpa(normals, index)
    rs = _solar(normals, place, index, ra=ra, daylight=daylight)
    clear = sun.clear_sky_mj_m2_day(elevation_m=place.elevation_m, ra_mj_m2_day=ra)
    lost = sun.net_longwave_mj_m2_day(tmin_c=tmin, tmax_c=tmax, ea_kpa=ea, rs_mj_m2_day=rs, rso_mj_m2_day=clear)
    return air.penman_monteith_mm_day(
        tmin_c=tmin,
        tmax_c=tmax,
        ea_kpa=ea,
        wind_m_s=_USUAL_WIND_M_S if normals.wind_m_s is None else normals.wind_m_s[index],
        elevation_m=place.elevation_m,
        net_radiation_mj_m2_day=sun.net_shortwave_mj_m2_day(rs_mj_m2_day=rs) - lost,
        soil_heat_mj_m2_day=air.soil_heat_mj_m2_day(
            tmean_c=normals.tmean_c[index], previous_tmean_c=normals.tmean_c[index - 1]
        ),
    )


def _vapour_kpa(normals: Normals, index: int) -> float:
    if normals.humidity_pct is None:
        return air.vapour_without_humidity_kpa(tmin_c=normals.tmin_c[index])
    return air.vapour_from_mean_kpa(
        tmin_c=normals.tmin_c[index], tmax_c=normals.tmax_c[index], rhmean_pct=normals.humidity_pct[index]
    )


def _solar(normals: Normals, place: Place, index: int, *, ra: float, daylight: float) -> float:
    if normals.sun_h is not None:
        return sun.solar_from_sunshine_mj_m2_day(sun_h=normals.sun_h[index], daylight_h=daylight, ra_mj_m2_day=ra)
    if place.setting == "island":
        return sun.solar_on_island_mj_m2_day(ra_mj_m2_day=ra, elevation_m=place.elevation_m)
    return sun.solar_from_temperature_mj_m2_day(
        tmin_c=normals.tmin_c[index],
        tmax_c=normals.tmax_c[index],
        ra_mj_m2_day=ra,
        elevation_m=place.elevation_m,
        setting=place.setting,
    )


_HARGREAVES: Final = MethodUsed(
    words="Hargreaves (FAO-56 Eq 52) from Tmin, Tmax and the height of the sun",
    how_sure="less sure: the paper says it is too high in humid air and too low in wind above 3 m/s; "
    "at one humid coast it ran 13 to 27 % above the full method",
    sources=("fao56-eq52",),
)
_SUN_FILLED_IN: Final = {
    "interior": "sunshine from the span between Tmin and Tmax, factor 0.16 of the interior (Eq 50)",
    "coast": "sunshine from the span between Tmin and Tmax, factor 0.19 of a coast (Eq 50)",
    "island": "sunshine as on a low island (Eq 51)",
}


def method_used(normals: Normals, place: Place, *, method: Method = "penman-monteith") -> MethodUsed:
    """Say which method an answer comes from, what it was given, what it filled in, and how sure it is.

    Args:
        normals: The site's monthly normals.
        place: Where it lies.
        method: As for `monthly_climate`.
    """
    if method == "hargreaves":
        said = _HARGREAVES.words + _from_log(normals)
        return replace(_HARGREAVES, words=said, how_sure=_less_sure(normals, _HARGREAVES.how_sure))
    own = normals.borrowed is None
    measured = ["rain, Tmin and Tmax", *(words for words, values in _optional(normals) if values is not None)]
    filled = _filled_in(normals, place)
    sentence = f"FAO-56 Penman-Monteith (Eq 6); {'measured' if own else 'borrowed'}: {', '.join(measured)}"
    if filled:
        sentence += f"; filled in: {', '.join(filled)}"
    if normals.incomplete:
        sentence += f"; not used, since months are missing: {', '.join(normals.incomplete)}"
    sentence += _from_log(normals)
    sure = _how_sure(normals, len(filled))
    return MethodUsed(words=sentence, how_sure=_less_sure(normals, sure), sources=("fao56-eq6",))


def _from_log(normals: Normals) -> str:
    """What of the months comes from the site's own log, and of how many years."""
    if normals.logged is None:
        return ""
    years = (("rain", normals.logged.rain_years), ("temperatures", normals.logged.temperature_years))
    said = " and ".join(f"{what} of {count} years and more" for what, count in years if count)
    return f"; from this site's own log: {said}"


def _less_sure(normals: Normals, sure: str) -> str:
    """How sure an answer is whose climate may be borrowed: that comes first."""
    if normals.borrowed is None:
        return sure
    return f"climate of site {normals.borrowed.whose}, not of this place: dates and water are a first guess; {sure}"


def _optional(normals: Normals) -> tuple[tuple[str, tuple[float, ...] | None], ...]:
    return (("humidity", normals.humidity_pct), ("wind at 2 m", normals.wind_m_s), ("sunshine", normals.sun_h))


def _filled_in(normals: Normals, place: Place) -> list[str]:
    filled = []
    if normals.humidity_pct is None:
        filled.append("humidity as if dew formed at Tmin (Eq 48)")
    if normals.wind_m_s is None:
        filled.append("wind 2 m/s (Table 4)")
    if normals.sun_h is None:
        filled.append(_SUN_FILLED_IN[place.setting])
    return filled


def _how_sure(normals: Normals, filled: int) -> str:
    if not filled:
        return "sure as the normals are: the standard method with nothing filled in"
    sentence = f"less sure: {filled} of 3 inputs filled in"
    if filled == 3:
        sentence += "; at one place compared, temperatures alone gave 8 to 17 % less than the full method"
    if normals.humidity_pct is None:
        sentence += "; in dry places the true need is higher, since the air is drier than assumed"
    return sentence
