"""The log of a site from a terminal: one day, a table of days, and going by it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import refused, type_words
from tests.climate.records import DATA
from tests.orrendal import site_facts

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal

DAYS = (DATA / "hyderabad.csv").read_text(encoding="utf-8")


def test_a_day_is_put_into_the_log_and_the_log_says_what_it_holds(terminal: Terminal) -> None:
    assert terminal.at("T", "weather").done().out.startswith("The log is empty.")
    out = (
        terminal.at("T", "weather", "--date", "2026-11-25", "--rain", "30", "--rain-days", "3", "--tmin", "18")
        .done()
        .out
    )
    assert out.startswith("1 days in the log, 2026-11-25 to 2026-11-25.")
    assert "Odds by week need 10 known seasons; there are 0." in out
    refused(terminal.at("T", "weather", "--date", "2026-11-25"), "nothing was read on 2026-11-25")
    refused(terminal.at("T", "weather", "--rain", "3"), "which day?", "say `--date 2026-11-25`", code=2)
    both = terminal.at("T", "weather", "days.csv", "--date", "2026-11-24", "--rain", "3")
    refused(both, "a day and a table at once", code=2)
    assert terminal.asked("T", "weather")["days"] == 1


def test_a_table_of_days_tells_onsets_odds_and_heat(terminal: Terminal) -> None:
    table = terminal.entry_file(DAYS, "days.csv")
    refused(terminal.at("T", "weather", table), "nothing says who read these days")
    out = terminal.at("T", "weather", table, "--whose", "weather office").done().out
    assert "Brought in: 4018 days by weather office, 2000-01-01 to 2010-12-31." in out
    assert "begun in 11 of 11 years" in out
    assert "; false start " in out
    assert "35 C and more in 11 of 11" in out
    document = terminal.asked("T", "weather")
    assert document["onsets"][0]["known_seasons"] == 11
    assert (document["goes_by_log"], document["frost"]) == (False, None)


def test_growing_periods_are_told_with_their_humid_part_and_what_the_soil_keeps(terminal: Terminal) -> None:
    out = terminal.at("T", "climate").done().out
    assert re.search(r"Growing period: 06-\d\d to .*; rains end 09-\d\d; humid 07-\d\d to 08-\d\d; \S+ mm stored", out)


def test_frosts_are_told_by_date(terminal: Terminal) -> None:
    table = terminal.entry_file((DATA / "cordoba.csv").read_text(encoding="utf-8"), "days.csv")
    out = terminal.at("L", "weather", table, "--whose", "weather office").done().out
    assert "Frost in 31 of 31 cold seasons, 13.7 nights each; first one on average 06-17, earliest 05-26;" in out


def test_figures_may_come_from_the_log_and_by_another_method(terminal: Terminal) -> None:
    months = terminal.entry_file(site_facts("L").normals, "months.csv")
    refused(terminal.at("T", "figures", months, "--own-log", "yes"), "the log has no 5 whole years yet")
    assert terminal.asked("T", "climate")["months"] != terminal.asked("L", "climate")["months"]  # nothing was changed
    terminal.at("T", "weather", terminal.entry_file(DAYS, "days.csv"), "--whose", "our gauge").done()
    out = terminal.at("T", "figures", "--own-log", "yes", "--method", "hargreaves").done().out
    assert out.startswith("From now on: Hargreaves (FAO-56 Eq 52)")
    assert "from this site's own log: rain of 11 years and more" in out
    assert terminal.asked("T", "weather")["goes_by_log"] is True
    assert "Hargreaves" in terminal.asked("T", "calendar")["method"]
    assert terminal.asked("T", "figures", "--own-log", "no")["goes_by_log"] is False
    refused(terminal.at("T", "figures"), "nothing is to be changed", code=2)


def test_a_table_of_months_is_computed_by_either_method(terminal: Terminal) -> None:
    months = terminal.entry_file(site_facts("T").normals, "months.csv")
    place = ("--latitude", "13 24 N", "--elevation", "420")
    by_pm, by_hargreaves = (
        type_words("climate", months, *place, "--method", method, "--json").done().out
        for method in ("penman-monteith", "hargreaves")
    )
    assert ("Hargreaves" in by_pm, "Hargreaves" in by_hargreaves) == (False, True)
    refused(terminal.at("T", "climate", "--method", "hargreaves"), "a site computes by one method", code=2)


# Published examples as a person would type them: the month stands between months that are told apart
LYON = ("july", 14.8, 26.6, "45 43 N", "200", "interior", "")
BANGKOK = ("april", 25.6, 34.8, "13 44 N", "2", "coast", ",64.53,2,8.5")  # 64.53 % of es 4.42 kPa is ea 2.85 kPa


def test_published_examples_come_out_of_the_command_as_they_are_printed(terminal: Terminal) -> None:
    """FAO-56 Example 20, p 77 (Lyon, July, temperatures alone), and Example 17, p 70 (Bangkok, April, with soil heat)."""
    eto = {}
    for name, low, high, latitude, height, setting, more in (LYON, BANGKOK):
        cooler = 1.0 if more else 0.0  # the month before is 1 C cooler in Example 17; soil heat is 0 in Example 20
        lines = [
            f"{month},0,{low - cooler * (month == 3):.1f},{high - cooler * (month == 3):.1f}{more}"
            for month in range(1, 13)
        ]
        heading = "month,rain_mm,tmin_c,tmax_c" + (",humidity_pct,wind_m_s,sun_h" if more else "")
        table = terminal.entry_file("\n".join((heading, *lines)), f"{name}.csv")
        place = ("--latitude", latitude, "--elevation", height, "--setting", setting)
        for method in ("penman-monteith", "hargreaves"):
            months = type_words("climate", table, *place, "--method", method, "--json").done().json["months"]
            eto[name, method] = [float(month["eto_mm_day"]) for month in months]
            ra = [float(month["ra_mj_m2_day"]) for month in months]
        assert ra[6 if name == "july" else 3] == pytest.approx(40.55 if name == "july" else 38.06, abs=0.011)
    assert eto["july", "penman-monteith"][6] == pytest.approx(4.56, abs=0.01)
    assert eto["july", "hargreaves"][6] == pytest.approx(5.0, abs=0.05)
    assert eto["april", "penman-monteith"][3] == pytest.approx(5.72, abs=0.015)


def test_where_a_site_lies_and_its_frost_are_stated_anew_with_the_months_or_without(terminal: Terminal) -> None:
    months = terminal.entry_file(site_facts("T").normals, "months.csv")
    before = terminal.asked("L", "calendar", "--crop", "amaranth")
    terminal.at("L", "figures", "--frost-months", "", "--salt-months", "", "--watering", "yes").done()
    (all_year,) = terminal.asked("L", "calendar", "--crop", "amaranth")["windows"]
    assert (all_year["start"], all_year["end"]) == ("01-01", "12-31")
    refused(terminal.at("L", "figures", "--frost-months", "13"), "'13' is no list of months")
    refused(
        terminal.at("L", "figures", "--elevation", "500", "--setting", "island"), "the elevation of the island is 500 m"
    )
    assert terminal.asked("L", "calendar", "--crop", "amaranth")["windows"] == [all_year]
    terminal.at("L", "figures", months, "--latitude", "13 24 N", "--elevation", "420", "--watering", "no").done()
    assert terminal.asked("L", "climate")["months"] == terminal.asked("T", "climate")["months"]
    assert terminal.asked("L", "calendar", "--crop", "amaranth")["windows"] != before["windows"]


@pytest.mark.parametrize(
    ("setting", "more", "said"),
    [("interior", ",14", "the sunshine is 14 h, outside 0 to"), ("island", "", "the elevation of the island is 560 m")],
)
def test_months_that_cannot_be_reckoned_with_at_the_place_are_refused_before_they_are_kept(
    terminal: Terminal, setting: str, more: str, said: str
) -> None:
    """Twelve sound lines may still lie outside a method: more sun than daylight, an island 560 m high."""
    head, *lines = site_facts("L").normals.strip().splitlines()
    table = terminal.entry_file(
        "\n".join((head + (",sun_h" if more else ""), *(line + more for line in lines))), "odd.csv"
    )
    place = ("--latitude", "25 24 S", "--elevation", "560", "--setting", setting)
    refused(
        type_words(
            "--site", terminal.folder / "new", "new", "--name", "N", "--letter", "N", *place, "--normals", table
        ),
        said,
    )
    assert not (terminal.folder / "new").exists()
    refused(terminal.at("L", "figures", table, *place), said)
    assert len(terminal.asked("L", "calendar", "--crop", "kale")["windows"]) == 1
