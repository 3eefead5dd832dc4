"""Trap d: a small comparison at three sites, each in its own language, exchanged by sticks and put together at each.

Kale aphids in sacks, chilli and garlic water beside water only: 8 and 8 at C, 6 and 6 at L, 5 and 5 at S, counted on
plants before and 7 days after. The figures are held against numpy and scipy, by the published methods: Welch (1947),
DerSimonian and Laird (1986), Knapp and Hartung in the modified form of Roever, Knapp and Friede (2015).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from scipy import stats

from tests.orrendal import practice
from tests.trials.kale import THREE_SITES
from tests.trying import plan
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.trials.judging import Group
    from tests.orrendal import Circle

SAID = {  # what a trainer of each site types, in a language of the site
    "C": {"language": "fr", "thing": "puceron", "crop": "chou frisé", "way": "pulvérisé", "usual": "eau seule"},
    "L": {"language": "es", "thing": "pulgón", "crop": "col rizada", "way": "rociados", "usual": "solo agua"},
    "S": {"language": "sw", "thing": "aphids", "crop": "sukuma wiki", "way": "dawa", "usual": "maji tu"},
}
COUNTS = dict(zip("CLS", THREE_SITES, strict=True))


def tried_at(circle: Circle, letter: str, edition: str) -> str:
    """A trainer begins it, counts sack by sack before and on day 7, and signs it."""
    trials, signer = circle[letter].trials, circle.signer(f"{letter}1")
    sprayed, water, before = COUNTS[letter]
    typed = plan(each=len(sprayed), per_unit="3", **SAID[letter])
    number = trials.begin(edition, typed, signer=signer).number
    sacks, left = trials.paper(number).body["units"], {0: list(sprayed), 1: list(water)}
    for row, earlier in enumerate(before):
        trials.count(number, row, {"before": [earlier]})
    for row, sack in enumerate(sacks):
        trials.count(number, row, {"before": [before[row]], "counted": left[sack["arm"]].pop(0), "day": "7"})
    return trials.finish(number, {"outcome": "worked", "weather": "usual"}, signer=signer)


def sacks_of(arm: Sequence[Sequence[float]]) -> np.ndarray[Any, Any]:
    """Plants are averaged to their sack first."""
    return np.array([np.mean(sack) for sack in arm])


def together_by_scipy(letters: str) -> tuple[float, float, float]:
    """Mean and 95 % range over sites, by numpy and scipy alone."""
    effects, variances = [], []
    for letter in letters:
        one, other = (sacks_of(arm) for arm in COUNTS[letter][:2])
        effects.append(one.mean() - other.mean())
        variances.append(one.var(ddof=1) / len(one) + other.var(ddof=1) / len(other))
    y, v = np.array(effects), np.array(variances)
    fixed, k = 1 / v, len(y)
    q = float(np.sum(fixed * (y - np.average(y, weights=fixed)) ** 2))
    weights = 1 / (v + max(0.0, (q - (k - 1)) / (fixed.sum() - np.sum(fixed**2) / fixed.sum())))
    mean = float(np.average(y, weights=weights))
    spread = float(np.sum(weights * (y - mean) ** 2) / (k - 1))
    half = float(stats.t.ppf(0.975, k - 1)) * float(np.sqrt(max(1.0, spread) / weights.sum()))
    return mean, mean - half, mean + half


def only_group(circle: Circle, letter: str, entry: str) -> Group:
    (group,) = circle[letter].trials.judged(entry).groups
    return group


def test_three_sites_compare_and_each_shows_one_figure_as_a_hint_with_its_method(circle: Circle) -> None:
    entry = circle.write("C1", practice("Chilli and garlic water"))
    circle.approve("C3", entry)
    circle.carry("CTLSCTLS")
    for letter in "CL":
        tried_at(circle, letter, entry)
    circle.carry("CLSCLS")
    for letter in "CLS":
        group = only_group(circle, letter, entry)
        assert (group.shown, group.k, group.pooled) == ("two-sites", 2, None)
        visitor = visitor_of(circle, letter)
        visitor.get(f"/entry/{entry}")
        assert "two sites: each is shown by itself" in visitor.words().lower()
        assert "Together" not in visitor.words()
    tried_at(circle, "S", entry)
    circle.carry("SCLSCL")
    mean, low, high = together_by_scipy("CLS")
    for letter in "CLS":
        group = only_group(circle, letter, entry)
        assert (group.shown, group.k) == ("few-sites", 3)
        assert group.pooled is not None
        found = [float(value) for value in (group.pooled.estimate, group.pooled.low, group.pooled.high)]
        assert found == pytest.approx([mean, low, high], abs=1e-5)
        words = page_of(circle, letter, entry)
        assert "Few sites: a hint, not a proof." in words
        assert "range of Knapp and Hartung in its modified form" in words
        assert "had about 15 fewer" in words
        assert "likely between 30 fewer and 1 more" in words
        assert "8 and 8" in words
        assert "6 and 6" in words
        assert "5 and 5" in words
        assert "At L," not in words
        every = whole_of(circle, letter, entry)
        assert all(f"At {site}, “{SAID[site]['way']}” sacks had about" in every for site in "CLS")
        assert "p-value" not in words + every
    assert (round(mean), int(np.floor(low)), int(np.ceil(high))) == (-15, -30, 1), "what the words above say"
    assert len(circle.states()) == 1


def page_of(circle: Circle, letter: str, entry: str) -> str:
    visitor = visitor_of(circle, letter)
    visitor.get(f"/entry/{entry}")
    assert visitor.page.count("<svg") == 1
    assert len(visitor.page.encode()) < 30_000
    return visitor.words()


def whole_of(circle: Circle, letter: str, entry: str) -> str:
    visitor = visitor_of(circle, letter)
    visitor.get(f"/entry/{entry}/compared")
    return visitor.words()


def test_each_site_by_itself_is_what_scipy_says_of_its_sacks(circle: Circle) -> None:
    entry = circle.write("C1", practice("Chilli and garlic water"))
    tried_at(circle, "C", entry)
    ((_, compared),) = only_group(circle, "C", entry).sites[0].trials
    sprayed, water, _ = COUNTS["C"]
    told = stats.ttest_ind(sacks_of(sprayed), sacks_of(water), equal_var=False).confidence_interval(0.95)
    assert compared.interval is not None
    assert [float(compared.interval.low), float(compared.interval.high)] == pytest.approx(
        [told.low, told.high], abs=2e-6
    )


def test_evidence_is_four_only_where_three_sites_are_better_and_no_harm_is_open(circle: Circle) -> None:
    entry = circle.write("C1", practice("Chilli and garlic water"))
    circle.approve("C3", entry)
    circle.carry("CLSCLS")
    assert circle["C"].trials.level(entry) == 0
    for letter in "CLS":
        trials = circle[letter].trials
        number = trials.begin(entry, plan(each="4", per_unit="1", **SAID[letter]), signer=None).number
        for row, sack in enumerate(trials.paper(number).body["units"]):
            count = [[1, 2, 3, 2], [30, 31, 29, 32]][sack["arm"]][row % 4]
            trials.count(number, row, {"counted": [count], "day": "7"})
        trials.finish(number, {"outcome": "worked"}, signer=circle.signer(f"{letter}1"))
    circle.carry("CLSCLS")
    assert {circle[letter].trials.level(entry) for letter in "CLS"} == {4}
    circle["S"].complaints.tell(entry, says="hurt")
    assert circle["S"].trials.level(entry) == 3
