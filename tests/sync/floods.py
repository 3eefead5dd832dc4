"""Very much that one key says: what waits, is set aside, gives no role, or is taken back.

Not what is made of it. One rule: each flood is a stream, so that whoever takes it in decides how much lies in memory.
"""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync.statement import author_statement
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from sync import Statement
    from tests.sync.camps import Site

AWAY = "ab" * 32  # is held nowhere


def reports(site: Site, count: int) -> Iterator[Statement]:
    """So many reports, one after the other, against which nothing is to be said."""
    return said_by("T1", site, count, "garden/report", chained=True)


def waits(site: Site, count: int) -> Iterator[Statement]:
    """So many reports that answer what is not here."""
    return said_by("T1", site, count, "garden/report", after=[AWAY])


def has_no_role(site: Site, count: int) -> Iterator[Statement]:
    """So many by a key that nobody has named."""
    return said_by("a stranger", site, count, "garden/report")


def is_set_aside(site: Site, count: int) -> Iterator[Statement]:
    """So many by a key that is stopped."""
    site.say("sync/revocation", {"key": key_of("T1").public, "last": []})
    return reports(site, count)


def is_before_the_cut(site: Site, count: int) -> Iterator[Statement]:
    """So many by a key that is stopped, each of them before the cut."""
    last = ""
    for each in reports(site, count):
        last = each.id
        yield each
    site.say("sync/revocation", {"key": key_of("T1").public, "last": [last]})


def names_stewards(site: Site, count: int) -> Iterator[Statement]:
    """So many lists of stewards, each another, that nobody but their author has said."""
    own = {"key": key_of("T1").public, "site": site.key.public}
    return said_by("T1", site, count, "sync/stewards", body=lambda number: {
        "before": {}, "stewards": [own | {"name": f"T{number % 9_999 + 1}"}], "threshold": 1, "version": 2,
    })  # fmt: skip


def stops_whom_it_may_not(site: Site, count: int) -> Iterator[Statement]:
    """So many revocations by somebody who may stop nobody."""
    return said_by("T1", site, count, "sync/revocation", body=lambda _: {"key": site.key.public, "last": []})


def takes_back(site: Site, count: int) -> Iterator[Statement]:
    """So many reports of which every one is taken back."""
    for each in said_by("T1", site, count // 2, "garden/report"):
        yield each
        yield from said_by("T1", site, 1, "sync/redaction", after=[each.id])


def names_people(site: Site, count: int) -> Iterator[Statement]:
    """So many people, each with a key of their own, whom a site names."""
    return said_by(f"site {site.letter}", site, count, "sync/person", body=lambda number: {
        "key": one_of_many(number), "name": f"{site.letter}{number % 9_999 + 1}", "role": "volunteer",
    })  # fmt: skip


def shows_one_file(site: Site, count: int) -> Iterator[Statement]:
    """So many reports with one file by as many keys, of which two take it back."""
    for number in range(count - 2):
        yield from said_by(f"one of many {number}", site, 1, "garden/report", attachments=[AWAY])
    for number in range(2):
        yield from said_by(f"one of many {number}", site, 1, "sync/redaction", attachments=[AWAY])


def names_one_again(site: Site, count: int) -> Iterator[Statement]:
    """One person whom a site names so many times, each time otherwise."""
    return said_by(f"site {site.letter}", site, count, "sync/person", body=lambda number: {
        "key": one_of_many(0), "name": f"{site.letter}{number % 9_999 + 1}", "role": "volunteer",
    })  # fmt: skip


def lets_sites_in(site: Site, count: int) -> Iterator[Statement]:
    """So many sites that the one steward lets in."""
    return said_by("C1", site, count, "sync/grant", body=lambda number: {
        "key": one_of_many(number), "letter": "X", "name": "Thornpan", "role": "site",
    })  # fmt: skip


def makes_reviewers(site: Site, count: int) -> Iterator[Statement]:
    """So many reviewers whom the one steward makes, half of them for some kinds alone."""
    return said_by("C1", site, count, "sync/grant", body=lambda number: {
        "key": one_of_many(number), "name": f"C{number % 9_999 + 1}", "role": "reviewer", "scope": ["pest"][number % 2:],
        "site": key_of("site C").public,
    })  # fmt: skip


def one_of_many(number: int) -> str:
    """A key of which nobody needs more than the public half."""
    return sha256(b"one of many %d" % number).hexdigest()


def said_by(
    name: str, site: Site, count: int, kind: str, *, chained: bool = False, after: Sequence[str] = (),
    attachments: Sequence[str] = (), body: Callable[[int], dict[str, Any]] = lambda number: {"n": number},
) -> Iterator[Statement]:  # fmt: skip
    """So many statements by one key."""
    previous = None
    for number in range(count):
        said = author_statement(
            key=key_of(name), network_id=site.store.network.id, kind=kind, body=body(number), after=after,
            attachments=attachments, previous=previous, salt=site.chance.randbytes(16),
        )  # fmt: skip
        previous = said.id if chained else None
        yield said
