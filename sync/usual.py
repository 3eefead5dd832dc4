"""Headers and proofs of the usual form, recognised in one look instead of being parsed and spelled again.

Not a second set of rules. One rule: what is recognised here reads exactly as the general way reads it, and everything
else is left to that way, with its errors; so nothing depends on which of the two has read a statement.
"""

from __future__ import annotations

import re
from binascii import a2b_base64
from dataclasses import dataclass

from sync.limits import AFTER_MAX, ATTACHMENTS_MAX

_ID = '"[0-9a-f]{64}"'
_HEADER = re.compile(
    rf'(\{{"after":\[((?:{_ID}(?:,{_ID}){{0,{AFTER_MAX - 1}}})?)\],'
    rf'"attachments":\[((?:{_ID}(?:,{_ID}){{0,{ATTACHMENTS_MAX - 1}}})?)\],"author":"([0-9a-f]{{64}})",)'
    rf'("critical":\[\],"kind":"([a-z/-]+)","previous":(null|{_ID}),)'
    r'("time":(null|"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z"),"v":1\})'
)
_PROOF = re.compile(  # 16 and 64 bytes leave four bits of the last letter over, which are zero in the one spelling
    r'\["([A-Za-z0-9+/]{21}[AQgw]==)","([A-Za-z0-9+/]{85}[AQgw]==)"\]'
)


@dataclass(frozen=True, slots=True)
class UsualHeader:
    """A header of the usual form that stands beside its body, and so leaves out what is recomputed from it.

    Attributes:
        author: 64 hex.
        kind: Small letters, ``/`` and ``-``.
        after: Ids, sorted.
        attachments: Ids, sorted.
        previous: An id, or None.
        claimed: The time as claimed, or None.
        pieces: The text, cut where ``body`` and where ``size`` belong.
    """

    author: str
    kind: str
    after: tuple[str, ...]
    attachments: tuple[str, ...]
    previous: str | None
    claimed: str | None
    pieces: tuple[str, str, str]

    @property
    def text(self) -> str:
        """The header as it was sent."""
        return "".join(self.pieces)

    def whole(self, commitment: str, size: int) -> bytes:
        """The canonical header with what is recomputed.

        Args:
            commitment: To the body, 64 hex.
            size: Of the body [bytes].
        """
        start, middle, end = self.pieces
        return f'{start}"body":"{commitment}",{middle}"size":{size},{end}'.encode()


def usual_header(text: str, at: int) -> tuple[UsualHeader, int] | None:
    """A header of the usual form that begins at a place of a text, and where it ends; None where there is none."""
    found = _HEADER.match(text, at)
    if found is None:
        return None
    start, after, attachments, author, middle, kind, previous, end, claimed = found.groups()
    ids, files = _ids(after), _ids(attachments)
    if not (_ascends(ids) and _ascends(files)):
        return None
    parts = kind, ids, files, _unquoted(previous), _unquoted(claimed)
    return UsualHeader(author, *parts, (start, middle, end)), found.end()


def usual_proof(text: str, at: int) -> tuple[tuple[bytes, bytes], int] | None:
    """A salt and a signature that begin at a place of a text, and where they end; None where they do not."""
    found = _PROOF.match(text, at)
    return found and ((a2b_base64(found[1]), a2b_base64(found[2])), found.end())


def _ids(text: str) -> tuple[str, ...]:
    return tuple(text[1:-1].split('","')) if text else ()


def _unquoted(text: str) -> str | None:
    return None if text == "null" else text[1:-1]


def _ascends(ids: tuple[str, ...]) -> bool:
    return len(ids) < 2 or all(ids[i] < ids[i + 1] for i in range(len(ids) - 1))
