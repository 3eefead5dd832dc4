"""What each site holds: what would be lost with this laptop, who has which edition, and how much is stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import Notice
from fieldbook.web.here import KEEPERS, need_signer, reader_languages, signed_in, site
from fieldbook.web.said import in_language

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("holding", __name__, url_prefix="/holding")
LINES_MAX = 40  # what an old phone loads and scrolls in one go


@pages.get("/")
@signed_in()
def sites() -> ResponseReturnValue:
    """List editions and withdrawals with the sites known to hold them, those in most danger first."""
    here, start = site(), max(request.args.get("from", 0, type=int), 0)
    lines = here.held_lines() if here.ledger is not None else ()
    page = lines[start : start + LINES_MAX]
    return render_template(
        "holding.html",
        alone=here.held_alone(),
        differing=here.differing(),
        heartbeats=here.heartbeats(),
        lines=[(line, in_language(line.title, reader_languages()) if line.title else None) for line in page],
        more=start + LINES_MAX if len(lines) > start + LINES_MAX else None,
        count=len(lines),
        keeps=not need_signer().roles.isdisjoint(KEEPERS),
    )


@pages.post("/heartbeat")
@signed_in("steward")
def beat() -> ResponseReturnValue:
    """Say how much is stopped, so that other sites can tell what they lack."""
    site().beat(signer=need_signer())
    flash(Notice("Said. It travels with the next exchange, before everything else."))
    return redirect(url_for("holding.sites"), code=303)
