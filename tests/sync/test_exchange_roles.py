"""An exchange in which very many roles are given judges the whole a few times, not once for each bundle."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from sync.exchange.taking import PORTION_FIRST, PORTION_GROWS
from sync.store import Store
from tests.sync import floods, hostile_roles
from tests.sync.camps import Site, circle, folder_of, meet, new_stick
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from sync import Lane

PORTIONS = PORTION_FIRST, PORTION_FIRST * PORTION_GROWS  # bundles
BUNDLES = sum(PORTIONS)
IN_A_BUNDLE = 3


@pytest.mark.parametrize(
    ("flood", "by", "lane", "judgings"),
    [
        (floods.names_people, "T", "text", 2),  # before, and when all is taken in
        (floods.lets_sites_in, "C", "urgent", 1 + len(PORTIONS)),
    ],
    ids=["people", "sites"],
)
def test_bundles_that_give_roles_do_not_each_let_the_whole_be_judged(
    flood: hostile_roles.Flood, by: str, lane: Lane, judgings: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sites, stick = circle(tmp_path, "CTL"), new_stick(tmp_path)
    meet(stick, *sites.values())
    monkeypatch.setattr(hostile_roles, "IN_A_BUNDLE", IN_A_BUNDLE)
    hostile_roles.leave(folder_of(stick), sites[by], flood(sites[by], BUNDLES * IN_A_BUNDLE), lane=lane)
    monkeypatch.setattr("sync.intake.bundles.TRANSACTION_STATEMENTS", IN_A_BUNDLE)
    judged = count_judgings(monkeypatch)
    sites["L"].reopen()
    sites["L"].exchange(stick)
    assert len(judged) == judgings
    assert knows(sites["L"], BUNDLES * IN_A_BUNDLE)


def count_judgings(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    module = sys.modules[Store.__module__]
    judged: list[object] = []
    judge_held: Callable[..., object] = module.judge_held

    def counted(*given: object) -> object:
        judged.append(given)
        return judge_held(*given)

    monkeypatch.setattr(module, "judge_held", counted)
    return judged


def knows(site: Site, count: int) -> bool:
    """Whether all of many were given a role there."""
    return all(floods.one_of_many(number) in site.store.charter.homes for number in range(count))


def test_a_site_that_is_let_in_by_a_bundle_has_its_own_taken_in_at_the_same_visit(place: Path, stick: Path) -> None:
    sites = circle(place, "CL")
    meet(stick, *sites.values())
    late = circle(place / "late", "CT")["T"]
    sites["C"].grant("T")
    late.store.add(list(sites["C"].store.statements()), sealed=True)
    late.introduce()
    sites["C"].exchange(stick)
    late.exchange(stick)
    report = sites["L"].exchange(stick)
    assert key_of("T1").public in sites["L"].store.charter.people
    assert not report.waiting_files
