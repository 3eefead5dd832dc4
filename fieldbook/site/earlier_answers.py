"""What a reviewer answered before to the same rule on the same value, offered again.

Not an answer by itself. Its one rule: nothing is filled in silently; each is shown with where it comes from, and only a
tick takes it over.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.review import findings_of
from fieldbook.review.precedents import answered_alike
from fieldbook.site.kept import Kept
from fieldbook.site.second_words import SecondWords

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from fieldbook.ledger import Said
    from fieldbook.review import Finding
    from fieldbook.site.parts import Signer
    from fieldbook.site.season import Season

APPROVALS_LOOKED_AT = 200  # a reviewer's newest; each costs a run of the rules
OFFERED_MAX = 2  # different wordings for one rule; more is no help


@dataclass(frozen=True)
class Offered:
    """An answer that may be taken over.

    Attributes:
        name: by which a form names it.
        rule: the rule that it answers.
        words: the answer.
        edition: the edition on which it was given.
        title: that edition's title by language.
        role: the office of the licensed local person who gave it; empty where the reviewer did.
        on: the day that it claims; empty where none is known.
    """

    name: str
    rule: str
    words: str
    edition: str
    title: Mapping[str, str]
    role: str = ""
    on: str = ""


class EarlierAnswers:
    """Answers that lie ready for an edition at one site."""

    def __init__(self, site: Season) -> None:
        """Look at a site."""
        self._site = site
        self._kept = Kept()

    def offered(self, edition: str, *, signer: Signer) -> tuple[Offered, ...]:
        """What may be taken over for an edition: local people's answers on it, then the reviewer's own on others."""
        findings = self._site.findings(edition)
        asked = {one.rule for one in findings if one.result in {"answer", "unknown"}}
        found: dict[str, dict[str, Offered]] = {}
        for one in (*self._from_sheets(edition), *self._from_approvals(edition, findings, asked, signer)):
            of_rule = found.setdefault(one.rule, {})
            if one.rule in asked and one.words not in of_rule and len(of_rule) < OFFERED_MAX:
                of_rule[one.words] = one
        return tuple(one for rule in sorted(found) for one in found[rule].values())

    def taken(
        self, edition: str, ticked: Collection[tuple[str, str]], *, signer: Signer
    ) -> tuple[tuple[str, str], ...]:
        """The rules and words of the answers that were ticked, by rule and name; what is not offered is left out."""
        offered = self.offered(edition, signer=signer)
        return tuple((one.rule, one.words) for one in offered if (one.rule, one.name) in ticked)

    def _from_sheets(self, edition: str) -> Iterator[Offered]:
        title = self._site.entry_value(edition).title
        for word in SecondWords(self._site).of(edition):
            for rule, words in word.answers.items():
                yield Offered(f"sheet-{word.number}", rule, words, edition, title, word.role, word.on)

    def _from_approvals(
        self, edition: str, findings: tuple[Finding, ...], asked: set[str], signer: Signer
    ) -> Iterator[Offered]:
        author = signer.key.public
        own: list[Said] = self._kept.get(self._site.stamp, author, lambda: self._approvals_of(author)) if asked else []
        mine = [said for said in own if asked & _answers(said).keys()]
        newest = sorted(mine, key=lambda said: (said.depth, said.id), reverse=True)[:APPROVALS_LOOKED_AT]
        for said in newest:
            for about in said.after:
                if self._site.view.entry_of(about) is not None and about != edition:
                    yield from self._of_approval(said, about, findings)

    def _approvals_of(self, author: str) -> list[Said]:
        said_by_all = self._site.need_ledger().said_of_kind("fieldbook/approval")
        return [said for said in said_by_all if said.author == author and said.stands == "accepted"]

    def _of_approval(self, said: Said, about: str, findings: tuple[Finding, ...]) -> Iterator[Offered]:
        try:
            value = self._site.entry_value(about)
        except FieldbookError:  # taken back, set aside or of newer software: nothing to compare with
            return
        for rule in sorted(answered_alike(findings, findings_of(value)) & _answers(said).keys()):
            yield Offered(said.id, rule, str(_answers(said)[rule]), about, value.title, on=(said.time or "")[:10])


def _answers(said: Said) -> Mapping[str, Any]:
    answers = (said.body or {}).get("answers")
    return answers if isinstance(answers, dict) else {}
