"""The standing command that changes the rules one thing at a time still tells a noticed change from an unnoticed one."""

from __future__ import annotations

import json
import subprocess
import sys

from tests.mutate import ROOT

TRIAL = """
import json
from tests import mutate
mutate.TESTS = {"sync/phrase.py": ("test_phrase",)}
nothing = mutate.Change("sync/phrase.py", mutate.UNCHANGED, 0, "nothing")
something = next(one for one in mutate.changes_of("sync/phrase.py") if one.what == "raise left out")
trials = mutate.Trials(processes=1)
trials.run([nothing, something], end=float("inf"))
print(json.dumps([trials.outcomes[nothing], trials.outcomes[something]]))
"""


def test_without_any_change_the_tests_pass_and_a_change_is_noticed() -> None:
    """Its own options of pytest must be ones that pytest takes, or everything would count as noticed."""
    ran = subprocess.run([sys.executable, "-c", TRIAL], cwd=ROOT, check=True, capture_output=True, text=True)
    assert json.loads(ran.stdout) == [False, True]
