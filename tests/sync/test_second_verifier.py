"""Two verifiers that share no code say the same of every document, however it was spoiled."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import pytest

from sync.attachments import attachment_path
from sync.bundle import parse_bundle
from sync.network import parse_joining
from sync.receipt import parse_receipt
from tests.sync import second_verifier
from tests.sync.agreement import compare, ours_accepts, second_accepts
from tests.sync.mutations import repacked, sound_documents
from tests.sync.scene import NETWORK

if TYPE_CHECKING:
    from pathlib import Path

SOUND = sound_documents()
RECORDS = 2_000


@pytest.mark.parametrize("document", SOUND)
def test_both_accept_what_is_sound(document: str) -> None:
    assert ours_accepts(document, SOUND[document])
    assert second_accepts(document, SOUND[document])


def test_both_say_the_same_of_what_was_spoiled() -> None:
    """Any other error than a refusal fails the test too; ``python -m tests.sync.agreement`` goes on to a million."""
    said, differences = compare(range(RECORDS))
    assert differences == []
    assert said["accepted"] >= RECORDS // 50, "some changes are lawful, else only the first check was tried"
    assert said["refused"] >= RECORDS // 2


@pytest.mark.parametrize("level", [1, 6, 9])
def test_both_read_a_bundle_from_another_packer(level: int) -> None:
    data = repacked(SOUND["bundle"], level)
    assert ours_accepts("bundle", data)
    assert second_accepts("bundle", data)


# --- the second verifier itself, on a carrier


def carrier(folder: Path) -> Path:
    home = folder / NETWORK.folder
    photo = b"a drawing"
    bundle = parse_bundle(SOUND["bundle"])
    receipt = parse_receipt(SOUND["receipt"], network_id=NETWORK.id)
    joining = parse_joining(SOUND["joining"], network_id=NETWORK.id)
    files = {
        "network.json": NETWORK.to_bytes(),
        bundle.path: bundle.to_bytes(),
        receipt.path: receipt.to_bytes(),
        joining.path: joining.to_bytes(),
        attachment_path(hashlib.sha256(photo).hexdigest()): photo,
        "Thumbs.db": b"left by another system",
    }
    for name, data in files.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(data)
    return home


def test_a_carrier_in_our_layout_holds_by_the_second_verifier(tmp_path: Path) -> None:
    carrier(tmp_path)
    assert second_verifier.check_carrier(tmp_path) == []


def test_every_damaged_or_misnamed_file_of_a_carrier_is_found_by_the_second_verifier(tmp_path: Path) -> None:
    home = carrier(tmp_path)
    documents = [path for path in home.rglob("*") if path.is_file() and path.name not in {"Thumbs.db", "network.json"}]
    assert len(documents) == 4
    for path in documents:
        sound = path.read_bytes()
        path.write_bytes(sound[:-1])
        assert len(second_verifier.check_carrier(tmp_path)) == 1, path.name
        path.write_bytes(sound)
        other = path.with_name(path.name.replace(path.name[4], "a" if path.name[4] != "a" else "b", 1))
        path.rename(other)
        assert len(second_verifier.check_carrier(tmp_path)) <= 1
        other.rename(path)
    assert second_verifier.check_carrier(tmp_path) == []


def test_a_carrier_without_a_sound_network_file_has_one_problem(tmp_path: Path) -> None:
    assert second_verifier.check_carrier(tmp_path) == [f"{tmp_path}: no network"]
    (carrier(tmp_path) / "network.json").write_bytes(b"{}")
    assert len(second_verifier.check_carrier(tmp_path)) == 1
