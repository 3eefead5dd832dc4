"""Where a site lies, as far as its climate needs it.

What it is: latitude, elevation and setting, checked. What it is not: an address; longitude is not needed and not asked.

Its one rule: a place outside the range of the methods is refused, never moved to the border.
"""

from dataclasses import dataclass
from typing import Final, Literal, get_args

from fieldbook.climate.bounds import ClimateError, require

Setting = Literal["interior", "coast", "island"]

SETTINGS: Final[tuple[Setting, ...]] = get_args(Setting)
LATITUDE_LIMIT_DEG: Final = 66.0  # beyond it there are days of the year without sunrise or without sunset
LOWEST_M: Final = -430.0  # the lowest dry land
HIGHEST_M: Final = 5500.0  # above the highest gardens


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A site's place.

    Attributes:
        latitude_deg: Degrees and decimals, south negative [deg]; from -66 to 66, since the methods need a sunrise and
            a sunset on every day used. 13 degrees 44 minutes is 13.733, not 13.44.
        elevation_m: Height above the sea [m]; from -430 to 5500.
        setting: `interior`, `coast` or `island`; used only where sunshine was not measured.
    """

    latitude_deg: float
    elevation_m: float
    setting: Setting = "interior"

    def __post_init__(self) -> None:
        """Refuse what the methods cannot take."""
        require(
            self.latitude_deg,
            name="the latitude",
            low=-LATITUDE_LIMIT_DEG,
            high=LATITUDE_LIMIT_DEG,
            unit="degrees",
            hint="give degrees and decimals, south negative; nearer the poles the sun does not rise or set every day",
        )
        require(
            self.elevation_m,
            name="the elevation",
            low=LOWEST_M,
            high=HIGHEST_M,
            unit="m",
            hint="give metres above the sea, not feet",
        )
        if self.setting not in SETTINGS:
            raise ClimateError(f"the setting {self.setting!r} is not known", hint=f"say one of: {', '.join(SETTINGS)}")
