"""Who is here, who may do what, and signing in and out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.web.here import EXTENSION
from fieldbook.web.sitting import SITTINGS_MAX, Sittings
from tests.orrendal import PASSPHRASE, Circle

if TYPE_CHECKING:
    from tests.web.gardens import Visitor


def sign_in(visitor: Visitor, label: str, passphrase: str, **more: str) -> Visitor:
    visitor.get("/people/sign-in")
    visitor.post("/people/sign-in", {"label": label, "passphrase": passphrase, **more})
    return visitor


def test_a_person_signs_in_with_their_passphrase_and_out_again(visitor: Visitor) -> None:
    sign_in(visitor, "C3", PASSPHRASE)
    assert "Signed in: C3 , reviewer and trainer." in visitor.words()
    visitor.post("/people/sign-out", {})
    assert "Signed in" not in visitor.words()
    visitor.get("/write/")
    assert "Reading and searching need no sign-in." in visitor.words()


def test_a_wrong_passphrase_opens_nothing(visitor: Visitor) -> None:
    sign_in(visitor, "C3", "wrong")
    assert visitor.status == 422
    assert 'role="alert"' in visitor.page
    assert "Signed in" not in visitor.words()
    sign_in(visitor, "Z9", PASSPHRASE)
    assert "There is no Z9 at this site." in visitor.words()


def test_guessing_is_slowed_down(visitor: Visitor) -> None:
    for _ in range(10):
        sign_in(visitor, "Z9", "x")
    assert visitor.status == 422
    sign_in(visitor, "Z9", "x")
    assert visitor.status == 429
    assert "Wait one minute, then try again; nothing is locked." in visitor.words()


def test_the_cookie_is_for_this_site_alone_and_ends_with_the_browser(visitor: Visitor) -> None:
    visitor.get("/people/sign-in")
    response = visitor.client.post(
        "/people/sign-in",
        data={
            "label": "C3",
            "passphrase": PASSPHRASE,
            "csrf_token": visitor.page.split('csrf_token" value="')[1].split('"')[0],
        },
    )
    cookie = response.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Expires" not in cookie
    assert "tried_ground_C" in cookie


def test_the_key_never_leaves_the_memory_of_the_laptop(visitor: Visitor, planted: Circle) -> None:
    sign_in(visitor, "C3", PASSPHRASE)
    seed = planted.keys["C3"].seed
    cookies = visitor.client.get_cookie("tried_ground_C")
    assert cookies is not None
    assert seed.hex() not in cookies.value


def test_signing_in_makes_a_new_session(visitor: Visitor) -> None:
    with visitor.client.session_transaction() as session:
        session["sitting"] = "planted by somebody"
    sign_in(visitor, "C3", PASSPHRASE)
    with visitor.client.session_transaction() as session:
        assert session["sitting"] != "planted by somebody"
        assert len(session["sitting"]) == 64


def test_a_session_of_an_earlier_run_is_nobodys(visitor: Visitor) -> None:
    visitor.sit("C3")
    visitor.app.extensions[EXTENSION]["sittings"] = Sittings(bytes)
    visitor.get("/")
    assert "Signed in" not in visitor.words()


@pytest.mark.parametrize(
    ("back", "leads"),
    [
        ("/review/", "/review/"),
        ("//evil.example/x", "/"),
        ("https://evil.example", "/"),
        ("/\\evil.example", "/"),
        ("", "/"),
    ],
)
def test_signing_in_leads_back_to_our_own_pages_only(visitor: Visitor, back: str, leads: str) -> None:
    visitor.get("/people/sign-in")
    token = visitor.page.split('csrf_token" value="')[1].split('"')[0]
    sent = {"label": "C3", "passphrase": PASSPHRASE, "csrf_token": token, "back": back}
    assert visitor.client.post("/people/sign-in", data=sent).headers["Location"] == leads


def test_a_page_that_needs_a_name_asks_for_it_and_goes_on(visitor: Visitor) -> None:
    visitor.get("/review/")
    assert 'name="back" value="/review/"' in visitor.page


def test_who_may_do_what_is_said_by_site(visitor: Visitor) -> None:
    visitor.get("/people/")
    words = visitor.words()
    assert "C3 reviewer and trainer" in words
    assert "L Longshade Resettlement Blocks L2" in words
    assert "The signatories are C1, L1 and S1, and 2 of them must agree. They make reviewers" in words


def test_the_oldest_sitting_ends_when_there_are_too_many(planted: Circle) -> None:
    numbers = iter(range(10_000))
    sittings = Sittings(lambda size: next(numbers).to_bytes(size))
    signer = planted.signer("C3")
    ids = [sittings.begin(signer) for _ in range(SITTINGS_MAX + 1)]
    assert sittings.signer(ids[0]) is None
    assert sittings.signer(ids[1]) is signer
    sittings.end(ids[1])
    assert sittings.signer(ids[1]) is None
