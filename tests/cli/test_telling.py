"""A terminal says what went wrong in the language that its system is set to, and never without the English."""

from __future__ import annotations

import pytest

from fieldbook.cli.telling import told

MESSAGE, HINT = "there is no site in /srv/no", "check the folder's name, or begin a site with `new`"
ENGLISH = f"{MESSAGE} ({HINT})"
KISWAHILI = "hakuna kituo katika /srv/no (kagua jina la folda, au anzisha kituo kwa `new`)"


@pytest.mark.parametrize(
    ("environment", "said"),
    [
        ({"LANG": "sw_KE.UTF-8"}, f"{KISWAHILI} [{ENGLISH}]"),
        ({"LANG": "en_GB.UTF-8", "LC_MESSAGES": "sw"}, f"{KISWAHILI} [{ENGLISH}]"),
        ({"LANG": "sw_TZ", "LC_ALL": "C.UTF-8"}, ENGLISH),
        ({"LANG": "fr_FR.UTF-8"}, ENGLISH),
        ({}, ENGLISH),
    ],
)
def test_the_language_of_the_system_comes_first_and_the_english_stays(environment: dict[str, str], said: str) -> None:
    assert told(MESSAGE, HINT, environment=environment) == said


def test_what_is_not_in_the_catalogue_is_said_as_it_was_raised() -> None:
    assert told("nobody wrote this down", environment={"LANG": "sw"}) == "nobody wrote this down"


def test_a_sentence_without_a_translated_hint_keeps_the_english_one() -> None:
    assert told(MESSAGE, "sing", environment={"LANG": "sw"}) == f"hakuna kituo katika /srv/no (sing) [{MESSAGE} (sing)]"
