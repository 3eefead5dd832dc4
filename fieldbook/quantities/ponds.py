"""Fish, birds and a bed that live on one another: what a body of water carries, honestly, at any size.

Its one rule: it computes by water surface from published pond figures and says what is too small to feed anybody; a
claim without data is not repeated.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

BIRDS_PER_M2: Final = Decimal("0.5")
"""Birds over a square metre of pond. Source: pond-poultry."""
FISH_KG_M2: Final = Decimal(1)
"""Standing crop of a pond without water exchange [kg/m²]. Source: tp362."""
DRY_DUNG_G_M2_DAY: Final = Decimal(10)
"""Most dry dung a pond bears [g/m²/day]. Source: ac155e."""
DRY_DUNG_G_BIRD_DAY: Final = Decimal(20)
"""Dry dung of a bird over a pond [g/day]. Source: pond-poultry."""
AMMONIA_HARMS_MG_L: Final = Decimal("0.05")
AMMONIA_KILLS_MG_L: Final = Decimal(2)
"""Un-ionised ammonia [mg/L]. Source: fa16."""
EGGS_HEN_WEEK: Final = Decimal("1.2"), Decimal(5)
"""Eggs of a hen in a small yard in a week; heat, moult and local breeds give fewer. Source: hen-eggs."""
CHANGE_AT_ONCE_MOST_PERCENT: Final = Decimal(50)
"""More of the water than so much is changed in several goes [%]. Source: common practice."""
FOOD_FISH_LITRES_LEAST: Final = Decimal(1000)
"""Below this a tank is for holding or showing fish, not for food. Source: ours, after tp362."""
LEAFY_PLANTS_M2: Final = Decimal(20), Decimal(25)
FRUITING_PLANTS_M2: Final = Decimal(4), Decimal(8)
"""Plants on a square metre of such a bed. Source: fao-tp589."""
_FEED_LEAST, _FEED_MOST = Decimal("0.01"), Decimal("0.02")  # of body weight a day, fao-tp589
_LEAFY = Decimal(40), Decimal(50)  # g of feed for each square metre a day, fao-tp589
_FRUITING = Decimal(50), Decimal(80)


@dataclass(frozen=True)
class Range:
    """From least to most, in the unit that the name beside it says."""

    least: Decimal
    most: Decimal


def ammonia_fraction(*, water_temperature_c: Decimal, ph: Decimal) -> Decimal:
    """The share of ammonia that is un-ionised and harms fish.

    Args:
        water_temperature_c: [°C], 0 to 40.
        ph: 5 to 11.

    Returns:
        [ratio, 0 to 1].

    Source: emerson1975. Valid: fresh water.
    """
    exponent = Decimal("0.09018") + Decimal("2729.92") / (Decimal("273.15") + water_temperature_c) - ph
    return 1 / (1 + Decimal(10) ** exponent)


def birds_supported(*, surface_m2: Decimal) -> Decimal:
    """How many birds a pond's surface bears.

    Args:
        surface_m2: of the water [m²].

    Source: pond-poultry; ac155e gives the same by dry dung. Valid: earth ponds with fish that feed on what grows there.
    """
    return min(surface_m2 * BIRDS_PER_M2, surface_m2 * DRY_DUNG_G_M2_DAY / DRY_DUNG_G_BIRD_DAY)


def fish_kg_supported(*, surface_m2: Decimal) -> Decimal:
    """How much fish still water bears [kg].

    Args:
        surface_m2: of the water [m²].

    Source: tp362. Valid: no filter, no air, no exchange of water.
    """
    return surface_m2 * FISH_KG_M2


def feed_g_day(*, fish_kg: Decimal) -> Range:
    """Feed for growing fish [g/day].

    Args:
        fish_kg: all fish together [kg].

    Source: fao-tp589. Valid: grown beyond fingerlings.
    """
    return Range(fish_kg * 1000 * _FEED_LEAST, fish_kg * 1000 * _FEED_MOST)


def bed_m2(feed: Range, *, fruiting: bool) -> Range:
    """The bed that takes up what the fish leave [m²], from the least feed on the hungriest plants to the most.

    Args:
        feed: [g/day].
        fruiting: tomatoes and such; otherwise leaves.

    Source: fao-tp589. Valid: feed of about 32 % protein.
    """
    low, high = _FRUITING if fruiting else _LEAFY
    return Range(feed.least / high, feed.most / low)


def plants_on(bed: Range, *, fruiting: bool) -> Range:
    """How many plants such a bed carries.

    Args:
        bed: [m²].
        fruiting: tomatoes and such; otherwise leaves.

    Source: fao-tp589. Valid: beds fed by fish water alone.
    """
    low, high = FRUITING_PLANTS_M2 if fruiting else LEAFY_PLANTS_M2
    return Range(bed.least * low, bed.most * high)


def dung_borne_g_day(*, surface_m2: Decimal) -> Decimal:
    """The most dry dung that a pond bears [g/day].

    Args:
        surface_m2: of the water [m²].

    Source: ac155e. Valid: earth ponds.
    """
    return surface_m2 * DRY_DUNG_G_M2_DAY


def dung_of_birds_g_day(*, birds: int) -> Decimal:
    """The dry dung that birds drop [g/day].

    Args:
        birds: how many.

    Source: pond-poultry. Valid: about; hens of usual weight.
    """
    return birds * DRY_DUNG_G_BIRD_DAY


def eggs_week(*, birds: int) -> Range:
    """The eggs that hens give in a week, from few to many.

    Args:
        birds: how many hens.

    Source: hen-eggs. Valid: hens in lay; a guess to plan by, not a promise.
    """
    return Range(birds * EGGS_HEN_WEEK[0], birds * EGGS_HEN_WEEK[1])


def water_change_percent(*, unionised_mg_l: Decimal) -> Decimal:
    """The share of the water whose change thins ammonia down to where harm begins [%]; 0 where it is below that.

    Args:
        unionised_mg_l: un-ionised ammonia in the water [mg/L], 0 or more.

    Source: arithmetic; fa16. Valid: fresh water without ammonia, of the same warmth and pH.
    """
    if unionised_mg_l <= AMMONIA_HARMS_MG_L:
        return Decimal(0)
    return 100 * (1 - AMMONIA_HARMS_MG_L / unionised_mg_l)
