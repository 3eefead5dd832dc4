"""A comparison as people make one at a site, for tests: begun, counted sack by sack, signed.

Not a test. Its one rule: nothing is put together by hand; plans and counts are typed as on a page.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.site import Signer, Site

PLAN = {
    "question": "less-pest",
    "thing": "aphids",
    "counted_per": "plant",
    "crop": "kale",
    "unit": "sack",
    "design": "side-by-side",
    "comparison": "water-only",
    "way": "sprayed",
    "way_what": "chilli and garlic water, once, on day 0",
    "usual": "water only",
    "each": "3",
    "per_unit": "2",
    "day": "7",
    "date": "2026-11-25",
    "language": "en",
}


def plan(**changed: Any) -> dict[str, Any]:
    """What is typed into the form of a comparison."""
    return {**PLAN, **{name: str(value) for name, value in changed.items()}}


def compare(
    site: Site,
    edition: str,
    *,
    tried: Sequence[Sequence[int]],
    untried: Sequence[Sequence[int]],
    before: Sequence[int] = (20, 20),
    outcome: str = "worked",
    signer: Signer | None = None,
    **changed: Any,
) -> str:
    """A whole comparison: each sack of each way gets the next of its counts; the id of what was signed.

    Args:
        site: where.
        edition: what is tried.
        tried: for each sack that gets the practice, the counts of its plants.
        untried: the same for the usual way.
        before: the counts of each sack before.
        outcome: what came of it.
        signer: who signs; None for the site.
        changed: what is typed into the form otherwise.
    """
    typed = plan(each=len(tried), per_unit=len(tried[0]), **changed)
    number = site.trials.begin(edition, typed, signer=signer).number
    left = {0: list(tried), 1: list(untried)}
    for row, unit in enumerate(site.trials.paper(number).body["units"]):
        counts = {"before": list(before), "counted": list(left[unit["arm"]].pop(0)), "day": "7"}
        site.trials.count(number, row, counts)
    note = "Its skin burnt." if outcome == "harmed" else ""
    return site.trials.finish(number, {"outcome": outcome, "harm_note": note}, signer=signer)
