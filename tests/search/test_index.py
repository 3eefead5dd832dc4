"""What a reader finds, in which order, and what stays hidden."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.languages import LanguageError
from fieldbook.search import Document, Index, SearchError, Text
from fieldbook.search.words import words_of
from tests.search.corpus import document, english, practices

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    Fill = Callable[..., Index]


@pytest.fixture
def fill(tmp_path: Path) -> Iterator[Fill]:
    """Build an index of the given documents."""
    index = Index(tmp_path / "index", key=b"this site")

    def build(*documents: Document) -> Index:
        index.rebuild(documents)
        return index

    yield build
    index.close()


def found(index: Index, words: str, **more: object) -> list[str]:
    return [hit.entry for hit in index.search(words, **more)]  # type: ignore[arg-type]


def test_a_hit_says_what_was_found_and_how_far_it_is_checked(fill: Fill) -> None:
    index = fill(
        document(
            "steep", texts={"fr": Text("Purin de fumier", "dilué")}, topics=("steeped-manure", "manure-waiting-time")
        )
    )
    (hit,) = index.search("purin")
    assert (hit.entry, hit.edition, hit.title, hit.language) == ("steep", "edition of steep", "Purin de fumier", "fr")
    assert (hit.state, hit.standing, hit.topics) == (
        "approved",
        "checked-once",
        ("steeped-manure", "manure-waiting-time"),
    )
    assert hit.score > 0


def test_a_word_in_the_title_counts_more_than_one_in_the_text(fill: Fill) -> None:
    index = fill(
        english("text", "Beds", "a rack for trays", "hinge"), english("title", "Hinge", "a rack for trays", "beds")
    )
    assert found(index, "hinge") == ["title", "text"]


def test_what_is_checked_comes_before_our_own_unchecked_even_if_that_fits_better(fill: Fill) -> None:
    index = fill(
        english("ours", "Basket of willow", state="offered", standing="unchecked", own=True),
        english("checked", "Carrying things", "by basket or on the head"),
    )
    assert found(index, "basket") == ["checked", "ours"]


def test_even_a_checked_entry_that_hardly_answers_comes_before_ours(fill: Fill) -> None:
    index = fill(
        english("ours", "Basket of willow with a lid", "weave", state="offered", standing="unchecked", own=True),
        *(english(f"checked {n}", "Ladder", "lean it well", f"a lid and other things {n}") for n in range(8)),
    )
    assert found(index, "weave basket willow lid")[8:] == ["ours"]


def test_what_others_wrote_is_not_found_before_it_is_checked(fill: Fill) -> None:
    index = fill(english("theirs", "Basket", state="offered", standing="unchecked", own=False))
    assert found(index, "basket") == []
    assert found(index, "basket", readers_only=False) == ["theirs"]


def test_what_was_sent_back_or_withheld_is_found_by_reviewers_alone_and_last(fill: Fill) -> None:
    index = fill(
        english("sent back", "Basket basket", state="sent-back", standing=None, own=True),
        english("held", "Basket", withheld=True),
        english("good", "Carrying", "basket"),
    )
    assert found(index, "basket") == ["good"]
    everything = found(index, "basket", readers_only=False)
    assert everything[0] == "good"
    assert set(everything[1:]) == {"sent back", "held"}


def test_what_is_out_of_date_comes_last(fill: Fill) -> None:
    index = fill(
        english("old", "Basket", "basket of willow", state="retired", standing=None),
        english("ours", "Carrying", "basket", state="offered", standing="unchecked", own=True),
    )
    assert found(index, "basket") == ["ours", "old"]


def test_of_a_withdrawn_entry_only_the_notice_is_found(fill: Fill) -> None:
    notice = Text(
        "Withdrawn: leaf-smoke spray", "two children fell sick; wash, seek help", body="soak forty leaves overnight"
    )
    index = fill(document("smoke", texts={"en": notice}, state="recalled", standing=None, topics=("tobacco-warning",)))
    assert found(index, "leaf-smoke") == ["smoke"]
    assert found(index, "children sick") == ["smoke"]
    for words in ("soak", "forty", "overnight"):
        assert found(index, words) == []


def test_a_changed_document_takes_the_place_of_the_old_one(fill: Fill) -> None:
    index = fill(english("one", "Basket"), english("two", "Ladder"))
    index.update([english("one", "Bucket")], gone=["edition of two", "edition of nothing"])
    assert found(index, "basket") == []
    assert found(index, "bucket") == ["one"]
    assert found(index, "ladder") == []


def test_an_update_that_recalls_leaves_no_word_of_the_old_text(fill: Fill) -> None:
    index = fill(english("smoke", "Leaf-smoke spray", "soak forty leaves"))
    index.update([english("smoke", "Withdrawn", "made children sick", state="recalled", standing=None)])
    assert found(index, "forty") == []
    assert found(index, "withdrawn") == ["smoke"]


LADDER = document("ladder", texts={"en": Text("Ladder"), "fr": Text("Échelle"), "sw-KE": Text("Ngazi")})


@pytest.mark.parametrize(
    ("words", "language"), [("ladder", "en"), ("echelle", "fr"), ("NGAZI", "sw-KE"), ("laddr", "en")]
)
def test_a_text_is_found_in_each_of_its_languages_and_shown_in_that_one(fill: Fill, words: str, language: str) -> None:
    (hit,) = fill(LADDER).search(words)
    assert hit.language == language


def test_one_language_alone_is_searched_when_it_is_named(fill: Fill) -> None:
    index = fill(LADDER)
    assert found(index, "echelle", language="fr") == ["ladder"]
    assert found(index, "echelle", language="fr-CD") == ["ladder"]
    assert found(index, "ngazi", language="sw") == ["ladder"]
    assert found(index, "echelle", language="en") == []
    assert found(index, "echelle", language="es") == []
    with pytest.raises(LanguageError):
        index.search("echelle", language="French")


def test_what_is_found_in_several_languages_alike_is_shown_in_the_readers(fill: Fill) -> None:
    index = fill(document("x", texts={"en": Text("Crate"), "es": Text("Caja"), "sw": Text("Kreti")}, names=("hen",)))
    assert [hit.language for hit in index.search("دجاج", preferred=["sw", "en"])] == ["sw"]
    assert [hit.language for hit in index.search("دجاج", preferred=["so", "es"])] == ["es"]


@pytest.mark.parametrize("asked", ["sukuma wiki", "collard greens", "chou frisé", "col rizada", "sukuma wki", "kales"])
def test_a_local_name_in_any_language_leads_to_the_plant(fill: Fill, asked: str) -> None:
    index = fill(document("k", texts={"en": Text("Kale in a sack")}), english("x", "Crate"))
    assert found(index, asked)[:1] == ["k"]


def test_a_name_of_two_pests_leads_to_both(fill: Fill) -> None:
    index = fill(english("a", "Aphids"), english("w", "Whiteflies"), english("x", "Crate"))
    assert set(found(index, "vidukari")) == {"a", "w"}


def test_a_question_by_signs_is_answered_across_languages(fill: Fill) -> None:
    index = fill(*practices())
    assert found(index, "unga mweupe juu ya majani ya boga")[0] == "powdery-mildew"  # written in French
    assert found(index, "poules qui ne pondent plus")[0] == "hens-not-laying"  # written in English


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_each_title_is_found_by_one_of_its_words_with_one_slip(data: st.DataObject, shared: Index) -> None:
    chosen = data.draw(st.sampled_from(practices()))
    (text,) = chosen.texts.values()
    word = data.draw(st.sampled_from([word for word in words_of(text.title) if len(word) >= 5] or words_of(text.title)))
    at = data.draw(st.integers(0, max(0, len(word) - 2)))
    typed = word[:at] + word[at : at + 2][::-1] + word[at + 2 :] if len(word) >= 5 else word
    assert chosen.entry in found(shared, typed, limit=200)


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Index]:
    index = Index(tmp_path_factory.mktemp("shared"))
    index.rebuild(practices(with_topics=False))
    yield index
    index.close()


@pytest.mark.parametrize("words", ["", "   ", "?!", "—"])
def test_a_search_for_nothing_is_refused_with_a_hint(fill: Fill, words: str) -> None:
    with pytest.raises(SearchError, match="no word") as refusal:
        fill().search(words)
    assert refusal.value.hint
    assert isinstance(refusal.value, FieldbookError)


@pytest.mark.parametrize("limit", [0, -1, 201])
def test_a_limit_out_of_range_is_refused(fill: Fill, limit: int) -> None:
    with pytest.raises(SearchError, match="hits"):
        fill().search("kale", limit=limit)


def test_no_more_hits_than_asked_for_and_none_twice(fill: Fill) -> None:
    texts = {"en": Text("Basket"), "fr": Text("Basket"), "sw": Text("Basket")}
    index = fill(*(document(f"e{n}", texts=texts) for n in range(9)))
    assert len(set(found(index, "basket", limit=4))) == 4
    assert sorted(found(index, "basket", limit=200)) == sorted(f"e{n}" for n in range(9))


def test_an_empty_index_answers_with_nothing(fill: Fill) -> None:
    assert found(fill(), "kale") == []


def test_a_tag_that_names_no_language_is_refused_where_nothing_is_to_be_found_too(fill: Fill) -> None:
    with pytest.raises(LanguageError):
        found(fill(), "aphids", language="not a tag")


def test_little_words_alone_are_asked_all_the_same(fill: Fill) -> None:
    assert found(fill(english("x", "How to be there")), "how to") == ["x"]


def test_a_pasted_page_is_no_burden(fill: Fill) -> None:
    assert found(fill(english("x", "Basket")), "basket " + "leaf bed frame lid " * 5_000) == ["x"]


@settings(max_examples=40, deadline=None)
@given(words=st.text(min_size=1, max_size=60))
def test_any_text_can_be_asked(words: str, shared: Index) -> None:
    if words_of(words):
        assert len(shared.search(words)) <= 20
