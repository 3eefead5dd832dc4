"""A full disk, a failing disk and a power cut at a step of each work of a site.

The steps are chosen anew by a seed that stands here; ``python -m tests.faults.each`` tries every one of them.
"""

from __future__ import annotations

from functools import cache
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.faults.each import applies, steps_of, try_step
from tests.faults.tracing import Fault

if TYPE_CHECKING:
    from tests.faults.tracing import Call

pytestmark = pytest.mark.strace
STEPS_AT_LEAST = 100  # so that a trial cannot grow empty unseen
CHANCE = Random(2611)
steps = cache(steps_of)


def fault_in(name: str, kind: str) -> Fault:
    """A fault at a step by chance, among those that it can strike."""
    calls: tuple[Call, ...] = steps(name)
    assert len(calls) > STEPS_AT_LEAST
    faults = [Fault(kind, calls, at) for at in range(len(calls))]
    return CHANCE.choice([fault for fault in faults if applies(fault)])


@pytest.mark.parametrize("name", ["offer", "exchange", "rebuild"])
def test_a_power_cut_at_any_step_loses_nothing_and_leaves_nothing_half(name: str) -> None:
    assert try_step(name, fault_in(name, "cut")).refused is None


@pytest.mark.parametrize("name", ["write", "exchange"])
def test_a_full_disk_at_any_step_is_one_sentence_loses_nothing_and_the_next_try_succeeds(name: str) -> None:
    assert not try_step(name, fault_in(name, "full")).killed


@pytest.mark.parametrize("name", ["approve"])
def test_a_disk_that_fails_once_at_any_step_is_one_sentence_and_loses_nothing(name: str) -> None:
    assert not try_step(name, fault_in(name, "once")).killed
