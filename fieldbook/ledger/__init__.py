"""The ledger: the one room that speaks to ``sync``.

It names the kinds of statements that gardens need, and turns what ``sync`` holds into plain values for the rooms above.
It decides nothing about authority (``sync`` does) and nothing about practices (``review`` does). Its one rule: no name
of ``sync`` is known above it.
"""

from fieldbook.ledger.book import Ledger
from fieldbook.ledger.keys import Key, key_from_file, lock_key, make_key, secret_of, unlock_key
from fieldbook.ledger.kinds import KINDS
from fieldbook.ledger.looking import looking_at
from fieldbook.ledger.sealing import (
    begin_log_anew,
    copy_database,
    invent_phrase,
    look_for_damage,
    prepare_mended,
    read_phrase,
    sealing,
    take_mended,
    unsealing,
)
from fieldbook.ledger.speaking import check_eight_words, check_word, heard_words, spoken
from fieldbook.ledger.values import (
    DamagedLedgerError,
    ExchangeReport,
    Heard,
    Join,
    Known,
    Lacks,
    LedgerError,
    Motion,
    Outcome,
    Place,
    Reach,
    Refused,
    RivalList,
    Said,
    Stop,
)
from sync import Damage, DamagedFile, DamagedStatement, Mended

__all__ = [
    "KINDS",
    "Damage",
    "DamagedFile",
    "DamagedLedgerError",
    "DamagedStatement",
    "ExchangeReport",
    "Heard",
    "Join",
    "Key",
    "Known",
    "Lacks",
    "Ledger",
    "LedgerError",
    "Mended",
    "Motion",
    "Outcome",
    "Place",
    "Reach",
    "Refused",
    "RivalList",
    "Said",
    "Stop",
    "begin_log_anew",
    "check_eight_words",
    "check_word",
    "copy_database",
    "heard_words",
    "invent_phrase",
    "key_from_file",
    "lock_key",
    "look_for_damage",
    "looking_at",
    "make_key",
    "prepare_mended",
    "read_phrase",
    "sealing",
    "secret_of",
    "spoken",
    "take_mended",
    "unlock_key",
    "unsealing",
]
