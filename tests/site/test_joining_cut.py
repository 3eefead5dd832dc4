"""A site that was cut off between making its key and asking to join asks again under the same words."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.ledger import Ledger
from fieldbook.site import Site, begin_site
from tests.orrendal import site_facts

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def wishes(stick: Path) -> dict[str, bytes]:
    """The requests to join that lie on a stick."""
    return {path.name: path.read_bytes() for path in stick.glob("tried-ground-*/joining/*.json")}


def test_a_newcomer_who_was_cut_off_before_and_after_asking_has_one_key_one_request_and_the_same_words(
    circle: Circle, tmp_path: Path
) -> None:
    circle.carry("C")
    before = wishes(circle.stick)
    begin_site(tmp_path / "drywell", replace(site_facts("T"), letter="D", name="Dry Well"), founding=None)
    words = []
    with closing(Site.open(tmp_path / "drywell")) as site:  # the power goes here: a key, and nobody asked yet
        words.append(site.words)
        assert site.ledger is None
    missing = circle.stick.with_name("not there")
    with closing(Site.open(tmp_path / "drywell")) as site, pytest.raises(FieldbookError):
        site.request_join(missing)
    for _ in range(2):  # and here, before anybody has read it
        with closing(Site.open(tmp_path / "drywell")) as site:
            if site.ledger is None:
                site.request_join(circle.stick)
            words.append(site.words)
    asked = wishes(circle.stick).keys() - before.keys()
    assert len(asked) == 1
    assert len(set(words)) == 1
    circle.carry("C")
    assert words[0] in {Ledger.words(one.key) for one in circle["C"].joins_waiting()}
