"""One command from its words to its exit code.

An error of ours or theirs becomes one sentence with a hint on the error stream; with ``--json`` it is also told to the
machine that reads the output. Nothing that a person can type ends in a traceback.
"""

from __future__ import annotations

import json
import os
import re
import sys
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.cli import verbs
from fieldbook.cli.arguments import UsageError, build_parser
from fieldbook.cli.telling import told
from fieldbook.errors import FieldbookError
from fieldbook.site import Site

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence

DONE, REFUSED, WRONG_USAGE = 0, 1, 2
_parser = cache(build_parser)  # some hundred verbs and options: made once in a process
_COMMANDS_OF_TERMINALS = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code: 0 done, 1 refused or found wrong, 2 wrong usage."""
    try:
        options = _parser().parse_args(arguments)
        return _run_verb(options)
    except UsageError as error:
        _complain(error.message, error.hint)
        return WRONG_USAGE
    except SystemExit as request:  # argparse ends `--help` this way
        return int(request.code or 0)
    except FieldbookError as error:
        return _refuse(error, as_json="--json" in arguments)
    except (OSError, MemoryError) as error:
        return _machine_refused(error)
    except KeyboardInterrupt:
        print(file=sys.stderr)  # after the ^C that the terminal shows, or a question
        _complain("stopped before it was done", "begin it again; what was acknowledged before is safe")
        return REFUSED


def _refuse(error: FieldbookError, *, as_json: bool) -> int:
    faults: Sequence[object] = getattr(error, "faults", ())
    _complain(error.message, error.hint, faults)
    if as_json:
        _print_json({"error": error.message, "hint": error.hint, "faults": [str(fault) for fault in faults]})
    return REFUSED


def _machine_refused(error: OSError | MemoryError) -> int:
    if isinstance(error, MemoryError):
        _complain("this machine has too little memory for that", "close other programs, then do it again")
    elif isinstance(error, BrokenPipeError):
        # the reader of the output went away; what was done stays done
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    else:
        where = f": {error.filename}" if error.filename else ""
        reason = (error.strerror or "no reason given").lower()
        _complain(
            f"this machine could not do it ({reason}{where})",
            "look whether the disk is full and the folder may be written",
        )
    return REFUSED


def _run_verb(options: argparse.Namespace) -> int:
    without_site = verbs.WITHOUT_SITE.get(options.verb)
    if without_site is not None:
        result = without_site(options)
    else:
        with _open_site(options) as site:
            result = _with_standing(site, verbs.WITH_SITE[options.verb](site, options))
    if options.json:
        _print_json(result.document)
    else:
        for line in result.lines:
            _print_line(line)
    return result.code


def _with_standing(site: Site, result: verbs.Result) -> verbs.Result:
    """A result at a site about which there is something to know says so: no network, a missing withdrawal, rivals."""
    alarms = {"outside": site.outside, "stops_lacking": site.stops_lacking, "rivals": site.rivals_alarm}
    notices = site.notices | {name: words for name, words in alarms.items() if words is not None}
    if not notices:
        return result
    return replace(result, document={**result.document, **notices}, lines=[*result.lines, *notices.values()])


@contextmanager
def _open_site(options: argparse.Namespace) -> Iterator[Site]:
    site = Site.open(verbs.site_folder(options))
    try:
        yield site
    finally:
        site.close()


def _print_json(document: dict[str, Any]) -> None:
    text = json.dumps(document, ensure_ascii=False, indent=1, sort_keys=True)
    print(text if _can_print(text) else json.dumps(document, indent=1, sort_keys=True))


def _print_line(line: str) -> None:
    """Print words that may come from afar: what would command the terminal is shown, not obeyed."""
    plain = _COMMANDS_OF_TERMINALS.sub("\N{REPLACEMENT CHARACTER}", line)
    encoding = sys.stdout.encoding or "utf-8"
    print(plain if _can_print(plain) else plain.encode(encoding, "backslashreplace").decode(encoding))


def _can_print(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _complain(message: str, hint: str, faults: Sequence[object] = ()) -> None:
    print(f"fieldbook: {told(message, hint)}", file=sys.stderr)
    more = [str(fault) for fault in faults if str(fault) not in message]
    for fault in more if len(more) > 1 else ():
        print(f"fieldbook:   {told(fault)}", file=sys.stderr)
