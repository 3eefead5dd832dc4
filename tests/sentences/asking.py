"""How a sentence is read back where a person meets it: on a page, beside a box, at a terminal.

Not a test. Its one rule: what is read back is what was shown, in the form in which the source says it.
"""

from __future__ import annotations

import html
import re
from functools import cache
from typing import TYPE_CHECKING, Protocol
from unittest.mock import patch

from tests.cli.terminal import Terminal, type_words
from tests.orrendal import Circle, fast_folder
from tests.web.gardens import Visitor, planted_copy, visitor_of

if TYPE_CHECKING:
    from collections.abc import Callable

_REFUSED = re.compile(r'<p class="lead"[^>]*>(.*?)</p>\s*<p>(.*?)</p>', re.DOTALL)


@cache
def planted() -> Circle:
    """The network with checked entries, its site C open, for situations that leave it as it is."""
    return planted_copy(fast_folder())


@cache
def terminal() -> Terminal:
    """The same network with all its sites closed, for commands."""
    circle = planted_copy(fast_folder())
    circle.close()
    return Terminal(circle.folder)


def visitor() -> Visitor:
    """Somebody at the pages of C, in an app of their own."""
    return visitor_of(planted())


def parted(text: str) -> tuple[str, str]:
    """What is wrong and what to do, from the two sentences that a page makes of them."""
    first, _, second = " ".join(text.split()).partition(". ")
    return _clause(first), _clause(second)


def _clause(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:].removesuffix(".")


class Looking(Protocol):
    """Whoever looks at a page."""

    page: str


def refused(visitor: Looking) -> tuple[str, str]:
    """What the page of a refusal says."""
    found = _REFUSED.search(visitor.page)
    assert found is not None, visitor.page
    return _clause(html.unescape(found[1])), _clause(html.unescape(found[2]))


def fault(visitor: Visitor, box: str) -> tuple[str, str]:
    """What stands beside a box."""
    found = re.search(rf'id="{box}-fault"[^>]*>(.*?)</', visitor.page, re.DOTALL)
    assert found is not None, visitor.page
    return parted(html.unescape(found[1]))


def typed(*words: object) -> tuple[str, str]:
    """What the command answers to these words on its error stream."""
    return told_on(type_words(*words).err)


def told_on(said: str) -> tuple[str, str]:
    """What is wrong and what to do, from the error stream of a command."""
    first = next(line for line in said.splitlines() if line.startswith("fieldbook: "))
    message, _, hint = first.removeprefix("fieldbook: ").rpartition(" (")
    return message, hint.removesuffix(")")


class Keyboard:
    """A terminal at which somebody sits, in place of the input of a test."""

    def __init__(self, answer: Callable[[], str]) -> None:
        """Answer each question so."""
        self._answer = answer

    def isatty(self) -> bool:
        return True

    def readline(self) -> str:
        return self._answer()


def at_keyboard(answer: Callable[[], str], *words: object) -> tuple[str, str]:
    """What the command answers when somebody types so at each of its questions."""
    ask = patch("getpass.getpass", lambda _: answer())
    with patch("sys.stdin", Keyboard(answer)), ask, patch.dict("os.environ"):
        return typed(*words)
