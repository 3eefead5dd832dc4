"""Every page: its frame, its size, its headers, and what it says when something is wrong."""

from __future__ import annotations

import datetime as dt
import gzip
import re
from typing import TYPE_CHECKING

import pytest

from tests.web.gardens import Visitor, entry_with, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle

READING = (
    "/",
    "/search",
    "/search?q=aphids",
    "/practices",
    "/practices/manure",
    "/calendar",
    "/calendar?persons=5&water=60",
    "/calendar/tomato?persons=4&water=80",
    "/calendar/whole",
    "/calendar/picture",
    "/people/",
    "/help",
    "/rules",
    "/who-to-call/",
    "/climate/rains",
)
SIGNING = ("/people/sign-in",)
WORKING = (
    "/write/",
    "/write/begin?language=fr",
    "/write/form?language=fr",
    "/write/whole",
    "/review/",
    "/exchange/",
    "/who-to-call/write",
)
KIB = 1024


def pages_of_an_entry(circle: Circle) -> list[str]:
    entry = entry_with(circle, "Rabbit-dung")
    return [f"/entry/{entry}", f"/review/{entry}", f"/review/{entry}/stop", f"/write/form?after={entry}"]


@pytest.mark.parametrize("path", [*READING, *SIGNING])
def test_a_page_for_readers_answers_and_is_well_formed(visitor: Visitor, path: str) -> None:
    visitor.get(path)
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])


def test_every_page_for_those_who_work_answers_and_is_well_formed(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C3")
    for path in (*READING, *WORKING, *pages_of_an_entry(planted)):
        visitor.get(path)
        assert (path, visitor.status, read_page(visitor.page).judged()) == (path, 200, [])


def test_every_page_has_its_language_landmarks_and_a_way_past_the_menu(visitor: Visitor) -> None:
    """WCAG 2.2, 3.1.1, 1.3.1 and 2.4.1 (from memory)."""
    visitor.get("/")
    page = read_page(visitor.page)
    assert page.tags[0] == ("html", {"lang": "en", "dir": "ltr"})
    assert {"header", "nav", "main", "footer", "h1"} <= {tag for tag, _ in page.tags}
    first_link = next(named for tag, named in page.tags if tag == "a")
    assert first_link["href"] == "#main"


def test_help_stands_in_the_same_place_on_every_page(visitor: Visitor) -> None:
    """WCAG 2.2, 3.2.6: help is the last of the menu for everybody."""
    for label in (None, "C1"):
        if label:
            visitor.sit(label)
        visitor.get("/")
        menu = re.search(r"<nav.*?</nav>", visitor.page, re.DOTALL)
        assert menu is not None
        assert re.findall(r">([^<]+)</a>", menu[0])[-1] == "Help"


def test_no_page_asks_another_host_or_runs_a_script(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C3")
    for path in (*READING, *WORKING, *pages_of_an_entry(planted)):
        visitor.get(path)
        tags = read_page(visitor.page).tags
        addresses = [named.get(name) or "" for _, named in tags for name in ("href", "src", "srcset", "action")]
        assert [one for one in addresses if "//" in one] == []
        assert "script" not in {tag for tag, _ in tags}


def test_the_first_page_and_an_entry_are_light(planted: Circle, visitor: Visitor) -> None:
    """W14 (ours): packed, the first page with its style at most 60 KiB, an entry's text at most 30 KiB."""
    weights = {}
    for path in ("/", "/static/field.css", f"/entry/{entry_with(planted, 'Rabbit-dung')}"):
        response = visitor.client.get(path, headers={"Accept-Encoding": "gzip"}, buffered=True)
        assert response.headers["Content-Encoding"] == "gzip"
        weights[path[:6]] = len(response.data)
        assert gzip.decompress(response.data)
    assert weights["/"] + weights["/stati"] <= 60 * KIB
    assert weights["/entry"] <= 30 * KIB


def test_the_style_needs_nothing_that_a_browser_of_2015_lacks(visitor: Visitor) -> None:
    """W13 (ours): no grid and no variables; W6: no thin letters; flex has its older spelling beside it."""
    style = visitor.client.get("/static/field.css", buffered=True).get_data(as_text=True)
    rules = re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL)
    assert "grid" not in rules
    assert "var(" not in rules
    assert [int(weight) for weight in re.findall(r"font-weight:\s*(\d+)", rules) if int(weight) < 400] == []
    assert rules.count("display: flex") == rules.count("display: -webkit-flex; display: flex")


def test_letters_stand_out_from_the_paper() -> None:
    """W3: 7:1 for text (WCAG 2.2, 1.4.6, from memory), computed by the formula of its relative luminance."""

    def luminance(colour: str) -> float:
        shares = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    used = {"#000000", "#333333", "#43107a"}
    assert min(1.05 / (luminance(colour) + 0.05) for colour in used) >= 7


def test_the_one_colour_is_for_links_only(visitor: Visitor) -> None:
    style = visitor.client.get("/static/field.css", buffered=True).get_data(as_text=True)
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}\b", re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL))) == {
        "#000",
        "#333",
        "#fff",
        "#43107a",
    }
    violet = [rule.split("{")[0].strip() for rule in re.findall(r"[^{}]+\{[^{}]*#43107a[^{}]*\}", style)]
    assert violet == ["a", "a.button"]


def test_every_answer_carries_the_headers_that_keep_it_safe(visitor: Visitor) -> None:
    response = visitor.get("/")
    assert response.headers["Content-Security-Policy"].startswith("default-src 'self'; script-src 'none'")
    assert "frame-ancestors 'none'" in response.headers["Content-Security-Policy"]
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Referrer-Policy"] == "no-referrer"
    assert response.headers["Cache-Control"] == "no-cache"
    assert visitor.sit("C1").get("/").headers["Cache-Control"] == "no-store"


def test_a_reader_is_given_no_cookie(visitor: Visitor) -> None:
    for path in READING:
        assert "Set-Cookie" not in visitor.get(path).headers


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("localhost", 200),
        ("127.0.0.1:8765", 200),
        ("192.168.4.1:8765", 200),
        ("[::1]:8765", 200),
        ("evil.example", 400),
    ],
)
def test_it_answers_to_its_own_name_and_to_numbers_only(visitor: Visitor, host: str, status: int) -> None:
    """A foreign name may be pointed at this laptop, so that a foreign page reads it; a number may not."""
    assert visitor.client.get("/", headers={"Host": host}).status_code == status


@pytest.mark.parametrize(
    ("path", "status"),
    [("/nowhere", 404), ("/entry/00000000", 404), ("/entry/zz", 404), ("/practices/cars", 404), ("/photo/abc", 404)],
)
def test_what_is_not_there_is_said_in_a_sentence_with_what_to_do(visitor: Visitor, path: str, status: int) -> None:
    visitor.get(path)
    assert visitor.status == status
    assert "Go to the first page" in visitor.words()
    assert "Traceback" not in visitor.page
    assert read_page(visitor.page).judged() == []


def test_a_form_without_its_token_does_nothing(visitor: Visitor) -> None:
    response = visitor.client.post("/people/sign-in", data={"label": "C1", "passphrase": "x"})
    assert response.status_code == 400
    assert "is too old, or comes from another page, so nothing was done" in response.get_data(as_text=True)


def test_too_much_at_once_is_refused(visitor: Visitor) -> None:
    visitor.app.config["MAX_CONTENT_LENGTH"] = 8 * KIB
    visitor.sit("C1").get("/write/whole")
    visitor.post("/write/whole", {"text": "x" * (9 * KIB)})
    assert visitor.status == 413
    assert "too large, so nothing was kept" in visitor.words()


def test_a_page_that_breaks_says_so_plainly(visitor: Visitor) -> None:
    visitor.app.testing = False
    visitor.app.config["PROPAGATE_EXCEPTIONS"] = False
    visitor.app.view_functions["about.help_page"] = lambda: str(1 // 0)
    visitor.get("/help")
    assert visitor.status == 500
    assert "what was saved before is safe" in visitor.words()


def test_a_doubtful_clock_is_said_on_the_page_and_stops_nothing(planted: Circle) -> None:
    planted.open("C", clock=lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC))
    visitor = visitor_of(planted)
    visitor.get("/")
    assert visitor.status == 200
    assert "clock says 1 January 2000, which cannot be right" in visitor.words()
    assert "does not know which month it is" in visitor.words()


def test_a_refusal_is_told_in_kiswahili_to_whoever_asks_for_it_and_the_english_stays(visitor: Visitor) -> None:
    visitor.get("/nowhere", headers={"Accept-Language": "sw-KE,sw;q=0.9,en;q=0.5"})
    assert '<span class="retold" lang="sw" dir="ltr">Hakuna kitu kwenye anwani hii.</span>' in visitor.page
    assert '<small class="raised" lang="en" dir="ltr">There is nothing at this address.</small>' in visitor.page
    assert visitor.page.index('lang="sw"') < visitor.page.index("There is nothing at this address.")
    assert read_page(visitor.page).judged() == []
    for asked in ("en-GB,en", "fr"):
        visitor.get("/nowhere", headers={"Accept-Language": asked})
        assert 'class="retold"' not in visitor.page
        assert "There is nothing at this address." in visitor.words()


def test_where_a_phone_asks_for_none_of_our_languages_the_first_of_the_site_is_taken(planted: Circle) -> None:
    planted.open("S")  # Kiswahili first
    at_saltreed = visitor_of(planted, "S")
    for asked in ({}, {"Accept-Language": "fr"}):
        at_saltreed.get("/nowhere", headers=asked)
        assert "Hakuna kitu kwenye anwani hii." in at_saltreed.words()
    at_saltreed.get("/nowhere", headers={"Accept-Language": "fr,en;q=0.5"})
    assert "Hakuna" not in at_saltreed.words()


def test_a_fault_beside_its_box_and_a_finding_are_told_in_kiswahili_too(planted: Circle) -> None:
    swahili = {"headers": {"Accept-Language": "sw"}}
    writer = visitor_of(planted).sit("C1")
    writer.get("/write/form?language=en")
    writer.post("/write/form", {"language": "en", "carried": "{}", "title": "Mint", "action": "offer"}, **swahili)
    assert re.search(r'id="kind-fault">\s*<span class="retold" lang="sw" dir="ltr">Haipo\. Ijaze\.</span>', writer.page)
    assert read_page(writer.page).judged() == []
    edition = planted.write("C1", {"kind": "teaching", "title": {"en": "Mint in a tin"}, "facts": {}})
    reviewer = visitor_of(planted).sit("C3")
    reviewer.get(f"/review/{edition}", **swahili)
    assert "Haijasemwa: utambi. Kwa hiyo hili haliwezi kuamuliwa: Maji hayatapanda umbali huo." in reviewer.words()
    assert "Mizizi iwe ndani ya 30 cm" in reviewer.words()
    assert read_page(reviewer.page).judged() == []
