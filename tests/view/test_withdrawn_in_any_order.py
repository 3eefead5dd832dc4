"""Random orders of exchange among four sites: once a withdrawal has met what it stops, nobody is shown it.

Seventy of them, and two hundred where ``THOROUGH=1`` asks for more.

Sticks are lost, fall behind, bring things twice, in part or without bodies; clocks are wrong. In each order one site,
drawn at random, is a real store with a real view; what the others hold is kept as sets, since a view is a function of
the set alone (``test_any_order``). Rule R2 of the scenario: no clock is asked.
"""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import dataclass, field
from functools import cache
from random import Random
from typing import TYPE_CHECKING

from fieldbook.ledger import Ledger
from fieldbook.site.showing import shown_edition
from fieldbook.view import View
from sync.intake import Intake
from tests.orrendal import copy_of_circle, fast_folder, practice, template
from tests.thorough import tried

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Statement
    from tests.orrendal import Circle

ORDERS, STEPS = tried(70, 200), 48
SAID = "Lead the smoke of dry leaves through water for an hour, and pour it on the kale."
CLOCKS = (1970, 2000, 2027, 2069, 2099)


@dataclass(frozen=True)
class Story:
    """What was said, at which site, in an order in which it can be said; which editions are stopped by which word."""

    said: tuple[tuple[str, Statement], ...]
    stopped: frozenset[str]
    recall: str
    copy: str


@cache
def story() -> tuple[Story, Circle]:
    """An entry, its next edition, an adaptation, a copy, approvals before and after, a withdrawal; clocks all wrong."""
    circle = copy_of_circle(fast_folder())
    clocks = iter(CLOCKS * 4)
    ledger = circle["T"].ledger
    assert ledger is not None
    before = {one.id for one in ledger._store.statements()}

    def at(letter: str) -> str:
        circle.carry(letter)
        year = next(clocks)
        circle[letter].clock = lambda: dt.datetime(year, 1, 1, tzinfo=dt.UTC)
        return letter

    plain = circle.write(at("C") + "1", practice("My own water", steps=[{"say": {"en": SAID.upper()}}]))
    first = circle.write(at("T") + "1", practice("Smoke spray", steps=[{"say": {"en": SAID}}]))
    circle.carry("T")
    circle.approve(at("L") + "2", first)
    circle.carry("L")
    after = circle.write(at("T") + "1", practice("Smoke spray, weaker"), after=[first])
    made = circle.write(at("S") + "1", practice("Smoke of dry leaves"), after=[first], adaptation=True)
    circle.carry("TSL")
    recall = circle.recall(at("L") + "2", first)
    circle.approve(at("C") + "3", after)  # C has not heard of it
    circle.carry("CLTSCLTS")
    late = ledger.say(
        circle.keys["T1"], "fieldbook/edition", practice("Late"), after=(made,), time=None, random=Random(7).randbytes
    )
    circle.carry("TCLS")
    new = [one for one in ledger._store.statements() if one.id not in before]
    letters = {key.public: label[0] for label, key in circle.keys.items()}
    letters |= {circle[letter].site_key.public: letter for letter in "CTLS"}
    circle.close()
    said = tuple((letters[one.author], one) for one in new)
    return Story(said, frozenset({first, after, made, late, plain}), recall, plain), circle


@dataclass
class Camp:
    """One site that is a real store: what it takes in is judged and folded at once."""

    folder: Path
    ledger: Ledger = field(init=False)
    view: View = field(default_factory=View.in_memory)

    def __post_init__(self) -> None:
        """Begin with the network and its people, and no entry."""
        shutil.copy(template().place("S") / "store.sqlite", self.folder / "store.sqlite")
        self.ledger = Ledger.open(self.folder)

    def take(self, statements: list[Statement]) -> None:
        for one in statements:
            Intake(self.ledger._store).take_alone(one)
        self.view.apply(self.ledger)

    def shown(self) -> set[str]:
        """The editions of which readers or reviewers are shown anything but a notice."""
        found = set()
        for entry in self.view.entries():
            folded = self.view.folded(entry)
            one = shown_edition(folded, self.ledger, own_site="", reader=None, paused=False)
            found |= {one["id"]} if one is not None and one["state"] != "recalled" else set()
            found |= {each["id"] for each in folded["editions"] if each["state"] != "recalled"}
        return found

    def unread(self, told: Story) -> frozenset[str]:
        """The copy, while its own words or those of the notice came without a body: nobody can read or compare it."""
        held = [self.ledger.said(one) for one in (told.copy, told.recall)]
        return frozenset() if all(one is not None and one.body is not None for one in held) else frozenset({told.copy})

    def close(self) -> None:
        self.ledger.close()
        self.view.close()


def run(seed: int, folder: Path) -> tuple[bool, bool]:
    """One order; whether the entry was seen before its notice came, and whether the notice met it on the way."""
    told, _ = story()
    chance = Random(seed)
    by_id = {one.id: one for _, one in told.said}
    held: dict[str, set[str]] = {letter: set() for letter in "CTLS"}
    sticks: list[set[str]] = [set(), set(), set()]
    old: list[set[str]] = [set()]
    seen = met = False
    real, camp, unsaid = chance.choice("CTLS"), Camp(folder), list(told.said)
    for _ in range(STEPS):
        may = [one for one in unsaid if by_id.keys() & set(one[1].after) <= held[one[0]]]
        if may and chance.random() < 0.5:
            unsaid.remove(said := chance.choice(may))
            letter, came = said[0], {said[1].id}
        else:
            letter, stick = chance.choice("CTLS"), chance.randrange(len(sticks))
            came = {one for one in sticks[stick] if chance.random() < 0.8}
            old.append(set(sticks[stick]))
            sticks[stick] |= held[letter]
            if chance.random() < 0.3:
                sticks[stick] = set(chance.choice(old))  # lost, or an older stick in its place
        held[letter] |= came
        if letter == real:
            repeated = chance.sample(sorted(came), len(came) // 2)
            bare = [by_id[one].without_body() if chance.random() < 0.1 else by_id[one] for one in sorted(came)]
            chance.shuffle(bare)
            camp.take([*bare, *(by_id[one] for one in repeated)])
            if told.recall not in held[real]:
                seen = seen or bool(camp.shown() & told.stopped)
            else:
                met = met or bool(held[real] & told.stopped)
                assert not camp.shown() & told.stopped - camp.unread(told), f"order {seed}: shown after its notice"
    camp.take([one for _, one in told.said])
    assert not camp.shown() & told.stopped - camp.unread(told), f"order {seed}: shown after all have met"
    assert camp.view.differences_from_fold(camp.ledger) == []
    camp.close()
    return seen, met


def test_in_no_order_is_anything_withdrawn_shown_once_its_notice_has_come() -> None:
    root = fast_folder()
    outcomes = []
    for seed in range(ORDERS):
        folder = root / str(seed)
        folder.mkdir()
        outcomes.append(run(seed, folder))
        shutil.rmtree(folder)
    seen, met = (sum(column) for column in zip(*outcomes, strict=True))
    assert min(seen, met) > ORDERS // 4, f"the orders are too tame: {seen} saw it first, {met} met the notice"
