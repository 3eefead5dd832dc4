"""Bad files and bad places at the command: one clear sentence with a hint, an exit code, and nothing lost."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from fieldbook.shipped import shipped_text
from tests.cli.terminal import Answer, refused, type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.terminal import Terminal

NORMALS = shipped_text("seed_entries/demo/normals_cloudstep.csv")
HEAD, *MONTHS = NORMALS.strip().splitlines()
PLACE = ("--latitude", "1.2", "--elevation", "1900")
SITE = ("--name", "Reed Bank", "--letter", "R")


def table(*lines: str) -> str:
    return "\n".join((HEAD, *lines)) + "\n"


BAD_NORMALS = {
    "torn": (table(*MONTHS[:5], MONTHS[5][:-5]), "line 7"),
    "eleven months": (table(*MONTHS[:-1]), "month 12 is missing"),
    "thirteen months": (table(*MONTHS, MONTHS[-1]), "13 months"),
    "a month 13": (table(*MONTHS, "13" + MONTHS[-1][2:]), "line 14"),
    "Tmin above Tmax": (table(*MONTHS[:2], "3,138,25.3,12.3", *MONTHS[3:]), "Tmin 25.3 is not below Tmax 12.3"),
    "Fahrenheit": (table("1,62,52,77", *MONTHS[1:]), "not Fahrenheit"),
    "no span": (table("1,62,25.1,25.1", *MONTHS[1:]), "are they swapped?"),
    "less than no rain": (table("1,-62,11.2,25.1", *MONTHS[1:]), "rain_mm of month 1 is -62"),
    "inches": (NORMALS.replace("rain_mm", "rain_in"), "unknown column 'rain_in'"),
    "a comma for a point": (table('1,"62,5",11.2,25.1', *MONTHS[1:]), "point"),
    "an empty cell": (table("1,,11.2,25.1", *MONTHS[1:]), "empty"),
    "semicolons": (NORMALS.replace(",", ";"), "commas"),
    "no heading": ("\n".join(MONTHS), "column"),
    "empty": ("", "empty"),
    "no text": ("\0\1\2" * 50, "no text"),
    "ten megabytes": ("x" * 10_000_000, "larger than"),
}


@pytest.mark.parametrize("name", BAD_NORMALS)
def test_bad_normals_are_refused_for_a_climate_and_for_a_new_site(terminal: Terminal, name: str) -> None:
    text, part = BAD_NORMALS[name]
    path, folder = terminal.entry_file(text, "normals.csv"), terminal.folder / "reed"
    refused(type_words("climate", path, *PLACE), part)
    refused(type_words("--site", folder, "new", *SITE, *PLACE, "--normals", path), part)
    assert not folder.exists()
    assert sorted(entry.name for entry in terminal.folder.iterdir()) == sorted(
        ["desk", "cloudstep", "longshade", "saltreed", "thornpan"]
    )


def test_normals_that_are_no_utf8_are_refused_and_a_byte_order_mark_is_not(terminal: Terminal) -> None:
    refused(
        type_words("climate", terminal.entry_file(NORMALS.encode("utf-16"), "a.csv"), *PLACE), "a.csv is no text in"
    )
    refused(type_words("climate", terminal.entry_file(b"month,rain_mm\n\xe9,1", "b.csv"), *PLACE), "UTF-8")
    type_words("climate", terminal.entry_file(b"\xef\xbb\xbf" + NORMALS.encode(), "c.csv"), *PLACE).done()


@pytest.mark.parametrize("what", ["folder", "gone", "link", "pipe"])
@pytest.mark.parametrize("of", ["normals", "entry"])
def test_what_is_no_plain_file_is_not_opened(terminal: Terminal, what: str, of: str) -> None:
    """A pipe would wait for ever; a link may lead anywhere."""
    path = terminal.entry_file(NORMALS, "real").with_name("odd")
    match what:
        case "folder":
            path.mkdir()
        case "link":
            path.symlink_to(path.with_name("real"))
        case "pipe":
            os.mkfifo(path)
    words = ("climate", path, *PLACE) if of == "normals" else ("write", path, "--as", "C1")
    refused(terminal.at("C", *words), "odd cannot be read" if what == "gone" else "odd is no plain file")


@pytest.mark.parametrize(
    ("latitude", "elevation", "part"),
    [
        ("95", "10", "latitude is 95"),
        ("-90", "10", "latitude is -90"),
        ("nan", "10", "'nan' is no number"),
        ("1e400", "10", "no number"),
        ("12,5", "10", "no number"),
        ("", "10", "no number"),
        ("1.2", "6200", "not feet"),
        ("1.2", "-500", "elevation is -500"),
        ("1.2", "high", "'high' is no number"),
    ],
)
def test_a_place_that_cannot_be_is_refused(terminal: Terminal, latitude: str, elevation: str, part: str) -> None:
    path = terminal.entry_file(NORMALS, "normals.csv")
    place = ("--latitude", latitude, "--elevation", elevation)
    refused(type_words("climate", path, *place), part)
    refused(type_words("--site", terminal.folder / "reed", "new", *SITE, *place, "--normals", path), part)
    assert not (terminal.folder / "reed").exists()


@pytest.mark.parametrize(
    ("more", "part"),
    [
        (("--letter", "r"), "'r' is no site letter"),
        (("--letter", "RR"), "no site letter"),
        (("--name", " "), "needs a name"),
        (("--name", "x" * 81), "80 characters"),
        (("--languages", "en,,sw"), "'' is not a language tag"),
        (("--languages", "english language"), "not a language tag"),
        (("--frost-months", "13"), "'13' is no list of months"),
        (("--salt-months", "June"), "'June' is no list of months"),
        (("--network", " ", "--steward", "R1"), "the network needs a title"),
        (("--network", "Circle", "--steward", "C1"), "'C1' is no label of this site"),
    ],
)
def test_a_new_site_says_what_is_wrong_with_it(terminal: Terminal, more: tuple[str, ...], part: str) -> None:
    path, folder = terminal.entry_file(NORMALS, "normals.csv"), terminal.folder / "reed"
    refused(type_words("--site", folder, "new", *SITE, *PLACE, "--normals", path, *more), part)
    assert not folder.exists()


@pytest.mark.parametrize("place", ["a file", "a full folder", "under a file"])
def test_a_new_site_takes_nobodys_place(terminal: Terminal, place: str) -> None:
    path = terminal.entry_file(NORMALS, "normals.csv")
    folder = {"a file": path, "a full folder": terminal.place("C"), "under a file": path / "site"}[place]
    with terminal.nothing_lost("C"):
        refused(type_words("--site", folder, "new", *SITE, *PLACE, "--normals", path), str(folder))
    assert path.read_text() == NORMALS


BAD_ENTRIES = {
    "not a number": ('{"kind": "water", "title": {"en": "X"}, "first_result_days": NaN}', "NaN is no number"),
    "beyond numbers": ('{"kind": "water", "title": {"en": "X"}, "sun_h": {"low": 1e999}}', "sun_h.low"),
    "a depth bomb": ("[" * 100_000, "nested too deep"),
    "deep inside": ('{"kind": ' + '{"a":' * 5000 + "1" + "}" * 5001, "nested too deep"),
    "ten megabytes": ('{"kind": "water", "title": {"en": "' + "x" * 10_000_000 + '"}}', "larger than 256 KiB"),
    "a list": ("[1, 2]", "holds no entry"),
    "nothing": ("", "no JSON document"),
    "cut": (json.dumps(practice())[:-5], "no JSON document"),
    "a name twice": ('{"kind": "water", "kind": "fish", "title": {"en": "X"}}', "'kind' stands twice"),
    "half a character": ('{"kind": "water", "title": {"en": "\\ud800"}}', "title.en"),
    "half a name": ('{"kind": "water", "title": {"en": "X"}, "\\ud800": 1}', "not a name we know"),
    "5000 digits": ('{"kind": "water", "title": {"en": "X"}, "first_result_days": ' + "9" * 5000 + "}", "digits"),
    "photos of another form": ('{"kind": "water", "title": {"en": "X"}, "photos": 5}', "photos: 5 is not a list"),
    "a photo of another form": ('{"kind": "water", "title": {"en": "X"}, "photos": ["a"]}', "photos[0]"),
    "a photo without a file": ('{"kind": "water", "title": {"en": "X"}, "photos": [{"name": "a"}]}', "has no file"),
    "what others say later": ('{"kind": "water", "title": {"en": "X"}, "state": "approved"}', "later statements"),
    "made from nothing": ('{"kind": "water", "title": {"en": "X"}, "adaptation": true}', "--after"),
    "an unknown kind": ('{"kind": "magic", "title": {"en": "X"}}', "kind: “magic”"),
}


@pytest.mark.parametrize("name", BAD_ENTRIES)
def test_a_bad_entry_is_refused_and_leaves_nothing(terminal: Terminal, name: str) -> None:
    text, part = BAD_ENTRIES[name]
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "write", terminal.entry_file(text), "--as", "C1"), part)
    with terminal.nothing_lost("C"):
        answer = terminal.at("C", "write", terminal.entry_file(text), "--as", "C1", "--json")
        refused(answer)
        assert answer.json["hint"]


def test_an_entry_that_is_no_utf8_is_refused(terminal: Terminal) -> None:
    data = '{"kind": "water", "title": {"fr": "rosé"}}'.encode("latin-1")
    refused(terminal.at("C", "write", terminal.entry_file(data), "--as", "C1"), "no text in UTF-8")


def test_all_faults_of_an_entry_come_at_once_by_field(terminal: Terminal) -> None:
    document = practice(
        materials=[
            {"item": "soap", "qty": {"value": "2", "unit": "spoon"}},
            {"item": "water", "qty": {"value": "2", "unit": "litre"}},
            {"item": "chilli", "qty": {"value": "a handful", "unit": "mass-gram"}},
            {"item": "oil", "qty": {"value": "2", "low": "3", "unit": "volume-milliliter"}},
        ],
        space={"area_m2": {"value": "3", "unit": "mass-gram"}},
        steps=[{"say": {"en": "word " * 26}}],
    )
    answer = terminal.at("C", "write", terminal.entry_file(document), "--as", "C1", "--json")
    fields = (
        "space.area_m2.unit",
        "materials[0].qty.unit",
        "materials[1].qty.unit",
        "materials[2].qty.value",
        "steps[0].say.en",
    )
    refused(answer, *fields, "millilitres or grams")
    assert sorted(fault.partition(":")[0] for fault in answer.json["faults"]) == sorted(fields)


def ask(*words: object) -> Answer:
    return type_words("--site", *words)


@pytest.mark.parametrize("verb", ["verify", "rebuild", "calendar", "search"])
def test_a_folder_without_a_site_is_refused(terminal: Terminal, verb: str) -> None:
    empty = terminal.stick("empty")
    for folder in (terminal.folder / "gone", empty, terminal.entry_file("x"), terminal.folder / "mül l ü"):
        refused(ask(folder, verb, *(["aphids"] if verb == "search" else [])), f"there is no site in {folder}")
    assert list(empty.iterdir()) == []


@pytest.mark.parametrize("file", ["notebook.sqlite", "site.key", "store.sqlite"])
def test_a_site_whose_file_is_spoilt_says_which(terminal: Terminal, file: str) -> None:
    path = terminal.place("C") / file
    good = path.read_bytes()
    path.write_bytes(b"spoilt" * 500)
    refused(terminal.at("C", "verify"), file)
    path.write_bytes(good)
    assert terminal.asked("C", "verify")["ok"] is True


def test_a_spoilt_photo_is_named_and_the_next_exchange_brings_it_again(terminal: Terminal) -> None:
    photo = terminal.folder / "desk" / "bed.png"
    photo.parent.mkdir()
    Image.linear_gradient("L").save(photo)
    terminal.write("C1", practice("Onions"), "--photo", photo, "--people", "none")
    terminal.carry("CL")
    path = next(path for path in (terminal.place("L") / "attachments").rglob("*") if path.is_file())
    good = path.read_bytes()
    path.write_bytes(good[:-1] + b"!")
    answer = terminal.at("L", "verify", "--json")
    assert (answer.code, answer.json["ok"]) == (1, False)
    (problem,) = answer.json["problems"]
    assert path.name in problem
    assert "the next exchange brings it again" in problem
    terminal.carry("L")
    assert path.read_bytes() == good
    assert terminal.asked("L", "verify")["ok"] is True


@pytest.mark.parametrize("file", ["view.sqlite", "index"])
def test_a_spoilt_view_or_index_is_made_anew(terminal: Terminal, file: str) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    path: Path = terminal.place("C") / file
    for one in [path] if path.is_file() else list(path.rglob("*")):
        if one.is_file():
            one.write_bytes(b"spoilt" * 500)
    assert terminal.found("C", "onions") == {edition: ("offered", "unchecked")}
    assert terminal.asked("C", "rebuild") == {"entries": 1}
    assert terminal.asked("C", "verify")["ok"] is True


@pytest.mark.parametrize(
    ("words", "part", "code"),
    [
        (("search",), "WORDS", 2),
        (("search", ""), "no word to search for", 1),
        (("search", "  ", "!?"), "no word to search for", 1),
        (("search", "aphids", "--limit", "0"), "1 to 200", 1),
        (("search", "aphids", "--limit", "-1"), "1 to 200", 1),
        (("search", "aphids", "--limit", "many"), "--limit", 2),
        (("search", "aphids", "--language", "not a tag"), "not a language tag", 1),
        (("calendar", "--crop", "moonflower"), "crop table has no 'moonflower'", 1),
        (("offer", "draft-7", "--as", "C1"), "no draft called draft-7", 1),
        (("offer", "../1", "--as", "C1"), "no draft called ../1", 1),
        (("person", "C1", "--role", "trainer"), "already a C1", 1),
        (("person", "T1", "--role", "trainer"), "'T1' is no label of this site", 1),
        (("person", "C0", "--role", "trainer"), "'C0' is no label", 1),
        (("person", "C9", "--role", "reviewer"), "reviewer", 2),
        (("exchange", ""), "which stick", 2),
        (("exchange", "/no/such/folder"), "no folder /no/such/folder", 1),
        (("fly",), "invalid choice: 'fly'", 2),
        (("approve", "a" * 64), "--as", 2),
        (("serve", "--port", "x"), "--port", 2),
        (("serve", "--port", "-1"), "port", 1),
        (("serve", "--port", "70000"), "port", 1),
    ],
)
def test_what_cannot_be_meant_is_said_in_one_sentence(
    terminal: Terminal, words: tuple[str, ...], part: str, code: int
) -> None:
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", *words), part, code=code)


def test_a_long_paste_is_searched_in_no_time(terminal: Terminal) -> None:
    assert terminal.hits("C", "x" * 100_000) == []
    assert terminal.hits("C", "ต้น" * 30_000) == []


def test_what_comes_from_afar_cannot_command_the_terminal(terminal: Terminal) -> None:
    """A code that clears the screen, in a word that somebody typed, is shown and not obeyed."""
    answer = terminal.at("C", "search", "onions\x1b[2J", "--limit", "3")
    assert "\x1b" not in answer.out + answer.err


def test_which_site_must_be_said(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    for words in (("verify",), ("--site", "", "verify"), ("new", *SITE, *PLACE, "--normals", "x")):
        refused(type_words(*words), "FIELDBOOK_SITE", code=2)
    monkeypatch.setenv("FIELDBOOK_SITE", str(terminal.place("C")))
    assert type_words("verify", "--json").done().json == terminal.asked("C", "verify")
