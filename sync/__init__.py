"""Statements, bundles and keys: how sites that never meet come to hold the same.

Knows no gardens and never imports ``fieldbook``. This is the front door: the only names that others may use.
One rule: foreign bytes are capped, parsed, verified and judged before anything is believed, and nothing that
was acknowledged is ever lost.
"""

from sync.attachments import Attachments, attachment_id
from sync.canonical import canonical_bytes, parse_canonical
from sync.carrier import CarrierError, FolderCarrier
from sync.charter import Charter, Judgement, Verdict, last_statements
from sync.errors import LocalError, RemoteError, SyncError, UnknownVersionError
from sync.exchange import ExchangeReport, exchange, leave_joining, read_network
from sync.intake import Problem, Refusal, check_store, write
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
from sync.receipt import Receipt
from sync.statement import KindRule, Lane, Signer, Statement, author_statement
from sync.store import Store

__all__ = [
    "Attachments",
    "CarrierError",
    "Charter",
    "ExchangeReport",
    "FolderCarrier",
    "Joining",
    "Judgement",
    "KindRule",
    "Lane",
    "LocalError",
    "Network",
    "Problem",
    "Receipt",
    "Refusal",
    "RemoteError",
    "Signer",
    "SigningKey",
    "SiteName",
    "Statement",
    "Steward",
    "Store",
    "SyncError",
    "UnknownVersionError",
    "Verdict",
    "ask_to_join",
    "attachment_id",
    "author_statement",
    "canonical_bytes",
    "check_store",
    "exchange",
    "fingerprint_words",
    "found_network",
    "is_fingerprint_of",
    "last_statements",
    "leave_joining",
    "lock_key",
    "parse_canonical",
    "parse_joining",
    "parse_network",
    "read_network",
    "self_test",
    "unlock_key",
    "verify",
    "write",
]
