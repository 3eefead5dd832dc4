"""The main job: written with a photo at one site, approved at another, carried, verified, found and planned at a third."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site import PhotoIn
from tests.orrendal import practice
from tests.photos.bare_bytes import assert_nothing_but_pixels
from tests.photos.pictures import photo, telltale_jpeg
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from tests.orrendal import Circle

ENTRY = practice(
    {"en": "Onion rows between the kale", "sw": "Vitunguu kati ya sukuma"},
    summary={"en": "Fewer aphids on kale.", "sw": "Vidukari wachache kwenye sukuma."},
    topics=["aphids", "companion-planting"],
    photos=[{"name": "rows", "alt": {"en": "Rows"}, "people": "none"}],
)


def test_an_entry_written_at_one_site_is_approved_at_another_and_used_at_a_third(circle: Circle) -> None:
    edition = circle.write("T1", ENTRY, photos=[PhotoIn("rows", telltale_jpeg(photo()), "none")])
    (ours,) = circle["T"].cards()
    assert (ours.state, ours.standing, ours.own) == ("offered", "unchecked", True)
    circle.carry("TL")
    assert circle["L"].cards() == ()

    circle.approve("L2", edition)
    circle.carry("LS")

    saltreed = circle["S"]
    (hit,) = saltreed.search("vidukari kwenye sukuma")
    assert (hit.edition, hit.state, hit.standing) == (edition, "approved", "checked-once")
    page = saltreed.page(hit.entry)
    assert [(one.by, one.edition) for one in page.approvals] == [("L2", edition)]
    assert (page.line.author, page.line.site_letter) == ("T1", "T")
    (shown,) = page.document["photos"]
    for part in ("ref", "thumb"):
        found = saltreed.attachment(shown[part])
        assert found is not None
        assert_nothing_but_pixels(found[0])
    assert saltreed.verify().ok
    assert check_carrier(circle.stick) == []
    windows = saltreed.calendar_document(crops=["kale"])["windows"]
    assert [(one["start"], one["end"]) for one in windows] == [("03-01", "10-19")]


def test_an_approval_names_one_edition_and_passes_to_no_other(circle: Circle) -> None:
    first = circle.write("C1")
    circle.approve("C3", first)
    second = circle.write("C1", practice("Rows of onions, closer"), after=[first])
    reader = circle["C"].page(first)
    assert (reader.line.edition, reader.state) == (first, "approved")
    assert [(one.edition, one.state, one.newest) for one in reader.editions] == [
        (first, "approved", False),
        (second, "offered", True),
    ]
    assert [item.card.edition for item in circle["C"].review_queue.items(circle.signer("C3"))] == [second]
    circle.approve("C3", second)
    assert circle["C"].page(first).line.edition == second


def test_a_stick_carried_twice_changes_nothing_the_second_time(circle: Circle) -> None:
    circle.write("C1")
    circle.carry("CTLS")
    circle.carry("CTLS")
    before = {path: path.read_bytes() for path in circle.stick.rglob("*") if path.is_file()}
    reports = circle.carry("CTLS")
    assert {(one.accepted, one.left, one.refused) for one in reports} == {(0, 0, ())}
    assert before == {path: path.read_bytes() for path in circle.stick.rglob("*") if path.is_file()}
    assert len(circle.states()) == 1


def test_sites_that_never_meet_come_to_the_same_by_different_sticks(circle: Circle) -> None:
    """T and S never see one stick; C and L stand between."""
    editions = [circle.write(label, practice(f"By {label}")) for label in ("C1", "T1", "L1", "S1")]
    west, middle, east = (circle.new_stick(name) for name in ("west", "middle", "east"))
    for _ in range(4):
        circle.carry("TC", west)
        circle.carry("CL", middle)
        circle.carry("LS", east)
    circle.approve("C3", editions[3])
    for _ in range(4):
        circle.carry("TC", west)
        circle.carry("CL", middle)
        circle.carry("LS", east)
    assert len(circle.states()) == 1
    assert circle["T"].page(editions[3]).standing == "checked-once"
