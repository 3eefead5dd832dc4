"""A site with checked entries, its pages, and a visitor who reads and sends its forms.

Not a test. Its one rule: entries come to be as people make them; a visitor sends only what a form on the page holds.
"""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.site import PhotoIn, Site
from fieldbook.web import create_app
from fieldbook.web.here import EXTENSION, SITTING
from tests.orrendal import Circle, copy_of_circle, fast_folder
from tests.starters import FOLDERS, answers_of, entry_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from flask import Flask
    from werkzeug.test import TestResponse

STARTERS = ("dung-steep", "aphid-soap")
_TOKEN = re.compile(r'name="csrf_token" value="([^"]+)"')


@cache
def planted_template() -> Circle:
    """The network with two starter entries written and approved at C; closed, never to be changed."""
    circle = copy_of_circle(fast_folder())
    for name in STARTERS:
        document = entry_of(name)
        photos = [PhotoIn(p["name"], (FOLDERS[name] / p["file"]).read_bytes(), p["people"]) for p in document["photos"]]
        edition = circle.write("C1", document, photos=photos)
        said = next(one for one in answers_of(name)["approvals"] if one["reviewer"] == "C3")
        circle["C"].approve(edition, signer=circle.signer("C3"), answers=said["answers"], limits=said.get("limits", ()))
    circle["C"].learn_index()  # else every copy would
    circle.close()
    return circle


def planted_copy(folder: Path) -> Circle:
    """The planted network in a folder of its own, with C open."""
    source = planted_template()
    shutil.copytree(source.folder, folder, dirs_exist_ok=True)
    circle = Circle(folder, source.keys)
    circle.open("C")
    return circle


@dataclass
class Visitor:
    """A person at the pages of a site."""

    app: Flask
    circle: Circle
    page: str = ""
    status: int = 0
    client: Any = field(init=False)

    def __post_init__(self) -> None:
        """Begin as a reader without a name."""
        self.client = self.app.test_client()

    @property
    def site(self) -> Site:
        """The site whose pages these are."""
        found = self.app.extensions[EXTENSION]["site"]
        assert isinstance(found, Site)
        return found

    def sit(self, label: str) -> Visitor:
        """Be signed in, without the slow opening of a key (that has its own tests)."""
        sitting = self.app.extensions[EXTENSION]["sittings"].begin(self.circle.signer(label))
        with self.client.session_transaction() as session:
            session[SITTING] = sitting
        return self

    def get(self, path: str, **options: Any) -> TestResponse:
        """Open a page, following where it leads."""
        return self._keep(self.client.get(path, follow_redirects=True, **options))

    def post(self, path: str, data: Mapping[str, Any], **options: Any) -> TestResponse:
        """Send a form with the token of the page that is open."""
        token = _TOKEN.search(self.page)
        sent = {**data, "csrf_token": token[1] if token else ""}
        return self._keep(self.client.post(path, data=sent, follow_redirects=True, **options))

    def _keep(self, response: TestResponse) -> TestResponse:
        self.status = response.status_code
        self.page = response.get_data(as_text=True) if response.mimetype == "text/html" else ""
        return response

    def words(self) -> str:
        """What the page says, without its markup."""
        text = re.sub(r"<[^>]+>", " ", re.sub(r"<(head|style)\b.*?</\1>", " ", self.page, flags=re.DOTALL))
        for entity, character in (("&#39;", "'"), ("&#34;", '"'), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")):
            text = text.replace(entity, character)
        return " ".join(text.split())


def visitor_of(circle: Circle, letter: str = "C", **options: Any) -> Visitor:
    """A visitor at the pages of one site of a network."""
    app = create_app(circle[letter], **options)
    app.testing = True
    return Visitor(app, circle)


def entry_with(circle: Circle, words: str) -> str:
    """The entry whose English title holds these words."""
    found = [card.entry for card in circle["C"].cards() if words in card.title.get("en", "")]
    assert len(found) == 1, f"{len(found)} entries say {words!r}"
    return found[0]


def copy_of(document: Mapping[str, Any]) -> dict[str, Any]:
    """A document that may be changed."""
    copied = json.loads(json.dumps(document))
    assert isinstance(copied, dict)
    return copied
