"""The server: the pages of one site at one address, until it is stopped.

Not the pages. Its one rule: an address that is taken is said in one sentence, and the site is let go in the end.
"""

from __future__ import annotations

import socket
from typing import TYPE_CHECKING

from waitress import create_server  # type: ignore[import-untyped]

from fieldbook.web.app import create_app
from fieldbook.web.here import EXTENSION, WebError

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.site import Site

THREADS = 8
PORT_MAX = 65_535
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
    app = create_app(site, hosts=() if host in ANYWHERE else (host,))
    listening = _listen(host, port)
    server = create_server(app, sockets=[listening], threads=THREADS, ident="Tried Ground")
    shown = "127.0.0.1" if host in ANYWHERE else f"[{host}]" if ":" in host else host
    say(f"Tried Ground, site {site.letter}: http://{shown}:{listening.getsockname()[1]}/  (stop with Ctrl-C)")
    try:
        server.run()
    finally:
        app.extensions[EXTENSION]["work"].wait()
        server.close()


def _listen(host: str, port: int) -> socket.socket:
    if not 0 <= port <= PORT_MAX:
        raise WebError(f"there is no port {port}", hint=f"name one from 1024 to {PORT_MAX} with --port")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family)
    except OSError as error:
        raise WebError(
            f"the pages cannot be served at {host} port {port} ({error})",
            hint="another program may use the port: name another one with --port",
        ) from error
