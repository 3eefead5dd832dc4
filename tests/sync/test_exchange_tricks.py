"""Tricks of a carrier or a courier: the same folder for a year, names spelled otherwise, others' receipts and photos."""

from __future__ import annotations

import gzip
from typing import TYPE_CHECKING

import pytest

from sync import attachment_id, limits
from sync.attachments import attachment_path
from sync.bundle import seal_bundle
from sync.exchange import checking
from sync.receipt import receipt_path, write_receipt
from sync.statement import author_statement
from tests.sync.camps import bundles_of, carry, files_of, folder_of, meet
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.sync.camps import Site


def logs_of(site: Site) -> tuple[str, ...]:
    return site.store.papers.own_logs(site.key.public)


def test_the_same_folder_fifty_two_times_changes_nothing(sites: dict[str, Site], stick: Path) -> None:
    """One stick, never refreshed, each week of a year."""
    meet(stick, *sites.values())
    site = sites["T"]
    before, held = files_of(stick), site.store.set_hash()
    reports = [site.exchange(stick) for _ in range(52)]
    assert files_of(stick) == before
    assert site.store.set_hash() == held
    assert {(report.accepted.number, report.left, len(report.refused)) for report in reports} == {(0, 0, 0)}


@pytest.mark.parametrize(
    "respell",
    [
        lambda name: name.replace("-", "\N{HYPHEN}"),
        lambda name: name.translate({ord(digit): 0xFF10 + int(digit) for digit in "0123456789"}),
        lambda name: f"{name}\N{COMBINING ACUTE ACCENT}",
        lambda name: name.replace(".bundle", ".bundl\N{CYRILLIC SMALL LETTER IE}"),
    ],
    ids=["another hyphen", "wide digits", "an accent behind", "another letter"],
)
def test_a_name_that_only_looks_like_one_of_ours_is_never_opened_and_the_bundle_is_left_again(
    sites: dict[str, Site], stick: Path, respell: Callable[[str], str]
) -> None:
    """A file system or a program that spells names otherwise (Unicode, NFD, wide forms)."""
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    paths = bundles_of(stick)
    for path in paths:
        path.rename(path.with_name(respell(path.name)))
    sites["T"].exchange(stick)
    assert sites["T"].store.get(edition.id) is None
    assert not any(path.exists() for path in paths)
    sites["C"].exchange(stick)
    assert all(path.exists() for path in paths)
    carry(stick, *sites.values())
    assert sites["T"].store.set_hash() == sites["C"].store.set_hash()


def test_a_receipt_of_another_site_that_claims_my_log_gives_me_no_new_log(sites: dict[str, Site], stick: Path) -> None:
    """Only my own key could speak of my log, so anybody else's word on it is a hint and no more."""
    meet(stick, *sites.values())
    mine, liar = sites["C"], sites["T"]
    newest = max((one for one in liar.store.receipts() if one.site == liar.key.public), key=lambda one: one.counter)
    claimed = write_receipt(
        key=liar.key,
        network_id=liar.store.network.id,
        log=logs_of(mine)[-1],
        counter=9_999,
        held=dict.fromkeys(newest.held, (99, 99)),
        follows=(),
        fold=newest.fold,
        set_digest=newest.set,
        state_digest=newest.state,
    )
    (folder_of(stick) / claimed.path).write_bytes(claimed.to_bytes())
    before = logs_of(mine)
    mine.edition("said after the lie")
    mine.exchange(stick)
    assert logs_of(mine) == before
    meet(stick, *sites.values())


def test_a_stuffed_receipt_is_left_where_it_lies_and_the_exchange_goes_on(sites: dict[str, Site], stick: Path) -> None:
    """It may be somebody's forgery or a version to come: neither is believed, and neither is removed."""
    meet(stick, *sites.values())
    data = b'{"receipt":[' + b"[]," * 160_001 + b"[]]}\n"
    path = folder_of(stick) / receipt_path(sites["T"].key.public, logs_of(sites["T"])[-1], 9_999, data)
    path.write_bytes(data)
    edition = sites["T"].edition("said beside it")
    sites["T"].exchange(stick)
    report = sites["C"].exchange(stick)
    assert sites["C"].store.get(edition.id) is not None
    assert [left.file for left in report.waiting_files] == [str(path.relative_to(folder_of(stick)))]
    assert "single values" in report.waiting_files[0].reason
    assert path.read_bytes() == data


def test_a_site_that_a_file_under_a_crossed_name_lets_in_is_heard_at_the_same_visit(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The text under the name of the grant comes first; so the grant, under the name of that text, looks as if held."""
    meet(stick, *sites.values())
    monkeypatch.setattr(checking, "READ_AGAIN", 100)
    before = set(bundles_of(stick))
    new = key_of("site X")
    sites["C"].say("sync/grant", {"key": new.public, "letter": "X", "name": "Drywell", "role": "site"})
    sites["C"].edition("beside it")
    sites["C"].exchange(stick)
    text, urgent = sorted(set(bundles_of(stick)) - before, key=lambda path: path.parent.name)
    crossed = text.read_bytes(), urgent.read_bytes()
    urgent.write_bytes(crossed[0])
    text.write_bytes(crossed[1])
    said = author_statement(
        key=new, network_id=sites["C"].store.network.id, kind="garden/recall", body={"why": "it burns"}, salt=bytes(16)
    )
    bundle = seal_bundle(
        key=new, network_id=sites["C"].store.network.id, log="0" * 16, lane="urgent", number=1, previous=None,
        statements=[said],
    )  # fmt: skip
    place = folder_of(stick) / bundle.path
    place.parent.mkdir(parents=True)
    place.write_bytes(bundle.to_bytes())
    report = sites["T"].exchange(stick)
    assert sites["T"].store.get(said.id) is not None
    assert report.waiting_files == ()


def test_another_photo_under_the_name_of_an_approved_one_is_never_taken(sites: dict[str, Site], stick: Path) -> None:
    """An edition names its photos by digest, so an approval cannot come to stand beside another picture."""
    meet(stick, *sites.values())
    right, wrong = b"the photo that was approved" * 40, b"another photo altogether!!!" * 40
    name = sites["C"].store.attachments.put(right)
    sites["C"].edition(attachments=[name])
    sites["C"].exchange(stick)
    place = folder_of(stick) / attachment_path(name)
    assert place.read_bytes() == right
    place.write_bytes(wrong)
    sites["T"].exchange(stick)
    assert sites["T"].store.attachments.get(name) is None
    assert attachment_id(wrong) not in sites["T"].store.attachments.ids()
    carry(stick, sites["C"], sites["T"])
    assert sites["T"].store.attachments.get(name) == right


def test_no_file_that_is_left_on_a_carrier_comes_near_what_fat32_can_hold() -> None:
    """FAT32 holds no file of 4 GiB or more (Microsoft FAT specification; from memory): each kind has its cap."""
    caps = (
        limits.NETWORK_BYTES_MAX,
        limits.JOINING_BYTES_MAX,
        limits.RECEIPT_BYTES_MAX,
        limits.BUNDLE_PACKED_BYTES_MAX,
        limits.ATTACHMENT_BYTES_MAX,
    )
    assert max(caps) < 2**32 // 100


@pytest.mark.parametrize("declared", [0, 1, -1, 2**31, 2**32 - 1])
def test_a_bundle_that_declares_another_size_than_it_has_is_refused(
    sites: dict[str, Site], stick: Path, declared: int
) -> None:
    """RFC 1952, section 2.3.1: the last four bytes are the size before packing, modulo 2^32."""
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    for path in bundles_of(stick):
        data = path.read_bytes()
        true = int.from_bytes(data[-4:], "little")
        path.write_bytes(data[:-4] + ((declared if declared >= 0 else true - 1) % 2**32).to_bytes(4, "little"))
    report = sites["T"].exchange(stick)
    assert sites["T"].store.get(edition.id) is None
    assert report.refused
    carry(stick, *sites.values())
    assert sites["T"].store.get(edition.id) is not None


@pytest.mark.parametrize("number", ["-1", "0", "9223372036854775808", "1e3", "1.0"])
def test_a_number_that_no_bundle_has_is_refused_before_anything_is_made_of_it(
    sites: dict[str, Site], stick: Path, number: str
) -> None:
    """Below one, 2^63, and two spellings that are no whole number: RFC 8259 lets a reader take any of them."""
    sites["C"].edition()
    sites["C"].exchange(stick)
    for path in bundles_of(stick):
        first, rest = gzip.decompress(path.read_bytes()).split(b"\n", 1)
        assert b'"number":1' in first
        path.write_bytes(gzip.compress(first.replace(b'"number":1', b'"number":' + number.encode()) + b"\n" + rest, 9))
    held = sites["T"].store.count()
    assert sites["T"].exchange(stick).refused
    assert sites["T"].store.count() == held
    carry(stick, *sites.values())
    assert sites["T"].store.set_hash() == sites["C"].store.set_hash()


def test_a_name_cut_to_eight_and_three_letters_is_never_opened_and_the_bundle_is_left_again(
    sites: dict[str, Site], stick: Path
) -> None:
    """A medium without long names (FAT short names, as 0000~1.BUN); even a case that is ours is not enough."""
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    for number, path in enumerate(bundles_of(stick), start=1):
        path.rename(path.with_name(f"000000~{number}.BUN"))
    sites["T"].exchange(stick)
    assert sites["T"].store.get(edition.id) is None
    carry(stick, *sites.values())
    assert sites["T"].store.get(edition.id) is not None
