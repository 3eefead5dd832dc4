"""Many statements at once: written in batches and verified by several threads, with the outcome of one by one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from sync import RemoteError, check_store
from sync.intake import Intake
from tests.sync.camps import Site, circle
from tests.sync.test_intake import said, sealed, take

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return circle(tmp_path, "C")["C"]


def test_what_answers_may_stand_before_what_it_answers(site: Site) -> None:
    chain = [said(site, 0)]
    for number in range(1, 40):
        chain.append(said(site, number, after=[chain[-1].id]))
    take(site, sealed(site, *chain[20:][::-1]), sealed(site, *chain[:20][::-1], number=2))
    assert [site.store.depth(each.id) for each in chain] == list(range(40))
    assert check_store(site.store) == ()


@pytest.mark.parametrize("threads", [1, 2, 3])
def test_how_many_threads_verify_changes_nothing(site: Site, threads: int) -> None:
    statements = [said(site, number) for number in range(70)]
    intake = Intake(site.store, threads=threads)
    intake.take(sealed(site, *statements))
    intake.commit()
    assert set(intake.added) == {each.id for each in statements}
    forged = [replace(said(site, number), signature=bytes(64)) for number in (100, 101)]
    others = [said(site, number) for number in range(200, 268)]
    mixed = sealed(site, *others[:20], forged[0], *others[20:60], forged[1], *others[60:], number=2)
    with pytest.raises(RemoteError, match=forged[0].id[:8]):
        intake.take(mixed)
    intake.commit()
    assert site.store.get(others[0].id) is None
