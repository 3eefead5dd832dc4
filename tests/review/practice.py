"""Practices for tests: only the groups that matter are filled, all others are known not to be present."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import Entry, read_entry
from fieldbook.practices.codes import CAUTIONS, FACT_GROUPS
from fieldbook.review import Finding, findings_of

if TYPE_CHECKING:
    from collections.abc import Mapping

BARE = {"area_m2": 5, "mode": "soil_incorporated", "contact": "edible_soil"}
LETTUCE = {"name": "lettuce", "part": "leaf", "eaten_raw": True, "flowering": False}
TOMATO = {"name": "tomato", "part": "fruit", "family": "tomato_potato", "eaten_raw": True, "flowering": False}
MARIGOLD = {"name": "marigold", "part": "none", "eaten_raw": False, "flowering": True}
ADULTS = {"kind": ["gardening"], "audience": ["adults"]}


def facts(**groups: Any) -> dict[str, Any]:
    """Facts with every group that is not given ruled out, and every caution there."""
    ruled_out = [name for name in FACT_GROUPS if name not in groups]
    return {"none": ruled_out, "cautions": list(CAUTIONS), **groups}


def practice(document: Mapping[str, Any] | None = None, **groups: Any) -> Entry:
    """An entry with these facts, read as an author's."""
    head = {"kind": "teaching", "title": {"en": "A practice"}}
    return read_entry({**head, "facts": facts(**groups), **(document or {})})


def found(entry: Entry, rule: str) -> list[Finding]:
    """What one rule finds."""
    return [finding for finding in findings_of(entry) if finding.rule == rule]


def results(entry: Entry, rule: str) -> list[str]:
    """The results that one rule gives."""
    return [finding.result for finding in found(entry, rule)]


def rules(entry: Entry, *wanted: str) -> set[str]:
    """The rules that give one of these results."""
    return {finding.rule for finding in findings_of(entry) if finding.result in wanted}
