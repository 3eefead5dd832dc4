"""What a run of tests works out once: answers that depend on nothing but what was asked.

Not a stand-in for anything: the real function answers the first time, and its answer is kept. Its one rule: only what
is pure is remembered. A passphrase stretched with the same salt gives the same key (RFC 7914) and takes 80 ms each
time on purpose; a page's template compiles to the same code in every application that a test puts together.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from jinja2 import BytecodeCache

if TYPE_CHECKING:
    from collections.abc import Mapping

    from jinja2.bccache import Bucket


class _Compiled(BytecodeCache):
    """Compiled templates by their name and the digest of their source, in this process alone."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[str, Any]] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        checksum, code = self._kept.get(bucket.key, ("", None))
        if checksum == bucket.checksum:
            bucket.code = code

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._kept[bucket.key] = (bucket.checksum, bucket.code)


def remember() -> None:
    """Begin to keep such answers, for the whole run."""
    from flask import Flask

    from sync import keys

    stretch = keys._stretch

    @cache
    def stretched(passphrase: str, terms: tuple[tuple[str, Any], ...]) -> bytes:
        return stretch(passphrase, dict(terms))

    def stretch_once(passphrase: str, terms: Mapping[str, Any]) -> bytes:
        return stretched(passphrase, tuple((name, terms[name]) for name in ("salt", "n", "r", "p")))

    keys._stretch = stretch_once
    Flask.jinja_options = {**Flask.jinja_options, "bytecode_cache": _Compiled()}
