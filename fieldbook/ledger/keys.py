"""Keys of people and sites, as the rooms above hold them: opaque, made here, locked here.

Its one rule: an error of ``sync`` leaves as an error of this package, with the same words.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import sync
from fieldbook.ledger.plainly import plainly
from fieldbook.ledger.values import LedgerError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Key = sync.SigningKey


def make_key(random: Callable[[int], bytes]) -> Key:
    """A new key from 32 random bytes."""
    return Key.from_seed(random(32))


def key_from_file(path: Path) -> Key:
    """The site's key from its file.

    Raises:
        LedgerError: the file is missing or holds no key.
    """
    try:
        return Key.from_seed(bytes.fromhex(path.read_text(encoding="ascii").strip()))
    except (OSError, ValueError, sync.SyncError) as error:
        raise LedgerError(f"the site's key {path} cannot be read", hint="bring it back from a backup") from error


def secret_of(key: Key, purpose: str) -> bytes:
    """A secret of 32 bytes for one purpose at this site, which nobody without the key can know."""
    return hashlib.sha256(b"fieldbook secret 1\n" + purpose.encode() + b"\n" + key.seed).digest()


def lock_key(key: Key, passphrase: str, *, random: Callable[[int], bytes]) -> str:
    """A key under a passphrase, as text for the notebook."""
    return sync.lock_key(key, passphrase, random=random)


def unlock_key(locked: str, passphrase: str) -> Key:
    """The key that a passphrase opens.

    Raises:
        LedgerError: it does not open it.
    """
    with plainly():
        return sync.unlock_key(locked, passphrase)
