"""A draft held against the rules, and changed by a safe way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, redirect, render_template, request, url_for

from fieldbook.practices import differences, read_entry
from fieldbook.web import drafts as kept
from fieldbook.web.differences import difference_lines
from fieldbook.web.findings import finding_groups
from fieldbook.web.here import need_signer, signed_in, site
from fieldbook.web.said import in_language

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.notebook import Draft
    from fieldbook.site.writing import Written
    from fieldbook.web.differences import DifferenceLine

pages = Blueprint("checking", __name__, url_prefix="/write/checked")
WRITERS = ("trainer", "reviewer")


@pages.get("/")
@signed_in(*WRITERS)
def draft() -> ResponseReturnValue:
    """What the rules find in a draft, with a button beside each way that can change it."""
    here, lying = site(), _draft()
    return render_template(
        "draft_checked.html",
        draft=lying,
        title=in_language(lying.document.get("title"), here.languages),
        steps=[in_language(step.get("say"), here.languages) for step in lying.document.get("steps") or ()],
        groups=finding_groups(here.instead.findings(lying)),
        offered=here.instead.offered(lying),
        changes=_changes(lying),
        alike=[one.sentence(here.languages) for one in here.alike.of_draft(lying)],
    )


@pages.post("/change")
@signed_in(*WRITERS)
def change() -> ResponseReturnValue:
    """Change the draft as one way says."""
    lying, asked = _draft(), request.form
    name = (asked.get("rule", ""), asked.get("result", ""), asked.get("change", ""))
    photos = kept.photos_of(site(), lying.name)
    return _shown(site().instead.change(lying, name, signer=need_signer(), photos=photos))


@pages.post("/take-back")
@signed_in(*WRITERS)
def take_back() -> ResponseReturnValue:
    """Take the last change of the draft back."""
    lying = _draft()
    photos = kept.photos_of(site(), lying.name)
    return _shown(site().instead.take_back(lying, signer=need_signer(), photos=photos))


def _draft() -> Draft:
    return kept.own_draft(site(), request.values.get("draft", ""), need_signer())


def _changes(lying: Draft) -> list[DifferenceLine]:
    before = site().instead.before(lying)
    if before is None:
        return []
    return difference_lines(differences(*(read_entry(one, strict=False) for one in (before, lying.document))))


def _shown(written: Written) -> ResponseReturnValue:
    return redirect(url_for("checking.draft", draft=written.draft), code=303)
