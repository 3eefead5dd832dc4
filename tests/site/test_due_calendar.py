"""The calendar file of a whole site, read back by a library that we did not write (icalendar): every task, any language."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from tests.orrendal import NOON, copy_of_circle, fast_folder
from tests.roofs import ANSWERS, PLACE, roof_bed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site import Site

TODAY = NOON.date()
ARABIC = "قلّب الكومة واسقها بـ 3 L من الماء النظيف؛ ثم غطّها، ولا تلمسها 14 يومًا."
STEPS = [
    {"say": {"en": "Turn the heap.", "ar": ARABIC}, "day_offset": 3},
    {
        "say": {"en": "Water it; then cover it, and wait.", "ar": "اسقها"},
        "day_offset": 1,
        "repeat": {"every_days": 3, "until": "season-end"},
    },
]


@pytest.fixture(scope="module")
def site() -> Iterator[Site]:
    """Cloudstep with a bed, a can, a box counted by hand, and a practice that is told in English and Arabic."""
    with copy_of_circle(fast_folder()) as circle:
        beds = circle["C"].beds
        beds.add("B3", kind="bed", day_zero="2026-10-01")
        beds.write_down("B3", "dung", "2026-10-01")
        beds.write_down("B3", "planted", "2026-10-28", crop="kale", raised="nursery")
        beds.write_down("B3", "planned", "2027-01-20", crop="amaranth", raised="seed")
        beds.add("U2", kind="can", holds="urine", day_zero="2026-11-01")
        beds.write_down("U2", "filled", "2026-11-01")
        beds.add("H1", kind="box", by_hand=True)
        beds.write_down("H1", "planted", "0", crop="amaranth", raised="seed")
        edition = circle.write(
            "C1", roof_bed({"en": "A heap", "ar": "كومة"}) | {"steps": STEPS, "unread": ["en", "ar"]}
        )
        starting, signer = circle["C"].starting, circle.signer("C1")
        starting.begin(starting.answer(edition, place=PLACE, answers=ANSWERS, signer=signer).slip.number, signer=signer)
        yield circle["C"]


def test_every_task_of_a_year_comes_back_with_its_day(site: Site) -> None:
    """RFC 5545, 3.6.1: DTSTART is the first day of an all-day event; what is counted by hand has no date."""
    events = Calendar.from_ical(site.due.calendar_file(TODAY)).walk("VEVENT")
    found = {(str(one["summary"]), one.decoded("dtstart")) for one in events}
    expected = {
        (f"{line.place.label}: {line.said['en']}", line.date)
        for line in site.due.ahead(TODAY, days=366)
        if line.date is not None and (not line.due.task.every_days or line.date <= TODAY + dt.timedelta(days=42))
    }
    assert found == expected
    assert len({str(one["uid"]) for one in events}) == len(events) >= 20


def test_words_from_right_to_left_come_back_whole_and_no_line_is_over_75_octets(site: Site) -> None:
    """RFC 5545, 3.1 (lines of at most 75 octets, folded between characters) and 3.3.11 (text)."""
    text = site.due.calendar_file(TODAY, languages=("ar", "en"))
    lines = text.encode().split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert all(line.decode() is not None for line in lines)
    summaries = [str(one["summary"]) for one in Calendar.from_ical(text).walk("VEVENT")]
    assert f"{PLACE}: {ARABIC}" in summaries
    assert any(one.startswith("B3: Plant out the seedlings") for one in summaries)


def test_no_person_and_no_exact_place_stands_in_it(site: Site) -> None:
    """P2 and P6 of the reference on people: labels of the bed book only; events name no organizer and no attendee."""
    text = site.due.calendar_file(TODAY)
    assert [
        name for name in ("ATTENDEE", "ORGANIZER", "LOCATION", "GEO", "mailto:", "C1", site.name) if name in text
    ] == []
