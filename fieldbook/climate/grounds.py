"""Why a window opens, closes and can be trusted: the grounds that a calendar gives for each answer.

What it is: remarks, sources and marks drawn from a case. What it is not: a rule that decides anything.

Its one rule: a figure from memory is said to be so, and never named among the sources.
"""

from collections.abc import Iterator
from typing import Final

from fieldbook.climate.degree_days import most_days_to_collect
from fieldbook.climate.dung import DungDay
from fieldbook.climate.figures import plain
from fieldbook.climate.planting import Case, Opening, standing_span_c
from fieldbook.climate.remarks import CAUSES, Remark, remark
from fieldbook.climate.stretches import FOREVER
from fieldbook.climate.succession import succession
from fieldbook.climate.warmth import GRADES, SuitedDays
from fieldbook.climate.water import WaterNeed
from fieldbook.climate.year import DAYS_IN_YEAR, MONTH_NAMES, MONTH_OF_DAY, day_words
from fieldbook.sources import SOURCES

_HOT_DAYS_C: Final = 35.0  # ours, as for days of heat in `nights`: flowers of most crops of the table fail there
_TRIED_EVERY_DAYS: Final = 7  # months know no better than weeks
_FROST_MAY_COME_C: Final = 5.0  # common practice: a mean minimum this low leaves room for nights of frost
_SHOWN: Final = {
    "temperature": "temperature limits",
    "frost": "frost",
    "kc": "water use",
    "stage_days": "stages of growth",
    "durations": "durations",
}


def reasons(
    case: Case,
    opening: Opening,
    *,
    found: tuple[Opening, ...],
    carried: tuple[Opening, ...],
    needs: tuple[WaterNeed, ...],
) -> Iterator[Remark]:
    """Say why an opening opens and closes, what it was judged by, and what water it can use."""
    yield from _why_open_and_closed(case, opening)
    if case.lasting:
        yield remark("needs-start", need=case.bars.need_days)
    else:
        first, least = case.crop.first_harvest.most, case.harvest_days
        yield remark("needs-days", need=case.bars.need_days, first=first, least=least)
    if case.year.facts.watering:
        yield from _what_rain_carries(carried)
    low, high = standing_span_c(case, opening)
    warmth = case.crop.warmth
    yield remark(
        "temperature",
        low=plain(low),
        high=plain(high),
        bears_min=plain(warmth.bears_min_c),
        bears_max=plain(warmth.bears_max_c),
    )
    yield _watering(needs)
    if opening == found[0]:
        yield from _periods_left_out(case, found)


def _why_open_and_closed(case: Case, opening: Opening) -> Iterator[Remark]:
    if opening.all_year:
        yield remark("all-year")
        return
    opened_by = case.bars.cause_before(opening.stretch, opening.first)
    yield remark(f"opens-{opened_by}", date=day_words(opening.start_day), limit=_limit(case, opened_by))
    closed_by, stop = case.bars.cause_after(opening.stretch, opening.last + 1)
    yield remark(
        f"closes-{closed_by}",
        date=day_words(opening.end_day),
        need=case.bars.need_days,
        stop=day_words(stop - 1 if closed_by == "dry" else stop),
        limit=_limit(case, closed_by),
    )


def _limit(case: Case, cause: str) -> str:
    warmth = case.crop.warmth
    return plain(warmth.bears_min_c if cause == "cold" else warmth.bears_max_c)


def _what_rain_carries(carried: tuple[Opening, ...]) -> Iterator[Remark]:
    if not carried:
        yield remark("rain-carries-none")
    for other in carried:
        if other.all_year:
            yield remark("rain-carries-all")
        else:
            yield remark("rain-carries", start=day_words(other.start_day), end=day_words(other.end_day))


def _watering(needs: tuple[WaterNeed, ...]) -> Remark:
    if needs[0].highest_month is None:
        return remark("no-watering")
    average = max(need.average_l_m2_day for need in needs)
    highest = plain(needs[0].highest_l_m2_day)
    return remark("watering", average=plain(average), highest=highest, month=MONTH_NAMES[needs[0].highest_month - 1])


def _periods_left_out(case: Case, found: tuple[Opening, ...]) -> Iterator[Remark]:
    """Name the growing periods that are too short for a crop that has an opening in another."""
    used = {opening.stretch for opening in found}
    for stretch in case.stretches:
        if stretch.days is not None and stretch not in used:
            yield remark("period-short", start=day_words(stretch.start_day), days=stretch.days)


def dung_remarks(case: Case, opening: Opening, days: tuple[DungDay, ...]) -> Iterator[Remark]:
    """Say until when raw dung may go into the bed, or why that is not known."""
    crop = case.crop
    if not days:
        if crop.contact == "not eaten":
            yield remark("dung-not-eaten")
        else:
            yield remark("dung-unknown", parts=crop.part_used.replace(", ", " and "))
    for one in days:
        code = "dung-staked" if one.staked else "dung"
        said: dict[str, str | int] = {"wait": one.wait_days}
        if opening.all_year:
            code += "-any-day"
            said |= {"before": one.before_planting_days}
        elif opening.days == 1:
            code += "-one-day"
            said |= {"first": day_words(one.first_day)}
        else:
            said |= {"first": day_words(one.first_day), "last": day_words(one.last_day)}
            said |= {"start": day_words(opening.start_day), "end": day_words(opening.end_day)}
        if not one.staked:
            said |= {"eaten": one.eaten_after_days, "event": crop.counted_from}
        yield remark(code, **said)
    if days and crop.counted_from == "sowing" and "transplant" in crop.propagation:
        yield remark("dung-raised")


def again_remarks(case: Case, opening: Opening) -> Iterator[Remark]:
    """Say how to plant again and again for picking without a gap."""
    found = succession(case.crop, opening, lasting=case.lasting)
    if found is None:
        return
    if found.plantings == 1:
        yield remark("succession-once")
        return
    weeks = "week" if found.every_weeks == 1 else f"{found.every_weeks} weeks"
    yield remark("succession", weeks=weeks, times=_times(found.plantings), gap=found.uneven_days)


def _times(times: int) -> str:
    return "twice" if times == 2 else f"{times} times"


def suits_remarks(case: Case, opening: Opening, suited: tuple[SuitedDays, ...]) -> Iterator[Remark]:
    """Say how well the warmth suits what is planted when, the best days first."""
    warmth = case.crop.warmth
    limits_c = {
        "well": {"likes_min": warmth.likes_min_c, "likes_max": warmth.likes_max_c},
        "fairly": {"likes_min": warmth.likes_min_c, "likes_max": warmth.likes_max_c},
        "badly": {"bears_min": warmth.bears_min_c, "bears_max": warmth.bears_max_c},
    }
    for suits in GRADES:
        runs = [one for one in suited if one.suits == suits]
        if runs:
            when = _planted_when(runs) if len(suited) > 1 else _any_day(opening)
            yield remark(f"suits-{suits}", when=when, **{name: plain(at) for name, at in limits_c[suits].items()})


def _planted_when(runs: list[SuitedDays]) -> str:
    """Name runs of days."""
    return ", ".join(
        f"{day_words(one.start_day)} to {day_words(one.end_day)}"
        if one.start_day != one.end_day
        else day_words(one.start_day)
        for one in runs
    )


def _any_day(opening: Opening) -> str:
    return "on any day of the year" if opening.all_year else "on any day of this window"


def limits(case: Case, opening: Opening) -> Iterator[Remark]:
    """Say what to watch in an opening."""
    low, high = standing_span_c(case, opening)
    crop = case.crop
    if low < crop.warmth.likes_min_c:
        yield _cool(case, opening, low)
    if high > crop.warmth.likes_max_c:
        yield remark("warm", mean=plain(high), likes=plain(crop.warmth.likes_max_c))
    yield from _hot_days(case, opening)
    picked = case.bed_days(opening.stretch, opening.last) - crop.first_harvest.most
    if not case.lasting and picked < crop.harvest.least:
        yield remark("cut-short", days=picked, usual=crop.harvest.least)
    if crop.first_harvest.most > DAYS_IN_YEAR:
        yield remark("later-year", least=crop.first_harvest.least, most=crop.first_harvest.most)
    if case.lasting:
        yield remark("stands")
    if crop.nursery is not None:
        yield remark("nursery", least=crop.nursery.least, most=crop.nursery.most)
    yield from _frost_unknown(case, opening)


def _cool(case: Case, opening: Opening, low_c: float) -> Remark:
    """Say how cool it is, and what that makes of the table's days if growth goes with degree days."""
    warmth, table = case.crop.warmth, case.crop.first_harvest.most
    said = {"mean": plain(low_c), "likes": plain(warmth.likes_min_c)}
    if case.lasting:
        return remark("cool", **said)
    gained_c, wanted_c = case.year.degree_days(warmth), table * (warmth.likes_min_c - warmth.bears_min_c)
    offsets = (*range(opening.first, opening.last, _TRIED_EVERY_DAYS), opening.last)
    planted = [opening.day(offset) for offset in offsets]
    days = most_days_to_collect(gained_c=gained_c, planted_days=planted, wanted_c=wanted_c)
    if days is None or days <= table:
        return remark("cool", **said)
    first = most_days_to_collect(gained_c=gained_c, planted_days=planted[:1], wanted_c=wanted_c) or days
    code = "cool-short" if first > case.bars.room(opening.stretch, opening.first) else "cool-days"
    return remark(code, **said, days=days, table=table, base=plain(warmth.bears_min_c))


def _hot_days(case: Case, opening: Opening) -> Iterator[Remark]:
    """Name the warmest month that a planting stands in, where its days are hot: the mean alone does not show it."""
    highs = case.year.normals.tmax_c
    if max(highs) < _HOT_DAYS_C:
        return
    hottest = min(_months_met(case, opening), key=lambda month: (-highs[month - 1], month))
    if highs[hottest - 1] >= _HOT_DAYS_C:
        yield remark("hot-days", high=plain(highs[hottest - 1]), month=MONTH_NAMES[hottest - 1])


def _months_met(case: Case, opening: Opening) -> set[int]:
    """The months (1 to 12) in which plantings of an opening stand."""
    days = min(DAYS_IN_YEAR, opening.days - 1 + case.bed_days(opening.stretch, opening.last))
    first = opening.start_day - 1
    return set((MONTH_OF_DAY * 2)[first : first + days])


def _frost_unknown(case: Case, opening: Opening) -> Iterator[Remark]:
    """Warn where frost was not stated and could come while a crop that it kills stands."""
    lows = case.year.normals.tmin_c
    if case.crop.frost == "never" or case.year.facts.frost_months is not None or min(lows) >= _FROST_MAY_COME_C:
        return
    coldest = min(_months_met(case, opening), key=lambda month: (lows[month - 1], month))
    if lows[coldest - 1] < _FROST_MAY_COME_C:
        yield remark("frost-unknown", low=plain(lows[coldest - 1]), month=MONTH_NAMES[coldest - 1])


def why_none(case: Case) -> Iterator[Remark]:
    """Say why a crop has no opening here."""
    if case.too_dry_to_last:
        rain = plain(sum(case.year.normals.rain_mm), places=0)
        yield remark("rain-low", limit=plain(case.crop.rain_min_mm or 0, places=0), rain=rain)
        return
    yield remark("needs-days", need=case.bars.need_days, first=case.crop.first_harvest.most, least=case.harvest_days)
    yield from _barred(case)
    if case.year.facts.watering:
        return
    longest = max((stretch.days or FOREVER for stretch in case.year.rain_fed), default=0)
    if not longest:
        yield remark("no-period")
    elif longest < case.bars.need_days:
        yield remark("longest-period", days=longest, lacking=case.bars.need_days - longest)


def _barred(case: Case) -> Iterator[Remark]:
    """Say what bars the year by itself, before water is looked at."""
    met = [cause for cause in CAUSES if cause in case.bars.standing or cause in case.bars.young]
    if not met:
        return
    causes = " or ".join(CAUSES[cause] for cause in met)
    longest = max(case.bars.clear)
    yield remark("longest-clear", causes=causes, days=longest) if longest else remark("never-clear", causes=causes)


def sources(case: Case) -> Iterator[str]:
    """Name document and table of each figure used; a figure from memory has none and is not named here."""
    yield from (f"evapotranspiration: {SOURCES[key].words}" for key in case.year.method.sources)
    if case.year.normals.borrowed is not None:
        yield f"temperatures moved in height: {SOURCES['standard-atmosphere'].words}"
    yield f"growing periods: {SOURCES['growing-period'].words}"
    yield f"effective rain: {SOURCES['manual3'].words}"
    for group, label in _SHOWN.items():
        origin = case.crop.origins[group]
        if origin.mark in {"read", "stand-in", "mixed"}:
            yield f"{label}: {origin.words} ({origin.mark})"


def how_sure(case: Case) -> str:
    """Say which of the crop's figures are read, of another crop or from memory, and how sure the climate is."""
    marks = ", ".join(f"{label} {_said(case.crop.origins[group].mark)}" for group, label in _SHOWN.items())
    return f"crop figures: {marks}; climate: {case.year.method.how_sure}"


def _said(mark: str) -> str:
    return {"stand-in": "of another crop", "mixed": "partly from memory", "none": "not published"}.get(mark, mark)
