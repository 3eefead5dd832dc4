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
from typing import Any

import pytest

from fieldbook.climate.daily import read_days
from fieldbook.climate.logged import logged_months, own_months
from fieldbook.climate.nights import frost_seasons, weeks_of_nights
from fieldbook.climate.onset import Look, onsets
from fieldbook.climate.rounding import rounding_loss
from fieldbook.shipped import shipped_text
from fieldbook.site.season import climate_of
from tests.check import ROOT
from tests.climate.places import PLACES, normals_of
from tests.climate.records import DATA

CLIMATES = {
    "cloudstep": "bae36a3dc8416101",
    "thornpan": "a574cb2c5f7a2553",
    "longshade": "6ca450b068778f18",
    "saltreed": "0480785919f34c7d",
}
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


def test_another_hash_seed_and_another_locale_change_no_byte() -> None:
    """A comma as the decimal sign, other names of months: nothing of a machine's habits reaches an answer."""
    run = "from tests.climate.test_same_bytes import climate, digest, record; print(digest([climate('longshade'), record('hyderabad')]))"
    said = subprocess.run(
        [sys.executable, "-c", run],
        cwd=ROOT,
        env={
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "PYTHONHASHSEED": "77",
            "LC_ALL": "de_DE.UTF-8",
            "TZ": "Pacific/Kiritimati",
        },
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert said == digest([climate("longshade"), record("hyderabad")]) + "\n"
