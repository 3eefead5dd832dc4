"""How a stick behaves during one exchange.

One rule: real system calls on a real folder; only the fault is added.
"""

from __future__ import annotations

import errno
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from sync.system_calls import SystemCalls
from tests.sync.media import Faulty, Gone, Shrunk, Small
from tests.sync.unsettled import Unsettled

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from random import Random

    from sync import CarrierError, FolderCarrier
    from sync.carrier import Found, Written
    from tests.simulate.camp import Camp

Name = Literal["sound", "pulled", "power cut", "one fault", "full", "read-only", "smaller than it says"]
WEIGHTS: dict[Name, int] = {
    "sound": 12, "pulled": 3, "power cut": 4, "one fault": 2, "full": 2, "read-only": 1, "smaller than it says": 1,
}  # fmt: skip
CHANGING = frozenset({"write", "remove", "make_folder", "rename"})


@dataclass
class Medium:
    """One manner of behaving, from one call or byte on."""

    name: Name
    at: int
    _unsettled: Unsettled | None = field(default=None, init=False)
    _pulled: Gone | None = field(default=None, init=False)

    @property
    def powered(self) -> bool:
        return self.name == "power cut"

    def calls(self, camp: Camp) -> SystemCalls:
        """The calls that the carrier makes."""
        if self.name == "sound":
            return SystemCalls()
        if self.name == "full":
            return Small(40 * self.at)
        if self.name == "smaller than it says":
            return Shrunk(40 * self.at)
        if self.name == "one fault":
            return Faulty(fail=lambda number, _call: errno.EIO if number == self.at else None)
        if self.name == "read-only":
            return Faulty(fail=lambda _number, call: errno.EROFS if call in CHANGING else None)
        self._pulled = None if self.powered else Gone(self.at)
        self._unsettled = Unsettled(self._pulled.tick if self._pulled else camp.power(self.at).tick)
        return self._unsettled

    @property
    def answers(self) -> bool:
        """Whether every file could be read until now."""
        return self.name != "one fault" and (self._pulled is None or not self._pulled.is_gone)

    def crash(self, chance: Random) -> None:
        """What was not synced may be found in any state."""
        if self._unsettled is not None:
            self._unsettled.crash(chance)


def choose_medium(chance: Random) -> Medium:
    """Draw one; early calls are as likely as late ones."""
    (name,) = chance.choices(list(WEIGHTS), list(WEIGHTS.values()))
    return Medium(name, 1 + int(chance.expovariate(1 / chance.choice((8, 60, 200)))))


class Attentive:
    """A carrier that asks, before the first text bundle is read, whether everything urgent has arrived."""

    def __init__(self, inner: FolderCarrier, before_text: Callable[[], None]) -> None:
        self._inner = inner
        self._before_text = before_text
        self._asked = False

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[Found]:
        return self._inner.look(folder, wanted=wanted)

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        if "/text/" in name and not self._asked:
            self._asked = True
            self._before_text()
        return self._inner.read(name, limit_bytes=limit_bytes)

    def write(self, name: str, data: bytes) -> Written:
        return self._inner.write(name, data)

    def remove(self, name: str) -> None:
        self._inner.remove(name)

    def prove(self, written: Iterable[Written], *, failed: Callable[[CarrierError], None]) -> bool:
        return self._inner.prove(written, failed=failed)
