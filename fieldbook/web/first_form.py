"""What a new site is asked on its first pages, and what is wrong with each answer.

From forms to the values with which a site begins; no page, no file. Its one rule: all faults of a page at once, each
beside its own box, in the words of those who keep the rule (``site``, ``climate``).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from fieldbook.languages import checked_tag
from fieldbook.site import Founding, NewSite, SiteError
from fieldbook.site.beginning import FirstTrainer, check_letter, check_name, check_title
from fieldbook.site.people import check_label, check_passphrase
from fieldbook.site.season import latitude_from_text, place_from_text
from fieldbook.web.climate_form import (
    Answers,
    Faults,
    faults_at,
    normals_text,
    one,
    rain_of_year_fault,
    said_by_check,
    with_point,
)
from fieldbook.web.words import told

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping

    from fieldbook.climate.place import Place
    from fieldbook.site import Lender

STEPS = ("who", "where", "climate", "people")
LANGUAGE_BOXES = ("language_1", "language_2", "language_3")
_PLAIN = re.compile(r"[0-9]{1,2}(\.[0-9]{1,6})?")
_LETTERS = "NSns "  # the side may stand behind the figure as well


def faults_of(step: str, answers: Answers, before: Mapping[str, Answers], *, lender: Lender | None = None) -> Faults:
    """What is wrong on one page, by the name of the box.

    Args:
        step: the page, one of ``STEPS``.
        answers: what was typed on it.
        before: the answers of the pages before it, by page.
        lender: the site whose climate is to be borrowed, where one was chosen.
    """
    checks: dict[str, Callable[[], dict[str, str]]] = {
        "who": lambda: _who(answers),
        "where": lambda: _where(answers),
        "climate": lambda: _climate(answers, before, lender),
        "people": lambda: _people(answers, letter_of(before["who"])),
    }
    return {name: fault for name, fault in checks[step]().items() if fault}


def letter_of(who: Answers) -> str:
    """The site's letter, as a capital."""
    return one(who, "letter").upper()


def _asked(answer: str, check: Callable[[str], object], when_empty: str) -> str:
    """What is wrong with an answer that must be given."""
    return said_by_check(lambda: check(answer)) if answer else when_empty


def _check_height(height: str) -> None:
    place_from_text(latitude_deg="0", elevation_m=height, setting="interior")


def _language_fault(tag: str) -> str:
    return said_by_check(lambda: checked_tag(tag)) if tag else ""


def _who(answers: Answers) -> Faults:
    languages = [tag for name in LANGUAGE_BOXES if (tag := one(answers, name))]
    faults = {name: _language_fault(one(answers, name)) for name in LANGUAGE_BOXES}
    if not languages:
        faults["language_1"] = told("no language is chosen", "choose the one that most people here read")
    elif len(set(languages)) < len(languages):
        faults["language_2"] = told("one language is chosen twice", "choose another one, or none")
    return faults | {
        "letter": _asked(
            letter_of(answers), check_letter, told("there is no letter", "choose one capital letter, A to Z")
        ),
        "name": said_by_check(lambda: check_name(one(answers, "name"))),
    }


def _latitude(answers: Answers) -> str:
    """Degrees and decimals, south negative, from degrees with decimals or minutes, and the side that was chosen."""
    typed, side = with_point(one(answers, "latitude")), one(answers, "side")
    if _PLAIN.fullmatch(typed):
        return f"-{typed}" if side == "south" else typed
    return f"{latitude_from_text(_lettered(typed, side)):.4f}".rstrip("0").rstrip(".")


def _lettered(typed: str, side: str) -> str:
    return " ".join((typed.rstrip(_LETTERS), "S" if side == "south" else "N"))


def _latitude_fault(answers: Answers) -> str:
    typed, side = one(answers, "latitude"), one(answers, "side")
    letter = typed[-1:].upper()
    if letter in {"N", "S"} and side in {"north", "south"} and letter != side[0].upper():
        return told(
            "the letter and the side below say two things", "choose the same side in both, or leave out the letter"
        )
    try:
        latitude = _latitude(answers)
    except SiteError:
        said = "write degrees and decimals without a sign, such as 13.4, or degrees and minutes, such as 13 24"
        return told("this is no latitude", said)
    return said_by_check(lambda: place_from_text(latitude_deg=latitude, elevation_m="0", setting="interior"))


def _where(answers: Answers) -> Faults:
    height = with_point(one(answers, "elevation"))
    return {
        "latitude": _latitude_fault(answers),
        "side": ""
        if one(answers, "side") in {"north", "south"}
        else told("the side is not said", "choose north or south"),
        "elevation": _asked(
            height, _check_height, told("there is no height", "write metres above the sea, such as 420")
        ),
        "setting": said_by_check(
            lambda: place_from_text(latitude_deg="0", elevation_m="0", setting=one(answers, "setting"))
        ),
        "frost": said_by_check(lambda: _months(answers, "frost")),
        "salt": said_by_check(lambda: _months(answers, "salt")),
    }


def _months(answers: Answers, name: str) -> tuple[int, ...]:
    ticked = answers.get(name, [])
    if not all(month in map(str, range(1, 13)) for month in ticked):
        raise SiteError("one of these is no month", hint="tick months of the list")
    return tuple(sorted({int(month) for month in ticked}))


def _climate(answers: Answers, before: Mapping[str, Answers], lender: Lender | None) -> Faults:
    if one(answers, "borrow") != "yes":
        return faults_at(answers, lambda: place_of(before["where"]))
    if lender is None:
        return {"table": told("no site is chosen to borrow from", "choose one, or fill in twelve months")}
    return {"table": said_by_check(lambda: lender.lend(place_of(before["where"])))}


def knowledge_faults(answers: Answers) -> Faults:
    """What is wrong with what people know of their rain, by the name of the box."""
    found = {"year_rain": rain_of_year_fault(answers), "wet": said_by_check(lambda: _months(answers, "wet"))}
    return {name: fault for name, fault in found.items() if fault}


def _label(answers: Answers, letter: str) -> str:
    return letter + one(answers, "number")


def _people(answers: Answers, letter: str) -> Faults:
    network, passphrase = one(answers, "network"), (answers.get("passphrase") or [""])[0]
    again = (answers.get("again") or [""])[0]
    return {
        "number": _asked(
            one(answers, "number"),
            lambda number: check_label(letter + number, letter),
            told("there is no number", "write one from 1 to 999"),
        ),
        "passphrase": said_by_check(lambda: check_passphrase(passphrase)),
        "again": "" if again == passphrase else told("the two passphrases differ", "type both anew"),
        "network": ""
        if network in {"found", "join", "alone"}
        else told("it is not said what becomes of the network", "choose one of these"),
        "title": said_by_check(lambda: check_title(one(answers, "title"))) if network == "found" else "",
    }


def place_of(where: Answers) -> Place:
    """Where the site lies, from the page that asks it.

    Raises:
        FieldbookError: an answer cannot be right.
    """
    return place_from_text(
        latitude_deg=_latitude(where), elevation_m=with_point(one(where, "elevation")), setting=one(where, "setting")
    )


def stated_of(where: Answers) -> dict[str, Any]:
    """What the page of the place says, by the names of ``Site.state_place``; faults were looked for before."""
    return {
        "place": {
            "latitude_deg": _latitude(where),
            "elevation_m": with_point(one(where, "elevation")),
            "setting": one(where, "setting"),
        },
        "watering": one(where, "watering") == "yes",
        "frost_months": _months(where, "frost"),
        "salt_water_months": _months(where, "salt"),
    }


def place_answers(stated: Mapping[str, Any]) -> Answers:
    """The page of the place as it would be filled in, from ``Site.stated_place``."""
    place = stated["place"]
    latitude_deg = latitude_from_text(place["latitude_deg"])
    return {
        "latitude": [f"{abs(latitude_deg):.6f}".rstrip("0").rstrip(".")],
        "side": ["south" if latitude_deg < 0 else "north"],
        "elevation": [place["elevation_m"]],
        "setting": [place["setting"]],
        "watering": ["yes"] if stated["watering"] else [],
        "frost": [str(month) for month in stated["frost_months"]],
        "salt": [str(month) for month in stated["salt_water_months"]],
    }


def new_site(answers: Mapping[str, Answers], *, lender: Lender | None, now: dt.datetime) -> NewSite:
    """The facts of the site from the first three pages.

    Args:
        answers: by page.
        lender: the site whose climate is borrowed, where one was chosen.
        now: when it is borrowed.
    """
    who, where, climate = (answers[step] for step in STEPS[:3])
    borrows = lender is not None and one(climate, "borrow") == "yes"
    months = lender.lent_facts(place_of(where), now=now) if lender and borrows else {"normals": normals_text(climate)}
    stated = stated_of(where)
    return NewSite(
        name=one(who, "name"),
        letter=letter_of(who),
        languages=tuple(tag for name in LANGUAGE_BOXES if (tag := one(who, name))),
        **stated.pop("place"),
        **stated,
        **months,
    )


def first_people(answers: Answers, facts: NewSite) -> dict[str, Any]:
    """The network that is founded, or the first trainer, as ``begin_site`` takes them.

    A site that stays alone founds a network of one under its own name: only signed words can be searched and checked.
    """
    label, passphrase, network = _label(answers, facts.letter), answers["passphrase"][0], one(answers, "network")
    if network == "join":
        return {"founding": None, "first": FirstTrainer(label, passphrase)}
    title = one(answers, "title") if network == "found" else facts.name
    starters = one(answers, "starters") == "yes"
    return {"founding": Founding(title, label, passphrase, starters=starters), "first": None}
