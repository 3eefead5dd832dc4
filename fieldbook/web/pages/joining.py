"""Joining a network by stick, and letting a site in: words and squares to compare by voice, then one press.

Not the deciding what counts (``sync``). Its one rule: nobody joins or lets in before a page has shown the words.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from flask import Blueprint, abort, current_app, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.ledger import Ledger
from fieldbook.qr import qr_svg
from fieldbook.web.fingerprints import fingerprints
from fieldbook.web.here import need_signer, signed_in, site, work
from fieldbook.web.sticks import chosen_folder, plausible_sticks
from fieldbook.web.words import told

if TYPE_CHECKING:
    from pathlib import Path

    from flask.typing import ResponseReturnValue

    from fieldbook.ledger import Join

pages = Blueprint("joining", __name__, url_prefix="/joining")

AGREED = "yes"


@pages.get("/")
@signed_in()
def ours() -> ResponseReturnValue:
    """Show the words of the network and of this site, or let a site without a network choose a stick."""
    here = site()
    if here.network_words is None:
        sticks = plausible_sticks(current_app.config["STICK_ROOTS"])
        return render_template("joining_choose.html", sticks=sticks)
    return render_template(
        "joining_ours.html", network_title=here.network_title, last=work().last, **fingerprints(here)
    )


@pages.post("/")
@signed_in()
def compare() -> ResponseReturnValue:
    """Show which network the stick holds, before anything is joined."""
    return _comparing(chosen_folder(request.form), "")


def _comparing(folder: Path, fault: str) -> str:
    title, network_words = site().network_on(folder)
    shown = fingerprints(site(), network_words=network_words)
    return render_template("joining_compare.html", folder=folder, network_title=title, fault=fault, **shown)


@pages.post("/leave")
@signed_in()
def leave() -> ResponseReturnValue:
    """Join the network whose words were shown, leave the request on the stick, and take in what it holds."""
    here, folder = site(), chosen_folder(request.form)
    if here.ledger is None and request.form.get("same") != AGREED:
        return _comparing(folder, told("nothing has been joined", "tick that you compared all eight words")), 422
    here.request_join(folder, network_words=request.form.get("network_words", ""))
    work().begin(str(folder), lambda said: here.exchange(folder, progress=said))
    flash(
        Notice(
            "The request lies on the stick. Carry it to a signatory of the network, and say the words below to them."
        )
    )
    return redirect(url_for("joining.ours"), code=303)


@pages.get("/sites")
@signed_in("steward")
def waiting() -> ResponseReturnValue:
    """List the sites that wish to join."""
    return render_template("joining_sites.html", joins=[_shown(join) for join in site().joins_waiting()])


@pages.route("/find", methods=["GET", "POST"])
@signed_in("steward")
def find() -> ResponseReturnValue:
    """Find a site's request on a stick by the words that it said: strangers may have left more than are kept."""
    if request.method == "GET":
        sticks = plausible_sticks(current_app.config["STICK_ROOTS"])
        return render_template("joining_find.html", sticks=sticks, typed="", folder="", fault="")
    typed = request.form.get("words", "")
    try:
        folder = chosen_folder(request.form)
        join = site().join_of(typed, carrier=folder)
    except FieldbookError as error:
        sticks = plausible_sticks(current_app.config["STICK_ROOTS"])
        fault = told(error.message, error.hint)
        again = render_template(
            "joining_find.html", sticks=sticks, typed=typed, folder=request.form.get("typed", ""), fault=fault
        )
        return again, 422
    return redirect(url_for("joining.admit", key=join.key, folder=str(folder)), code=303)


@pages.route("/sites/<key>", methods=["GET", "POST"])
@signed_in("steward")
def admit(key: str) -> ResponseReturnValue:
    """Compare the words of one site with what it said itself, and let it in."""
    carrier = chosen_folder(request.args) if request.args.get("folder") else None
    join = _asked(key, carrier)
    if request.method == "POST" and request.form.get("same") == AGREED:
        site().admit(Ledger.words(join.key), signer=need_signer(), carrier=carrier)
        flash(
            Notice(
                f"{join.letter} {join.name} is let in. Exchange with the stick that goes back there, so that it learns."
            )
        )
        return redirect(url_for("joining.waiting"), code=303)
    fault = told("nobody has been let in", "tick that you compared all eight words") if request.method == "POST" else ""
    page = render_template(
        "joining_admit.html", join=_shown(join), taken=site().letter_is_taken(join.letter), fault=fault
    )
    return page, 422 if fault else 200


def _asked(key: str, carrier: Path | None) -> Join:
    """The request of this key, kept here or on a stick."""
    if re.fullmatch(r"[0-9a-f]{64}", key) is None:
        abort(404)
    try:
        join = site().join_of(Ledger.words(key), carrier=carrier)
    except FieldbookError:
        abort(404)
    return join if join.key == key else abort(404)


def _shown(join: Join) -> dict[str, str]:
    words = Ledger.words(join.key)
    return {
        "key": join.key,
        "letter": join.letter,
        "name": join.name,
        "words": words,
        "square": qr_svg(words, label=f"The words of site {join.letter}, as a square for a camera"),
    }
