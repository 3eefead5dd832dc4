"""The decision to approve one exact edition: what still stands in its way, and what is signed with it.

Not the signing. Its one rule: a stop cannot be answered away, and what is not said or asks for an answer needs words
of the reviewer; approval never means proven.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.practices import Fault, missing_to_approve
from fieldbook.practices.faults import first_of
from fieldbook.review.bodies import body_faults
from fieldbook.review.engine import RULES, RULES_VERSION, findings_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Finding

_NEEDS_WORDS = ("answer", "unknown")


class ApprovalError(FieldbookError):
    """An edition that cannot be approved as it stands.

    Attributes:
        faults: everything that stands in the way.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Say what stands in the way first, and how much more does."""
        super().__init__(first_of(faults), hint=faults[0].hint)
        self.faults = faults


def approval_faults(
    entry: Entry,
    findings: Sequence[Finding],
    answers: Mapping[str, str],
    *,
    reviewer: str = "",
    author: str = "",
    scope: Sequence[str] = (),
) -> tuple[Fault, ...]:
    """Give everything that stands in the way of approving an edition.

    Args:
        entry: what the edition says.
        findings: what the rules find in it.
        answers: the reviewer's words by rule; one answer covers all findings of its rule.
        reviewer: the key of who wants to approve; empty where the caller has judged that.
        author: the key of who wrote the edition.
        scope: the kinds of entries that the reviewer may approve; empty for all.
    """
    return (
        *_of_person(entry, reviewer, author, scope),
        *_of_stops(findings),
        *(
            Fault(name, "is needed before anyone can approve this", "send it back and ask the author to fill it in")
            for name in missing_to_approve(entry)
        ),
        *_of_answers(findings, answers),
    )


def _of_person(entry: Entry, reviewer: str, author: str, scope: Sequence[str]) -> Iterator[Fault]:
    if reviewer and reviewer == author:
        yield Fault("", "nobody approves their own work", "ask another reviewer to decide on this edition")
    if scope and entry.kind not in scope:
        yield Fault("", f"this reviewer decides on {', '.join(scope)} only", "ask a reviewer of this kind of entry")


def _of_stops(findings: Sequence[Finding]) -> Iterator[Fault]:
    for finding in findings:
        if finding.result == "stop":
            hint = f"send it back, for no answer lifts a stop; instead: {finding.instead[0].words}"
            yield Fault(finding.rule, f"stop: {finding.words}", hint)


def _of_answers(findings: Sequence[Finding], answers: Mapping[str, str]) -> Iterator[Fault]:
    known = {rule.id for rule in RULES}
    for rule in answers:
        if rule not in known:
            asked = sorted(_open(findings))
            yield Fault(rule, "is no rule", f"answer one of: {', '.join(asked)}" if asked else "leave it out")
    for rule in sorted(_open(findings)):
        words = answers.get(rule)
        if words is None:
            yield Fault(
                rule,
                "needs the reviewer's words",
                f"say in a sentence why it may stand; on the command line: --answer {rule}=WORDS",
            )
        elif not words.strip():
            yield Fault(rule, "was answered with nothing", "say in a sentence why it may stand")


def _open(findings: Sequence[Finding]) -> set[str]:
    return {finding.rule for finding in findings if finding.result in _NEEDS_WORDS}


def approval_body(
    entry: Entry,
    *,
    answers: Mapping[str, str],
    limits: Sequence[str] = (),
    scope: Sequence[str] = (),
    second_word: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Give the body of an approval, with the findings as the rules give them now.

    Args:
        entry: what the edition says.
        answers: the reviewer's words by rule; words for a rule that finds nothing are left out.
        limits: approved only with these.
        scope: the kinds of entries that the reviewer may approve; empty for all.
        second_word: a licensed local person's word: role, words, on (a date), about (keys of cautions).

    Raises:
        ApprovalError: something stands in the way; all of it is in the error.
    """
    findings = findings_of(entry)
    body: dict[str, Any] = {
        "rules": RULES_VERSION,
        "findings": [_noted(finding) for finding in findings],
        "answers": {rule: " ".join(answers[rule].split()) for rule in sorted(_open(findings)) if rule in answers},
        "limits": [" ".join(limit.split()) for limit in limits],
    }
    if second_word is not None:
        body["second_word"] = dict(second_word)
    faults = approval_faults(entry, findings, answers, scope=scope) or body_faults("fieldbook/approval", body)
    if faults:
        raise ApprovalError(faults)
    return body


def _noted(finding: Finding) -> dict[str, str]:
    noted = {"rule": finding.rule, "result": finding.result}
    return noted | {"field": finding.field} if finding.field else noted


def in_form(body: object) -> bool:
    """True where an approval that arrived says what it must: no stop, and words for all that needed them."""
    if not isinstance(body, dict) or body_faults("fieldbook/approval", body, strict=False):
        return False
    answered = {rule for rule, words in body["answers"].items() if words.strip()}
    open_rules = {one["rule"] for one in body["findings"] if one["result"] in _NEEDS_WORDS}
    return open_rules <= answered and all(one["result"] != "stop" for one in body["findings"])
