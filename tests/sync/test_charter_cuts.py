"""One steward stops a key, the threshold allows it again; what the key said before the cut stays good."""

from __future__ import annotations

import pytest

from sync.charter import last_statements
from tests.sync.charter_scene import Circle, key


@pytest.fixture
def circle() -> Circle:
    """Three stewards of whom two must agree; C2 is a trainer, C3 a reviewer, T a site."""
    circle = Circle("C1", "L1", "S1", threshold=2)
    circle.grant_site("C1", "T")
    circle.name_person("C2")
    circle.grant_reviewer("C1", "C3")
    circle.grant_reviewer("L1", "C3")
    return circle


def test_one_steward_suffices_to_stop(circle: Circle) -> None:
    good, bad = circle.edition("C2"), circle.edition("C2")
    revocation = circle.revoke("S1", "C2", good)
    judgement = circle.judged()
    assert judgement.verdicts[revocation.id].state == "accepted"
    assert judgement.verdicts[good.id].state == "accepted"
    assert (judgement.verdicts[bad.id].state, judgement.verdicts[bad.id].rule) == ("quarantined", "revoked")
    assert judgement.charter.revoked == {key("C2"): ((good.id,),)}


def test_a_stopped_key_has_no_role_but_keeps_its_name(circle: Circle) -> None:
    circle.revoke("S1", "C3")
    charter = circle.judged().charter
    assert charter.roles_of(key("C3")) == frozenset()
    assert charter.reviewers == {}
    assert charter.name_of(key("C3")) == "C3"
    assert charter.site_of(key("C3")) == key("C")
    assert charter.scopes == {key("C3"): ()}


def test_somebody_who_is_no_steward_stops_nobody(circle: Circle) -> None:
    edition = circle.edition("C2")
    revocation = circle.revoke("C3", "C2")
    assert circle.state(revocation) == "waiting"
    assert circle.state(edition) == "accepted"


def test_a_cut_of_nothing_good_sets_everything_aside(circle: Circle) -> None:
    editions = [circle.edition("C2") for _ in range(3)]
    circle.revoke("S1", "C2")
    assert {circle.state(each) for each in editions} == {"quarantined"}


def test_what_is_not_reached_is_set_aside_even_if_it_claims_to_be_old(circle: Circle) -> None:
    good = circle.edition("C2")
    forked = circle.edition("C2", previous=None)
    circle.revoke("S1", "C2", good)
    assert circle.state(forked) == "quarantined"


def test_a_cut_names_an_end_for_each_device_of_a_person(circle: Circle) -> None:
    root = circle.edition("C2")
    one, other = circle.edition("C2", previous=root.id), circle.edition("C2", previous=root.id)
    assert last_statements(circle.said, key("C2")) == tuple(sorted([one.id, other.id]))
    circle.revoke("S1", "C2", one, other)
    later = circle.edition("C2", previous=one.id)
    assert {circle.state(each) for each in (root, one, other)} == {"accepted"}
    assert circle.state(later) == "quarantined"


def test_a_chain_through_somebody_elses_statement_reaches_nothing(circle: Circle) -> None:
    own = circle.edition("C2")
    foreign = circle.edition("C3", previous=own.id)
    last = circle.edition("C2", previous=foreign.id)
    circle.revoke("S1", "C2", last)
    assert circle.state(last) == "accepted"
    assert circle.state(own) == "quarantined"


def test_naming_somebody_elses_statement_as_last_keeps_nothing(circle: Circle) -> None:
    own, foreign = circle.edition("C2"), circle.edition("C3")
    circle.revoke("S1", "C2", foreign)
    assert circle.state(own) == "quarantined"
    assert circle.state(foreign) == "accepted"


def test_a_gap_sets_aside_what_lies_behind_it_until_it_is_filled(circle: Circle) -> None:
    first, between, last = (circle.edition("C2") for _ in range(3))
    circle.revoke("S1", "C2", last)
    assert circle.state(first, without=[between]) == "quarantined"
    assert circle.state(first) == "accepted"


def test_of_several_cuts_only_what_all_leave_is_good(circle: Circle) -> None:
    root = circle.edition("C2")
    one, other = circle.edition("C2", previous=root.id), circle.edition("C2", previous=root.id)
    circle.revoke("S1", "C2", one)
    circle.revoke("L1", "C2", other)
    assert circle.state(root) == "accepted"
    assert circle.state(one) == circle.state(other) == "quarantined"


def test_two_different_cuts_of_one_chain_leave_the_shorter_part(circle: Circle) -> None:
    first, second, third = (circle.edition("C2") for _ in range(3))
    circle.revoke("S1", "C2", third)
    circle.revoke("L1", "C2", first)
    assert [circle.state(each) for each in (first, second, third)] == ["accepted", "quarantined", "quarantined"]


def test_a_revocation_acts_whatever_it_answers_and_before_its_last_is_here(circle: Circle) -> None:
    edition = circle.edition("C2")
    last = circle.edition("C2")
    circle.revoke("S1", "C2", last, after=["ab" * 32])
    assert circle.state(edition, without=[last]) == "quarantined"
    assert circle.state(edition) == "accepted"


def test_an_id_of_a_bundle_among_the_last_keeps_no_statement(circle: Circle) -> None:
    named = circle.name_person("T2")
    body = {"key": key("T"), "last": ["ab" * 32]}
    circle.say("S1", "sync/revocation", body)
    assert circle.state(named) == "quarantined"


@pytest.mark.parametrize("body", [{}, {"key": "C2", "last": []}, {"last": []}, {"key": "ab" * 32, "last": "ab" * 32}])
def test_a_revocation_not_of_its_form_stops_nobody(circle: Circle, body: dict[str, object]) -> None:
    assert circle.state(circle.say("S1", "sync/revocation", body)) == "quarantined"
    assert circle.judged().charter.revoked == {}


def test_a_revocation_whose_body_is_not_here_waits_for_it(circle: Circle) -> None:
    revocation = circle.revoke("S1", "C2")
    circle.said[-1] = revocation.without_body()
    assert circle.judged().verdicts[revocation.id].rule == "body"


def test_a_revocation_may_hold_fields_that_a_later_software_adds_but_not_insist_on_them(circle: Circle) -> None:
    body = {"key": key("C2"), "last": [], "lost": "on the ferry"}
    insisting = circle.say("S1", "sync/revocation", body, critical=["lost"])
    assert circle.judged().verdicts[insisting.id].rule == "newer"
    assert circle.judged().charter.revoked == {}
    circle.say("S1", "sync/revocation", body)
    assert set(circle.judged().charter.revoked) == {key("C2")}


def test_what_a_stopped_site_said_of_its_people_falls_with_the_cut(circle: Circle) -> None:
    early = circle.name_person("T2")
    late = circle.name_person("T3")
    said = circle.edition("T3")
    circle.revoke("S1", "T", early)
    judgement = circle.judged()
    assert (judgement.verdicts[early.id].state, judgement.verdicts[late.id].state) == ("accepted", "quarantined")
    assert judgement.verdicts[said.id].state == "waiting"
    assert set(judgement.charter.sites) == {key("C")}
    assert judgement.charter.site_of(key("T2")) == key("T")
    assert judgement.charter.name_of(key("T2")) == "T2"


def test_grants_of_a_stopped_steward_fall_with_the_cut(circle: Circle) -> None:
    circle.grant_site("S1", "L")
    circle.revoke("L1", "S1")
    circle.revoke("S1", "C1", *[each for each in circle.said if each.id in last_statements(circle.said, key("C1"))])
    charter = circle.judged().charter
    assert set(charter.reviewers) == {key("C3")}
    assert key("L") not in charter.sites


def test_a_stopped_steward_keeps_three_voices_until_a_version_leaves_them_out(circle: Circle) -> None:
    circle.revoke("L1", "S1")
    stopping = circle.revoke("S1", "C2")
    lifting = [circle.reinstate(by, stopping) for by in ("S1", "C1")]
    stating = circle.state_version(circle.version(2, "C1", "S1", threshold=2, before=("L1",)), ("C1", "S1"))
    judgement = circle.judged()
    assert {judgement.verdicts[each.id].state for each in (stopping, *lifting, *stating)} == {"accepted"}
    assert judgement.charter.revoked == {key("S1"): ((),)}
    assert circle.state(circle.grant_site("S1", "L")) == "quarantined"


def test_a_steward_left_out_of_the_next_version_stops_nobody_any_more(circle: Circle) -> None:
    circle.revoke("S1", "C2")
    circle.state_version(circle.version(2, "C1", "L1", threshold=2, before=("C1", "L1")), ("C1", "L1"))
    assert circle.judged().charter.revoked == {}


def test_one_voice_does_not_lift_what_one_voice_stopped(circle: Circle) -> None:
    edition = circle.edition("C2")
    stopping = circle.revoke("S1", "C2")
    voice = circle.reinstate("S1", stopping)
    assert circle.judged().verdicts[voice.id].rule == "voices"
    assert circle.state(edition) == "quarantined"


def test_the_threshold_lifts_a_revocation(circle: Circle) -> None:
    edition = circle.edition("C2")
    stopping = circle.revoke("S1", "C2")
    voices = [circle.reinstate(by, stopping) for by in ("S1", "L1")]
    judgement = circle.judged()
    assert {judgement.verdicts[each.id].state for each in (edition, stopping, *voices)} == {"accepted"}
    assert judgement.charter.revoked == {}
    assert judgement.charter.roles_of(key("C2")) == {"trainer"}


def test_a_steward_too_is_allowed_again_by_the_threshold_only(circle: Circle) -> None:
    stopping = circle.revoke("C1", "L1")
    circle.reinstate("L1", stopping)
    assert set(circle.judged().charter.revoked) == {key("L1")}
    circle.reinstate("S1", stopping)
    assert circle.judged().charter.revoked == {}


def test_each_revocation_is_lifted_for_itself(circle: Circle) -> None:
    edition = circle.edition("C2")
    first, second = circle.revoke("S1", "C2"), circle.revoke("L1", "C2", edition)
    circle.reinstate("S1", first, second)
    circle.reinstate("L1", first)
    assert circle.state(edition) == "accepted"
    assert circle.judged().charter.revoked == {key("C2"): ((edition.id,),)}
    assert circle.state(circle.edition("C2")) == "quarantined"


def test_a_key_allowed_again_can_be_stopped_again(circle: Circle) -> None:
    stopping = circle.revoke("S1", "C2")
    for by in ("S1", "L1"):
        circle.reinstate(by, stopping)
    circle.revoke("S1", "C2")
    assert set(circle.judged().charter.revoked) == {key("C2")}


def test_a_new_grant_does_not_lift_a_revocation(circle: Circle) -> None:
    circle.revoke("S1", "C3")
    for by in ("C1", "L1"):
        circle.grant_reviewer(by, "C3")
    assert circle.judged().charter.reviewers == {}


def test_a_reinstatement_counts_for_what_is_here_and_waits_for_the_rest(circle: Circle) -> None:
    here, away = circle.revoke("S1", "C2"), circle.revoke("S1", "C3")
    voices = [circle.reinstate(by, here, away) for by in ("C1", "L1")]
    judgement = circle.judged(without=[away])
    assert judgement.charter.revoked == {}
    assert judgement.verdicts[voices[0].id].missing == (away.id,)
    assert circle.state(voices[0]) == "accepted"


def test_a_reinstatement_that_names_no_revocation_is_set_aside(circle: Circle) -> None:
    assert circle.state(circle.reinstate("C1")) == "quarantined"
    assert circle.state(circle.reinstate("C1", circle.edition("C2"))) == "quarantined"


def test_somebody_who_is_no_steward_lifts_nothing(circle: Circle) -> None:
    stopping = circle.revoke("S1", "C2")
    circle.reinstate("S1", stopping)
    assert circle.state(circle.reinstate("C3", stopping)) == "waiting"
    assert set(circle.judged().charter.revoked) == {key("C2")}


def test_a_reinstatement_that_asks_for_newer_software_lifts_nothing(circle: Circle) -> None:
    stopping = circle.revoke("S1", "C2")
    circle.reinstate("S1", stopping)
    said = circle.say("L1", "sync/reinstatement", {"until": "2027"}, after=[stopping], critical=["until"])
    assert circle.judged().verdicts[said.id].rule == "newer"
    assert set(circle.judged().charter.revoked) == {key("C2")}


def test_a_reviewer_or_a_steward_adopts_what_a_cut_sets_aside(circle: Circle) -> None:
    one, other = circle.edition("C2"), circle.edition("C2")
    circle.revoke("S1", "C2")
    circle.adopt("C3", one)
    circle.adopt("L1", other)
    verdict = circle.judged().verdicts[one.id]
    assert (verdict.state, verdict.rule) == ("accepted", "adopted")
    assert circle.state(other) == "accepted"


def test_a_trainer_adopts_nothing(circle: Circle) -> None:
    circle.name_person("T2")
    edition = circle.edition("C2")
    circle.revoke("S1", "C2")
    assert circle.state(circle.adopt("T2", edition)) == "waiting"
    assert circle.state(edition) == "quarantined"


def test_nobody_adopts_their_own(circle: Circle) -> None:
    good = circle.edition("C3")
    forked = circle.edition("C3", previous=None)
    adoption = circle.say("C3", "sync/adoption", after=[forked], previous=good.id)
    circle.revoke("S1", "C3", adoption)
    assert circle.state(adoption) == "accepted"
    assert circle.state(forked) == "quarantined"


def test_an_adoption_set_aside_adopts_nothing(circle: Circle) -> None:
    edition = circle.edition("C2")
    circle.revoke("S1", "C2")
    circle.adopt("C3", edition)
    circle.revoke("S1", "C3")
    assert circle.state(edition) == "quarantined"


def test_kinds_of_roles_cannot_be_adopted(circle: Circle) -> None:
    grant = circle.grant_site("S1", "L")
    named = circle.name_person("T2")
    unknown = circle.say("S1", "sync/a-later-kind")
    circle.revoke("L1", "S1")
    circle.revoke("L1", "T")
    circle.adopt("C3", grant, named, unknown)
    assert [circle.state(each) for each in (grant, named, unknown)] == ["quarantined"] * 3


def test_an_adoption_lifts_neither_a_missing_role_nor_a_wait(circle: Circle) -> None:
    early = circle.edition("C2")
    waiting = circle.edition("C2", early)
    roleless = circle.say("C2", "fieldbook/approval")
    circle.revoke("S1", "C2")
    circle.adopt("C3", waiting, roleless)
    judgement = circle.judged(without=[early])
    assert judgement.verdicts[waiting.id].state == "quarantined"
    assert judgement.verdicts[roleless.id].state == "quarantined"
    assert circle.state(waiting) == "accepted"


def test_a_stopped_steward_has_no_role_in_force(circle: Circle) -> None:
    circle.revoke("L1", "S1")
    assert circle.judged().charter.roles_of(key("S1")) == frozenset()
    assert key("S1") in {steward.key for steward in circle.judged().charter.stewards}


def test_a_voice_that_lifts_one_of_two_waits_for_the_other(circle: Circle) -> None:
    first, second = circle.revoke("S1", "C2"), circle.revoke("S1", "C3")
    both = circle.reinstate("L1", first, second)
    circle.reinstate("C1", first)
    assert circle.judged().verdicts[both.id].rule == "voices"


def test_adopting_what_nobody_set_aside_changes_nothing(circle: Circle) -> None:
    edition = circle.edition("C2")
    circle.adopt("L1", edition)
    assert circle.judged().verdicts[edition.id].rule == ""


def test_a_grant_of_a_stopped_steward_is_set_aside_even_before_its_body_is_here(circle: Circle) -> None:
    grant = circle.grant_site("S1", "L")
    circle.said[-1] = grant.without_body()
    circle.revoke("L1", "S1")
    assert circle.judged().verdicts[grant.id].rule == "revoked"
