"""A compost mix to a ratio of carbon to nitrogen, and to a moisture.

Its one rule: the ratio is that of the sums of carbon and nitrogen in dry matter; a mean of ratios, by weight or by
bucket, is wrong and is nowhere computed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.quantities.errors import QuantityError

if TYPE_CHECKING:
    from collections.abc import Sequence

WATER_GOAL_PERCENT: Final = Decimal(55)
MOISTURE_LEAST_PERCENT: Final = Decimal(40)
MOISTURE_MOST_PERCENT: Final = Decimal(65)
"""Acceptable moisture of a heap [% of wet]. Source: cooperband."""
RATIO_LEAST: Final = Decimal(25)
RATIO_MOST: Final = Decimal(40)
"""Ratio of carbon to nitrogen at the start that the rule for treated compost asks. Source: cfr205-c2."""
CARBON_DOUBTFUL_PERCENT: Final = Decimal(60)
"""More carbon than dry plant matter can hold [% of dry]: that row is rounded or off. Source: ours."""


@dataclass(frozen=True)
class Material:
    """One material of a heap.

    Attributes:
        name: for people.
        nitrogen_percent_dry: [% of dry matter].
        carbon_nitrogen_ratio: by weight.
        moisture_percent: [% of wet].
        wet_kg: [kg]; None for one that is to be found.
    """

    name: str
    nitrogen_percent_dry: Decimal
    carbon_nitrogen_ratio: Decimal
    moisture_percent: Decimal
    wet_kg: Decimal | None

    @property
    def nitrogen_share(self) -> Decimal:
        """Nitrogen in a kilogram as it lies there, in ten-thousandths."""
        return self.nitrogen_percent_dry * (100 - self.moisture_percent)

    @property
    def carbon_percent_dry(self) -> Decimal:
        """The carbon that nitrogen and ratio imply [% of dry]."""
        return self.nitrogen_percent_dry * self.carbon_nitrogen_ratio


def mix_ratio(materials: Sequence[Material]) -> Decimal:
    """The ratio of carbon to nitrogen of a mix whose masses are all known.

    Raises:
        QuantityError: there is no nitrogen in it.

    Source: cornell-compost. Valid: nitrogen in % of dry, moisture in % of wet.
    """
    nitrogen = sum((_kg(each) * each.nitrogen_share for each in materials), Decimal(0))
    if not nitrogen:
        raise QuantityError("there is no nitrogen in this mix", hint="add dung, kitchen scraps or green leaves")
    carbon = sum((_kg(each) * each.nitrogen_share * each.carbon_nitrogen_ratio for each in materials), Decimal(0))
    return carbon / nitrogen


def mix_moisture_percent(materials: Sequence[Material]) -> Decimal:
    """The moisture of a mix [% of wet].

    Raises:
        QuantityError: it weighs nothing.

    Source: cornell-compost. Valid: before water is added.
    """
    total = sum((_kg(each) for each in materials), Decimal(0))
    if not total:
        raise QuantityError("this mix weighs nothing", hint="give the wet mass of one material at least")
    return sum((_kg(each) * each.moisture_percent for each in materials), Decimal(0)) / total


def water_kg(*, wet_kg: Decimal, moisture_percent: Decimal, goal_percent: Decimal = WATER_GOAL_PERCENT) -> Decimal:
    """The water that brings a mix to a moisture; 0 where it is as wet or wetter [kg].

    Args:
        wet_kg: the mix [kg].
        moisture_percent: of it [% of wet].
        goal_percent: [% of wet], below 100.

    Source: cornell-compost, from its formula of moisture. Valid: plain water.
    """
    return max(Decimal(0), wet_kg * (goal_percent - moisture_percent) / (100 - goal_percent))


def solve_mix(
    materials: Sequence[Material], *, goal_ratio: Decimal, goal_moisture_percent: Decimal | None = None
) -> tuple[Material, ...]:
    """Find the masses that are not given, so that the mix meets its goals.

    Args:
        materials: in any order; one without a mass for the ratio alone, two for ratio and moisture.
        goal_ratio: of carbon to nitrogen.
        goal_moisture_percent: [% of wet]; None where only the ratio is a goal.

    Returns:
        All of them in their order, with every mass.

    Raises:
        QuantityError: too many or too few masses are unknown, or no mass of these materials meets the goals.

    Source: cornell-compost. Valid: both goals are straight lines in the wet masses.
    """
    unknown = [each for each in materials if each.wet_kg is None]
    wanted = 1 if goal_moisture_percent is None else 2
    if len(unknown) != wanted:
        raise QuantityError(
            f"{len(unknown)} materials have no mass, and {wanted} can be found",
            hint="leave wet_kg null for one material, or for two with a goal for moisture",
        )
    fixed = [each for each in materials if each.wet_kg is not None]
    if not any(each.wet_kg for each in fixed):
        raise QuantityError("no material has a mass above zero", hint="give the mass of what you have")
    if goal_moisture_percent is None:
        masses = [_one(unknown[0], fixed, goal_ratio)]
    else:
        masses = _two(unknown, fixed, goal_ratio, goal_moisture_percent)
    if any(mass < 0 for mass in masses):
        raise _cannot(materials, fixed, goal_ratio, goal_moisture_percent)
    found = iter(masses)
    return tuple(replace(each, wet_kg=next(found)) if each.wet_kg is None else each for each in materials)


def _pull(material: Material, goal_ratio: Decimal) -> Decimal:
    """How a kilogram pulls the mix above (positive) or below the ratio wanted."""
    return material.nitrogen_share * (material.carbon_nitrogen_ratio - goal_ratio)


def _one(unknown: Material, fixed: Sequence[Material], goal_ratio: Decimal) -> Decimal:
    pulled = sum((_kg(each) * _pull(each, goal_ratio) for each in fixed), Decimal(0))
    pull = _pull(unknown, goal_ratio)
    if not pull:
        if not pulled:
            return Decimal(0)  # the mix has the ratio already, and this one never changes it
        raise _cannot([*fixed, unknown], fixed, goal_ratio, None)
    return -pulled / pull


def _two(
    unknown: Sequence[Material], fixed: Sequence[Material], goal_ratio: Decimal, goal_percent: Decimal
) -> list[Decimal]:
    """Cramer's rule for the two lines."""
    (a, b), (c, d) = (
        [_pull(each, goal_ratio) for each in unknown],
        [each.moisture_percent - goal_percent for each in unknown],
    )
    right = (
        -sum((_kg(each) * _pull(each, goal_ratio) for each in fixed), Decimal(0)),
        -sum((_kg(each) * (each.moisture_percent - goal_percent) for each in fixed), Decimal(0)),
    )
    determinant = a * d - b * c
    if not determinant:
        raise _cannot([*fixed, *unknown], fixed, goal_ratio, goal_percent)
    return [(right[0] * d - b * right[1]) / determinant, (a * right[1] - right[0] * c) / determinant]


def _cannot(
    materials: Sequence[Material], fixed: Sequence[Material], goal_ratio: Decimal, goal_percent: Decimal | None
) -> QuantityError:
    ratios = sorted((each.carbon_nitrogen_ratio, each.name) for each in materials)
    (low, low_name), (high, high_name) = ratios[0], ratios[-1]
    if goal_ratio < low:
        hint = f"add a material with a ratio below {goal_ratio}, such as dung; the lowest here is {low_name} ({low})"
    elif goal_ratio > high:
        hint = f"add a material with a ratio above {goal_ratio}, such as straw; the highest is {high_name} ({high})"
    elif goal_percent is None:
        side = "above" if mix_ratio(fixed) < goal_ratio else "below"
        hint = f"choose for the one to be found a material with a ratio {side} {goal_ratio}"
    else:
        hint = f"change one material: only a negative mass would meet both {goal_ratio} and {goal_percent} % moisture"
    return QuantityError("no amount of these materials reaches the goal", hint=hint)


def _kg(material: Material) -> Decimal:
    if material.wet_kg is None:
        raise QuantityError(f"the mass of {material.name} is not known", hint="find the masses first")
    return material.wet_kg
