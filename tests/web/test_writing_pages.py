"""Writing at a site: the form, drafts, photos, offering, the next edition."""

from __future__ import annotations

import io
import json
import re
from typing import TYPE_CHECKING, Any

import pytest

from tests.orrendal import practice
from tests.photos.pictures import photo as picture
from tests.photos.pictures import saved
from tests.web.gardens import Visitor, entry_with

if TYPE_CHECKING:
    from tests.orrendal import Circle

PLAIN = {"title": "Mint in a tin", "kind": "growing", "summary": "Mint grows on the step.", "unread": "yes"}


@pytest.fixture
def writer(visitor: Visitor) -> Visitor:
    visitor.sit("C1").get("/write/form?language=en")
    return visitor


def sent(page: str, **boxes: Any) -> dict[str, Any]:
    """What a browser sends: the hidden and the filled boxes of the page, then what is typed now."""
    found: dict[str, Any] = {}
    for tag in re.findall(r"<input[^>]+>", page):
        named = dict(re.findall(r'([a-z]+)="([^"]*)"', tag))
        ticked = named.get("type") not in {"checkbox", "radio"} or " checked" in tag
        if ticked and named.get("type") != "file" and named.get("name") not in {None, "csrf_token"}:
            found.setdefault(named["name"], []).append(unescape(named.get("value", "")))
    for name, text in re.findall(r'<textarea[^>]* name="([^"]+)"[^>]*>(.*?)</textarea>', page, re.DOTALL):
        found[name] = unescape(text)
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options)
        found[name] = unescape(chosen[1]) if chosen else ""
    return found | boxes


def unescape(text: str) -> str:
    for entity, character in (("&#34;", '"'), ("&#39;", "'"), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")):
        text = text.replace(entity, character)
    return text


def document_of(planted: Circle, edition: str) -> Any:
    return planted["C"].entry_value(edition).document


def offered(visitor: Visitor) -> str:
    """The edition whose review page is open after offering."""
    found = re.search(r"/review/([0-9a-f]{64})/stop", visitor.page)
    assert found is not None, visitor.words()
    return found[1]


def test_a_filled_form_becomes_a_draft_that_only_its_writer_sees(writer: Visitor) -> None:
    writer.post("/write/form", sent(writer.page, **PLAIN, action="draft"))
    assert "Kept here as draft-1" in writer.words()
    assert "Mint in a tin" in writer.words()
    writer.sit("C3").get("/write/")
    assert "Mint in a tin" not in writer.words()
    writer.get("/write/form?draft=draft-1")
    assert "Draft-1 belongs to C1." in writer.words()


def test_everything_wrong_is_said_at_once_and_nothing_typed_is_lost(writer: Visitor) -> None:
    wrong = {
        "title": "",
        "kind": "growing",
        "steps[0].say": "word " * 30,
        "steps[0].day_offset": "soon",
        "materials[0].item": "soap",
        "materials[0].qty.value": "five",
        "materials[0].qty.unit": "mass-gram",
        "waiting[0].before": "harvest",
    }
    writer.post("/write/form", sent(writer.page, **wrong, action="draft"))
    assert writer.status == 422
    words = writer.words()
    assert "things must be mended first. What you typed is still here." in words
    for name in ("title", "steps[0].say", "steps[0].day_offset", "materials[0].qty.value", "waiting[0].days_min"):
        assert f'id="{name}-fault"' in writer.page, name
    assert 'value="five"' in writer.page
    assert "word word word" in writer.page


def test_a_draft_is_gone_on_with_and_stays_one_draft(writer: Visitor) -> None:
    writer.post("/write/form", sent(writer.page, **PLAIN, action="draft"))
    writer.get("/write/form?draft=draft-1&language=en")
    writer.post("/write/form", sent(writer.page, summary="Mint likes shade.", action="draft"))
    assert "Kept here as draft-2" in writer.words()
    assert writer.words().count("Mint in a tin") == 1
    assert writer.site.notebook.drafts()[0].document["summary"] == {"en": "Mint likes shade."}


def test_a_draft_can_be_thrown_away(writer: Visitor) -> None:
    writer.post("/write/form", sent(writer.page, **PLAIN, action="draft"))
    writer.get("/write/form?draft=draft-1&language=en")
    writer.post("/write/form", sent(writer.page, action="forget"))
    assert "Thrown away: draft-1." in writer.words()
    assert writer.site.notebook.drafts() == ()


def test_offering_shows_what_else_is_to_be_mended_beside_the_question(writer: Visitor) -> None:
    writer.post(
        "/write/form", sent(writer.page, **(PLAIN | {"kind": "", "steps[0].say": "word " * 30}), action="offer")
    )
    assert writer.status == 422
    assert "3 things must be mended first." in writer.words()
    for name in ("kind", "steps[0].say", "sure"):
        assert f'id="{name}-fault"' in writer.page, name


def test_offering_asks_first_since_it_cannot_be_called_back(writer: Visitor, planted: Circle) -> None:
    """W9: a confirmation for anything that leaves the site."""
    before = len(planted["C"].cards())
    writer.post("/write/form", sent(writer.page, **PLAIN, action="offer"))
    assert writer.status == 422
    assert 'id="sure-fault"' in writer.page
    assert len(planted["C"].cards()) == before
    writer.post("/write/form", sent(writer.page, sure="yes", action="offer"))
    assert "Offered for review" in writer.words()
    document = document_of(planted, offered(writer))
    assert (document["title"], document["kind"]) == ({"en": "Mint in a tin"}, "growing")
    assert (document["unread"], document["licence"], document["credit"]) == (["en"], "CC-BY-4.0", {"kind": "role"})


def test_more_rows_come_when_asked_for_and_keep_what_is_typed(writer: Visitor) -> None:
    many = {f"steps[{n}].say": f"Do {n}." for n in range(4)}
    writer.post("/write/form", sent(writer.page, **many, action="more"))
    assert 'name="steps[10].say"' in writer.page
    assert "Do 3." in writer.page


def test_a_photo_comes_with_its_words_its_step_and_who_is_on_it(writer: Visitor, planted: Circle) -> None:
    photo = {
        "photo.0.file": (io.BytesIO(saved(picture(), "JPEG")), "Tin 1.JPG"),
        "photo.0.alt": "A tin with mint.",
        "photo.0.people": "none",
        "photo.0.step": "1",
    }
    boxes = sent(writer.page, **PLAIN, **{"steps[0].say": "Fill the tin."}, **photo, sure="yes", action="offer")
    writer.post("/write/form", boxes)
    document = document_of(planted, offered(writer))
    assert document["photos"][0]["alt"] == {"en": "A tin with mint."}
    assert document["photos"][0]["people"] == "none"
    assert document["steps"][0]["picture"] == document["photos"][0]["name"] == "tin-1"
    writer.get(f"/photo/{document['photos'][0]['ref']}")
    assert writer.status == 200


def test_a_photo_that_nobody_marked_stays_at_the_site(writer: Visitor, planted: Circle) -> None:
    """P3: an unmarked photo is never in a bundle."""
    photo = {"photo.0.file": (io.BytesIO(saved(picture(), "JPEG")), "child.jpg")}
    writer.post("/write/form", sent(writer.page, **PLAIN, **photo, sure="yes", action="offer"))
    assert "The photo child stays at this site" in writer.words()
    assert document_of(planted, offered(writer)).get("photos", []) == []


def test_a_drafts_photo_waits_with_it_until_somebody_says_who_is_on_it(writer: Visitor, planted: Circle) -> None:
    photo = {"photo.0.file": (io.BytesIO(saved(picture(), "JPEG")), "tin.jpg")}
    writer.post("/write/form", sent(writer.page, **PLAIN, **photo, action="draft"))
    writer.get("/write/form?draft=draft-1&language=en")
    marked = sent(writer.page, **{"photos[0].people": "none"}, sure="yes", action="offer")
    writer.post("/write/form", marked)
    assert [one["name"] for one in document_of(planted, offered(writer))["photos"]] == ["tin"]
    assert writer.site.notebook.home_photos("draft-1") == ()


def test_a_file_that_is_no_picture_is_refused_and_what_was_typed_stays(writer: Visitor) -> None:
    photo = {"photo.0.file": (io.BytesIO(b"not a picture"), "tin.jpg")}
    writer.post("/write/form", sent(writer.page, **PLAIN, **photo, action="draft"))
    assert writer.status == 422
    assert "Choose the photos again: tin.jpg." in writer.words()
    assert "Mint grows on the step." in writer.page
    assert writer.site.notebook.drafts() == ()


def test_the_next_edition_follows_the_one_it_was_made_from(writer: Visitor, planted: Circle) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    writer.get(f"/write/form?after={entry}&language=en")
    writer.post("/write/form", sent(writer.page, title="Rabbit-dung steep, mended", sure="yes", action="offer"))
    page = planted["C"].page(entry, edition=offered(writer), reader=planted.signer("C1"))
    assert (page.entry, page.line.number, page.line.parents) == (entry, 2, (entry,))
    assert page.document["title"]["fr"].startswith("Macération")
    assert page.document["photos"] == document_of(planted, entry)["photos"]


def test_an_adaptation_begins_a_new_entry(writer: Visitor, planted: Circle) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    writer.get(f"/write/form?after={entry}&adaptation=1&language=en")
    writer.post("/write/form", sent(writer.page, title="Goat-dung steep", sure="yes", action="offer"))
    page = planted["C"].page(offered(writer), reader=planted.signer("C1"))
    assert page.made_from == (entry,)


def test_a_trainer_writes_in_another_language_beside_the_first(writer: Visitor, planted: Circle) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    writer.get(f"/write/form?after={edition}&language=sw")
    assert "What it says in other languages stays as it is." not in writer.words()
    writer.post("/write/form", sent(writer.page, title="Safu za vitunguu", unread="yes", sure="yes", action="offer"))
    document = document_of(planted, offered(writer))
    assert document["title"] == {"en": "Rows of onions", "sw": "Safu za vitunguu"}
    assert document["unread"] == ["sw"]


def test_the_whole_entry_can_be_written_as_json(writer: Visitor) -> None:
    writer.get("/write/whole")
    writer.post("/write/whole", {"text": "{oops"})
    assert (writer.status, "This is no JSON object." in writer.words()) == (422, True)
    writer.post("/write/whole", {"text": json.dumps({"kind": "cars", "title": {"en": "Mint"}})})
    assert (writer.status, "kind:" in writer.words().casefold()) == (422, True)
    writer.post("/write/whole", {"text": json.dumps({"kind": "growing", "title": {"en": "Mint"}, "sun_h": {"low": 4}})})
    assert "Kept here as draft-1" in writer.words()
    assert writer.site.notebook.drafts()[0].document["sun_h"] == {"low": 4}


def test_a_form_that_was_tampered_with_is_refused(writer: Visitor) -> None:
    writer.post("/write/form", sent(writer.page, **PLAIN, carried="[1, 2]", action="draft"))
    assert (writer.status, "did not come back whole" in writer.words()) == (422, True)
    writer.get("/write/form?language=en")
    writer.post("/write/form", sent(writer.page, **PLAIN, language="../x", action="draft"))
    assert writer.status == 422


def test_a_volunteer_is_told_who_writes(planted: Circle, visitor: Visitor) -> None:
    planted["C"].add_person("C2", role="volunteer", passphrase="mango-rope")
    planted.keys["C2"] = planted["C"].unlock("C2", "mango-rope").key
    visitor.sit("C2").get("/write/")
    assert visitor.status == 403
    assert "Your role does not allow this." in visitor.words()
    visitor.get("/")
    assert ">Write<" not in visitor.page


def test_a_person_brings_two_newest_editions_together(writer: Visitor, planted: Circle) -> None:
    """Editions that met stay side by side until a person merges them."""
    first = planted.write("C1", practice("Rows of onions"))
    second, third = (planted.write("C1", practice(f"Rows of onions, {n}"), after=[first]) for n in (2, 3))
    writer.get(f"/write/form?after={second}&language=en")
    assert "This edition also brings in edition" in writer.words()
    boxes = sent(writer.page, title="Rows of onions, both", sure="yes", action="offer")
    writer.post("/write/form", boxes | {"after": [second, third]})
    page = planted["C"].page(first, edition=offered(writer), reader=planted.signer("C1"))
    assert (set(page.line.parents), page.others) == ({second, third}, ())
