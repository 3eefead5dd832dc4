"""The store of a site: what it keeps, in what order, and what it refuses to open."""

from __future__ import annotations

import sqlite3
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sync import LocalError, Receipt, Statement, Store, ask_to_join, check_store
from sync.intake import Intake
from sync.receipt import write_receipt
from sync.statement import author_statement
from sync.store import Store as SameStore
from tests.sync.camps import KINDS, Site, circle
from tests.sync.charter_scene import network_of
from tests.sync.scene import LOG, key_of

if TYPE_CHECKING:
    from pathlib import Path

HASH = "0" * 64


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return circle(tmp_path, "C")["C"]


def receipt(site: Site, counter: int, *, log: str = LOG, state: str = HASH) -> Receipt:
    return write_receipt(
        key=site.key,
        network_id=site.store.network.id,
        log=log,
        counter=counter,
        held={},
        follows=(),
        fold=1,
        set_digest=HASH,
        state_digest=state,
    )


def test_a_store_is_opened_again_as_it_was_closed(site: Site) -> None:
    first = site.edition()
    second = site.edition(after=[first.id], time="2026-11-25T10:02:00Z")
    before = list(site.store.statements()), site.store.set_hash(), site.store.charter.as_value()
    site.store.close()
    site.reopen()
    assert (list(site.store.statements()), site.store.set_hash(), site.store.charter.as_value()) == before
    assert site.store.get(second.id) == second
    assert site.store.network.title == "Orrendal Garden Circle"


def test_a_missing_store_is_an_error_and_never_an_empty_one(tmp_path: Path) -> None:
    with pytest.raises(LocalError, match="there is no store at"):
        Store.open(tmp_path / "store.sqlite", KINDS)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("content", [b"", b"not a database", b"SQLite format 3\x00" + bytes(500)])
def test_a_foreign_file_in_place_of_a_store_is_an_error(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "store.sqlite"
    path.write_bytes(content)
    with pytest.raises(LocalError, match="store"):
        Store.open(path, KINDS)
    assert path.read_bytes() == content


def test_another_programs_database_is_an_error(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE theirs (a)")
    other.close()
    with pytest.raises(LocalError, match="not a store of ours"):
        Store.open(path, KINDS)


def test_a_store_of_a_newer_version_is_refused_in_one_sentence(site: Site) -> None:
    site.store.close()
    raw = sqlite3.connect(site.file)
    raw.execute("PRAGMA user_version = 2")
    raw.close()
    with pytest.raises(LocalError, match="newer version") as caught:
        site.reopen()
    assert caught.value.hint == "bring this site's software up to date"


def test_a_store_that_was_never_finished_says_so(site: Site) -> None:
    site.store.close()
    raw = sqlite3.connect(site.file)
    raw.execute("PRAGMA user_version = 0")
    raw.close()
    with pytest.raises(LocalError, match="never finished"):
        site.reopen()


def test_what_a_power_cut_left_of_a_store_that_was_being_made_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / "store.sqlite.new").write_bytes(b"half")
    store = Store.create(tmp_path / "store.sqlite", network_of("C1", threshold=1), KINDS)
    assert store.count() == 0
    assert [path.name for path in tmp_path.glob("*.new*")] == []
    store.close()


def test_a_store_in_a_folder_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(LocalError, match="store"):
        Store.create(tmp_path / "no" / "store.sqlite", network_of("C1", threshold=1), KINDS)


def test_a_store_is_never_begun_over_another(site: Site) -> None:
    with pytest.raises(LocalError, match="already a file"):
        Store.create(site.file, site.store.network, KINDS)


def test_a_store_whose_pages_are_spoiled_says_so(site: Site) -> None:
    for number in range(50):
        site.edition(str(number) * 500)
    site.store.close()
    data = bytearray(site.file.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    site.file.write_bytes(data)
    with pytest.raises(LocalError, match=r"damaged|cannot be used"):
        site.reopen()


def test_the_file_survives_power_cuts_by_its_settings(site: Site) -> None:
    """Source: SQLite documentation, 'PRAGMA synchronous' (2 is FULL) and 'Write-Ahead Logging'."""
    row = site.store._database.row
    assert row("PRAGMA journal_mode")[0] == "wal"
    assert row("PRAGMA synchronous")[0] == 2
    assert row("PRAGMA foreign_keys")[0] == 1
    assert row("PRAGMA secure_delete")[0] == 1


def test_a_transaction_that_fails_leaves_nothing(site: Site) -> None:
    before = site.store.count(), site.store.set_hash()
    statement = circle(site.folder / "other", "C")["C"].edition()

    def add_and_fail() -> None:
        with site.store.transaction():
            site.store.add([statement], sealed=False)
            assert site.store.count() == before[0] + 1
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        add_and_fail()
    assert (site.store.count(), site.store.set_hash()) == before
    assert site.store.verdict(statement.id) is None


@pytest.mark.parametrize("replaced", [True, False])
def test_nothing_is_taken_into_a_store_that_was_taken_away_while_in_use(site: Site, *, replaced: bool) -> None:
    """What SQLite wrote then would be acknowledged, and be gone when the program ends."""
    held = site.edition()
    site.file.rename(site.file.with_name("elsewhere"))
    if replaced:
        site.file.write_bytes(b"")
    with pytest.raises(LocalError, match="was removed or replaced while it was in use") as refusal:
        site.edition("lost")
    assert "put the site's folder back" in refusal.value.hint
    assert site.store.get(held.id) is not None


def test_what_another_process_writes_is_seen(site: Site) -> None:
    other = SameStore.open(site.file, KINDS)
    before = other.set_hash()
    statement = site.edition()
    verdict = other.verdict(statement.id)
    assert verdict is not None
    assert verdict.state == "accepted"
    assert other.set_hash() == site.store.set_hash() != before
    other.close()


def test_a_second_writer_is_told_after_a_while(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sync.store.database._PRAGMAS", ("busy_timeout = 10", "journal_mode = WAL"))
    other = SameStore.open(site.file, KINDS)
    with site.store.transaction(), pytest.raises(LocalError, match="another process"), other.transaction():
        pass
    other.close()


def test_depth_counts_answers_whatever_comes_first(site: Site, tmp_path: Path) -> None:
    first = site.edition("1")
    second = site.edition("2", after=[first.id])
    third = site.edition("3", after=[first.id, second.id])
    for order in ([first, second, third], [third, second, first], [second, third, first], [third, first, second]):
        store = circle(tmp_path / "-".join(each.id[:4] for each in order), "C")["C"].store
        intake = Intake(store)
        for statement in order:
            intake.take_alone(statement)
        assert [store.depth(each.id) for each in (first, second, third)] == [0, 1, 2]
        assert [each.id for each in store.statements()][-2:] == [second.id, third.id]
        assert check_store(store) == ()


@settings(max_examples=10, deadline=None)
@given(order=st.permutations(range(12)), seed=st.integers(0, 5))
def test_every_order_of_arrival_gives_one_order_and_one_hash(
    order: list[int], seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    chance = Random(seed)
    folder = tmp_path_factory.mktemp("orders")
    site = circle(folder / "a", "C")["C"]
    said: list[Statement] = []
    for number in range(12):
        after = chance.sample([each.id for each in said], min(len(said), chance.randrange(3)))
        said.append(site.edition(str(number), after=after))
    other = Store.create(folder / "store.sqlite", site.store.network, KINDS)
    intake = Intake(other)
    for person in site.store.shelf.of_kind("sync/person"):
        intake.take_alone(person)
    for number in order:
        intake.take_alone(said[number])
        intake.take_alone(said[order[0]])
    assert list(other.statements()) == list(site.store.statements())
    assert other.set_hash() == site.store.set_hash()
    assert other.judgement.verdicts == site.store.judgement.verdicts
    other.close()
    site.store.close()


def test_an_authors_next_statement_follows_the_newest_that_nothing_follows(site: Site) -> None:
    deep = site.edition(after=[site.edition("1").id])
    shallow = site.edition("a new beginning")
    assert shallow.previous == deep.id
    assert site.edition("next").previous == shallow.id
    assert site.store.last_of(key_of("T1").public) is None


def test_the_pages_of_statements_join_without_a_gap(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    said = {site.edition(str(number)).id for number in range(11)}
    monkeypatch.setattr("sync.store.statements.PAGE_ROWS", 3)
    given_out = [each.id for each in site.store.statements()]
    assert len(given_out) == len(set(given_out)) == 12
    assert said < set(given_out)


def test_statements_may_be_written_while_others_are_read(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sync.store.statements.PAGE_ROWS", 1)
    before = {site.edition().id, site.edition("2").id}
    seen = set()
    for statement in site.store.statements():
        seen.add(statement.id)
        if site.store.count() < 9:
            site.edition(str(site.store.count()))
    assert before < seen
    assert site.store.count() == 9


def test_of_receipts_only_the_newest_of_each_site_and_log_is_kept(site: Site) -> None:
    keep = site.store.papers.keep_receipt
    assert keep(receipt(site, 2))
    assert not keep(receipt(site, 1))
    assert not keep(receipt(site, 2))
    assert keep(receipt(site, 3))
    assert keep(receipt(site, 1, log="1" * 16))
    assert [(each.log, each.counter) for each in site.store.receipts()] == [(LOG, 3), ("1" * 16, 1)]


def test_of_two_receipts_with_one_counter_every_store_keeps_the_same(tmp_path: Path) -> None:
    kept = []
    for number, states in enumerate((("1" * 64, "2" * 64), ("2" * 64, "1" * 64))):
        site = circle(tmp_path / str(number), "C")["C"]
        for state in states:
            site.store.papers.keep_receipt(receipt(site, 1, state=state))
        kept.append(site.store.receipts())
    assert kept[0] == kept[1]


def test_of_wishes_to_join_a_hundred_are_kept_and_the_first_of_each_key(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "store.sqlite", network_of("C1", threshold=1), KINDS)
    for number in range(120):
        wish = ask_to_join(key=key_of(f"{number}"), letter="X", name=str(number), network_id=store.network.id)
        assert store.papers.keep_joining(wish) is (number < 100)
    again = ask_to_join(key=key_of("3"), letter="Y", name="other", network_id=store.network.id)
    assert not store.papers.keep_joining(again)
    assert {each.site.letter for each in store.joins()} == {"X"}
    assert len(store.joins()) == 100


def test_a_body_that_was_taken_back_leaves_no_bytes_behind(site: Site) -> None:
    statement = site.edition("a name that must not stay", attachments=[site.store.attachments.put(b"a face")])
    site.say("sync/redaction", {}, after=[statement.id], attachments=list(statement.attachments))
    held = site.store.get(statement.id)
    assert held is not None
    assert (held.body, held.salt) == (None, None)
    site.store.close()
    left = b"".join(path.read_bytes() for path in site.folder.rglob("*") if path.is_file())
    assert b"must not stay" not in left
    assert b"a face" not in left
    site.reopen()
    assert check_store(site.store) == ()


def test_a_file_belongs_here_while_a_statement_that_stands_names_it(site: Site) -> None:
    shared, alone = (site.store.attachments.put(data) for data in (b"shared", b"alone"))
    first = site.edition(attachments=[shared, alone])
    site.edition("2", attachments=[shared])
    assert [site.store.names_file(each) for each in (shared, alone)] == [True, True]
    site.say("sync/redaction", {}, after=[first.id])
    assert [site.store.names_file(each) for each in (shared, alone, HASH)] == [True, False, False]
    assert site.store.attachments.ids() == tuple(sorted((shared, alone)))


def test_a_chain_that_comes_from_its_end_lies_as_deep_as_one_that_comes_from_its_beginning(site: Site) -> None:
    said: list[Statement] = []
    for number in range(12):
        said.append(
            author_statement(
                key=site.trainer, network_id=site.store.network.id, kind="garden/report", body={"n": number},
                after=[each.id for each in said[-1:]], salt=site.chance.randbytes(16),
            )
        )  # fmt: skip
    coming = said[::-1]
    for part in (coming[:5], coming[5:9], coming[9:]):  # in three portions, each from its end
        site.store.add(part, sealed=True)
    assert [site.store.depth(each.id) for each in said] == list(range(12))
