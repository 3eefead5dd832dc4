"""Same inputs, same bytes: over runs, hash seeds and locales, in any order of rows, and against bytes kept from before.

A digest that comes out different is an answer that changed: say so in the commit, and write the new one here.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.charts import YearWords, year_picture
from fieldbook.climate.daily import read_days
from fieldbook.climate.logged import logged_months, own_months
from fieldbook.climate.nights import frost_seasons, weeks_of_nights
from fieldbook.climate.onset import Look, onsets
from fieldbook.climate.rounding import rounding_loss
from fieldbook.shipped import shipped_text
from fieldbook.site.season import climate_of
from tests.check import ROOT
from tests.climate.places import PLACES, calendar_of, normals_of
from tests.climate.records import DATA

if TYPE_CHECKING:
    from pathlib import Path

CLIMATES = {
    "cloudstep": "bae36a3dc8416101",
    "thornpan": "a574cb2c5f7a2553",
    "longshade": "6ca450b068778f18",
    "saltreed": "0480785919f34c7d",
}
YEAR_WORDS = YearWords(
    rain="rain",
    eto="thirst",
    tmax="warmest",
    tmin="coolest",
    planting="plant",
    harvest="harvest",
    months=tuple(str(month) for month in range(1, 13)),
)
RECORDS = {"hyderabad": "6c024e5f35cf8511", "cordoba": "95546f176924e70c"}


def digest(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def climate(site: str) -> Any:
    place = PLACES[site]
    table = shipped_text(f"seed_entries/demo/normals_{site}.csv")
    where = {"latitude_deg": str(place.latitude_deg), "elevation_m": str(place.elevation_m), "setting": place.setting}
    by_both = [climate_of(table, **where, method=method) for method in ("penman-monteith", "hargreaves")]
    return [*by_both, rounding_loss(normals_of(site), place).as_value()]


def record(place: str, *, shuffled: bool = False) -> Any:
    heading, *lines = (DATA / f"{place}.csv").read_text(encoding="utf-8").splitlines()
    if shuffled:
        random.Random(2).shuffle(lines)
    days = read_days("\n".join((heading, *lines)))
    frosts = frost_seasons(days)
    return {
        "onsets": onsets(days, Look(earliest_day=100, days=200)).as_value(),
        "months": [one.as_value() for one in own_months(logged_months(days))],
        "weeks": [one.as_value() for one in weeks_of_nights(days)],
        "frosts": None if frosts is None else frosts.as_value(),
    }


@pytest.mark.parametrize("site", CLIMATES)
def test_the_climate_of_each_invented_site_is_the_one_kept(site: str) -> None:
    assert digest(climate(site)) == CLIMATES[site]


@pytest.mark.parametrize("place", RECORDS)
def test_what_an_open_record_says_is_what_was_kept_in_any_order_of_its_rows(place: str) -> None:
    assert digest(record(place)) == digest(record(place, shuffled=True)) == RECORDS[place]


# A decimal comma, months in Arabic, letters as Turks fold them: glibc's own sources of three locales, in one.
FOREIGN = """LC_CTYPE
copy "tr_TR"
END LC_CTYPE
LC_NUMERIC
copy "de_DE"
END LC_NUMERIC
LC_TIME
copy "ar_EG"
END LC_TIME
LC_COLLATE
copy "POSIX"
END LC_COLLATE
LC_MONETARY
copy "de_DE"
END LC_MONETARY
LC_MESSAGES
copy "ar_EG"
END LC_MESSAGES
"""
RUN = """
import locale, sys, time
locale.setlocale(locale.LC_ALL, "")
from tests.climate.test_same_bytes import all_of_it, digest
print(locale.localeconv()["decimal_point"], time.strftime("%B", time.gmtime(0)), digest(all_of_it()))
"""


def all_of_it() -> Any:
    """Figures, dates, a calendar with its sentences, and the picture of a year."""
    found = calendar_of("longshade")
    picture = year_picture(
        title="The year",
        description="A year",
        words=YEAR_WORDS,
        rain_mm=normals_of("longshade").rain_mm,
        eto_mm=[month.eto_mm for month in found.months],
        tmin_c=normals_of("longshade").tmin_c,
        tmax_c=normals_of("longshade").tmax_c,
        strips=(),
    )
    return [climate("longshade"), record("hyderabad"), found.as_value(), picture]


@pytest.mark.localedef
def test_another_hash_seed_another_clock_and_a_foreign_locale_change_no_byte(tmp_path: Path) -> None:
    """Nothing of a machine's habits reaches an answer; that the locale is in force is seen first."""
    (tmp_path / "source").write_text(FOREIGN, encoding="utf-8")
    subprocess.run(
        ["localedef", "-c", "-i", tmp_path / "source", "-f", "UTF-8", tmp_path / "xx_XX.UTF-8"],
        capture_output=True,
        check=False,  # it warns of the parts that stay as they are in every locale
    )
    own = {"PYTHONPATH": str(ROOT), "PYTHONHASHSEED": "77", "LOCPATH": str(tmp_path), "TZ": "Pacific/Kiritimati"}
    said = subprocess.run(
        [sys.executable, "-c", RUN],
        cwd=ROOT,
        env={**os.environ, **own, "LC_ALL": "xx_XX.UTF-8", "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    ).stdout
    assert said == f", \u064a\u0646\u0627\u064a\u0631 {digest(all_of_it())}\n"
