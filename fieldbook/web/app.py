"""The application: one site, its pages, and what keeps them safe, put together once.

Not a page itself. Its one rule: whoever makes an app gives it the site; nothing here is global.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from flask import Flask, request, url_for

from fieldbook.languages import autonym, direction
from fieldbook.web import code_words, local_words, season_words, sum_said, words
from fieldbook.web.differences import place_words
from fieldbook.web.frame import frame_of
from fieldbook.web.guard import guard_app
from fieldbook.web.here import EXTENSION, signer
from fieldbook.web.pages import BLUEPRINTS
from fieldbook.web.sitting import Sittings
from fieldbook.web.work import Work

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.site import Site

REQUEST_MAX_BYTES = 48 * 1024 * 1024  # three photos of a phone
FORM_MEMORY_MAX_BYTES = 2 * 1024 * 1024  # an entry's text, twice
FORM_PARTS_MAX = 6000  # the boxes of the longest entry
STICK_ROOTS = ("/media", "/run/media", "/mnt", "/Volumes")


def create_app(site: Site, *, hosts: Sequence[str] = (), stick_roots: Sequence[str] = STICK_ROOTS) -> Flask:
    """Make the pages of a site.

    Args:
        site: the open site.
        hosts: names under which this laptop is reached, besides ``localhost`` and every numeric address.
        stick_roots: folders below which this machine shows its sticks.
    """
    app = Flask(__name__)
    app.config.update(
        SECRET_KEY=site.random(32),
        MAX_CONTENT_LENGTH=REQUEST_MAX_BYTES,
        MAX_FORM_MEMORY_SIZE=FORM_MEMORY_MAX_BYTES,
        MAX_FORM_PARTS=FORM_PARTS_MAX,
        NAMES_OF_THIS_LAPTOP=frozenset(hosts),
        STICK_ROOTS=tuple(Path(root) for root in stick_roots),
        SESSION_COOKIE_NAME=f"tried_ground_{site.letter}",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Strict",
        WTF_CSRF_TIME_LIMIT=None,  # a form left open over lunch is still good
    )
    app.extensions[EXTENSION] = {
        "site": site,
        "sittings": Sittings(site.random),
        "work": Work(site.lock),
    }
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.globals.update(
        words=words,
        code_words=code_words,
        season=season_words,
        local=local_words,
        sum_said=sum_said,
        autonym=autonym,
        direction=direction,
        place_words=place_words,
    )
    app.jinja_env.filters["capitalize_first"] = words.sentence
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    guard_app(app)
    _share_with_templates(app, site)
    return app


def style_mark(app: Flask) -> str:
    """What stands in the address of the style, so that a changed one is asked for anew."""
    style = Path(str(app.static_folder), "field.css").read_bytes()
    return hashlib.sha256(style).hexdigest()[:12]


def _share_with_templates(app: Flask, site: Site) -> None:
    mark = style_mark(app)

    @app.context_processor
    def frame() -> dict[str, object]:
        person = signer() if request.endpoint != "static" else None
        return {
            "site": site,
            "signer": person,
            "frame": frame_of(site, person),
            "signer_roles": words.roles(person.roles) if person else "",
            "pages": words.pages(person),
            "style_address": url_for("static", filename="field.css", v=mark),
        }
