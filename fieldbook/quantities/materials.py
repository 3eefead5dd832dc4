"""What goes on a heap: typical nitrogen, ratio, moisture and weight of usual materials, as one table prints them.

Its one rule: the printed figures stand as they are, doubtful ones too; whoever has figures of their own uses those.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

KG_L_PER_LB_GALLON: Final = Decimal("0.11983")
"""From pounds in a US gallon to kilograms in a litre. Source: arithmetic (0.45359237 kg / 3.785411784 L)."""


@dataclass(frozen=True)
class Typical:
    """A material as the table prints it.

    Attributes:
        nitrogen_percent_dry: [% of dry matter].
        carbon_nitrogen_ratio: by weight.
        moisture_percent: [% of wet].
        bulk_lb_gallon: as printed [lb/gal]; loose where the table knows two.
    """

    nitrogen_percent_dry: Decimal
    carbon_nitrogen_ratio: Decimal
    moisture_percent: Decimal
    bulk_lb_gallon: Decimal

    @property
    def density_kg_l(self) -> Decimal:
        """Weight of a heaped bucket, by the litre [kg/L]; the table says gallons, taken for US ones."""
        return self.bulk_lb_gallon * KG_L_PER_LB_GALLON


_ROWS = (
    ("chicken manure", "8", "6", "69", "7.3"),
    ("garden waste", "3.2", "12", "65", "3"),
    ("poultry bedding", "2.7", "14", "37", "4.3"),
    ("table waste", "2.4", "15", "70", "3.5"),
    ("grass clippings", "4", "17", "82", "1.7"),
    ("cattle manure", "2.4", "19", "81", "7.2"),
    ("coffee grounds", "2", "20", "80", "7"),
    ("horse manure", "1.6", "30", "72", "6.8"),
    ("leaves", "0.9", "54", "38", "1"),
    ("leaf mould", "0.4", "60", "40", "3"),
    ("straw", "0.7", "80", "12", "1"),
    ("sawdust", "0.2", "440", "39", "2"),
    ("corrugated cardboard", "0.1", "560", "8", "0.5"),
    ("newspaper", "0.1", "650", "5", "0.25"),
)

TYPICAL: Final = MappingProxyType({name: Typical(*map(Decimal, figures)) for name, *figures in _ROWS})
"""Source: bertrand-table."""
