"""The standing command that changes the rules one thing at a time still tells a noticed change from an unnoticed one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests import mutate

if TYPE_CHECKING:
    import pytest


def test_without_any_change_the_tests_pass_and_a_change_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its own options of pytest must be ones that pytest takes, or everything would count as noticed."""
    monkeypatch.setitem(mutate.TESTS, "sync/phrase.py", ("test_phrase",))
    nothing = mutate.Change("sync/phrase.py", mutate.UNCHANGED, 0, "nothing")
    something = next(one for one in mutate.changes_of("sync/phrase.py") if one.what == "raise left out")
    trials = mutate.Trials(processes=2)
    trials.run([nothing, something], end=float("inf"))
    assert trials.outcomes == {nothing: False, something: True}
