"""Three sites join a network that began with the starter entries: each has everything once, after one exchange."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Founding, Signer, Site, begin_site, starters
from tests.orrendal import PASSPHRASE, fast_folder, noon, practice, site_facts
from tests.starters import answers_of, entry_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.xdist_group("newcomers")  # they come together once in each process that asks for them

OTHERS = ("T", "L", "S")
CHECKED = "aphid-soap"
FEW = (CHECKED, "leaf-box", "tobacco-warning")  # for speed; tests/site/test_starters.py takes up all of them


class Founder:
    """The founding site with a reviewer of its own, an entry that was checked and one that was withdrawn."""

    def __init__(self, folder: Path) -> None:
        founding = Founding("Orrendal Garden Circle", "C1", PASSPHRASE, starters=True)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(starters, "starter_names", lambda: FEW)
            begin_site(folder / "founder", site_facts("C"), founding=founding)
        self.site = Site.open(folder / "founder", clock=noon)
        self.steward = self.site.unlock("C1", PASSPHRASE)
        person = self.site.add_person("C3", role="trainer", passphrase=PASSPHRASE)
        self.site.grant_reviewer(person.key, "C3", self.site.site_key.public, signer=self.steward)
        reviewer = self.site.unlock("C3", PASSPHRASE)
        self.checked = self._edition(CHECKED)
        said = answers_of(CHECKED)["approvals"][0]
        self.site.approve(self.checked, signer=reviewer, answers=said["answers"], limits=said["limits"])
        self.withdrawn = self._edition("leaf-box")
        self.site.recall(self.withdrawn, signer=reviewer, harm="It smoked.", now="Wet it.", instead="Ask first.")

    def _edition(self, name: str) -> str:
        (card,) = (card for card in self.site.cards() if card.title["en"] == entry_of(name)["title"]["en"])
        return card.edition


@pytest.fixture(scope="module")
def places() -> Path:
    return fast_folder()


@pytest.fixture(scope="module")
def stick(places: Path) -> Path:
    (places / "stick").mkdir()
    return places / "stick"


@pytest.fixture(scope="module")
def founder(places: Path, stick: Path) -> Iterator[Founder]:
    one = Founder(places)
    one.site.exchange(stick)
    yield one
    one.site.close()


@pytest.fixture(scope="module")
def newcomers(places: Path, stick: Path, founder: Founder) -> Iterator[dict[str, Site]]:
    """The other three, let in one after the other over one stick, each after one exchange since then."""
    sites = {}
    for letter in OTHERS:
        begin_site(places / letter, site_facts(letter), founding=None)
        site = sites[letter] = Site.open(places / letter, clock=noon)
        site.add_person(f"{letter}1", role="trainer", passphrase=PASSPHRASE)
        site.join_from(stick)
        assert site.waits
        founder.site.admit_from(stick, site.words, signer=founder.steward)
        site.exchange(stick)
        assert site.verify().state == founder.site.verify().state
        founder.site.exchange(stick)  # and hears that the newcomer knows of the withdrawal
        assert site.verify().set == founder.site.verify().set
    for site in (founder.site, *sites.values()):
        site.exchange(stick)  # those who came first learn of those who came later
    yield sites
    for site in sites.values():
        site.close()


def test_after_one_exchange_each_shows_what_the_founder_shows(
    newcomers: dict[str, Site], founder: Founder, stick: Path
) -> None:
    found = [site.verify() for site in (founder.site, *newcomers.values())]
    assert len({(one.state, one.set, one.entries, one.problems) for one in found}) == 1
    assert check_carrier(stick) == []


def test_no_starter_entry_is_there_twice(newcomers: dict[str, Site], founder: Founder) -> None:
    titles = sorted(entry_of(name)["title"]["en"] for name in FEW)
    for site in newcomers.values():
        trainer = site.unlock(f"{site.letter}1", PASSPHRASE)
        assert sorted(card.title["en"] for card in site.cards(reader=trainer)) == titles
        assert site.view.entries() == founder.site.view.entries()


def test_people_roles_and_the_withdrawal_have_come_too(newcomers: dict[str, Site], founder: Founder) -> None:
    ledger = founder.site.ledger
    assert ledger is not None
    for site in newcomers.values():
        assert site.ledger is not None
        assert site.ledger.roles_digest() == ledger.roles_digest()
        assert {person["label"] for person in site.ledger.who()["people"]} >= {"C1", "C3", f"{site.letter}1"}
        notice = site.page(site.entry_id(founder.withdrawn)).notice
        assert notice is not None
        assert notice.harm == "It smoked."


def test_every_drawing_has_come_too(newcomers: dict[str, Site], founder: Founder) -> None:
    cards = founder.site.cards(reader=founder.steward)
    pages = [founder.site.page(card.entry, reader=founder.steward) for card in cards]
    photos = [photo for page in pages for photo in page.document.get("photos") or ()]
    assert len(photos) >= 2
    for site in newcomers.values():
        assert all(site.attachment(photo[part]) is not None for photo in photos for part in ("ref", "thumb"))


def test_elsewhere_readers_see_what_was_checked_and_the_notice_and_nothing_that_nobody_checked(
    newcomers: dict[str, Site], founder: Founder
) -> None:
    for site in newcomers.values():
        assert {card.edition for card in site.cards()} == {founder.checked, founder.withdrawn}
        assert site.search("aphids on kale")[0].edition == founder.checked
        kept_back = site.kept_back(reader=None) or ""
        assert kept_back.startswith("1 practice entry here is not shown to readers yet")
        trainer = site.unlock(f"{site.letter}1", PASSPHRASE)
        found = [
            hit.as_document() for hit in site.search("tobacco spray", reader=trainer) if hit.standing == "unchecked"
        ]
        assert {one["standing_words"] for one in found} == {"unchecked, from another site"}
        assert site.kept_back(reader=trainer) is None


def test_the_people_of_a_newcomer_are_heard_once_it_is_in(
    newcomers: dict[str, Site], founder: Founder, stick: Path
) -> None:
    site = newcomers["T"]
    signer = site.unlock("T1", PASSPHRASE)
    written = site.write(practice("Sunk bed behind thorns"), signer=signer)
    site.exchange(stick)
    founder.site.exchange(stick)
    assert written.edition is not None
    page = founder.site.page(founder.site.entry_id(written.edition), reader=founder.steward)
    assert (page.line.author, page.own) == ("T1", False)


def test_what_is_drafted_while_a_site_waits_is_kept_and_offered_afterwards(
    places: Path, stick: Path, founder: Founder, newcomers: dict[str, Site]
) -> None:
    assert "S" in newcomers
    begin_site(places / "late", site_facts("S"), founding=None)
    late = Site.open(places / "late", clock=noon)
    late.add_person("S9", role="trainer", passphrase=PASSPHRASE)
    signer: Signer = late.unlock("S9", PASSPHRASE)
    late.join_from(stick)
    draft = late.write(practice("Written while it waited"), signer=signer, draft=True).draft
    assert draft is not None
    founder.site.admit_from(stick, late.words, signer=founder.steward, same_letter=True)
    late.exchange(stick)
    assert late.offer(draft, signer=signer).edition is not None
    assert late.outside is None
    late.close()


def test_a_network_is_founded_without_starters_too_and_joins_the_same_way(places: Path) -> None:
    begin_site(places / "bare", site_facts("C"), founding=Founding("Bare", "C1", PASSPHRASE))
    begin_site(places / "second", site_facts("T"), founding=None)
    stick = places / "bare stick"
    stick.mkdir()
    bare, second = Site.open(places / "bare", clock=noon), Site.open(places / "second", clock=noon)
    bare.exchange(stick)
    second.join_from(stick)
    bare.admit_from(stick, second.words, signer=bare.unlock("C1", PASSPHRASE))
    second.exchange(stick)
    assert second.verify().state == bare.verify().state
    assert second.view.entries() == ()
    bare.close()
    second.close()
