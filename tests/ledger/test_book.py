"""The ledger: words go in by the same door as a stranger's, and everything about them is asked of the store alone."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.ledger import KINDS, Ledger, LedgerError, key_from_file, lock_key, make_key, unlock_key
from tests.orrendal import practice, steward
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def ledger_of(circle: Circle, letter: str) -> Ledger:
    ledger = circle[letter].ledger
    assert ledger is not None
    return ledger


def say(circle: Circle, label: str, kind: str, body: dict[str, Any], **parts: Any) -> str:
    site = circle[label[0]]
    return ledger_of(circle, label[0]).say(
        circle.keys[label], kind, body, time=site.claimed_time(), random=site.random, **parts
    )


def test_the_table_of_kinds_is_that_of_the_design() -> None:
    """DEVELOPERS.md and the statement kinds of the design: what stops harm is urgent."""
    urgent = {rule.name.partition("/")[2] for rule in KINDS if rule.lane == "urgent"}
    assert urgent == {"recall", "lifting", "acknowledgement"}
    signers = {rule.name.partition("/")[2]: rule.signers for rule in KINDS}
    assert signers["approval"] == signers["recall"] == signers["retirement"] == {"reviewer"}
    assert signers["edition"] == signers["translation"] == signers["read-back"] == {"trainer", "reviewer"}
    assert signers["lifting"] == {"reviewer", "steward"}
    assert signers["hold"] == {"trainer", "reviewer", "site"}
    assert signers["site"] == signers["acknowledgement"] == {"site"}
    assert "volunteer" in signers["trial"] & signers["report"]


def test_what_is_said_is_there_with_all_its_parts(circle: Circle) -> None:
    ledger = ledger_of(circle, "C")
    file = ledger.keep_attachment(b"a drawing")
    first = say(circle, "C1", "fieldbook/edition", practice())
    second = say(circle, "C1", "fieldbook/edition", practice("Next"), after=[first], attachments=[file])
    said = ledger.said(second)
    assert said is not None
    assert (said.id, said.kind, said.author) == (second, "fieldbook/edition", circle.keys["C1"].public)
    assert (said.after, said.attachments, said.depth, said.stands) == ((first,), (file,), 1, "accepted")
    assert (said.time, said.critical) == ("2026-11-25T12:00:00Z", ())
    assert said.body == practice("Next")
    assert [one.id for one in ledger.all_said()][-1] == second
    assert ("fieldbook/edition", practice("Next")) in ledger.said_by(circle.keys["C1"].public)
    assert ledger.said("0" * 64) is None


@pytest.mark.parametrize(
    ("label", "kind", "parts", "words"),
    [
        ("T1", "fieldbook/approval", {}, "T1 cannot say fieldbook/approval"),
        ("C1", "fieldbook/edition", {"after": ["0" * 64]}, "cannot say fieldbook/edition"),
        ("C1", "fieldbook/poem", {}, "is no kind of statement that this software knows"),
        ("C1", "fieldbook/edition", {"body": {"share": 0.25}}, "0.25|float|decimal|whole"),
        ("C1", "fieldbook/edition", {"body": {"a b": 1}}, "is no name of a field"),
        ("C1", "fieldbook/edition", {"body": {"title": "x" * 300_000}}, "262144|256|bytes"),
    ],
)
def test_what_may_not_be_said_is_refused_in_one_sentence_and_leaves_nothing(
    circle: Circle, label: str, kind: str, parts: dict[str, Any], words: str
) -> None:
    ledger = ledger_of(circle, label[0])
    before = (ledger.count(), ledger.set_hash())
    body = parts.pop("body", practice())
    with pytest.raises(LedgerError, match=words) as refusal:
        say(circle, label, kind, body, **parts)
    assert "\n" not in refusal.value.message
    assert (ledger.count(), ledger.set_hash()) == before


def test_who_may_say_what_is_asked_before_anything_is_prepared(circle: Circle) -> None:
    ledger = ledger_of(circle, "C")
    ledger.check_may_say(circle.keys["C3"], "fieldbook/approval")
    with pytest.raises(LedgerError, match="C1 may not say “approval” here") as refusal:
        ledger.check_may_say(circle.keys["C1"], "fieldbook/approval")
    assert refusal.value.hint == "it takes a reviewer"


def test_roles_labels_and_letters_are_those_of_the_network(circle: Circle) -> None:
    ledger = ledger_of(circle, "S")
    assert ledger.roles_of(circle.keys["L2"].public) == {"reviewer", "trainer"}
    assert ledger.roles_of(circle.keys["S1"].public) == {"steward", "trainer"}
    assert ledger.label(circle.keys["L2"].public) == "L2"
    assert ledger.letter_of(circle.keys["L2"].public) == "L"
    assert ledger.label(circle["T"].site_key.public) == "T"
    stranger = make_key(seeded("a stranger")).public
    assert ledger.roles_of(stranger) == frozenset()
    assert ledger.letter_of(stranger) == "?"
    assert ledger.is_granted(circle["T"].site_key.public)
    assert not ledger.is_granted(stranger)
    assert ledger.network_title == "Orrendal Garden Circle"
    assert len({ledger_of(circle, letter).network_id for letter in "CTLS"}) == 1


def test_a_scope_limits_a_reviewer_to_kinds_of_entries(circle: Circle) -> None:
    ledger = ledger_of(circle, "C")
    site = circle["C"]
    for label in ("C1", "L1"):
        site.ledger = ledger
        body = {"key": circle.keys["T1"].public, "name": "T1", "role": "reviewer", "scope": ["compost"]}
        body["site"] = circle["T"].site_key.public
        ledger.say(circle.keys[label], "sync/grant", body, time=None, random=site.random)
    site.refresh()
    assert ledger.reviewer_scope(circle.keys["T1"].public) == ("compost",)
    assert ledger.reviewer_scope(circle.keys["C3"].public) == ()
    assert {"label": "T1", "letter": "T", "scope": ["compost"]} in ledger.who()["reviewers"]
    circle.write("C1", practice())
    circle.carry("CT")
    (edition,) = circle["T"].view.entries()
    with pytest.raises(FieldbookError, match="decides on compost only"):
        circle.approve("T1", edition)


def test_an_attachment_is_given_out_only_where_a_statement_names_it(circle: Circle) -> None:
    ledger = ledger_of(circle, "C")
    unnamed, named = ledger.keep_attachment(b"nobody names it"), ledger.keep_attachment(b"a drawing")
    assert named == hashlib.sha256(b"a drawing").hexdigest()
    edition = say(circle, "C1", "fieldbook/edition", practice(), attachments=[named])
    assert ledger.attachment(unnamed) is None
    assert ledger.attachment(named) == b"a drawing"
    assert ledger.attachment("../../site.key") is None
    circle.carry("CT")
    assert ledger_of(circle, "T").attachment(named) == b"a drawing"
    assert ledger_of(circle, "T").attachment(unnamed) is None
    say(circle, "C1", "sync/redaction", {}, after=[edition], attachments=[named])
    assert ledger.attachment(named) is None


def test_a_second_steward_joins_the_body_that_the_first_stated(circle: Circle) -> None:
    stewards = [steward(circle, label) for label in ("C1", "S1")]
    first = circle["C"].state_stewards(stewards, threshold=2, signer=circle.signer("C1"))
    circle.carry("CSL")
    second = circle["S"].state_stewards(list(reversed(stewards)), threshold=2, signer=circle.signer("S1"))
    circle.carry("SCTLS")
    said = [ledger_of(circle, "C").said(name) for name in (first, second)]
    assert said[0] is not None
    assert said[1] is not None
    assert (said[0].body, said[0].after) == (said[1].body, said[1].after)
    for letter in "CTLS":
        who = ledger_of(circle, letter).who()
        assert [one["label"] for one in sorted(who["stewards"], key=lambda one: one["label"])] == ["C1", "S1"]
        assert who["rivals"] == []


def test_rival_stewards_are_named_as_an_alarm_until_a_version_answers_both(circle: Circle) -> None:
    """C1 and L1 state one next version, L1 and S1 another, at sites that do not meet in between."""
    west, east = circle.new_stick("west"), circle.new_stick("east")
    for pair, stick, threshold in (("CL", west, 2), ("SL", east, 3)):
        stewards = [steward(circle, label) for label in ("C1", "L1", "S1")]
        if threshold == 2:
            stewards = stewards[:2]
        for letter in pair:
            site = circle[letter]
            site.state_stewards(stewards, threshold=threshold, signer=circle.signer(f"{letter}1"))
            site.exchange(stick)
        circle.carry(pair, stick)
    circle.carry("CTLSCTLS")
    alarms = [ledger_of(circle, letter).who()["rivals"] for letter in "CTLS"]
    assert all(alarm == alarms[0] for alarm in alarms)
    assert len(circle.states()) == 1


def test_keys_open_with_their_passphrase_and_with_nothing_else() -> None:
    key = make_key(seeded("C1"))
    locked = lock_key(key, "lantern-gravel", random=seeded("salt"))
    assert unlock_key(locked, "lantern-gravel").public == key.public
    assert key.seed.hex() not in locked
    for wrong in ("lantern-grave", "Lantern-gravel", ""):
        with pytest.raises(LedgerError, match="passphrase"):
            unlock_key(locked, wrong)


def test_a_sites_key_file_is_read_or_refused_with_a_hint(tmp_path: Path) -> None:
    file = tmp_path / "site.key"
    key = make_key(seeded("site C"))
    file.write_text(key.seed.hex() + "\n", encoding="ascii")
    assert key_from_file(file).public == key.public
    for spoiled in ("", "0" * 63, "no key at all", "é" * 32):
        file.write_text(spoiled, encoding="utf-8")
        with pytest.raises(LedgerError, match=r"site\.key cannot be read") as refusal:
            key_from_file(file)
        assert "backup" in refusal.value.hint
    file.unlink()
    with pytest.raises(LedgerError, match="cannot be read"):
        key_from_file(file)


def test_words_of_a_key_are_compared_however_they_are_spoken(circle: Circle) -> None:
    words = Ledger.words(circle["T"].site_key.public)
    assert Ledger.same_words(circle["T"].site_key.public, f"  {words.upper().replace(' ', '   ')} ")
    assert not Ledger.same_words(circle["L"].site_key.public, words)
    assert not Ledger.same_words(circle["T"].site_key.public, " ".join(words.split()[:-1]))


def test_problems_of_the_store_are_named_with_their_place(circle: Circle) -> None:
    ledger = ledger_of(circle, "C")
    file = ledger.keep_attachment(b"a drawing")
    circle.write("C1")
    say(circle, "C1", "fieldbook/edition", practice("With a drawing"), attachments=[file])
    assert ledger.problems() == []
    path = next(circle.place("C").glob(f"attachments/*/{file}"))
    path.chmod(0o600)
    path.write_bytes(b"another drawing")
    (problem,) = ledger.problems()
    assert problem.startswith(file)
    assert "not what its name says" in problem
    path.unlink(missing_ok=True)
    assert ledger.problems() == []  # one that is not here is wanted, not a problem
