"""The few shapes that a field of a signed document may have.

Not a schema language: each function takes one value as parsed and gives it back typed. One rule: a shape
that occurs in two documents stands here once, and nothing is ever converted or repaired.
"""

from __future__ import annotations

import base64
import binascii
import re
from typing import TYPE_CHECKING, Any

from sync.errors import RemoteError, UnknownVersionError
from sync.limits import LOG_HEX, NUMBER_MAX

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

_HEX_32 = re.compile(r"[0-9a-f]{64}")
_LOG = re.compile(rf"[0-9a-f]{{{LOG_HEX}}}")
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z")
SALT_BYTES = 16
SIGNATURE_BYTES = 64


def require_object(value: Any, where: str, *, names: Collection[str], more: bool) -> Mapping[str, Any]:
    """An object that has all these names; where nothing signs it (``more`` false), exactly these.

    Raises:
        RemoteError: It is no object, a name is missing, or one stands there that may not.
    """
    if type(value) is not dict:
        raise RemoteError(f"{where} is not an object")
    missing = sorted(set(names) - value.keys())
    if missing:
        raise RemoteError(f"{where} lacks {', '.join(missing)}")
    if not more and len(value) != len(names):
        extra = sorted(value.keys() - set(names))
        raise RemoteError(f"{where} has names that no signature covers: {', '.join(extra)}")
    return value


def require_version(value: Mapping[str, Any], document: str, known: int) -> None:
    """The ``v`` of a document, which must be the one known.

    Raises:
        UnknownVersionError: It is a whole number, but another one.
        RemoteError: It is no whole number.
    """
    version = value.get("v")
    if type(version) is not int:
        raise RemoteError(f"{document} states no version")
    if version != known:
        raise UnknownVersionError(document, version)


def require_list(value: Any, where: str) -> list[Any]:
    """A list of anything.

    Raises:
        RemoteError: It is no list.
    """
    if type(value) is not list:
        raise RemoteError(f"{where} is not a list")
    return value


def require_text(value: Any, where: str) -> str:
    """A text of any content.

    Raises:
        RemoteError: It is no text.
    """
    if type(value) is not str:
        raise RemoteError(f"{where} is not a text")
    return value


def require_hex(value: Any, where: str) -> str:
    """32 bytes as 64 lower-case hex digits: a key or an id.

    Raises:
        RemoteError: It is not that.
    """
    if type(value) is not str or not _HEX_32.fullmatch(value):
        raise RemoteError(f"{where} is not 64 lower-case hex digits")
    return value


def require_log(value: Any, where: str) -> str:
    """The id of a log: 16 lower-case hex digits.

    Raises:
        RemoteError: It is not that.
    """
    if type(value) is not str or not _LOG.fullmatch(value):
        raise RemoteError(f"{where} is not {LOG_HEX} lower-case hex digits")
    return value


def require_hex_or_none(value: Any, where: str) -> str | None:
    """An id, or null.

    Raises:
        RemoteError: It is neither.
    """
    return None if value is None else require_hex(value, where)


def require_number(value: Any, where: str, *, least: int = 1, most: int = NUMBER_MAX) -> int:
    """A whole number within bounds.

    Raises:
        RemoteError: It is not that.
    """
    if type(value) is not int or not least <= value <= most:
        raise RemoteError(f"{where} is not a whole number from {least} to {most}")
    return value


def require_sorted(values: list[str], where: str, *, most: int | None = None) -> tuple[str, ...]:
    """Texts in ascending order of their code points, none twice.

    Raises:
        RemoteError: They are too many, out of order, or one stands twice.
    """
    if most is not None and len(values) > most:
        raise RemoteError(f"{where} holds {len(values)} where at most {most} are allowed")
    if any(values[i] >= values[i + 1] for i in range(len(values) - 1)):
        raise RemoteError(f"{where} is not sorted, or holds something twice")
    return tuple(values)


def require_time(value: Any, where: str) -> str | None:
    """A claimed time of exactly the form ``2026-11-25T10:02:00Z``, or null; a form, not a calendar.

    Raises:
        RemoteError: It is neither.
    """
    if value is not None and (type(value) is not str or not _TIME.fullmatch(value)):
        raise RemoteError(f"{where} is neither null nor of the form 2026-11-25T10:02:00Z")
    return value


def from_base64(value: Any, where: str, *, length: int) -> bytes:
    """Bytes from base64 (RFC 4648, section 4) in its one spelling.

    Args:
        value: The value as parsed.
        where: What it is, for the message.
        length: How many there must be [bytes].

    Raises:
        RemoteError: It is no such text, of another length, or spelled otherwise than we would.
    """
    try:
        data = base64.b64decode(require_text(value, where).encode("ascii"), validate=True)
    except (binascii.Error, UnicodeEncodeError) as error:
        raise RemoteError(f"{where} is not base64") from error
    if len(data) != length or to_base64(data) != value:
        raise RemoteError(f"{where} is not {length} bytes in base64 in its one spelling")
    return data


def to_base64(data: bytes) -> str:
    """Base64 with padding (RFC 4648, section 4)."""
    return base64.b64encode(data).decode("ascii")
