"""The server: its address is said, a taken port is said in a sentence, and stopping lets the site go."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site
from fieldbook.web import serve
from fieldbook.web.here import WebError

if TYPE_CHECKING:
    from tests.orrendal import Circle

START = """
import pathlib, signal, sys
from fieldbook.site import Site
from fieldbook.web import serve
signal.signal(signal.SIGINT, signal.default_int_handler)  # a suite that was put in the background ignores it
site = Site.open(pathlib.Path(sys.argv[1]))
try:
    serve(site, host="127.0.0.1", port=0, say=lambda line: print(line, flush=True))
finally:
    site.close()
"""


def test_a_port_in_use_is_said_in_one_sentence(planted: Circle) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(WebError) as raised:
            serve(planted["C"], host="127.0.0.1", port=taken.getsockname()[1], say=print)
    assert "cannot be served" in raised.value.message
    assert "--port" in raised.value.hint


def test_pages_are_served_until_the_program_is_stopped(planted: Circle) -> None:
    planted.shut("C")
    command = [sys.executable, "-c", START, str(planted.place("C"))]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=dict(os.environ)) as program:
        assert program.stdout is not None
        said = program.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", said)
        assert address is not None, said
        with urllib.request.urlopen(address[0]) as page:
            assert "Cloudstep Terrace" in page.read().decode()
        program.send_signal(signal.SIGINT)
        assert program.wait(10) == 0
    site = Site.open(planted.place("C"))
    site.close()
