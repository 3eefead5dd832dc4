"""The steps of a signatory: a reviewer, the next signatories, stops, liftings, words taken back in.

Not the looking (``keys``). Its one rule: before anything is said one page tells what will happen and what cannot be
undone, and only the second press says it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError
from fieldbook.practices.codes import ENTRY_KINDS
from fieldbook.qr import qr_svg
from fieldbook.site.roles import Doubt
from fieldbook.web import role_words, signing_words, words
from fieldbook.web.code_words import KIND_WORDS
from fieldbook.web.here import WebError, need_signer, reader_languages, signed_in, site
from fieldbook.web.pages.keys import known_key, motion_lines, said_lines, said_page
from fieldbook.web.paging import paged

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from flask.typing import ResponseReturnValue

    from fieldbook.ledger import Known, Outcome
    from fieldbook.web.role_words import Line
    from fieldbook.web.words import Told

pages = Blueprint("roles", __name__, url_prefix="/people")
YES = "yes"
PEOPLE_MOST = 60  # to tick for a list of signatories; more are named by letter and number
ASIDE_A_PAGE = 60  # a stopped key may have said very much


@dataclass(frozen=True)
class Step:
    """What the page of confirmation shows of a step.

    Attributes:
        heading: the step as a question.
        what: what will happen, in sentences.
        warned: what is to be warned of.
        then: what comes of it, under the heading ``when``.
        when: when that comes.
        undone: what cannot be undone.
        button: what the second press says.
        back: the address to go back to.
        compare: those whose words must have been compared before.
        typed: what the form sent so far, sent again by the second press.
    """

    heading: str
    what: Sequence[str]
    undone: str
    button: str
    back: str
    warned: Sequence[Told] = ()
    then: Sequence[Line] = ()
    when: str = ""
    compare: Sequence[Known] = ()
    typed: Sequence[tuple[str, str]] = field(default=())


def _ask(step: Step) -> ResponseReturnValue:
    """Show the page of confirmation; where it was pressed without the tick that it asks for, say so."""
    pressed = request.form.get("sure") == YES
    fault = "Tick that you compared all eight words; nothing has been said." if pressed else ""
    squares = [(one, qr_svg(one.words, label=f"The words of {one.label}, as a square")) for one in step.compare]
    page = render_template("role_confirm.html", step=step, squares=squares, fault=fault)
    return page, 422 if fault else 200


def _is_sure(*, compared: bool = False) -> bool:
    """Whether this is the second press, with the tick where words had to be compared."""
    return (
        request.method == "POST"
        and request.form.get("sure") == YES
        and (not compared or request.form.get("same") == YES)
    )


def _typed(*names: str) -> list[tuple[str, str]]:
    return [(name, value) for name in names for value in request.form.getlist(name)]


def _done(message: str, address: str) -> ResponseReturnValue:
    flash(message)
    return redirect(address, code=303)


def _voiced(statement: str, enough: str) -> str:
    """What is said after a voice."""
    said = site().need_ledger().said(statement)
    if said is not None and said.stands == "accepted":
        return f"{enough} It goes first on the next stick."
    return "Your voice is given and goes first on the next stick. More voices are needed."


def _fault_of(read: Callable[[], ResponseReturnValue]) -> tuple[ResponseReturnValue | None, str]:
    try:
        return read(), ""
    except FieldbookError as error:
        return None, words.told(error.message, error.hint)


# a reviewer


@pages.route("/keys/<key>/reviewer", methods=["GET", "POST"])
@signed_in()
def reviewer(key: str) -> ResponseReturnValue:
    """Give a voice for a reviewer, or for more kinds of entries for one who is a reviewer already."""
    person = known_key(key)
    site().check_signatory(need_signer())
    if request.method == "GET":
        return _reviewer_form(person, "")
    answer, fault = _fault_of(lambda: _reviewer(person))
    return answer if answer is not None else (_reviewer_form(person, fault), 422)


def _reviewer_form(person: Known, fault: str) -> str:
    has = site().need_ledger().reviewer_scope(person.key) if "reviewer" in person.roles else ()
    return render_template(
        "role_reviewer.html",
        one=person,
        heading=f"Let {person.label} judge more kinds" if has else f"Make {person.label} a reviewer",
        has=role_words.scope_words(has) if has else "",
        kinds=[(code, words) for code, words in KIND_WORDS.items() if code not in has],
        reach=request.form.get("reach", ""),
        scope=request.form.getlist("scope"),
        fault=fault,
    )


def _scope() -> list[str]:
    """The kinds that were chosen; none where every kind was. Nothing chosen is never taken for every kind."""
    scope = [kind for kind in request.form.getlist("scope") if kind in ENTRY_KINDS]
    reach = request.form.get("reach") or ("some" if scope else "")
    if reach == "all" and scope:
        raise WebError("both every kind and single kinds are chosen", hint="choose one of the two")
    if reach != "all" and not scope:
        raise WebError("which kinds is not said", hint="choose every kind, or tick single ones")
    return [] if reach == "all" else scope


def _reviewer(person: Known) -> ResponseReturnValue:
    scope, signer = _scope(), need_signer()
    if _is_sure(compared=True):
        statement = site().make_reviewer(person, scope=scope, signer=signer)
        enough = f"{person.label} is a reviewer of {role_words.scope_words(scope)}."
        return _done(_voiced(statement, enough), url_for("keys.voices"))
    site().check_reviewer(person, scope=scope, signer=signer)
    threshold = site().need_ledger().can_sign()[1]
    return _ask(
        Step(
            heading=f"Your voice for {person.label} as a reviewer?",
            what=[
                f"{person.label} may then approve, send back and withdraw {role_words.scope_words(scope)}.",
                "Nobody approves what they wrote themselves.",
                f"It takes {words.counted(threshold, 'voice', 'voices')} that say just this.",
            ],
            undone=role_words.CANNOT_BE_UNDONE["grant"],
            button="Give my voice",
            back=url_for("keys.one", key=person.key),
            compare=(person,),
            typed=_typed("reach", "scope"),
        )
    )


@pages.route("/voices/<motion>", methods=["GET", "POST"])
@signed_in()
def agree(motion: str) -> ResponseReturnValue:
    """Add a voice to what others have said."""
    here, signer = site(), need_signer()
    found = here.motion_named(motion)
    newcomers = here.newcomers(found, signer=signer)
    if _is_sure(compared=bool(newcomers)):
        statement = here.agree(found, signer=signer)
        return _done(_voiced(statement, "That was the last voice needed: it is in force."), url_for("keys.voices"))
    kind = found.kind.partition("/")[2]
    return _ask(
        Step(
            heading="Do you agree?",
            what=motion_lines(found),
            warned=signing_words.of_motion(here, found, signer=signer),
            then=_outcome(here.if_agreed(found)),
            when="Once enough have agreed",
            undone=role_words.CANNOT_BE_UNDONE[{"grant": "grant", "reinstatement": "lift"}.get(kind, "stewards")],
            button="I agree",
            back=url_for("keys.voices"),
            compare=newcomers,
        )
    )


def _outcome(outcome: Outcome) -> list[Line]:
    return role_words.outcome_lines(site(), outcome, reader_languages())


# the next signatories


@pages.route("/signatories", methods=["GET", "POST"])
@signed_in()
def signatories() -> ResponseReturnValue:
    """Choose the next list of signatories, look at what comes of it, and give one's voice."""
    if request.method == "GET":
        return _signatories_form("")
    answer, fault = _fault_of(_state_signatories)
    return answer if answer is not None else (_signatories_form(fault), 422)


def _signatories_form(fault: str) -> str:
    ledger = site().need_ledger()
    listed = {one["key"] for one in ledger.listed_stewards()}
    people = [one for one in ledger.known() if not one.is_site and (one.key in listed or not one.stopped)]
    chosen = set(request.form.getlist("key")) if fault else listed
    first = sorted(people, key=lambda one: one.key not in listed | chosen)[:PEOPLE_MOST]
    return render_template(
        "role_signatories.html",
        people=[(one, one.key in chosen) for one in people if one in first],
        more=len(people) > PEOPLE_MOST,
        others=request.form.get("others", ""),
        threshold=request.form.get("threshold") or str(ledger.can_sign()[1]),
        alarm=role_words.alarm_lines(site()),
        standing=signing_words.standing(site()),
        fault=fault,
        signatory=site().is_listed(need_signer()),
        now=role_words.signatories_words(site(), ledger.listed_stewards(), ledger.can_sign()[1]),
        rules=role_words.SIGNATORY_RULES,
    )


def _state_signatories() -> ResponseReturnValue:
    here, signer = site(), need_signer()
    now = {one["key"] for one in here.need_ledger().listed_stewards()}
    others = {here.key_named(label).key for label in request.form.get("others", "").replace(",", " ").split()}
    named = set(request.form.getlist("key")) | others
    found = ((key, here.need_ledger().known_by(key)) for key in named | now)
    known = {key: one for key, one in found if one is not None}
    chosen = named & known.keys()
    added = [known[key] for key in sorted(chosen - now)]
    listed = here.next_signatories(add=added, leave=[known[key] for key in sorted(now - chosen) if key in known])
    text = request.form.get("threshold", "").strip()
    if not (text.isascii() and text.isdigit() and len(text) < 4):
        raise WebError("how many must agree is no number", hint="write it in digits")
    threshold = int(text)
    outcome = here.if_stewards(listed, threshold=threshold)
    if _is_sure(compared=bool(added)):
        statement = here.state_stewards(listed, threshold=threshold, signer=signer)
        return _done(_voiced(statement, "The new list is in force."), url_for("keys.voices"))
    return _ask(
        Step(
            heading="Your voice for this list?",
            what=[
                role_words.signatories_words(here, listed, threshold),
                "Agree on one list first, by talking: two lists that both find enough voices become rivals.",
            ],
            warned=signing_words.of_list(here, listed, threshold=threshold, signer=signer),
            then=_outcome(outcome),
            when="Once enough have agreed, of those who are signatories now and of these",
            undone=role_words.CANNOT_BE_UNDONE["stewards"],
            button="Give my voice",
            back=url_for("roles.signatories"),
            compare=added,
            typed=_typed("key", "others", "threshold"),
        )
    )


# stopping, and allowing again


@pages.route("/keys/<key>/stop", methods=["GET", "POST"])
@signed_in()
def stop(key: str) -> ResponseReturnValue:
    """Choose what is doubted of a key, look at what comes of it, and stop it."""
    person, signer = known_key(key), need_signer()
    site().check_signatory(signer)
    if request.method == "GET":
        return _stop_form(person, "")
    answer, fault = _fault_of(lambda: _stop(person))
    return answer if answer is not None else (_stop_form(person, fault), 422)


def _stop_form(person: Known, fault: str) -> str:
    said, older = said_page(person)
    ticked = {*request.form.getlist("since"), *request.args.getlist("since")}
    return render_template(
        "role_stop.html",
        one=person,
        said=said,
        older=older,
        ticked=ticked,
        doubt=request.form.get("doubt", "some"),
        fault=fault,
        own=person.key == need_signer().key.public,
    )


def _stop(person: Known) -> ResponseReturnValue:
    doubt = request.form.get("doubt", "")
    since = tuple(request.form.getlist("since")) if doubt == "some" else ()
    if doubt not in {"some", "everything", "nothing"} or (doubt == "some" and not since):
        raise WebError("what you doubt is not said", hint="tick the first doubted word, or choose one of the other two")
    doubted = Doubt(since, everything=doubt == "everything")
    outcome = site().if_stopped(person, doubted, signer=need_signer())
    if _is_sure():
        site().stop(person, doubted, signer=need_signer())
        return _done(
            f"The key of {person.label} is stopped. It goes first on the next stick.",
            url_for("keys.one", key=person.key),
        )
    return _ask(
        Step(
            heading=f"Stop the key of {person.label}?",
            what=[
                "From now on nothing that this key says is believed at any site that hears of the stop.",
                "Single good words of what is set aside can be taken back in, by a reviewer or a signatory.",
            ],
            warned=signing_words.of_stop(site(), person, doubted),
            then=_outcome(outcome),
            when="At once, of what is known here",
            undone=role_words.CANNOT_BE_UNDONE["stop"],
            button="Stop this key",
            back=url_for("keys.one", key=person.key),
            typed=_typed("doubt", "since"),
        )
    )


@pages.route("/keys/<key>/lift", methods=["GET", "POST"])
@signed_in()
def lift(key: str) -> ResponseReturnValue:
    """Give a voice for lifting every stop of a key."""
    person, signer = known_key(key), need_signer()
    site().check_signatory(signer)
    if _is_sure():
        statement = site().lift(person, signer=signer)
        return _done(_voiced(statement, f"The stop of {person.label} is lifted."), url_for("keys.voices"))
    return _ask(
        Step(
            heading=f"Your voice for lifting the stop of {person.label}?",
            what=[f"The stop of {person.label} ends when enough signatories have said so."],
            then=_outcome(site().if_lifted(person)),
            when="Once enough signatories have said so",
            undone=role_words.CANNOT_BE_UNDONE["lift"],
            button="Give my voice",
            back=url_for("keys.one", key=key),
        )
    )


# what was set aside


@pages.route("/aside", methods=["GET", "POST"])
@signed_in()
def aside() -> ResponseReturnValue:
    """List what stops set aside; take single good words back in."""
    if request.method == "GET":
        return _aside_form("")
    answer, fault = _fault_of(_adopt)
    return answer if answer is not None else (_aside_form(fault), 422)


def _aside_form(fault: str) -> str:
    ledger, person = site().need_ledger(), need_signer()
    found = paged(site().set_aside(), most=ASIDE_A_PAGE)
    lines = found.made(lambda said: (ledger.label(said.author), *said_lines([said])))
    may = not person.roles.isdisjoint({"reviewer", "steward"})
    return render_template("role_aside.html", lines=lines, may=may, fault=fault)


def _adopt() -> ResponseReturnValue:
    here, signer = site(), need_signer()
    names = request.form.getlist("said")
    if _is_sure():
        here.adopt(names, signer=signer)
        many = words.counted(len(names), "word", "words")
        return _done(f"Taken back in: {many}. It goes first on the next stick.", url_for("roles.aside"))
    chosen = here.adoptable(names, signer=signer)
    return _ask(
        Step(
            heading="Take these back in?",
            what=[f"{line[2]} ({line[1]})" for line in said_lines(chosen)]
            + ["Each of them stands again at every site, as if its author's key had not been stopped."],
            undone=role_words.CANNOT_BE_UNDONE["adopt"],
            button="Take them back in",
            back=url_for("roles.aside"),
            typed=_typed("said"),
        )
    )
