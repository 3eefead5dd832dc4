"""A file of any length under a recovery phrase: sealed in pieces, so that neither side holds it whole in memory.

Not what is in it. One rule: a reader gives out nothing that was not authenticated, and says at its end whether the
file ended where its writer ended it.

Source: the chain of pieces is STREAM (Hoang, Reyhanitabar, Rogaway, Vizár, 'Online Authenticated-Encryption and its
Nonce-Reuse Misuse-Resistance', eprint 2015/189): number and end of each piece stand in its nonce.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sync.canonical import canonical_bytes, parse_canonical
from sync.errors import LocalError, RemoteError, UnknownVersionError
from sync.keys import TAG_BYTES, PieceSeal
from sync.limits import SEALED_HEAD_BYTES_MAX, SEALED_PIECE_BYTES
from sync.phrase import read_phrase
from sync.shape import from_base64, require_object, require_version, to_base64

if TYPE_CHECKING:
    from collections.abc import Callable

_VERSION = 1
_NAMES = {"cipher", "kdf", "n", "p", "prefix", "r", "salt", "v"}
_PREFIX_BYTES = 7
_PIECE_SEALED_BYTES = SEALED_PIECE_BYTES + TAG_BYTES


def _nonce(prefix: bytes, number: int, *, last: bool) -> bytes:
    return prefix + number.to_bytes(4, "big") + bytes((last,))


class SealedWriter:
    """Seals what is written to it; `finish` ends the file, and without it no reader takes the file for whole."""

    def __init__(self, out: Callable[[bytes], object], phrase: str, *, random: Callable[[int], bytes]) -> None:
        """Write the head and the empty piece by which a reader knows the phrase.

        Args:
            out: Takes the bytes of the file, in order.
            phrase: A recovery phrase.
            random: Gives so many random bytes.

        Raises:
            LocalError: That is no recovery phrase.
        """
        self._out = out
        self._seal = PieceSeal.fresh(read_phrase(phrase), random=random)
        self._prefix = random(_PREFIX_BYTES)
        head = {**self._seal.terms, "prefix": to_base64(self._prefix), "v": _VERSION}
        self._head = canonical_bytes({"sealed": head}) + b"\n"
        self._number = 0
        self._waiting = bytearray()
        out(self._head)
        self._put(b"", last=False)

    def write(self, data: bytes) -> int:
        """Take bytes; how many they were."""
        self._waiting += data
        while len(self._waiting) > SEALED_PIECE_BYTES:  # the last piece is only known at the end, so one is held back
            self._put(bytes(self._waiting[:SEALED_PIECE_BYTES]), last=False)
            del self._waiting[:SEALED_PIECE_BYTES]
        return len(data)

    def finish(self) -> None:
        """Write the last piece."""
        self._put(bytes(self._waiting), last=True)
        self._waiting.clear()

    def _put(self, piece: bytes, *, last: bool) -> None:
        nonce = _nonce(self._prefix, self._number, last=last)
        self._out(self._seal.close(piece, nonce=nonce, beside=self._head))
        self._number += 1


class SealedReader:
    """Opens what a `SealedWriter` sealed."""

    def __init__(self, source: Callable[[int], bytes], phrase: str) -> None:
        """Read the head and try the phrase.

        Args:
            source: Gives so many bytes of the file, fewer only at its end.
            phrase: A recovery phrase, as typed.

        Raises:
            LocalError: That is no recovery phrase, or it does not open this file.
            RemoteError: This is no sealed file.
            UnknownVersionError: It was sealed by a newer version.
        """
        self._source = source
        phrase = read_phrase(phrase)
        self._head, self._ahead = _split_head(source)
        terms = _read_head(self._head)
        self._prefix = from_base64(terms.pop("prefix"), "its prefix", length=_PREFIX_BYTES)
        terms.pop("v")
        self._seal = PieceSeal(phrase, terms)
        self._number = 0
        self._ended = False
        self._opened = bytearray()
        if self._open(self._take(TAG_BYTES), last=False) is None:
            raise LocalError(
                "these words do not open this file",
                hint="take the recovery sheet that was written for it; if it is that one, the file is damaged",
            )

    def read(self, size: int) -> bytes:
        """So many bytes of what was sealed, fewer only at its end.

        Raises:
            RemoteError: The file is cut, or not as it was written.
        """
        while len(self._opened) < size and not self._ended:
            self._opened += self._next_piece()
        data = bytes(self._opened[:size])
        del self._opened[:size]
        return data

    def drain(self) -> None:
        """Read on to the end, so that a file that was cut or lengthened is noticed.

        Raises:
            RemoteError: It was.
        """
        while self.read(SEALED_PIECE_BYTES):
            pass

    def _next_piece(self) -> bytes:
        sealed = self._take(_PIECE_SEALED_BYTES)
        self._ahead += self._source(1) if not self._ahead else b""
        self._ended = not self._ahead
        piece = self._open(sealed, last=self._ended)
        if piece is None:
            raise RemoteError("the file is cut or damaged", hint="use another copy of it")
        return piece

    def _open(self, sealed: bytes, *, last: bool) -> bytes | None:
        nonce = _nonce(self._prefix, self._number, last=last)
        self._number += 1
        return self._seal.open(sealed, nonce=nonce, beside=self._head)

    def _take(self, size: int) -> bytes:
        taken = self._ahead[:size]
        self._ahead = self._ahead[size:]
        return taken + self._source(size - len(taken)) if len(taken) < size else taken


def _split_head(source: Callable[[int], bytes]) -> tuple[bytes, bytes]:
    start = source(SEALED_HEAD_BYTES_MAX)
    line, end, rest = start.partition(b"\n")
    return line + end, rest


def _read_head(head: bytes) -> dict[str, Any]:
    try:
        value = parse_canonical(head.removesuffix(b"\n"), limit_bytes=SEALED_HEAD_BYTES_MAX)
        sealed = require_object(value, "the head", names={"sealed"}, more=False)["sealed"]
        require_version(require_object(sealed, "the head", names=(), more=True), "sealed file", _VERSION)
        return dict(require_object(sealed, "the head", names=_NAMES, more=False))
    except UnknownVersionError:
        raise
    except RemoteError as error:
        raise RemoteError(
            "this is no sealed file, or its beginning is damaged", hint="use another copy of it"
        ) from error
