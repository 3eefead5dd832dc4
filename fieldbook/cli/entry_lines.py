"""A practice entry as lines for a terminal: the same content, in the same order, as its page.

Not who may see it. Its one rule: what keeps a reader safe is never left out: amounts, waits, what not to do, cautions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.shown import caution_keys, show_entry

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from typing import Any

    from fieldbook.web.said import Said
    from fieldbook.web.shown import ShownEntry, Step


def entry_lines(document: Mapping[str, Any], languages: Sequence[str]) -> list[str]:
    """Lay out an entry in lines.

    Args:
        document: the entry as it stands in its edition.
        languages: the languages of the reader, the dearest first; what is missing there is shown in any.
    """
    shown = show_entry(document, languages)
    parts = (_danger(document, shown), _things(shown), _doing(shown), _judging(shown), _sources(shown))
    return [line for part in parts for line in part]


def _danger(document: Mapping[str, Any], shown: ShownEntry) -> Iterator[str]:
    for key in caution_keys(document):
        words = caution(key)
        yield f"Caution, {words.heading}: {words.text}"
        yield from (f"    here: {control.text}" for control in shown.controls.get(key, ()))
    yield STANDING_LINE
    yield from _listed("Ask before you begin here:", shown.demands)
    yield from _listed("Not for:", _texts(shown.not_for))


def _things(shown: ShownEntry) -> Iterator[str]:
    yield from _listed("Needs:", (f"{label}: {value}" for label, value in shown.needs))
    rows = []
    for row in shown.amounts:
        rows.append("; ".join((f"{row.amount} {row.thing.text}".strip(), *row.notes)))
        rows += [f"    {'or' if may else 'never'}: {other.text} ({verdict})" for other, verdict, may in row.instead]
    rows += [
        f"mix {mix.by}: 1 part of {mix.a.text} to {mix.parts} of {mix.b.text} ({mix.source or 'source not said'})"
        for mix in shown.mixings
    ]
    rows += [f"{name.text} = {holds}" for name, holds in shown.measures]
    yield from _listed("Amounts:", rows)
    yield from _listed("Tools:", _texts(shown.tools))


def _doing(shown: ShownEntry) -> Iterator[str]:
    if shown.days:
        yield "Steps:"
    for day in shown.days:
        for step in day.steps:
            yield f"  {f'{day.label}: ' if day.label else ''}{step.number}. {step.say.text}"
            yield from _beside(step)
    yield from _listed(
        "Wait at least:",
        (
            f"{wait.days} before {wait.before}"
            + (f", {wait.condition.text}" if wait.condition else "")
            + f" ({wait.source or 'source not said'})"
            for wait in shown.waiting
        ),
    )
    yield from _listed("Keeping it:", _texts(shown.storage))


def _beside(step: Step) -> Iterator[str]:
    said = (("", step.notes), ("do not: ", step.do_not), ("stop if: ", step.stop_if), ("good when: ", step.success))
    yield from (f"      {name}{words if isinstance(words, str) else words.text}" for name, words in said if words)


def _judging(shown: ShownEntry) -> Iterator[str]:
    yield from _listed("Signs that it works:", _texts(shown.signs))
    yield from _listed(
        "Signs that it fails:",
        (
            f"{one.sign.text.rstrip('.')}: {one.cause.text.rstrip('.') if one.cause else 'cause not said'}; "
            f"first: {one.action.text if one.action else 'not said'}"
            for one in shown.failures
        ),
    )
    beside = (
        f"{with_it.text} beside {crop.text}: {effect} ({source})" for crop, effect, with_it, source in shown.companions
    )
    yield from _listed("Plants side by side:", beside)
    yield from _listed("Harvest:", [shown.harvest] if shown.harvest else [])
    yield from _listed("Wear and do:", shown.protect)
    yield from _listed("If somebody is hurt:", _texts([shown.first_aid] if shown.first_aid else []))
    yield from _listed("What is left over:", _texts([shown.disposal] if shown.disposal else []))


def _sources(shown: ShownEntry) -> Iterator[str]:
    yield from _listed(
        "Known from:",
        (
            f"{one.number}. {one.citation}"
            + (f", {one.place}" if one.place else "")
            + (f" ({one.mark})" * bool(one.mark))
            for one in shown.sources
        ),
    )


def _texts(said: Iterable[Said]) -> list[str]:
    return [one.text for one in said]


def _listed(heading: str, rows: Iterable[str]) -> Iterator[str]:
    found = list(rows)
    if found:
        yield heading
    yield from (f"  {row}" for row in found)
