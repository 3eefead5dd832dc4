"""What waits for voices, from a terminal: putting it away at one site, and showing it again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.cli.terminal import refused
from tests.cli.test_roles import travel
from tests.web.test_putting_away import EAST, SEVERAL, WEST

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def test_what_is_wanted_no_more_is_put_away_and_shown_again(terminal: Terminal) -> None:
    for leaving in ("S1", "C1"):
        terminal.asked("L", "stewards", "--leave", leaving, "--as", "L1")
    out = terminal.at("L", "who").done().out
    assert out.count(SEVERAL) == 2
    assert f"Waits for voices: {WEST} of them must agree. Said by L1 (20" in out
    (east,) = [one["id"] for one in terminal.asked("L", "who")["motions"] if one["words"].startswith(EAST)]
    with terminal.nothing_lost("L"):
        told = terminal.at("L", "put-away", east[:12], "--as", "l1").done().out
        assert f"`put-away {east[:12]} --back` shows it again." in told
        refused(terminal.at("L", "put-away", east, "--as", "L1"), "this is put away here already")
        document = terminal.asked("L", "who")
        assert [one["words"][: len(WEST)] for one in document["motions"]] == [WEST]
        assert [(one["words"][: len(EAST)], one["by"]) for one in document["put_away"]] == [(EAST, "L1")]
        assert f"{EAST} of them must agree." in terminal.at("L", "who").done().out
        assert terminal.asked("L", "put-away", east, "--back", "--as", "L1")["put_away"] is False
        refused(terminal.at("L", "put-away", east, "--back", "--as", "L1"), "this is not put away here")
        refused(
            terminal.at("L", "put-away", "abcd", "--as", "L1"), "nothing here waits for voices under the name 'abcd'"
        )
        assert terminal.asked("L", "who")["put_away"] == []


def test_a_second_list_is_told_as_one_of_several_to_whoever_looks_at_it(terminal: Terminal) -> None:
    for leaving in ("S1", "C1"):
        terminal.asked("L", "stewards", "--leave", leaving, "--as", "L1")
    travel(terminal, "LC")
    for one in terminal.asked("C", "who")["motions"]:
        assert SEVERAL in terminal.at("C", "agree", one["id"], "--try", "--as", "C1").done().out
