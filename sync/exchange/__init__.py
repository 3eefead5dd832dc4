"""The exchange: take in, then leave: one algorithm for every carrier.

Knows files and bundles, not what statements mean. One rule: everything valid is taken in before anything is left, and
everything that the carrier lacks is left, whatever anybody says that they hold.
"""

from sync.exchange.joining import find_joining, leave_joining, read_network
from sync.exchange.looking import look_at
from sync.exchange.preview import Lacks, carrier_lacks
from sync.exchange.report import Carrier, ExchangeReport, Progress
from sync.exchange.sealing import begin_log
from sync.exchange.visiting import exchange

__all__ = [
    "Carrier",
    "ExchangeReport",
    "Lacks",
    "Progress",
    "begin_log",
    "carrier_lacks",
    "exchange",
    "find_joining",
    "leave_joining",
    "look_at",
    "read_network",
]
