"""One trial by itself: its units averaged, the two ways beside each other, and the range that its counts allow.

Not other sites (``judging``) and not words (``wording``). Its one rule: a unit is one try, however many plants or
leaves of it were counted; where the counts allow no range there is none, and the reason stands in its place.
"""

from __future__ import annotations

import statistics
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.trials.digits import in_34_digits, total
from fieldbook.trials.errors import CountsError
from fieldbook.trials.intervals import Interval, log_ratio, newcombe, paired, unit_mean, welch
from fieldbook.trials.shape import BEFORE_AFTER, BY_LOT, PAIRED

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fieldbook.trials.record import Arm, Trial, UnitRow

LEAST_UNITS: Final = 3
"""Units of each way, or pairs, below which only the counts are shown [n]. Source: ours."""
FEW, ALIKE, YES_NO_PAIRS = "few", "alike", "yes-no-pairs"


@dataclass(frozen=True)
class Counted:
    """One of the two ways, with what was counted.

    Attributes:
        arm: The way.
        units: Of each unit that was counted, its label and its average; a share where counts are out of something.
        before: The mean before anything was done, over the units that were counted then; None where none was.
        lost: How many of its units were lost, by reason.
    """

    arm: Arm
    units: tuple[tuple[str, Decimal], ...]
    before: Decimal | None
    lost: Mapping[str, int]

    @property
    def mean(self) -> Decimal | None:
        """The mean of its units; None where all were lost."""
        return _mean(_values(self))

    @property
    def interval(self) -> Interval | None:
        """The mean of its units with its range, for a picture; None where the counts allow none."""
        return _unless_alike(lambda: unit_mean(_values(self)))[0] if len(self.units) >= LEAST_UNITS else None


@dataclass(frozen=True)
class Compared:
    """What one trial says.

    Attributes:
        trial: The trial.
        tried: The way of the practice.
        usual: The usual way.
        pairs: Of each whole pair the practice less the usual way; empty side by side.
        interval: The difference, practice less usual, with its range; None where `lacks` says why.
        ratio: The practice as a multiple of the usual way; None for shares, pairs, and where a mean is nought.
        lacks: Why there is no range: `few`, `alike` or `yes-no-pairs`; empty where there is one.
        uneven_before: Whether the two ways differed before anything was done, as far as the counts can tell.
        day: Days from the start to the count: the middle one of all units [days].
    """

    trial: Trial
    tried: Counted
    usual: Counted
    pairs: tuple[Decimal, ...]
    interval: Interval | None
    ratio: Interval | None
    lacks: str
    uneven_before: bool
    day: int

    @property
    def all_by_lot(self) -> bool:
        """Whether lots said which unit gets which way."""
        return self.trial.chosen == BY_LOT

    @property
    def is_yes_no(self) -> bool:
        """Whether each unit either had it or had it not."""
        return _is_yes_no(self.trial)

    @property
    def knew(self) -> bool:
        """Whether whoever counted knew the way of a unit, or nobody said."""
        return any(row.knew_arm is not False for row in self.trial.rows if row.counted)


def is_comparable(trial: Trial) -> bool:
    """Whether a trial has two ways whose counts can stand beside each other."""
    return trial.design != BEFORE_AFTER and not trial.disagreements and any(row.counted for row in trial.rows)


@in_34_digits
def compare_units(trial: Trial) -> Compared:
    """Put the two ways of a trial beside each other.

    What was counted afterwards is compared; what was counted before is shown beside it, and said where it differs.

    Args:
        trial: one that `is_comparable`.

    Raises:
        CountsError: it is not.

    Source: arithmetic; the methods stand at `Interval.method`.
    """
    if not is_comparable(trial):
        raise CountsError("these counts are not of two ways", hint="show what was counted as it is")
    at = next(n for n, arm in enumerate(trial.arms) if not arm.usual_way)
    tried, usual = _counted(trial, at), _counted(trial, 1 - at)
    pairs = _pairs(trial, at) if trial.design == PAIRED else ()
    interval, lacks = _interval(trial, tried, usual, pairs)
    days = [row.day for row in trial.rows if row.counted and row.day is not None]
    return Compared(
        trial=trial,
        tried=tried,
        usual=usual,
        pairs=pairs,
        interval=interval,
        ratio=_ratio(trial, tried, usual) if interval is not None else None,
        lacks=lacks,
        uneven_before=_uneven_before(trial, at),
        day=statistics.median_low(days) if days else 0,
    )


def unit_average(row: UnitRow, counts: tuple[Decimal, ...]) -> Decimal:
    """The one number of a unit: the mean of its counts, or the share where they are out of something."""
    return total(counts) / (total(row.out_of) if row.out_of else len(counts))


def _counted(trial: Trial, arm: int) -> Counted:
    rows = [row for row in trial.rows if row.arm == arm]
    return Counted(
        arm=trial.arms[arm],
        units=tuple((row.label, unit_average(row, row.counted)) for row in rows if row.counted),
        before=_mean([unit_average(row, row.before) for row in rows if row.before and row.counted]),
        lost=Counter(row.lost for row in rows if row.lost),
    )


def _mean(values: Sequence[Decimal]) -> Decimal | None:
    return total(values) / len(values) if values else None


def _pairs(trial: Trial, tried: int) -> tuple[Decimal, ...]:
    halves = {(row.pair, row.arm): unit_average(row, row.counted) for row in trial.rows if row.counted}
    whole = sorted({pair for pair, _ in halves if pair is not None and {(pair, 0), (pair, 1)} <= halves.keys()})
    return tuple(halves[pair, tried] - halves[pair, 1 - tried] for pair in whole)


def _is_yes_no(trial: Trial) -> bool:
    return all(row.out_of == (Decimal(1),) for row in trial.rows if row.counted)


def _interval(trial: Trial, tried: Counted, usual: Counted, pairs: tuple[Decimal, ...]) -> tuple[Interval | None, str]:
    one, other = _values(tried), _values(usual)
    if trial.design == PAIRED:
        if len(pairs) < LEAST_UNITS:
            return None, FEW
        return (None, YES_NO_PAIRS) if _is_yes_no(trial) else _unless_alike(lambda: paired(pairs))
    if min(len(one), len(other)) < LEAST_UNITS:
        return None, FEW
    if _is_yes_no(trial):
        had, had_usual = total(one), total(other)
        return newcombe(had=had, of=Decimal(len(one)), had_usual=had_usual, of_usual=Decimal(len(other))), ""
    return _unless_alike(lambda: welch(one, other))


def _unless_alike(method: Callable[[], Interval]) -> tuple[Interval | None, str]:
    try:
        return method(), ""
    except CountsError:
        return None, ALIKE


def _values(counted: Counted) -> list[Decimal]:
    return [value for _, value in counted.units]


def _ratio(trial: Trial, tried: Counted, usual: Counted) -> Interval | None:
    if trial.design == PAIRED or any(row.out_of for row in trial.rows):
        return None
    return _unless_alike(lambda: log_ratio(_values(tried), _values(usual)))[0]


def _uneven_before(trial: Trial, tried: int) -> bool:
    """Whether the range of the difference before leaves nought out; fewer than three units cannot tell."""
    one, other = (
        [unit_average(row, row.before) for row in trial.rows if row.before and row.counted and row.arm == arm]
        for arm in (tried, 1 - tried)
    )
    if min(len(one), len(other)) < LEAST_UNITS:
        return False
    found, _ = _unless_alike(lambda: welch(one, other))
    return one[0] != other[0] if found is None else not found.low <= 0 <= found.high
