"""Files that come with the program are found, read as they are, and nothing else is."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.shipped import shipped_bytes, shipped_names, shipped_text


def test_a_shipped_file_is_read_byte_for_byte() -> None:
    beside = Path(__file__).resolve().parent.parent / "seed_entries" / "crops.csv"
    assert shipped_bytes("seed_entries/crops.csv") == beside.read_bytes()
    assert shipped_text("seed_entries/crops.csv").startswith("crop_id,common_name,")


def test_the_names_in_a_folder_can_be_read_each() -> None:
    names = shipped_names("seed_entries/demo")
    assert "seed_entries/demo/normals_saltreed.csv" in names
    assert list(names) == sorted(names)
    assert all(shipped_bytes(name) for name in names)


@pytest.mark.parametrize(
    "name",
    [
        "seed_entries/no-such-file.csv",
        "seed_entries",
        "pyproject.toml",
        "seed_entries/../pyproject.toml",
        "/etc/hostname",
        "seed_entries\\..\\pyproject.toml",
        "",
    ],
)
def test_nothing_else_is_opened(name: str) -> None:
    with pytest.raises(FieldbookError, match="no shipped file is called") as refused:
        shipped_bytes(name)
    assert refused.value.hint


def test_a_folder_that_does_not_ship_is_refused() -> None:
    with pytest.raises(FieldbookError, match="no shipped folder"):
        shipped_names("seed_entries/no-such-folder")
