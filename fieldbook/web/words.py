"""The sentences that pages say about states, people and errors.

What it is: from values to plain sentences, in the language of the screens. What it is not: the words of codes
(`code_words`) or of an entry. Its one rule: a state is said in a whole sentence with who did it, never as a mark alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

from fieldbook.errors import Notice
from fieldbook.languages import ENGLISH, direction
from fieldbook.sentences import shipped_sentences

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.ledger import ExchangeReport
    from fieldbook.site import Signer

_ROLE_ORDER = ("steward", "reviewer", "trainer", "volunteer", "site")
ROLE_WORDS = {
    "steward": "signatory",
    "reviewer": "reviewer",
    "trainer": "trainer",
    "volunteer": "volunteer",
    "site": "site",
}
_PURPOSE_WORDS = {"inputs": "given to plants", "materials": "as a material", "spray": "in a spray"}
STANDING_LINE_ANCHOR = "standing-line"


@dataclass(frozen=True)
class Refusal:
    """What a page says in place of what was asked: a heading, what is wrong, and what to do."""

    heading: str
    message: str
    hint: str


ERRORS = {
    400: Refusal(
        "That was not understood", "the request was not complete, so nothing was done", "go back and try again"
    ),
    403: Refusal(
        "Not with this sign-in",
        "your role does not allow this",
        "ask a trainer or reviewer to do it; “People” says who is one",
    ),
    404: Refusal("Nothing here", "there is nothing at this address", "search for it, or look through the practices"),
    405: Refusal(
        "That was not understood", "this address does not take that", "go back and use the buttons of the page"
    ),
    413: Refusal(
        "Too large", "what you sent is too large, so nothing was kept", "send fewer or smaller photos at a time"
    ),
    429: Refusal(
        "Too many tries",
        "this phone sent too much in a short time",
        "wait one minute, then try again; nothing is locked",
    ),
    500: Refusal(
        "Something broke here",
        "this page failed; what was saved before is safe",
        "try once more; if it stays so, close the program, run `fieldbook rebuild`, and start it again",
    ),
}
_TOLD = Markup(
    '{}<span class="retold" lang="{}" dir="{}">{}</span> <small class="raised" lang="en" dir="ltr">{}</small>'
)
NOT_DONE = "That was not done"
NOT_SHOWN = "This cannot be shown"


def sentence(clause: str) -> str:
    """A clause of an error as a whole sentence: a capital first, a full stop last."""
    text = clause.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


class Told(str):
    """What is wrong and what to do, as sentences in English.

    On a page they stand beneath the same in the reader's language, where the catalogue has it: the English never goes
    missing, since no speaker has read the other words yet.

    Attributes:
        parts: The clauses as they were raised.
        where: What they speak of, in words; empty where they stand at its place.
    """

    __slots__ = ("parts", "where")
    parts: tuple[str, ...]
    where: str

    def in_language(self, tag: str) -> str | None:
        """The same in another language, or None where a part of it is not known there."""
        found = [shipped_sentences().say(part, tag) for part in self.parts]
        return " ".join(sentence(part) for part in found if part) if found and all(found) else None

    def __html__(self) -> str:
        """The text as a page shows it."""
        from fieldbook.web.here import sentence_tag  # a command takes our words without Flask, which is slow to start

        return self.beside(sentence_tag())

    def beside(self, tag: str) -> Markup:
        """The text as a page shows it to readers of a language."""
        said = None if tag == ENGLISH else self.in_language(tag)
        if said is None:
            return escape(str.__str__(self))
        where = f"{self.where}: " if self.where else ""
        return where_and_both(where, tag, said, " ".join(map(sentence, self.parts)))


def where_and_both(where: str, tag: str, said: str, english: str) -> Markup:
    """Words in the reader's language with the English beneath, behind what they speak of."""
    return _TOLD.format(where, tag, direction(tag), said, english)


def headed(heading: str, tag: str) -> str:
    """A heading of a refusal, in the reader's language too."""
    said = None if tag == ENGLISH else shipped_sentences().say(heading, tag)
    return heading if said is None else where_and_both("", tag, said, heading)


def told(message: str, hint: str = "", *, where: str = "") -> Told:
    """What is wrong and what to do, as whole sentences that a page says in the reader's language too."""
    return retold(message, hint, where=where)


def retold(*parts: str, where: str = "") -> Told:
    """The same of sentences that were put into words elsewhere."""
    said = tuple(part for part in parts if part.strip())
    text = Told((f"{where}: " if where else "") + " ".join(map(sentence, said)))
    text.parts, text.where = said, where
    return text


def rivals() -> Told:
    """That two lists of signatories stand against each other."""
    return retold(
        Notice("Two rival lists of signatories are in force. Until one list answers both, only what both allow counts.")
    )


def key_stopped() -> Told:
    """That the key of whoever is signed in was stopped."""
    return retold(
        Notice(
            "Your key was stopped: what you write, count or approve with it is believed at no site. "
            "A signatory can tell you why."
        )
    )


def harm_waits(reports: int) -> Told:
    """How many reports that somebody was hurt wait for an answer."""
    if reports == 1:
        return retold(Notice("Somebody was hurt: 1 report waits for a reviewer."))
    return retold(Notice(f"Somebody was hurt: {reports} reports wait for a reviewer."))


def nothing_found() -> Told:
    """What to do where a search finds nothing."""
    return told(
        "nothing here answers that",
        "try other words: the name of the plant or animal, the part that looks ill, or what you see on it; any of your "
        "languages will do",
    )


def unsafe_stick(report: ExchangeReport) -> list[Told]:
    """What keeps a stick from being relied on, and what to do."""
    found = []
    if report.not_left:
        said = f"files that found no room on the stick or could not be written: {report.not_left}"
        found.append(told(said, "make room, or use another stick, and exchange once more"))
    if report.not_proven:
        said = f"files that were written but could not be read back from the stick itself: {report.not_proven}"
        hint = "do not rely on this stick alone: exchange once more, or with another one"
        found.append(told(said, hint))
    return found


def broken_exchange() -> Told:
    """What to do where an exchange ended by a fault of ours."""
    return told(
        "something broke in the middle",
        "put the stick in again and begin once more; what was taken in before is safe",
    )


def broken_mending() -> Told:
    """What to do where a look or a mending ended by a fault of ours."""
    return told("something broke in the middle", "begin once more; the store is as it was, or as it was mended")


def roles(found: Iterable[str]) -> str:
    """Roles as words: ``reviewer and signatory``."""
    return joined([ROLE_WORDS[role] for role in _ROLE_ORDER if role in set(found)])


def joined(parts: Iterable[str], last: str = "and") -> str:
    """Words as people list them: ``a, b and c``."""
    all_parts = list(parts)
    if len(all_parts) < 2:
        return "".join(all_parts)
    return f"{', '.join(all_parts[:-1])} {last} {all_parts[-1]}"


def counted(number: int, one: str, many: str) -> str:
    """A count with its noun: ``1 edition``, ``2 editions``."""
    return f"{number} {one if number == 1 else many}"


def ingredient(purpose: str, thing: str) -> str:
    """A purpose and a thing by which a withdrawal stops whatever holds it: ``tobacco in a spray``."""
    return f"{thing.replace('_', ' ')} {_PURPOSE_WORDS.get(purpose, '')}".strip()


def taken_in(report: ExchangeReport) -> str:
    """What an exchange brought."""
    if not report.accepted:
        return "Nothing new was on the stick."
    return f"Taken in and checked: {counted(report.accepted, 'signed word', 'signed words')} of other people."


def who_by_site(who: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """Who may do what, drawn together by site; None where there is no network yet."""
    if who is None:
        return None

    def labels(people: Iterable[Mapping[str, Any]], letter: str, role: str | None = None) -> list[str]:
        return sorted(p["label"] for p in people if p["letter"] == letter and role in {None, p.get("role")})

    sites = [
        {
            "letter": place["letter"],
            "name": place["name"],
            "reviewers": labels(who["reviewers"], place["letter"]),
            "trainers": labels(who["people"], place["letter"], "trainer"),
            "volunteers": labels(who["people"], place["letter"], "volunteer"),
        }
        for place in sorted(who["sites"], key=lambda one: str(one["letter"]))
    ]
    stewards = sorted(steward["label"] for steward in who["stewards"])
    return {**who, "sites": sites, "stewards": stewards}


def pages(person: Signer | None) -> tuple[tuple[str, str], ...]:
    """The pages that a person can use, as (endpoint, words); help stands last everywhere."""
    from fieldbook.web.here import CHECKERS

    reading = (
        ("home.first", "Search"),
        ("entries.kinds", "Practices"),
        ("calendar.year", "Calendar"),
        ("due.now", "Due"),
        ("sums.all_sums", "Sums"),
    )
    about = (("people.who", "People"), ("about.help_page", "Help"))
    if person is None:
        return (*reading, ("people.sign_in", "Sign in"), *about)
    checking = (("writing.drafts", "Write"), ("review.queue", "Review"))
    working = checking if not person.roles.isdisjoint(CHECKERS) else ()
    working = (*working, ("starting.here", "In use")) if "trainer" in person.roles else working
    return (*reading, *working, ("exchange.choose", "Exchange"), *about)
