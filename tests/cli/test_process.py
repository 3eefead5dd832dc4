"""The command as a program of its own: streams, exit codes, a prompt at a terminal, ports, and who holds a site."""

from __future__ import annotations

import json
import os
import pty
import re
import select
import socket
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import PASSPHRASE, practice

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from tests.cli.terminal import Terminal

PROGRAM = (sys.executable, "-m", "fieldbook")
PATIENCE_S = 30.0


def program(*words: object, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run ``fieldbook`` as a program, with nobody at its input."""
    return subprocess.run(
        [*PROGRAM, *(str(word) for word in words)],
        env=os.environ | environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=PATIENCE_S,
        check=False,
    )


def at_a_terminal(words: tuple[object, ...], typed: str, environment: Mapping[str, str]) -> tuple[int, str]:
    """Run ``fieldbook`` at a real terminal, type one line when it asks; the exit code and all that was on the screen."""
    screen, keys = pty.openpty()
    command = [*PROGRAM, *(str(word) for word in words)]
    with subprocess.Popen(
        command, stdin=keys, stdout=keys, stderr=keys, env=environment, start_new_session=True
    ) as child:
        os.close(keys)
        seen, answered = b"", 0
        while select.select([screen], [], [], PATIENCE_S)[0]:
            try:
                seen += os.read(screen, 4096)
            except OSError:
                break  # the other side of a terminal ends so
            if len(seen) > answered and seen.rstrip().endswith(b":"):  # each question gets the same answer
                os.write(screen, f"{typed}\n".encode())
                answered = len(seen) + 2  # the end of the line comes back
        os.close(screen)
        return child.wait(PATIENCE_S), seen.decode()


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch, terminal: Terminal) -> dict[str, str]:
    """An environment without a passphrase."""
    monkeypatch.delenv("FIELDBOOK_PASSPHRASE")
    return dict(os.environ)


def test_a_program_answers_on_its_streams_and_with_its_code(terminal: Terminal) -> None:
    site = ("--site", terminal.place("C"))
    done = program(*site, "write", terminal.entry_file(practice({"ar": "بصل"})), "--as", "C1", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    edition = json.loads(done.stdout)["edition"]
    shown = program(*site, "show", edition, LC_ALL="C", PYTHONIOENCODING="ascii")
    assert (shown.returncode, shown.stderr) == (0, "")
    assert shown.stdout.startswith("\\u0628\\u0635\\u0644\n")
    machine = program(*site, "show", edition, "--json", PYTHONIOENCODING="ascii")
    assert json.loads(machine.stdout)["title"] == {"ar": "بصل"}
    wrong = program(*site, "show", "f" * 64)
    assert (wrong.returncode, wrong.stdout) == (1, "")
    assert re.fullmatch(r"fieldbook: no edition here begins with f+ \(.+\)\n", wrong.stderr)
    usage = program(*site, "show")
    assert (usage.returncode, usage.stdout, usage.stderr.count("\n")) == (2, "", 1)


def test_a_passphrase_is_asked_for_and_not_shown(terminal: Terminal, bare: dict[str, str]) -> None:
    words = ("--site", terminal.place("C"), "write", terminal.entry_file(practice()), "--as", "C1")
    code, screen = at_a_terminal(words, PASSPHRASE, bare)
    assert (code, "Passphrase of C1:" in screen, "Offered for review" in screen) == (0, True, True)
    assert PASSPHRASE not in screen
    code, screen = at_a_terminal(words, "not this one", bare)
    assert code == 1
    assert "fieldbook: the passphrase does not open this key (" in screen


def test_a_passphrase_that_nobody_can_be_asked_for_is_named(terminal: Terminal, bare: dict[str, str]) -> None:
    words = ("--site", terminal.place("C"), "write", terminal.entry_file(practice()), "--as", "C1")
    done = program(*words)
    assert (done.returncode, done.stdout) == (1, "")
    assert "fieldbook: the passphrase of C1 is needed (set FIELDBOOK_PASSPHRASE" in done.stderr
    wrong = program(*words, FIELDBOOK_PASSPHRASE="not this one")
    assert (wrong.returncode, wrong.stdout) == (1, "")
    assert "does not open this key" in wrong.stderr


def test_a_new_key_is_locked_under_what_is_typed(terminal: Terminal, bare: dict[str, str]) -> None:
    words = ("--site", terminal.place("C"), "person", "C7", "--role", "trainer")
    assert at_a_terminal(words, "four plain words here", bare)[0] == 0
    entry = terminal.entry_file(practice())
    site = ("--site", terminal.place("C"), "write", entry, "--as", "C7")
    assert program(*site, FIELDBOOK_PASSPHRASE="four plain words here").returncode == 0
    assert program(*site, FIELDBOOK_PASSPHRASE=PASSPHRASE).returncode == 1
    words = ("--site", terminal.place("C"), "person", "C8", "--role", "trainer")
    code, screen = at_a_terminal(words, "abc", bare)
    assert (code, "shorter than" in screen) == (1, True)


def test_no_byte_of_a_passphrase_lies_in_the_sites_folder(terminal: Terminal) -> None:
    terminal.write("C1", practice())
    for path in terminal.place("C").rglob("*"):
        assert not path.is_file() or PASSPHRASE.encode() not in path.read_bytes()


@pytest.fixture
def server(terminal: Terminal) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """The pages of C, served at a free port by a program of its own."""
    process = subprocess.Popen(
        [*PROGRAM, "--site", str(terminal.place("C")), "serve", "--port", "0"],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stderr is not None
    said = process.stderr.readline()
    match = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
    assert match, said
    yield process, int(match[1])
    process.terminate()
    process.wait(PATIENCE_S)
    process.stderr.close()


def test_one_process_holds_a_site_at_a_time(terminal: Terminal, server: tuple[subprocess.Popen[str], int]) -> None:
    process, _ = server
    for words in (("verify",), ("person", "C2", "--role", "volunteer"), ("exchange", str(terminal.stick()))):
        answer = terminal.at("C", *words)
        assert (answer.code, answer.out) == (1, "")
        assert "another program is using the site in" in answer.err
        assert "(close it first" in answer.err
    assert terminal.asked("T", "verify")["ok"] is True
    process.terminate()
    process.wait(PATIENCE_S)
    assert terminal.asked("C", "verify")["ok"] is True


def test_a_port_in_use_is_said_and_the_site_is_let_go(
    terminal: Terminal, server: tuple[subprocess.Popen[str], int]
) -> None:
    _, port = server
    taken = program("--site", terminal.place("T"), "serve", "--port", port)
    assert (taken.returncode, taken.stdout) == (1, "")
    assert re.fullmatch(
        rf"fieldbook: the pages cannot be served at 127\.0\.0\.1 port {port} \(.*--port\)\n", taken.stderr
    )
    assert terminal.asked("T", "verify")["ok"] is True
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE_S):
        pass


def test_what_shows_no_pages_starts_without_what_draws_them(terminal: Terminal) -> None:
    command = (sys.executable, "-X", "importtime", "-m", "fieldbook", "--site", str(terminal.place("C")), "calendar")
    done = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_S, check=True)
    loaded = {line.rpartition("|")[2].strip() for line in done.stderr.splitlines()}
    assert loaded & {"fieldbook.site", "fieldbook.web.words", "flask", "jinja2", "waitress"} == {
        "fieldbook.site",
        "fieldbook.web.words",
    }


def test_a_reader_that_goes_away_is_no_error(terminal: Terminal) -> None:
    words = [*PROGRAM, "--site", str(terminal.place("C")), "calendar"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(PATIENCE_S) == 1


def test_stopping_the_pages_is_no_error(server: tuple[subprocess.Popen[str], int]) -> None:
    process, _ = server
    process.send_signal(2)
    assert process.wait(PATIENCE_S) in {0, 1}
    assert process.stderr is not None
    assert "Traceback" not in process.stderr.read()


@pytest.mark.parametrize("blocks", [20, 60])
def test_a_disk_that_takes_no_more_is_said_and_loses_nothing(terminal: Terminal, blocks: int) -> None:
    """No file may grow beyond so many blocks of 512 bytes, which is how a full disk shows itself to a program."""
    edition = terminal.write("C1", practice("Onions in rows"))
    entry = terminal.entry_file(practice("Leeks in rows"))
    for words in (("write", entry, "--as", "C1"), ("exchange", terminal.stick())):
        command = [*PROGRAM, "--site", terminal.place("C"), *words]
        limited = ["sh", "-c", f'ulimit -f {blocks}; exec "$@"', "sh", *(str(word) for word in command)]
        done = subprocess.run(limited, capture_output=True, text=True, timeout=PATIENCE_S, check=False)
        assert done.returncode == 1
        assert "Traceback" not in done.stderr
        assert done.stderr.startswith("fieldbook: ") or "do not rely on it alone" in done.stdout
    assert edition in terminal.found("C", "onions")
    terminal.carry("CL")
    assert [terminal.asked(letter, "verify")["ok"] for letter in "CL"] == [True, True]
