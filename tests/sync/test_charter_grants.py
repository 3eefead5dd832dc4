"""Sites by one steward, reviewers by the threshold, people by their sites."""

from __future__ import annotations

from typing import Any

import pytest

from sync.canonical import canonical_bytes
from sync.charter import judge, sites_to_take
from sync.charter.labels import Labels
from sync.charter.room import Memory
from tests.sync.charter_scene import KINDS, Circle, key

STRANGER = "X9"


@pytest.fixture
def circle() -> Circle:
    """Three stewards of whom two must agree; C is the founding site, T is granted, C2 a trainer."""
    circle = Circle("C1", "L1", "S1", threshold=2)
    circle.grant_site("C1", "T")
    circle.name_person("C2")
    return circle


def test_an_empty_network_has_its_founding_site_and_its_first_stewards() -> None:
    circle = Circle("C1", "L1", threshold=2)
    charter = circle.judged().charter
    assert set(charter.sites) == {key("C")}
    assert {steward.name for steward in charter.stewards} == {"C1", "L1"}
    assert charter.threshold == 2
    assert charter.roles_of(key("C1")) == {"steward"}
    assert charter.alarm == ()


def test_one_steward_grants_a_site(circle: Circle) -> None:
    charter = circle.judged().charter
    assert charter.roles_of(key("T")) == {"site"}
    assert charter.name_of(key("T")) == "T"
    assert charter.site_of(key("T")) == key("T")


def test_one_steward_does_not_make_a_reviewer_where_two_must_agree(circle: Circle) -> None:
    voice = circle.grant_reviewer("C1", "C3")
    judgement = circle.judged()
    assert judgement.charter.reviewers == {}
    assert (judgement.verdicts[voice.id].state, judgement.verdicts[voice.id].rule) == ("waiting", "voices")


def test_two_stewards_who_say_the_same_make_a_reviewer(circle: Circle) -> None:
    voices = [circle.grant_reviewer("C1", "C3"), circle.grant_reviewer("S1", "C3")]
    judgement = circle.judged()
    assert judgement.charter.roles_of(key("C3")) == {"reviewer"}
    assert judgement.charter.name_of(key("C3")) == "C3"
    assert judgement.charter.site_of(key("C3")) == key("C")
    assert [judgement.verdicts[voice.id].state for voice in voices] == ["accepted", "accepted"]


def test_one_steward_who_says_it_twice_is_one_voice(circle: Circle) -> None:
    circle.grant_reviewer("C1", "C3")
    circle.grant_reviewer("C1", "C3")
    assert circle.judged().charter.reviewers == {}


def test_voices_for_different_words_do_not_add_up(circle: Circle) -> None:
    circle.grant_reviewer("C1", "C3", scope=("compost",))
    circle.grant_reviewer("L1", "C3")
    assert circle.judged().charter.reviewers == {}


def test_scopes_of_one_reviewer_add_up(circle: Circle) -> None:
    for scope in (("compost",), ("bed", "pest")):
        for by in ("C1", "L1"):
            circle.grant_reviewer(by, "C3", scope=scope)
    assert circle.judged().charter.reviewers[key("C3")].scope == ("bed", "compost", "pest")


def test_a_scope_of_everything_swallows_the_narrow_ones(circle: Circle) -> None:
    for scope in (("compost",), ()):
        for by in ("C1", "L1"):
            circle.grant_reviewer(by, "C3", scope=scope)
    assert circle.judged().charter.reviewers[key("C3")].scope == ()


def test_a_reviewer_waits_for_the_grant_of_their_site(circle: Circle) -> None:
    voices = [circle.grant_reviewer(by, "L2") for by in ("C1", "S1")]
    before = circle.judged()
    assert [before.verdicts[voice.id].rule for voice in voices] == ["site", "site"]
    circle.grant_site("S1", "L")
    assert set(circle.judged().charter.reviewers) == {key("L2")}


def test_a_grant_by_somebody_who_is_no_steward_waits(circle: Circle) -> None:
    grant = circle.grant_site("C2", "L")
    verdict = circle.judged().verdicts[grant.id]
    assert (verdict.state, verdict.rule) == ("waiting", "role")
    assert key("L") not in circle.judged().charter.sites


def test_a_person_is_who_a_granted_site_says(circle: Circle) -> None:
    circle.name_person("T2", "volunteer")
    charter = circle.judged().charter
    assert charter.roles_of(key("T2")) == {"volunteer"}
    assert charter.site_of(key("T2")) == key("T")
    assert charter.people[key("C2")].role == "trainer"


def test_names_that_a_later_version_adds_leave_the_naming_of_a_person_what_it_says(circle: Circle) -> None:
    circle.say("C", "sync/person", {"key": key("C4"), "name": "C4", "role": "volunteer", "zone": "later"})
    assert circle.judged().charter.roles_of(key("C4")) == {"volunteer"}


def test_people_of_a_site_not_granted_wait_with_all_they_say(circle: Circle) -> None:
    named = circle.name_person("L1")
    edition = circle.edition("L1")
    assert circle.state(named) == "waiting"
    assert circle.state(edition) == "waiting"
    circle.grant_site("C1", "L")
    assert circle.state(named) == circle.state(edition) == "accepted"


def test_trainer_is_more_than_volunteer_in_either_order(circle: Circle) -> None:
    circle.name_person("T2", "trainer")
    circle.name_person("T2", "volunteer")
    assert circle.judged().charter.people[key("T2")].role == "trainer"


@pytest.mark.parametrize(
    ("label", "kind", "state"),
    [
        ("C2", "fieldbook/edition", "accepted"),
        ("T2", "fieldbook/edition", "waiting"),
        ("T2", "fieldbook/trial", "accepted"),
        ("C2", "fieldbook/trial", "accepted"),
        ("C1", "fieldbook/trial", "accepted"),
        ("C3", "fieldbook/trial", "accepted"),
        ("T", "fieldbook/trial", "accepted"),
        (STRANGER, "fieldbook/trial", "waiting"),
        ("C2", "fieldbook/approval", "waiting"),
        ("C3", "fieldbook/approval", "accepted"),
        ("C3", "fieldbook/edition", "accepted"),
        ("T", "fieldbook/edition", "waiting"),
        ("C1", "fieldbook/edition", "waiting"),
        ("C1", "fieldbook/lifting", "accepted"),
        ("C1", "fieldbook/recall", "waiting"),
        ("C1", "sync/heartbeat", "accepted"),
        ("C3", "sync/heartbeat", "waiting"),
        ("T2", "a-later/kind", "accepted"),
        ("T", "a-later/kind", "accepted"),
        ("L1", "a-later/kind", "accepted"),
        (STRANGER, "a-later/kind", "waiting"),
    ],
)
def test_what_somebody_may_say_depends_on_their_role(circle: Circle, label: str, kind: str, state: str) -> None:
    circle.name_person("T2", "volunteer")
    circle.grant_reviewer("C1", "C3")
    circle.grant_reviewer("L1", "C3")
    assert circle.state(circle.say(label, kind)) == state


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"letter": "CC"}, "one capital letter"),
        ({"letter": "ش"}, "one capital letter"),
        ({"role": "king"}, "of a site or of a reviewer"),
        ({"note": "kept by no form"}, "exactly the fields"),
        ({"key": "C9"}, "64 lower-case hex"),
        ({"name": 7}, "not a text"),
    ],
)
def test_a_grant_not_of_its_form_is_set_aside_with_the_reason(
    circle: Circle, change: dict[str, Any], reason: str
) -> None:
    grant = circle.grant_site("C1", "L", body=change)
    verdict = circle.judged().verdicts[grant.id]
    assert (verdict.state, verdict.rule) == ("quarantined", "form")
    assert reason in verdict.reason


@pytest.mark.parametrize("name", ["Amina", "C", "C0", "c3", "C3 ", "C12345"])
def test_a_person_is_named_by_letter_and_number_only(circle: Circle, name: str) -> None:
    named = circle.say("T", "sync/person", {"key": key("T2"), "name": name, "role": "trainer"})
    assert circle.state(named) == "quarantined"
    assert key("T2") not in circle.judged().charter.people


def test_a_site_cannot_name_a_reviewer(circle: Circle) -> None:
    named = circle.say("T", "sync/person", {"key": key("T2"), "name": "T2", "role": "reviewer"})
    assert circle.state(named) == "quarantined"


def test_a_grant_whose_body_is_not_here_waits_for_it(circle: Circle) -> None:
    grant = circle.grant_site("C1", "L")
    stripped = [s.without_body() if s is grant else s for s in circle.said]
    judgement = judge(circle.network, KINDS, stripped)
    assert (judgement.verdicts[grant.id].state, judgement.verdicts[grant.id].rule) == ("waiting", "body")
    assert judge(circle.network, KINDS, [*stripped, grant, *stripped]) == circle.judged()


def test_a_grant_that_asks_for_newer_software_gives_nothing_here(circle: Circle) -> None:
    grant = circle.say(
        "C1", "sync/person", {"key": key("T2"), "name": "T2", "role": "trainer", "until": "2027"}, critical=["until"]
    )
    known = circle.grant_site("C1", "L", critical=["role"])
    verdict = circle.judged().verdicts[grant.id]
    assert (verdict.state, verdict.rule) == ("waiting", "newer")
    assert circle.state(known) == "accepted"


def test_the_founding_site_cannot_be_named_anew(circle: Circle) -> None:
    circle.grant_site("C1", "C", body={"letter": "Z", "name": "Elsewhere"})
    assert circle.judged().charter.sites[key("C")].letter == "C"


def test_a_grant_that_answers_an_earlier_one_corrects_its_words(circle: Circle) -> None:
    wrong = circle.grant_site("C1", "L", body={"letter": "A"})
    assert circle.judged().charter.sites[key("L")].letter == "A"
    circle.grant_site("L1", "L", after=[wrong])
    assert circle.judged().charter.sites[key("L")].letter == "L"


def test_two_sites_with_one_letter_and_their_people_show_more_of_their_keys(circle: Circle) -> None:
    circle.grant_site("C1", "L", body={"letter": "T"})
    circle.name_person("T2")
    circle.name_person("L2")
    charter = circle.judged().charter
    assert charter.name_of(key("T")) == f"T-{key('T')[:4]}"
    assert charter.name_of(key("L")) == f"T-{key('L')[:4]}"
    assert charter.name_of(key("T2")) == f"T2-{key('T')[:4]}"
    assert charter.name_of(key("L2")) == f"L2-{key('L')[:4]}"
    assert charter.name_of(key("C2")) == "C2"


def test_a_site_that_names_its_people_by_another_letter_is_shown_beside_the_name(circle: Circle) -> None:
    circle.name_person("C3", by="T")
    assert circle.judged().charter.name_of(key("C3")) == f"C3-{key('T')[:4]}"


def test_two_keys_with_one_name_at_one_site_both_show_more_of_their_keys(circle: Circle) -> None:
    circle.say("C", "sync/person", {"key": key("T2"), "name": "C2", "role": "trainer"})
    charter = circle.judged().charter
    assert {charter.name_of(key("C2")), charter.name_of(key("T2"))} == {f"C2-{key('C2')[:4]}", f"C2-{key('T2')[:4]}"}


def test_an_unknown_key_is_named_by_its_beginning(circle: Circle) -> None:
    charter = circle.judged().charter
    assert charter.name_of(key(STRANGER)) == key(STRANGER)[:8]
    assert charter.site_of(key(STRANGER)) is None
    assert charter.roles_of(key(STRANGER)) == frozenset()


def test_bundles_are_taken_from_every_site_ever_granted_by_a_steward_and_from_myself(circle: Circle) -> None:
    circle.grant_site("C2", "L")  # C2 is no steward
    late = circle.grant_site("L1", "S", after=["ab" * 32])  # waits, yet it is a held grant
    circle.revoke("S1", "L1")
    circle.revoke("S1", "T")
    judgement = circle.judged()
    assert judgement.verdicts[late.id].state == "quarantined"
    assert set(sites_to_take(judgement, key("L"))) == {key("C"), key("T"), key("S"), key("L")}
    assert set(sites_to_take(judgement, key("C"))) == {key("C"), key("T"), key("S")}


def test_the_charter_is_a_canonical_value(circle: Circle) -> None:
    circle.grant_reviewer("C1", "C3", scope=("bed",))
    circle.grant_reviewer("L1", "C3", scope=("bed",))
    circle.revoke("L1", "C2")
    value = circle.judged().charter.as_value()
    assert value["reviewers"] == [{"key": key("C3"), "name": "C3", "scope": ["bed"], "site": key("C")}]
    assert value["revoked"] == [{"cuts": [[]], "key": key("C2")}]
    assert value["people"] == []
    assert [site["letter"] for site in value["sites"]] in (["C", "T"], ["T", "C"])
    assert value["versions"] == [{"name": circle.network.id, "version": 1}]
    again = judge(circle.network, KINDS, reversed(circle.said)).charter.as_value()
    assert canonical_bytes(value) == canonical_bytes(again)


def test_of_two_grants_that_do_not_answer_each_other_the_first_by_its_words_is_shown(circle: Circle) -> None:
    circle.grant_site("C1", "L")
    circle.grant_site("L1", "L", body={"letter": "A"})
    circle.grant_site("S1", "L", body={"letter": "Z"})
    assert circle.judged().charter.sites[key("L")].letter == "A"


def test_a_key_that_is_a_site_and_a_person_is_shown_as_the_site(circle: Circle) -> None:
    circle.say("C", "sync/person", {"key": key("T"), "name": "C5", "role": "trainer"})
    assert circle.judged().charter.name_of(key("T")) == "T"
    assert circle.judged().charter.roles_of(key("T")) == {"site", "trainer"}


@pytest.mark.parametrize("kind", ["sync/grant", "sync/person", "sync/revocation", "sync/stewards"])
@pytest.mark.parametrize("body", [{}, {"role": "reviewer"}, {"role": "site"}, {"role": "trainer", "name": "C5"}])
def test_a_body_that_lacks_its_fields_is_set_aside(circle: Circle, kind: str, body: dict[str, Any]) -> None:
    assert circle.state(circle.say("C" if kind == "sync/person" else "C1", kind, body)) == "quarantined"


def test_a_grant_of_a_reviewer_with_one_field_more_is_set_aside(circle: Circle) -> None:
    body = {"key": key("C3"), "name": "C3", "role": "reviewer", "scope": [], "site": key("C"), "until": "2027"}
    assert circle.state(circle.say("C1", "sync/grant", body)) == "quarantined"


@pytest.mark.parametrize("scope", [["pest", "bed"], ["bed", "bed"], "bed", [7]])
def test_a_scope_not_sorted_or_not_a_list_of_kinds_is_set_aside(circle: Circle, scope: object) -> None:
    body = {"key": key("C3"), "name": "C3", "role": "reviewer", "scope": scope, "site": key("C")}
    assert circle.state(circle.say("C1", "sync/grant", body)) == "quarantined"


def test_as_much_of_a_key_is_shown_as_tells_it_from_all_others_of_its_name() -> None:
    keys = ["abcd1" + "0" * 59, "abcd2" + "0" * 59, "ef" * 32]
    labels = Labels(letters=dict.fromkeys(keys, "T"), people={}, room=Memory())
    assert [labels[each] for each in keys] == ["T-abcd1", "T-abcd2", "T-efefe"]
