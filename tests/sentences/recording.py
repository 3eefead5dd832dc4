"""Which test brings about which sentence: noted while the suite runs, and kept as a table.

Not a test. ``RECORD_SENTENCES=FOLDER python -m pytest`` notes every message, hint, reason, fault and finding as it is
made, with the test under way; ``python -m tests.sentences.recording FOLDER`` then writes the table
(``tests/sentences/brought_about.csv``): each sentence of the catalogue with the test that brings it about, whose name is
the situation in words. With ``--more`` before the folder what the table says already stays, so that a few tests can be
noted alone. Its one rule: a sentence that no test brings about stands in the table with an empty place, so that it can
be counted.
"""

from __future__ import annotations

import csv
import os
import sys
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.sentences import Template, read_template, shipped_sentences

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

TABLE = Path(__file__).with_name("brought_about.csv")
MOST = 60_000  # texts noted in one process; those of generated rubbish would never end
_FIELDS = ("message", "hint", "reason", "what", "words")
_noted: dict[str, str] = {}


def begin() -> None:
    """Note from now on what is said."""
    from fieldbook.errors import FieldbookError, Notice
    from fieldbook.ledger.values import Refused
    from fieldbook.practices.faults import Fault
    from fieldbook.review.rule import Finding, Way
    from fieldbook.site.slips import Begun, JudgedSlip
    from fieldbook.trials.line import Line
    from sync.charter import Judgement
    from sync.errors import SyncError
    from sync.exchange import ExchangeReport
    from sync.intake import Problem, Refusal

    for made in (FieldbookError, SyncError, Fault, Finding, Way, Refused, Refusal, Problem, Line):
        _after_making(made, _own_words)
    _after_making(Notice, lambda one: [str(one)])
    _after_making(Judgement, lambda one: {verdict.reason for verdict in one.verdicts.values()})
    _after_making(ExchangeReport, lambda one: one.notes)
    _note_sums()
    _after_making(JudgedSlip, lambda one: [one.standing, *(asked.words for asked in one.questions)])
    _after_making(Begun, lambda one: [one.stop])
    _note_headings()


def _note_headings() -> None:
    from fieldbook.web import guard

    plain, broken = guard._error_page, guard._broken_page

    def plain_page(heading: str, message: str, hint: str, status: int) -> tuple[str, int]:
        note([heading])
        return plain(heading, message, hint, status)

    def broken_page(said: Any) -> str:
        note([said.heading])
        return broken(said)

    guard._error_page, guard._broken_page = plain_page, broken_page


def _note_sums() -> None:
    """What a calculator asks and answers, whenever one is run or described, and what a page says of it."""
    from fieldbook.quantities import GROUPS, Calculator
    from fieldbook.web import sum_said

    for name in ("run", "described"):
        _around(Calculator, name, [heading for heading, _ in GROUPS])
    said = sum_said._said

    def saying(text: str) -> str | None:
        note([text])
        return said(text)

    sum_said._said = saying


def _around(calculator: Any, name: str, headings: list[str]) -> None:
    original = getattr(calculator, name)

    @wraps(original)
    def noting(self: Any, *values: Any, **named: Any) -> Any:
        answer = original(self, *values, **named)
        note(text for part in (headings, self, answer) for text in _texts(part))
        return answer

    setattr(calculator, name, noting)


def _texts(value: Any) -> Iterator[str]:
    """Every text in a value, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, bool):
        yield "yes" if value else "no"
    elif isinstance(value, dict | list | tuple):
        yield from (text for one in (value.values() if isinstance(value, dict) else value) for text in _texts(one))
    elif hasattr(value, "__dataclass_fields__"):
        yield from (text for field in value.__dataclass_fields__ for text in _texts(getattr(value, field)))


def _own_words(made: Any) -> Iterator[str]:
    yield from (value for name in _FIELDS if isinstance(value := getattr(made, name, None), str))
    yield from (fault for fault in getattr(made, "faults", ()) if isinstance(fault, str))


def _after_making(made: type, words: Any) -> None:
    original: Any = vars(made).get("__init__") or made.__init__  # type: ignore[misc]

    @wraps(original)
    def noting(self: Any, *values: Any, **named: Any) -> None:
        original(self, *values, **named)
        if type(self).__init__ is noting or isinstance(self, Exception):
            note(words(self))

    made.__init__ = noting  # type: ignore[misc]


def note(texts: Iterable[str]) -> None:
    """Note texts that were said now."""
    test = os.environ.get("PYTEST_CURRENT_TEST", "").partition(" (")[0]
    if test:
        for text in texts:
            if text and len(_noted) < MOST:
                _noted.setdefault(text, test)


def keep(folder: Path) -> None:
    """Write down what this process noted."""
    folder.mkdir(parents=True, exist_ok=True)
    # tests say half characters too, which no file takes as they are
    with (folder / f"{os.getpid()}.csv").open("w", newline="", encoding="utf-8", errors="backslashreplace") as file:
        csv.writer(file).writerows(_noted.items())


def main(folder: Path, *, more: bool) -> None:
    """Write the table from what all processes noted, and where asked from what it says already."""
    found = dict(_said_already()) if more else {}
    plain, placed = _templates()
    for file in sorted(folder.glob("*.csv")):
        for text, test in csv.reader(file.open(newline="", encoding="utf-8")):
            for shape in _shapes(text, plain, placed):
                found[shape] = min(found.get(shape, test), test, key=lambda name: (len(name), name))
    found |= _situations()
    with TABLE.open("w", newline="", encoding="utf-8") as table:
        writer = csv.writer(table, lineterminator="\n")
        writer.writerow(("english", "test"))
        writer.writerows(sorted((each.shape, found.get(each.shape, "")) for each, _ in shipped_sentences()))
    print(f"{len(found)} of {len(plain) + len(placed)} are brought about")


def _said_already() -> Iterator[tuple[str, str]]:
    with TABLE.open(newline="", encoding="utf-8") as table:
        yield from ((row["english"], row["test"]) for row in csv.DictReader(table) if row["test"])


def _situations() -> dict[str, str]:
    """The sentences that have a written situation, with its words."""
    from tests.sentences import test_situations

    name = test_situations.test_a_situation_is_told_in_one_sentence_that_says_what_to_do.__name__
    test = f"tests/sentences/test_situations.py::{name}"
    return {
        read_template(text).shape: f"{test}[{area}: {row.when}]"
        for area, rows in test_situations.TABLES.items()
        for row in rows
        for text in (row.says, row.hint)
        if text
    }


def _templates() -> tuple[dict[str, Template], list[Template]]:
    every = [english for english, _ in shipped_sentences()]
    placed = sorted((each for each in every if each.places), key=lambda each: -each.said)
    return {each.literals[0]: each for each in every if not each.places}, placed


def _shapes(text: str, plain: dict[str, Template], placed: list[Template]) -> Iterator[str]:
    """The templates of a text: its own, and those of what stands in its places."""
    if text in plain:
        yield plain[text].shape
        return
    head, _, reason = text.rpartition(" (")
    if reason.removesuffix(")") in plain:
        yield plain[reason.removesuffix(")")].shape
        yield from _shapes(head, plain, placed)
        return
    for template in placed:
        values = template.values(text)
        if values is not None:
            yield template.shape
            for value in values.values():
                for part in {value, *value.split("; ")} - {text}:
                    yield from _shapes(part, plain, placed)
            return


if __name__ == "__main__":
    csv.field_size_limit(10**8)
    main(Path(sys.argv[-1]), more="--more" in sys.argv)
