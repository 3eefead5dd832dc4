"""A household's water: what is left for plants, and how much ground it keeps moist.

What it is: litres a day after what people themselves need, held against the thirst of a month or a crop. What it is
not: a right to take water from a tap stand; who shares it out decides.

Its one rule: people come first; where nothing is left, plants get only water that was used before.
"""

from dataclasses import dataclass
from typing import Final

from fieldbook.climate.bounds import require

DOMESTIC_L_PERSON_DAY: Final = 15.0


@dataclass(frozen=True, slots=True)
class Household:
    """A household and its water.

    Attributes:
        persons: How many live on it.
        water_l_day: All the water that it has [l/day].
    """

    persons: int
    water_l_day: float

    def __post_init__(self) -> None:
        """Refuse what is no household."""
        require(self.persons, name="the number of persons", low=1, high=200, unit="", hint="count everyone who drinks")
        require(self.water_l_day, name="the household's water", low=0, high=20_000, unit="L a day")

    @property
    def domestic_l_day(self) -> float:
        """What the persons need for drinking, cooking and washing [l/day].

        Source: sphere-15.
        Valid: the older indicator of 15 litres a person.
        """
        return DOMESTIC_L_PERSON_DAY * self.persons

    @property
    def garden_l_day(self) -> float:
        """What is left for plants; below nought where the persons themselves lack water [l/day]."""
        return self.water_l_day - self.domestic_l_day


def covered_m2(*, garden_l_day: float, need_l_m2_day: float) -> float | None:
    """Return how much ground a day's water covers, nothing lost on the way.

    Args:
        garden_l_day: Water for plants [l/day]; nought or less covers nothing.
        need_l_m2_day: What a square metre needs [l/m2/day].

    Returns:
        The ground [m2]; None where it needs no water, so that any ground is covered.

    Source: ours; one millimetre is one litre on a square metre.
    Valid: needs from 0 to 50 l/m2/day.
    """
    require(need_l_m2_day, name="the need of a square metre", low=0, high=50, unit="l/m2/day")
    if need_l_m2_day == 0:
        return None
    return max(0.0, garden_l_day) / need_l_m2_day
