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
        "{unknown} materials have no mass, and {wanted} can be found",
        "leave wet_kg null for one material, or for two with a goal for moisture",
        "two masses are unknown and only one goal is given",
        heap(material(STRAW, None), material(TABLE, None), material(CHICKEN, 1), goal=30),
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
        "choose for the one to be found a material with a ratio above {goal_ratio}",
        "a mix is too rich in nitrogen and the other material is richer than the goal",
        heap(material(CHICKEN, 10), material(STRAW, 10), material(TABLE, None), goal=30),
    ),
    Situation(
        "no amount of these materials reaches the goal",
        "choose for the one to be found a material with a ratio below {goal_ratio}",
        "a mix is too poor in nitrogen and the other material is poorer than the goal",
        heap(material(CHICKEN, 10), material(STRAW, 10), material(("sawdust", "0.2", "440", "39"), None), goal=15),
    ),
    Situation(
        "a mass is to be found, and there is no goal",
        "give goal_carbon_nitrogen_ratio",
        "a mass is left open without a goal",
        heap(material(CHICKEN, None)),
    ),
    Situation(
        "give either parts_stock and parts_water, or from_percent and to_percent",
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
)
