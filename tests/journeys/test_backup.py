"""A laptop is lost: what was acknowledged and carried comes back, whichever stick comes first."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import back_up, restore
from tests.orrendal import PASSPHRASE, practice

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def lose_and_restore(circle: Circle, backup: Path, phrase: str) -> None:
    """C's laptop is gone; a new one stands in its place."""
    circle.shut("C")
    shutil.rmtree(circle.place("C"))
    restore(backup, circle.place("C"), phrase=phrase)
    circle.open("C", chance=2)


def numbers_of(stick: Path, site: str) -> list[tuple[str, str, str]]:
    """Log, lane and number of each bundle of a site on a stick, none twice in a sound history."""
    found = stick.glob(f"tried-ground-*/sites/{site[:26]}/*/*/*.bundle")
    return sorted((path.parts[-3], path.parts[-2], path.name[:8]) for path in found)


def test_a_lost_laptop_is_replaced_and_nothing_that_was_carried_is_lost(circle: Circle) -> None:
    first = circle.write("C1", practice("Written before the backup"))
    circle.carry("CT")
    made = back_up(circle["C"], circle.new_stick("safe") / "c.sealed")
    carried = circle.write("C1", practice("Written after the backup, and carried"))
    circle.carry("CTLS")
    harmful = circle.write("T1", practice("Found harmful after the backup"))
    circle.carry("TLT")
    circle.recall("L2", harmful)
    circle.recall("L2", first)
    circle.carry("L")
    unshared = circle.write("C1", practice("Written after the last stick left"))
    lose_and_restore(circle, made.file, made.phrase)
    said = circle.write("C1", practice("Written on the new laptop"))
    (report,) = circle.carry("C")
    assert report.refused == ()
    assert report.safe_to_remove
    circle.carry("TLSCTLS")
    assert len(circle.states()) == 1
    for letter in "CTLS":
        entries = set(circle[letter].view.entries())
        assert {first, carried, harmful, said} <= entries
        assert unshared not in entries  # it never left the lost laptop
        states = {name: circle[letter].view.folded(name)["editions"][0]["state"] for name in (first, carried, harmful)}
        assert states == {first: "recalled", carried: "offered", harmful: "recalled"}


def test_a_restored_site_never_uses_a_number_again_even_where_the_first_stick_knows_nothing(circle: Circle) -> None:
    """The stick with the lost bundles comes last: by then the site has sealed others, under a log of their own."""
    site = circle["C"].site_key.public
    circle.carry("C")
    made = back_up(circle["C"], circle.new_stick("safe") / "c.sealed")
    lost = circle.write("C1", practice("On the stick that comes late"))
    late = circle.new_stick("late")
    circle.carry("C", late)
    logs = {log for log, _, _ in numbers_of(late, site)}
    lose_and_restore(circle, made.file, made.phrase)
    said = circle.write("C1", practice("Said before that stick was back"))
    circle.carry("CTC")
    circle.carry("C", late)
    circle.carry("TLSC", late)
    numbers = numbers_of(late, site)
    assert len(numbers) == len(set(numbers))
    assert len({log for log, _, _ in numbers} - logs) == 1
    assert len(circle.states("TLSC")) == 1
    assert all({lost, said} <= set(circle[letter].view.entries()) for letter in "CTLS")


def test_a_backup_can_be_restored_twice_and_both_heal_into_one(circle: Circle) -> None:
    """Two laptops put back from one file by mistake: two logs of one site, nothing lost."""
    circle.write("C1", practice("In the backup"))
    made = back_up(circle["C"], circle.new_stick("safe") / "c.sealed")
    lose_and_restore(circle, made.file, made.phrase)
    one = circle.write("C1", practice("On the first"))
    circle.carry("C")
    lose_and_restore(circle, made.file, made.phrase)
    circle.open("C", chance=3)
    two = circle.write("C1", practice("On the second"))
    circle.carry("CTLSC")
    numbers = numbers_of(circle.stick, circle["C"].site_key.public)
    assert len(numbers) == len(set(numbers))
    assert len(circle.states()) == 1
    assert {one, two} <= set(circle["L"].view.entries())


def test_a_restored_copy_can_be_backed_up_again(circle: Circle) -> None:
    edition = circle.write("C1", practice("Handed down"))
    made = back_up(circle["C"], circle.new_stick("safe") / "first")
    lose_and_restore(circle, made.file, made.phrase)
    again = back_up(circle["C"], circle.new_stick("safe") / "second", phrase=made.phrase)
    lose_and_restore(circle, again.file, made.phrase)
    assert list(circle["C"].view.entries()) == [edition]
    assert circle["C"].verify().problems == ()


def test_a_label_whose_key_was_lost_with_the_laptop_is_given_to_nobody_else(circle: Circle) -> None:
    made = back_up(circle["C"], circle.new_stick("safe") / "c.sealed")
    circle["C"].add_person("C7", role="volunteer", passphrase=PASSPHRASE)
    circle.carry("CT")
    lose_and_restore(circle, made.file, made.phrase)
    circle.carry("C")
    with pytest.raises(FieldbookError, match="C7 was given to somebody before") as refusal:
        circle["C"].add_person("C7", role="volunteer", passphrase=PASSPHRASE)
    assert "next number" in refusal.value.hint
    circle["C"].add_person("C8", role="volunteer", passphrase=PASSPHRASE)
    circle.carry("CT")
    assert circle["T"].ledger is not None
    labels = [person["label"] for person in circle["T"].ledger.who()["people"] if person["letter"] == "C"]
    assert {"C7", "C8"} <= set(labels)  # one key each, so no sign stands behind either
