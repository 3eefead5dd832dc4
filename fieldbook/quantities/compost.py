"""A compost mix to a ratio of carbon to nitrogen, and to a moisture.

Its one rule: the ratio is that of the sums of carbon and nitrogen in dry matter; a mean of ratios, by weight or by
bucket, is wrong and is nowhere computed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.lines import Bounded, least_sum
from fieldbook.quantities.materials import TYPICAL

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
UNKNOWN_MOST: Final = 6
"""Masses that may be left open in one mix. Source: ours, so that the answer comes at once."""


@dataclass(frozen=True)
class Material:
    """One material of a heap.

    Attributes:
        name: for people.
        nitrogen_percent_dry: [% of dry matter].
        carbon_nitrogen_ratio: by weight.
        moisture_percent: [% of wet].
        wet_kg: [kg]; None for one that is to be found.
        most_kg: for one that is to be found, no more than there is of it [kg]; None where there is plenty.
    """

    name: str
    nitrogen_percent_dry: Decimal
    carbon_nitrogen_ratio: Decimal
    moisture_percent: Decimal
    wet_kg: Decimal | None
    most_kg: Decimal | None = None

    @property
    def nitrogen_share(self) -> Decimal:
        """Nitrogen in a kilogram as it lies there, in ten-thousandths."""
        return self.nitrogen_percent_dry * (100 - self.moisture_percent)

    @property
    def carbon_percent_dry(self) -> Decimal:
        """The carbon that nitrogen and ratio imply [% of dry]."""
        return self.nitrogen_percent_dry * self.carbon_nitrogen_ratio


@dataclass(frozen=True)
class Mix:
    """A mix that meets its goals: every mass known, and the water that is added to them [kg]."""

    materials: tuple[Material, ...]
    water_kg: Decimal


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
) -> Mix:
    """Find the masses that are not given, so that the mix meets its goals with the least that is added.

    Args:
        materials: in any order; those without a mass are to be found.
        goal_ratio: of carbon to nitrogen.
        goal_moisture_percent: [% of wet], for which water may be added too; None where only the ratio is a goal.

    Returns:
        All of them in their order, with every mass, and the water.

    Raises:
        QuantityError: too many masses are unknown, or no mass of these materials meets the goals.

    Source: cornell-compost. Valid: both goals are straight lines in the wet masses.
    """
    unknown = [each for each in materials if each.wet_kg is None]
    fixed = [each for each in materials if each.wet_kg is not None]
    if len(unknown) > UNKNOWN_MOST:
        raise QuantityError(
            f"{len(unknown)} masses are to be found, and {UNKNOWN_MOST} can be",
            hint="write the mass of what you have, and leave fewer open",
        )
    if not any(each.wet_kg for each in fixed):
        raise QuantityError("no material has a mass above zero", hint="give the mass of what you have")
    masses = _masses(unknown, fixed, goal_ratio, goal_moisture_percent)
    if masses is None:
        raise _cannot(unknown, fixed, goal_ratio, goal_moisture_percent)
    found = iter(masses)
    whole = tuple(replace(each, wet_kg=next(found)) if each.wet_kg is None else each for each in materials)
    return Mix(whole, next(found, Decimal(0)))


def _masses(
    unknown: Sequence[Material], fixed: Sequence[Material], goal_ratio: Decimal, goal_percent: Decimal | None
) -> list[Decimal] | None:
    """The masses in the order of the unknown, then the water where moisture is a goal; None where there are none."""
    open_masses = [Bounded(each.name, _line(each, goal_ratio, goal_percent), each.most_kg) for each in unknown]
    if goal_percent is not None:
        open_masses.append(Bounded("", (Decimal(0), 100 - goal_percent), None))
    lines = [_line(each, goal_ratio, goal_percent) for each in fixed]
    right = [
        -sum((_kg(each) * line[row] for each, line in zip(fixed, lines, strict=True)), Decimal(0))
        for row in range(1 if goal_percent is None else 2)
    ]
    return least_sum(open_masses, right)


def _line(material: Material, goal_ratio: Decimal, goal_percent: Decimal | None) -> tuple[Decimal, ...]:
    """How a kilogram pulls the mix above (positive) or below each goal."""
    pull = material.nitrogen_share * (material.carbon_nitrogen_ratio - goal_ratio)
    return (pull,) if goal_percent is None else (pull, material.moisture_percent - goal_percent)


def _cannot(
    unknown: Sequence[Material], fixed: Sequence[Material], goal_ratio: Decimal, goal_percent: Decimal | None
) -> QuantityError:
    plenty = [replace(each, most_kg=None) for each in unknown]
    if _masses(plenty, fixed, goal_ratio, goal_percent) is not None:
        short = ", ".join(each.name for each in unknown if each.most_kg is not None)
        return QuantityError(
            "no amount of these materials reaches the goal", hint=f"find more of {short}, or make less"
        )
    wanted = _helping(unknown, fixed, goal_ratio, goal_percent)
    ratios = sorted((each.carbon_nitrogen_ratio, each.name) for each in [*unknown, *fixed])
    (low, low_name), (high, high_name) = ratios[0], ratios[-1]
    if wanted == NOTHING:
        hint = "take other goals: no material of the table helps these to reach them"
    elif goal_ratio < low:
        hint = (
            f"add a material with a ratio below {goal_ratio}, such as {wanted}; the lowest here is {low_name} ({low})"
        )
    elif goal_ratio > high:
        hint = f"add a material with a ratio above {goal_ratio}, such as {wanted}; the highest is {high_name} ({high})"
    else:
        hint = f"add {wanted}, which with these reaches the goal"
    return QuantityError("no amount of these materials reaches the goal", hint=hint)


NOTHING: Final = "none of the table"


def _helping(
    unknown: Sequence[Material], fixed: Sequence[Material], goal_ratio: Decimal, goal_percent: Decimal | None
) -> str:
    """The materials of the table of which one alone, added to the open masses, meets the goals; two at most."""
    here = {each.name for each in [*unknown, *fixed]}
    found = []
    for name, typical in TYPICAL.items():
        figures = typical.nitrogen_percent_dry, typical.carbon_nitrogen_ratio, typical.moisture_percent
        one = Material(name, *figures, wet_kg=None)
        if name not in here and _masses([*unknown, one], fixed, goal_ratio, goal_percent) is not None:
            found.append(name)
    return " or ".join(found[:2]) or NOTHING


def _kg(material: Material) -> Decimal:
    if material.wet_kg is None:
        raise QuantityError(f"the mass of {material.name} is not known", hint="find the masses first")
    return material.wet_kg
