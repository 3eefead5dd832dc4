"""What the workings of a site refuse: search, the installation, the demonstration, sums.

Where a machine must fail (a disk, a right, a missing installation) something stands in for the machine, never for the
code that speaks.
"""

from __future__ import annotations

import errno
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

from fieldbook import demo, shipped
from fieldbook.ledger import Refused, invent_phrase
from fieldbook.quantities import CALCULATORS
from fieldbook.quantities.compost import Material, mix_moisture_percent, mix_ratio
from fieldbook.quantities.effects import henderson_tilton_percent
from tests.quantities.test_mixes import CHICKEN, STRAW, TABLE, material, mixed
from tests.sentences.scene import Scene, Situation
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.ledger import Known
    from fieldbook.site import Site

PHRASE = invent_phrase(seeded("phrase"))
NOBODY = "ab" * 32


def known(site: Site, label: str) -> Known:
    """A key of the network by its label."""
    return next(one for one in site.need_ledger().known() if one.label == label)


# search, installation, demonstration


def _index_on_a_bad_disk(scene: Scene) -> object:
    index = scene.circle["C"].index
    scene.circle["C"].rebuild_index()
    with patch.object(index, "_write", side_effect=OSError(errno.EIO, "the disk fails")):
        index.update([])
    return None


def _index_that_does_not_open(scene: Scene) -> object:
    index = scene.circle["C"].index
    scene.circle["C"].rebuild_index()
    with patch("fieldbook.search.folder.index.open_dir", side_effect=OSError(errno.EIO, "the disk fails")):
        return index._folder.open()


def _half_an_installation(scene: Scene) -> object:
    with patch.object(shipped, "_PACKAGE", scene.fresh() / "package"):
        return shipped._root.__wrapped__()


def _report(*refused: Refused) -> SimpleNamespace:
    return SimpleNamespace(refused=refused, accepted=0, left=0)


def shown(**sites: SimpleNamespace) -> Callable[[Scene], object]:
    """What the demonstration says when its sites come out like this."""
    network: Any = SimpleNamespace(_sites=sites, _say=lambda _line: None, _plan={"sites": [{"letter": "C"}]})
    return lambda _: demo._Network._show_main_job(network)


def verified(state: str, *problems: str) -> SimpleNamespace:
    found = SimpleNamespace(ok=not problems, problems=problems, state=state)
    return SimpleNamespace(verify=lambda: found)


def _refused_in_the_demonstration(_: Scene) -> object:
    refused = _report(Refused("a file", "its signature does not hold", ""))
    network: Any = SimpleNamespace(
        _sites={"C": SimpleNamespace(exchange=lambda _stick: refused)}, _stick=Path(), _say=lambda _line: None
    )
    demo._Network._carry(network, ["C"])
    return None


def _a_starter_that_becomes_nothing(_: Scene) -> object:
    writes = SimpleNamespace(write=lambda *_given, **_named: SimpleNamespace(edition=None))
    network: Any = SimpleNamespace(_sites=dict.fromkeys("CTLS", writes), _signer=lambda label: label)
    demo._Network._write_entries(network)
    return None


# sums


def heap(*rows: dict[str, Any], **goals: Any) -> Callable[[Scene], object]:
    return lambda _: mixed(*rows, **goals)


def _asked(name: str, **given: Any) -> Callable[[Scene], object]:
    return lambda _: CALCULATORS[name].run(given)


_AGAIN = "report this: it must never happen"
NONE = Material("straw", Decimal("0.7"), Decimal(80), Decimal(12), None)


SITUATIONS = (
    Situation(
        "the search index could not be brought up to date",
        "build it anew",
        "the disk under the index fails",
        _index_on_a_bad_disk,
    ),
    Situation(
        "the search index cannot be opened",
        "build the index anew: fieldbook rebuild",
        "a file of the index cannot be read",
        _index_that_does_not_open,
    ),
    Situation(
        "the folders schemas and seed_entries are missing from this installation",
        "install the package again",
        "half of the program was copied",
        _half_an_installation,
    ),
    Situation(
        "site {letter} refused {file}: {reason}",
        _AGAIN,
        "a site of the demonstration refuses a file",
        _refused_in_the_demonstration,
    ),
    Situation(
        "the starter {name} became no edition",
        _AGAIN,
        "a starter entry of the demonstration cannot be written",
        _a_starter_that_becomes_nothing,
    ),
    Situation(
        "site {letter} does not verify: {problem}",
        _AGAIN,
        "a site of the demonstration does not verify",
        shown(C=verified("a", "a signature does not hold")),
    ),
    Situation(
        "the four sites do not show the same state",
        _AGAIN,
        "the sites of the demonstration differ",
        shown(C=verified("a"), T=verified("b")),
    ),
    Situation(
        "{unknown} masses are to be found, and {unknown_most} can be",
        "write the mass of what you have, and leave fewer open",
        "seven masses are left open",
        heap(material(CHICKEN, 1), *(material(STRAW, None) for _ in range(7)), goal=30),
    ),
    Situation(
        "no material has a mass above zero",
        "give the mass of what you have",
        "everything that is known weighs nothing",
        heap(material(CHICKEN, 0), material(STRAW, None), goal=30),
    ),
    Situation(
        "this mix weighs nothing",
        "give the wet mass of one material at least",
        "all masses are nought",
        heap(material(CHICKEN, 0)),
    ),
    Situation(
        "there is no nitrogen in this mix",
        "add dung, kitchen scraps or green leaves",
        "a mix of nothing is asked for its ratio",
        lambda _: mix_ratio([]),
    ),
    Situation(
        "the mass of {name} is not known",
        "find the masses first",
        "the moisture of a mix is asked before its masses are found",
        lambda _: mix_moisture_percent([NONE]),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "add {wanted}, which with these reaches the goal",
        "a mix is too rich in nitrogen and the other material is richer than the goal",
        heap(material(CHICKEN, 10), material(STRAW, 10), material(TABLE, None), goal=30),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "add a material with a ratio above {goal_ratio}, such as {wanted}; the highest is {high_name} ({high})",
        "nothing in a mix is as rich in carbon as the goal",
        heap(material(CHICKEN, 10), material(TABLE, None), goal=30),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "add a material with a ratio below {goal_ratio}, such as {wanted}; the lowest here is {low_name} ({low})",
        "nothing in a mix is as rich in nitrogen as the goal",
        heap(material(TABLE, 10), material(STRAW, None), goal=10),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "take other goals: no material of the table helps these to reach them",
        "nothing at all is so rich in nitrogen",
        heap(material(TABLE, 10), material(STRAW, None), goal=5),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "find more of {short}, or make less",
        "there is too little of the material that would do",
        heap(material(CHICKEN, 10), {**material(STRAW, None), "most_kg": 5}, goal=30),
    ),
    Situation(
        "a material lacks its name, nitrogen, ratio or moisture",
        "choose it from the table, or write its own figures",
        "a material that the table lacks has no figures",
        heap({"name": "husks", "wet_kg": 1}),
    ),
    Situation(
        "the litres of {name} are no weight yet",
        "write what a litre of it weighs, from one bucket on a scale",
        "a bucket of one's own material was not weighed",
        heap({**material(STRAW, None), "volume_l": 10}),
    ),
    Situation(
        "a mass is to be found, and there is no goal",
        "write the ratio wanted, often 30, or every mass",
        "a mass is left open without a goal",
        heap(material(CHICKEN, None)),
    ),
    Situation(
        "it takes parts of stock and water, or the two strengths, and not both",
        "give one of the two pairs, whole",
        "a dilution is asked without parts and without strengths",
        _asked("dilution", total_l=10),
    ),
    Situation(
        "{place} is not a text of 1 to {most} characters",
        "mend what is named; `--describe` lists what is asked for",
        "a material has no name",
        _asked("compost-mix", materials=[material(("", "1", "20", "50"), 1)]),
    ),
    Situation(
        "the water that can be drawn is not known",
        "measure it by pouring, or give the reservoir and its open share",
        "a reservoir of unknown size is to last",
        _asked("wick", pore_diameter_mm="0.1", area_m2=1, use_l_m2_day=1),
    ),
    Situation(
        "the water that the bed takes in a day is not known",
        "give litres for each square metre, or the month's evaporation and the crop's coefficient",
        "nobody said what the plants take",
        _asked("wick", pore_diameter_mm="0.1", area_m2=1, usable_l=10),
    ),
    Situation(
        "the core is as wide as the whole",
        "take a thinner core, or leave it empty",
        "a sack is all core",
        _asked("tower", kind="sack", diameter_mm=350, height_mm=700, core_diameter_mm=350, wet_density_kg_m3=1600),
    ),
    Situation(
        "a top of {diameter_mm} mm is smaller than one spacing of {spacing_mm} mm",
        "take a larger sack or tower, or a smaller plant",
        "a cabbage is to stand on a bottle",
        _asked("tower", kind="tyres", diameter_mm=100, height_mm=700, spacing_mm=450, wet_density_kg_m3=1600),
    ),
    Situation(
        "a side of {height_mm} mm height and {diameter_mm} mm width has no ring of holes {spacing_mm} mm apart",
        "take a larger sack or tower, or a smaller plant",
        "a sack is lower than one spacing",
        _asked("tower", kind="sack", diameter_mm=350, height_mm=100, spacing_mm=150, wet_density_kg_m3=1600),
    ),
    Situation(
        "the untreated plants had no pests, so nothing can be said",
        "count again where there are pests, or keep both counts as they are",
        "nothing was there to be driven off",
        _asked("pest-effect", untreated_after=0, treated_after=3),
    ),
    Situation(
        "a count before, or of the untreated after, is nought, so nothing can be said",
        "count again where there are pests, or keep the counts as they are",
        "the sum is asked with a nought below",
        lambda _: henderson_tilton_percent(
            untreated_before=Decimal(1), untreated_after=Decimal(0), treated_before=Decimal(1), treated_after=Decimal(1)
        ),
    ),
)
