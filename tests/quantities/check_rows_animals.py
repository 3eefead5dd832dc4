"""Outside checks of fish, birds, room for animals and trials of sprays.

Not a test. Its one rule: each row names what was printed where; a misprint stands here to be found.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.quantities.ponds import ammonia_fraction
from tests.quantities.check_rows import check, figure

if TYPE_CHECKING:
    from collections.abc import Callable

_EMERSON = "Emerson et al. 1975, on pages that quote it"
_TP362 = "FAO TP 362 section 6.1; AC155E; TP 589 section 7.3"
_AC579E = "FAO AC579E Table 4, Clarias at 10/m²"


def _linked(at: str, **changed: Any) -> Any:
    return figure("linked-system", at, {"tank_m2": 5, "tank_litres": 5000, "birds": 0, "fish_kg": 5, **changed})


def _water(at: str, temperature: int, ph: int | str) -> Any:
    return _linked(at, water_temperature_c=temperature, ph=ph)


_AMMONIA = (
    *(
        check(f"share of un-ionised ammonia at {t} °C, pH {ph}", _EMERSON, share, "0.0001", _water("ammonia_fraction", t, ph))
        for t, ph, share in (
            (24, 8, "0.0502"), (25, 7, "0.0056"), (25, 8, "0.0537"), (28, 8, "0.0654"), (28, 9, "0.4116"), (30, 8, "0.0743"),
        )
    ),
    *(
        check(f"  total that harms at {t} °C, pH {ph}, mg/L", "UF-IFAS FA16, 0.05 mg/L", total, "0.01", _water("total_ammonia_at_harm_mg_l", t, ph))
        for t, ph, total in ((24, 8, "1.00"), (25, 7, "8.87"), (25, 8, "0.93"), (28, 8, "0.76"), (28, 9, "0.12"), (30, 8, "0.67"))
    ),
    check("24 °C, pH 8 with the constant 2727.92", "a package's page", "0.0509", "0.0001", _water("ammonia_fraction", 24, 8), errs=True),
    check("24 °C, pH 8 as “1.0 × 0.502”", "a copy of FA16", "0.502", "0.0001", lambda: ammonia_fraction(water_temperature_c=Decimal(24), ph=Decimal(8)), errs=True),
)  # fmt: skip
_PONDS = (
    check("5 m²: birds", _TP362, "2.5", "0", _linked("birds_supported")),
    check("5 m²: dry dung, g a day", _TP362, "50", "0", _linked("dung_borne_g_day")),
    check("5 m²: fish, kg", _TP362, "5", "0", _linked("fish_kg_supported")),
    check("5 kg of fish: least feed, g a day", _TP362, "50", "0", _linked("feed_g_day.least")),
    check("5 kg of fish: most feed, g a day", _TP362, "100", "0", _linked("feed_g_day.most")),
    check("  least bed of leaves, m²", _TP362, "1.0", "0", _linked("leafy_bed_m2.least")),
    check("  most bed of leaves, m²", _TP362, "2.5", "0", _linked("leafy_bed_m2.most")),
    check(
        "bucket of 0.071 m²: birds",
        _TP362,
        "0.035",
        "0.001",
        _linked("birds_supported", tank_m2="0.071", tank_litres=20),
    ),
    check(
        "drum of 0.255 m²: birds", _TP362, "0.13", "0.003", _linked("birds_supported", tank_m2="0.255", tank_litres=200)
    ),
    check("drum of 0.255 m²: dry dung, g a day", _TP362, "2.6", "0.06", _linked("dung_borne_g_day", tank_m2="0.255")),
    check("a hen's nitrogen after losses, g a day", "USDA NRCS, manure nutrient table: 0.383 kg a year", "1.05", "0.01", _linked("birds_nitrogen_g_day", birds=1)),
    check("dug ground for a hen's dung, m²", "USDA NRCS, manure nutrient table; 91/676/EEC Annex III", "22.6", "0.1", _linked("ground_for_dung_m2", birds=1)),
    check("twice the ammonia that harms: water to change, %", "arithmetic over UF-IFAS FA16, 0.05 mg/L", "50", "1", _linked("water_change_percent", water_temperature_c=24, ph=8, total_ammonia_mg_l=2)),
    check("pond of 100 m²: birds", _TP362, "50", "0", _linked("birds_supported", tank_m2=100, tank_litres=100_000)),
)  # fmt: skip
_WEIGHT_G = (1, 5, 10, 18, 27, 36, 52, 65, 79, 102, 130)
_ALIVE = (100, 70, 65, 60, 60, 60, 55, 55, 55, 50, 50)
_PRINTED_KG = ("1", "3.5", "6.5", "10.8", "10.2", "21.6", "28.6", "35.7", "43.4", "51.0", "65.0")
_FEED = ("10", "7.5", "4.5", "4.0", "3.3", "3.0", "2.7", "2.6", "2.4", "2.3", "2.1")
_PRINTED_FEED = (100, 250, 300, 400, 525, 650, 775, 900, 1025, 1150, 1350)


def _biomass(week: int) -> Decimal:
    return Decimal(_WEIGHT_G[week] * _ALIVE[week] * 10) / 1000


def _feed(week: int) -> Callable[[], Decimal]:
    return lambda: _biomass(week) * 10 * Decimal(_FEED[week])


_GROWTH = (
    *(
        check(f"week {2 * n}: fish alive · weight, kg", _AC579E, kg, "0.1", lambda n=n: _biomass(n), errs=n == 4)  # type: ignore[misc]
        for n, kg in enumerate(_PRINTED_KG)
    ),
    *(
        check(f"week {2 * n}: feed, g a day", _AC579E, str(feed), str(feed * 8 / 100), _feed(n))
        for n, feed in enumerate(_PRINTED_FEED)
    ),
)


def _room(at: str, kind: str, floor: str, **more: Any) -> Any:
    return figure("animal-space", at, {"kind": kind, "count": 1, "floor_m2": floor, **more})


_SPACE = (
    check(
        "20 hens in 2.20 m²: enough", "1999/74/EC, 9 hens/m²", "0", "0", _room("enough", "laying-hen", "2.20", count=20)
    ),
    check(
        "20 hens in 2.25 m²: enough", "1999/74/EC, 9 hens/m²", "1", "0", _room("enough", "laying-hen", "2.25", count=20)
    ),
    check(
        "198 hens on deep litter, m²",
        "FAO small-scale poultry, 6 × 11 m",
        "66",
        "0",
        _room("floor_needed_m2", "laying-hen", "66", count=198, deep_litter="yes"),
    ),
    check(
        "rabbit of 4.2 kg in 0.60 × 0.60 m: enough",
        "US Animal Welfare Act on a state's page",
        "0",
        "0",
        _room("enough", "rabbit", "0.36", weight_kg="4.2"),
    ),
    check(
        "doe with litter of 3 kg, m²",
        "US Animal Welfare Act on a state's page",
        "0.46",
        "0",
        _room("floor_needed_m2", "rabbit-doe-with-litter", "1", weight_kg=3),
    ),
    check("goat, pen m²", "EC organic rule", "1.5", "0", _room("floor_needed_m2", "goat", "2")),
)


def _after(untreated: str, treated: str) -> Any:
    return figure("pest-effect", "fewer_after_percent", {"untreated_after": untreated, "treated_after": treated})


def _both(counts: tuple[int, int, int, int]) -> Any:
    names = ("untreated_before", "untreated_after", "treated_before", "treated_after")
    return figure("pest-effect", "fewer_since_before_percent", dict(zip(names, counts, strict=True)))


_TRIALS = (
    check("DBM larvae, neem, %", "Araya 2023", "91.9", "0.1", _after("2.46", "0.20")),
    check("DBM larvae, endod, %", "Araya 2023", "94.7", "0.1", _after("2.46", "0.13")),
    check("aphid colonies, neem, %", "Araya 2023", "92.8", "0.1", _after("5.53", "0.40")),
    check("aphid colonies, endod, %", "Araya 2023", "97.1", "0.1", _after("5.53", "0.16")),
    check("whitefly, %", "Abubakar 2023, from its counts", "95.5", "0.1", _after("26.9", "1.2")),
    check("whitefly as printed, %", "Abubakar 2023, its table", "95.7", "0.1", _after("26.9", "1.2"), errs=True),
    check("whitefly, second, %", "Abubakar 2023", "96.1", "0.1", _after("33.4", "1.3")),
    check("Henderson-Tilton 100, 200, 100, 50, %", "made up, by hand", "75", "0.1", _both((100, 200, 100, 50))),
    check("Henderson-Tilton 50, 200, 100, 50, %", "made up, by hand", "87.5", "0.1", _both((50, 200, 100, 50))),
)
_BY_SUBTRACTION = check(
    "98 % dead of the treated, 50 % of the untreated, by subtraction, %",
    "a method that Abbott 1925 rejects in its second paragraph",
    "48",
    "0.1",
    _after("50", "2"),
    errs=True,
)
_VETERINARY = "a textbook of aquatic veterinary medicine, Table 1.4, from Emerson's data"
_SHARES = {
    "7.0": "0.0013 0.0016 0.0018 0.0022 0.0025 0.0029 0.0034 0.0039 0.0046 0.0052 0.0060 0.0069 0.0080 0.0093",
    "7.6": "0.0053 0.0063 0.0073 0.0086 0.0100 0.0116 0.0134 0.0155 0.0179 0.0206 0.0236 0.0271 0.0310 0.0369",
    "8.0": "0.0133 0.0156 0.0182 0.0212 0.0247 0.0286 0.0330 0.0381 0.0438 0.0502 0.0574 0.0654 0.0743 0.0877",
    "8.4": "0.0328 0.0383 0.0445 0.0517 0.0597 0.0688 0.0790 0.0904 0.1031 0.1171 0.1326 0.1495 0.1678 0.1948",
}
_TABLE = tuple(  # its last column, headed 32 °C (89.6 °F), is that of about 32.6 °C
    check(f"share of un-ionised ammonia at {t} °C, pH {ph}", _VETERINARY, share, "0.0001", _water("ammonia_fraction", t, ph), errs=t == 32)
    for ph, row in _SHARES.items()
    for t, share in zip(range(6, 34, 2), row.split(), strict=True)
)  # fmt: skip
ROWS = (*_AMMONIA, *_TABLE, *_PONDS, *_GROWTH, *_SPACE, *_TRIALS, _BY_SUBTRACTION)
