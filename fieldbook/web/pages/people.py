"""Who is here, who may do what, and signing in and out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, session, url_for
from markupsafe import Markup

from fieldbook.errors import FieldbookError
from fieldbook.web import role_words, signing_words, words
from fieldbook.web.here import KEEPERS, SITTING, site, sittings

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.notebook import Person

pages = Blueprint("people", __name__, url_prefix="/people")
_NO_BACKUP = Markup('There is no backup of this site yet. <a href="{}">Back it up</a> before the laptop is lost.')


@pages.get("/")
def who() -> ResponseReturnValue:
    """Say who is here and who may do what in the network."""
    ledger = site().ledger
    who = words.who_by_site(None if ledger is None else ledger.who())
    if ledger is None or who is None:
        return render_template("people.html", here=people_here(), who=None)
    return render_template(
        "people.html",
        here=people_here(),
        who=who,
        wishing=len(site().joins_waiting()),
        voices=len(site().putting_away.waiting()),
        listed=role_words.signatories_words(site(), ledger.listed_stewards(), who["threshold"]),
        aside=[label for label in who["stewards"] if label in who["stopped"]],
        standing=signing_words.standing(site()),
    )


@pages.route("/sign-in", methods=["GET", "POST"])
def sign_in() -> ResponseReturnValue:
    """Open a person's key with their passphrase, for this browser until they sign out."""
    label, fault = request.form.get("label", ""), None
    back = _own_address(request.values.get("back", ""))
    if request.method == "POST":
        try:
            person = site().unlock(label, request.form.get("passphrase", ""))
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
        else:
            sittings().end(session.get(SITTING))
            session.clear()
            session[SITTING] = sittings().begin(person)
            if not person.roles.isdisjoint(KEEPERS) and not site().has_backup and "/backup/" not in back:
                flash(_NO_BACKUP.format(url_for("backup.choose")))
            return redirect(back or url_for("home.first"), code=303)
    page = render_template("sign_in.html", people=people_here(), label=label, fault=fault, back=back)
    return page, 422 if fault else 200


@pages.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Forget the key."""
    sittings().end(session.get(SITTING))
    session.clear()
    return redirect(url_for("home.first"), code=303)


def people_here() -> list[dict[str, str]]:
    """The people of this site with their roles, for a table."""
    return [{"label": person.label, "roles": _roles(person), "role": person.role} for person in site().people()]


def _roles(person: Person) -> str:
    return "stopped" if site().is_stopped(person.key) else words.roles(site().roles_of(person))


def _own_address(address: str) -> str:
    """An address on these pages, or nothing: never a way to another host."""
    if not address.startswith("/") or address.startswith("//") or "\\" in address or not address.isprintable():
        return ""
    return address
