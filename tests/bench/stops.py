"""How long pages of what is withdrawn and what waits take where much is withdrawn, and how long a withdrawal takes to act.

The floor of a page is the same bytes ready-made; that of the withdrawals, only keeping their statements.
"""

from __future__ import annotations

import time
from random import Random
from typing import TYPE_CHECKING

from fieldbook.practices import likenesses
from fieldbook.web import create_app
from fieldbook.web.here import EXTENSION, SITTING
from sync import author_statement
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.garden import garden
from tests.bench.pages import page_figure

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from flask.testing import FlaskClient

    from fieldbook.site import Site
    from tests.orrendal import Circle

SHARE = 10  # one entry in so many is withdrawn


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Withdraw a tenth of many entries, and ask for the pages that tell of it, signed in as a reviewer."""
    with garden(size.entries) as circle:
        site = circle["C"]
        stopped = site.view.entries()[: max(1, size.entries // SHARE)]
        yield _withdrawn(circle, site, stopped)
        client, among = (
            _signed_in(circle, site),
            f"{number(len(stopped))} of {number(len(site.view.entries()))} withdrawn",
        )
        other = site.view.entries()[-1]
        pages = {"what is withdrawn": "/withdrawn/", "a notice": f"/entry/{stopped[0]}", "what waits": "/review/"}
        for name, path in (pages | {"reviewing one edition": f"/review/{other}"}).items():
            yield page_figure(f"{name}, {among}", client, path, size)


def _withdrawn(circle: Circle, site: Site, entries: tuple[str, ...]) -> Figure:
    store, chance = site.need_ledger()._store, Random(9)
    key, said = circle.keys["C3"], []
    last = store.last_of(key.public)
    for entry in entries:
        found = site.need_ledger().said(entry)
        marks = sorted(likenesses(None if found is None else found.body))
        body = {"harm": "A child was sick.", "now": "Pour it away.", "instead": "Use soap.", "likenesses": marks}
        one = author_statement(
            key=key,
            network_id=store.network.id,
            kind="fieldbook/recall",
            body=body,
            after=(entry,),
            previous=last,
            salt=chance.randbytes(16),
        )
        said.append(one)
        last = one.id
    begun = time.process_time()
    with store.transaction():
        store.add(said, sealed=False)
    kept = time.process_time()
    site.refresh_view()
    done = time.process_time()
    what = f"{number(len(entries))} withdrawals until all of them act"
    return Figure(
        what, f"{seconds(kept - begun)}: keeping them", seconds(done - begun), times(done - begun, kept - begun)
    )


def _signed_in(circle: Circle, site: Site) -> FlaskClient:
    app = create_app(site)
    client = app.test_client()
    with client.session_transaction() as session:
        session[SITTING] = app.extensions[EXTENSION]["sittings"].begin(circle.signer("C3"))
    return client
