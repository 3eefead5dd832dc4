"""Fixtures of the tests of pages."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import circle, fast_folder
from tests.web.gardens import Visitor, planted_copy, visitor_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle

__all__ = ["circle"]


@pytest.fixture
def planted() -> Iterator[Circle]:
    """The network with two checked entries at C."""
    folder = fast_folder()
    circle = planted_copy(folder)
    yield circle
    circle.close()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def visitor(planted: Circle) -> Visitor:
    """A reader without a name at the pages of C."""
    return visitor_of(planted)
