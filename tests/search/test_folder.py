"""The index is disposable: whatever is wrong with its files is noticed before the engine reads them."""

from __future__ import annotations

import os
import pickle  # noqa: TID251 - to forge what must never be unpickled
import shutil
from typing import TYPE_CHECKING

import pytest

from fieldbook.search import Index, IndexUnusable, SearchError
from fieldbook.search import folder as index_folder
from tests.search.corpus import english

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

BASKET = english("one", "Basket")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with a finished index, closed."""
    index = Index(tmp_path / "index", key=b"this site")
    index.rebuild([BASKET])
    index.close()
    return tmp_path / "index"


def largest(place: Path) -> Path:
    return max((place / "words").iterdir(), key=lambda path: path.stat().st_size)


def flip(place: Path) -> None:
    path = largest(place)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


WOUNDS: dict[str, Callable[[Path], object]] = {
    "deleted": shutil.rmtree,
    "words deleted": lambda place: shutil.rmtree(place / "words"),
    "stamp deleted": lambda place: (place / "stamp.json").unlink(),
    "stamp of nonsense": lambda place: (place / "stamp.json").write_bytes(b"\xff\xfe{"),
    "one bit flipped": flip,
    "cut short": lambda place: os.truncate(largest(place), largest(place).stat().st_size // 2),
    "one file missing": lambda place: largest(place).unlink(),
    "one file more": lambda place: (place / "words" / "_extra.toc").write_bytes(b"x"),
}


@pytest.mark.parametrize("wound", WOUNDS.values(), ids=WOUNDS)
def test_a_wounded_index_says_so_and_is_whole_again_when_rebuilt(place: Path, wound: Callable[[Path], object]) -> None:
    wound(place)
    index = Index(place, key=b"this site")
    with pytest.raises(IndexUnusable) as found:
        index.search("basket")
    assert "rebuild" in found.value.hint
    with pytest.raises(IndexUnusable):
        index.update([BASKET])
    index.rebuild([BASKET])
    assert [hit.entry for hit in index.search("basket")] == ["one"]
    index.close()


def test_a_whole_index_is_opened_again_as_it_was(place: Path) -> None:
    index = Index(place, key=b"this site")
    assert [hit.entry for hit in index.search("basket")] == ["one"]
    index.close()


def test_an_index_of_another_site_is_foreign(place: Path) -> None:
    with pytest.raises(IndexUnusable, match="foreign"):
        Index(place, key=b"another site").search("basket")


def test_an_index_of_an_older_layout_is_out_of_date(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(index_folder, "LAYOUT", index_folder.LAYOUT + 1)
    with pytest.raises(IndexUnusable, match="out of date"):
        Index(place, key=b"this site").search("basket")


class _Trap:
    """Makes a folder when it is unpickled."""

    def __init__(self, proof: Path) -> None:
        self.proof = proof

    def __reduce__(self) -> tuple[object, tuple[str]]:
        return (os.mkdir, (str(self.proof),))


def test_a_forged_index_is_never_unpickled(place: Path, tmp_path: Path) -> None:
    proof = tmp_path / "the trap was sprung"
    toc = next((place / "words").glob("*.toc"))
    whole = toc.read_bytes()
    at = whole.index(b"\x80")  # where the engine's own pickle begins
    toc.write_bytes(whole[:at] + pickle.dumps(_Trap(proof), 2) + whole[at:])
    with pytest.raises(IndexUnusable):
        Index(place, key=b"this site").search("basket")
    assert not proof.exists()


def test_a_rebuild_cut_off_half_way_leaves_an_index_that_says_so(place: Path) -> None:
    def torn() -> object:
        yield BASKET
        raise KeyboardInterrupt

    index = Index(place, key=b"this site")
    with pytest.raises(KeyboardInterrupt):
        index.rebuild(torn())  # type: ignore[arg-type]
    with pytest.raises(IndexUnusable):
        Index(place, key=b"this site").search("basket")


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "index").write_text("a file where a folder should be")
    with pytest.raises(SearchError, match="cannot be written"):
        Index(tmp_path / "index").rebuild([BASKET])
