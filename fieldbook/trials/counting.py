"""Counts that are typed in bit by bit, and the word that ends a comparison.

Not the plan (``plan``) and not where it is kept. Its one rule: what one unit got stays with that unit; counts of one
are never moved to another, and nothing is filled in that nobody counted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.faults import Fault, shown
from fieldbook.practices.numbers import decimal_of, kept_number
from fieldbook.trials.record import TrialError, read_trial
from fieldbook.trials.shape import NOT_HEARD, OUTCOMES

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.trials.record import Trial

COUNT_FIELDS: Final = ("before", "counted", "out_of", "day", "knew_arm", "lost", "why")
WORD_FIELDS: Final = ("outcome", "harm_note", "note", "weather")


def with_counts(body: Mapping[str, Any], number: int, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a trial with the counts of one unit in the place of what stood there; what is empty is not counted.

    Args:
        body: of a trial that is under way.
        number: of the row, from 0.
        typed: by the names of `COUNT_FIELDS`: lists of numbers as typed, a day, yes or no, a reason, words.

    Raises:
        TrialError: something of it cannot be; its faults name the boxes.
    """
    before = body["units"][number]
    row = {name: before[name] for name in ("label", "arm", "pair") if name in before} | _row(typed)
    at, waits = f"units[{number}]", "counted" not in row and "lost" not in row
    pretended = [{**_bare(one), "lost": NOT_HEARD} for one in body["units"]]
    pretended[number] = {**row, "lost": NOT_HEARD} if waits else row
    try:
        read = read_trial({**body, "units": pretended, "outcome": OUTCOMES[-1]})
    except TrialError as error:
        faults = [Fault(fault.field.removeprefix(at).lstrip("."), fault.message, fault.hint) for fault in error.faults]
        raise TrialError(tuple(faults)) from error
    kept = {name: value for name, value in read.document["units"][number].items() if name != "lost" or not waits}
    return {**body, "units": [kept if n == number else other for n, other in enumerate(body["units"])]}


def uncounted(body: Mapping[str, Any]) -> tuple[str, ...]:
    """The labels of the units that are neither counted nor lost yet, in order."""
    return tuple(str(row["label"]) for row in body["units"] if "counted" not in row and "lost" not in row)


def finished(body: Mapping[str, Any], word: Mapping[str, Any]) -> Trial:
    """The whole trial, ready to be signed.

    Args:
        body: of a trial that is under way.
        word: by the names of `WORD_FIELDS`: what came of it, and what is to be said besides, in the plan's language.

    Raises:
        TrialError: it is not whole, or its counts cannot be compared.
    """
    _refuse_unknown(word, WORD_FIELDS)
    left = uncounted(body)
    if left:
        labels = ", ".join(left[:12])
        hint = "type in its counts, or say why it is lost: a lost one stays in the list"
        raise TrialError((Fault("units", f"not counted yet: {labels}", hint),))
    said = {name: " ".join(str(word.get(name) or "").split()) for name in WORD_FIELDS}
    kept: dict[str, Any] = {name: said[name] for name in ("outcome", "harm_note", "weather") if said[name]}
    if said["note"]:
        kept["note"] = {next(iter(body["arms"][0]["name"])): said["note"]}
    return read_trial({**body, **kept})


def _row(typed: Mapping[str, Any]) -> dict[str, Any]:
    _refuse_unknown(typed, COUNT_FIELDS)
    row: dict[str, Any] = {name: numbers for name in ("before", "counted") if (numbers := _numbers(typed.get(name)))}
    if "counted" in row:
        totals = _numbers(_of_counted(typed.get("out_of"), typed["counted"]))
        row |= {"out_of": totals} if totals else {}
        row |= {"day": _number(typed["day"])} if typed.get("day") not in (None, "") else {}
    words = {name: " ".join(str(typed.get(name) or "").split()) for name in ("lost", "why")}
    knew = {"knew_arm": typed["knew_arm"]} if typed.get("knew_arm") not in (None, "") else {}
    return {**row, **knew, **{name: said for name, said in words.items() if said}}


def _refuse_unknown(typed: Mapping[str, Any], known: Sequence[str]) -> None:
    unknown = [name for name in typed if name not in known]
    if unknown:
        raise TrialError((Fault(unknown[0], f"{shown(unknown[0])} is not a name we know here", "leave it out"),))


def _of_counted(totals: Any, counted: Any) -> list[Any]:
    """The totals of those boxes in which a count was typed."""
    every = _listed(totals)
    filled = [n for n, value in enumerate(_listed(counted)) if str(value if value is not None else "").strip()]
    return [every[n] for n in filled if n < len(every)]


def _listed(values: Any) -> Sequence[Any]:
    return values if isinstance(values, list | tuple) else [values]


def _numbers(values: Any) -> list[Any]:
    """Numbers as they are kept, without empty boxes."""
    return [_number(value) for value in _listed(values) if str(value if value is not None else "").strip()]


def _number(value: Any) -> Any:
    """A number as it is kept, typed in digits of any script; what is none stays, so that its fault can be said."""
    text = str(value).strip().replace(",", ".").replace("\u066b", ".")
    number = decimal_of(text, any_spelling=True)
    return text if number is None else kept_number(number)


def _bare(row: Mapping[str, Any]) -> dict[str, Any]:
    return {name: row[name] for name in ("label", "arm", "pair") if name in row}
