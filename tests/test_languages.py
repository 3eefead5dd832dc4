"""Tags, directions, names and the choice of a text; the second opinion is the locale data (CLDR) inside Chromium."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.languages import LanguageError, autonym, checked_tag, direction, hides_letters, in_digits, pick, primary

if TYPE_CHECKING:
    from playwright.sync_api import Page

NAMED = [
    "am",
    "ar",
    "bn",
    "en",
    "es",
    "fa",
    "fr",
    "hi",
    "ln",
    "my",
    "ne",
    "om",
    "ps",
    "pt",
    "rn",
    "rw",
    "so",
    "sw",
    "ti",
    "ur",
]


# RFC 5646, appendix A, and the languages of the invented sites
@pytest.mark.parametrize(
    "tag", ["de", "fr", "ja", "zh-Hant", "sr-Latn-RS", "es-419", "sl-rozaj", "de-CH-1901", "sw", "so", "ar-SD", "prs"]
)
def test_a_well_formed_tag_is_taken_as_it_is(tag: str) -> None:
    assert checked_tag(tag) == tag


# RFC 5646, appendix A, "some invalid tags", and spellings that would make two of one language
@pytest.mark.parametrize(
    "tag", ["de-419-DE", "a-DE", "", "EN", "en_GB", "ar-sd", "english", "en-", "zh-hant", "en ", "x"]
)
def test_a_tag_out_of_form_is_refused_with_an_example(tag: str) -> None:
    with pytest.raises(LanguageError, match="is not a language tag") as refusal:
        checked_tag(tag)
    assert "ar-SD" in refusal.value.hint
    assert isinstance(refusal.value, FieldbookError)


@pytest.mark.parametrize(("tag", "language"), [("EN", "en"), ("pt-br", "pt"), ("zh-hant", "zh"), ("a tag?", "a tag?")])
def test_what_arrived_is_read_whatever_its_tags_look_like(tag: str, language: str) -> None:
    """One entry with a bad tag may never hide all others. Case: RFC 5646, section 2.1.1."""
    assert primary(tag) == language
    assert pick({tag: "Onions"}, ["sw", "en"]) == (tag, "Onions")
    assert direction(tag) == "ltr"
    assert autonym(tag)


@pytest.mark.parametrize("tag", ["ar", "ar-SD", "ur", "fa", "ps", "he", "pa-Arab", "so-Arab"])
def test_these_run_from_right_to_left(tag: str) -> None:
    assert direction(tag) == "rtl"


@pytest.mark.parametrize("tag", ["en", "sw", "fr", "es", "so", "hi", "am", "my", "ar-Latn", "ur-Latn-IN"])
def test_these_run_from_left_to_right(tag: str) -> None:
    assert direction(tag) == "ltr"


def test_a_language_is_called_by_its_own_name_and_an_unknown_one_by_its_tag() -> None:
    assert autonym("sw") == "Kiswahili"
    assert autonym("ar-SD") == "العربية (ar-SD)"
    assert autonym("xog") == "xog"


@pytest.mark.browser
def test_names_and_directions_agree_with_the_locale_data_of_the_browser(page: Page) -> None:
    told = page.evaluate(
        """tags => tags.map(tag => [
            new Intl.Locale(tag).getTextInfo().direction,
            Intl.DisplayNames.supportedLocalesOf(tag).length
                ? new Intl.DisplayNames([tag], {type: 'language'}).of(tag) : null])""",
        NAMED,
    )
    for tag, (runs, name) in zip(NAMED, told, strict=True):
        assert direction(tag) == runs, tag
        assert name in {None, autonym(tag)}, tag
    assert sum(name is not None for _, name in told) >= 8, "the browser knows too few languages to be a second opinion"


TEXTS = {"en": "steep", "fr": "purin", "sw-KE": "mbolea ya maji"}


@pytest.mark.parametrize(
    ("preferred", "tag"),
    [
        (["fr", "en"], "fr"),
        (["so", "en"], "en"),
        (["sw", "en"], "sw-KE"),
        (["fr-CD"], "fr"),
        (["so", "ar"], "en"),
        ([], "en"),
    ],
    ids=[
        "own language",
        "second language",
        "own language of a region",
        "own language without the region",
        "any",
        "no wish",
    ],
)
def test_a_text_is_shown_in_the_best_language_there_is_and_says_which(preferred: list[str], tag: str) -> None:
    assert pick(TEXTS, preferred) == (tag, TEXTS[tag])


def test_no_text_at_all_is_an_error_and_not_an_empty_line() -> None:
    with pytest.raises(LanguageError, match="no text"):
        pick({}, ["en"])


def test_digits_turn_both_ways_and_leave_all_else() -> None:
    assert in_digits("1 : 10 · 20 L", arabic_indic=True) == "١ : ١٠ · ٢٠ L"
    assert in_digits("۲۰ و ٢٠", arabic_indic=False) == "20 و 20"


@given(st.text())
def test_digits_come_back_as_they_were_in_any_text_of_western_digits(text: str) -> None:
    western = in_digits(text, arabic_indic=False)
    assert in_digits(in_digits(western, arabic_indic=True), arabic_indic=False) == western


@pytest.mark.parametrize(
    "text",
    [
        "Rabbit-manure steep\N{ZERO WIDTH SPACE}",
        "Rabbit\N{RIGHT-TO-LEFT OVERRIDE}-manure steep",
        "R\N{CYRILLIC SMALL LETTER A}bbit-manure steep",
        "\N{GREEK CAPITAL LETTER RHO}abbit-manure steep",
        "Sop water \N{CYRILLIC SMALL LETTER ES}\N{CYRILLIC SMALL LETTER O}\N{CYRILLIC SMALL LETTER ER}",
    ],
)
def test_letters_that_cannot_be_seen_or_pass_for_others_are_noticed(text: str) -> None:
    """Unicode Standard Annex #9 (overrides) and Unicode Technical Standard #39 (mixed scripts)."""
    assert hides_letters(text)


@pytest.mark.parametrize(
    "text",
    [
        "Rabbit-manure steep, 20 L",
        "Macération de crottes, 5 \N{GREEK SMALL LETTER MU}g",
        "نقيع روث الأرانب، 20 L",
        "نمی\N{ZERO WIDTH NON-JOINER}خواهم",
        "\N{LEFT-TO-RIGHT MARK}C-14 حوض",
        "क्\N{ZERO WIDTH JOINER}ष",
        "",
    ],
)
def test_honest_words_in_any_script_are_not_suspected(text: str) -> None:
    assert not hides_letters(text)
