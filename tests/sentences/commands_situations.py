"""Every refusal of the command itself, with what was typed."""

from __future__ import annotations

import contextlib
import io
import itertools
import shutil
from pathlib import Path
from typing import TYPE_CHECKING
from unittest.mock import patch

from fieldbook.cli import run
from fieldbook.quantities import CALCULATORS
from tests.cli.terminal import Terminal
from tests.orrendal import PASSPHRASE
from tests.sentences.areas import LIBRARY
from tests.sentences.asking import at_keyboard, terminal, told_on, typed
from tests.sentences.scene import Scene, Situation

if TYPE_CHECKING:
    from collections.abc import Callable

HELP = "type `{prog} --help` to see what can be typed"
DISK = "look whether the disk is full and the folder may be written"
NEW = ("new", "--name", "Reed", "--letter", "R", "--latitude", "5", "--elevation", "8", "--normals", "none.csv")


def types(*words: object) -> Callable[[Scene], object]:
    return lambda _: typed(*words)


def at_c(*words: object) -> Callable[[Scene], object]:
    return lambda _: typed("--site", terminal().place("C"), *words)


def nobody_there() -> str:
    raise EOFError


def stops() -> str:
    raise KeyboardInterrupt


def _no_memory(_: Scene) -> object:
    def none_left(_options: object) -> None:
        raise MemoryError

    with patch.dict("fieldbook.cli.verbs.WITHOUT_SITE", {"compute": none_left}):
        return typed("compute", min(CALCULATORS), "--describe")


def _answers_without_words(_: Scene) -> object:
    edition = terminal().asked("C", "search", "soap")["hits"][0]["edition"]
    return typed("--site", terminal().place("C"), "approve", edition, "--answer", "GEN-01", "--as", "C3")


def _half_a_file(scene: Scene) -> object:
    file = scene.fresh() / "given.json"
    file.write_text("{")
    return typed("compute", min(CALCULATORS), file)


def _voice_unheard(scene: Scene) -> object:
    """L1 adds a voice for a reviewer whom C1 proposed, without having heard from them."""
    place = scene.fresh()
    shutil.copytree(terminal().folder, place, dirs_exist_ok=True)
    here = Terminal(place)
    with patch.dict("os.environ", {"FIELDBOOK_PASSPHRASE": PASSPHRASE}):
        words = here.asked("C", "who", "T1")["words"]
        here.at("C", "grant", words, "--as", "C1").done()
        for letter in "CL":  # voices that wait for more are no clean exchange
            here.asked(letter, "exchange", here.stick())
        (motion,) = here.asked("L", "who")["motions"]
        return typed("--site", here.place("L"), "agree", motion["id"][:8], "--as", "L1")


def _two_passphrases(_: Scene) -> object:
    tries = (f"lantern gravel mango {n}" for n in itertools.count())
    return at_keyboard(lambda: next(tries), "--site", terminal().place("C"), "person", "C9", "--role", "trainer")


def _full_output(_: Scene) -> object:
    """The output of a command goes to a disk that is full."""
    said = io.StringIO()
    with Path("/dev/full").open("wb", buffering=0) as full:
        out = io.TextIOWrapper(full, write_through=True)
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
            run(["--site", str(terminal().place("C")), "calendar", "--json"])
        out.detach()
    return told_on(said.getvalue())


SITUATIONS = (
    Situation(LIBRARY[0], HELP, "a verb that is none", types("fly")),
    Situation(LIBRARY[1], HELP, "a port in words", at_c("serve", "--port", "much")),
    Situation(LIBRARY[2], HELP, "a site that is not named", types("--site")),
    Situation(LIBRARY[3], HELP, "an answer to what takes none", at_c("verify", "--json=yes")),
    Situation(LIBRARY[4], HELP, "a person without a role", types("person", "C9")),
    Situation(LIBRARY[5], HELP, "a word too many", types("verify", "--fast")),
    Situation(LIBRARY[6], HELP, "an option cut too short", types(*NEW[:3], "--l", "R")),
    Situation(LIBRARY[7], HELP, "more weeks than a year has", at_c("due", "--weeks", "9999")),
    Situation(
        "--people says who is on a photo",
        "type it right after --photo FILE, once for each",
        "who is on a photo, before any photo",
        types("write", "entry.json", "--people", "none", "--as", "C1"),
    ),
    Situation(
        "which site?",
        "say `--site DIR` before the verb, or set FIELDBOOK_SITE",
        "no site is named",
        types("verify"),
    ),
    Situation("which stick?", "name its folder", "a stick that is blank", at_c("exchange", " ")),
    Situation(
        "which stick? its name is empty",
        "name its folder after --carrier",
        "what a blank stick lacks",
        at_c("holds", "--carrier", " "),
    ),
    Situation(
        "no file was named",
        "name the JSON file with what is given, or ask with --describe",
        "a sum without what is given",
        types("compute", min(CALCULATORS)),
    ),
    Situation("{file} is not JSON", "write it like --describe says", "half a file for a sum", _half_a_file),
    Situation(
        "which place?",
        "say `--latitude N --elevation N` with the table, south negative",
        "a table of months without a place",
        types("climate", "months.csv"),
    ),
    Situation(
        "the equator lies between {whose} and this site: warm and cool months, and mostly the rains, come half a year "
        "apart",
        "say --other-side too, but only if people here say that it rains in the same months",
        "a climate from across the equator",
        lambda _: typed("--site", terminal().place("L"), "borrow", "T"),
    ),
    Situation(
        "there is no folder {folder}",
        "check its name; to begin a site there, make it with `mkdir -p {folder}` and serve again",
        "a new site in a folder that is not there",
        types("--site", "/no/such/garden", "serve"),
    ),
    Situation(
        "the words of {label} were not compared",
        'ask them for their eight words, and add --words "..."',
        "a voice for somebody whose words nobody compared",
        _voice_unheard,
    ),
    Situation(
        "--network TITLE and --steward LABEL go together",
        "give both, or neither: the first signatory founds the network",
        "a network without a first steward",
        types("--site", "reed", *NEW, "--network", "Reed Circle"),
    ),
    Situation(
        "--answer {text} lacks its words",
        "write --answer RULE=WORDS",
        "an answer without words",
        _answers_without_words,
    ),
    Situation(
        "there is no person {person} at this site",
        "name a person of this site; each signs at their own",
        "somebody of another site",
        at_c("offer", "draft-1", "--as", "L1"),
    ),
    Situation(
        "the passphrase of {label} is needed",
        "set FIELDBOOK_PASSPHRASE, or run it in a terminal",
        "nobody is there to type it",
        at_c("person", "C9", "--role", "trainer"),
    ),
    Situation(
        "no passphrase of {label} was typed",
        "type it, and press Enter",
        "the terminal is closed at the question",
        lambda _: at_keyboard(nobody_there, "--site", terminal().place("C"), "person", "C9", "--role", "trainer"),
    ),
    Situation(
        "the two passphrases are not the same",
        "type it again, slowly; nothing was made",
        "typed in two ways",
        _two_passphrases,
    ),
    Situation(
        "the recovery phrase is needed",
        "set FIELDBOOK_RECOVERY, or run it in a terminal",
        "putting back with nobody to type the words",
        types("restore", "site.backup", "there"),
    ),
    Situation(
        "stopped before it was done",
        "begin it again; what was acknowledged before is safe",
        "Ctrl-C at a question",
        lambda _: at_keyboard(stops, "restore", "site.backup", "there"),
    ),
    Situation(
        "this machine has too little memory for that",
        "close other programs, then do it again",
        "memory runs out",
        _no_memory,
    ),
    Situation("this machine could not do it ({reason})", DISK, "the disk is full", _full_output),
    Situation(
        "this machine could not do it ({reason}: {file})",
        DISK,
        "a folder of a name that no disk can hold",
        types("--site", "x" * 300, "verify"),
    ),
)
