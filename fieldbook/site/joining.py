"""Joining a network.

Its one rule: every step is one statement that anybody can check later; nothing here decides what counts, ``sync`` does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.climate.rounding import rounded_normals, rounded_place
from fieldbook.errors import FieldbookError, Notice
from fieldbook.ledger import Ledger, check_eight_words
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.season import Season

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from fieldbook.ledger import ExchangeReport, Join
    from fieldbook.notebook import Person

PLACE_SAID = "fieldbook/site"


@dataclass(frozen=True)
class Admitted:
    """A site that was let in: its request, the statement that grants it, and what was left on the carrier for it."""

    join: Join
    statement: str
    left: ExchangeReport


class Joining(Season):
    """How a site comes to be known."""

    def settle(self) -> None:
        """Say what every site says of itself: its people, and its rounded climate and languages, anew where changed."""
        if self.ledger is None:
            return
        said = self.ledger.said_of_author(self.site_key.public)
        introduced = {(one.body or {}).get("key") for one in said if one.kind == "sync/person"}
        for person in self.notebook.people():
            if person.key not in introduced:
                self.introduce(person)
        places, facts = [one for one in said if one.kind == PLACE_SAID], self.rounded_facts()
        if not places or places[-1].body not in (None, facts):  # what was taken back is not said again
            self._say_as_site(PLACE_SAID, facts, after=[one.id for one in places[-1:]])

    def introduce(self, person: Person) -> None:
        """Say that this key is this person here."""
        self._say_as_site("sync/person", {"key": person.key, "name": person.label, "role": person.role})

    def rounded_facts(self) -> dict[str, Any]:
        """What leaves the site of its place: latitude to 1°, height to 100 m, rain to 5 mm, temperature to 0.5 °C.

        A climate that is borrowed stays out, so that nobody borrows it again as if it had been measured here.
        """
        coarse_place, coarse, borrowed = (
            rounded_place(self.place()),
            rounded_normals(self.normals()),
            self.borrowed_climate,
        )
        where = {
            "languages": list(self.languages),
            "latitude_deg": int(coarse_place.latitude_deg),
            "elevation_m": int(coarse_place.elevation_m),
        }
        if borrowed is not None:
            return where | {"climate_from": borrowed["site"]}
        return where | {
            "rain_mm": [int(value) for value in coarse.rain_mm],
            "tmin_c": [f"{value:.1f}" for value in coarse.tmin_c],
            "tmax_c": [f"{value:.1f}" for value in coarse.tmax_c],
        }

    def _say_as_site(self, kind: str, body: dict[str, Any], after: Sequence[str] = ()) -> str:
        statement = self.need_ledger().say(
            self.site_key, kind, body, after=after, time=self.claimed_time(), random=self.random
        )
        self.refresh_view()
        return statement

    def network_on(self, carrier: Path) -> tuple[str, str]:
        """Title and words of the one network that a carrier holds, to be compared before joining it.

        Raises:
            FieldbookError: the carrier holds none, or several.
        """
        title, network_id = Ledger.network_on(carrier)
        return title, Ledger.words(network_id)

    def request_join(self, carrier: Path, *, network_words: str | None = None) -> str:
        """Take the network from a carrier and leave a signed request to join it; returns the site's words.

        Args:
            carrier: the folder of the stick.
            network_words: the words of the network that the person agreed to; None takes the one that is there.

        Raises:
            FieldbookError: the carrier holds no network or another one, or this site has one already.
        """
        if self.ledger is not None:
            raise SiteError(f"this site is in the network {self.network_title} already", hint="exchange instead")
        if network_words is not None and not Ledger.same_words(Ledger.network_on(carrier)[1], network_words):
            raise SiteError(
                "the stick holds another network than the one whose words were compared",
                hint="look at the stick again, and compare the words once more",
            )
        try:
            self.ledger = Ledger.join(self.folder, carrier, site_key=self.site_key, letter=self.letter, name=self.name)
        except FieldbookError:
            # the network may be kept although the request could not be left on the stick: the next exchange leaves it
            self.ledger = Ledger.open(self.folder) if Ledger.exists(self.folder) else None
            raise
        self.settle()
        return self.words

    def join_from(
        self,
        carrier: Path,
        *,
        network_words: str | None = None,
        progress: Callable[[str, int, int], None] | None = None,
    ) -> ExchangeReport:
        """Leave a request as ``request_join`` does, then exchange: what the carrier holds can be read at once.

        Raises:
            FieldbookError: as for ``request_join`` and ``exchange``.
        """
        self.request_join(carrier, network_words=network_words)
        return self.exchange(carrier, progress=progress)

    @property
    def words(self) -> str:
        """This site's fingerprint in short words, to be compared by voice."""
        return Ledger.words(self.site_key.public)

    @property
    def network_words(self) -> str | None:
        """The network's fingerprint in short words, or None where the site has joined none yet."""
        return None if self.ledger is None else Ledger.words(self.ledger.network_id)

    @property
    def waits(self) -> bool:
        """True where this site asked to join and is not let in yet; its people keep what they write as drafts."""
        return self.ledger is not None and not self.ledger.is_granted(self.site_key.public)

    @property
    def outside(self) -> str | None:
        """A sentence where this site is in no network, or not let in yet, on what that means; else None."""
        if self.ledger is None:
            return Notice(
                "This site is not part of a network yet: drafts, people and the calendar work, and nothing from here "
                "is taken in elsewhere."
            )
        if self.waits:
            return Notice(
                "This site waits for a signatory to let it in. It can read all that a stick brings; what people here "
                "say waits, so keep what you write as a draft."
            )
        return None

    def letter_is_taken(self, letter: str) -> bool:
        """True where a site of the network has this letter already: both would then show more of their keys."""
        return any(site["letter"].startswith(letter) for site in self.need_ledger().sites())

    def joins_waiting(self) -> tuple[Join, ...]:
        """The sites that asked to join and are not granted yet."""
        return self.need_ledger().joins_waiting()

    def admit(self, words: str, *, signer: Signer, carrier: Path | None = None) -> str:
        """Grant the site whose fingerprint words these are; returns the statement's id.

        Raises:
            SiteError: nobody of these words has asked to join.
        """
        return self._grant_site(self.join_of(words, carrier=carrier), signer)

    def _grant_site(self, join: Join, signer: Signer) -> str:
        grant = {"key": join.key, "letter": join.letter, "name": join.name, "role": "site"}
        return self._say_as(signer, "sync/grant", grant)

    def join_of(self, words: str, *, carrier: Path | None = None) -> Join:
        """The request of the site whose fingerprint words these are.

        Args:
            words: as a person of that site said them.
            carrier: where to look besides the requests that are kept here, of which there are a hundred at most.

        Raises:
            SiteError: nobody of these words has asked to join.
        """
        kept = next((join for join in self.joins_waiting() if Ledger.same_words(join.key, words)), None)
        found = self.need_ledger().join_on(carrier, words) if kept is None and carrier is not None else kept
        if found is None:
            raise self._nobody_asked(words)
        return found

    def _nobody_asked(self, words: str) -> FieldbookError:
        """Why a request of these words is not there: a slip in them, somebody who is in already, or another stick."""
        for one in self.need_ledger().each_known():
            if one.is_site and Ledger.same_words(one.key, words):
                return SiteError(
                    f"these are the words of site {one.label}, which is in the network already",
                    hint="exchange with the stick that goes back there, so that it learns",
                )
        check_eight_words(words)
        return SiteError(
            "no site with these words has asked to join",
            hint="look whether it is the right stick, and ask for all eight words once more",
        )

    def admit_from(self, carrier: Path, words: str, *, signer: Signer, same_letter: bool = False) -> Admitted:
        """Take in a carrier, grant the site whose words these are, and leave the grant on the carrier.

        Args:
            carrier: the folder of the stick on which its request lies.
            words: as a person of that site said them.
            signer: a steward.
            same_letter: let it in although a site of the network has its letter.

        Raises:
            FieldbookError: the signer is no steward, nobody of these words asked to join, its letter is taken, or the
                carrier fails.
        """
        if "steward" not in self.need_ledger().roles_of(signer.key.public):
            raise SiteError(f"{signer.label} is no signatory of the network", hint="a signatory lets sites in")
        self.exchange(carrier)
        join = self.join_of(words, carrier=carrier)
        if self.letter_is_taken(join.letter) and not same_letter:
            raise SiteError(
                f"a site of the network has the letter {join.letter} already, and nobody was let in",
                hint="ask the new site to begin with another letter, or say --same-letter: both then show more signs",
            )
        return Admitted(join, self._grant_site(join, signer), self.exchange(carrier))

    def _say_as(self, signer: Signer, kind: str, body: dict[str, Any], after: Sequence[str] = ()) -> str:
        statement = self.need_ledger().say(
            signer.key, kind, body, after=after, time=self.claimed_time(), random=self.random
        )
        self.refresh_view()
        return statement
