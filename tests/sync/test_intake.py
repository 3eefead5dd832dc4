"""The one way into the store: strangers' bundles and our own words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from sync import KindRule, LocalError, RemoteError, SigningKey, Statement, Store, author_statement, check_store, write
from sync.bundle import Bundle, seal_bundle
from sync.charter import judge
from sync.intake import Intake
from tests.sync.camps import KINDS, Site, circle
from tests.sync.scene import LOG, key_of, salt_of

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

STRANGER = key_of("nobody here")


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return circle(tmp_path, "C")["C"]


def sealed(site: Site, *statements: Statement, number: int = 1, key: SigningKey | None = None) -> Bundle:
    """A bundle of the site T, from statements that no store has seen."""
    return seal_bundle(
        key=key or key_of("site T"),
        network_id=site.store.network.id,
        log=LOG,
        lane="text",
        number=number,
        previous=None if number == 1 else "0" * 64,
        statements=statements,
    )


def said(
    site: Site, number: int, *, network_id: str | None = None, size: int = 10, after: Iterable[str] = ()
) -> Statement:
    """A statement of C1 that the site has not seen."""
    return author_statement(
        key=key_of("C1"),
        network_id=network_id or site.store.network.id,
        kind="garden/edition",
        body={"text": f"{number:010}".rjust(size, "x")},
        after=after,
        salt=salt_of(number),
    )


def take(site: Site, *bundles: Bundle) -> Intake:
    intake = Intake(site.store)
    for bundle in bundles:
        intake.take(bundle)
    intake.commit()
    return intake


def state_of(site: Site, statement: Statement) -> str | None:
    verdict = site.store.verdict(statement.id)
    return None if verdict is None else verdict.state


# strangers' bundles


def test_a_bundle_is_taken_with_all_that_is_in_it(site: Site) -> None:
    statements = [said(site, number) for number in range(3)]
    intake = take(site, sealed(site, *statements))
    assert set(intake.added) == {each.id for each in statements}
    assert intake.bundles == 1
    assert {state_of(site, each) for each in statements} == {"accepted"}
    assert check_store(site.store) == ()


def test_taking_a_bundle_twice_changes_nothing(site: Site) -> None:
    bundle = sealed(site, said(site, 1))
    take(site, bundle)
    before = site.store.set_hash(), site.store.count(), len(list(site.store.bundles.listed()))
    again = take(site, bundle, bundle)
    assert (len(again.added), len(again.supplied), again.bundles) == (0, 0, 0)
    assert (site.store.set_hash(), site.store.count(), len(list(site.store.bundles.listed()))) == before


def test_one_false_signature_keeps_the_whole_copy_out(site: Site) -> None:
    good, other = said(site, 1), said(site, 2)
    forged = replace(other, signature=good.signature)
    before = site.store.set_hash()
    with pytest.raises(RemoteError, match="signature of statement"):
        take(site, sealed(site, good, forged))
    assert site.store.set_hash() == before
    assert state_of(site, good) is None


def test_a_statement_signed_for_another_network_is_kept_out(site: Site) -> None:
    with pytest.raises(RemoteError, match="does not hold"):
        take(site, sealed(site, said(site, 1, network_id="0" * 64)))


def test_a_bundle_that_its_site_did_not_sign_is_kept_out(site: Site) -> None:
    bundle = sealed(site, said(site, 1))
    with pytest.raises(RemoteError, match="signature of site"):
        take(site, replace(bundle, signature=bundle.signature[::-1]))
    assert list(site.store.bundles.listed()) == []


def test_a_held_bundle_or_statement_under_another_signature_is_verified_again(site: Site) -> None:
    statement = said(site, 1)
    bundle = sealed(site, statement)
    take(site, bundle)
    with pytest.raises(RemoteError, match="signature of site"):
        take(site, replace(bundle, signature=bytes(64)))
    with pytest.raises(RemoteError, match="signature of statement"):
        take(site, replace(bundle, statements=(replace(statement, signature=bytes(64)),)))


def test_what_was_verified_once_is_not_verified_again(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    bundle = sealed(site, said(site, 1), said(site, 2))
    take(site, bundle)

    def never(*_: object) -> None:
        raise AssertionError("verified again")

    monkeypatch.setattr(Statement, "verify", never)
    monkeypatch.setattr(Bundle, "verify", never)
    take(site, bundle)


def test_a_statement_in_two_bundles_is_kept_once_and_in_both(site: Site) -> None:
    statement = said(site, 1)
    first, second = sealed(site, statement), sealed(site, statement, said(site, 2), number=2)
    intake = take(site, first, second)
    assert intake.bundles == 2
    assert len(intake.added) == 2
    assert site.store.bundles.holding_any([statement.id]) == {first.id, second.id}


def test_two_bundles_with_one_number_are_both_kept(site: Site) -> None:
    take(site, sealed(site, said(site, 1)), sealed(site, said(site, 2)))
    assert [(each.number, each.length) for each in site.store.bundles.listed()] == [(1, 1), (1, 1)]


def test_a_lacking_body_is_supplied_by_another_copy_and_changes_the_hash(site: Site) -> None:
    whole = sealed(site, said(site, 1), said(site, 2))
    bare = replace(whole, statements=tuple(each.without_body() for each in whole.statements))
    half = replace(whole, statements=(whole.statements[0], whole.statements[1].without_body()))
    names = [each.id for each in whole.statements]
    take(site, bare)
    assert site.store.lacking() == set(names)
    hashes = [site.store.set_hash()]
    assert list(take(site, half).supplied) == [names[0]]
    hashes.append(site.store.set_hash())
    assert list(take(site, whole).supplied) == [names[1]]
    hashes.append(site.store.set_hash())
    assert len(set(hashes)) == 3
    assert site.store.lacking() == set()
    (held,) = site.store.bundles.listed()
    assert (held.absent, site.store.bundles.copy(held.row)) == (0, whole)


def test_a_body_that_arrives_late_may_give_a_role(tmp_path: Path) -> None:
    sites = circle(tmp_path, "CT")
    statements = tuple(sites["C"].store.statements())
    whole = sealed(sites["T"], *statements, key=key_of("site C"))
    bare = replace(whole, statements=tuple(each.without_body() for each in statements))
    take(sites["T"], bare)
    assert "T" not in [site.letter for site in sites["T"].store.charter.sites.values()]
    take(sites["T"], whole)
    assert "T" in [site.letter for site in sites["T"].store.charter.sites.values()]
    everything = list(sites["T"].store.statements())
    assert (
        sites["T"].store.judgement.verdicts
        == judge(sites["T"].store.network, sites["T"].store.kinds, everything).verdicts
    )


def test_a_transaction_is_written_at_every_thousandth_statement(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sync.intake.bundles.TRANSACTION_STATEMENTS", 3)
    intake = Intake(site.store)
    counts = []
    for number in range(1, 6):
        intake.take(sealed(site, said(site, number), number=number))
        counts.append(site.store.count())
    intake.commit()
    assert [*counts, site.store.count()] == [1, 1, 4, 4, 4, 6]


def test_large_bodies_are_written_sooner_since_they_lie_in_memory(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    small, large = said(site, 1), said(site, 2, size=6000)
    monkeypatch.setattr("sync.intake.bundles.TRANSACTION_BYTES", small.size + large.size)
    intake = Intake(site.store)
    intake.take(sealed(site, small))
    assert site.store.count() == 1
    intake.take(sealed(site, large, number=2))
    assert site.store.count() == 3


def test_a_body_that_comes_with_a_later_copy_of_one_taking_in_is_supplied(site: Site) -> None:
    whole = sealed(site, said(site, 1), said(site, 2))
    bare = replace(whole, statements=tuple(each.without_body() for each in whole.statements))
    intake = take(site, bare, whole, whole)
    assert (set(intake.supplied), intake.bundles) == ({each.id for each in whole.statements}, 1)
    assert site.store.lacking() == set()
    assert check_store(site.store) == ()


def test_a_full_disk_undoes_the_transaction_under_way_and_nothing_before(site: Site) -> None:
    take(site, sealed(site, said(site, 1)))
    database = site.store._database
    database.run(f"PRAGMA max_page_count = {database.row('PRAGMA page_count')[0] + 2}")
    before = site.store.set_hash()
    with pytest.raises(LocalError, match="disk under this site's store is full"):
        take(site, sealed(site, *(said(site, number, size=5000) for number in range(2, 20)), number=2))
    assert site.store.set_hash() == before
    database.run("PRAGMA max_page_count = 1000000")
    take(site, sealed(site, said(site, 2), number=2))
    assert check_store(site.store) == ()


# our own words


def test_what_is_written_is_held_and_follows_the_authors_last(site: Site) -> None:
    first = site.edition("1", time="2026-11-25T10:02:00Z")
    second = site.edition("2", after=[first.id], critical=["text"])
    assert site.store.get(second.id) == second
    assert (second.previous, second.after, second.critical) == (first.id, (first.id,), ("text",))
    assert state_of(site, second) == "accepted"


@pytest.mark.parametrize(
    ("key", "kind", "body", "sentence"),
    [
        (STRANGER, "garden/edition", {}, "no role yet"),
        (key_of("C2"), "garden/edition", {}, "C2 cannot say garden/edition"),
        (key_of("C2"), "garden/approval", {}, "no role yet"),
        (key_of("C1"), "garden/approval", {}, "C1 cannot say garden/approval"),
        (key_of("site C"), "garden/edition", {}, "C cannot say garden/edition"),
        (key_of("C2"), "sync/grant", {"key": STRANGER.public, "letter": "X", "name": "X", "role": "site"}, "no role"),
        (STRANGER, "sync/person", {"key": STRANGER.public, "name": "X1", "role": "trainer"}, "no role"),
        (STRANGER, "sync/stewards", {"version": 2}, "cannot say sync/stewards"),
        (key_of("C1"), "garden/unheard-of", {}, "no kind of statement that this software knows"),
        (key_of("C1"), "sync/grant", {"key": STRANGER.public, "role": "site"}, "grant"),
    ],
)  # fmt: skip
def test_an_author_may_not_say_what_their_roles_do_not_allow_and_nothing_is_kept(
    site: Site, key: SigningKey, kind: str, body: dict[str, object], sentence: str
) -> None:
    site.introduce("C2", "volunteer")
    before = site.store.set_hash()
    with pytest.raises(LocalError, match=sentence):
        site.say(kind, dict(body), key=key)
    assert site.store.set_hash() == before


def test_what_answers_something_that_is_not_here_is_not_written(site: Site) -> None:
    with pytest.raises(LocalError, match="not here yet"):
        site.edition(after=["0" * 64])


def test_a_body_outside_the_profile_is_not_written(site: Site) -> None:
    with pytest.raises(LocalError):
        site.say("garden/edition", {"litres": 0.25})


def test_a_site_that_waits_for_its_grant_may_write_but_not_above_its_roles(tmp_path: Path) -> None:
    site = circle(tmp_path, "CT")["T"]
    edition = site.edition()
    assert state_of(site, edition) == "waiting"
    assert state_of(site, site.edition("2", after=[edition.id])) == "waiting"
    assert state_of(site, site.say("garden/report", {}, key=key_of("site T"))) == "waiting"
    with pytest.raises(LocalError, match="no role yet"):
        site.say("garden/approval", {}, after=[edition.id])
    with pytest.raises(LocalError, match="no role yet"):
        site.say("garden/report", {}, key=STRANGER)


def test_what_any_person_vouched_for_may_say_waits_with_the_grant_and_is_not_for_the_site_itself(
    tmp_path: Path,
) -> None:
    site = circle(tmp_path, "CT")["T"]
    site.kinds = (*KINDS, KindRule("garden/question", "text", frozenset({"volunteer"})))
    site.store.close()
    site.reopen()
    assert state_of(site, site.say("garden/question", {})) == "waiting"
    for key in (site.key, STRANGER):
        with pytest.raises(LocalError, match="cannot say garden/question"):
            site.say("garden/question", {}, key=key)


def test_one_voice_of_several_may_be_written_and_waits(tmp_path: Path) -> None:
    site = circle(tmp_path, "C")["C"]
    stewards = sorted(
        ({"key": key_of(name).public, "name": name, "site": site.key.public} for name in ("C1", "C4", "C5")),
        key=lambda steward: steward["key"],
    )
    body: dict[str, Any] = {"version": 2, "stewards": stewards, "threshold": 2, "before": {}}
    voice = site.say("sync/stewards", body)
    assert state_of(site, voice) == "waiting"
    assert state_of(site, site.say("sync/stewards", body, key=key_of("C4"))) == "accepted"
    assert len(site.store.charter.stewards) == 3
    grant = {"key": key_of("C1").public, "name": "C1", "role": "reviewer", "scope": [], "site": site.key.public}
    assert state_of(site, site.say("sync/grant", grant, key=key_of("C4"))) == "waiting"


def test_our_own_redaction_acts_at_once(site: Site) -> None:
    edition = site.edition()
    site.say("sync/redaction", {}, after=[edition.id])
    held = site.store.get(edition.id)
    assert held is not None
    assert held.body is None
    assert site.store.redacted() == {edition.id}


def test_an_unknown_kind_is_kept_byte_for_byte(site: Site) -> None:
    newer = author_statement(
        key=key_of("C1"),
        network_id=site.store.network.id,
        kind="garden/tasting",
        body={"new": "field"},
        salt=salt_of(1),
    )
    bundle = sealed(site, newer)
    take(site, bundle)
    (held,) = site.store.bundles.listed()
    assert site.store.bundles.copy(held.row).to_bytes() == bundle.to_bytes()
    with pytest.raises(LocalError, match="no kind"):
        write(site.store, key=key_of("C1"), kind="garden/tasting", body={}, random=site.chance.randbytes)
    site.store.close()
    knowing = Store.open(site.file, (*KINDS, KindRule("garden/tasting", "text", frozenset({"trainer"}))))
    verdict = knowing.verdict(newer.id)
    assert verdict is not None
    assert verdict.state == "accepted"
    knowing.close()
