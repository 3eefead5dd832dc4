"""The current in a wall, and a database that needs it for whatever it does.

Nothing is imitated but the fault itself. One rule: it comes at a chosen call, so that every call can be tried.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.sync.media import Pulled

if TYPE_CHECKING:
    from collections.abc import Callable

    from sync import Store


class Power:
    """The current in a wall: it fails at one tick, and stays away."""

    def __init__(self, at: int, fail: Callable[[], None]) -> None:
        """Take the tick, and what to do at the moment itself."""
        self._left = at
        self._fail = fail

    def tick(self, _call: str = "") -> None:
        """One more thing is about to be done."""
        self._left -= 1
        if self._left == 0:
            self._fail()
        if self._left <= 0:
            raise Pulled


class Wired:
    """A connection to SQLite that needs current for whatever it does."""

    def __init__(self, connection: Any, tick: Callable[[str], None]) -> None:
        """Take a real connection."""
        self._connection = connection
        self._tick = tick

    def execute(self, sql: str, *values: Any) -> Any:
        self._tick(sql)
        return self._connection.execute(sql, *values)

    def executemany(self, sql: str, *values: Any) -> Any:
        self._tick(sql)
        return self._connection.executemany(sql, *values)

    def __getattr__(self, name: str) -> Any:
        """Whatever else is asked of a connection."""
        return getattr(self._connection, name)


def wire(store: Store, tick: Callable[[str], None]) -> None:
    """Let a store's file ask for current; reopening it ends that."""
    store._database._connection = Wired(store._database._connection, tick)  # type: ignore[assignment]
