"""A comparison of a practice with the usual way: its record, what was counted, and what may be said of it.

Not the pages and not the statement that carries it. Its one rule: everything here is a pure function of values; nothing
is shown as surer than the counts allow, and a failure is told as loudly as a success.
"""

from fieldbook.trials.record import Arm, Trial, TrialError, UnitRow, read_trial

__all__ = ["Arm", "Trial", "TrialError", "UnitRow", "read_trial"]
