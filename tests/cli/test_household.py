"""The calendar of a household from a terminal: people first, then the ground that is kept, or the reason of a refusal."""

from __future__ import annotations

from tests.cli.terminal import Terminal, refused


def test_twenty_litres_at_t_keep_little_ground_and_say_how_much(terminal: Terminal) -> None:
    document = terminal.asked("T", "calendar", "--crop", "tomato", "--persons", "4", "--water", "80")
    assert document["household"] == {
        "persons": 4,
        "water_l_day": 80,
        "for_people_l_day": 60,
        "for_plants_l_day": 20,
        "refused": [],
    }
    (window,) = document["windows"]
    kept, need = float(window["household_keeps_m2"]), float(window["water_l_m2_day"])
    assert abs(20 / need - kept) < 0.15
    out = terminal.at("T", "calendar", "--crop", "tomato", "--persons", "4", "--water", "80").done().out
    assert f"this water keeps {window['household_keeps_m2']} m² at most" in out


def test_too_little_for_the_people_refuses_what_must_be_watered(terminal: Terminal) -> None:
    document = terminal.asked("T", "calendar", "--crop", "tomato", "--persons", "5", "--water", "60")
    assert (document["household"]["for_plants_l_day"], document["household"]["refused"]) == (-15, ["tomato"])
    out = terminal.at("T", "calendar", "--crop", "tomato", "--persons", "5", "--water", "60").done().out
    assert "No clean water is left for plants. What rain alone does not carry is refused: tomato." in out


def test_half_a_household_is_refused(terminal: Terminal) -> None:
    for asked in (("--persons", "4"), ("--water", "80")):
        answer = terminal.at("T", "calendar", *asked)
        refused(answer, "a household has persons and water", "say both --persons N and --water L", code=2)
