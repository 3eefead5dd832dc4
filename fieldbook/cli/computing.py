"""The verb ``compute``: one calculator from a file of JSON; needs no site.

Its one rule: what a calculator answers is printed whole, with its method, sources and cautions.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.quantities import CALCULATORS, QuantityError
from fieldbook.site import read_text_file

if TYPE_CHECKING:
    import argparse

_LAST = ("method", "valid", "sources", "cautions", "calculator")


def compute(options: argparse.Namespace) -> tuple[dict[str, Any], list[str]]:
    """Run a calculator, or say what it asks for.

    Raises:
        FieldbookError: the file cannot be read, or something in it is missing or out of range.
    """
    calculator = CALCULATORS[options.calculator]
    if options.describe:
        document = calculator.described()
        lines = [f"{calculator.title}: {calculator.method}.", *(_asked(each) for each in document["inputs"])]
        return document, [*lines, f"Holds for: {calculator.valid}."]
    if options.file is None:
        raise QuantityError("no file was named", hint="name the JSON file with what is given, or ask with --describe")
    text = sys.stdin.read() if options.file == "-" else read_text_file(Path(options.file))
    try:
        given = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise QuantityError(f"{options.file} is not JSON", hint="write it like --describe says") from error
    document = calculator.run(given)
    lines = [line for name, value in document.items() if name not in _LAST for line in _shown(name, value)]
    lines += [f"How: {document['method']}.", f"Holds for: {document['valid']}."]
    lines += [f"Source: {source['words']} ({source['mark']})." for source in document["sources"]]
    return document, [*lines, *document["cautions"]]


def _asked(told: dict[str, Any]) -> str:
    unit = f" [{told['unit']}]" if "unit" in told else ""
    lacking = " (may be left out)" if told["may_lack"] else ""
    choices = f": {', '.join(told['choices'])}" if "choices" in told else ""
    rows = "".join(f"\n    {_asked(each)}" for each in told.get("rows", ()))
    return f"  {told['name']}{unit}: {told['about']}{choices}{lacking}{rows}"


def _shown(name: str, value: Any) -> list[str]:
    if isinstance(value, dict):
        return [f"{name}: " + ", ".join(f"{key} {each}" for key, each in value.items())]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [f"{name}:", *("  " + ", ".join(str(each) for each in row.values()) for row in value)]
    if isinstance(value, list):
        return [f"{name}: {', '.join(map(str, value))}"] if value else []
    return [f"{name}: {value}"]
