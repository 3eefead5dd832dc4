"""A terminal at a network of four sites for each test: copied, never shared."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import Terminal
from tests.orrendal import PASSPHRASE, fast_folder, template

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """The four sites without entries; everybody's passphrase is in the environment."""
    folder = fast_folder()
    shutil.copytree(template().folder, folder, dirs_exist_ok=True)
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", PASSPHRASE)
    monkeypatch.delenv("FIELDBOOK_SITE", raising=False)
    yield Terminal(folder)
    shutil.rmtree(folder)
