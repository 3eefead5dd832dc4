"""Every refusal of a decision on an edition, with the situation in which a reviewer reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices import Fault, read_entry
from fieldbook.review import approval_body, approval_faults, body_faults, findings_of, moved
from tests.review.practice import practice
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.review import State

OPEN_TANK = {"cover": "none", "volume_l": 200, "prior_use": "food", "age_water_d": 9}  # MOS-01 asks for an answer


def in_the_way(at: str, answers: dict[str, str] | None = None, **groups: Any) -> Callable[[Scene], Fault]:
    """What stands in the way of approving, at this field or rule."""
    entry = practice(**groups)
    return lambda _: next(
        fault for fault in approval_faults(entry, findings_of(entry), answers or {}) if fault.field == at
    )


def of_person(reviewer: str, *, author: str, scope: tuple[str, ...] = ()) -> Callable[[Scene], Fault]:
    entry = practice()
    return lambda _: approval_faults(entry, (), {}, reviewer=reviewer, author=author, scope=scope)[0]


def of_body(**fields: Any) -> Callable[[Scene], Fault]:
    """The first fault of an approval with these fields."""
    body = {"rules": "1", "findings": [], "answers": {}, "limits": []} | fields
    return lambda _: body_faults("fieldbook/approval", body)[0]


def refused_to(state: State, kind: str) -> Callable[[Scene], object]:
    return lambda _: moved(state, f"fieldbook/{kind}")


CANNOT = "this edition {state}, so it cannot {be}"
SITUATIONS = (
    Situation(
        "{message} (and {more} more)",
        "ask a reviewer of this kind of entry",
        "a reviewer of fish approves an entry on something else, which lacks its facts too",
        lambda _: approval_body(
            read_entry({"kind": "teaching", "title": {"en": "Water"}}), answers={}, scope=("fish",)
        ),
    ),
    Situation(
        "{text} is not {like}",
        "write it as {like}",
        "an approval names a rule in another form",
        of_body(findings=[{"rule": "M1", "result": "stop"}]),
    ),
    Situation(
        "is not a map from rule to words",
        "write the words under the rule's id",
        "an approval answers in one sentence for all rules",
        of_body(answers="we always did"),
    ),
    Situation(
        "nobody approves their own work",
        "ask another reviewer to decide on this edition",
        "a reviewer approves what they wrote",
        of_person("C3", author="C3"),
    ),
    Situation(
        "this reviewer decides on {scope} only",
        "ask a reviewer of this kind of entry",
        "a reviewer of fish approves an entry on something else",
        of_person("C3", author="C1", scope=("fish",)),
    ),
    Situation(
        "is needed before anyone can approve this",
        "send it back and ask the author to fill it in",
        "an entry with a spray says neither how it is mixed nor how long to wait",
        in_the_way("ratios", spray={"plants": ["garlic"], "ppe": ["eyes", "hands", "mask", "skin"], "interval_d": 3}),
    ),
    Situation(
        "stop: {finding}",
        "send it back, for no answer lifts a stop; instead: {way}",
        "a paint tin for water",
        in_the_way("MAT-01", vessel=OPEN_TANK | {"prior_use": "paint"}),
    ),
    Situation(
        "is no rule",
        "answer one of: {rules}",
        "an answer to a rule that is none, while another asks",
        in_the_way("MOS-1", {"MOS-1": "we look"}, vessel=OPEN_TANK | {"cover": "narrow_neck"}),
    ),
    Situation("is no rule", "leave it out", "an answer where no rule asks", in_the_way("MOS-1", {"MOS-1": "we look"})),
    Situation(
        "needs the reviewer's words",
        "say in a sentence why it may stand; on the command line: --answer {rule}=WORDS",
        "water that stands for nine days, approved without a word on it",
        in_the_way("MOS-01", vessel=OPEN_TANK | {"cover": "narrow_neck"}),
    ),
    Situation(
        "was answered with nothing",
        "say in a sentence why it may stand",
        "an answer of blanks",
        in_the_way("MOS-01", {"MOS-01": "  "}, vessel=OPEN_TANK | {"cover": "narrow_neck"}),
    ),
    Situation(CANNOT, "offer it first", "a draft is approved", refused_to("draft", "approval")),
    Situation(CANNOT, "decide on it first", "what waits is offered again", refused_to("offered", "edition")),
    Situation(
        CANNOT, "write the next edition instead", "what is out of date is sent back", refused_to("retired", "sent-back")
    ),
    Situation(
        CANNOT, "write the next edition instead", "what is approved is allowed", refused_to("approved", "lifting")
    ),
    Situation(
        CANNOT, "write the next edition instead", "what was sent back is allowed", refused_to("sent-back", "lifting")
    ),
    Situation(
        CANNOT,
        "leave it withdrawn; people of two sites can allow it again",
        "what is withdrawn is marked as out of date",
        refused_to("recalled", "retirement"),
    ),
)
