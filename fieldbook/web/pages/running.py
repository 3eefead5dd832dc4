"""The sheet on how this site is run, to be printed and kept beside the laptop.

Not the recovery sheet. Its one rule: no secret stands on it.
"""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

from flask import Blueprint, render_template

from fieldbook.web.fingerprints import fingerprints
from fieldbook.web.here import signed_in, site
from fieldbook.web.pages.people import people_here

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("running", __name__)


@pages.get("/running")
@signed_in()
def sheet() -> ResponseReturnValue:
    """Say where the site lies, who is here, and the words by which it is known."""
    folder = str(site().folder.absolute())
    return render_template(
        "running.html", folder=folder, quoted=shlex.quote(folder), here=people_here(), **fingerprints(site())
    )
