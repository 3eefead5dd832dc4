"""Heartbeats and who holds what: a site that lacks a stop is told so, by numbers that no carrier can forge."""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync import FolderCarrier, LocalError, beat, carrier_lacks, disagreeing, heard, places, reaches
from sync.charter.heartbeats import NEWEST_MAX, hear, heartbeat_body, merkle_root
from sync.receipt import write_receipt
from tests.sync.camps import bundles_of, carry, folder_of, meet, new_stick
from tests.sync.charter_scene import Circle
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Statement
    from tests.sync.camps import Site

IDS = st.sets(st.binary(min_size=32, max_size=32).map(bytes.hex), max_size=70)


def stop(site: Site) -> Statement:
    """A word that stops something."""
    return site.say("garden/recall", {"harm": "made a child sick"})


def say_heartbeat(site: Site) -> Statement:
    return beat(site.store, key=key_of("C1"), random=site.chance.randbytes)


# the tree


def root_level_by_level(ids: list[str]) -> str:
    """The same root made the other way: join pairs, let the last one of an odd row rise, until one is left."""
    row = [sha256(b"\0" + bytes.fromhex(each)).digest() for each in ids]
    while len(row) > 1:
        pairs = [sha256(b"\1" + row[i] + row[i + 1]).digest() for i in range(0, len(row) - 1, 2)]
        row = pairs + ([row[-1]] if len(row) % 2 else [])
    return row[0].hex()


@given(IDS)
def test_the_root_is_that_of_the_trees_of_rfc_9162_section_2_1_1(ids: set[str]) -> None:
    ordered = sorted(ids)
    assert merkle_root(ids) == (root_level_by_level(ordered) if ids else sha256(b"").hexdigest())


# what one site makes of it


def test_names_that_a_later_version_adds_leave_a_heartbeat_what_it_says() -> None:
    body = heartbeat_body(counter=3, stopped=["ab" * 32]) | {"zone": "later"}
    word = Circle("C1").say("C1", "sync/heartbeat", body)
    (said,) = hear([word], stopped=frozenset(), held=frozenset())
    assert (said.heartbeat.counter, said.lacking) == (3, 1)


@given(held=IDS, stopped=IDS)
def test_what_is_lacking_is_never_said_to_be_more_than_it_is_and_never_nothing_where_a_named_one_is_away(
    held: set[str], stopped: set[str]
) -> None:
    circle = Circle("C1")
    ordered = sorted(stopped)
    word = circle.say("C1", "sync/heartbeat", heartbeat_body(counter=1, stopped=ordered))
    (said,) = hear([word], stopped=held, held=held)
    away = stopped - held
    assert said.lacking <= len(away)
    assert said.proven is (held == stopped)
    named = set(ordered[-NEWEST_MAX:])
    assert said.lacking >= len(away & named)


def test_the_word_with_the_highest_counter_counts_and_one_that_cannot_be_read_is_passed_over() -> None:
    circle = Circle("C1")
    words = [
        circle.say("C1", "sync/heartbeat", heartbeat_body(counter=counter, stopped=["ab" * 32] * counter))
        for counter in (2, 1)
    ]
    broken = circle.say("C1", "sync/heartbeat", {"counter": 9, "number": -1, "root": "x", "newest": []})
    (said,) = hear([*words, broken], stopped=set(), held=set())
    assert said.heartbeat.counter == 2


# whole sites


def test_a_carrier_that_withholds_a_recall_is_found_out_once_a_heartbeat_arrives(
    sites: dict[str, Site], place: Path, stick: Path
) -> None:
    meet(stick, *sites.values())
    stop(sites["C"])
    say_heartbeat(sites["C"])
    second = new_stick(place, "second")
    sites["C"].exchange(second)
    assert [word.lacking for word in heard(sites["C"].store)] == [0]
    # the courier's stick: the newest urgent bundle of C holds both; C speaks again, and only that is passed on
    withheld = bundles_of(second, "urgent")[-1]
    kept = withheld.read_bytes()
    say_heartbeat(sites["C"])
    sites["C"].exchange(second)
    withheld.unlink()
    sites["T"].exchange(second)
    (word,) = heard(sites["T"].store)
    assert (word.lacking, word.proven) == (1, False)
    withheld.write_bytes(kept)
    sites["T"].exchange(second)
    (word,) = heard(sites["T"].store)
    assert (word.lacking, word.proven, word.heartbeat.number) == (0, True, 1)


def test_a_stop_that_the_steward_has_not_heard_of_is_no_alarm(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    say_heartbeat(sites["C"])
    stop(sites["T"])
    carry(stick, sites["C"], sites["T"])
    (word,) = heard(sites["T"].store)
    assert (word.lacking, word.proven) == (0, False)


def test_only_a_steward_can_say_a_heartbeat(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    with pytest.raises(LocalError, match="cannot say sync/heartbeat"):
        beat(sites["T"].store, key=sites["T"].trainer, random=sites["T"].chance.randbytes)
    assert heard(sites["T"].store) == ()


def test_a_heartbeat_counts_its_own_up(sites: dict[str, Site]) -> None:
    counters = [(say_heartbeat(sites["C"]).body or {})["counter"] for _ in range(3)]
    assert counters == [1, 2, 3]


# who holds what


def test_a_word_is_known_to_be_held_elsewhere_only_when_a_receipt_that_covers_it_has_come_back(
    sites: dict[str, Site], stick: Path
) -> None:
    meet(stick, *sites.values())
    edition = sites["C"].edition()
    here = sites["C"].store

    def holders() -> set[str]:
        (found,) = places(here, [edition.id]).values()
        return {
            reach.site for reach in reaches(here, own_site=sites["C"].key.public) for at in found if reach.covers(at)
        }

    assert places(here, [edition.id]) == {edition.id: ()}
    sites["C"].exchange(stick)
    assert holders() == set()
    sites["T"].exchange(stick)
    assert holders() == set()
    sites["C"].exchange(stick)
    assert holders() == {sites["T"].key.public}


def test_a_site_that_was_put_back_from_an_older_copy_is_asked_anew_what_it_holds(
    sites: dict[str, Site], place: Path, stick: Path
) -> None:
    meet(stick, *sites.values())
    copy = place / "copy of T"
    sites["T"].back_up(copy)
    sites["C"].edition()
    carry(stick, sites["C"], sites["T"], sites["C"])
    before = {receipt.log for receipt in sites["C"].store.receipts() if receipt.site == sites["T"].key.public}
    sites["T"].restore(copy)
    carry(stick, sites["T"], sites["C"])
    after = {receipt.log for receipt in sites["C"].store.receipts() if receipt.site == sites["T"].key.public}
    assert before < after  # both are kept
    reached = reaches(sites["C"].store, own_site=sites["C"].key.public)
    newest = max(
        (receipt for receipt in sites["C"].store.receipts() if receipt.log in after - before),
        key=lambda receipt: receipt.counter,
    )
    of_t = {(each.log, each.urgent, each.text) for each in reached if each.site == sites["T"].key.public}
    assert of_t == {(log, *numbers) for log, numbers in newest.held.items()}


def test_a_stick_that_has_all_lacks_nothing_and_an_empty_one_lacks_all(
    sites: dict[str, Site], place: Path, stick: Path
) -> None:
    meet(stick, *sites.values())
    here = sites["C"].store
    full = carrier_lacks(here, FolderCarrier(stick))
    assert (full.urgent, full.text, full.attachments) == (0, 0, 0)
    sites["C"].edition()
    stop(sites["C"])
    lacks = carrier_lacks(here, FolderCarrier(stick))
    assert (lacks.urgent, lacks.text) == (1, 1)
    empty = carrier_lacks(here, FolderCarrier(new_stick(place, "empty")))
    assert empty.urgent + empty.text == here.count()


@pytest.mark.parametrize(("fold", "named"), [(1, ["T"]), (2, [])])
def test_a_site_that_makes_another_state_of_the_same_set_is_named_unless_its_fold_is_another(
    sites: dict[str, Site], stick: Path, fold: int, named: list[str]
) -> None:
    """T11: equal sets with unequal hashes are a report by themselves."""
    meet(stick, *sites.values())
    assert disagreeing(sites["C"].store, own_site=sites["C"].key.public) == ()
    t = sites["T"]
    newest = max((one for one in t.store.receipts() if one.site == t.key.public), key=lambda one: one.counter)
    other = write_receipt(
        key=t.key,
        network_id=t.store.network.id,
        log=newest.log,
        counter=newest.counter + 1,
        held=newest.held,
        follows=newest.follows,
        fold=fold,
        set_digest=newest.set,
        state_digest="0" * 64,
    )
    (folder_of(stick) / other.path).write_bytes(other.to_bytes())
    sites["C"].exchange(stick)
    found = disagreeing(sites["C"].store, own_site=sites["C"].key.public)
    assert found == tuple(sites[letter].key.public for letter in named)
