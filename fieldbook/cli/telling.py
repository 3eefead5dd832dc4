"""What went wrong, in the language that the system is set to, with the English beside it.

What it is: the one way by which errors, refusals and hints reach a terminal. What it is not: the words of what went
well. Its one rule: the English is never left out, since no speaker has read the translations yet.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from fieldbook.languages import of_environment
from fieldbook.sentences import shipped_sentences

if TYPE_CHECKING:
    from collections.abc import Mapping


def told(message: str, hint: str = "", *, environment: Mapping[str, str] = os.environ) -> str:
    """What is wrong and, in brackets, what to do; where the system asks for a language that we have, in that first.

    Args:
        message: The sentence in English, as it was raised.
        hint: What to do; may be empty.
        environment: The variables that name the language of the system.
    """
    english = _with_hint(message, hint)
    language = of_environment(environment)
    said = [language and shipped_sentences().say(clause, language) for clause in (message, hint)]
    if not any(said):
        return english
    return f"{_with_hint(said[0] or message, said[1] or hint)} [{english}]"


def _with_hint(message: str, hint: str) -> str:
    return f"{message} ({hint})" if hint else message
