"""What is told when a practice cannot be recomputed for one's own size, or a measure cannot be noted."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.practices import read_entry
from fieldbook.practices.scaled import kept_size
from fieldbook.practices.scaling import scale
from tests.sentences.scene import Scene, Situation
from tests.starters import entry_of

if TYPE_CHECKING:
    from collections.abc import Callable


def sized(base: str, amount: int, unit: str) -> Callable[[Scene], object]:
    return lambda _: scale(read_entry(entry_of("dung-steep")), base=base, amount=Decimal(amount), unit=unit)


def _twice(scene: Scene) -> object:
    sums = scene.new_circle()["C"].sums
    sums.add_measure({"name": "tin", "kind": "volume", "holds": 400})
    return sums.add_measure({"name": "tin", "kind": "volume", "holds": 400})


def _too_many(scene: Scene) -> object:
    sums = scene.new_circle()["C"].sums
    for number in range(31):
        sums.add_measure({"name": f"tin {number}", "kind": "volume", "holds": 400})
    return None


SITUATIONS = (
    Situation(
        "this practice entry has no such amount",
        "choose one of the amounts that it names",
        "an old address asks for a material that the edition no longer has",
        sized("material-99", 1, "kg"),
    ),
    Situation(
        "that is too far from what this practice entry was tried at",
        "choose from a hundredth to a hundred times its own amounts",
        "a practice for a can is wanted for a lorry",
        sized("container", 20_000, "L"),
    ),
    Situation(
        "the size that was kept cannot be read",
        "choose your own size anew on the entry's page",
        "newer software kept a size",
        lambda _: kept_size({"base": "moon"}),
    ),
)
OF_THE_SITE = (
    Situation(
        "{unit} is no unit that is known here",
        "choose one of: {units}",
        "an address was typed with a unit of nowhere",
        sized("container", 1, "cups"),
    ),
    Situation(
        "{from_unit} and {to_unit} do not measure the same",
        "choose a unit of the same kind",
        "kilograms of a container",
        sized("container", 1, "kg"),
    ),
    Situation(
        "there is already a measure called {name}",
        "choose another name, or remove that one first",
        "a tin is noted twice",
        _twice,
    ),
    Situation(
        "there are {measures_most} measures already", "remove one that nobody uses", "a shelf full of tins", _too_many
    ),
)
