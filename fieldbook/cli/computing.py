"""The verb ``compute``: one calculator from a file of JSON; needs no site.

Its one rule: what a calculator answers is printed whole, with its method, sources and cautions.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.cli.telling import told
from fieldbook.quantities import CALCULATORS, Output, QuantityError
from fieldbook.site import read_text_file

if TYPE_CHECKING:
    import argparse


def compute(options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Run a calculator, or say what it asks for.

    Raises:
        FieldbookError: the file cannot be read, or something in it is missing or out of range.
    """
    calculator = CALCULATORS[options.calculator]
    if options.describe:
        document = calculator.described()
        lines = [
            f"{told(calculator.title)}: {told(calculator.method)}.",
            *(_asked(each) for each in document["inputs"]),
        ]
        return document, [*lines, f"Holds for: {told(calculator.valid)}."]
    if options.file is None:
        raise QuantityError("no file was named", hint="name the JSON file with what is given, or ask with --describe")
    text = sys.stdin.read() if options.file == "-" else read_text_file(Path(options.file))
    try:
        given = json.loads(text, parse_float=str, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise QuantityError(f"{options.file} is not JSON", hint="write it like --describe says") from error
    document = calculator.run(given)
    lines = [line for one in calculator.outputs if one.name in document for line in _shown(one, document[one.name])]
    lines += [f"How: {told(document['method'])}.", f"Holds for: {told(document['valid'])}."]
    lines += [f"Source: {source['words']} ({source['mark']})." for source in document["sources"]]
    return document, [*lines, *map(told, document["cautions"])]


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object as it is written; a number with a decimal point stays the text that it is, so nothing of it is lost.

    Raises:
        QuantityError: a name stands in it twice, so that nobody knows which is meant.
    """
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(name for name, _ in pairs if sum(name == other for other, _ in pairs) > 1)
        raise QuantityError(f"{twice} stands there twice", hint="leave one of the two")
    return found


def _asked(one: dict[str, Any]) -> str:
    unit = f" [{one['unit']}]" if "unit" in one else ""
    lacking = " (may be left out)" if one["may_lack"] else ""
    choices = f": {', '.join(one['choices'])}" if "choices" in one else ""
    rows = "".join(f"\n    {_asked(each)}" for each in one.get("rows", ()))
    return f"  {one['name']}{unit}: {told(one['label'])}, {told(one['about'])}{choices}{lacking}{rows}"


def _shown(one: Output, value: Any) -> list[str]:
    if value is None:
        return []
    if isinstance(value, dict):
        return [f"{told(one.words)}: {_group(one, value)}"]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [f"{told(one.words)}:", *(f"  {_group(one, row)}" for row in value)]
    if isinstance(value, list):
        return [f"{told(one.words)}: {'; '.join(told(str(each)) for each in value)}"] if value else []
    return [f"{told(one.words)}: {_figure(value, one.unit)}"]


def _group(one: Output, group: dict[str, Any]) -> str:
    if "least" in group:
        return f"{group['least']} to {_figure(group['most'], one.unit)}"
    parts = ((each, group[each.name]) for each in one.rows if each.name in group)
    return ", ".join(f"{told(each.words)} {_figure(value, each.unit)}".strip() for each, value in parts)


def _figure(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return told("yes" if value else "no")
    return f"{told(value) if isinstance(value, str) else value} {told(unit)}".strip()
