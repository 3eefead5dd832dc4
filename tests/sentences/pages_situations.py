"""Every refusal of the pages, with the situation in which a person reads it."""

from __future__ import annotations

import socket
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

from fieldbook.site import Site, begin_site
from fieldbook.web import create_app, serve
from fieldbook.web.here import EXTENSION
from fieldbook.web.sticks import chosen_folder
from fieldbook.web.work import Progressing
from tests.orrendal import PASSPHRASE, practice, site_facts
from tests.sentences.asking import fault, parted, planted, refused, visitor
from tests.sentences.scene import Scene, Situation
from tests.web.gardens import Visitor, visitor_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from flask import Flask

ODD = "the request was not complete, so nothing was done"
KIB = 1024


def opens(path: str, label: str = "", **options: object) -> Callable[[Scene], object]:
    """What a page answers to whoever opens it."""

    def come(_: Scene) -> tuple[str, str]:
        here = visitor().sit(label) if label else visitor()
        here.get(path, **options)
        return refused(here)

    return come


def _another_draft(_: Scene) -> object:
    here = planted()["C"]
    draft = here.write(practice("Mint in a tin"), signer=planted().signer("C1"), draft=True).draft
    reviewer = visitor().sit("C3")
    reviewer.get(f"/write/form?draft={draft}")
    return refused(reviewer)


def _while_exchanging(_: Scene) -> object:
    here = visitor().sit("C1")
    here.get("/write/form")
    here.app.extensions[EXTENSION]["work"].last = Progressing("/media/stick")
    here.post("/write/form", {"action": "draft"})
    return refused(here)


def _old_form(_: Scene) -> object:
    here = visitor()
    here._keep(here.client.post("/people/sign-in", data={"label": "C1"}))
    return refused(here)


def _foreign_name(_: Scene) -> object:
    return parted(visitor().client.get("/", headers={"Host": "garden.example"}).get_data(as_text=True))


def _joined_unseen(scene: Scene) -> object:
    place = scene.fresh() / "drywell"
    begin_site(place, replace(site_facts("T"), letter="D", name="Dry Well"), founding=None)
    with scene.new_circle() as circle:
        circle.carry("C")
        with closing(Site.open(place)) as site:
            site.add_person("D1", role="trainer", passphrase=PASSPHRASE)
            circle.sites["D"], circle.keys["D1"] = site, site.unlock("D1", PASSPHRASE).key
            newcomer = visitor_of(circle, "D").sit("D1")
            newcomer.get("/joining/")
            newcomer.post("/joining/leave", {"folder": str(circle.stick)})
            del circle.sites["D"]
    return fault(newcomer, "same")


def _let_in_unseen(scene: Scene) -> object:
    place = scene.fresh() / "drywell"
    begin_site(place, replace(site_facts("T"), letter="D", name="Dry Well"), founding=None)
    with scene.new_circle() as circle, closing(Site.open(place)) as asking:
        circle.carry("C")
        asking.request_join(circle.stick)
        circle.carry("C")
        steward = visitor_of(circle).sit("C1")
        key = circle["C"].joins_waiting()[0].key
        steward.get(f"/joining/sites/{key}")
        steward.post(f"/joining/sites/{key}", {})
    return fault(steward, "same")


def _posted(path: str, sent: dict[str, str], label: str = "C1") -> Visitor:
    here = visitor().sit(label)
    here.get(path)
    here.post(path, sent)
    return here


def _unsure(_: Scene) -> object:
    sent = {"language": "en", "carried": "{}", "title": "Mint in a tin", "kind": "growing", "action": "offer"}
    return fault(_posted("/write/form", sent), "sure")


def _no_object(_: Scene) -> object:
    here = _posted("/write/whole", {"text": "[1, 2"})
    return parted(here.page.split('role="alert"')[1].split("<li>")[1].split("</li>")[0])


def _half_a_form(_: Scene) -> object:
    return refused(_posted("/write/form", {"language": "en", "carried": "{", "action": "draft"}))


def _too_large(_: Scene) -> object:
    here = visitor().sit("C1")
    here.get("/write/whole")
    here.app.config["MAX_CONTENT_LENGTH"] = 8 * KIB
    here.post("/write/whole", {"text": "x" * 9 * KIB})
    return refused(here)


def _many_tries(_: Scene) -> object:
    here = visitor()
    here.get("/people/sign-in")
    for _try in range(11):
        here.post("/people/sign-in", {"label": "nobody", "passphrase": "x"})
    return refused(here)


def _broken(scene: Scene) -> object:
    """The store of a site goes away under its pages."""
    with scene.new_circle() as circle:
        app: Flask = create_app(circle["C"])
        circle.shut("C")
        here = Visitor(app, circle)
        here.get("/practices")
    return refused(here)


def _taken_port(_: Scene) -> object:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        serve(planted()["C"], host="127.0.0.1", port=taken.getsockname()[1], say=print)
    return None


def _high_port(_: Scene) -> object:
    serve(planted()["C"], host="127.0.0.1", port=70_000, say=print)
    return None


def _chosen(typed: str) -> Callable[[Scene], Path]:
    return lambda _: chosen_folder({"typed": typed})


def _unsafe(not_left: int, not_proven: int) -> Callable[[Scene], object]:
    """What the page says of an exchange, which the stick kept from being whole."""

    def come(_: Scene) -> tuple[str, str]:
        here = visitor().sit("C1")
        report = replace(
            planted()["C"].exchange(planted().new_stick("unsafe")), not_left=not_left, not_proven=not_proven
        )
        here.app.extensions[EXTENSION]["work"].last = Progressing("/media/stick", report=report, ended=True)
        here.get("/exchange/now")
        return parted(here.page.split("</h1>")[1].split("<p>")[1].split("</p>")[0])

    return come


def _broken_exchange(_: Scene) -> object:
    here = visitor().sit("C1")
    here.app.extensions[EXTENSION]["work"].last = Progressing("/media/stick", ended=True)
    here.get("/exchange/now")
    return parted(here.page.split('class="lead">')[1].split("</p>")[0])


def _unanswered(_: Scene) -> object:
    here = visitor()
    here.get("/search?q=qqqqxx")
    return parted(here.page.split("</h1>")[1].split("<p>")[1].split("</p>")[0])


SITUATIONS = (
    Situation(
        "nothing here answers that",
        "try other words: the name of the plant or animal, the part that looks ill, or what you see on it; any of your "
        "languages will do",
        "a search for a word that nobody wrote",
        _unanswered,
    ),
    Situation(
        "files that found no room on the stick or could not be written: {number}",
        "make room, or use another stick, and exchange once more",
        "a full stick",
        _unsafe(3, 0),
    ),
    Situation(
        "files that were written but could not be read back from the stick itself: {number}",
        "do not rely on this stick alone: exchange once more, or with another one",
        "a stick that hides what is on it",
        _unsafe(0, 2),
    ),
    Situation(
        "something broke in the middle",
        "put the stick in again and begin once more; what was taken in before is safe",
        "an exchange ended by a fault of ours",
        _broken_exchange,
    ),
    Situation(
        "{name} belongs to {author}",
        "ask {author} to sign in and go on with it",
        "a reviewer opens a trainer's draft",
        _another_draft,
    ),
    Situation(
        "an exchange is running on this laptop",
        "wait until it is done, then send this again",
        "a draft is sent while an exchange runs",
        _while_exchanging,
    ),
    Situation(
        "this form is too old, or comes from another page, so nothing was done",
        "go back, load the page again, and send it once more; where you were signed in, sign in again",
        "a form without its token",
        _old_form,
    ),
    Situation(
        "this laptop does not answer under that name",
        "use the address on the card beside it",
        "a foreign name is pointed at the laptop",
        _foreign_name,
    ),
    Situation(
        "nothing has been joined",
        "tick that you compared all eight words",
        "a network is joined without comparing",
        _joined_unseen,
    ),
    Situation(
        "nobody has been let in",
        "tick that you compared all eight words",
        "a site is let in without comparing",
        _let_in_unseen,
    ),
    Situation(
        "once offered, it goes with the next stick and cannot be called back",
        "tick that you know it",
        "an entry is offered without the tick",
        _unsure,
    ),
    Situation("this is no JSON object", "check its commas, quotes and brackets", "half an entry as JSON", _no_object),
    Situation(
        "the form did not come back whole, so nothing was kept",
        "go back and send it once more",
        "a form cut off on its way",
        _half_a_form,
    ),
    Situation(
        "there is no port {port}",
        "name one from 1024 to {most} with --port",
        "a port that is too high",
        _high_port,
    ),
    Situation(
        "the pages cannot be served at {host} port {port} ({reason})",
        "stop the program that uses the port, or name another one with --port",
        "the port is taken by another program",
        _taken_port,
    ),
    Situation(
        "no folder was chosen",
        "put the stick in, then choose its folder or type where it is",
        "no stick is chosen",
        _chosen(" "),
    ),
    Situation(
        "there is no folder {typed}", "type its whole path, such as /media/stick", "half a path", _chosen("stick")
    ),
    Situation(
        ODD,
        "go back and try again",
        "a phone asks for a part of the style that is not there",
        opens("/static/field.css", headers={"Range": "bytes=9999999-"}),
    ),
    Situation(
        "your role does not allow this",
        "ask a trainer or reviewer to do it; “People” says who is one",
        "a reviewer opens the page of stewards",
        opens("/joining/sites", "C3"),
    ),
    Situation(
        "there is nothing at this address",
        "search for it, or look through the practices",
        "an address that is none",
        opens("/nowhere"),
    ),
    Situation(
        "this address does not take that",
        "go back and use the buttons of the page",
        "the address of a button is opened",
        opens("/people/sign-out"),
    ),
    Situation(
        "what you sent is too large, so nothing was kept",
        "send fewer or smaller photos at a time",
        "more than a page takes",
        _too_large,
    ),
    Situation(
        "this phone sent too much in a short time",
        "wait one minute, then try again; nothing is locked",
        "eleven tries in a minute",
        _many_tries,
    ),
    Situation(
        "this page failed; what was saved before is safe",
        "try once more; if it stays so, close the program, run `fieldbook rebuild`, and start it again",
        "the store goes away under the pages",
        _broken,
    ),
)
