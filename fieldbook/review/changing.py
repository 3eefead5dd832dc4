"""What a safe way changes in a draft: each a pure function of the document and of what was found.

Not the ways in words (``ways``) and not the keeping of drafts. Its one rule: a change touches only facts, waiting times
and cautions that it names, never a sentence of the author's; and it is offered only where it clears what was found and
brings no new stop.
"""

from __future__ import annotations

import copy
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices import Entry
from fieldbook.practices.codes import NONE_PUBLISHED, TEA_KINDS
from fieldbook.review.case import cases
from fieldbook.review.cautions import missing_cautions
from fieldbook.review.dressing import is_raw, reaches_food, wait_needed_d
from fieldbook.review.engine import findings_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.review.rule import Finding, Way

    Document = dict[str, Any]
    Change = Callable[[Document, Finding], None]

_LAW = "7 CFR 205.203(c)(1)"
_LIQUID = (*TEA_KINDS, "animal_urine")
_AFTER_DUNG = (None, "dung", "tea", "urine")
_BEFORE_EATING = ("eating-raw", "harvest")
_DEMAND_OF: Final = MappingProxyType(
    {
        "ANI-01": "area",
        "ANI-02": "area",
        "ANI-03": "area",
        "DRN-01": "cover",
        "FSH-01": "area",
        "FSH-02": "area",
        "MAN-07": "area",
        "MAT-01": "prior_use",
        "SOI-01": "soil_source",
        "STR-01": "engineer_ok",
        "STR-02": "safe_load",
        "ZOO-03": "bird_flu",
    }
)
_CAUTION_OF: Final = MappingProxyType({"FSH-06": "C15", "GAS-01": "C11", "PLT-01": "C19", "ZOO-02": "C13"})
_COVERED = ("eyes", "hands", "mask", "skin")
_WORN = ("eyes", "gloves", "mask")


def _items(document: Document, group: str) -> list[Document]:
    """The items of a group of facts in the document itself, so that they can be changed there."""
    found = document.get("facts", {}).get(group)
    return [item for item in (found if isinstance(found, list) else [found]) if isinstance(item, dict)]


def _add_to(place: Document, name: str, *codes: str) -> None:
    place[name] = sorted({*(place.get(name) or ()), *codes})


def _keep_the_raw_wait(document: Document, _: Finding) -> None:
    """Raw dung and steeps go into soil on dung day; every wait that readers see becomes the law's."""
    waits = [_into_soil(item, case) for item, case in _raw_items(document)]
    if not waits and _items(document, "tea"):
        waits = [_steep_into_soil(document)]
    if not waits:
        return
    for tea in _items(document, "tea"):
        if tea.get("mode") == "foliar":
            tea["mode"] = "drench"
    _show_the_wait(document, max(waits))


def _raw_items(document: Document) -> list[tuple[Document, Any]]:
    found = zip(_items(document, "inputs"), cases(Entry(document), "inputs"), strict=True)
    return [(item, case) for item, case in found if is_raw(case) is True and reaches_food(case) is not False]


def _into_soil(item: Document, case: Any) -> int:
    liquid = item.get("kind") in _LIQUID
    if item.get("mode") == "foliar" or item.get("wets_edible"):
        item["mode"], item["wets_edible"] = ("drench" if liquid else "soil_incorporated"), False
    needed_d = wait_needed_d(case.filled_anew(**item))
    if not _is_as_long(item.get("wait_d"), needed_d):
        item["wait_d"] = needed_d
    if item.get("mode") == "soil_surface" and item.get("incorporated_after_d") not in {0, 1, 2, 3}:
        item["incorporated_after_d"] = 0
    return needed_d


def _steep_into_soil(document: Document) -> int:
    """A tea that stands alone says no wait: it is put among what goes on soil."""
    steep = {"kind": "manure_tea", "mode": "drench", "contact": "edible_soil", "wets_edible": False, "wait_d": 120}
    facts = document.setdefault("facts", {})
    facts["inputs"] = [*_items(document, "inputs"), steep]
    facts["none"] = [group for group in facts.get("none") or () if group != "inputs"]
    return 120


def _is_as_long(days: Any, needed_d: int) -> bool:
    return isinstance(days, int) and days >= needed_d


def _show_the_wait(document: Document, needed_d: int) -> None:
    for claim in _items(document, "harvest"):
        if "claimed_wait_d" in claim and not _is_as_long(claim["claimed_wait_d"], needed_d):
            claim["claimed_wait_d"] = needed_d
    rows = [
        row
        for row in document.get("waiting") or ()
        if row.get("before") in _BEFORE_EATING and row.get("after") in _AFTER_DUNG
    ]
    for row in rows:
        if not _is_as_long(row.get("days_min"), needed_d):
            row["days_min"], row["source"] = needed_d, _LAW
    if not rows:
        shown = {"before": "harvest", "after": "dung", "days_min": needed_d, "source": _LAW}
        document["waiting"] = [*(document.get("waiting") or ()), shown]


def _cover_the_water(document: Document, _: Finding) -> None:
    for vessel in _items(document, "vessel"):
        if vessel.get("cover") in {"mesh", "none"}:
            vessel["cover"] = "lid"
    _add_to(document.setdefault("facts", {}), "demands", "cover")


def _cover_up(document: Document, _: Finding) -> None:
    for spray in _items(document, "spray"):
        _add_to(spray, "ppe", *_COVERED)
    _add_to(document, "protect", *_WORN)
    _add_to(document.setdefault("facts", {}), "cautions", "C16")


def _add_missing_cautions(document: Document, _: Finding) -> None:
    _add_to(document.setdefault("facts", {}), "cautions", *missing_cautions(Entry(document)))


def _add_its_caution(document: Document, finding: Finding) -> None:
    _add_to(document.setdefault("facts", {}), "cautions", _CAUTION_OF[finding.rule])


def _ask_first(document: Document, finding: Finding) -> None:
    _add_to(document.setdefault("facts", {}), "demands", _DEMAND_OF[finding.rule])


def _water_the_foot(document: Document, _: Finding) -> None:
    for group in ("irrigation", "inputs"):
        for item in _items(document, group):
            from_pond = group == "irrigation" or item.get("kind") == "fish_water"
            if from_pond and (item.get("mode") == "foliar" or item.get("wets_edible")):
                item["mode"], item["wets_edible"] = ("foot" if group == "irrigation" else "drench"), False


def _spray_at_dusk(document: Document, _: Finding) -> None:
    for spray in _items(document, "spray"):
        if spray.get("time_of_day") == "day":
            spray["time_of_day"] = "dusk"


def _say_none_published(document: Document, _: Finding) -> None:
    for spray in _items(document, "spray"):
        spray.setdefault("interval_d", NONE_PUBLISHED)
    if not any(row.get("after") == "spray" for row in document.get("waiting") or ()):
        row = {"before": "harvest", "after": "spray", "days_min": NONE_PUBLISHED}
        document["waiting"] = [*(document.get("waiting") or ()), row]


CHANGES: Final[MappingProxyType[str, Change]] = MappingProxyType(
    {
        "add-its-caution": _add_its_caution,
        "add-missing-cautions": _add_missing_cautions,
        "ask-first": _ask_first,
        "cover-the-water": _cover_the_water,
        "cover-up": _cover_up,
        "keep-the-raw-wait": _keep_the_raw_wait,
        "say-none-published": _say_none_published,
        "spray-at-dusk": _spray_at_dusk,
        "water-the-foot": _water_the_foot,
    }
)
"""What a way may change, by the name that `Way.change` gives. Source: each way names its own."""


def changed(entry: Entry, finding: Finding, way: Way) -> dict[str, Any] | None:
    """Give the draft as a way would make it.

    Args:
        entry: the draft as it stands; it is not touched.
        finding: what a rule found in it.
        way: one of the finding's ways.

    Returns:
        The whole document with the change; None where the way has none, where the finding is that something is not
        said, where it would not clear the finding, or would bring a stop that is not there now.
    """
    if not way.change or finding.result == "unknown":
        return None  # what is not said must be said by a person
    document = copy.deepcopy(dict(entry.document))
    CHANGES[way.change](document, finding)
    after = findings_of(Entry(document))
    cleared = not any((one.rule, one.result) == (finding.rule, finding.result) for one in after)
    stops = {one.rule for one in findings_of(entry) if one.result == "stop"}
    return document if cleared and {one.rule for one in after if one.result == "stop"} <= stops else None
