"""A second look at everything in a store: what was altered is named with its place, and what is right is not accused."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

import pytest

from sync import author_statement, check_store
from sync.bundle import seal_bundle
from tests.sync.camps import Site, circle
from tests.sync.scene import LOG, key_of, salt_of
from tests.sync.test_intake import said, sealed, take
from tests.sync.test_store import receipt

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return circle(tmp_path, "C")["C"]


def test_a_sound_store_has_no_problems_and_wanted_files_are_none(site: Site) -> None:
    site.edition(attachments=["0" * 64])
    assert check_store(site.store) == ()


def _spoil(site: Site, sql: str, *values: object) -> list[str]:
    raw = sqlite3.connect(site.file)
    with raw:
        raw.execute(sql, values)
    raw.close()
    return [problem.what for problem in check_store(site.store)]


@pytest.mark.parametrize(
    ("sql", "values", "sentence"),
    [
        ("UPDATE statements SET signature = ? WHERE kind = 'garden/edition'", (bytes(64),), "signature of statement"),
        ("UPDATE statements SET body = ? WHERE kind = 'garden/edition'", (b'{"text":"rows of unions"}',), "commits"),
        ("UPDATE statements SET depth = 7 WHERE kind = 'garden/edition'", (), "does not come after"),
        ("UPDATE statements SET id = ? WHERE sealed = 1", (bytes(32),), "not its own"),
        ("UPDATE bundles SET signature = ?", (bytes(64),), "signature of site"),
        ("UPDATE bundles SET id = ?", (bytes(32),), "that its id names"),
        ("UPDATE statements SET author = ? WHERE sealed = 1", (bytes(32),), "listed as something"),
        ("UPDATE statements SET previous = NULL", (), "listed as something"),
    ],
)
def test_each_thing_that_was_altered_in_the_file_is_named(
    site: Site, sql: str, values: tuple[object, ...], sentence: str
) -> None:
    site.edition(after=[site.edition("1").id])
    take(site, sealed(site, said(site, 1)))
    assert any(sentence in problem for problem in _spoil(site, sql, *values))


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE statements SET signature = zeroblob(64) WHERE number IN (2, 3)",
        "UPDATE statements SET body = x'7b7d' WHERE number IN (2, 3)",
        "UPDATE bundles SET signature = zeroblob(64)",
    ],
)
def test_what_does_not_verify_is_named_once_and_accused_of_nothing_else(site: Site, sql: str) -> None:
    first = site.edition("1")
    site.edition("2", after=[first.id])
    for number in (1, 2):
        take(site, sealed(site, said(site, number), number=number))
    assert len(_spoil(site, sql)) == 2


def test_what_sqlite_finds_wrong_with_the_file_is_named(site: Site) -> None:
    """An index that lists other rows than its table holds, as after a page of it was written at the wrong place."""
    site.edition()
    site.store.close()
    with sqlite3.connect(site.file) as raw:
        raw.execute("PRAGMA writable_schema = ON")
        raw.execute("UPDATE sqlite_schema SET sql = replace(sql, 'sealed = 0', 'sealed = 1') WHERE type = 'index'")
    raw.close()
    site.reopen()
    assert any("the file of the store is damaged" in problem.what for problem in check_store(site.store))


def test_a_damaged_attachment_and_a_damaged_receipt_are_named(site: Site) -> None:
    name = site.store.attachments.put(b"a drawing")
    site.edition(attachments=[name])
    site.store.papers.keep_receipt(receipt(site, 1))
    (site.folder / "attachments" / name[:2] / name).write_bytes(b"a scribble")
    problems = _spoil(site, "UPDATE receipts SET file = ?", b"{}\n")
    assert any("attachment is not what its name says" in problem for problem in problems)
    assert len(problems) == 2


def test_what_a_stranger_names_wrongly_accuses_no_store(site: Site) -> None:
    """A link to another author's statement, or a number after nothing, is the stranger's fault and stays in the set."""
    other = site.introduce("C2", "volunteer")
    crooked = author_statement(
        key=key_of("C1"),
        network_id=site.store.network.id,
        kind="garden/edition",
        body={},
        previous=other.id,
        salt=salt_of(1),
    )
    gap = seal_bundle(
        key=key_of("site T"),
        network_id=site.store.network.id,
        log=LOG,
        lane="text",
        number=2,
        previous=None,
        statements=[crooked],
    )
    take(site, gap)
    assert check_store(site.store) == ()
