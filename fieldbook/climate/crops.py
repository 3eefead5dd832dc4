"""What crops need: the crop table, read and checked.

What it is: one value a crop, with the source of each group of its figures beside it. What it is not: advice; a figure
from memory is marked so and stays marked wherever it is shown.

Its one rule: a row without temperature limits, with limits out of order or with a harvest after no days is refused.
"""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, TypeVar, get_args

from fieldbook.climate.bounds import ClimateError

Life = Literal["season", "perennial"]
Frost = Literal["always", "young", "never"]
Contact = Literal["soil", "staked", "off soil", "not eaten"]
Mark = Literal["read", "stand-in", "mixed", "from memory", "none"]

_Word = TypeVar("_Word", bound=str)

GROUPS: Final = (
    *("names", "durations", "spacing", "temperature", "frost"),
    *("kc", "stage_days", "root_depth", "container", "eaten", "volume"),
)
_DEPTH: Final = "container_depth_min_cm"
_MARKS: Final[tuple[Mark, ...]] = get_args(Mark)


class CropsError(ClimateError):
    """A crop table that cannot be taken.

    Attributes:
        faults: All that is wrong with it, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        """Say all faults in one message."""
        super().__init__(f"the crop table cannot be taken: {'; '.join(faults)}", hint="mend the table named")
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a group of a crop's figures comes from.

    Attributes:
        mark: `read`, `stand-in` (read, but of another crop), `mixed`, `from memory` or `none`.
        words: The document and table, or what is known of them; empty if there is none.
    """

    mark: Mark
    words: str


@dataclass(frozen=True, slots=True)
class Days:
    """A number of days, from the quick end to the slow end."""

    least: int
    most: int


@dataclass(frozen=True, slots=True)
class Stages:
    """Lengths of the four stages of growth [days]."""

    initial: int
    development: int
    mid: int
    late: int

    @property
    def total(self) -> int:
        """Their sum [days]."""
        return self.initial + self.development + self.mid + self.late


@dataclass(frozen=True, slots=True)
class Kc:
    """Crop coefficients: water use as a share of that of a green cover [-]."""

    initial: float
    mid: float
    end: float


@dataclass(frozen=True, slots=True)
class Warmth:
    """Limits of the mean temperature [C]: bears and likes."""

    bears_min_c: float
    likes_min_c: float
    likes_max_c: float
    bears_max_c: float


@dataclass(frozen=True, slots=True)
class Room:
    """The room that a plant wants. The volumes are those of umd-containers.

    Attributes:
        in_row_cm: From plant to plant in the row [cm].
        between_rows_cm: From row to row [cm].
        depth_cm: Least depth of soil in a container [cm].
        volume_l: Least soil of a container [l]; None if no list that we read has the crop.
    """

    in_row_cm: int
    between_rows_cm: int
    depth_cm: int
    volume_l: int | None

    @property
    def plants_on_m2(self) -> float:
        """Plants on a square metre at this spacing [1/m2]."""
        return 10_000 / (self.in_row_cm * self.between_rows_cm)


@dataclass(frozen=True, slots=True)
class Crop:
    """One crop and what it needs.

    Attributes:
        crop_id: Its word in tables and entries.
        common_name: English and local names.
        scientific_name: Genus and species.
        family: For rotation.
        part_used: What is eaten or used.
        propagation: How it is started.
        life: `season`, or `perennial` if it stands over the years.
        frost: Light frost kills it `always`, only when `young`, or `never`.
        nursery: Days in the nursery before planting out; None if sown or set in place.
        first_harvest: Days from planting to the first harvest.
        counted_from: From which event those days run.
        harvest: Days from first to last harvest.
        eaten_after_days: From the same event to the earliest day that anything of it is eaten, leaf pickings and
            thinnings included; None if that is not known, or if nobody eats it [days].
        contact: Whether what is eaten touches the `soil`, does so unless it is `staked`, hangs `off soil`, or whether
            it is `not eaten`.
        room: Spacing, and the least container.
        warmth: Limits of mean temperature.
        rain_min_mm: Least rain of a year, None if not known [mm].
        kc: Crop coefficients.
        stages: Lengths of growth stages, None if not published.
        depletion_fraction: Share of the available water that its roots take without thirst at 5 mm/day, None if not
            published [-].
        origins: Source of each group of figures.
        note: What to watch; may be empty.
    """

    crop_id: str
    common_name: str
    scientific_name: str
    family: str
    part_used: str
    propagation: str
    life: Life
    frost: Frost
    nursery: Days | None
    first_harvest: Days
    counted_from: str
    harvest: Days
    eaten_after_days: int | None
    contact: Contact
    room: Room
    warmth: Warmth
    rain_min_mm: float | None
    kc: Kc
    stages: Stages | None
    depletion_fraction: float | None
    origins: Mapping[str, Origin]
    note: str


def read_crops(text: str) -> tuple[Crop, ...]:
    """Read the crop table, in its own order.

    Args:
        text: Comma-separated, a heading first.

    Raises:
        CropsError: A row is incomplete, out of order or stands twice; all faults at once.
    """
    crops: list[Crop] = []
    faults: list[str] = []
    for row in csv.DictReader(text.splitlines()):
        try:
            crops.append(_crop(row))
        except (KeyError, ValueError, TypeError, AttributeError) as error:
            faults.append(f"{row.get('crop_id') or 'a row'} has a cell that is missing or no number ({error})")
    faults += [fault for crop in crops for fault in _crop_faults(crop)]
    names = [crop.crop_id for crop in crops]
    faults += [f"{name} stands twice" for name in sorted({name for name in names if names.count(name) > 1})]
    if faults or not crops:
        raise CropsError(tuple(faults) or ("it has no row",))
    return tuple(crops)


def _crop(row: Mapping[str, str]) -> Crop:
    nursery = _days(row, "nursery_days")
    return Crop(
        crop_id=row["crop_id"],
        common_name=row["common_name"],
        scientific_name=row["scientific_name"],
        family=row["family"],
        part_used=row["part_used"],
        propagation=row["propagation"],
        life=_one_of(row["life"], get_args(Life)),
        frost=_one_of(row["frost"], get_args(Frost)),
        nursery=nursery if nursery.least > 0 else None,
        first_harvest=_days(row, "first_harvest_days"),
        counted_from=row["first_harvest_counted_from"],
        harvest=_days(row, "harvest_span_days"),
        eaten_after_days=_whole(row["first_eaten_days_min"]),
        contact=_one_of(row["edible_contact"], get_args(Contact)),
        room=_room(row),
        warmth=Warmth(*(float(row[f"t_{limit}_c"]) for limit in ("abs_min", "opt_min", "opt_max", "abs_max"))),
        rain_min_mm=float(row["rain_abs_min_mm"]) if row["rain_abs_min_mm"] else None,
        kc=Kc(*(float(row[f"kc_{stage}"]) for stage in ("ini", "mid", "end"))),
        stages=_stages(row),
        depletion_fraction=float(row["depletion_p"]) if row["depletion_p"] else None,
        origins={group: _origin(row[f"src_{group}"]) for group in GROUPS},
        note=row["note"],
    )


def _days(row: Mapping[str, str], name: str) -> Days:
    return Days(int(row[f"{name}_min"]), int(row[f"{name}_max"]))


def _whole(cell: str) -> int | None:
    return int(cell) if cell else None


def _room(row: Mapping[str, str]) -> Room:
    in_row, between, depth = (row[name] for name in ("spacing_in_row_cm", "spacing_between_rows_cm", _DEPTH))
    return Room(int(in_row), int(between), int(depth), _whole(row["container_volume_min_l"]))


def _stages(row: Mapping[str, str]) -> Stages | None:
    cells = [row[f"stage_{stage}_days"] for stage in ("initial", "development", "mid", "late")]
    return Stages(*(int(cell) for cell in cells)) if any(cells) else None


def _origin(cell: str) -> Origin:
    mark, _, words = cell.partition(":")
    return Origin(_one_of(mark.strip(), _MARKS), words.strip())


def _one_of(word: str, words: tuple[_Word, ...]) -> _Word:
    """Return the word as one of a closed list."""
    for known in words:
        if word == known:
            return known
    raise ValueError(f"{word!r} is none of {', '.join(words)}")


def _crop_faults(crop: Crop) -> Iterator[str]:
    warmth = crop.warmth
    limits = (warmth.bears_min_c, warmth.likes_min_c, warmth.likes_max_c, warmth.bears_max_c)
    if any(low > high for low, high in pairwise(limits)) or limits[0] == limits[-1]:
        yield f"{crop.crop_id}: the temperature limits {limits} are out of order"
    for name, days in (("first harvest", crop.first_harvest), ("harvest", crop.harvest)):
        if not 0 < days.least <= days.most:
            yield f"{crop.crop_id}: {name} of {days.least} to {days.most} days"
    if crop.eaten_after_days is not None and not 0 < crop.eaten_after_days <= crop.first_harvest.least:
        yield f"{crop.crop_id}: eaten after {crop.eaten_after_days} days, harvested after {crop.first_harvest.least}"
    room = crop.room
    if min(room.in_row_cm, room.between_rows_cm, room.depth_cm, 1 if room.volume_l is None else room.volume_l) < 1:
        yield f"{crop.crop_id}: spacing or container of nothing"
    if not 0 < min(crop.kc.initial, crop.kc.mid, crop.kc.end) <= 1.5:
        yield f"{crop.crop_id}: crop coefficients outside 0 to 1.5"
