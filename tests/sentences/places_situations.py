"""Every fault of the facts of a place, with the answer that calls for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.review import PlaceError, read_place
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.practices import Fault


def answered(field: str, **place: Any) -> Callable[[Scene], object]:
    """The fault that is read beside one answer."""

    def come(_: Scene) -> Fault:
        try:
            read_place(place)
        except PlaceError as error:
            return next(fault for fault in error.faults if fault.field == field)
        raise AssertionError(place)

    return come


SITUATIONS = (
    Situation(
        "is not a fact of a place that the rules know",
        "take it out, or look at its spelling",
        "a file of answers with a word of its own",
        answered("roof_ok", roof_ok=True),
    ),
    Situation(
        "this day is in no calendar",
        "write a date such as 2026-11-25",
        "dung on the thirtieth of February",
        answered("applied_on", applied_on="2026-02-30"),
    ),
    Situation(
        "the harvest is before the dung",
        "write the day of the next harvest after it",
        "the last harvest in place of the next one",
        answered("harvest_on", applied_on="2026-03-02", harvest_on="2026-03-01"),
    ),
    Situation(
        "the days between do not fit the two dates",
        "write the dates, or the days between",
        "two dates two days apart, and 120 days",
        answered("wait_d", applied_on="2026-03-01", harvest_on="2026-03-03", wait_d=120),
    ),
)
