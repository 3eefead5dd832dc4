"""Errors of ``sync`` told as errors of this package, with the same words.

Its one rule: whatever a ledger is asked, what goes wrong below leaves it as a `LedgerError`, a rotten row too.
"""

from __future__ import annotations

from collections.abc import Generator
from contextlib import contextmanager
from functools import wraps
from inspect import isfunction
from typing import TYPE_CHECKING, Any, TypeVar

import sync
from fieldbook.ledger.values import DamagedLedgerError, LedgerError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_Class = TypeVar("_Class", bound=type)


@contextmanager
def plainly() -> Iterator[None]:
    """Turn errors of ``sync`` into errors of this package, with the same words."""
    try:
        yield
    except sync.SyncError as error:
        raise _ledger_error(error) from error


def plain_methods(cls: _Class) -> _Class:
    """Let every public method of a class, its bases' too, fail as `plainly` does, while it hands out rows as well."""
    for base in reversed(cls.__mro__[:-1]):
        for name, method in vars(base).items():
            if isfunction(method) and not name.startswith("_"):
                setattr(cls, name, _plain(method))
    return cls


def _plain(method: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(method)
    def asked(*arguments: Any, **named: Any) -> Any:
        try:
            found = method(*arguments, **named)
        except sync.SyncError as error:
            raise _ledger_error(error) from error
        return _each(found) if isinstance(found, Generator) else found

    return asked


def _each(found: Iterator[Any]) -> Iterator[Any]:
    with plainly():
        yield from found


def _ledger_error(error: sync.SyncError) -> LedgerError:
    kind = DamagedLedgerError if isinstance(error, sync.DamagedError) else LedgerError
    return kind(error.message, hint=error.hint)
