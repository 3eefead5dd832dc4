"""The command as a person or a program meets it: what is typed, what comes back on which stream, with which exit code.

Runs in this process, for speed; ``test_process`` runs a few as programs of their own. Its one rule: every refusal is
looked at in the same way, here.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.cli import run

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FOLDERS = {"C": "cloudstep", "T": "thornpan", "L": "longshade", "S": "saltreed"}


@dataclass(frozen=True)
class Answer:
    """What one command gave back."""

    typed: tuple[str, ...]
    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The document that it printed, and nothing else on that stream."""
        document: dict[str, Any] = json.loads(self.out)
        return document

    def done(self) -> Answer:
        """Itself, having succeeded quietly."""
        assert (self.code, self.err) == (0, ""), self
        return self


def type_words(*words: object) -> Answer:
    """Type ``fieldbook`` and these words."""
    typed = tuple(str(word) for word in words)
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = run(typed)
    return Answer(typed, code, out.getvalue(), err.getvalue())


def refused(answer: Answer, *parts: str, code: int = 1) -> None:
    """Check a refusal: its exit code, one sentence with a hint on the error stream, and what it must say."""
    assert answer.code == code, answer
    first, *rest = answer.err.splitlines()
    assert re.fullmatch(r"fieldbook: \S.*( \(.{4,}\)|[;?,] .+)", first), first
    assert all(line.startswith("fieldbook:   ") for line in rest), rest
    assert "Traceback" not in answer.err
    assert "--json" in answer.typed or answer.out == "", answer.out
    missing = [part for part in parts if part not in answer.err]
    assert not missing, f"{missing} not in {answer.err!r}"


@dataclass(frozen=True)
class Terminal:
    """A terminal at which all four sites of the scenario can be named by their letters."""

    folder: Path

    def place(self, letter: str) -> Path:
        """The folder of a site."""
        return self.folder / FOLDERS[letter]

    def at(self, letter: str, *words: object) -> Answer:
        """Type a command at a site."""
        return type_words("--site", self.place(letter), *words)

    def asked(self, letter: str, *words: object) -> dict[str, Any]:
        """What a command says to a machine; it must succeed."""
        return self.at(letter, *words, "--json").done().json

    def stick(self, name: str = "stick") -> Path:
        """A stick by its name."""
        stick = self.folder / "sticks" / name
        stick.mkdir(parents=True, exist_ok=True)
        return stick

    def carry(self, letters: str, name: str = "stick") -> None:
        """Carry a stick from site to site; each exchange must be clean."""
        for letter in letters:
            report = self.asked(letter, "exchange", self.stick(name))
            assert (report["refused"], report["waiting"]) == ([], 0)

    def entry_file(self, document: object, name: str = "entry.json") -> Path:
        """A file with an entry: a document, or text or bytes as they are."""
        path = self.folder / "desk" / name
        path.parent.mkdir(exist_ok=True)
        text = document if isinstance(document, str | bytes) else json.dumps(document, ensure_ascii=False)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def write(self, label: str, document: object, *options: object) -> str:
        """A person writes an entry at their site; the id of the edition."""
        said = self.asked(label[0], "write", self.entry_file(document), "--as", label, *options)
        edition: str = said["edition"]
        return edition

    def approve(self, label: str, edition: str, *options: object) -> None:
        """A reviewer approves, answering whatever the rules ask."""
        found = self.asked(label[0], "findings", edition)["findings"]
        open_rules = sorted({one["rule"] for one in found if one["result"] in {"answer", "unknown"}})
        answers = [word for rule in open_rules for word in ("--answer", f"{rule}=common practice in this trade")]
        self.at(label[0], "approve", edition, *answers, *options, "--as", label).done()

    def hits(self, letter: str, *words: str) -> list[dict[str, Any]]:
        """What a search at a site finds."""
        hits: list[dict[str, Any]] = self.asked(letter, "search", *words)["hits"]
        return hits

    def found(self, letter: str, *words: str) -> dict[str, tuple[str, str | None]]:
        """State and standing of each edition that a search at a site finds."""
        return {hit["edition"]: (hit["state"], hit["standing"]) for hit in self.hits(letter, *words)}

    @contextlib.contextmanager
    def nothing_lost(self, *letters: str) -> Iterator[None]:
        """Check that sites hold the same before and after, and verify."""
        before = [self.asked(letter, "verify") for letter in letters]
        yield
        assert [self.asked(letter, "verify") for letter in letters] == before
        assert all(one["ok"] is True and one["problems"] == [] for one in before)
