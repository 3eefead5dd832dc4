"""What of the stewards' words so far goes on speaking when a next version of the stewards is stated.

Not the judging of that version. One rule: what counts now goes on counting, whoever leaves; only what a stopped steward
who leaves said behind their cut is left behind.

A version keeps what its ``before`` names and nothing else. So it has to name everyone whose words count, those who left
long ago too: they let sites in that are sites still.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.charter.chains import Chains
from sync.charter.held import Joined

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from sync.charter.held import HeldSet
    from sync.charter.roles import Charter


def words_kept(charter: Charter, held: HeldSet, *, staying: Collection[str]) -> dict[str, list[str]]:
    """The ``before`` of the next version of the stewards: by key the last statements that keep their weight, sorted.

    Args:
        charter: The roles in force.
        held: All statements that are here.
        staying: The keys that the next version names.
    """
    spoke = {key for head in charter.heads for key in (*head.stewards, *head.before)}
    chains = Chains(Joined(held, {}))
    kept = {}
    for key in sorted(spoke):
        cuts: list[Sequence[str]] = [head.before.get(key, ()) for head in charter.heads if key not in head.stewards]
        if key not in staying:
            cuts += charter.revoked.get(key, ())
        kept[key] = _ends(chains, held, key, cuts)
    return {key: ends for key, ends in kept.items() if ends}


def _ends(chains: Chains, held: HeldSet, key: str, cuts: Sequence[Sequence[str]]) -> list[str]:
    """The ends of what every cut leaves; an end that all of them name is kept before it is here."""
    if not cuts:
        return sorted(chains.ends(key))
    if len(cuts) == 1:
        return sorted(cuts[0])
    awaited = {each for each in set.intersection(*map(set, cuts)) if not held.has(each)}
    return sorted({*chains.ends(key, chains.good(key, cuts)), *awaited})
