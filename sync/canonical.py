"""One value, one sequence of bytes: JSON canonicalization (RFC 8785) within a profile.

The profile: no floats (decimals are strings), whole numbers within ±(2^53-1), object names of
``[A-Za-z0-9_-]`` and none twice, at most 16 levels, valid UTF-8 without lone surrogates. Not a general
JSON reader: what it accepts it could have written itself, byte for byte. One rule: foreign bytes are
accepted only if they equal the canonical form of what they say.

Names in the profile are ASCII, so sorting them by code point is the sorting by UTF-16 unit that
RFC 8785, section 3.2.3, asks for; strings are escaped as in section 3.2.2.2.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NoReturn

from sync.errors import LocalError, RemoteError
from sync.limits import DEPTH_MAX, INTEGER_MAX

if TYPE_CHECKING:
    from collections.abc import Callable

NAME = re.compile(r"[A-Za-z0-9_-]+")
_INTEGER_CHARACTERS_MAX = len(str(-INTEGER_MAX))
_FIRST_WINDOW = 16 * 1024
_SHOWN = 40

_write = json.JSONEncoder(
    ensure_ascii=False, check_circular=False, allow_nan=False, sort_keys=True, separators=(",", ":")
).encode


def canonical_bytes(value: Any, *, depth_max: int = DEPTH_MAX) -> bytes:
    """The one spelling of a value of ours.

    Args:
        value: None, bool, int, str, list or tuple of these, or dict from str to these.
        depth_max: Levels allowed; ``{}`` has one.

    Raises:
        LocalError: The value is outside the profile.
    """
    _require_profile(value, depth_max)
    try:
        return _write(value).encode()
    except UnicodeEncodeError as error:
        raise LocalError(
            "a text holds half of a surrogate pair, which no file can keep", hint="type the text again"
        ) from error


def canonical_pieces(value: Any, *, depth_max: int = DEPTH_MAX) -> Iterator[bytes]:
    """The one spelling of a value of ours, a piece at a time.

    Args:
        value: As for `canonical_bytes`; an iterator counts as the list of what it gives, in an object or a list too.
        depth_max: Levels allowed.

    Raises:
        LocalError: The value is outside the profile.
    """
    if isinstance(value, Iterator):
        before, after = b"[", b"]"
        for each in value:
            yield before
            yield from canonical_pieces(each, depth_max=depth_max - 1)
            before = b","
    elif type(value) is dict and any(isinstance(each, Iterator | dict) for each in value.values()):
        before, after = b"{", b"}"
        for name in sorted(value):
            _require_profile({name: None}, depth_max)
            yield before + _write(name).encode() + b":"
            yield from canonical_pieces(value[name], depth_max=depth_max - 1)
            before = b","
    else:
        yield canonical_bytes(value, depth_max=depth_max)
        return
    yield after if before == b"," else before + after


def respelled(value: Any) -> bytes:
    """The one spelling of a value that was parsed here, or made from such values: not checked again."""
    return _write(value).encode()


def parse_canonical(data: bytes, *, limit_bytes: int, depth_max: int = DEPTH_MAX) -> Any:
    """The value that foreign bytes spell.

    Args:
        data: The whole document.
        limit_bytes: The cap, looked at before anything else [bytes].
        depth_max: Levels allowed; ``{}`` has one.

    Raises:
        RemoteError: The bytes are too many, outside the profile, or not the canonical spelling.
    """
    if len(data) > limit_bytes:
        raise RemoteError(f"the text has {len(data)} bytes where at most {limit_bytes} are allowed")
    text = _decode(data)
    value, end = _parse(text, 0)
    spelled = _write(value)
    if end != len(text) or spelled != text:
        _refuse_spelling(text, spelled, 0)
    _require_depth(value, data, depth_max)
    return value


def parse_elements(
    data: bytes, *, limit_bytes: int, usual: Callable[[str, int], tuple[Any, int] | None] | None = None
) -> Iterator[tuple[Any, bytes]]:
    """The elements of a canonical array, one after the other, each with its own bytes.

    Only one element is held as a value at a time, so that a hostile array cannot fill the memory.

    Args:
        data: The whole array; its size has been bounded by the caller.
        limit_bytes: Cap on each element [bytes].
        usual: Told the text and where an element begins, gives what it recognises there and where that ends: it
            stands in place of the value, without bytes of its own. What it recognises must be canonical and below
            the cap.

    Raises:
        RemoteError: As `parse_canonical`, while iterating.
    """
    text = _decode(data)
    if not text.startswith("["):
        raise RemoteError("a list was expected at byte 0")
    at = 1
    while not (at == 1 and text == "[]"):
        recognised = usual(text, at) if usual is not None else None
        if recognised is not None:
            raw = b""
            value, at = recognised
        else:
            value, raw, at = _element(text, at, limit_bytes)
        yield value, raw
        if text[at : at + 2] == "]":  # and nothing behind it
            return
        if text[at : at + 1] != ",":
            raise RemoteError(f"a comma, or the end of the list, was expected at character {at}")
        at += 1


def _element(text: str, at: int, limit_bytes: int) -> tuple[Any, bytes, int]:
    try:
        value, length = _parse(text[at : at + _FIRST_WINDOW], at)
    except RemoteError:  # cut by the window, or wrong: the full window tells which
        value, length = _parse(text[at : at + limit_bytes + 1], at)
    spelled = _write(value)
    if spelled != text[at : at + length]:
        _refuse_spelling(text[at : at + length], spelled, at)
    raw = spelled.encode()
    if len(raw) > limit_bytes:
        raise RemoteError(f"the element at character {at} has more than {limit_bytes} bytes")
    _require_depth(value, raw, DEPTH_MAX)
    return value, raw, at + length


def _decode(data: bytes) -> str:
    try:
        return data.decode()
    except UnicodeDecodeError as error:
        raise RemoteError(f"the text is not valid UTF-8 at byte {error.start}") from error


def _parse(text: str, offset: int) -> tuple[Any, int]:
    try:
        return _read(text)
    except json.JSONDecodeError as error:
        where = offset + error.pos
        cause = error.msg.lower().removesuffix(" at").removesuffix(" starting")  # Python goes on with the place itself
        raise RemoteError(f"the text is no JSON at character {where}: {cause}") from error
    except RecursionError as error:
        raise RemoteError(f"the text nests deeper than {DEPTH_MAX} levels") from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    result = dict(pairs)
    if len(result) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise RemoteError(f"the name {_shown(twice)} stands twice in one object")
    if result and not ("" not in result and NAME.fullmatch("".join(result))):  # one look at all of them
        wrong = next(name for name in result if not NAME.fullmatch(name))
        raise RemoteError(f"{_shown(wrong)} is no name of a field (letters, digits, _ and -)")
    return result


def _integer(text: str) -> int:
    if len(text) <= _INTEGER_CHARACTERS_MAX and text != "-0":
        number = int(text)
        if -INTEGER_MAX <= number <= INTEGER_MAX:
            return number
    raise RemoteError(f"the number {_shown(text)} is not a whole number within 2^53-1, in its one spelling")


def _no_float(text: str) -> NoReturn:
    raise RemoteError(f"{_shown(text)} is no whole number; decimals are written as strings")


_read = json.JSONDecoder(
    object_pairs_hook=_object, parse_int=_integer, parse_float=_no_float, parse_constant=_no_float
).raw_decode


def _refuse_spelling(text: str, spelled: str, offset: int) -> NoReturn:
    at = next((i for i, (a, b) in enumerate(zip(text, spelled, strict=False)) if a != b), min(len(text), len(spelled)))
    raise RemoteError(
        f"the text is not in its one canonical spelling at character {offset + at}: {_shown(text[at : at + 12])}",
    )


def _shown(text: str) -> str:
    return ascii(text) if len(text) <= _SHOWN else f"{text[:_SHOWN]!a}…"


def _require_depth(value: Any, data: bytes, depth_max: int) -> None:
    """Refuse what nests too deep; most texts hold too few brackets to be looked at any closer."""
    if data.count(b"[") + data.count(b"{") > depth_max and _deeper(value, depth_max):
        raise RemoteError(f"the text nests deeper than {depth_max} levels")


def _deeper(value: Any, depth_max: int) -> bool:
    level = [value] if isinstance(value, dict | list | tuple) else []
    for _ in range(depth_max):
        level = [
            child
            for parent in level
            for child in (parent.values() if isinstance(parent, dict) else parent)
            if isinstance(child, dict | list | tuple)
        ]
    return bool(level)


def _require_profile(value: Any, depth_max: int) -> None:
    if _deeper(value, depth_max):
        raise LocalError(f"a value nests deeper than {depth_max} levels", hint="put fewer groups within groups")
    pending = [value]
    while pending:
        found = pending.pop()
        if type(found) is dict:
            _require_names(found)
            pending.extend(found.values())
        elif type(found) is list or type(found) is tuple:
            pending.extend(found)
        else:
            _require_scalar(found)


def _require_names(value: dict[Any, Any]) -> None:
    for name in value:
        if type(name) is not str or not NAME.fullmatch(name):
            raise LocalError(f"{name!a} is no name of a field", hint="use letters, digits, _ and - only")


def _require_scalar(value: Any) -> None:
    if type(value) is int and not -INTEGER_MAX <= value <= INTEGER_MAX:
        raise LocalError(f"the number {value} is not within 2^53-1", hint="write a number so large as text")
    if value is not None and type(value) not in {int, str, bool}:
        raise LocalError(f"{value!a} is of a kind that the files do not know", hint="write decimals as text")
