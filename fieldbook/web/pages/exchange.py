"""Exchange: choose a folder, say yes, see what was taken in and left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, current_app, redirect, render_template, request, url_for

from fieldbook.web.here import need_signer, signed_in, site, work
from fieldbook.web.sticks import chosen_folder, plausible_sticks
from fieldbook.web.work import EXCHANGE

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site import Signer

pages = Blueprint("exchange", __name__, url_prefix="/exchange")


@pages.get("/")
@signed_in()
def choose() -> ResponseReturnValue:
    """Choose the stick's folder."""
    sticks = plausible_sticks(current_app.config["STICK_ROOTS"])
    return render_template("exchange_choose.html", sticks=sticks, running=work().running)


@pages.post("/")
@signed_in()
def confirm() -> ResponseReturnValue:
    """Say what will leave the site and what the stick lacks, and ask once more."""
    folder = chosen_folder(request.form)
    return render_template("exchange_confirm.html", folder=folder, lacks=site().stick_lacks(folder))


@pages.post("/begin")
@signed_in()
def begin() -> ResponseReturnValue:
    """Take in and leave, in the background; a steward who begins it says first how much is stopped."""
    folder, here, person = chosen_folder(request.form), site(), need_signer()
    if "steward" in person.roles and not here.waits:
        here.beat_if_due(signer=person)
    work().begin(str(folder), lambda said: here.exchange(folder, progress=said))
    return redirect(url_for("exchange.status"), code=303)


@pages.get("/now")
@signed_in()
def status() -> ResponseReturnValue:
    """Say how far it is, or what it did."""
    last = work().last
    if last is None or last.errand != EXCHANGE:
        return redirect(url_for("exchange.choose"))
    voices, wishing = _to_be_done(need_signer()) if last.ended else (0, 0)
    return render_template("exchange_status.html", last=last, voices=voices, wishing=wishing)


def _to_be_done(person: Signer) -> tuple[int, int]:
    """What no later stick will bring: how many things wait for this person's voice, how many sites for a signatory."""
    here = site()
    if here.ledger is None or not here.is_listed(person):
        return 0, 0
    voices = sum(here.ledger.may_agree(one, person.key.public) for one in here.putting_away.waiting())
    return voices, len(here.joins_waiting()) if "steward" in person.roles else 0
