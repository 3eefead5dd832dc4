"""Comparisons at a site: begun by lot, counted bit by bit, signed once, known wherever their words arrive."""

from __future__ import annotations

from collections import Counter
from contextlib import closing
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import Signer, Site, SiteError, begin_site
from fieldbook.site.trials import OPEN_MOST
from fieldbook.trials import TrialError
from tests.orrendal import PASSPHRASE, noon, practice, site_facts
from tests.trials.kale import THREE_SITES, kale
from tests.trying import compare, plan

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle

SPRAY = practice("Chilli and garlic water")
FEWER, AS_MANY = [[2, 3], [1, 1], [4, 2]], [[20, 22], [18, 25], [30, 21]]


def checked(circle: Circle) -> str:
    """An entry of C that is approved, and held by all four sites."""
    edition = circle.write("C1", SPRAY)
    circle.approve("C3", edition)
    circle.carry("CTLSCTLS")
    return edition


def fields(error: TrialError) -> list[str]:
    return [fault.field for fault in error.faults]


def test_lots_give_each_way_as_many_sacks_and_differ_from_one_comparison_to_the_next(circle: Circle) -> None:
    edition, trials = checked(circle), circle["C"].trials
    drawn = [trials.begin(edition, plan(each=8), signer=None).body["units"] for _ in range(6)]
    for units in drawn:
        assert [unit["label"] for unit in units] == [str(n) for n in range(1, 17)]
        assert Counter(unit["arm"] for unit in units) == {0: 8, 1: 8}
    assert len({tuple(unit["arm"] for unit in units) for units in drawn}) == 6


def test_in_pairs_each_pair_has_one_of_each_way_and_the_lot_says_which(circle: Circle) -> None:
    trials, edition = circle["C"].trials, checked(circle)
    units = trials.begin(edition, plan(design="paired-halves", each=20), signer=None).body["units"]
    pairs = [(units[n], units[n + 1]) for n in range(0, 40, 2)]
    assert all(one["pair"] == other["pair"] and {one["arm"], other["arm"]} == {0, 1} for one, other in pairs)
    assert [unit["label"] for unit in units[:4]] == ["1a", "1b", "2a", "2b"]
    assert {one["arm"] for one, _ in pairs} == {0, 1}


@pytest.mark.parametrize(
    ("changed", "where", "said"),
    [
        ({"unit": "leaf"}, "unit", "those of one sack are no separate tries"),
        ({"each": 1}, "each", "out of range"),
        ({"each": "many"}, "each", "out of range"),
        ({"per_unit": 11}, "per_unit", "out of range"),
        ({"usual": "sprayed"}, "usual", "is the name of the other way too"),
        ({"thing": ""}, "thing", ""),
        ({"way": ""}, "way", ""),
        ({"counted_per": ""}, "counted_per", "several counts of one unit"),
        ({"date": ""}, "date", "does not say one beginning"),
        ({"date": "yesterday"}, "date", ""),
        ({"question": "best"}, "question", "is not a word we know here"),
        ({"colour": "red"}, "colour", "is not a name we know here"),
    ],
)
def test_a_plan_that_could_not_be_signed_is_refused_at_its_box_before_anybody_begins(
    circle: Circle, changed: dict[str, Any], where: str, said: str
) -> None:
    trials, edition = circle["C"].trials, circle.write("C1", SPRAY)
    with pytest.raises(TrialError) as refused:
        trials.begin(edition, plan(**changed), signer=None)
    assert where in fields(refused.value)
    assert said in " ".join(fault.message for fault in refused.value.faults if fault.field == where)
    assert trials.papers() == ()


def test_where_no_clock_is_trusted_it_begins_in_a_week_of_a_season(circle: Circle) -> None:
    typed = plan(date="", season="long-rains", week="3")
    paper = circle["C"].trials.begin(circle.write("C1", SPRAY), typed, signer=None)
    assert paper.body["start"] == {"season": "long-rains", "week": 3}


def test_counts_come_bit_by_bit_stay_with_their_sack_and_outlive_the_program(circle: Circle) -> None:
    edition = circle.write("C1", SPRAY)
    number = circle["C"].trials.begin(edition, plan(), signer=circle.signer("C1")).number
    circle["C"].trials.count(number, 2, {"before": ["20", "19"]})
    circle.open("C")
    trials = circle["C"].trials
    assert trials.paper(number).body["units"][2]["before"] == [20, 19]
    assert trials.paper(number).left == ("1", "2", "3", "4", "5", "6")
    trials.count(number, 2, {"before": ["20", "19"], "counted": ["٠", "1,5"], "day": "٧", "knew_arm": "no"})
    row = trials.paper(number).body["units"][2]
    assert (row["counted"], row["day"], row["knew_arm"]) == ([0, "1.5"], 7, False)
    assert trials.paper(number).left == ("1", "2", "4", "5", "6")


@pytest.mark.parametrize(
    ("typed", "where"),
    [
        ({"counted": ["-1"], "day": "7"}, "counted"),
        ({"counted": ["NaN"], "day": "7"}, "counted"),
        ({"counted": ["1e9"], "day": "7"}, "counted"),
        ({"counted": ["few"], "day": "7"}, "counted"),
        ({"counted": ["3"]}, "day"),
        ({"counted": ["3"], "day": "7", "lost": "eaten"}, ""),
        ({"counted": ["12"], "out_of": ["10"], "day": "7"}, "counted"),
        ({"lost": "bored"}, "lost"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_count_that_cannot_be_is_refused_and_changes_nothing(
    circle: Circle, typed: dict[str, Any], where: str
) -> None:
    trials = circle["C"].trials
    number = trials.begin(circle.write("C1", SPRAY), plan(), signer=None).number
    before = trials.paper(number)
    with pytest.raises(TrialError) as refused:
        trials.count(number, 0, typed)
    assert fields(refused.value)[0].partition("[")[0] == where
    assert trials.paper(number) == before


def test_it_is_not_signed_before_every_sack_is_counted_or_lost_and_a_lost_one_stays(circle: Circle) -> None:
    trials, edition = circle["C"].trials, circle.write("C1", SPRAY)
    number = trials.begin(edition, plan(), signer=None).number
    for row in range(5):
        trials.count(number, row, {"counted": [row], "day": 7})
    with pytest.raises(TrialError, match="not counted yet: 6"):
        trials.finish(number, {"outcome": "partly"}, signer=circle.signer("C1"))
    trials.count(number, 5, {"lost": "eaten", "why": "a goat"})
    signed = trials.finish(number, {"outcome": "partly", "note": "Rain on day 3."}, signer=circle.signer("C1"))
    (known,) = trials.about(edition)
    assert (known.statement, known.by, known.letter) == (signed, "C1", "C")
    assert [row.lost for row in known.trial.rows] == ["", "", "", "", "", "eaten"]
    assert known.trial.document["note"] == {"en": "Rain on day 3."}


def test_what_is_signed_is_signed_once_and_can_be_changed_no_more(circle: Circle) -> None:
    edition = circle.write("C1", SPRAY)
    compare(circle["C"], edition, tried=FEWER, untried=AS_MANY, signer=circle.signer("C1"))
    trials = circle["C"].trials
    for change in (
        lambda: trials.finish(1, {"outcome": "no"}, signer=circle.signer("C1")),
        lambda: trials.count(1, 0, {"counted": ["1"], "day": "7"}),
        lambda: trials.drop(1, "too much work"),
    ):
        with pytest.raises(SiteError, match="no longer under way"):
            change()
    assert len(trials.every()) == 1
    assert trials.under_way() == ()


def test_a_cut_between_the_announcement_and_the_signing_leaves_it_under_way(circle: Circle) -> None:
    trials, edition = circle["C"].trials, circle.write("C1", SPRAY)
    number = trials.begin(edition, plan(), signer=None).number
    record = circle["C"].notebook.record("trial", number)
    assert record is not None
    circle["C"].notebook.change_record(record, {**record.document, "said": "ab" * 32})
    assert [paper.number for paper in trials.under_way()] == [number]
    trials.count(number, 0, {"counted": ["1"], "day": "7"})


def test_one_that_is_given_up_keeps_its_counts_and_its_reason_at_this_site(circle: Circle) -> None:
    trials = circle["C"].trials
    number = trials.begin(circle.write("C1", SPRAY), plan(), signer=None).number
    trials.count(number, 0, {"counted": ["3"], "day": "7"})
    with pytest.raises(SiteError, match="nobody said why"):
        trials.drop(number, "  ")
    trials.drop(number, "The goats came in.")
    assert trials.under_way() == ()
    assert (trials.paper(number).dropped, trials.paper(number).body["units"][0]["counted"]) == (
        "The goats came in.",
        [3],
    )
    assert trials.every() == ()


def test_every_site_knows_it_after_one_exchange_and_states_stay_alike(circle: Circle) -> None:
    edition = checked(circle)
    compare(circle["L"], edition, tried=FEWER, untried=AS_MANY, signer=circle.signer("L1"))
    compare(circle["S"], edition, tried=AS_MANY, untried=FEWER, outcome="no")
    circle.carry("LSCTLS")
    for letter in "CTLS":
        assert [(one.letter, one.by, one.trial.outcome) for one in circle[letter].trials.about(edition)] == [
            ("L", "L1", "worked"),
            ("S", "S", "no"),
        ]
    assert len(circle.states()) == 1


def test_one_that_arrives_before_its_entry_waits_and_loses_nothing(circle: Circle) -> None:
    circle.carry("CTLS")
    edition = circle.write("C1", SPRAY)
    circle.approve("C3", edition)
    circle.carry("CL")
    signed = compare(circle["L"], edition, tried=FEWER, untried=AS_MANY, signer=circle.signer("L1"))
    circle.carry("L")
    held = circle["L"].need_ledger().said(signed)
    assert held is not None
    late = circle.new_stick("late")
    circle.carry("L", late)
    (log,) = [log for log in late.glob("*/sites/*/*") if circle["L"].site_key.public.startswith(log.parent.name)]
    others = [site for site in late.glob("*/sites/*") if site != log.parent]
    kept = circle.new_stick("kept")
    for number, site in enumerate(others):
        site.rename(kept / str(number))
    circle.carry("T", late)
    trials = circle["T"].trials
    assert trials.every() == ()
    assert circle["T"].need_ledger().said(signed) is not None
    circle.carry("T")
    assert [one.statement for one in trials.about(edition)] == [signed]


def test_what_is_taken_back_is_gone_wherever_the_word_of_it_arrives(circle: Circle) -> None:
    edition = checked(circle)
    signed = compare(circle["L"], edition, tried=FEWER, untried=AS_MANY, signer=circle.signer("L1"))
    circle.carry("LS")
    assert len(circle["S"].trials.every()) == 1
    with pytest.raises(FieldbookError, match="may not take back"):
        circle["S"].take_back(signed, signer=circle.signer("L2"))
    circle["L"].take_back(signed, signer=circle.signer("L1"))
    circle.carry("LS")
    for letter in "LS":
        assert circle[letter].trials.every() == ()
        assert circle[letter].verify().problems == ()


def test_one_that_harmed_pauses_here_stands_first_for_reviewers_everywhere_and_ends_by_an_answer(
    circle: Circle,
) -> None:
    edition = checked(circle)
    signed = compare(circle["S"], edition, tried=FEWER, untried=AS_MANY, outcome="harmed")
    assert circle["S"].cards() == ()
    assert circle["L"].cards() != ()
    circle.carry("SLC")
    reviewer = circle["C"]
    (first,) = reviewer.complaints.waiting()
    assert (first.statement, first.harm, first.compared, first.words) == (signed, True, True, "Its skin burnt.")
    (item,) = [one for one in circle["L"].review_queue.items(circle.signer("L2")) if one.card.edition == edition]
    assert item.weight.harmed == 1
    circle["L"].complaints.answer(signed, signer=circle.signer("L2"), words="One clove, not five.")
    circle.carry("LSC")
    assert [site.complaints.harm_waiting for site in circle.sites.values()] == [0, 0, 0, 0]
    assert [answer.by for answer in reviewer.complaints.about(edition)[0].answers] == ["L2"]


def test_what_hurts_must_say_whom_and_no_words_hold_numbers_of_people(circle: Circle) -> None:
    trials, edition = circle["C"].trials, circle.write("C1", SPRAY)
    number = trials.begin(edition, plan(each=2, per_unit=1), signer=None).number
    for row in range(4):
        trials.count(number, row, {"counted": [row], "day": 7})
    with pytest.raises(TrialError, match="harm_note: is missing"):
        trials.finish(number, {"outcome": "harmed"}, signer=None)
    for typed in ({"harm_note": "call 000 1234567"}, {"note": "ask at +00 123 456 78"}):
        with pytest.raises(SiteError, match="long number"):
            trials.finish(number, {"outcome": "no", **typed}, signer=None)
    with pytest.raises(SiteError, match="long number"):
        trials.begin(edition, plan(way_what="ask 000 1234567"), signer=None)
    assert circle["C"].cards() != ()


def test_nothing_that_is_stopped_is_tried(circle: Circle) -> None:
    edition = checked(circle)
    circle["C"].complaints.tell(edition, says="hurt")
    with pytest.raises(SiteError, match="paused at this site"):
        circle["C"].trials.begin(edition, plan(), signer=None)
    circle.recall("L2", edition)
    with pytest.raises(SiteError, match="withdrawn"):
        circle["L"].trials.begin(edition, plan(), signer=None)


def test_a_form_that_is_sent_for_ever_ends_at_a_few(circle: Circle) -> None:
    trials, edition = circle["C"].trials, circle.write("C1", SPRAY)
    for _ in range(OPEN_MOST):
        trials.begin(edition, plan(), signer=None)
    with pytest.raises(SiteError, match="under way here already"):
        trials.begin(edition, plan(), signer=None)


def test_one_that_newer_software_wrote_is_kept_and_forwarded_and_never_counted_wrong(circle: Circle) -> None:
    edition = checked(circle)
    body = {"question": "less-pest", "outcome": "worked", "units": "as drawn"}
    ledger, key = circle["L"].need_ledger(), circle.signer("L1").key
    said = ledger.say(key, "fieldbook/trial", body, after=[edition], time=None, random=circle["L"].random)
    circle["L"].refresh_view()
    circle.carry("LS")
    assert circle["S"].need_ledger().said(said) is not None
    assert circle["S"].trials.every() == ()
    assert circle["S"].verify().ok


def test_words_of_older_papers_stand_with_the_row_of_the_names_table_that_they_name(circle: Circle) -> None:
    edition, site = circle.write("C1", SPRAY), circle["C"]
    sprayed, water, _ = THREE_SITES[0]
    for thing in ("aphid", {"fr": "puceron"}, {"es": "pulgón", "en": "Aphids"}, {"en": "holes"}):
        site.trials.tell_whole(edition, kale(sprayed, water, thing=thing), signer=None)
    assert [len(group.compared) for group in site.trials.judged(edition).groups] == [3, 1]


def test_a_volunteer_begins_counts_and_signs_it_by_their_own_key(circle: Circle) -> None:
    edition, site = checked(circle), circle["C"]
    person = site.add_person("C2", role="volunteer", passphrase=PASSPHRASE)
    key = site.unlock("C2", PASSPHRASE).key
    compare(site, edition, tried=FEWER, untried=AS_MANY, signer=Signer("C2", site.roles_of(person), key))
    circle.carry("CL")
    (known,) = circle["L"].trials.about(edition)
    assert (known.by, known.letter) == ("C2", "C")


def test_a_number_a_sack_or_an_id_that_is_not_here_is_told_where_to_look(circle: Circle) -> None:
    trials = circle["C"].trials
    number = trials.begin(circle.write("C1", SPRAY), plan(), signer=None).number
    with pytest.raises(SiteError, match="there is no such comparison here"):
        trials.paper(number + 1)
    with pytest.raises(SiteError, match="there is no such unit"):
        trials.count(number, 6, {"counted": ["1"], "day": "7"})
    with pytest.raises(SiteError, match="names no comparison that is here"):
        trials.named("abcd1234")


def test_a_site_that_is_not_let_in_yet_keeps_it_under_way_and_pauses_what_harmed(
    circle: Circle, tmp_path: Path
) -> None:
    edition = checked(circle)
    begin_site(tmp_path / "new", site_facts("C"), founding=None, random=Random(9).randbytes)
    with closing(Site.open(tmp_path / "new", clock=noon, random=Random(10).randbytes, reserve_bytes=0)) as new:
        new.join_from(circle.stick)
        number = new.trials.begin(edition, plan(each=2, per_unit=1), signer=None).number
        for row in range(4):
            new.trials.count(number, row, {"counted": [row], "day": 7})
        with pytest.raises(SiteError, match="not let into the network yet"):
            new.trials.finish(number, {"outcome": "harmed", "harm_note": "A hen was ill."}, signer=None)
        assert [paper.number for paper in new.trials.under_way()] == [number]
        assert new.cards() == ()
