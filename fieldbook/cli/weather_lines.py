"""What a person reads after ``weather``: how far the log goes, its months, the rains, frosts and heat.

Its one rule: an unknown stands as ``?``, and a count says of how many years it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def weather(document: Mapping[str, Any]) -> list[str]:
    """After ``weather``."""
    if not document["days"]:
        return ["The log is empty. `weather --date 2026-11-25 --rain 12.5` puts a day into it, a table puts many."]
    lines = [f"{document['days']} days in the log, {document['first']} to {document['last']}."]
    lines += [
        f"Brought in: {one['days']} days by {one['whose']}, {one['first']} to {one['last']}."
        for one in document["brought"]
    ]
    goes_by = (
        "The site goes by this log" if document["goes_by_log"] else "The site does not go by this log; it stands beside"
    )
    lines.append(
        f"{goes_by}. Whole months alone count: no day of rain unknown; of temperatures at most 10, at most 4 running."
    )
    lines.append("month   rain mm (years)   coolest C  warmest C (years)")
    lines += [_month(one) for one in document["months"]]
    for rains in document["onsets"]:
        lines += _rains(rains)
    return [*lines, *_nights(document)]


def _month(one: Mapping[str, Any]) -> str:
    rain, low, high = ("?" if one[name] is None else one[name] for name in ("rain_mm", "tmin_c", "tmax_c"))
    return f"{one['month']:>5}  {rain:>8} {one['rain_years']:>8}  {low:>10} {high:>10} {one['temperature_years']:>8}"


def _rains(rains: Mapping[str, Any]) -> Iterator[str]:
    rule = rains["rule"]
    yield (
        f"Rains looked for from {rains['looked_from']} on, for {rains['looked_days']} days: {rule['total_mm']} mm in "
        f"{rule['window_days']} days, then no {rule['dry_days'] + 1} days under {rule['rain_day_mm']} mm in the next "
        f"{rule['ahead_days']}."
    )
    for one in rains["seasons"]:
        began = {
            "began": f"began {one['onset']}",
            "none": "did not begin",
            "unknown": f"unknown: {one['missing']} is missing",
        }
        false = "".join(f"; false start {f['date']}, dry for {f['dry_days']} days" for f in one["false_starts"])
        yield f"  from {one['earliest']}: {began[one['outcome']]}{false}"
    if not rains["weeks"]:
        yield f"  Odds by week need 10 known seasons; there are {rains['known_seasons']}."
    for week in rains["weeks"]:
        counted = f"begun in {week['begun']} of {week['of']} years; false start in {week['false']}"
        yield f"  {week['from']} to {week['to']}: {counted}"


def _nights(document: Mapping[str, Any]) -> Iterator[str]:
    frost = document["frost"]
    if frost is not None:
        yield (
            f"Frost in {frost['with_frost']} of {frost['seasons']} cold seasons, {frost['nights_mean']} nights each; "
            f"first one on average {frost['first_mean']}, earliest {frost['first_earliest']}; last one on average "
            f"{frost['last_mean']}, latest {frost['last_latest']}."
        )
    for week in document["weeks"]:
        yield (
            f"  {week['from']} to {week['to']}: frost in {week['frost_years']} of {week['frost_of']} years, "
            f"35 C and more in {week['heat_years']} of {week['heat_of']}"
        )
