"""How a site begins, its people come, and it joins: whole or not at all, each wrong fact in one sentence."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import Founding, Signer, Site, begin_site, months_from_text
from tests.orrendal import PASSPHRASE, fast_folder, noon, practice, site_facts

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle

CSV = site_facts("C").normals


def without_months(*months: int) -> str:
    return "\n".join(row for row in CSV.splitlines() if row.partition(",")[0] not in {str(month) for month in months})


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"letter": "c"}, "is no site letter"),
    ({"letter": "CC"}, "is no site letter"),
    ({"name": "  "}, "needs a name"),
    ({"name": "x" * 81}, "needs a name"),
    ({"languages": ("English",)}, "is not a language tag"),
    ({"latitude_deg": "95"}, "latitude"),
    ({"latitude_deg": "1,2"}, "is no number"),
    ({"elevation_m": "high"}, "is no number"),
    ({"setting": "moon"}, "setting|moon"),
    ({"frost_months": (13,)}, "is no month"),
    ({"salt_water_months": (0,)}, "is no month"),
    ({"normals": ""}, "normals"),
    ({"normals": without_months(12)}, "12|month"),
    ({"normals": CSV + "13,1,10,20\n"}, "13|month"),
    ({"normals": CSV.replace("\n2,", "\n1,")}, "month"),
    ({"normals": CSV[: len(CSV) // 2]}, "month|fault"),
    ({"normals": CSV.replace("11.2", "31.2")}, "Tmin"),
    ({"normals": CSV.replace("rain_mm", "rain_inch")}, "rain"),
]


@pytest.mark.parametrize(("wrong", "words"), WRONG, ids=[f"{next(iter(w))} {i}" for i, (w, _) in enumerate(WRONG)])
def test_a_fact_that_cannot_be_right_is_refused_and_leaves_nothing(wrong: dict[str, Any], words: str) -> None:
    folder = fast_folder() / "site"
    with pytest.raises(FieldbookError, match=words) as refusal:
        begin_site(folder, replace(site_facts("C"), **wrong), founding=None)
    assert refusal.value.hint
    assert "\n" not in refusal.value.message
    assert list(folder.parent.iterdir()) == []


@pytest.mark.parametrize(
    ("founding", "words"),
    [
        (Founding("", "C1", PASSPHRASE), "needs a title"),
        (Founding("Circle", "T1", PASSPHRASE), "is no label of this site"),
        (Founding("Circle", "Anna", PASSPHRASE), "is no label of this site"),
        (Founding("Circle", "C1", "abc"), "passphrase is shorter"),
    ],
)
def test_a_network_that_cannot_be_founded_leaves_nothing(founding: Founding, words: str) -> None:
    folder = fast_folder() / "site"
    with pytest.raises(FieldbookError, match=words):
        begin_site(folder, site_facts("C"), founding=founding)
    assert list(folder.parent.iterdir()) == []


def test_a_folder_that_holds_something_is_left_as_it_is() -> None:
    folder = fast_folder() / "site"
    folder.mkdir()
    (folder / "letter.txt").write_text("dear aunt", encoding="utf-8")
    with pytest.raises(FieldbookError, match="there is already something in"):
        begin_site(folder, site_facts("C"), founding=None)
    assert [path.name for path in folder.iterdir()] == ["letter.txt"]


def test_an_empty_folder_is_taken() -> None:
    folder = fast_folder() / "site"
    folder.mkdir()
    begin_site(folder, site_facts("T"), founding=None)
    site = Site.open(folder)
    assert (site.letter, site.name, site.languages) == ("T", "Thornpan Reception Camp", ("ar", "so"))
    site.close()


@pytest.mark.parametrize("missing", ["no folder", "an empty folder", "a file"])
def test_where_there_is_no_site_it_is_said_and_nothing_is_made(missing: str) -> None:
    folder = fast_folder() / "site"
    if missing == "an empty folder":
        folder.mkdir()
    elif missing == "a file":
        folder.write_text("", encoding="utf-8")
    before = sorted(folder.parent.rglob("*"))
    with pytest.raises(FieldbookError, match="there is no site in") as refusal:
        Site.open(folder)
    assert refusal.value.hint
    assert sorted(folder.parent.rglob("*")) == before


@pytest.fixture
def lonely() -> Any:
    """A site that has joined no network yet."""
    folder = fast_folder() / "site"
    begin_site(folder, site_facts("T"), founding=None)
    site = Site.open(folder, clock=noon)
    yield site
    site.close()


def test_before_it_joins_it_has_a_calendar_and_drafts_and_says_what_it_lacks(lonely: Site) -> None:
    person = lonely.add_person("T1", role="trainer", passphrase=PASSPHRASE)
    signer = lonely.unlock("T1", PASSPHRASE)
    assert signer.roles == {"trainer"}
    assert lonely.calendar_document(crops=["amaranth"])["windows"]
    assert lonely.write(practice(), signer=signer, draft=True).draft == "draft-1"
    assert lonely.cards() == ()
    assert person.key == signer.key.public
    for ask in (
        lambda: lonely.offer("draft-1", signer=signer),
        lambda: lonely.search("onions"),
        lonely.verify,
        lambda: lonely.exchange(fast_folder()),
    ):
        with pytest.raises(FieldbookError, match="this site is in no network yet") as refusal:
            ask()
        assert refusal.value.hint


def test_what_it_drafted_before_it_joined_is_offered_afterwards(lonely: Site, circle: Circle) -> None:
    lonely.add_person("T1", role="trainer", passphrase=PASSPHRASE)
    signer = lonely.unlock("T1", PASSPHRASE)
    lonely.write(practice("Drafted alone"), signer=signer, draft=True)
    circle.carry("C")
    words = lonely.request_join(circle.stick)
    circle.carry("C")
    assert [(join.letter, join.name) for join in circle["C"].joins_waiting()] == [("T", "Thornpan Reception Camp")]
    circle["C"].admit(words, signer=circle.signer("C1"))
    circle.carry("C")
    lonely.exchange(circle.stick)
    assert lonely.offer("draft-1", signer=signer).edition is not None
    lonely.exchange(circle.stick)
    circle.carry("C")
    (entry,) = circle["C"].view.entries()
    label = circle["C"].page(entry, reader=circle.signer("C3")).line.author
    assert label.startswith("T1-")  # there is a site T already, so more of the key is shown
    assert circle["C"].joins_waiting() == ()


def test_a_site_whose_words_nobody_said_is_not_admitted(lonely: Site, circle: Circle) -> None:
    circle.carry("C")
    words = lonely.request_join(circle.stick)
    circle.carry("C")
    with pytest.raises(FieldbookError, match="no site with these words has asked to join") as refusal:
        circle["C"].admit(" ".join(reversed(words.split())), signer=circle.signer("C1"))
    assert "ask for all eight words once more" in refusal.value.hint
    with pytest.raises(FieldbookError, match="eight words name a key, here are 7"):
        circle["C"].admit(" ".join(words.split()[:-1]), signer=circle.signer("C1"))
    with pytest.raises(FieldbookError, match=r"C3 (may|can)not|C3 may not"):
        circle["C"].admit(words, signer=circle.signer("C3"))
    assert len(circle["C"].joins_waiting()) == 1


def test_a_site_not_yet_granted_is_left_alone_and_taken_in_later(lonely: Site, circle: Circle) -> None:
    lonely.add_person("T1", role="trainer", passphrase=PASSPHRASE)
    circle.carry("C")
    words = lonely.request_join(circle.stick)
    with pytest.raises(FieldbookError, match="not known in the network yet"):
        lonely.write(practice("Too early"), signer=lonely.unlock("T1", PASSPHRASE))
    lonely.exchange(circle.stick)
    (report,) = circle.carry("C")
    assert report.refused == ()
    assert report.waiting_files
    assert all("no signatory has granted" in one.reason for one in report.waiting_files)
    assert circle["C"].ledger is not None
    before = len(circle["C"].ledger.who()["people"])
    circle["C"].admit(words, signer=circle.signer("C1"))
    circle.carry("C")
    assert len(circle["C"].ledger.who()["people"]) == before + 1


def test_people_are_added_once_with_a_label_of_the_site_and_a_passphrase(circle: Circle) -> None:
    site = circle["T"]
    for label, role, passphrase, words in (
        ("T1", "trainer", PASSPHRASE, "there is already a T1 here"),
        ("C2", "trainer", PASSPHRASE, "is no label of this site"),
        ("T0", "trainer", PASSPHRASE, "is no label of this site"),
        ("T2", "reviewer", PASSPHRASE, "is no role to give here"),
        ("T2", "trainer", "abc", "passphrase is shorter"),
    ):
        with pytest.raises(FieldbookError, match=words) as refusal:
            site.add_person(label, role=role, passphrase=passphrase)
        assert refusal.value.hint
    assert [person.label for person in site.people()] == ["T1"]
    site.add_person("T2", role="volunteer", passphrase=PASSPHRASE)
    circle.carry("TC")
    assert circle["C"].ledger is not None
    assert {"label": "T2", "role": "volunteer", "letter": "T"} in circle["C"].ledger.who()["people"]


def test_a_volunteer_reads_and_writes_nothing(circle: Circle) -> None:
    site = circle["T"]
    site.add_person("T2", role="volunteer", passphrase=PASSPHRASE)
    signer = site.unlock("T2", PASSPHRASE)
    before = site.verify().statements
    with pytest.raises(FieldbookError, match="T2 may not say “edition” here") as refusal:
        site.write(practice(), signer=signer)
    assert "trainer" in refusal.value.hint
    assert site.verify().statements == before


def test_signing_in_needs_a_person_of_this_site_and_the_right_passphrase(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="there is no T1 at this site"):
        circle["C"].unlock("T1", PASSPHRASE)
    with pytest.raises(FieldbookError, match="passphrase"):
        circle["T"].unlock("T1", PASSPHRASE + " ")
    assert circle["T"].unlock("T1", PASSPHRASE).key.public == circle.keys["T1"].public


def test_roles_are_those_that_the_network_gives_now(circle: Circle) -> None:
    """Signed in before the stick came, a person has the new role without signing in again."""
    old = Signer("L2", frozenset({"trainer"}), circle.keys["L2"])
    assert circle["L"].signers_role(old).roles == {"trainer", "reviewer"}


def test_a_site_that_is_in_a_network_does_not_join_another(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="already"):
        circle["T"].request_join(circle.stick)


@pytest.mark.parametrize(
    ("text", "months"), [("", ()), ("  ", ()), ("6,7,8", (6, 7, 8)), ("8, 6 ,6", (6, 8)), ("12", (12,))]
)
def test_months_are_read_from_a_list(text: str, months: tuple[int, ...]) -> None:
    assert months_from_text(text) == months


@pytest.mark.parametrize("text", ["13", "0", "June", "6;7", "6,,7", "-1", "6,7,", "²"])
def test_what_is_no_list_of_months_is_refused(text: str) -> None:
    with pytest.raises(FieldbookError, match="is no list of months"):
        months_from_text(text)


def test_a_folder_that_cannot_be_written_is_refused_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(FieldbookError, match=r"cannot be (written|read)") as refusal:
        begin_site(tmp_path / "file" / "site", site_facts("C"), founding=None, random=os.urandom)
    assert refusal.value.hint
