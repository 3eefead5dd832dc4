"""How far each log is held, in few bytes: a receipt may name a hundred thousand logs.

Not the receipt. One rule: this is the very mapping that the receipt spells, in sixteen bytes a log.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping
from struct import Struct
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_LOG_BYTES = 8
_RECORD = Struct(f">{_LOG_BYTES}sII")
_BEFORE = re.compile(rb'\{"receipt":\{"counter":[0-9]+,"fold":[0-9]+,"follows":\[[^]]*\],"held":\{')
_ONE = re.compile(rb'"([0-9a-f]{16})":\[(0|[1-9][0-9]{0,7}),(0|[1-9][0-9]{0,7})\]([,}])')


class Numbers(Mapping[str, tuple[int, int]]):
    """For each log the numbers up to which nothing is missing, (urgent, text), by log."""

    def __init__(self, packed: bytes = b"") -> None:
        """Of records in ascending order of their logs; use `of`."""
        self._packed = packed

    @classmethod
    def of(cls, held: Mapping[str, tuple[int, int]]) -> Numbers:
        """The same as another mapping.

        Args:
            held: By log, 16 hex; numbers of at most eight digits.
        """
        return cls(_packed((log, *held[log]) for log in sorted(held)))

    def __getitem__(self, log: str) -> tuple[int, int]:
        """How far one is held."""
        at = bisect_left(range(len(self)), log, key=self._log)
        if at == len(self) or self._log(at) != log:
            raise KeyError(log)
        return self._numbers(at)

    def __iter__(self) -> Iterator[str]:
        """The logs, in order."""
        return map(self._log, range(len(self)))

    def __len__(self) -> int:
        """How many logs there are."""
        return len(self._packed) // _RECORD.size

    def __eq__(self, other: object) -> bool:
        """Whether the same is said of the same logs."""
        return self._packed == other._packed if isinstance(other, Numbers) else Mapping.__eq__(self, other)

    def __hash__(self) -> int:
        """As equal ones have it."""
        return hash(self._packed)

    def __repr__(self) -> str:
        """What it says, in full."""
        return f"{type(self).__name__}.of({dict(self)!r})"

    def _log(self, at: int) -> str:
        return self._packed[at * _RECORD.size :][:_LOG_BYTES].hex()

    def _numbers(self, at: int) -> tuple[int, int]:
        _, urgent, text = _RECORD.unpack_from(self._packed, at * _RECORD.size)
        return urgent, text


def numbers_taken_out(file: bytes) -> tuple[Numbers, bytes] | None:
    """Take what is held out of a receipt file before anything in it becomes a value.

    Returns:
        It, and the file with ``{}`` in its place; None where the file does not begin as usual, or where anything in
        what is held is not spelled as it must be.
    """
    before = _BEFORE.match(file)
    if before is None:
        return None
    packed, last, at = bytearray(), b"", before.end()
    while one := _ONE.match(file, at):
        log = bytes.fromhex(one[1].decode())
        if log <= last and packed:
            return None
        packed += _RECORD.pack(log, int(one[2]), int(one[3]))
        last, at = log, one.end()
        if one[4] == b"}":
            return Numbers(bytes(packed)), file[: before.end()] + file[at - 1 :]
    return None


def _packed(records: Iterable[tuple[str, int, int]]) -> bytes:
    return b"".join(_RECORD.pack(bytes.fromhex(log), urgent, text) for log, urgent, text in records)
