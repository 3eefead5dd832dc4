"""What would come of something, before anybody has said it.

Not a way to say anything: what is supposed is unsigned, is judged in memory, and is gone with the answer. One rule: the
answer is that of `judge` itself, so that a page that warns of what follows cannot be wrong about it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sync.canonical import canonical_bytes
from sync.charter.judgement import judge_more
from sync.shape import SALT_BYTES
from sync.statement import VERSION, body_commitment, read_statement

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sync.charter.held import HeldSet
    from sync.charter.judgement import Judgement
    from sync.statement import KindRule, Statement

_NO_SIGNATURE = bytes(64)


@dataclass(frozen=True)
class Supposed:
    """Something that a key might say.

    Attributes:
        author: The key.
        kind: For example ``sync/revocation``.
        body: What would be said.
        after: The ids that it would answer.
        previous: The author's last statement.
    """

    author: str
    kind: str
    body: Mapping[str, Any]
    after: tuple[str, ...] = ()
    previous: str | None = None


def suppose(judgement: Judgement, kinds: Mapping[str, KindRule], known: HeldSet, said: Iterable[Supposed]) -> Judgement:
    """The judgement of what is known together with what is supposed.

    Args:
        judgement: That of the statements known.
        kinds: The table of kinds.
        known: Finds the statements known; nothing is added to it.
        said: What is supposed.

    Raises:
        RemoteError: Something supposed has not the form of a statement.
    """
    return judge_more(judgement, kinds, known, [_unsigned(each) for each in said])


def _unsigned(supposed: Supposed) -> Statement:
    body_bytes = canonical_bytes(dict(supposed.body))
    salt = bytes(SALT_BYTES)
    header = {
        "after": sorted(set(supposed.after)),
        "attachments": [],
        "author": supposed.author,
        "body": body_commitment(salt, body_bytes),
        "critical": [],
        "kind": supposed.kind,
        "previous": supposed.previous,
        "size": len(body_bytes),
        "time": None,
        "v": VERSION,
    }
    return read_statement(canonical_bytes(header), body_bytes, salt, _NO_SIGNATURE)
