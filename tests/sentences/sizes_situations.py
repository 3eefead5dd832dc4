"""What is told when a practice cannot be recomputed for one's own size, or a measure cannot be noted."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.practices import read_entry
from fieldbook.practices.scaled import kept_size
from fieldbook.practices.scaling import scale
from fieldbook.review.sizing import judge_size
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


def against(name: str, base: str, amount: str, unit: str, **answers: str) -> Callable[[Scene], object]:
    """The first reason against a size at a place that answered so."""

    def come(_: Scene) -> str:
        entry = read_entry(entry_of(name))
        return judge_size(entry, answers, scale(entry, base=base, amount=Decimal(amount), unit=unit))[0].words

    return come


def _begun_in(base: str, amount: str, unit: str, *, ground: bool = True) -> Callable[[Scene], object]:
    """A size is chosen at a place whose answers do not hold for it."""

    def come(scene: Scene) -> object:
        circle = scene.new_circle()
        site, plain = circle["C"], {key: value for key, value in entry_of("coop-roof-bed").items() if key != "photos"}
        steps = [{key: value for key, value in step.items() if key != "picture"} for step in plain["steps"]]
        space = plain["space"] if ground else {"roof": True}
        edition = circle.write("C1", plain | {"steps": steps, "space": space})
        asked = site.starting.questions(edition)
        answers = {one.code: "yes" for one in asked if one.takes == "yes"} | _ON_ROOF
        slip = site.starting.answer(edition, place="roof of block C", answers=answers, signer=circle.signer("C1"))
        scaled = scale(site.entry_value(edition), base=base, amount=Decimal(amount), unit=unit)
        size = site.sums.keep_size(edition, scaled)
        return site.starting.begin(slip.slip.number, signer=circle.signer("C1"), size=size.number)

    return come


_ON_ROOF = {
    "safe_load_kg_m2": "300",
    "depth_cm": "15",
    "bed_length_cm": "200",
    "bed_width_cm": "60",
    "hen_n": "6",
    "hen_floor_length_cm": "200",
    "hen_floor_width_cm": "100",
}
_FLOOR = {"hen_floor_length_cm": "200", "hen_floor_width_cm": "200"}

SITUATIONS = (
    Situation(
        "it cannot be reckoned how deep the soil of this size lies on the bed here",
        "",
        "a size for a roof bed that nobody measured",
        against("coop-roof-bed", "ground", "1", "m²"),
    ),
    Situation(
        "this size brings more dung in a year than was answered",
        "",
        "4 kg of droppings where 1 kg was answered",
        against("dung-steep", "material-0", "4", "kg", dung_kg_year="1"),
    ),
    Situation(
        "this size has more fish than was answered",
        "",
        "two drums where the fish of one were answered",
        against("fish-hen-garden", "container", "400", "L", fish_kg="0.3"),
    ),
    Situation(
        "this size has more animals than was answered",
        "",
        "twelve hens where ten were answered",
        against("five-hens", "material-0", "12", "pieces", hen_n="10", **_FLOOR),
    ),
    Situation(
        "this size has more animals than the floor here can hold",
        "",
        "thirteen hens on four square metres",
        against("five-hens", "material-0", "13", "pieces", hen_n="13", **_FLOOR),
    ),
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
        "this may not begin here in this size: {words}",
        "choose a smaller size, or ask anew and type in the answers: here {found}, and {fits} would fit",
        "soil for two square metres on a roof bed of 1.2",
        _begun_in("material-2", "150", "L"),
    ),
    Situation(
        "this may not begin here in this size: {words}",
        "begin it as the entry says, or ask a trainer for an edition that says how deep its soil is",
        "a roof bed whose edition names no ground",
        _begun_in("material-2", "90", "L", ground=False),
    ),
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
