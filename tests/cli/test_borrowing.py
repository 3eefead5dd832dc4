"""A borrowed climate from a terminal: who can lend, what is refused, and that every answer says whose it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.cli.terminal import refused, type_words
from tests.orrendal import FACTS, site_facts

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def test_who_can_lend_is_listed_with_what_a_person_compares(terminal: Terminal) -> None:
    listed = terminal.asked("L", "borrow")["lenders"]
    assert [(one["letter"], one["latitude_deg"], one["elevation_m"]) for one in listed] == [
        ("C", 1, 1900),
        ("S", -6, 0),
        ("T", 13, 400),
    ]
    assert [(one["other_side"], one["in_reach"]) for one in listed] == [(True, False), (False, True), (True, True)]
    out = terminal.at("L", "borrow").done().out
    assert "ACROSS THE EQUATOR" in out
    assert "cannot be borrowed" in out


def test_a_borrowed_climate_is_said_before_any_figure_until_own_ones_come(terminal: Terminal) -> None:
    terminal.at("L", "borrow", "S").done()
    for verb in ("calendar", "climate"):
        assert terminal.at("L", verb).done().out.startswith(f"BORROWED from site S {FACTS['S']['name']} at 0 m")
        assert terminal.asked("L", verb)["borrowed_climate"]["letter"] == "S"
    own = terminal.entry_file(site_facts("L").normals, "own.csv")
    terminal.at("L", "figures", own).done()
    for verb in ("calendar", "climate"):
        assert "BORROWED" not in terminal.at("L", verb).done().out
        assert terminal.asked("L", verb)["borrowed_climate"] is None


def test_what_cannot_be_borrowed_is_refused_in_a_sentence(terminal: Terminal) -> None:
    refused(terminal.at("L", "borrow", "T"), "the equator lies between", "--other-side")
    terminal.at("L", "borrow", "T", "--other-side").done()
    refused(terminal.at("L", "borrow", "C", "--other-side"), "apart in height, more than 1000 m")
    refused(terminal.at("L", "borrow", "X"), "no one site 'X' has a climate to lend here", "choose one of C, S, T")
    refused(type_words("climate", "n.csv"), "which place?", "say `--latitude N --elevation N`", code=2)
    assert terminal.asked("L", "climate")["borrowed_climate"]["letter"] == "T"


def test_a_folder_that_is_not_there_is_not_served_and_the_way_to_begin_is_told(terminal: Terminal) -> None:
    """A slip in a site's name must not lead to a second site."""
    gone = terminal.folder / "not there"
    refused(type_words("--site", gone, "serve"), f"there is no folder {gone}", f"`mkdir -p '{gone}'`")
    assert not gone.exists()
