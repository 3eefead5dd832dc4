"""Our own words: signed here, and held to the same rules as a stranger's.

Not a form to fill in: the caller gives the body. One rule: nothing is signed into the store that every other site would
set aside; what only waits for a grant of this site, or for more voices, may be written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sync.charter import Verdict, judge_more
from sync.charter.forms import PERSON, REDACTION, STEWARDS
from sync.errors import LocalError
from sync.intake.bundles import Intake
from sync.shape import SALT_BYTES
from sync.statement import Statement, author_statement

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from sync.keys import SigningKey
    from sync.store import Store


def write(
    store: Store,
    *,
    key: SigningKey,
    kind: str,
    body: Mapping[str, Any],
    after: Iterable[str] = (),
    attachments: Iterable[str] = (),
    critical: Iterable[str] = (),
    time: str | None = None,
    random: Callable[[int], bytes],
    announce: Callable[[str], None] = lambda _id: None,
) -> Statement:
    """Say something at this site.

    Args:
        store: Where it goes; ``previous`` becomes the newest of this author's statements here that none follows.
        key: The author's.
        kind: For example ``fieldbook/edition``.
        body: What is said.
        after: Ids of what it answers, all of them held here.
        attachments: Ids of its files.
        critical: Names of body fields that a reader must understand.
        time: A claim for people, of the form ``2026-11-25T10:02:00Z``.
        random: Gives so many random bytes, for the salt.
        announce: Told the id of the statement when all is checked and nothing is kept yet, so that the caller can note
            what hangs on it before a power cut can come between; what it raises ends the writing.

    Returns:
        The statement, as it is now held.

    Raises:
        LocalError: The author may not say this, it answers what is not here, or its form is wrong; nothing is kept.
    """
    statement = author_statement(
        key=key,
        network_id=store.network.id,
        kind=kind,
        body=body,
        after=after,
        attachments=attachments,
        critical=critical,
        previous=store.last_of(key.public),
        time=time,
        salt=random(SALT_BYTES),
    )
    _require_say(store, statement)
    announce(statement.id)
    Intake(store).take_alone(statement)
    if kind == REDACTION:
        store.erase_redacted()
        store.remove_redacted_files()
    return statement


def _require_say(store: Store, statement: Statement) -> None:
    if statement.kind not in store.kinds and not statement.kind.startswith("sync/"):
        raise LocalError(
            f"{statement.kind} is no kind of statement that this software knows",
            hint="bring this site's software up to date",
        )
    verdict = judge_more(store.judgement, store.kinds, store, [statement]).verdicts[statement.id]
    if verdict.state == "accepted" or _may_wait(store, statement, verdict):
        return
    raise LocalError(
        f"{store.charter.name_of(statement.author)} cannot say {statement.kind} now: {verdict.reason}",
        hint="ask someone whose role it is; the page of people says who may do what",
    )


def _may_wait(store: Store, statement: Statement, verdict: Verdict) -> bool:
    """Whether a statement that waits may be written: what it waits for can still come, and not from its author."""
    if verdict.state != "waiting" or verdict.missing:
        return False
    if verdict.rule == "role":
        return _is_expected(store, statement)
    return verdict.rule in {"after", "voices", "site"}


def _is_expected(store: Store, statement: Statement) -> bool:
    """Whether the author would have the role once this site is granted, or a new version is in force."""
    if statement.kind == STEWARDS:
        return any(steward["key"] == statement.author for steward in (statement.body or {})["stewards"])
    expected = {"site" for joining in store.papers.joinings() if joining.site.key == statement.author}
    for person in store.shelf.of_kind(PERSON):
        waits = store.judgement.verdicts[person.id].state == "waiting"
        if waits and person.body is not None and person.body.get("key") == statement.author:
            expected.add(str(person.body.get("role")))
    rule = store.kinds.get(statement.kind)
    signers: frozenset[str] = frozenset(rule.signers) if rule is not None else frozenset({"site"})
    return not signers.isdisjoint(expected) or ("volunteer" in signers and bool(expected - {"site"}))
