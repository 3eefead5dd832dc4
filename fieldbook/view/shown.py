"""What people see of an entry: plain frozen values for pages, commands and paper.

Not how it is found out (``folded``) and not how it looks (``web``, ``cli``). Its one rule: everything that a page says
of an edition stands here, so that screen, command and paper cannot differ.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

STANDING_WORDS = {
    "unchecked": "ours, unchecked",
    "checked-once": "checked once",
    "checked-twice": "checked twice",
    None: "stopped",
}


@dataclass(frozen=True)
class Card:
    """An entry in a list or a search result.

    Attributes:
        entry: its id.
        edition: the edition that is shown.
        kind: code of the kind of practice.
        title: by language.
        summary: by language.
        topics: codes of what it answers.
        state: offered, approved, sent-back, recalled or retired.
        standing: unchecked, checked-once or checked-twice; None when stopped.
        site_letter: the author's site.
        picture: attachment id of a thumbnail, or None.
        own: True where this site wrote it.
    """

    entry: str
    edition: str
    kind: str
    title: Mapping[str, str]
    summary: Mapping[str, str]
    topics: tuple[str, ...]
    state: str
    standing: str | None
    site_letter: str
    picture: str | None
    own: bool


@dataclass(frozen=True)
class Approved:
    """One reviewer's word on one exact edition.

    Attributes:
        by: the reviewer's label.
        edition: the edition.
        answers: their words by rule.
        limits: approved only with these, in words.
        time: the claimed time.
        second_word: a licensed local person's word that was signed with it: role, words, on, about; None without.
        word_counts: True where that word counts: at the site of the reviewer who signed it.
        site_letter: the reviewer's site.
    """

    by: str
    edition: str
    answers: Mapping[str, str]
    limits: tuple[str, ...]
    time: str | None
    second_word: Mapping[str, Any] | None = None
    word_counts: bool = False
    site_letter: str = ""

    def sentences(self, number: int) -> list[str]:
        """What was approved, as the edition of this running number, and the local word that was signed with it."""
        limits = f", with limits: {'; '.join(one.rstrip('.') for one in self.limits)}" if self.limits else ""
        approved = f"{self.by} approved edition {number} of this practice entry{limits}."
        word = self.second_word
        if not word:
            return [approved]
        office = str(word.get("role", "licensed local person")).replace("-", " ")
        counts = "this site" if self.word_counts else f"site {self.site_letter} only"
        said = f"The {office} said on {word.get('on')}: {word.get('words')} (it counts at {counts})"
        return [approved, said]


@dataclass(frozen=True)
class Notice:
    """Why an entry is withdrawn: who says so, the harm, what to do now and instead, who is at risk, how it is known.

    What was not said is empty.

    ``ingredient`` is the purpose and thing by which it stops all that holds it; ``drill`` says that nothing is wrong.
    """

    statement: str
    by: str
    harm: str
    now: str
    instead: str
    time: str | None
    ingredient: tuple[str, str] | None = None
    drill: bool = False
    at_risk: str = ""
    sources: str = ""

    def sentences(self) -> list[str]:
        """The notice in the order in which it is read: what, now, instead, who, whence."""
        said = [f"Withdrawn: do not use. {self.by} says: {self.harm}"]
        parts = (("Now", self.now), ("Instead", self.instead), ("Who is at risk", self.at_risk))
        said += [f"{label}: {words}" for label, words in parts if words]
        return [*said, f"How it is known: {self.sources}"] if self.sources else said


@dataclass(frozen=True)
class Remark:
    """A word of one person on an edition: sent back, out of date, or paused at a site; with its reason."""

    statement: str
    by: str
    site_letter: str
    reason: str
    time: str | None
    replaced_by: str | None = None


@dataclass(frozen=True)
class EditionLine:
    """One edition in an entry's history: its running number is for people only."""

    edition: str
    number: int
    author: str
    site_letter: str
    state: str
    standing: str | None
    parents: tuple[str, ...]
    time: str | None
    newest: bool


@dataclass(frozen=True)
class LongerWait:
    """A wait that an edition states which stands beside the one that is shown; ``before`` and ``after`` are codes."""

    edition: int
    by: str
    days: int
    before: str
    after: str


@dataclass(frozen=True)
class EntryPage:
    """Everything that is shown of one edition of an entry.

    Attributes:
        entry: the entry's id.
        line: the edition that is shown, with author, state and standing.
        document: the entry as written; empty when it is withdrawn.
        title: its title by language, withdrawn or not.
        approvals: who approved this exact edition.
        notice: why it is withdrawn, or None.
        sent_back: reviewers' words to the author.
        retired: why it is out of date.
        paused: marks of sites, this one's among them.
        editions: the whole history, oldest first.
        others: newest editions besides this one, that stand side by side with it.
        longer_waits: waits of those that are longer than what this one says; a person has not decided between them.
        made_from: entries that this one was adapted from.
        own: True where this site wrote it.
        paused_here: True where this site's own mark lies over it.
        at_odds: who approved it and who stopped it without knowing of each other; empty where nobody did.
    """

    entry: str
    line: EditionLine
    document: Mapping[str, Any]
    title: Mapping[str, str]
    approvals: tuple[Approved, ...]
    notice: Notice | None
    sent_back: tuple[Remark, ...]
    retired: tuple[Remark, ...]
    paused: tuple[Remark, ...]
    editions: tuple[EditionLine, ...]
    others: tuple[EditionLine, ...]
    longer_waits: tuple[LongerWait, ...]
    made_from: tuple[str, ...]
    own: bool
    paused_here: bool
    at_odds: str = ""

    @property
    def state(self) -> str:
        """The state of the edition that is shown."""
        return self.line.state

    @property
    def standing(self) -> str | None:
        """The standing of the edition that is shown."""
        return self.line.standing

    def as_document(self) -> dict[str, Any]:
        """The page as JSON."""
        plain = asdict(self)
        for name in ("document", "title"):
            plain[name] = dict(getattr(self, name))
        return {
            **plain,
            "edition": self.line.edition,
            "state": self.state,
            "standing": self.standing,
            "sentences": self.sentences(),
        }

    def sentences(self) -> list[str]:
        """Where this edition stands, in sentences."""
        line = self.line
        if self.notice is not None:
            return self.notice.sentences()
        said = [f"Edition {line.number} by {line.author} of site {line.site_letter}."]
        said += [sentence for approval in self.approvals for sentence in approval.sentences(line.number)]
        if not self.approvals:
            said.append("No reviewer has approved this edition yet.")
        said += [self.at_odds] if self.at_odds else []
        said += [f"{one.by} sent it back: {one.reason}" for one in self.sent_back]
        for one in self.retired:
            said.append(f"Out of date, says {one.by}: {one.reason}")
            if one.replaced_by:
                said.append(f"Use this practice entry instead: {one.replaced_by[:12]}")
        said += [f"Paused at site {one.site_letter}: {one.reason}" for one in self.paused]
        said += [
            f"Wait the longer time: edition {one.edition} by {one.by} says {one.days} days before {before}."
            for one in self.longer_waits
            for before in (one.before.replace("-", " "),)
        ]
        if self.others:
            said.append(f"{len(self.others)} other edition(s) stand beside this one until a person merges them.")
        return said
