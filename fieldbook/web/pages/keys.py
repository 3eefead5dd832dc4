"""Everybody's key: its words and square, what it said, what waits for voices, and what to do when one is lost.

Not the steps themselves (``roles``). Its one rule: whoever is signed in sees all of it; only buttons hang on the role.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.qr import qr_svg
from fieldbook.web import role_words, signing_words, words
from fieldbook.web.here import WebError, need_signer, reader_languages, signed_in, signer, site
from fieldbook.web.paging import paged

if TYPE_CHECKING:
    from collections.abc import Sequence

    from flask.typing import ResponseReturnValue

    from fieldbook.ledger import Known, Motion, Said

pages = Blueprint("keys", __name__, url_prefix="/people")
SAID_A_PAGE = 60
VOICES_A_PAGE = 20
KEYS_A_PAGE = 60
AWAY_MOST = 20  # put away and shown below what waits; each shows itself again by its name


@pages.get("/keys/")
@signed_in()
def listed() -> ResponseReturnValue:
    """Everybody with their words."""
    known = paged(site().need_ledger().known(), most=KEYS_A_PAGE)
    return render_template("keys.html", keys=known.made(lambda one: (one, key_state(one))))


@pages.get("/keys/<key>")
@signed_in()
def one(key: str) -> ResponseReturnValue:
    """One key: words, square, roles, stops, and what it said."""
    known = known_key(key)
    ledger, person = site().need_ledger(), need_signer()
    said, older = said_page(known)
    return render_template(
        "key.html",
        one=known,
        state=key_state(known),
        square=qr_svg(known.words, label=f"The words of {known.label}, as a square for a camera"),
        own=known.key in {person.key.public, site().site_key.public},
        stops=[(stop.by, role_words.day(stop.time)) for stop in ledger.stops(known.key)],
        said=said,
        older=older,
        signatory=site().is_signatory(person),
        judges=role_words.scope_words(ledger.reviewer_scope(key)) if "reviewer" in known.roles else "",
        lacks="reviewer" in known.roles and bool(ledger.reviewer_scope(key)),
    )


@pages.get("/voices/")
@signed_in()
def voices() -> ResponseReturnValue:
    """What some signatories have said and lacks more voices, and what of it was put away at this site."""
    here, person = site(), need_signer()
    ledger, away = here.need_ledger(), here.putting_away.away()

    def shown(one: Motion) -> dict[str, Any]:
        what, how_far = motion_lines(one)
        may, several = ledger.may_agree(one, person.key.public), signing_words.one_of_several(here, one)
        return {"id": one.id, "what": what, "how_far": how_far, "may": may, "several": several}

    return render_template(
        "voices.html",
        waits=paged(here.putting_away.waiting(), most=VOICES_A_PAGE).made(shown),
        away=[(one.motion.id, motion_lines(one.motion)[0], role_words.away_words(one)) for one in away[:AWAY_MOST]],
        more=max(0, len(away) - AWAY_MOST),
        keeps=here.putting_away.may(person),
        rules=role_words.SIGNATORY_RULES,
        standing=signing_words.standing(here),
    )


@pages.post("/voices/<motion>/away")
@signed_in()
def put_away(motion: str) -> ResponseReturnValue:
    """Put away at this site what nobody here wants any more."""
    site().putting_away.put(site().motion_named(motion), signer=need_signer())
    flash(Notice("Put away at this site. Nothing that was signed has changed; it can be shown again below."))
    return redirect(url_for("keys.voices"), code=303)


@pages.post("/voices/<motion>/back")
@signed_in()
def show_again(motion: str) -> ResponseReturnValue:
    """Show again among what waits what was put away at this site."""
    site().putting_away.take_out(site().motion_named(motion), signer=need_signer())
    flash(Notice("It stands among what waits for voices again."))
    return redirect(url_for("keys.voices"), code=303)


@pages.get("/lost")
def lost() -> ResponseReturnValue:
    """What to do when a key is stolen or lost, or a passphrase forgotten; whoever forgot theirs cannot sign in."""
    return render_template("key_lost.html", signatory=site().is_signatory(signer()))


@pages.route("/new", methods=["GET", "POST"])
@signed_in("trainer", "steward")
def new() -> ResponseReturnValue:
    """Add a person of this site."""
    fault = ""
    if request.method == "POST":
        try:
            person = _add_person()
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
        else:
            flash(Notice(f"{person.label} can sign in here now. Their passphrase is kept nowhere."))
            if site().ledger is None:
                return redirect(url_for("people.who"), code=303)
            return redirect(url_for("keys.one", key=person.key), code=303)
    page = render_template("person_new.html", fault=fault, typed=request.form)
    return page, 422 if fault else 200


def _add_person() -> Any:
    form = request.form
    if form.get("passphrase", "") != form.get("again", ""):
        raise WebError("the two passphrases are not the same", hint="type both again, slowly; nobody was added")
    typed, letter = form.get("number", "").strip(), site().letter
    label = typed if typed[:1].casefold() == letter.casefold() else letter + typed
    return site().add_person(label, role=form.get("role", ""), passphrase=form.get("passphrase", ""))


def known_key(key: str) -> Known:
    """The key of an address; a page that is not there where nobody has it."""
    found = site().need_ledger().known_by(key)
    return found if found is not None else abort(404)


def key_state(one: Known) -> str:
    """The roles of a key in words, or that it is stopped."""
    return "stopped" if one.stopped else words.roles(one.roles) or "no role now"


def motion_lines(motion: Motion) -> tuple[str, str]:
    """What waits for voices, and how far it is."""
    return role_words.motion_words(site(), motion), role_words.voices_words(motion)


def said_page(known: Known) -> tuple[list[tuple[str, str, str, str]], int]:
    """What a key said, the newest first, one page of it: id, day, words, how it stands; and where the next page is."""
    ledger = site().need_ledger()
    skip = request.args.get("from", "0")
    start = int(skip) if skip.isascii() and skip.isdigit() and len(skip) < 8 else 0
    names = ledger.chain_of(known.key)[::-1]
    shown = [said for name in names[start : start + SAID_A_PAGE] if (said := ledger.said(name)) is not None]
    older = start + SAID_A_PAGE if len(names) > start + SAID_A_PAGE else 0
    return said_lines(shown), older


def said_lines(shown: Sequence[Said]) -> list[tuple[str, str, str, str]]:
    """Words of a key as lines: id, day, what it is, how it stands."""
    ledger, preferred = site().need_ledger(), reader_languages()
    standing = {"revoked": "set aside", "adopted": "taken back in"}
    lines = []
    for said in shown:
        waits = "waits" if said.stands == "waiting" else ""
        how = standing.get(ledger.rule_of(said.id), waits)
        lines.append((said.id, role_words.day(said.time), role_words.said_words(site(), said, preferred), how))
    return lines
