"""Every refusal of the pages that begin a site, borrow a climate and give roles, with the situation it comes in."""

from __future__ import annotations

import re
from contextlib import closing
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

from fieldbook.web.first_form import faults_of, knowledge_faults
from fieldbook.web.lender_words import picked_lender
from fieldbook.web.serving import serve_first_run
from fieldbook.web.work import Progressing
from tests.orrendal import site_facts
from tests.sentences.asking import parted, refused
from tests.sentences.scene import Scene, Situation
from tests.web.gardens import visitor_of
from tests.web.test_first_run import PAGES, Beginner

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fieldbook.site import Site


def listed(answers: Mapping[str, Any]) -> dict[str, list[str]]:
    """Answers as a form sends them."""
    return {name: value if isinstance(value, list) else [value] for name, value in answers.items()}


BEFORE = {"who": listed({"letter": "T"}), "where": listed(PAGES["where"])}


def answered(step: str, box: str, **answers: str) -> Callable[[Scene], object]:
    """What stands beside a box of a page of setting up, after these answers."""
    typed = listed({**PAGES[step], **answers} if step != "climate" else answers)
    return lambda _: parted(faults_of(step, typed, BEFORE)[box])


def put_back(typed: str) -> Callable[[Scene], object]:
    """What stands beside the box of the file from which a site is put back."""

    def come(scene: Scene) -> tuple[str, str]:
        beginner = Beginner(scene.fresh() / "site")
        with closing(beginner.run):
            beginner.get("/put-back/")
            beginner.send("/put-back/", {"typed": typed, "phrase": ""})
            return parted(beginner.faults()["typed"])

    return come


def _from_elsewhere(scene: Scene) -> object:
    beginner = Beginner(scene.fresh() / "site")
    with closing(beginner.run):
        beginner.get("/", environ_overrides={"REMOTE_ADDR": "192.168.12.7"})
    return refused(beginner)


def _broken_work(scene: Scene) -> object:
    beginner = Beginner(scene.fresh() / "site")
    with closing(beginner.run):
        beginner.run.work.last = Progressing("the folder", ended=True)
        beginner.get("/set-up/now")
    return refused(beginner)


def lent(letter: str, borrower: str, *, sure: str = "") -> Callable[[Scene], object]:
    """What keeps a site from borrowing from another one."""

    def come(scene: Scene) -> tuple[str, str]:
        here: Site = scene.circle[borrower]
        lender = next((one for one in here.lenders() if one.whose.startswith(letter)), None)
        key = "" if lender is None else lender.key
        return parted(picked_lender(here.lenders(), here.place(), key=key, sure=sure)[1])

    return come


def _unwritable(scene: Scene) -> object:
    with patch("os.access", lambda *_: False):  # whoever runs the tests may write everywhere
        serve_first_run(scene.fresh() / "site", host="127.0.0.1", port=0, say=print)
    return None


def _own_disk(scene: Scene) -> object:
    with patch("pathlib.Path.is_mount", lambda _: True):
        serve_first_run(scene.fresh() / "site", host="127.0.0.1", port=0, say=print)
    return None


def _new_site_elsewhere(scene: Scene) -> object:
    serve_first_run(scene.fresh() / "site", host="192.168.12.7", port=0, say=print)
    return None


def _no_threshold(scene: Scene) -> object:
    steward = visitor_of(scene.circle).sit("C1")
    steward.get("/people/signatories")
    steward.post("/people/signatories", {"key": scene.circle.keys["C1"].public, "threshold": "most"})
    return said_in(steward.page)


def _no_doubt(scene: Scene) -> object:
    steward = visitor_of(scene.circle).sit("C1")
    address = f"/people/keys/{scene.circle.keys['L2'].public}/stop"
    steward.get(address)
    steward.post(address, {"doubt": "some"})
    return said_in(steward.page)


def _two_passphrases(scene: Scene) -> object:
    keeper = visitor_of(scene.circle).sit("C1")
    keeper.get("/people/new")
    keeper.post("/people/new", {"number": "9", "role": "trainer", "passphrase": "one two", "again": "one too"})
    return said_in(keeper.page)


def said_in(page: str) -> tuple[str, str]:
    """What the fault of a form says."""
    found = re.search(r'class="fault"[^>]*>(.*?)</', page, re.DOTALL)
    assert found is not None, page
    return parted(found[1])


SITUATIONS = (
    Situation(
        "these pages are for whoever sits at the laptop",
        "go to the laptop, and open its own address",
        "a phone opens the pages of setting up",
        _from_elsewhere,
    ),
    Situation(
        "something broke while this was done",
        "try again; nothing is left of it",
        "the beginning ended by a fault of ours",
        _broken_work,
    ),
    Situation(
        "no language is chosen",
        "choose the one that most people here read",
        "a site without a language",
        answered("who", "language_1", language_1="", language_2=""),
    ),
    Situation(
        "one language is chosen twice",
        "choose another one, or none",
        "Arabic twice",
        answered("who", "language_2", language_2="ar"),
    ),
    Situation(
        "there is no letter",
        "choose one capital letter, A to Z",
        "a site without a letter",
        answered("who", "letter", letter=""),
    ),
    Situation(
        "this is no latitude",
        "write degrees and decimals without a sign, such as 13.4, or degrees and minutes, such as 13 24",
        "a latitude with 70 minutes",
        answered("where", "latitude", latitude="13° 70'"),
    ),
    Situation(
        "the letter and the side below say two things",
        "choose the same side in both, or leave out the letter",
        "a latitude south in its box and north below",
        answered("where", "latitude", latitude="13 24 S", side="north"),
    ),
    Situation(
        "the side is not said", "choose north or south", "neither north nor south", answered("where", "side", side="")
    ),
    Situation(
        "there is no height",
        "write metres above the sea, such as 420",
        "a place without a height",
        answered("where", "elevation", elevation=""),
    ),
    Situation(
        "one of these is no month",
        "tick months of the list",
        "frost in month 13",
        answered("where", "frost", frost="13"),
    ),
    Situation(
        "the boxes and the table are both filled in",
        "fill in the boxes or paste a table, not both",
        "a table and a figure",
        answered("climate", "table", table=site_facts("T").normals, **{"rain_mm.1": "3"}),
    ),
    Situation(
        "there are no figures",
        "fill in twelve months, or paste them as a table",
        "an empty page of climate",
        answered("climate", "table"),
    ),
    Situation(
        "no site is chosen to borrow from",
        "choose one, or fill in twelve months",
        "borrowing from nobody",
        answered("climate", "table", borrow="yes"),
    ),
    Situation(
        "there is no number",
        "write one from 1 to 999",
        "a person without a number",
        answered("people", "number", number=""),
    ),
    Situation(
        "the two passphrases differ",
        "type both anew",
        "typed in two ways",
        answered("people", "again", again="other words"),
    ),
    Situation(
        "it is not said what becomes of the network",
        "choose one of these",
        "neither founded nor joined",
        answered("people", "network", network=""),
    ),
    Situation(
        "this is no rain of a year",
        "write whole millimetres, such as 800, or leave it empty",
        "the rain of a year in words",
        lambda _: parted(knowledge_faults({"year_rain": ["much"]})["year_rain"]),
    ),
    Situation(
        "no backup was chosen", "put in the stick, then choose the file or type where it is", "no file", put_back("")
    ),
    Situation(
        "this is not where a file is",
        "type its whole path, such as /media/stick/backup.sealed",
        "half a path",
        put_back("backup.sealed"),
    ),
    Situation(
        "there is no file {file}", "put in the stick, and look again", "a stick that is out", put_back("/no/c.sealed")
    ),
    Situation("no site was chosen", "choose one, or write figures of this place", "no site is picked", lent("X", "L")),
    Situation(
        "that site lies too far above or below this one",
        "choose another one",
        "a climate from 1900 m",
        lent("C", "L", sure="yes"),
    ),
    Situation(
        "the equator lies between that site and yours, so nothing was borrowed",
        "tick below that it rains in the same months, if people here say so; else choose another site",
        "a climate from across the equator",
        lent("T", "L"),
    ),
    Situation(
        "a new site is set up at this laptop itself",
        "leave --host out until the site has begun, then name it",
        "a new site at an address of the hotspot",
        _new_site_elsewhere,
    ),
    Situation(
        "the folder {around} cannot be written, and a site is built there first",
        "name a folder within one of your own with --site",
        "a folder of the system",
        _unwritable,
    ),
    Situation(
        "the folder {folder} is a disk of its own, and a site cannot be moved onto it whole",
        "make a folder in it, such as {site}, and name that with --site",
        "the top of a disk",
        _own_disk,
    ),
    Situation("how many must agree is no number", "write it in digits", "a threshold in words", _no_threshold),
    Situation(
        "what you doubt is not said",
        "tick the first doubted word, or choose one of the other two",
        "a key is stopped without saying from where on",
        _no_doubt,
    ),
    Situation(
        "the two passphrases are not the same",
        "type both again, slowly; nobody was added",
        "a new person's passphrase typed in two ways, on the page",
        _two_passphrases,
    ),
)
