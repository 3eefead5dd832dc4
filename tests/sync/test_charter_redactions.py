"""A body or a file taken back by its author or a steward; nothing that decides roles or stops can be taken."""

from __future__ import annotations

import pytest

from tests.sync.charter_scene import Circle

PHOTO = "f0" * 32
OTHER_PHOTO = "f1" * 32


@pytest.fixture
def circle() -> Circle:
    """C1 is the steward; C2 and T2 are trainers, C3 a reviewer."""
    circle = Circle("C1")
    circle.grant_site("C1", "T")
    circle.name_person("C2")
    circle.name_person("T2")
    circle.grant_reviewer("C1", "C3")
    return circle


def test_an_author_takes_back_their_own_body(circle: Circle) -> None:
    edition, other = circle.edition("C2"), circle.edition("C2")
    redaction = circle.take_back("C2", edition)
    judgement = circle.judged()
    assert judgement.redacted == {edition.id}
    assert judgement.verdicts[redaction.id].state == "accepted"
    assert judgement.verdicts[edition.id].state == judgement.verdicts[other.id].state == "accepted"


def test_a_steward_takes_back_anybodys(circle: Circle) -> None:
    edition = circle.edition("C2")
    circle.take_back("C1", edition)
    assert circle.judged().redacted == {edition.id}


def test_nobody_else_takes_back_anything(circle: Circle) -> None:
    edition = circle.edition("C2")
    redaction = circle.take_back("C3", edition)
    assert circle.judged().redacted == frozenset()
    assert circle.judged().verdicts[redaction.id].rule == "role"


def test_only_redactions_that_may_take_a_body_are_named_as_taking_it(circle: Circle) -> None:
    edition = circle.edition("C2")
    circle.take_back("C3", edition)
    taking = [circle.take_back("C1", edition), circle.take_back("C2", edition)]
    assert circle.judged().redacted_by == {edition.id: tuple(sorted(each.id for each in taking))}


def test_a_redaction_acts_on_each_target_as_far_as_it_may(circle: Circle) -> None:
    own, foreign, away = circle.edition("C2"), circle.edition("T2"), circle.edition("C2")
    redaction = circle.take_back("C2", own, foreign, away)
    judgement = circle.judged(without=[away])
    assert judgement.redacted == {own.id}
    assert judgement.verdicts[redaction.id].missing == (away.id,)
    assert circle.judged().redacted == {own.id, away.id}


def test_a_redaction_is_remembered_until_its_target_comes(circle: Circle) -> None:
    edition = circle.edition("C2")
    redaction = circle.take_back("C2", edition)
    judgement = circle.judged(without=[edition])
    assert judgement.redacted == frozenset()
    assert judgement.verdicts[redaction.id].state == "waiting"


def test_a_body_taken_back_needs_no_role(circle: Circle) -> None:
    said = circle.edition("X9")
    circle.take_back("X9", said)
    assert circle.judged().redacted == {said.id}


@pytest.mark.parametrize("kind", ["fieldbook/recall", "fieldbook/lifting", "sync/heartbeat", "sync/adoption"])
def test_bodies_of_urgent_kinds_stay(circle: Circle, kind: str) -> None:
    said = circle.say("C3", kind)
    assert circle.state(circle.take_back("C3", said)) == "quarantined"
    assert circle.state(circle.take_back("C1", said)) == "quarantined"
    assert circle.judged().redacted == frozenset()


def test_bodies_that_give_and_take_roles_stay(circle: Circle) -> None:
    edition = circle.edition("C2")
    revocation = circle.revoke("C1", "C2")
    other = [
        circle.take_back("C1", edition),
        circle.reinstate("C1", revocation),
        circle.say("C1", "sync/stewards", circle.version(2, "C1", threshold=1)),
    ]
    everything = list(circle.said)
    circle.take_back("C1", *everything)
    assert circle.judged().redacted == {edition.id}
    assert len(other) == 3


def test_a_body_of_an_unknown_kind_can_be_taken_back(circle: Circle) -> None:
    said = circle.say("T2", "a-later/kind")
    circle.take_back("T2", said)
    assert circle.judged().redacted == {said.id}


def test_a_redaction_that_names_nothing_is_set_aside(circle: Circle) -> None:
    assert circle.state(circle.take_back("C1")) == "quarantined"


def test_a_redaction_set_aside_acts_no_longer(circle: Circle) -> None:
    edition = circle.edition("C2")
    redaction = circle.take_back("C2", edition)
    circle.revoke("C1", "C2", edition)
    judgement = circle.judged()
    assert judgement.verdicts[redaction.id].state == "quarantined"
    assert judgement.redacted == frozenset()


def test_a_redaction_before_the_cut_still_acts(circle: Circle) -> None:
    edition = circle.edition("C2")
    redaction = circle.take_back("C2", edition)
    circle.revoke("C1", "C2", redaction)
    assert circle.judged().redacted == {edition.id}


def test_a_steward_left_out_of_the_next_version_takes_nothing_back(circle: Circle) -> None:
    edition = circle.edition("C2")
    circle.take_back("C1", edition)
    circle.state_version(circle.version(2, "L1", threshold=1), ("C1", "L1"))
    assert circle.judged().redacted == frozenset()


def test_a_redaction_that_asks_for_newer_software_takes_nothing(circle: Circle) -> None:
    edition = circle.edition("C2", attachments=[PHOTO])
    redaction = circle.take_back("C2", edition, files=[PHOTO], critical=["only-here"])
    judgement = circle.judged()
    assert judgement.verdicts[redaction.id].rule == "newer"
    assert judgement.redacted == judgement.files_gone == frozenset()


def test_an_author_takes_back_a_file_and_leaves_the_body(circle: Circle) -> None:
    circle.edition("C2", attachments=[PHOTO, OTHER_PHOTO])
    redaction = circle.take_back("C2", files=[PHOTO])
    judgement = circle.judged()
    assert judgement.files_gone == {PHOTO}
    assert judgement.redacted == frozenset()
    assert judgement.verdicts[redaction.id].state == "accepted"


def test_a_file_that_its_author_never_had_is_not_theirs_to_take(circle: Circle) -> None:
    circle.edition("C2", attachments=[PHOTO])
    redaction = circle.take_back("T2", files=[PHOTO])
    assert circle.judged().files_gone == frozenset()
    assert circle.judged().verdicts[redaction.id].rule == "role"


def test_nobody_takes_anothers_photo_by_attaching_it_too(circle: Circle) -> None:
    circle.edition("C2", attachments=[PHOTO])
    copied = circle.edition("T2", attachments=[PHOTO])
    circle.take_back("T2", copied, files=[PHOTO])
    assert circle.judged().redacted == {copied.id}
    assert circle.judged().files_gone == frozenset()
    circle.take_back("C1", files=[PHOTO])
    assert circle.judged().files_gone == {PHOTO}


def test_a_file_goes_once_everybody_who_has_it_took_their_statement_back(circle: Circle) -> None:
    first = circle.edition("C2", attachments=[PHOTO])
    copied = circle.edition("T2", attachments=[PHOTO])
    circle.take_back("C2", first, files=[PHOTO])
    assert circle.judged().files_gone == frozenset()
    circle.take_back("T2", copied)
    assert circle.judged().files_gone == {PHOTO}


def test_a_stranger_who_attaches_a_photo_does_not_keep_it(circle: Circle) -> None:
    circle.edition("C2", attachments=[PHOTO])
    circle.edition("X9", attachments=[PHOTO])
    circle.take_back("C2", files=[PHOTO])
    assert circle.judged().files_gone == {PHOTO}


def test_somebody_elses_redaction_of_what_is_away_says_what_is_missing(circle: Circle) -> None:
    edition, away = circle.edition("C2"), circle.edition("C2")
    redaction = circle.take_back("T2", edition, away)
    verdict = circle.judged(without=[away]).verdicts[redaction.id]
    assert (verdict.rule, verdict.missing) == ("after", (away.id,))
