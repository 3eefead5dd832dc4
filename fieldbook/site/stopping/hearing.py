"""A withdrawal as two lines that are read over a radio and typed in elsewhere.

Not a signature: whoever typed the lines answers for them, and what they stop is paused at that site alone, until a
person ends it or the signed withdrawal arrives. Its one rule: a line that was misheard is refused, with which line.

The first line names the entry and the withdrawal: ``STOP``, four words, three words, a check word. The second says in
plain words what to do, with a check word over both lines; only its letters and figures count, so that capitals,
accents, signs and spaces cannot spoil it.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.ledger import check_word, heard_words, spoken
from fieldbook.site.parts import Signer, SiteError

if TYPE_CHECKING:
    from fieldbook.site.joining import Joining
    from fieldbook.site.pausing import LocalPause

ENTRY_BYTES, RECALL_BYTES = 4, 3
SAID_MAX_CHARACTERS = 120  # what can be read aloud twice and written down while it is heard
_WORDS = ENTRY_BYTES + RECALL_BYTES + 1
_SPELLED_OUT = ((r"(?<=\d)[.,٫](?=\d)", " point "), (r"(?<=\d) ?: ?(?=\d)", " to "), (r"(?<=\d)[-–](?=\d)", " to "))
_SIGNS = (("%", " percent "), ("/", " per "), ("°", " degrees "))
_MORE = "and more"
_HINT = "ask for both lines again, word by word; a word is known by its first three letters"


@dataclass(frozen=True)
class Lines:
    """The two lines; the second is empty where the notice has nothing to say in it."""

    first: str
    second: str


def lines_of(*, entry: str, recall: str, words: str) -> Lines:
    """The two lines of a withdrawal.

    Args:
        entry: the id of the entry that it names, 64 hex.
        recall: the id of the withdrawal, 64 hex.
        words: what to do now, or instead.
    """
    data = bytes.fromhex(entry)[:ENTRY_BYTES] + bytes.fromhex(recall)[:RECALL_BYTES]
    first = f"STOP {spoken(data)} {check_word(data)}".upper()
    said = _spelled_out(words)
    return Lines(first, f"{said} {check_word(data + _letters(said))}".upper() if said else "")


@dataclass(frozen=True)
class Heard:
    """What two lines say: the beginnings of two ids in hexadecimal, and the words; empty where only one was typed."""

    entry: str
    recall: str
    words: str


def read_lines(first: str, second: str = "") -> Heard:
    """Read what was typed.

    Raises:
        SiteError: a line was misheard; the message says which.
    """
    numbers = heard_words(re.sub(r"^\W*stop\b", "", first, flags=re.IGNORECASE))
    if not numbers:
        raise SiteError("line 1 is empty", hint="type the line that begins with STOP")
    if None in numbers:
        place = numbers.index(None) + 1
        raise SiteError(f"line 1: word {place} after STOP is none of the list", hint=_HINT)
    if len(numbers) != _WORDS:
        raise SiteError(f"line 1 has {_WORDS} words after STOP, here are {len(numbers)}", hint=_HINT)
    data = bytes(number or 0 for number in numbers[:-1])
    if numbers[-1] != heard_words(check_word(data))[0]:
        raise SiteError("line 1: its words do not belong together: one is wrong, or two changed places", hint=_HINT)
    return Heard(data[:ENTRY_BYTES].hex(), data[ENTRY_BYTES:].hex(), _read_second(second, data))


def _read_second(second: str, data: bytes) -> str:
    said, _, check = " ".join(second.split()).rpartition(" ")
    if not _letters(second):
        return ""
    if not said or heard_words(check) != heard_words(check_word(data + _letters(said))):
        raise SiteError(
            "line 2 was misheard, or is of another withdrawal",
            hint="ask for it again, or leave it empty: the first line alone pauses the practice here",
        )
    return said.upper()


def _spelled_out(words: str) -> str:
    """Words without signs that nobody can hear: decimals, ratios and spans are said out loud; cut at a word."""
    text = unicodedata.normalize("NFC", words)
    for pattern, said in _SPELLED_OUT:
        text = re.sub(pattern, said, text)
    for sign, said in _SIGNS:
        text = text.replace(sign, said)
    said = " ".join("".join(one if unicodedata.category(one)[0] in "LMN" else " " for one in text).split())
    if len(said) <= SAID_MAX_CHARACTERS:
        return said
    cut = said[: SAID_MAX_CHARACTERS - len(_MORE)].rpartition(" ")[0]
    return f"{cut} {_MORE}"


def _letters(text: str) -> bytes:
    """What is checked of words: letters and figures, in small, without accents."""
    apart = unicodedata.normalize("NFKD", text.upper().casefold())  # what has two small letters for one capital
    return "".join(one for one in apart if one.isalnum()).encode()


class Hearing:
    """Typing in at this site what was heard."""

    def __init__(self, site: Joining) -> None:
        """Take the site; nothing is read yet."""
        self._site = site

    def standing(self) -> tuple[LocalPause, ...]:
        """The pauses that were typed in and still stand, oldest first."""
        return self._site.local_pauses.standing(self._site.ledger)

    def hear(self, first: str, second: str = "", *, signer: Signer) -> LocalPause:
        """Pause here what the lines name, here or not yet here, and all that was made from it.

        Raises:
            FieldbookError: a line was misheard, the person is neither trainer nor reviewer, or it is known already.
        """
        said, site = read_lines(first, second), self._site
        if site.signers_role(signer).roles.isdisjoint({"trainer", "reviewer"}):
            raise SiteError(
                f"{signer.label} may not type in a withdrawal", hint="ask a trainer or reviewer of this site to do it"
            )
        self._check_new(said)
        pause = site.local_pauses.add(
            entry=said.entry, recall=said.recall, words=said.words, by=signer.label, time=site.claimed_time()
        )
        site.view.learn_again(self.entries_of(pause))
        return pause

    def entries_of(self, pause: LocalPause) -> tuple[str, ...]:
        """The entries here that a pause names; none where they have not arrived."""
        return tuple(entry for entry in self._site.view.entries() if entry.startswith(pause.entry))

    def _check_new(self, said: Heard) -> None:
        if any((one.entry, one.recall) == (said.entry, said.recall) for one in self.standing()):
            raise SiteError("these lines were typed in here before", hint="leave it: what they name is paused here")
        recalls = self._site.need_ledger().said_of_kind("fieldbook/recall")
        if any(one.id.startswith(said.recall) and one.stands == "accepted" for one in recalls):
            raise SiteError(
                "the signed withdrawal that these lines speak of is here already",
                hint="look under “Withdrawn” for its notice",
            )
