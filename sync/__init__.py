"""Statements, bundles and keys: how sites that never meet come to hold the same.

Knows no gardens and never imports ``fieldbook``. This is the front door: the only names that others may use.
One rule: foreign bytes are capped, parsed, verified and judged before anything is believed, and nothing that
was acknowledged is ever lost.
"""

from sync.attachments import Attachments, attachment_id
from sync.canonical import canonical_bytes, parse_canonical
from sync.carrier import CarrierError, FolderCarrier
from sync.charter import (
    Charter,
    Heard,
    Heartbeat,
    Judgement,
    Supposed,
    Tally,
    Verdict,
    Version,
    last_statements,
    suppose,
    words_kept,
)
from sync.errors import DamagedError, LocalError, RemoteError, SyncError, UnknownVersionError
from sync.exchange import (
    ExchangeReport,
    Lacks,
    begin_log,
    carrier_lacks,
    exchange,
    find_joining,
    leave_joining,
    look_at,
    read_network,
)
from sync.intake import (
    Damage,
    DamagedFile,
    DamagedStatement,
    Mended,
    Problem,
    Refusal,
    beat,
    check_store,
    heard,
    look_for_damage,
    mend_store,
    prepare_mended,
    take_mended,
    write,
)
from sync.keys import SigningKey, fingerprint_words, is_fingerprint_of, lock_key, self_test, unlock_key, verify
from sync.network import (
    Joining,
    Network,
    SiteName,
    Steward,
    ask_to_join,
    found_network,
    parse_joining,
    parse_network,
)
from sync.phrase import PHRASE_WORDS, invent_phrase, read_phrase
from sync.receipt import Receipt
from sync.sealed import SealedReader, SealedWriter
from sync.spoken import check_word, spoken
from sync.spoken import heard as heard_words
from sync.statement import KindRule, Lane, Signer, Statement, author_statement
from sync.store import Place, Reach, Store, copy_database, disagreeing, places, reaches

__all__ = [
    "PHRASE_WORDS",
    "Attachments",
    "CarrierError",
    "Charter",
    "Damage",
    "DamagedError",
    "DamagedFile",
    "DamagedStatement",
    "ExchangeReport",
    "FolderCarrier",
    "Heard",
    "Heartbeat",
    "Joining",
    "Judgement",
    "KindRule",
    "Lacks",
    "Lane",
    "LocalError",
    "Mended",
    "Network",
    "Place",
    "Problem",
    "Reach",
    "Receipt",
    "Refusal",
    "RemoteError",
    "SealedReader",
    "SealedWriter",
    "Signer",
    "SigningKey",
    "SiteName",
    "Statement",
    "Steward",
    "Store",
    "Supposed",
    "SyncError",
    "Tally",
    "UnknownVersionError",
    "Verdict",
    "Version",
    "ask_to_join",
    "attachment_id",
    "author_statement",
    "beat",
    "begin_log",
    "canonical_bytes",
    "carrier_lacks",
    "check_store",
    "check_word",
    "copy_database",
    "disagreeing",
    "exchange",
    "find_joining",
    "fingerprint_words",
    "found_network",
    "heard",
    "heard_words",
    "invent_phrase",
    "is_fingerprint_of",
    "last_statements",
    "leave_joining",
    "lock_key",
    "look_at",
    "look_for_damage",
    "mend_store",
    "parse_canonical",
    "parse_joining",
    "parse_network",
    "places",
    "prepare_mended",
    "reaches",
    "read_network",
    "read_phrase",
    "self_test",
    "spoken",
    "suppose",
    "take_mended",
    "unlock_key",
    "verify",
    "words_kept",
    "write",
]
