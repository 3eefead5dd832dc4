"""The verb ``serve``: the pages of a site, or those that begin one in an empty folder, or mend one that does not open.

Its one rule: a folder that is not there is never made: it is more likely a slip in the name of a site than a wish for
another one.
"""

from __future__ import annotations

import shlex
import sys
from typing import TYPE_CHECKING, Any

from fieldbook.ledger import DamagedLedgerError
from fieldbook.site import Site, SiteError
from fieldbook.site.beginning import is_vacant

if TYPE_CHECKING:
    import argparse
    from pathlib import Path


def serve(folder: Path, options: argparse.Namespace) -> dict[str, Any]:
    """Show the pages until the program is stopped.

    Args:
        folder: the site's, or an empty one.
        options: ``host`` and ``port``.

    Raises:
        FieldbookError: there is no such folder or no site in it, or the address is taken.
    """
    from fieldbook.web.serving import (  # the other verbs start faster without the pages
        serve,
        serve_first_run,
        serve_mending,
    )

    where: dict[str, Any] = {"host": options.host, "port": options.port}
    where["say"] = lambda line: print(line, file=sys.stderr, flush=True)
    if folder.is_dir() and is_vacant(folder):
        serve_first_run(folder, **where)
        return {"served": True}
    if not folder.exists():
        make = f"mkdir -p {shlex.quote(str(folder))}"
        raise SiteError(
            f"there is no folder {folder}",
            hint=f"check its name; to begin a site there, make it with `{make}` and serve again",
        )
    try:
        site = Site.open(folder)
    except DamagedLedgerError as error:
        serve_mending(folder, error, **where)
        return {"served": True}
    try:
        serve(site, **where)
    finally:
        site.close()
    return {"served": True}
