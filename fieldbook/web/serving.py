"""The server: the pages of one site at one address, until it is stopped; or those that begin or mend one.

Not the pages. Its one rule: an address that is taken is said in one sentence, and the site is let go in the end.
"""

from __future__ import annotations

import os
import socket
from typing import TYPE_CHECKING

from waitress import create_server  # type: ignore[import-untyped]

from fieldbook.web.app import create_app
from fieldbook.web.first_run import FirstRun
from fieldbook.web.here import EXTENSION, WebError
from fieldbook.web.mend_run import MendRun

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from wsgiref.types import WSGIApplication

    from fieldbook.errors import FieldbookError
    from fieldbook.site import Site

THREADS = 8
PORT_MAX = 65_535
LOOPBACK = frozenset({"127.0.0.1", "::1", "localhost"})
ANYWHERE = frozenset({"0.0.0.0", "::"})  # noqa: S104 -- named here to say what they mean, bound only when asked for


def serve(site: Site, *, host: str, port: int, say: Callable[[str], None]) -> None:
    """Serve the pages of a site until the program is stopped.

    Args:
        site: the open site.
        host: the address to answer at; ``0.0.0.0`` answers at every address of this laptop.
        port: the port; 0 takes a free one.
        say: where to say the address.

    Raises:
        WebError: the port is in use, or the address is not this machine's.
    """
    app = create_app(site, hosts=_names(host))
    _answer(app, f"site {site.letter}", host=host, port=port, say=say, finish=app.extensions[EXTENSION]["work"].wait)


def serve_mending(folder: Path, why: FieldbookError, *, host: str, port: int, say: Callable[[str], None]) -> None:
    """Serve the pages that mend a site whose store did not open, then the site, until the program is stopped.

    Args:
        folder: the site's.
        why: what its opening said.
        host: as for ``serve``; until it is mended only this machine is answered.
        port: the port; 0 takes a free one.
        say: where to say the address.

    Raises:
        FieldbookError: the notebook cannot be read either, or as for ``serve``.
    """
    run = MendRun(folder, why, hosts=_names(host))
    _answer(run, "a site to be mended", host=host, port=port, say=say, finish=run.close)


def serve_first_run(folder: Path, *, host: str, port: int, say: Callable[[str], None]) -> None:
    """Serve the pages that begin a site in a folder, and from then on the site, until the program is stopped.

    Args:
        folder: not there yet, or empty.
        host: loopback, or everywhere; a new site is set up from this machine only.
        port: the port; 0 takes a free one.
        say: where to say the address.

    Raises:
        WebError: the folder cannot be written, the address is another one, or as for ``serve``.
    """
    if host not in ANYWHERE | LOOPBACK:
        raise WebError(
            "a new site is set up at this laptop itself", hint="leave --host out until the site has begun, then name it"
        )
    # a site is built beside its place and moved there, so it is the folder around it that must take a new one
    around = next(place for place in folder.absolute().parents if place.exists())
    if not os.access(around, os.W_OK):
        raise WebError(
            f"the folder {around} cannot be written, and a site is built there first",
            hint="name a folder within one of your own with --site",
        )
    if folder.is_mount():
        raise WebError(
            f"the folder {folder} is a disk of its own, and a site cannot be moved onto it whole",
            hint=f"make a folder in it, such as {folder / 'site'}, and name that with --site",
        )
    first = FirstRun(folder, hosts=_names(host))
    _answer(first, "a new site", host=host, port=port, say=say, finish=first.close)


def _names(host: str) -> tuple[str, ...]:
    return () if host in ANYWHERE else (host,)


def _answer(
    app: WSGIApplication, what: str, *, host: str, port: int, say: Callable[[str], None], finish: Callable[[], None]
) -> None:
    listening = _listen(host, port)
    server = create_server(app, sockets=[listening], threads=THREADS, ident="Tried Ground")
    shown = "127.0.0.1" if host in ANYWHERE else f"[{host}]" if ":" in host else host
    say(f"Tried Ground, {what}: http://{shown}:{listening.getsockname()[1]}/  (stop with Ctrl-C)")
    try:
        server.run()
    finally:
        finish()
        server.close()


def _listen(host: str, port: int) -> socket.socket:
    if not 0 <= port <= PORT_MAX:
        raise WebError(f"there is no port {port}", hint=f"name one from 1024 to {PORT_MAX} with --port")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family)
    except OSError as error:
        raise WebError(
            f"the pages cannot be served at {host} port {port} ({os.strerror(error.errno or 0).lower()})",
            hint="stop the program that uses the port, or name another one with --port",
        ) from error
