"""A site in one sealed file, and back again: whole or not at all, whatever the disk, the paper or the file do."""

from __future__ import annotations

import io
import json
import os
import resource
import shutil
import tarfile
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.ledger import invent_phrase, sealing
from fieldbook.site import PhotoIn, Site, back_up, free_name, restore
from tests.orrendal import noon, practice
from tests.photos.pictures import photo, saved
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.orrendal import Circle

PHRASE = invent_phrase(seeded("phrase"))
OTHER = invent_phrase(seeded("other phrase"))


@contextmanager
def nothing_left(*folders: Path) -> Iterator[None]:
    """Check that no name came or went in these folders."""
    before = [sorted(path.name for path in folder.iterdir()) for folder in folders]
    yield
    assert [sorted(path.name for path in folder.iterdir()) for folder in folders] == before


def tree(folder: Path) -> dict[str, bytes]:
    """What a backup has to bring back to the byte: files under their digest, and the key."""
    names = ("site.key", "attachments/*/*", "home_photos/*")
    return {str(path.relative_to(folder)): path.read_bytes() for name in names for path in folder.glob(name)}


def picture(seed: int) -> bytes:
    return saved(photo((80, 60), seed=seed), "JPEG")


def lived_in(circle: Circle) -> Path:
    """C with an entry, a photo on it, a photo that stays home, a draft; the place where backups lie."""
    photos = [PhotoIn("bed.jpg", picture(1), "none"), PhotoIn("people.jpg", picture(2), "")]
    circle.write("C1", practice("Rows of onions"), photos=photos)
    circle["C"].write(practice("Not ready"), signer=circle.signer("C1"), draft=True)
    return circle.new_stick("safe")


def test_a_site_comes_back_with_its_key_people_drafts_photos_and_climate(circle: Circle) -> None:
    safe, site = lived_in(circle), circle["C"]
    made = back_up(site, safe / "c.sealed")
    before, facts = site.verify(), site.notebook.fact("normals")
    assert (made.size_bytes, made.letter, made.left_out) == ((safe / "c.sealed").stat().st_size, "C", ())
    assert [path.name for path in safe.iterdir()] == ["c.sealed"]
    back = restore(safe / "c.sealed", circle.folder / "again", phrase=made.phrase)
    assert (back.letter, back.network, back.time, back.files) == ("C", made.network, made.time, made.files)
    assert tree(circle.folder / "again") == tree(circle.place("C"))
    assert any(name.startswith("home_photos/") for name in tree(circle.folder / "again"))
    again = Site.open(circle.folder / "again", clock=noon)
    assert (again.verify().set, again.verify().state, again.verify().problems) == (before.set, before.state, ())
    assert again.notebook.fact("normals") == facts
    assert [draft.document["title"]["en"] for draft in again.notebook.drafts()] == ["Not ready"]
    assert again.people() == site.people()
    assert [hit.edition for hit in again.search("onions")] == [hit.edition for hit in site.search("onions")] != []
    again.close()


def test_neither_view_nor_index_nor_anything_readable_is_in_it(circle: Circle) -> None:
    safe = lived_in(circle)
    made = back_up(circle["C"], safe / "c.sealed")
    data = made.file.read_bytes()
    clear, _, rest = data.partition(b"\n")
    assert set(json.loads(clear)["sealed"]) == {"cipher", "kdf", "n", "p", "prefix", "r", "salt", "v"}
    for secret in (b"SQLite", b"ustar", b"site.key", b"Cloudstep", b"onions", circle["C"].site_key.seed.hex().encode()):
        assert secret not in rest
    restore(made.file, circle.folder / "again", phrase=made.phrase)
    found = {path.name for path in (circle.folder / "again").iterdir()}
    assert found == {"site.key", "notebook.sqlite", "store.sqlite", "attachments", "home_photos"}
    private = [circle.folder / "again", *(path for path in (circle.folder / "again").rglob("*") if path.is_file())]
    assert {path.stat().st_mode & 0o077 for path in private} == {0}


def test_a_site_in_no_network_comes_back_too(circle: Circle) -> None:
    circle.shut("C")
    (circle.place("C") / "store.sqlite").unlink()
    made = back_up(circle.open("C"), circle.stick / "c.sealed")
    back = restore(made.file, circle.folder / "again", phrase=made.phrase)
    assert back.network is None
    again = Site.open(circle.folder / "again")
    assert again.unlock("C1", "lantern-gravel-mango-rope").label == "C1"
    again.close()


def test_what_is_said_while_the_file_is_open_is_in_it_as_of_one_moment(circle: Circle) -> None:
    """Nothing has been moved from the log beside the database into it yet, and the copy has it all the same."""
    for turn in range(3):
        circle.write("C1", practice(f"Entry {turn}"))
    assert (circle.place("C") / "store.sqlite-wal").stat().st_size > 0
    made = back_up(circle["C"], circle.stick / "c.sealed")
    restore(made.file, circle.folder / "again", phrase=made.phrase)
    again = Site.open(circle.folder / "again")
    assert again.verify().set == circle["C"].verify().set
    again.close()


def test_the_words_of_an_earlier_sheet_can_be_used_again_and_each_backup_otherwise_has_its_own(circle: Circle) -> None:
    first = back_up(circle["C"], circle.stick / "1", phrase=PHRASE.upper())
    second, third = back_up(circle["C"], circle.stick / "2"), back_up(circle["C"], circle.stick / "3")
    assert first.phrase == PHRASE
    assert len({first.phrase, second.phrase, third.phrase}) == 3
    restore(first.file, circle.folder / "again", phrase="\n".join(word.title() for word in PHRASE.split()))


def test_a_backup_never_replaces_one_and_needs_a_folder_that_is_there(circle: Circle) -> None:
    (circle.stick / "taken").write_bytes(b"the only good backup")
    (circle.stick / "link").symlink_to("nowhere")
    with nothing_left(circle.stick, circle.place("C")):
        for name in ("taken", "link"):
            with pytest.raises(FieldbookError, match="already something called"):
                back_up(circle["C"], circle.stick / name)
        with pytest.raises(FieldbookError, match="no folder"):
            back_up(circle["C"], circle.stick / "gone" / "c.sealed")
        with pytest.raises(FieldbookError, match="has 14 words"):
            back_up(circle["C"], circle.stick / "c.sealed", phrase="correct horse")
    assert (circle.stick / "taken").read_bytes() == b"the only good backup"


def test_a_name_that_is_free_tells_the_site_and_the_day(circle: Circle) -> None:
    first = free_name(circle.stick, circle["C"])
    first.touch()
    assert first.name == "tried-ground-backup-C-2026-11-25.sealed"
    assert free_name(circle.stick, circle["C"]).name == "tried-ground-backup-C-2026-11-25-2.sealed"


def test_a_photo_that_is_damaged_here_is_named_and_left_out(circle: Circle) -> None:
    safe = lived_in(circle)
    photo = next(circle.place("C").glob("attachments/*/*"))
    photo.write_bytes(b"spoiled")
    made = back_up(circle["C"], safe / "c.sealed")
    assert made.left_out == (photo.relative_to(circle.place("C")).as_posix(),)
    restore(made.file, circle.folder / "again", phrase=made.phrase)
    assert not (circle.folder / "again" / made.left_out[0]).exists()


def test_a_damaged_database_is_not_taken_for_a_backup(circle: Circle) -> None:
    circle.shut("C")
    store = circle.place("C") / "store.sqlite"
    data = bytearray(store.read_bytes())
    site = circle.open("C")
    data[8192:12288] = b"\xa5" * 4096
    store.write_bytes(data)
    with nothing_left(circle.stick), pytest.raises(FieldbookError, match=r"store\.sqlite is damaged"):
        back_up(site, circle.stick / "c.sealed")


@contextmanager
def files_of_at_most(size_bytes: int) -> Iterator[None]:
    """Let the machine refuse to make any file longer than this, as a full disk does."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("share", [0, 0.001, 0.1, 0.5, 0.99])
def test_no_room_leaves_nothing_behind_on_either_side(circle: Circle, share: float) -> None:
    made = back_up(circle["C"], circle.stick / "c.sealed", phrase=PHRASE)
    size_bytes = int(share * (circle.place("C") / "store.sqlite").stat().st_size)
    (circle.stick / "empty").mkdir()
    with nothing_left(circle.stick, circle.place("C"), circle.folder):
        with files_of_at_most(size_bytes), pytest.raises(FieldbookError) as caught:
            back_up(circle["C"], circle.stick / "second.sealed", phrase=PHRASE)
        assert "disk" in caught.value.hint
        with files_of_at_most(size_bytes), pytest.raises(FieldbookError) as caught:
            restore(made.file, circle.stick / "empty", phrase=PHRASE)
        assert "disk" in caught.value.hint
    assert list((circle.stick / "empty").iterdir()) == []


def test_a_medium_that_gives_back_other_bytes_is_found_out(circle: Circle, monkeypatch: pytest.MonkeyPatch) -> None:
    """The stick loses the last block after it said that it had it."""
    kept = os.fsync

    def lose_the_end(descriptor: int) -> None:
        kept(descriptor)
        os.truncate(descriptor, os.fstat(descriptor).st_size - 512)

    monkeypatch.setattr("fieldbook.site.backup.os.fsync", lose_the_end)
    with nothing_left(circle.stick, circle.place("C")), pytest.raises(FieldbookError, match="cut or damaged"):
        back_up(circle["C"], circle.stick / "c.sealed")


@pytest.fixture
def backup(circle: Circle) -> Path:
    """A backup of C under PHRASE."""
    return back_up(circle["C"], circle.stick / "c.sealed", phrase=PHRASE).file


def refused(circle: Circle, file: Path, said: str, *, phrase: str = PHRASE) -> None:
    with nothing_left(circle.folder, circle.stick), pytest.raises(FieldbookError, match=said) as caught:
        restore(file, circle.folder / "again", phrase=phrase)
    assert caught.value.hint
    assert "\n" not in caught.value.message


def test_wrong_words_a_cut_a_flipped_and_a_foreign_file_are_told_apart(circle: Circle, backup: Path) -> None:
    data = backup.read_bytes()
    refused(circle, backup, "these words do not open this file", phrase=OTHER)
    refused(circle, backup, "one is wrong, or two changed places", phrase=" ".join(reversed(PHRASE.split())))
    refused(circle, circle.stick / "gone", "there is no file")
    refused(circle, circle.stick, "there is no file")
    changed = circle.stick / "changed"
    for spoiled, said in (
        (data[: len(data) // 2], "cut or damaged"),
        (data[:-1], "cut or damaged"),
        (data + b"\0", "cut or damaged"),
        (data[:-99] + bytes([data[-99] ^ 8]) + data[-98:], "cut or damaged"),
        (data.replace(b'"v":1', b'"v":2', 1), "version 2"),
        (b"", "no sealed file"),
        (b"PK\x03\x04 some archive", "no sealed file"),
        (data[:60], "no sealed file"),
    ):
        changed.write_bytes(spoiled)
        refused(circle, changed, said)


def test_a_folder_that_holds_something_is_left_alone(circle: Circle, backup: Path) -> None:
    held = circle.folder / "held"
    held.mkdir()
    (held / "letter").write_text("mine")
    (circle.folder / "link").symlink_to(held)
    with nothing_left(circle.folder, held):
        for name in ("held", "held/letter", "link"):
            with pytest.raises(FieldbookError, match="already something"):
                restore(backup, circle.folder / name, phrase=PHRASE)
        with pytest.raises(FieldbookError, match="no folder"):
            restore(backup, circle.folder / "no" / "where", phrase=PHRASE)
    (circle.folder / "empty").mkdir()
    restore(backup, circle.folder / "empty", phrase=PHRASE)
    Site.open(circle.folder / "empty").close()


def test_what_a_power_cut_left_is_cleared_by_the_next_try(circle: Circle, backup: Path) -> None:
    shutil.copytree(circle.place("L"), circle.folder / ".again.part")
    (circle.place("C") / "backup.part").mkdir()
    (circle.place("C") / "backup.part" / "notebook.sqlite").write_bytes(b"half")
    left = circle.stick / f".backup-{circle['C'].site_key.public[:16]}.part"
    left.write_bytes(b"half")
    restore(backup, circle.folder / "again", phrase=PHRASE)
    back_up(circle["C"], circle.stick / "next", phrase=PHRASE)
    restore(circle.stick / "next", circle.folder / "more", phrase=PHRASE)
    assert not (circle.folder / ".again.part").exists()
    assert not (circle.place("C") / "backup.part").exists()
    assert not left.exists()


MANIFEST: dict[str, Any] = {
    "letter": "C", "name": "C", "network": None, "site": "0" * 64, "time": None, "title": None, "v": 1,
}  # fmt: skip


def forged(circle: Circle, manifest: object, *members: tarfile.TarInfo) -> Path:
    """A file sealed by somebody who knows the words, with whatever they like in it."""
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w", format=tarfile.GNU_FORMAT) as tar:
        head = json.dumps(manifest).encode()
        info = tarfile.TarInfo("backup.json")
        info.size = len(head)
        tar.addfile(info, io.BytesIO(head))
        for member in members:
            tar.addfile(member, io.BytesIO(bytes(member.size)))
    return sealed(circle, out.getvalue())


def sealed(circle: Circle, inside: bytes) -> Path:
    path = circle.stick / "forged"
    with path.open("wb") as file, sealing(file.write, PHRASE, random=seeded("seal")) as writer:
        writer.write(inside)
    return path


def member(name: str, size: int = 10, kind: bytes = tarfile.REGTYPE, link: str = "") -> tarfile.TarInfo:
    info = tarfile.TarInfo(name)
    info.size, info.type, info.linkname = size, kind, link
    return info


@pytest.mark.parametrize(
    "bad",
    [
        member("../../escaped"),
        member("/escaped"),
        member("attachments/../../escaped"),
        member("view.sqlite"),
        member("site.key", 0, tarfile.SYMTYPE, "/etc/passwd"),
        member("site.key", 0, tarfile.LNKTYPE, "backup.json"),
        member("attachments", 0, tarfile.DIRTYPE),
        member("notebook.sqlite", 0, tarfile.FIFOTYPE),
        member("home_photos/" + "0" * 63),
        member("attachments/01/" + "0" * 64),
    ],
    ids=lambda info: f"{info.name} {info.type!r}",
)
def test_nothing_is_unpacked_outside_or_under_a_name_that_no_site_has(circle: Circle, bad: tarfile.TarInfo) -> None:
    refused(circle, forged(circle, MANIFEST, bad), "holds something that no site has")


def test_what_is_sealed_but_is_no_backup_is_refused(circle: Circle, backup: Path) -> None:
    for inside in (b"", b"a letter", bytes(20_000)):
        refused(circle, sealed(circle, inside), "no backup of a site|lacks")
    refused(circle, forged(circle, MANIFEST), r"lacks notebook\.sqlite, site\.key")
    refused(circle, forged(circle, MANIFEST | {"v": 2}), "newer version of this software")
    refused(circle, forged(circle, MANIFEST | {"site": 7}), "does not say which site")
    refused(circle, forged(circle, ["v"]), "no backup of a site")
    photo = member("home_photos/" + "0" * 64)
    refused(circle, forged(circle, MANIFEST, photo), "not what its name says")
    refused(circle, forged(circle, MANIFEST, member("site.key"), member("site.key")), "no site has")
    refused(circle, forged(circle, MANIFEST, member("site.key"), member("notebook.sqlite")), "key .* cannot be read")
