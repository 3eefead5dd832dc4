"""What each site holds, what would be lost with a laptop, and the stewards' heartbeats, on four real sites."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

import pytest

from fieldbook.notebook import NOTEBOOK_VERSION, Notebook
from fieldbook.site import Site, SiteError
from tests.cli.terminal import type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def holders(site: Site, statement: str) -> list[tuple[str, int]]:
    (line,) = [line for line in site.held_lines() if line.statement == statement]
    return [(holder.letter, holder.exchanges) for holder in line.holders]


# what each site holds


def test_an_edition_is_held_here_alone_until_a_receipt_comes_back_and_then_for_how_many_exchanges(
    circle: Circle,
) -> None:
    edition = circle.write("C1")
    assert holders(circle["C"], edition) == []
    circle.carry("CT")
    assert holders(circle["C"], edition) == []
    assert holders(circle["T"], edition) == [("C", 0)]
    circle.carry("C")
    assert holders(circle["C"], edition) == [("T", 0)]
    circle.carry("CC")
    assert holders(circle["C"], edition) == [("T", 2)]
    circle.carry("LC")
    assert holders(circle["C"], edition) == [("L", 0), ("T", 3)]


def test_what_has_no_second_path_stands_first_and_recalls_before_editions(circle: Circle) -> None:
    known = circle.write("C1", practice("Known everywhere"))
    circle.carry("CTLSC")
    alone = circle.write("C1", practice("Held here alone"))
    recall = circle["C"].recall(known, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    lines = circle["C"].held_lines()
    assert [(line.statement, line.what, line.paths) for line in lines] == [
        (recall, "recall", 0),
        (alone, "edition", 0),
        (known, "edition", 3),
    ]
    assert [line.as_document()["second_path"] for line in lines] == [False, False, True]


def test_a_recall_whose_entry_has_not_arrived_is_listed_too(circle: Circle) -> None:
    early, late = circle.new_stick("early"), circle.new_stick("late")
    edition = circle.write("T1")
    circle.carry("TC", late)
    recall = circle["C"].recall(edition, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    circle.carry("C", early)
    for text in early.rglob("text"):
        for bundle in text.glob("*.bundle"):
            bundle.unlink()
    circle.carry("S", early)
    assert [(line.statement, line.entry) for line in circle["S"].held_lines()] == [(recall, None)]


def test_a_laptop_with_the_only_copy_of_anything_is_not_safe_to_wipe(circle: Circle) -> None:
    circle.carry("CTLSC")
    assert circle["C"].held_alone().safe_to_wipe
    circle.write("C1")
    alone = circle["C"].held_alone()
    assert (alone.statements, alone.editions, alone.safe_to_wipe) == (1, 1, False)
    circle.carry("CTC")
    assert circle["C"].held_alone().safe_to_wipe
    circle["C"].write(practice("Not yet"), signer=circle.signer("C1"), draft=True)
    alone = circle["C"].held_alone()
    assert (alone.statements, alone.drafts, alone.safe_to_wipe) == (0, 1, False)


def test_before_an_exchange_a_site_says_what_the_stick_lacks(circle: Circle) -> None:
    circle.carry("C")
    before = circle["C"].stick_lacks(circle.stick)
    assert (before.urgent, before.text, before.files) == (0, 0, 0)
    edition = circle.write("C1")
    circle["C"].recall(edition, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    after = circle["C"].stick_lacks(circle.stick)
    assert (after.urgent, after.text) == (1, 1)
    with pytest.raises(SiteError, match="there is no folder"):
        circle["C"].stick_lacks(circle.folder / "no stick")


# heartbeats


def withhold_a_recall(circle: Circle) -> tuple[str, Path]:
    """Somebody takes a recall off the stick that goes to T; what was recalled, and a stick that has it still."""
    honest, thinned = circle.new_stick("honest"), circle.new_stick("thinned")
    edition = circle.write("C1")
    circle.carry("CTLSC")
    circle["C"].recall(edition, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    circle.carry("C", honest)
    withheld = {path.name for path in honest.rglob("urgent/*.bundle")}
    circle["C"].beat(signer=circle.signer("C1"))
    circle.carry("C", thinned)
    newest = max(path.name for path in thinned.rglob("urgent/*.bundle") if path.name not in withheld)
    for path in thinned.rglob("urgent/*.bundle"):
        if path.name != newest:
            path.unlink()
    circle.carry("T", thinned)
    return edition, honest


def test_a_site_from_which_a_recall_was_withheld_is_told_how_many_and_reads_on(circle: Circle) -> None:
    edition, honest = withhold_a_recall(circle)
    assert "at least 1 did not reach it" in (circle["T"].stops_lacking or "")
    assert [(one.label, one.lacking, one.exchanges) for one in circle["T"].heartbeats()] == [("C1", 1, 0)]
    assert circle["T"].page(edition, reader=circle.signer("T1")).line.edition == edition
    circle.carry("T", circle.new_stick("another"))
    assert [one.exchanges for one in circle["T"].heartbeats()] == [1]
    circle.carry("T", honest)
    assert circle["T"].stops_lacking is None
    assert [(one.lacking, one.proven) for one in circle["T"].heartbeats()] == [(0, True)]


def test_every_command_says_when_a_withdrawal_is_missing_until_it_has_come(circle: Circle) -> None:
    _, honest = withhold_a_recall(circle)
    circle.shut("T")
    for verb in (("who",), ("search", "onions"), ("holds",)):
        assert "at least 1 did not reach it" in type_words("--site", circle.place("T"), *verb).done().out, verb
    done = type_words("--site", circle.place("T"), "exchange", honest).done().out
    assert "did not reach it" not in done


def test_a_steward_who_exchanges_says_it_anew_when_it_is_old_or_no_longer_true(circle: Circle) -> None:
    site, steward = circle["C"], circle.signer("C1")
    assert site.beat_if_due(signer=steward) is not None
    assert site.beat_if_due(signer=steward) is None
    edition = circle.write("C1")
    circle["C"].recall(edition, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    assert site.beat_if_due(signer=steward) is not None
    assert site.beat_if_due(signer=steward) is None
    circle.carry("CCC")
    assert site.beat_if_due(signer=steward) is None
    circle.carry("C")
    assert site.beat_if_due(signer=steward) is not None


def test_nobody_but_a_steward_says_how_much_is_stopped(circle: Circle) -> None:
    with pytest.raises(SiteError, match="T1 is no signatory of the network"):
        circle["T"].beat(signer=circle.signer("T1"))


# the notebook that keeps since when


@pytest.fixture
def old_notebook(tmp_path: Path) -> Path:
    """A notebook as the first version wrote it, with one fact."""
    notebook = Notebook.create(tmp_path)
    notebook.set_fact("name", "Cloudstep Terrace")
    notebook.close()
    with sqlite3.connect(tmp_path / "notebook.sqlite") as db:
        db.executescript("DROP TABLE learnt; DROP TABLE record; PRAGMA user_version=1;")
    return tmp_path


def test_a_notebook_of_the_first_version_is_brought_up_and_keeps_what_it_knew(old_notebook: Path) -> None:
    for _ in range(2):
        notebook = Notebook.open(old_notebook)
        notebook.note_reach([("aa", "bb", "text", 3)], exchange=7)
        assert notebook.fact("name") == "Cloudstep Terrace"
        assert notebook.reach() == {("aa", "bb", "text"): [(3, 7)]}
        assert notebook.records("bed") == ()
        notebook.close()


def test_a_notebook_whose_bringing_up_was_cut_is_brought_up_at_the_next_opening(old_notebook: Path) -> None:
    with sqlite3.connect(old_notebook / "notebook.sqlite", isolation_level=None) as db:
        db.execute("BEGIN IMMEDIATE")
        db.execute("CREATE TABLE learnt (half INTEGER)")
        db.execute(f"PRAGMA user_version={NOTEBOOK_VERSION}")
        db.rollback()  # what a power cut leaves: the transaction never was
    notebook = Notebook.open(old_notebook)
    notebook.note_reach([("aa", "bb", "urgent", 1)], exchange=1)
    assert notebook.reach() == {("aa", "bb", "urgent"): [(1, 1)]}
    notebook.close()
