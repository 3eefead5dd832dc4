"""Two verifiers that share no code say the same of every document, however it was spoiled."""

from __future__ import annotations

import hashlib
from collections import Counter
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync.attachments import attachment_path
from sync.bundle import parse_bundle
from sync.errors import RemoteError
from sync.network import parse_joining, parse_network
from sync.receipt import parse_receipt
from tests.sync import second_verifier
from tests.sync.mutations import repacked, sound_documents, spoiled
from tests.sync.scene import NETWORK

if TYPE_CHECKING:
    from pathlib import Path

SOUND = sound_documents()
SEEDS = 700  # of each document; 3,500 in all


def ours_accepts(document: str, data: bytes) -> bool:
    try:
        if document == "network":
            parse_network(data)
        elif document == "joining":
            parse_joining(data, network_id=NETWORK.id)
        elif document == "receipt":
            parse_receipt(data, network_id=NETWORK.id)
        else:
            bundle = parse_bundle(data)
            bundle.verify(NETWORK.id)
            for statement in bundle.statements:
                statement.verify(NETWORK.id)
    except RemoteError:
        return False
    return True


def second_accepts(document: str, data: bytes) -> bool:
    try:
        if document == "network":
            second_verifier.check_network(data)
        elif document == "joining":
            second_verifier.check_joining(data, NETWORK.id)
        elif document == "receipt":
            second_verifier.check_receipt(data, NETWORK.id)
        else:
            second_verifier.check_bundle(data, NETWORK.id)
    except second_verifier.RefusedError:
        return False
    return True


@pytest.mark.parametrize("document", SOUND)
def test_both_accept_what_is_sound(document: str) -> None:
    assert ours_accepts(document, SOUND[document])
    assert second_accepts(document, SOUND[document])


@pytest.mark.parametrize("document", SOUND)
def test_both_say_the_same_of_what_was_spoiled(document: str) -> None:
    """Any other error than a refusal fails the test too."""
    said: Counter[bool] = Counter()
    for seed in range(SEEDS):
        data = spoiled(document, SOUND[document], Random(seed))
        accepted = ours_accepts(document, data)
        assert accepted == second_accepts(document, data), f"{document}, seed {seed}"
        said[accepted] += data != SOUND[document]
    assert said[True] >= SEEDS // 50, "some changes are lawful, else only the first check was tried"
    assert said[False] >= SEEDS // 2


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
