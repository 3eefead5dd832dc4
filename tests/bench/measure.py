"""Timing two things against each other on a machine that does other things meanwhile.

Not a clock for users. One rule: the two take turns at every step, each step counts by the least it ever took, and a
thread's own processor time is preferred to the clock on the wall, so that what others do is mostly left out.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from statistics import median

Work = Callable[[], Iterator[None]]  # begins anew each time; pauses after each step
Clock = Callable[[], float]


def take_turns(*works: Work, repeats: int, clock: Clock = time.process_time) -> list[float]:
    """How long each work takes [s]: for each step the least of all repeats, summed.

    Args:
        works: They should have the same number of steps, or else the longer one goes on alone.
        repeats: How often all of it is done, from 1.
        clock: Processor time, or the clock on the wall where work waits or several threads are meant to help.
    """
    least: list[list[float]] = [[] for _ in works]
    for _ in range(repeats):
        running = {index: work() for index, work in enumerate(works)}
        step = 0
        while running:
            for index in list(running):
                started = clock()
                done = next(running[index], StopIteration) is StopIteration
                took = clock() - started
                if done:
                    del running[index]
                if step == len(least[index]):
                    least[index].append(took)
                least[index][step] = min(least[index][step], took)
            step += 1
    return [sum(steps) for steps in least]


def middle_of(work: Callable[[], object], *, repeats: int, clock: Clock = time.process_time) -> float:
    """The median time of a work that is done over and over [s]."""
    times: list[float] = []
    for _ in range(repeats):
        started = clock()
        work()
        times.append(clock() - started)
    return median(times)
