"""The one way into the store, for a stranger's bundle and for our own words alike.

Not a reader of carriers (that is `sync.exchange`). One rule: cap, parse, verify, then append whole or not at all;
what is in the store was checked once and is not checked again.
"""

from sync.intake.beating import beat, heard
from sync.intake.bundles import Intake, Refusal
from sync.intake.checking import Problem, check_store
from sync.intake.damage import Damage, DamagedFile, DamagedStatement, look_for_damage
from sync.intake.mending import Mended, mend_store, prepare_mended, take_mended
from sync.intake.writing import write

__all__ = [
    "Damage",
    "DamagedFile",
    "DamagedStatement",
    "Intake",
    "Mended",
    "Problem",
    "Refusal",
    "beat",
    "check_store",
    "heard",
    "look_for_damage",
    "mend_store",
    "prepare_mended",
    "take_mended",
    "write",
]
