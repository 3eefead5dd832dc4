"""The board "Who to call here": read by everybody, written by trainers, one tap from each caution, never on a stick."""

from __future__ import annotations

import gzip
import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.review.cautions import NAMES
from fieldbook.review.roles_here import CALLED_FOR, ROLES_HERE
from fieldbook.site import Site, SiteError
from tests.orrendal import PASSPHRASE
from tests.web.gardens import entry_with
from tests.web.markup import read_page

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

BUILDER = {
    "role": "builder",
    "where": "the tool shed beside the wash house",
    "channel": "channel 7",
    "hours": "mornings",
}
SECRETS = (b"the tool shed beside", b"channel 7")


def put_up(visitor: Visitor, **changed: str) -> None:
    visitor.sit("C1").get("/who-to-call/write")
    visitor.post("/who-to-call/write", BUILDER | changed)


def test_everybody_reads_where_each_role_is_found_and_which_one_is_not_written_down(visitor: Visitor) -> None:
    put_up(visitor)
    visitor.client.delete_cookie("tried_ground_C")
    visitor.get("/who-to-call/")
    words = visitor.words()
    assert "Where the tool shed beside the wash house Radio or telephone channel 7 Hours mornings" in words
    assert words.count("Nobody has written down where to find one here.") == len(ROLES_HERE) - 2  # all but this, others
    assert "Write the board" not in words


def test_a_trainer_writes_a_line_anew_and_takes_it_down(visitor: Visitor) -> None:
    put_up(visitor)
    (line,) = visitor.site.callers.lines()
    visitor.post(f"/who-to-call/write/{line.number}", BUILDER | {"channel": "channel 9"})
    assert [one.channel for one in visitor.site.callers.lines()] == ["channel 9"]
    visitor.post(f"/who-to-call/write/{line.number}", BUILDER | {"down": "yes"})
    assert visitor.site.callers.lines() == ()
    visitor.post(f"/who-to-call/write/{line.number}", BUILDER)
    assert (visitor.status, "not on the board any more" in visitor.words()) == (422, True)


def test_only_a_trainer_writes_it(planted: Circle, visitor: Visitor) -> None:
    planted["C"].add_person("C2", role="volunteer", passphrase=PASSPHRASE)
    planted.keys["C2"] = planted["C"].unlock("C2", PASSPHRASE).key
    visitor.get("/who-to-call/write")
    assert "Passphrase" in visitor.words()  # led to the sign-in
    visitor.sit("C2").get("/who-to-call/")
    assert "Write the board" not in visitor.words()
    visitor.get("/who-to-call/write")
    assert visitor.status == 403
    visitor.post("/who-to-call/write", BUILDER)
    assert visitor.status == 403
    assert visitor.site.callers.lines() == ()


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"role": "the boss"}, "No role was chosen for this line."),
        ({"role": ""}, "No role was chosen for this line."),
        ({"where": "   ", "channel": "\t"}, "Nothing says where they are found."),
        ({"where": "x" * 121}, "A line of the board is too long."),
    ],
)
def test_what_cannot_stand_on_it_is_said_beside_its_boxes_and_nothing_typed_is_lost(
    visitor: Visitor, changed: dict[str, str], says: str
) -> None:
    put_up(visitor, **changed)
    assert visitor.status == 422
    assert says in visitor.words()
    assert 'value="mornings"' in visitor.page
    assert visitor.site.callers.lines() == ()


def test_a_full_board_takes_no_more(circle: Circle) -> None:
    board = circle["C"].callers
    for number in range(60):
        board.put_up(BUILDER | {"where": f"shed {number}"})
    with pytest.raises(SiteError, match="holds 60 lines already"):
        board.put_up(BUILDER)


def test_each_caution_of_an_entry_leads_to_the_board_in_one_tap(planted: Circle, visitor: Visitor) -> None:
    visitor.get(f"/entry/{entry_with(planted, 'Rabbit-dung')}")
    cautions = re.findall(r'<div class="one">(.*?)</div>', visitor.page, re.DOTALL)
    assert len(cautions) > 3
    ways = [re.search(r'href="/who-to-call/#([a-z-]+)"', one) for one in cautions]
    assert all(ways)
    visitor.get("/who-to-call/")
    anchors = {named.get("id") for _, named in read_page(visitor.page).tags}
    assert {way[1] for way in ways if way} <= anchors


def test_every_caution_has_a_role_to_call() -> None:
    assert set(CALLED_FOR) == set(NAMES)
    assert set(CALLED_FOR.values()) <= set(ROLES_HERE)


def everything_below(folder: Path) -> dict[str, bytes]:
    """Each file below a folder; bundles unpacked."""
    files = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    return {
        str(path): gzip.decompress(data) if path.suffix == ".bundle" else data
        for path, data in files.items()
        if path.name != "site.lock"
    }


def test_the_board_never_leaves_and_stands_in_no_file_but_the_notebook(circle: Circle) -> None:
    circle["C"].callers.put_up(BUILDER)
    circle.write("C1")
    circle.carry("CTLSC")
    on_stick = everything_below(circle.stick)
    assert any(name.endswith(".bundle") for name in on_stick)
    assert any("/receipts/" in name for name in on_stick)
    assert [name for name, data in on_stick.items() if any(secret in data for secret in SECRETS)] == []
    for letter in "TLS":
        elsewhere = everything_below(circle.place(letter))
        assert [name for name, data in elsewhere.items() if any(secret in data for secret in SECRETS)] == []
    here = everything_below(circle.place("C"))
    holding = {name.rpartition("/")[2] for name, data in here.items() if any(secret in data for secret in SECRETS)}
    assert holding
    assert all(name.startswith("notebook.sqlite") for name in holding)  # so it goes when the notebook is wiped


def test_the_board_is_there_again_when_the_site_is_opened_again(circle: Circle) -> None:
    put = circle["C"].callers.put_up(BUILDER)
    assert isinstance(circle.open("C"), Site)
    assert circle["C"].callers.lines() == (put,)
