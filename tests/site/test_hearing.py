"""Two lines over a radio: what is read aloud at one site pauses the practice at another, and a slip is noticed."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.ledger import spoken
from fieldbook.site import Signer
from fieldbook.site.stopping.hearing import SAID_MAX_CHARACTERS, lines_of, read_lines
from tests.orrendal import practice

if TYPE_CHECKING:
    from fieldbook.site.stopping.hearing import Lines
    from tests.orrendal import Circle

IDS = st.binary(min_size=32, max_size=32).map(bytes.hex)
SAME = settings(derandomize=True, database=None, deadline=None, max_examples=60)
WORDS = [spoken(bytes([number])).upper() for number in range(256)]
SMOKE = practice("Strong leaf-smoke water spray", summary={"en": "Soak leaves in smoke water and spray."})


@SAME
@given(IDS, IDS, st.text(max_size=300))
def test_what_is_read_aloud_is_what_is_heard_in_capitals_or_small_with_signs_or_without(
    entry: str, recall: str, words: str
) -> None:
    lines = lines_of(entry=entry, recall=recall, words=words)
    for first, second in (
        (lines.first, lines.second),
        (lines.first.lower().replace(" ", ", "), lines.second.lower() + "."),
        (lines.first.removeprefix("STOP "), ""),
    ):
        heard = read_lines(first, second)
        assert entry.startswith(heard.entry)
        assert recall.startswith(heard.recall)
    assert len(lines.second) <= SAID_MAX_CHARACTERS + 12
    assert "\n" not in lines.first + lines.second


@SAME
@given(IDS, IDS, st.data())
def test_a_word_taken_for_another_is_noticed_but_for_one_time_in_256(
    entry: str, recall: str, data: st.DataObject
) -> None:
    """The check word is one byte: a slip that hits it by chance names what is not there, never what is said."""
    lines = lines_of(entry=entry, recall=recall, words="")
    words = lines.first.split()
    place = data.draw(st.integers(1, 7))
    words[place] = data.draw(st.sampled_from([one for one in WORDS if one != words[place]]))
    with suppress(FieldbookError):
        heard = read_lines(" ".join(words))
        assert (heard.entry, heard.recall) != (entry[:8], recall[:6])


def lines() -> Lines:
    return lines_of(entry="3f9a0c12" + "0" * 56, recall="51c07e" + "0" * 58, words="Pour it away: 0.5 L on bare soil.")


@pytest.mark.parametrize(
    ("first", "second", "refusal"),
    [
        ("", "", "line 1 is empty"),
        ("STOP", "x", "line 1 is empty"),
        ("STOP xylem", "", "line 1: word 1 after STOP is none of the list"),
        ("STOP mango mango", "", "line 1 has 8 words after STOP, here are 2"),
        ("STOP " + "mango " * 7 + "zebra", "", "line 1: its words do not belong together"),
        (None, "POUR IT AWAY", "line 2 was misheard"),
        (None, "mango", "line 2 was misheard"),
    ],
)
def test_a_mistyped_line_is_refused_with_which_line(first: str | None, second: str, refusal: str) -> None:
    first = lines().first if first is None else first
    with pytest.raises(FieldbookError, match=refusal):
        read_lines(first, second)


def test_the_second_line_of_another_withdrawal_is_refused() -> None:
    other = lines_of(entry="aa" * 32, recall="bb" * 32, words="Pour it away: 0.5 L on bare soil.")
    with pytest.raises(FieldbookError, match="line 2 was misheard, or is of another withdrawal"):
        read_lines(lines().first, other.second)


def test_signs_that_nobody_hears_are_said_out_loud() -> None:
    assert lines().second.startswith("POUR IT AWAY 0 POINT 5 L ON BARE SOIL ")
    said = lines_of(entry="aa" * 32, recall="bb" * 32, words="Mix 1:10, wait 2-3 days; 5 % at 20 °C, 5 g/L.").second
    assert said.startswith("MIX 1 TO 10 WAIT 2 TO 3 DAYS 5 PERCENT AT 20 DEGREES C 5 G PER L ")


def test_accents_do_not_matter_and_other_scripts_are_taken_as_they_are() -> None:
    french = lines_of(entry="aa" * 32, recall="bb" * 32, words="Jetez-le à l'écart")
    assert read_lines(french.first, french.second.replace("À", "a").replace("É", "e")).words
    arabic = lines_of(entry="aa" * 32, recall="bb" * 32, words="صُبَّ الرشَّ بعيدًا")
    bare = re.sub("[\u064b-\u0652]", "", arabic.second)
    assert read_lines(arabic.first, bare).words


# at a site


def heard_at_s(circle: Circle, *, here: bool) -> tuple[str, Lines]:
    """T's entry, withdrawn at L; S hears it by radio, having the entry or not."""
    edition = circle.write("T1", SMOKE)
    circle.carry("TL")
    circle.approve("L2", edition)
    if here:
        circle.carry("LS")
    circle.recall("L2", edition)
    (stop,) = circle["L"].stops.of(edition)
    circle["S"].hearing.hear(stop.lines.first, stop.lines.second, signer=circle.signer("S1"))
    return edition, stop.lines


def test_what_was_heard_pauses_the_practice_here_at_once_and_says_what_to_do(circle: Circle) -> None:
    edition, said = heard_at_s(circle, here=True)
    assert circle["S"].cards() == ()
    assert circle["S"].search("smoke spray") == ()
    with pytest.raises(FieldbookError, match="it is paused at this site"):
        circle["S"].page(edition)
    page = circle["S"].page(edition, reader=circle.signer("S1"))
    assert page.paused_here
    assert page.paused[0].reason == said.second.rpartition(" ")[0] == "POUR IT AWAY"


def test_what_was_heard_before_the_entry_came_acts_when_it_comes_and_on_what_was_made_from_it(circle: Circle) -> None:
    edition, _ = heard_at_s(circle, here=False)
    made = circle.write("T1", practice("Smoke of dry leaves"), after=[edition], adaptation=True)
    circle.carry("TL", circle.new_stick("made"))
    circle.approve("L2", made) if circle["L"].page(made).state != "recalled" else None
    stick = circle.new_stick("without the word")
    circle.carry("T", stick)
    circle["S"].exchange(stick)
    assert circle["S"].view.entry_of(made) == made
    assert circle["S"].cards() == ()
    assert circle["S"].search("smoke") == ()


def test_what_was_heard_is_no_signature_so_no_other_site_is_stopped(circle: Circle) -> None:
    edition, _ = heard_at_s(circle, here=True)
    circle.carry("SC", circle.new_stick("from S"))
    circle.carry("SC", circle.new_stick("from S"))
    assert circle["C"].page(edition).state == "approved"


def test_a_trainer_ends_it_and_the_signed_withdrawal_takes_its_place(circle: Circle) -> None:
    edition, said = heard_at_s(circle, here=True)
    circle["S"].release(edition, signer=circle.signer("S1"))
    assert circle["S"].page(edition).state == "approved"
    assert circle["S"].search("smoke spray")[0].state == "approved"
    circle["S"].hearing.hear(said.first, signer=circle.signer("S1"))
    circle.carry("LS")
    assert circle["S"].page(edition).state == "recalled"
    assert circle["S"].hearing.standing() == ()
    for label in ("L2", "C3"):
        circle.carry("LCSLCS")
        circle[label[0]].stops.allow_again([edition], signer=circle.signer(label), reason="It was the pot.")
    circle.carry("LCSLCS")
    assert circle["S"].page(edition).state == "approved", "what was heard does not come back after two sites allowed it"
    with pytest.raises(FieldbookError, match="the signed withdrawal that these lines speak of is here already"):
        circle["S"].hearing.hear(said.first, signer=circle.signer("S1"))


def test_who_may_not_type_it_in_or_typed_it_before_is_told_so(circle: Circle) -> None:
    edition, said = heard_at_s(circle, here=True)
    with pytest.raises(FieldbookError, match="typed in here before"):
        circle["S"].hearing.hear(said.first, said.second, signer=circle.signer("S1"))
    circle["S"].add_person("S2", role="volunteer", passphrase="four plain words here")
    volunteer = Signer("S2", frozenset({"volunteer"}), circle["S"].unlock("S2", "four plain words here").key)
    with pytest.raises(FieldbookError, match="S2 may not type in a withdrawal"):
        circle["S"].hearing.hear(said.first, signer=volunteer)
    with pytest.raises(FieldbookError, match="S2 may not end a pause"):
        circle["S"].release(edition, signer=volunteer)
