"""Much that is said, and much that is said in order to hurt: the judging ends, and soon.

The statements here are put together without signing: the charter is handed verified statements and looks at
no signature. The bounds are about twenty times what was measured, so that they fail on a square, not on a
busy machine.
"""

from __future__ import annotations

import json
import time
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync.charter import Judgement, judge, judge_more
from sync.statement import Statement
from tests.sync.charter_scene import KINDS, Kept, key, network_of

if TYPE_CHECKING:
    from collections.abc import Iterable

NETWORK = network_of("C1", "L1", threshold=2)
MANY = 10_000
SOON_S = 10.0


def unsigned(number: int, author: str, kind: str, body: dict[str, Any], **parts: Any) -> Statement:
    """A statement as if it had been verified."""
    return Statement(
        id=sha256(b"%d" % number).hexdigest(),
        header_bytes=b"",
        body_bytes=json.dumps(body, sort_keys=True, separators=(",", ":")).encode(),
        salt=b"",
        signature=b"",
        author=key(author),
        kind=kind,
        after=tuple(sorted(parts.get("after", ()))),
        attachments=tuple(sorted(parts.get("attachments", ()))),
        critical=(),
        previous=parts.get("previous"),
        claimed=None,
        size=2,
    )


def chain(author: str, kind: str, count: int, *, start: int = 0) -> list[Statement]:
    """One after the other, each answering the one before."""
    said: list[Statement] = []
    for number in range(start, start + count):
        before = said[-1].id if said else None
        said.append(unsigned(number, author, kind, {"n": number}, previous=before, after=[before] if before else []))
    return said


def person(label: str) -> Statement:
    return unsigned(-int(label[1:]), label[0], "sync/person", {"key": key(label), "name": label, "role": "trainer"})


def judged_soon(said: Iterable[Statement]) -> Judgement:
    start = time.process_time()
    judgement = judge(NETWORK, KINDS, said)
    assert time.process_time() - start < SOON_S
    return judgement


def test_a_long_chain_of_answers_is_settled_from_either_end() -> None:
    said = [person("C2"), *chain("C2", "fieldbook/edition", MANY)]
    assert {verdict.state for verdict in judged_soon(said).verdicts.values()} == {"accepted"}
    assert judged_soon(reversed(said)) == judged_soon(said)


def test_many_cuts_of_a_long_chain_are_laid_over_each_other() -> None:
    said = chain("C2", "fieldbook/edition", MANY)
    stopping = [
        unsigned(MANY + n, "C1", "sync/revocation", {"key": key("C2"), "last": [said[-1 - n // 2].id, said[0].id]})
        for n in range(MANY // 2)
    ]
    judgement = judged_soon([person("C2"), *said, *stopping])
    good = [each for each in said if judgement.verdicts[each.id].state == "accepted"]
    assert len(good) == MANY - MANY // 4 + 1


def test_many_versions_by_nobody_who_counts_change_nothing() -> None:
    said: list[Statement] = []
    for number in range(MANY):
        stewards = [{"key": key("X9"), "name": "X9", "site": key("C")}]
        body = {"version": number + 2, "stewards": stewards, "threshold": 1, "before": {}}
        said.append(unsigned(number, "X9", "sync/stewards", body, after=[each.id for each in said[-1:]]))
    judgement = judged_soon(reversed(said))
    assert {verdict.rule for verdict in judgement.verdicts.values()} == {"voices"}
    assert judgement.charter.next_version() == 2


def test_many_voices_of_one_steward_are_one() -> None:
    body = {"key": key("C3"), "name": "C3", "role": "reviewer", "scope": [], "site": key("C")}
    said = [unsigned(number, "C1", "sync/grant", body) for number in range(MANY)]
    assert judged_soon(said).charter.reviewers == {}
    assert set(judged_soon([*said, unsigned(MANY, "L1", "sync/grant", body)]).charter.reviewers) == {key("C3")}


def test_many_sites_with_one_letter_are_told_apart() -> None:
    said = [
        unsigned(n, "C1", "sync/grant", {"key": f"{n:064x}", "letter": "T", "name": "Thornpan", "role": "site"})
        for n in range(MANY)
    ]
    charter = judged_soon(said).charter
    assert charter.name_of(f"{MANY - 1:064x}") == f"T-{MANY - 1:064x}"
    assert charter.name_of(key("C")) == "C"


def test_many_that_take_back_one_photo_look_at_it_once() -> None:
    photo = "f0" * 32
    having = [unsigned(n, "C2", "fieldbook/edition", {}, attachments=[photo]) for n in range(MANY)]
    taking = [unsigned(MANY + n, "C2", "sync/redaction", {}, attachments=[photo]) for n in range(MANY)]
    assert judged_soon([person("C2"), *having, *taking]).files_gone == {photo}


def test_one_thing_more_costs_what_it_is_not_what_is_held() -> None:
    said = [person("C2"), *chain("C2", "fieldbook/edition", MANY)]
    judgement = judge(NETWORK, KINDS, said)
    last = unsigned(MANY, "C2", "fieldbook/edition", {}, after=[said[-1].id], previous=said[-1].id)
    start = time.process_time()
    for _ in range(10):
        more = judge_more(judgement, KINDS, Kept([]), [last])  # nothing held is asked for
    tenth = (time.process_time() - start) / 10
    start = time.process_time()
    assert more == judge(NETWORK, KINDS, [*said, last])
    assert tenth < (time.process_time() - start) / 4
