"""The bodies of the statements by which people judge entries, and of what a site says of itself.

Not the entry (``fieldbook.practices``) and not authority (the charter). Its one rule: a recall acts by its kind and by
what it answers; words that cannot be read never take its force away.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from fieldbook.practices.codes import CAUTIONS
from fieldbook.practices.faults import Fault, Reading
from fieldbook.practices.ingredients import PURPOSES, THINGS
from fieldbook.practices.likeness import MARK_CHARACTERS
from fieldbook.practices.records import Field, ListOf, Record
from fieldbook.practices.shapes import DATE, IDENTIFIER, TAG, Code, Flag, Number, Text, Whole
from fieldbook.review.sending_back import REASONS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.practices.shapes import Shape

LICENSED = ("animal-health-worker", "builder", "doctor", "engineer", "environmental-health-officer", "vet")
NOTICE_MAX_CHARACTERS = 300
NOTICE_MAX_BYTES = 1024  # of a recall's body in UTF-8: what any link takes, with the ids that go before it
LIKENESSES_MAX = 12  # by which copies are known: of the editions here, as many as fit the notice
TOLD_MAX_CHARACTERS = 300
ACKNOWLEDGED = ("paper", "word")  # what a site says it has: its paper taken down, or the word of a withdrawal
REPORTS = ("answer", "did-not-work", "hurt")  # what a report says; an answer names in its ``after`` what it answers
_NOTICE = Text(max_chars=NOTICE_MAX_CHARACTERS)
_REASON = Text(max_chars=1000)
_RULE = Text(max_chars=12, pattern=r"^[A-Z]{3}-[0-9]{2}$", like="a rule such as MAN-01")
_RESULTS = ("answer", "note", "stop", "unknown")
_MONTHS = 12


def _record(*required: str, **fields: Shape | Field) -> Record:
    known = {name: one if isinstance(one, Field) else Field(shape=one) for name, one in fields.items()}
    return Record(fields=known, required=required)


class _Answers(Record):
    """The reviewer's words by rule."""

    def read(self, value: object, at: str, reading: Reading) -> object:
        """Read words under any rule's id."""
        if not isinstance(value, dict):
            reading.fault(at, "is not a map from rule to words", "write the words under the rule's id")
            return value
        for rule, words in value.items():
            _RULE.read(rule, f"{at}.{rule}", reading)
            _REASON.read(words, f"{at}.{rule}", reading)
        return value

    def _schema(self, defs: dict[str, object]) -> dict[str, object]:
        names, words = _RULE.schema(defs), _REASON.schema(defs)
        return {"type": "object", "propertyNames": names, "additionalProperties": words}


_INGREDIENT: Final = _record(
    "purpose",
    "thing",
    purpose=Field(shape=Code(codes=tuple(PURPOSES)), about="The group of facts in which it stands."),
    thing=Field(shape=Code(codes=THINGS), about="Its code there."),
)


@dataclass(frozen=True, kw_only=True)
class _Aside(Code):
    """A code that was added later: on arrival it is never a fault, so that older software folds alike."""

    def read(self, value: object, at: str, reading: Reading) -> object:
        """Read what an author writes; leave what arrives as it is."""
        return super().read(value, at, reading) if reading.strict else value


_MARK: Final = Text(
    max_chars=MARK_CHARACTERS, pattern=rf"^[0-9a-f]{{{MARK_CHARACTERS}}}$", like="26 small hexadecimal figures"
)

SECOND_WORD: Final = _record(
    "role",
    "words",
    "on",
    role=Field(shape=Code(codes=LICENSED), about="Who said it, by office, never by name."),
    words=_REASON,
    on=Field(shape=DATE, about="When it was said."),
    about=ListOf(item=Code(codes=CAUTIONS)),
)

BODIES: Final = MappingProxyType(
    {
        "fieldbook/approval": _record(
            "rules",
            "findings",
            "answers",
            "limits",
            rules=Field(shape=Text(max_chars=40), about="The version of the rules that were run before signing."),
            findings=ListOf(
                item=_record("rule", "result", rule=_RULE, result=Code(codes=_RESULTS), field=_REASON), max_items=500
            ),
            answers=Field(shape=_Answers(fields={}), about="One answer covers all findings of its rule."),
            limits=Field(shape=ListOf(item=_REASON, max_items=20), about="Approved only with these."),
            second_word=Field(
                shape=SECOND_WORD, about="A licensed local person's word; it counts at the reviewer's own site only."
            ),
        ),
        "fieldbook/sent-back": _record(
            "reason",
            reason=Field(shape=_REASON, about="Readable by itself."),
            code=Field(shape=_Aside(codes=tuple(REASONS)), about="Which of the usual reasons it is."),
        ),
        "fieldbook/retirement": _record(
            "reason",
            reason=_REASON,
            replaced_by=Field(shape=IDENTIFIER, about="The entry to use now."),
        ),
        "fieldbook/hold": _record(
            "on",
            on=Field(shape=Flag(), about="false ends the holds that this statement answers."),
            reason=Text(max_chars=1000, may_be_blank=True),
        ),
        "fieldbook/recall": _record(
            "harm",
            "instead",
            harm=Field(shape=_NOTICE, about="What it did, to whom."),
            now=Field(shape=_NOTICE, about="What to do now where it is in use."),
            instead=Field(shape=_NOTICE, about="What to do instead."),
            at_risk=Field(shape=_NOTICE, about="Who is at risk: who may have eaten, touched or breathed it."),
            sources=Field(shape=_NOTICE, about="How the harm is known: who saw it, by office, or what was read."),
            ingredient=Field(
                shape=_INGREDIENT,
                about="Every edition that holds this is stopped too; older software stops the named entry alone.",
            ),
            likenesses=Field(
                shape=ListOf(item=_MARK, max_items=LIKENESSES_MAX),
                about="Every edition that reads like this, and what follows it, is stopped too; "
                "older software stops the named entry alone.",
            ),
            drill=Field(shape=Flag(), about="true where nothing is wrong and the way of the word is tried."),
        ),
        "fieldbook/lifting": _record("reason", reason=_REASON),
        "fieldbook/report": _record(
            "says",
            says=Field(shape=Code(codes=REPORTS), about="What came of it, or that this answers the reports named."),
            words=Field(
                shape=Text(max_chars=TOLD_MAX_CHARACTERS, may_be_blank=True), about="No names, no numbers of people."
            ),
        ),
        "fieldbook/acknowledgement": _record(
            "has",
            has=Field(shape=Code(codes=ACKNOWLEDGED), about="The word of it, or that its paper was taken down."),
            sheets=Field(shape=Whole(high=9999), about="How many sheets were taken down."),
        ),
        "fieldbook/site": _record(
            "languages",
            "latitude_deg",
            "elevation_m",
            languages=ListOf(item=TAG, max_items=20),
            latitude_deg=Field(shape=Whole(low=-90, high=90), about="Rounded to 1 degree."),
            elevation_m=Field(shape=Whole(low=-500, high=9000), about="Rounded to 100 m."),
            climate_from=Field(
                shape=IDENTIFIER,
                about="The key of the site whose climate this one borrows; it then states no months of its own.",
            ),
            rain_mm=Field(shape=ListOf(item=Whole(high=3000), max_items=_MONTHS), about="By month, rounded to 5 mm."),
            tmin_c=Field(
                shape=ListOf(item=Number(low=-60, high=60), max_items=_MONTHS), about="By month, rounded to 0.5 °C."
            ),
            tmax_c=Field(
                shape=ListOf(item=Number(low=-60, high=60), max_items=_MONTHS), about="By month, rounded to 0.5 °C."
            ),
        ),
    }
)


def notice_bytes(body: Mapping[str, object]) -> int:
    """How many bytes a recall's body takes in its one spelling."""
    return len(json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode())


def body_faults(kind: str, body: object, *, strict: bool = True) -> tuple[Fault, ...]:
    """Give what is wrong with a body of one of these kinds; nothing for a kind that is not among them.

    Args:
        kind: for example ``fieldbook/approval``.
        body: the parsed body.
        strict: before signing. False for what arrived: only what a reader would stumble over is a fault.
    """
    reading = Reading(strict=strict)
    if kind in BODIES:
        BODIES[kind].read(body, "", reading)
    return tuple(reading.faults)
