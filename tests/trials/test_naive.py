"""What people do who were never taught: each seeded mistake is refused with its reason, or shown as what it is."""

from __future__ import annotations

import copy
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.sentences import shipped_sentences
from fieldbook.trials import TrialError, read_trial
from tests.trials.kale import halves, kale
from tests.trials.test_judging import judged

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.practices.faults import Fault

Body = dict[str, Any]
SEEDS = range(12)


def honest(chance: Random) -> Body:
    """Give a sound comparison of a few sacks, some plants in each."""

    def sacks() -> list[list[int]]:
        return [[chance.randint(0, 40) for _ in range(chance.randint(1, 4))] for _ in range(chance.randint(3, 8))]

    return kale(sacks(), sacks())


def by_leaf(body: Body, chance: Random) -> str:
    """Write each leaf in a row of its own, and no sack."""
    body["units"] = [{"arm": row["arm"], "counted": one, "day": 7} for row in body["units"] for one in row["counted"]]
    return "counted leaf by leaf or plant by plant?"


def by_plant_of_the_same_sack(body: Body, chance: Random) -> str:
    row = chance.choice(body["units"])
    body["units"].append(copy.deepcopy(row))
    return f"sack {row['label']} has a row already"


def leaf_as_the_unit(body: Body, chance: Random) -> str:
    body["unit"] = chance.choice(["leaf", "plant", "fruit", "seeds"])
    return "those of one sack are no separate tries"


def nothing_beside_it(body: Body, chance: Random) -> str:
    body["arms"] = [arm for arm in body["arms"] if not arm["usual_way"]]
    body["units"] = [row for row in body["units"] if row["arm"] == 0]
    return "there is one way only, so nothing to compare it with"


def two_new_ways(body: Body, chance: Random) -> str:
    body["arms"][1]["usual_way"] = False
    return "neither way is the usual way"


def sprayed_counted_today_and_water_last_week(body: Body, chance: Random) -> str:
    for row in body["units"]:
        row["day"] = chance.randint(7, 9) if row["arm"] == 0 else chance.randint(1, 3)
    return "the two ways were counted on different days"


def only_the_good_ones(body: Body, chance: Random) -> str:
    """Leave out what was not counted, instead of saying that it was lost."""
    del chance.choice(body["units"])["counted"]
    return "is neither counted nor lost"


def all_in_one_pair(body: Body, chance: Random) -> str:
    pairs = halves([(1, 2), (2, 4), (3, 9)])["units"]
    body |= {"design": "paired-halves", "units": [row | {"pair": 1} for row in pairs]}
    return "pair 1 has 6 units"


def more_than_there_were(body: Body, chance: Random) -> str:
    for row in body["units"]:
        row["out_of"] = [count + 1 for count in row["counted"]]
    row = chance.choice(body["units"])
    row["out_of"] = [1] * len(row["counted"])
    row["counted"] = [2] * len(row["counted"])
    return "2 is more than the 1 that there were"


def a_slip_of_the_hand(body: Body, chance: Random) -> str:
    chance.choice(body["units"])["counted"] = [chance.choice([-4, 10**9])]
    return "is out of range"


def not_a_number(body: Body, chance: Random) -> str:
    chance.choice(body["units"])["counted"] = [chance.choice(["NaN", "many", "1O", float("nan"), float("inf")])]
    return "is not a number"


NAIVE: list[Callable[[Body, Random], str]] = [
    by_leaf, by_plant_of_the_same_sack, leaf_as_the_unit, nothing_beside_it, two_new_ways,
    sprayed_counted_today_and_water_last_week, only_the_good_ones, all_in_one_pair, more_than_there_were,
    a_slip_of_the_hand, not_a_number,
]  # fmt: skip


@pytest.mark.parametrize("mistake", NAIVE, ids=lambda mistake: mistake.__name__)
def test_a_naive_trial_is_refused_with_a_plain_reason_in_both_languages(mistake: Callable[[Body, Random], str]) -> None:
    catalogue = shipped_sentences()
    for seed in SEEDS:
        chance = Random(seed)
        body = honest(chance)
        read_trial(body)
        reason = mistake(body, chance)
        faults: tuple[Fault, ...] = ()
        try:
            read_trial(body)
        except TrialError as error:
            faults = error.faults
        assert [fault for fault in faults if reason in fault.message], f"seed {seed}: {faults}"
        assert all(catalogue.say(part, "sw") for fault in faults for part in (fault.message, fault.hint))


@pytest.mark.parametrize("seed", SEEDS)
def test_one_sack_of_many_plants_against_one_is_a_list_and_nothing_more(seed: int) -> None:
    chance = Random(seed)
    body = kale(*([[chance.randint(0, 40) for _ in range(20)]] for _ in range(2)))
    (group,) = judged(body).groups
    assert (group.shown, group.k, group.compared[0].lacks) == ("units", 0, "few")


def test_the_same_plants_written_as_sacks_would_look_surer_and_that_is_why_they_are_refused() -> None:
    """Crowder's plates: by seed the range is less than half as wide as by plate, wrongly (checked in tests.trials.checks)."""
    chance = Random(3)
    plants = [[20 * sack + chance.randint(0, 9) for _ in range(8)] for sack in range(6)]
    honest_one = judged(kale(plants[::2], plants[1::2])).groups[0].compared[0].interval
    naive = kale([n for sack in plants[::2] for n in sack], [n for sack in plants[1::2] for n in sack])
    wrong = judged(naive).groups[0].compared[0].interval  # as if each plant were a sack
    assert honest_one is not None
    assert wrong is not None
    assert (honest_one.high - honest_one.low) > 2 * (wrong.high - wrong.low)
