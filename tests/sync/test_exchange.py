"""Exchanges between whole sites: what is taken in, what is left, in which order, and who is waited for."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import (
    CarrierError,
    FolderCarrier,
    Joining,
    LocalError,
    Network,
    RemoteError,
    ask_to_join,
    check_store,
    exchange,
    find_joining,
    fingerprint_words,
    leave_joining,
    read_network,
)
from sync.bundle import parse_bundle, seal_bundle
from sync.exchange.checking import READ_AGAIN
from sync.limits import SEALED_PACKED_BYTES_PREFERRED
from tests.sync.camps import (
    Site,
    Watched,
    bundles_of,
    carry,
    circle,
    files_of,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    state_of,
)
from tests.sync.charter_scene import network_of
from tests.sync.scene import LOG, key_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path


def kinds_of_names(names: list[str]) -> list[str]:
    """What sort of file each name is, runs of one sort taken together."""
    sorts = [
        name.split("/")[3] if name.startswith("sites/") else name.partition("/")[0].removesuffix(".json")
        for name in names
    ]
    return [sort for index, sort in enumerate(sorts) if index == 0 or sorts[index - 1] != sort]


def _wish_of_saltreed(network: Network) -> Joining:
    return ask_to_join(key=key_of("site S"), letter="S", name="Saltreed", network_id=network.id)


# the main job


def test_the_first_exchange_makes_the_folder_and_an_independent_verifier_reads_it(
    sites: dict[str, Site], stick: Path
) -> None:
    sites["C"].edition(attachments=[sites["C"].store.attachments.put(b"a drawing")])
    report = sites["C"].exchange(stick)
    names = [path.relative_to(folder_of(stick)).as_posix() for path in sorted(folder_of(stick).rglob("*.*"))]
    assert names[0] == "network.json"
    assert report.left == len([path for path in stick.rglob("*") if path.is_file()])
    assert (report.not_left, report.not_proven, report.refused, report.notes) == (0, 0, (), ())
    assert check_carrier(stick) == []


def test_after_a_stick_went_round_all_sites_hold_the_same(sites: dict[str, Site], stick: Path) -> None:
    editions = [site.edition(f"by {letter}") for letter, site in sites.items()]
    carry(stick, *sites.values(), rounds=3)
    assert share_one_set(*sites.values())
    for site in sites.values():
        assert [state_of(site, edition.id) for edition in editions] == ["accepted"] * 3
        assert check_store(site.store) == ()
    assert check_carrier(stick) == []


def test_taking_in_twice_changes_nothing_on_either_side(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    before = files_of(stick), [site.store.set_hash() for site in sites.values()]
    for _ in range(3):
        for site in sites.values():
            report = site.exchange(stick)
            assert (report.accepted.number, report.changed.number, report.left, report.refused) == (0, 0, 0, ())
    assert (files_of(stick), [site.store.set_hash() for site in sites.values()]) == before


def test_an_exchange_with_nothing_new_opens_a_few_files_whatever_the_stick_holds(
    sites: dict[str, Site], stick: Path
) -> None:
    for number in range(12):
        sites["C"].edition(str(number))
        sites["C"].exchange(stick)
    meet(stick, *sites.values())
    carrier = Watched(stick)
    sites["T"].exchange(carrier)
    assert len(carrier.read_names) <= 1 + READ_AGAIN
    assert carrier.written_names == []


def test_files_are_read_and_written_in_the_agreed_order(sites: dict[str, Site], stick: Path) -> None:
    photo = sites["C"].store.attachments.put(b"a photo")
    sites["C"].edition(attachments=[photo])
    sites["C"].say("garden/recall", {})
    sites["C"].store.papers.keep_joining(_wish_of_saltreed(sites["C"].store.network))
    carrier = Watched(stick)
    sites["C"].exchange(carrier)
    order = ["network", "joining", "urgent", "receipts", "text", "attachments"]
    assert kinds_of_names(carrier.written_names) == order
    carrier = Watched(stick)
    sites["T"].exchange(carrier)
    assert kinds_of_names(carrier.read_names)[: len(order)] == order
    assert kinds_of_names(carrier.written_names) == ["receipts", "text"]


def test_the_report_says_what_came_and_what_became_of_it(sites: dict[str, Site], stick: Path) -> None:
    waiting = sites["T"].edition()
    sites["T"].exchange(stick)
    sites["C"].edition()
    first = sites["C"].exchange(stick)
    assert waiting.id in first.accepted.names
    assert first.changed == first.accepted
    second = sites["T"].exchange(stick)
    assert waiting.id in second.accepted.names
    assert set(second.accepted.names) == {each.id for each in sites["T"].store.statements()}


def test_progress_is_told_while_files_are_taken_and_left(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].edition()
    told: list[tuple[str, int, int]] = []
    for letter in "CT":
        exchange(
            sites[letter].store,
            FolderCarrier(stick),
            site_key=sites[letter].key,
            random=sites[letter].chance.randbytes,
            state_lines=sites[letter].state_lines,
            progress=lambda *parts: told.append(parts),
        )
    assert {what for what, _, _ in told} >= {"leaving text", "taking in urgent", "taking in text"}
    assert all(0 <= done < of for _, done, of in told)


# sites that are not granted yet


def test_a_site_that_is_not_granted_waits_in_place_and_is_taken_in_after_its_grant(place: Path, stick: Path) -> None:
    sites = circle(place, "CT", granted=False)
    sites["C"].exchange(stick)
    sites["T"].store.close()
    sites["T"].file.unlink()
    sites["T"].join(stick).introduce()
    edition = sites["T"].edition()
    sites["T"].exchange(stick)
    report = sites["C"].exchange(stick)
    assert state_of(sites["C"], edition.id) is None
    (left,) = report.waiting_files
    assert left.file in {path.relative_to(folder_of(stick)).as_posix() for path in bundles_of(stick)}
    assert "no signatory has granted" in left.reason
    assert [joining.site.letter for joining in sites["C"].store.joins()] == ["T"]
    sites["C"].grant("T")
    assert sites["C"].store.joins() == ()
    report = sites["C"].exchange(stick)
    assert (report.waiting_files, state_of(sites["C"], edition.id)) == ((), "accepted")
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"
    sites["C"].exchange(stick)
    assert list((folder_of(stick) / "joining").iterdir()) == []


def test_the_files_of_a_site_that_is_not_granted_are_neither_opened_nor_removed(place: Path, stick: Path) -> None:
    sites = circle(place, "CT", granted=False)
    sites["T"].introduce()
    sites["T"].exchange(stick)
    for path in bundles_of(stick):
        path.write_bytes(b"damaged")
    carrier = Watched(stick)
    report = sites["C"].exchange(carrier)
    assert report.refused == ()
    assert not [name for name in carrier.read_names if name.startswith("sites/")]
    assert [path.read_bytes() for path in bundles_of(stick, "text") if key_of("site T").public[:26] in str(path)]


def test_a_bundle_of_a_site_that_is_not_granted_is_not_taken_from_the_folder_of_another(
    place: Path, stick: Path
) -> None:
    sites = circle(place, "CT", granted=False)
    sites["C"].exchange(stick)
    (ours,) = bundles_of(stick)
    sites["T"].introduce()
    sites["T"].exchange(stick)
    (theirs,) = set(bundles_of(stick)) - {ours}
    hidden = theirs.rename(ours.with_name(theirs.name))
    before = sites["C"].store.set_hash()
    report = sites["C"].exchange(stick)
    assert [refusal.file for refusal in report.waiting_files] == [hidden.relative_to(folder_of(stick)).as_posix()]
    assert (sites["C"].store.set_hash(), hidden.exists()) == (before, True)


def test_a_grant_that_is_read_last_admits_what_was_passed_over_in_the_same_visit(place: Path, stick: Path) -> None:
    """The grant of T lies in a bundle of the text lane, after T's own bundles: the receiver goes by kind."""
    sites = circle(place, "CTL", granted=False)
    grant = sites["C"].grant("T")
    sites["T"].introduce()
    edition = sites["T"].edition()
    sites["T"].exchange(stick)
    network_id = sites["C"].store.network.id
    late = seal_bundle(
        key=sites["C"].key,
        network_id=network_id,
        log="f" * 16,
        lane="text",
        number=1,
        previous=None,
        statements=[grant],
    )
    path = folder_of(stick) / late.path
    path.parent.mkdir(parents=True)
    path.write_bytes(late.to_bytes())
    sites["L"].exchange(stick)
    assert state_of(sites["L"], edition.id) == "accepted"


def test_wishes_to_join_are_carried_by_all_and_bounded(sites: dict[str, Site], stick: Path) -> None:
    network = sites["C"].store.network
    sites["C"].exchange(stick)
    folder = folder_of(stick) / "joining"
    folder.mkdir(exist_ok=True)
    for number in range(130):
        wish = ask_to_join(key=key_of(f"wisher {number}"), letter="X", name="x", network_id=network.id)
        (folder / wish.path.partition("/")[2]).write_bytes(wish.to_bytes())
    sites["C"].exchange(stick)
    assert len(sites["C"].store.joins()) == 100
    other = new_stick(stick.parent, "other")
    sites["C"].exchange(other)
    assert len(list((folder_of(other) / "joining").iterdir())) == 100
    asking = Site(stick.parent / "saltreed", "S", chance=Random(8)).found(network)
    asking.wish()
    asking.exchange(stick)  # it leaves its own wish, though the stick is full of others'
    assert (folder_of(stick) / _wish_of_saltreed(network).path).is_file()
    bad = folder / f"{'0' * 26}.json"
    bad.write_bytes(b"{}\n")
    sites["T"].exchange(stick)
    assert not bad.exists()


def test_a_wish_is_found_by_its_words_on_a_carrier_that_holds_more_than_are_kept(
    sites: dict[str, Site], stick: Path
) -> None:
    store, carrier = sites["C"].store, FolderCarrier(stick)
    wish = _wish_of_saltreed(store.network)
    words = fingerprint_words(wish.site.key)
    assert find_joining(store, carrier, words) is None
    sites["C"].exchange(stick)
    folder = folder_of(stick) / "joining"
    folder.mkdir(exist_ok=True)
    for number in range(120):
        junk = ask_to_join(key=key_of(f"junk {number}"), letter="S", name="Saltreed", network_id=store.network.id)
        (folder_of(stick) / junk.path).write_bytes(junk.to_bytes())
    sites["C"].exchange(stick)
    for name, bytes_ in (("1" * 26, b"{}\n"), ("2" * 26, b"\xff" * 9000), ("letter", wish.to_bytes())):
        (folder / f"{name}.json").write_bytes(bytes_)
    assert find_joining(store, carrier, words) is None
    (folder_of(stick) / wish.path).write_bytes(wish.to_bytes())
    found = find_joining(store, carrier, words.upper())
    assert found is not None
    assert found.site == wish.site
    assert wish.site.key not in {each.site.key for each in store.joins()}


# networks


def test_a_stick_of_another_network_is_left_untouched(sites: dict[str, Site], place: Path) -> None:
    theirs = new_stick(place, "theirs")
    other = Site(place / "other", "S", chance=Random(7)).found(network_of("C1", "C9", threshold=2))
    other.exchange(theirs)
    before = files_of(theirs)
    with pytest.raises(RemoteError, match="belongs to another network") as caught:
        sites["C"].exchange(theirs)
    assert files_of(theirs) == before
    (theirs / sites["C"].store.network.folder).mkdir()
    assert sites["C"].store.network.folder in caught.value.hint
    report = sites["C"].exchange(theirs)
    assert "left alone" in report.notes[0]
    assert {name: data for name, data in files_of(theirs).items() if name in before} == before


def test_a_damaged_or_foreign_network_file_is_written_again(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].exchange(stick)
    path = folder_of(stick) / "network.json"
    right = path.read_bytes()
    for wrong in (b"", right[:-3], network_of("C1", "C9", threshold=2).to_bytes()):
        path.write_bytes(wrong)
        report = sites["T"].exchange(stick)
        assert [refusal.file for refusal in report.refused] == ["network.json"]
        assert path.read_bytes() == right


def test_a_joining_site_finds_one_network_or_is_told_why_not(sites: dict[str, Site], stick: Path, place: Path) -> None:
    with pytest.raises(RemoteError, match="holds no network"):
        read_network(FolderCarrier(stick))
    sites["C"].exchange(stick)
    assert read_network(FolderCarrier(stick)) == sites["C"].store.network
    (stick / f"tried-ground-{'0' * 26}").mkdir()
    with pytest.raises(RemoteError, match="2 networks"):
        read_network(FolderCarrier(stick))
    other = new_stick(place, "other")
    (other / f"tried-ground-{'0' * 26}").mkdir()
    (other / f"tried-ground-{'0' * 26}" / "network.json").write_bytes(sites["C"].store.network.to_bytes())
    with pytest.raises(RemoteError, match="another network"):
        read_network(FolderCarrier(other))


def test_a_granted_site_does_not_ask_again(sites: dict[str, Site], stick: Path) -> None:
    with pytest.raises(LocalError, match="belongs to the network already"):
        leave_joining(
            sites["C"].store, FolderCarrier(stick), site_key=sites["C"].key, letter="C", name="Cloudstep Terrace"
        )


def test_a_stick_that_cannot_be_listed_stops_the_exchange_before_anything_is_done(
    sites: dict[str, Site], stick: Path
) -> None:
    (stick / sites["C"].store.network.folder).symlink_to(stick)
    with pytest.raises(CarrierError, match="not a regular file"):
        sites["C"].exchange(stick)


# sealing


def test_bundles_are_small_apart_by_lane_and_numbered_without_a_gap(sites: dict[str, Site], stick: Path) -> None:
    site = sites["C"]
    for _ in range(120):
        site.edition(site.chance.randbytes(700).hex())
    for why in "abc":
        site.say("garden/recall", {"why": why})
    site.edition(site.chance.randbytes(60_000).hex())
    site.exchange(stick)
    for lane in ("urgent", "text"):
        bundles = [parse_bundle(path.read_bytes()) for path in bundles_of(stick, lane)]
        assert [bundle.number for bundle in bundles] == list(range(1, len(bundles) + 1))
        assert [bundle.previous for bundle in bundles] == [None, *(bundle.id for bundle in bundles[:-1])]
        kinds = {each.kind for bundle in bundles for each in bundle.statements}
        assert kinds == {"urgent": {"sync/grant", "garden/recall"}, "text": {"sync/person", "garden/edition"}}[lane]
    sizes = [(path.stat().st_size, parse_bundle(path.read_bytes())) for path in bundles_of(stick)]
    assert all(size <= SEALED_PACKED_BYTES_PREFERRED or len(bundle.statements) == 1 for size, bundle in sizes)
    assert len(sizes) <= 6
    assert list(site.store.shelf.unsealed()) == []


def test_the_statements_of_a_bundle_stand_in_the_order_of_depth(sites: dict[str, Site], stick: Path) -> None:
    site = sites["C"]
    last = site.edition()
    for number in range(5):
        last = site.edition(str(number), after=[last.id])
    site.exchange(stick)
    (path,) = bundles_of(stick, "text")
    names = [each.id for each in parse_bundle(path.read_bytes()).statements]
    assert names == [each.id for each in site.store.statements() if each.id in set(names)]
    assert LOG not in path.as_posix()
