"""Three sites and a stick, for the tests of exchanges."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sync.store import spilling
from tests.fast import memory_folder
from tests.sync.camps import Site, circle, new_stick

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture
def place() -> Iterator[Path]:
    """A folder in memory where there is such a thing: many small transactions would wait for a disk."""
    with tempfile.TemporaryDirectory(dir=memory_folder()) as name:
        yield Path(name)


@pytest.fixture
def stick(place: Path) -> Path:
    """An empty stick."""
    return new_stick(place)


@pytest.fixture
def sites(place: Path) -> dict[str, Site]:
    """Cloudstep, Thornpan and Longshade, granted, who have not met yet."""
    return circle(place, "CTL")


@pytest.fixture(params=[spilling.KEPT, 3], ids=["in memory", "outside"])
def remembered(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """What has to be remembered lies in memory, or but for next to nothing in a scratch file: the same comes of it."""
    monkeypatch.setattr(spilling, "KEPT", request.param)
