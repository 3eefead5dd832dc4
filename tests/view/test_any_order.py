"""Any order, repetition and partition of one set of statements gives one state, and every step is a whole one."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.orrendal import copy_of_circle, fast_folder
from tests.thorough import tried
from tests.view.histories import HISTORIES, SAME_EVERY_RUN, Move, assert_readable, assert_whole, pack, written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync import Statement


def in_parts(statements: list[Statement], chance: Random) -> Iterator[list[Statement]]:
    """All of them, in random batches, some twice, some of them first without their bodies."""
    shuffled = [*statements, *chance.sample(statements, len(statements) // 3)]
    chance.shuffle(shuffled)
    while shuffled:
        batch = list({one.id: one for one in shuffled[: chance.randint(1, 6)]}.values())
        if chance.random() < 0.3:
            yield [one.without_body() if chance.random() < 0.5 else one for one in batch]
        yield batch
        del shuffled[: len(batch)]


@given(moves=HISTORIES, seed=st.integers(0, 2**32))
@settings(SAME_EVERY_RUN, max_examples=tried(4, 10))
def test_every_order_of_arrival_gives_one_state_and_one_search(moves: list[Move], seed: int) -> None:
    chance = Random(seed)
    with copy_of_circle(fast_folder()) as circle:
        history = written(circle, moves)
        worker = circle.signer("C3")
        assert_whole(history.site)
        assert_readable(history.site, worker)
        for letter in "TS":
            for number, batch in enumerate(in_parts(history.said(), chance)):
                stick = circle.new_stick(f"{letter}{number}")
                pack(history, batch, stick, chance=chance)
                circle[letter].exchange(stick)
                assert_whole(circle[letter])
        circle.carry("CTSCTS")
        assert len(circle.states("CTS")) == 1
        assert_readable(circle["S"], worker)
