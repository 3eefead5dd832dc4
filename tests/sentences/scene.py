"""What the situations share: the invented network, folders of their own, and how a situation is written down.

Not a test. Its one rule: a sentence comes from the real code, asked as a person or another site would ask it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias

from fieldbook.errors import FieldbookError
from fieldbook.practices.faults import Fault
from sync import SyncError
from tests.orrendal import Circle, copy_of_circle, fast_folder

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Told: TypeAlias = tuple[str, str | None]  # a sentence and its hint; None where only reasons are told, under a heading


@dataclass
class Scene:
    """What situations lean on, made when it is first asked for."""

    folder: Path = field(default_factory=fast_folder)
    _count: int = 0
    _made: list[Circle] = field(default_factory=list)

    def fresh(self) -> Path:
        """A new, empty folder."""
        self._count += 1
        folder = self.folder / f"case {self._count}"
        folder.mkdir()
        return folder

    @cached_property
    def circle(self) -> Circle:
        """The four sites, open; a situation that changes what others lean on takes `new_circle`."""
        return self._kept(copy_of_circle(fast_folder()))

    def new_circle(self) -> Circle:
        """The four sites, open, for one situation alone."""
        return self._kept(copy_of_circle(self.fresh()))

    def close(self) -> None:
        """Close every site that is still open."""
        for circle in self._made:
            circle.close()

    def _kept(self, circle: Circle) -> Circle:
        self._made.append(circle)
        return circle


@dataclass(frozen=True)
class Situation:
    """One sentence and how it comes about.

    Attributes:
        says: The template of what is said, as in the catalogue.
        hint: The template of what to do; empty where `come` gives a mere reason or there is none.
        when: The situation, in plain words.
        come: Brings it about: raises, or gives back, an error, a fault, a sentence with its hint, or a mere reason.
        finding: It is what a rule of safety found, with what to do instead; both are whole sentences.
    """

    says: str
    hint: str
    when: str
    come: Callable[[Scene], object]
    finding: bool = False

    def told(self, scene: Scene) -> Told:
        """Bring it about, and give what the person is told."""
        try:
            found = self.come(scene)
        except (FieldbookError, SyncError) as error:
            found = error
        match found:
            case FieldbookError() | SyncError() | Fault():
                return found.message, found.hint
            case str():
                return found, None
            case (str(message), str(hint)):
                return message, hint
        raise AssertionError(f"nothing was said: {found!r}")


OF_PROGRAMS = re.compile(
    r"Traceback|NoneType|Errno|KeyError|ValueError|TypeError|<class|object at 0x|\bNone\b|\bdict\b|\bint\b"
)
ACTS = frozenset(  # how a hint begins: with what to do ...
    [
        "add",
        "answer",
        "ask",
        "begin",
        "bring",
        "build",
        "change",
        "check",
        "choose",
        "close",
        "compare",
        "copy",
        "count",
        "decide",
        "describe",
        "did",
        "do",
        "exchange",
        "fill",
        "find",
        "free",
        "give",
        "go",
        "install",
        "keep",
        "leave",
        "look",
        "make",
        "measure",
        "mend",
        "move",
        "name",
        "number",
        "offer",
        "open",
        "press",
        "put",
        "read",
        "remove",
        "repeat",
        "report",
        "restore",
        "save",
        "say",
        "seal",
        "search",
        "send",
        "set",
        "shorten",
        "show",
        "sign",
        "start",
        "stop",
        "take",
        "tick",
        "try",
        "type",
        "use",
        "wait",
        "write",
    ]
)
WHO = re.compile(
    r"\b(steward|stewards|signatory|signatories|reviewer|trainer|author|whoever|person|sites|next exchange)\b"
)  # ... or by whom


def faults_of_sentence(message: str) -> list[str]:
    """What keeps a message from being one plain sentence: lower-case start, no full stop, no words of programs."""
    faults = []
    if not message.strip() or message != message.strip() or "\n" in message:
        faults.append("is not one line")
    if message[:1].isupper() and not message.split(maxsplit=1)[0].isupper() and "_" not in message.split(maxsplit=1)[0]:
        faults.append("begins with a capital")
    if message.endswith(".") and not re.search(r": [A-Z].*\.$", message):  # a finding is told whole
        faults.append("ends in a full stop")
    if OF_PROGRAMS.search(message):
        faults.append("speaks of programs")
    return faults


def faults_of_hint(hint: str) -> list[str]:
    """What keeps a hint from saying what to do, or who does it."""
    first = re.match(r"[a-z]+", hint)
    says = (first is not None and first[0] in ACTS) or WHO.search(hint)
    return [*faults_of_sentence(hint), *([] if says else ["does not say what to do"])]


def faults_of_finding(text: str) -> list[str]:
    """What keeps a finding, or a way to do it instead, from being whole sentences without words of the schema."""
    faults = [] if re.fullmatch(r"[A-Z][^\n]*[.?]", text) else ["is no whole sentence"]
    if OF_PROGRAMS.search(text) or re.search(r"[a-z]_[a-z]|facts\.", text):
        faults.append("speaks of programs")
    return faults
