"""What the rooms of a site refuse: roles, taking back, backups, notebook, view.

Where a machine must fail (a disk, a right, a missing installation) something stands in for the machine, never for the
code that speaks.
"""

from __future__ import annotations

import errno
import shutil
from collections import Counter
from typing import TYPE_CHECKING, Any, cast
from unittest.mock import patch

from fieldbook.ledger import invent_phrase
from fieldbook.practices.codes import ENTRY_KINDS
from fieldbook.site import PhotoIn, Site, back_up, begin_site, free_name, restore
from fieldbook.site.backup import said_plainly
from fieldbook.site.beginning import is_vacant
from fieldbook.site.restoring import _reading, _settle
from fieldbook.site.roles import Doubt
from tests.orrendal import practice, site_facts
from tests.photos.pictures import photo, saved
from tests.sentences.scene import Scene, Situation
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.ledger import Known
    from tests.orrendal import Circle

PHRASE = invent_phrase(seeded("phrase"))
NOBODY = "ab" * 32


def known(site: Site, label: str) -> Known:
    """A key of the network by its label."""
    return next(one for one in site.need_ledger().known() if one.label == label)


# roles


def at_cloudstep(ask: Callable[[Site, Circle], object]) -> Callable[[Scene], object]:
    """Something that is asked at C and changes nothing there."""
    return lambda scene: ask(scene.circle["C"], scene.circle)


def _shared_beginning(names: tuple[str, ...]) -> str:
    letter, times = Counter(name[0] for name in names).most_common(1)[0]
    assert times > 1
    return letter


def _two_of_its_words(site: Site, circle: Circle) -> object:
    person = known(site, "C1")
    return site.word_named(person, _shared_beginning(site.need_ledger().chain_of(person.key)))


def _word_of_another(site: Site, circle: Circle) -> object:
    word = site.need_ledger().chain_of(known(site, "C1").key)[0]
    return site.if_stopped(known(site, "C3"), Doubt(since=(word,)), signer=circle.signer("C1"))


def _two_motions(scene: Scene) -> object:
    circle = scene.new_circle()
    for kind in ENTRY_KINDS:
        for label in ("T1", "S1"):
            circle["C"].make_reviewer(known(circle["C"], label), scope=[kind], signer=circle.signer("C1"))
    motions = tuple(one.id for one in circle["C"].need_ledger().motions())
    return circle["C"].motion_named(_shared_beginning(motions))


def _a_stopped_reviewer(scene: Scene) -> object:
    circle = scene.new_circle()
    circle["C"].stop(known(circle["C"], "C3"), Doubt(), signer=circle.signer("C1"))
    return circle["C"].make_reviewer(known(circle["C"], "C3"), signer=circle.signer("C1"))


def _nobody_left(site: Site, circle: Circle) -> object:
    return site.next_signatories(leave=[known(site, label) for label in ("C1", "L1", "S1")])


def _outside_a_network(scene: Scene) -> Site:
    place = scene.fresh() / "site"
    begin_site(place, site_facts("T"), founding=None)
    return Site.open(place, reserve_bytes=0)


def _no_lender(scene: Scene) -> object:
    site = _outside_a_network(scene)
    try:
        return site.lender("C")
    finally:
        site.close()


# words and photos of entries


def with_photo(circle: Circle, label: str, **options: Any) -> str:
    """An edition with a photo called row."""
    entry = practice("Rows", photos=[{"name": "row", "alt": {"en": "A row"}, "people": "none"}])
    picture = PhotoIn("row", saved(photo((60, 40)), "JPEG"), "none", "row.jpg")
    return circle.write(label, entry, photos=[picture], **options)


def _no_such_photo(scene: Scene) -> object:
    circle = scene.new_circle()
    return circle["C"].take_back_photo(with_photo(circle, "C1"), "column", signer=circle.signer("C1"))


def _photo_of_two_authors(scene: Scene) -> object:
    circle = scene.new_circle()
    edition = with_photo(circle, "T1")
    circle.carry("TC")
    document = dict(circle["C"].entry_value(edition).document)
    circle.write("C3", document, after=[edition])
    circle.carry("CT")
    return circle["T"].take_back_photo(edition, "row", signer=circle.signer("T1"))


def _draft_without_its_photo(scene: Scene) -> object:
    circle = scene.new_circle()
    entry = practice("Rows", photos=[{"name": "row", "alt": {"en": "A row"}, "people": "none"}])
    picture = PhotoIn("row", saved(photo((60, 40)), "JPEG"), "none", "row.jpg")
    written = circle["C"].write(entry, signer=circle.signer("C1"), photos=[picture], draft=True)
    shutil.rmtree(circle.place("C") / "home_photos")
    return circle["C"].offer(str(written.draft), signer=circle.signer("C1"))


def _photo_on_a_bad_disk(scene: Scene) -> object:
    circle = scene.new_circle()
    (circle.place("C") / "home_photos").write_bytes(b"a file where the folder should be")
    entry = practice("Rows", photos=[{"name": "row", "alt": {"en": "A row"}}])
    picture = PhotoIn("row", saved(photo((60, 40)), "JPEG"), "", "row.jpg")
    return circle["C"].write(entry, signer=circle.signer("C1"), photos=[picture], draft=True)


def _editions_that_begin_alike(scene: Scene) -> object:
    circle = scene.new_circle()
    entry = circle["C"].view.entry_of(circle.write("C1"))
    rows = [(f"{0:062d}{number:02d}", entry) for number in (1, 2)]
    circle["C"].view._db.executemany("INSERT INTO edition VALUES (?,?)", rows)
    return circle["C"].edition_id("00000000")


# backups


def failing(number: int) -> Callable[[Scene], object]:
    """What is said of a backup when the machine refuses in this way."""

    def come(_: Scene) -> object:
        with said_plainly("the backup"):
            raise OSError(number, "the machine says so")

    return come


def _a_thousand_backups(scene: Scene) -> object:
    folder, site = scene.fresh(), scene.circle["C"]
    first = free_name(folder, site)
    first.touch()
    second = free_name(folder, site)
    for number in range(2, 1000):
        second.with_name(second.name.replace("-2.sealed", f"-{number}.sealed")).touch()
    return free_name(folder, site)


def _a_stick_that_lies(scene: Scene) -> object:
    with patch("fieldbook.site.backup._read_back", return_value=b"other bytes"):
        return back_up(scene.circle["C"], scene.fresh() / "c.sealed", phrase=PHRASE)


def _not_for_this_user(scene: Scene) -> object:
    file = scene.fresh() / "c.sealed"
    file.touch()
    with patch("os.access", return_value=False):
        return restore(file, scene.fresh() / "again", phrase=PHRASE)


class _BadDisk:
    def read(self, _size: int) -> bytes:
        raise OSError(errno.EIO, "the disk fails")


def _backup_on_a_bad_disk(scene: Scene) -> object:
    file = scene.fresh() / "c.sealed"
    file.touch()
    return _reading(cast("Any", _BadDisk()), file, None)(10)


def _anothers_key(scene: Scene) -> object:
    part = scene.fresh()
    shutil.copy(scene.circle.place("C") / "site.key", part)
    _settle(part, {"site": NOBODY}, random=seeded("settling"))
    return None


_WORDS = "look at what a key said: `who LABEL`"
_DISK = "look whether the disk is full"

SITUATIONS = (
    Situation(
        "nothing {what} here can be meant by {text}",
        _WORDS,
        "a word of somebody is named that they never said",
        at_cloudstep(lambda site, _: site.word_named(known(site, "C1"), "zz")),
    ),
    Situation(
        "several words {what} here can be meant by {text}",
        _WORDS,
        "a word of somebody is named too shortly",
        at_cloudstep(_two_of_its_words),
    ),
    Situation(
        "{word} was not said by {label}",
        "look at its words: `who {label}`",
        "a key is to be stopped from a word on that another said",
        at_cloudstep(_word_of_another),
    ),
    Situation(
        "the key of {label} is not stopped",
        "look who is stopped: `who`",
        "a stop is to be lifted where there is none",
        at_cloudstep(lambda site, circle: site.lift(known(site, "C3"), signer=circle.signer("C1"))),
    ),
    Situation(
        "{label} may not take this back in",
        "a reviewer or a signatory can",
        "a trainer would adopt what was set aside",
        lambda scene: scene.circle["T"].adoptable([NOBODY], signer=scene.circle.signer("T1")),
    ),
    Situation(
        "a list of signatories names at least one",
        "add somebody in the same step",
        "all signatories are left out",
        at_cloudstep(_nobody_left),
    ),
    Situation(
        "{label} cannot become a signatory",
        "name a person of a site whose key is not stopped",
        "a site is to be a signatory",
        at_cloudstep(lambda site, _: site.next_signatories(add=[known(site, "T")])),
    ),
    Situation(
        "{label} is no person",
        "a reviewer is a person at a site",
        "a site is to be a reviewer",
        at_cloudstep(lambda site, circle: site.make_reviewer(known(site, "T"), signer=circle.signer("C1"))),
    ),
    Situation(
        "the key of {label} was stopped",
        "ask the signatories to lift that first, or grant their new key",
        "somebody whose key was stopped is to be a reviewer",
        _a_stopped_reviewer,
    ),
    Situation(
        "several things here wait for voices under the name {text}",
        "look at what waits: on the page of people, or by `who`",
        "a motion is named too shortly",
        _two_motions,
    ),
    Situation(
        "no site has named {key} as a person",
        "take in a stick from their site first",
        "a key is unknown here",
        at_cloudstep(lambda site, _: site.need_ledger().plain_name(NOBODY)),
    ),
    Situation(
        "no one site {name} has a climate to lend here",
        "exchange a stick first: it brings what other sites say",
        "a climate is to be borrowed outside any network",
        _no_lender,
    ),
    Situation(
        "edition {edition} is not here",
        "take in a stick that holds it",
        "words are to be taken back that never came",
        at_cloudstep(lambda site, circle: site.take_back(NOBODY, signer=circle.signer("C1"))),
    ),
    Situation(
        "the words of edition {edition} are not here",
        "take in a stick that holds them",
        "an edition is asked for that never came",
        at_cloudstep(lambda site, _: site.entry_value(NOBODY)),
    ),
    Situation(
        "edition {edition} has no photo {name} that left",
        "choose one of its photos ({names})",
        "a photo is to be taken back that is not in the edition",
        _no_such_photo,
    ),
    Situation(
        "the photo {name} stands in another author's edition too",
        "a signatory can take it back",
        "a photo is to be taken back that somebody else uses",
        _photo_of_two_authors,
    ),
    Situation(
        "the photo {photo} of {name} is missing here",
        "write the draft again with it",
        "the photo of a draft was deleted by hand",
        _draft_without_its_photo,
    ),
    Situation(
        "a photo cannot be kept at this site ({why})", _DISK, "the folder of photos is spoiled", _photo_on_a_bad_disk
    ),
    Situation(
        "several editions begin with {text}",
        "give more of the id",
        "two editions begin with the same characters",
        _editions_that_begin_alike,
    ),
    Situation(
        "the folder {folder} cannot be read ({why})",
        "check its name and rights",
        "a folder has a name that no disk takes",
        lambda scene: is_vacant(scene.fresh() / ("x" * 300)),
    ),
    Situation(
        "there is no room for {what}", "free some space, or use another disk", "the disk is full", failing(errno.ENOSPC)
    ),
    Situation("{what} cannot be written ({why})", "check rights and disk", "the disk fails", failing(errno.EIO)),
    Situation(
        "there are a thousand backups of this day in {folder}",
        "remove some, or choose another one",
        "a stick holds a thousand backups of one day",
        _a_thousand_backups,
    ),
    Situation(
        "what is read back from {folder} is not what was written",
        "use another stick or disk; this one fails",
        "a stick keeps other bytes than were written",
        _a_stick_that_lies,
    ),
    Situation(
        "the file {file} may not be read by this user",
        "look who owns it",
        "a backup belongs to somebody else",
        _not_for_this_user,
    ),
    Situation(
        "the backup {file} cannot be read ({why})",
        "use another copy of it",
        "the disk under a backup fails",
        _backup_on_a_bad_disk,
    ),
    Situation(
        "the key in this backup is not that of its site",
        "use another one",
        "a backup was put together from two",
        _anothers_key,
    ),
)
