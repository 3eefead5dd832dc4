"""What a new site is asked on its first pages, and what is wrong with each answer.

From forms to the values with which a site begins; no page, no file. Its one rule: all faults of a page at once, each
beside its own box, in the words of those who keep the rule (``site``, ``climate``).
"""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING, Any

from fieldbook.climate.normals import NormalsError, read_normals
from fieldbook.errors import FieldbookError
from fieldbook.languages import checked_tag
from fieldbook.site import Founding, NewSite, SiteError
from fieldbook.site.beginning import FirstTrainer, check_letter, check_name, check_title
from fieldbook.site.people import check_label, check_passphrase
from fieldbook.site.season import place_from_text
from fieldbook.web.words import sentence, told

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

STEPS = ("who", "where", "climate", "people")
LANGUAGE_BOXES = ("language_1", "language_2", "language_3")
COLUMNS = ("rain_mm", "tmin_c", "tmax_c")
_COLUMN_WORDS = {"rain_mm": "the rain", "tmin_c": "the coolest", "tmax_c": "the warmest"}
_ORDINARY = ("10", "10", "20")  # stands for the other months while one is judged by itself
_PLAIN = re.compile(r"[0-9]{1,2}(\.[0-9]{1,6})?")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")

Answers = dict[str, list[str]]
Faults = dict[str, str]


def one(answers: Mapping[str, Sequence[str]], name: str) -> str:
    """One answer as it was typed, without the blanks around it; nothing where it was not given."""
    return (answers.get(name) or [""])[0].strip()


def faults_of(step: str, answers: Answers, before: Mapping[str, Answers]) -> Faults:
    """What is wrong on one page, by the name of the box.

    Args:
        step: the page, one of ``STEPS``.
        answers: what was typed on it.
        before: the answers of the pages before it, by page.
    """
    checks: dict[str, Callable[[], dict[str, str]]] = {
        "who": lambda: _who(answers),
        "where": lambda: _where(answers),
        "climate": lambda: _climate(answers),
        "people": lambda: _people(answers, letter_of(before["who"])),
    }
    return {name: fault for name, fault in checks[step]().items() if fault}


def letter_of(who: Answers) -> str:
    """The site's letter, as a capital."""
    return one(who, "letter").upper()


def _said(check: Callable[[], object]) -> str:
    """What a check says, as sentences; nothing where all is well."""
    try:
        check()
    except FieldbookError as error:
        return told(error.message, error.hint)
    return ""


def _asked(answer: str, check: Callable[[str], object], when_empty: str) -> str:
    """What is wrong with an answer that must be given."""
    return _said(lambda: check(answer)) if answer else when_empty


def _check_height(height: str) -> None:
    place_from_text(latitude_deg="0", elevation_m=height, setting="interior")


def _language_fault(tag: str) -> str:
    return _said(lambda: checked_tag(tag)) if tag else ""


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
        "name": _said(lambda: check_name(one(answers, "name"))),
    }


def _latitude(answers: Answers) -> str:
    number = _with_point(one(answers, "latitude"))
    return f"-{number}" if one(answers, "side") == "south" else number


def _latitude_fault(answers: Answers) -> str:
    if not _PLAIN.fullmatch(_with_point(one(answers, "latitude"))):
        said = "write degrees and decimals without a sign, such as 13.4, and choose the side below"
        return told("this is no latitude", said)
    return _said(lambda: place_from_text(latitude_deg=_latitude(answers), elevation_m="0", setting="interior"))


def _where(answers: Answers) -> Faults:
    height = _with_point(one(answers, "elevation"))
    return {
        "latitude": _latitude_fault(answers),
        "side": ""
        if one(answers, "side") in {"north", "south"}
        else told("the side is not said", "choose north or south"),
        "elevation": _asked(
            height, _check_height, told("there is no height", "write metres above the sea, such as 420")
        ),
        "setting": _said(lambda: place_from_text(latitude_deg="0", elevation_m="0", setting=one(answers, "setting"))),
        "frost": _said(lambda: _months(answers, "frost")),
        "salt": _said(lambda: _months(answers, "salt")),
    }


def _months(answers: Answers, name: str) -> tuple[int, ...]:
    ticked = answers.get(name, [])
    if not all(month in map(str, range(1, 13)) for month in ticked):
        raise SiteError("one of these is no month", hint="tick months of the list")
    return tuple(sorted({int(month) for month in ticked}))


def cell(column: str, month: int) -> str:
    """The name of the box of one figure; ``month`` is 1 to 12."""
    return f"{column}.{month}"


def _with_point(text: str) -> str:
    """A figure with a decimal point; many write a comma."""
    return text.replace(",", ".") if _DECIMAL_COMMA.fullmatch(text) else text


def _figures(answers: Answers, month: int) -> tuple[str, ...]:
    return tuple(_with_point(one(answers, cell(column, month))) for column in COLUMNS)


def _table(rows: Sequence[Sequence[str]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("month", *COLUMNS))
    writer.writerows((number, *row) for number, row in enumerate(rows, start=1))
    return text.getvalue()


def normals_text(answers: Answers) -> str:
    """The twelve months as a table: what was pasted, else what stands in the boxes."""
    pasted = one(answers, "table")
    return pasted or _table([_figures(answers, month) for month in range(1, 13)])


def _climate(answers: Answers) -> Faults:
    filled = any(figure for month in range(1, 13) for figure in _figures(answers, month))
    if one(answers, "table"):
        twice = told("the boxes and the table are both filled in", "fill in the boxes or paste a table, not both")
        return {"table": twice if filled else _said(lambda: read_normals(one(answers, "table")))}
    if not filled:
        return {"table": told("there are no figures", "fill in twelve months, or paste them as a table")}
    return {f"month.{month}": _month_fault(_figures(answers, month), month) for month in range(1, 13)}


def _month_fault(figures: tuple[str, ...], month: int) -> str:
    """What is wrong with one month, judged among eleven ordinary ones."""
    try:
        read_normals(_table([figures if number == month else _ORDINARY for number in range(1, 13)]))
    except NormalsError as error:
        faults = "; ".join(error.faults)
        for column, said in _COLUMN_WORDS.items():
            faults = faults.replace(column, said)
        return sentence(faults)
    return ""


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
        "passphrase": _said(lambda: check_passphrase(passphrase)),
        "again": "" if again == passphrase else told("the two passphrases differ", "type both anew"),
        "network": ""
        if network in {"found", "join", "alone"}
        else told("it is not said what becomes of the network", "choose one of these"),
        "title": _said(lambda: check_title(one(answers, "title"))) if network == "found" else "",
    }


def new_site(answers: Mapping[str, Answers]) -> NewSite:
    """The facts of the site from the first three pages."""
    who, where, climate = (answers[step] for step in STEPS[:3])
    return NewSite(
        name=one(who, "name"),
        letter=letter_of(who),
        latitude_deg=_latitude(where),
        elevation_m=_with_point(one(where, "elevation")),
        normals=normals_text(climate),
        setting=one(where, "setting"),
        languages=tuple(tag for name in LANGUAGE_BOXES if (tag := one(who, name))),
        watering=one(where, "watering") == "yes",
        frost_months=_months(where, "frost"),
        salt_water_months=_months(where, "salt"),
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
