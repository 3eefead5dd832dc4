"""Counts that others published, and what is worked out from them elsewhere.

Figures marked APART were worked out with scipy 1.17.1 and statsmodels 0.15.0, and once more by a script of its own.
"""

from __future__ import annotations

from typing import Final

APART = "worked out with scipy 1.17.1 and statsmodels 0.15.0"
BEALL = "Beall (1942), Biometrika 29:243-262, the 72 counts as `InsectSprays` in the R datasets collection"
DARWIN = "Darwin's pairs of maize, as `boot::darwin`, eighths of an inch"
SLEEP = "`sleep` in the R datasets collection, ten pairs"
CROWDER = "Crowder (1978, from memory), plates of seeds as `aod::orob2`, seed O75 on bean"
BCG = "trials of the BCG vaccine as `HSAUR::BCG`, first three rows, log ratio of risks"
NEWCOMBE = "as in Newcombe (1998), from memory"

SPRAYS: Final = {
    "A": [10, 7, 20, 14, 14, 12, 10, 23, 17, 20, 14, 13],
    "B": [11, 17, 21, 11, 16, 14, 17, 17, 19, 21, 7, 13],
    "C": [0, 1, 7, 2, 3, 1, 2, 1, 3, 0, 1, 4],
    "E": [3, 5, 3, 5, 3, 6, 1, 1, 3, 2, 6, 4],
}
MAIZE: Final = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48]
SLEPT: Final = (
    ["0.7", "-1.6", "-0.2", "-1.2", "-0.1", "3.4", "3.7", "0.8", "0", "2.0"],
    ["1.9", "0.8", "1.1", "0.1", "-0.1", "4.4", "5.5", "1.6", "4.6", "3.4"],
)
PLATES: Final = ([10, 23, 23, 26, 17], [39, 62, 81, 51, 39])
VACCINE: Final = (("-0.889311", "0.325585"), ("-1.585389", "0.194581"), ("-1.348073", "0.415368"))

# (had, of): (low, high)
SHARES: Final = {
    (81, 263): ("0.255289", "0.366210", NEWCOMBE),
    (15, 148): ("0.062386", "0.160487", NEWCOMBE),
    (0, 20): ("0", "0.161125", NEWCOMBE),
    (1, 29): ("0.006113", "0.171755", NEWCOMBE),
    (3, 5): ("0.230724", "0.882379", APART),
    (5, 5): ("0.565518", "1", APART),
    (0, 3): ("0", "0.561497", APART),
    (7, 8): ("0.529112", "0.977583", APART),
    (12, 20): ("0.386582", "0.781193", APART),
}
DIFFERENCES: Final = {
    (56, 70, 48, 80): ("0.052431", "0.333873"),
    (9, 10, 3, 10): ("0.170523", "0.809018"),
    (5, 5, 2, 6): ("0.098138", "0.903229"),
}
# first, second: difference, its standard error, degrees of freedom, low, high
WELCH: Final = {
    ("C", "A"): ("-12.416667", "1.476884", "14.739012", "-15.569433", "-9.263901"),
    ("A", "B"): ("-0.833333", "1.837461", "21.784431", "-4.646182", "2.979515"),
    ("C", "E"): ("-1.416667", "0.758371", "21.630910", "-2.990989", "0.157656"),
}
RATIO: Final = {"ratio": "0.143678", "variance": "0.083737", "df": "13.557139", "low": "0.077094", "high": "0.267770"}
T_975: Final = {
    "1": "12.706205",
    "2": "4.302653",
    "3": "3.182446",
    "4": "2.776445",
    "9": "2.262157",
    "11": "2.200985",
    "12": "2.178813",
    "13.557139": "2.151378",
    "14": "2.144787",
    "14.739012": "2.134741",
    "21.63091": "2.075927",
}
POOLED_THREE: Final = {
    "cochran_q": "0.932470",
    "tau2": "0",
    "estimate": "-1.330234",
    "se": "0.306885",
    "spread": "0.466235",
    "low": "-2.650654",
    "high": "-0.009815",
    "new_low": "-5.229578",
    "new_high": "2.569110",
}
# all thirteen, cases and not among the vaccinated, then among the others; from memory of the data set `dat.bcg`
VACCINES: Final = (
    (4, 119, 11, 128), (6, 300, 29, 274), (3, 228, 11, 209), (62, 13536, 248, 12619), (33, 5036, 47, 5761),
    (180, 1361, 372, 1079), (8, 2537, 10, 619), (505, 87886, 499, 87892), (29, 7470, 45, 7232), (17, 1699, 65, 1600),
    (186, 50448, 141, 27197), (5, 2493, 3, 2338), (27, 16886, 29, 17825),
)  # fmt: skip
ALL_VACCINES: Final = {"cochran_q": "152.233", "tau2": "0.3088", "estimate": "-0.7141", "se": "0.1787"}
VIECHTBAUER: Final = (
    "the worked example of the weights of DerSimonian and Laird on 13 vaccine trials (Viechtbauer 2010, from memory)"
)
POOLED_TWO: Final = {  # the first and the third
    "cochran_q": "0.284043",
    "tau2": "0",
    "estimate": "-1.090898",
    "se": "0.427222",
    "spread": "0.284043",
    "low": "-6.519264",
    "high": "4.337469",
}
