r"""Keys, a network and statements that the tests of ``sync`` share.

Nothing random: a key's seed is SHA-256("tried ground test key\n" ‖ label), a salt the first 16 bytes of
SHA-256("tried ground test salt\n" ‖ number in decimal), so that frozen vectors can be made again.
"""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync.keys import SigningKey
from sync.network import Network, SiteName, Steward, found_network
from sync.statement import Statement, author_statement

if TYPE_CHECKING:
    from collections.abc import Callable

LOG = "00c0ffee00c0ffee"
TIME = "2026-11-25T10:02:00Z"


def key_of(label: str) -> SigningKey:
    """The key of a person or site of the tests, by label."""
    return SigningKey.from_seed(sha256(b"tried ground test key\n" + label.encode()).digest())


def salt_of(number: int) -> bytes:
    """A salt that is the same in every run."""
    return sha256(b"tried ground test salt\n" + str(number).encode()).digest()[:16]


def seeded(label: str) -> Callable[[int], bytes]:
    """A source of bytes that gives the same in every run."""
    counter = 0

    def give(length: int) -> bytes:
        nonlocal counter
        counter += 1
        return sha256(f"{label} {counter}".encode()).digest()[:length]

    return give


SITE = key_of("site C")
C1 = key_of("C1")
C3 = key_of("C3")


def network() -> Network:
    """One site, one steward."""
    return found_network(
        title="Orrendal Garden Circle",
        site=SiteName(SITE.public, "C", "Cloudstep Terrace"),
        stewards=[Steward(C1.public, "C1", SITE.public)],
        threshold=1,
        keys=[C1],
    )


NETWORK = network()


def say(number: int, *, key: SigningKey = C1, kind: str = "fieldbook/edition", **parts: Any) -> Statement:
    """A statement that differs from every other by its number."""
    body = parts.pop("body", {"title": {"en": f"Rows of onions, {number}"}, "weeks": number})
    return author_statement(key=key, network_id=NETWORK.id, kind=kind, body=body, salt=salt_of(number), **parts)
