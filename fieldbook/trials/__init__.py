"""A comparison of a practice with the usual way: its record, what was counted, and what may be said of it.

Not the pages and not the statement that carries it. Its one rule: everything here is a pure function of values; nothing
is shown as surer than the counts allow, and a failure is told as loudly as a success.

How to use it: read each body with `read_trial`; put it with what its statement says into a `Tried`; give all those of
one entry to `judge_trials`; show every group by `lines_of`, all together by `lines_of_all`, and the level of
`evidence_level` by `level_line`. What a picture needs stands in `Group.pooled` and in each `Compared.interval`.
"""

from fieldbook.trials.comparing import Compared, Counted
from fieldbook.trials.evidence import evidence_level, level_line
from fieldbook.trials.judging import Group, Judged, SiteShown, Tried, judge_trials
from fieldbook.trials.line import Line
from fieldbook.trials.record import Arm, Trial, TrialError, UnitRow, read_trial
from fieldbook.trials.wording import lines_of, lines_of_all

__all__ = [
    "Arm",
    "Compared",
    "Counted",
    "Group",
    "Judged",
    "Line",
    "SiteShown",
    "Trial",
    "TrialError",
    "Tried",
    "UnitRow",
    "evidence_level",
    "judge_trials",
    "level_line",
    "lines_of",
    "lines_of_all",
    "read_trial",
]
