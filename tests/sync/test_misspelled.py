"""A word that breaks its form is refused by the name of the field that breaks it."""

from __future__ import annotations

import io
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

import pytest

from sync.canonical import canonical_bytes
from sync.carrier import CarrierError, FolderCarrier
from sync.charter.forms import read_grant, read_person
from sync.charter.heartbeats import read_heartbeat
from sync.errors import RemoteError
from sync.network import parse_network
from sync.sealed import SealedReader
from sync.system_calls import SystemCalls
from tests.sync.test_sealed import PHRASE, sealed

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from sync import Statement

KEY, ROOT = "ab" * 32, "cd" * 32
BEAT = {"counter": 1, "newest": [], "number": 0, "root": ROOT}
SITE = {"key": KEY, "letter": "C", "name": "Cloudstep Terrace", "role": "site"}
REVIEWER = {"key": KEY, "name": "C3", "role": "reviewer", "scope": [], "site": KEY}


def heartbeat(body: Any) -> object:
    return read_heartbeat(cast("Statement", SimpleNamespace(body=body, id=ROOT, author=KEY)))


BROKEN: dict[str, Callable[[], object]] = {
    "the heartbeat": lambda: heartbeat([]),
    "an id in a heartbeat": lambda: heartbeat({**BEAT, "newest": ["C3"]}),
    "the counter of a heartbeat": lambda: heartbeat({**BEAT, "counter": "1"}),
    "the root in a heartbeat": lambda: heartbeat({**BEAT, "root": 7}),
    "the letter of the site": lambda: read_grant({**SITE, "letter": 3}),
    "the site of the reviewer": lambda: read_grant({**REVIEWER, "site": "C"}),
    "the name of the person": lambda: read_person({"key": KEY, "name": 3, "role": "trainer"}),
    "the list of signatures": lambda: parse_network(canonical_bytes({"network": {}, "signatures": {}})),
}


@pytest.mark.parametrize("field", BROKEN)
def test_a_field_of_the_wrong_form_is_named(field: str) -> None:
    with pytest.raises(RemoteError) as refusal:
        BROKEN[field]()
    assert field in refusal.value.message


def test_a_sealed_file_whose_prefix_is_no_base64_says_so() -> None:
    head, rest = sealed(b"x").split(b"\n", 1)
    spoiled = head.replace(b'"prefix":"', b'"prefix":"!', 1) + b"\n" + rest
    with pytest.raises(RemoteError, match="its prefix"):
        SealedReader(io.BytesIO(spoiled).read, PHRASE)


def test_a_stick_that_gives_back_other_bytes_than_were_written_is_found_out(tmp_path: Path) -> None:
    class Forgetful(SystemCalls):
        def read(self, descriptor: int, count: int) -> bytes:
            return bytes(len(super().read(descriptor, count)))

    carrier = FolderCarrier(tmp_path, calls=Forgetful())
    told: list[CarrierError] = []
    carrier.prove([carrier.write("network.json", b"{}")], failed=told.append)
    (failed,) = told
    assert failed.file == "network.json"
    assert "what is read back is not what was written" in failed.message
