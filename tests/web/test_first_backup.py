"""The end of the first run: the first backup and its sheet, or a reminder at every sign-in until there is one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site import back_up, restore
from tests.orrendal import PASSPHRASE, fast_folder
from tests.web.markup import read_page
from tests.web.test_backup_pages import written_down
from tests.web.test_first_run import Beginner

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def beginner() -> Iterator[Beginner]:
    one = Beginner(fast_folder() / "thornpan")
    yield one
    one.run.close()


def test_afterwards_the_first_backup_is_one_sign_in_away_and_its_sheet_opens_the_file(
    beginner: Beginner, tmp_path: Path
) -> None:
    beginner.fill_all(network="found", title="Orrendal Garden Circle")
    assert beginner.went == "/people/sign-in"
    beginner.send("/people/sign-in", {"label": "T1", "passphrase": PASSPHRASE, "back": "/backup/?first=running"})
    assert (read_page(beginner.page).judged(), "Now the first backup" in beginner.page) == ([], True)
    assert "There is no backup of this site yet" not in beginner.page  # it is just being made
    safe = tmp_path / "safe"
    safe.mkdir()
    beginner.send("/backup/", {"typed": "/nowhere", "first": "running"})
    assert (beginner.status, "There is no folder /nowhere." in beginner.page) == (422, True)
    beginner.send("/backup/", {"typed": str(safe), "first": "running"})
    assert (read_page(beginner.page).judged(), 'href="/running"' in beginner.page) == ([], True)
    (file,) = safe.iterdir()
    restore(file, tmp_path / "again", phrase=written_down(beginner.page))
    site = beginner.run.site
    assert site is not None
    assert site.has_backup
    sheet = beginner.get("/running")
    assert read_page(sheet).judged() == []
    for said in ("How we run this", str(site.folder), "T1", site.words, site.network_words or "?"):
        assert said in sheet
    assert PASSPHRASE not in sheet


def test_who_skips_the_backup_is_reminded_at_every_sign_in_until_there_is_one(
    beginner: Beginner, tmp_path: Path
) -> None:
    beginner.fill_all(network="found", title="Orrendal Garden Circle")
    site = beginner.run.site
    assert site is not None
    site.add_person("T2", role="volunteer", passphrase=PASSPHRASE)
    reminder = "There is no backup of this site yet."

    def page_after_sign_in(label: str) -> str:
        beginner.get("/people/sign-in")
        return beginner.send("/people/sign-in", {"label": label, "passphrase": PASSPHRASE})

    for _ in range(2):
        assert reminder in page_after_sign_in("T1")
        assert read_page(beginner.page).judged() == []
        assert reminder not in beginner.get("/")  # said once at each sign-in
    assert reminder not in page_after_sign_in("T2")  # a volunteer cannot make one
    back_up(site, tmp_path / "made by command.sealed")
    assert reminder not in page_after_sign_in("T1")
