"""Two open records of days, and small ones made for a test.

`data/hyderabad.csv` (2000 to 2010) and `data/cordoba.csv` (1991 to 2021) hold the rain and temperatures of the daily
records that the Python package aquacrop 3.1.0 carries (`hyderabad_climate.txt`, `cordoba_climate.txt`; licence
Apache-2.0), day by day as they stand there, in the columns of our own table. The package itself is no dependency: it
brings two plotting libraries with it.
"""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.climate.daily import DailyRecord, Day, read_days, record_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

DATA = Path(__file__).with_name("data")


@cache
def open_record(place: str) -> DailyRecord:
    return read_days((DATA / f"{place}.csv").read_text(encoding="utf-8"))


def days_from(first: dt.date, rain_mm: Sequence[float | None]) -> dict[dt.date, float]:
    """Rain of one day after another; None is a day that nobody read."""
    return {first + dt.timedelta(days=n): rain for n, rain in enumerate(rain_mm) if rain is not None}


def record_from(rain_mm: Mapping[dt.date, float]) -> DailyRecord:
    return record_of(Day(date=date, rain_mm=rain) for date, rain in rain_mm.items())
