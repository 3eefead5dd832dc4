"""What was worked out once and is kept until something changes here, since pages ask for it again and again.

Not what is kept on disk. Its one rule: whoever keeps something names the stamp that changes with all that it was worked
out from, so that nothing stale is ever given.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable


class Kept:
    """Values by name, all of one stamp; several threads may ask at once."""

    def __init__(self) -> None:
        """Hold nothing yet."""
        self._stamp: object = None
        self._values: dict[Hashable, Any] = {}

    def get(self, stamp: object, name: Hashable, make: Callable[[], Any]) -> Any:
        """The value of this name, made anew where the stamp is another one than before.

        Args:
            stamp: what changes with all that the value is made from.
            name: what is asked for.
            make: how it is made; called at most once a stamp and thread.
        """
        if stamp != self._stamp:
            self._stamp, self._values = stamp, {}
        values = self._values  # another thread may put others in their place meanwhile
        if name not in values:
            values[name] = make()
        return values[name]
