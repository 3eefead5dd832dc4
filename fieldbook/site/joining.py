"""Joining a network, and the roles that stewards give.

Its one rule: every step is one statement that anybody can check later; nothing here decides what counts, ``sync`` does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.ledger import Ledger
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.season import Season

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from fieldbook.ledger import Join
    from fieldbook.notebook import Person


class Joining(Season):
    """How a site comes to be known, and who may do what."""

    def settle(self) -> None:
        """Say what every site says of itself once: its people, and its rounded climate and languages."""
        if self.ledger is None:
            return
        said = self.ledger.said_by(self.site_key.public)
        introduced = {body["key"] for kind, body in said if kind == "sync/person" and "key" in body}
        for person in self.notebook.people():
            if person.key not in introduced:
                self.introduce(person)
        if all(kind != "fieldbook/site" for kind, _ in said):
            self._say_as_site("fieldbook/site", self.rounded_facts())

    def introduce(self, person: Person) -> None:
        """Say that this key is this person here."""
        self._say_as_site("sync/person", {"key": person.key, "name": person.label, "role": person.role})

    def rounded_facts(self) -> dict[str, Any]:
        """What leaves the site of its place: latitude to 1°, height to 100 m, rain to 5 mm, temperature to 0.5 °C."""
        place = self.place()
        normals = self.normals()
        return {
            "languages": list(self.languages),
            "latitude_deg": round(place.latitude_deg),
            "elevation_m": round(place.elevation_m / 100) * 100,
            "rain_mm": [round(value / 5) * 5 for value in normals.rain_mm],
            "tmin_c": [_half(value) for value in normals.tmin_c],
            "tmax_c": [_half(value) for value in normals.tmax_c],
        }

    def _say_as_site(self, kind: str, body: dict[str, Any]) -> str:
        statement = self.need_ledger().say(self.site_key, kind, body, time=self.claimed_time(), random=self.random)
        self.refresh()
        return statement

    def request_join(self, carrier: Path) -> str:
        """Take the network from a carrier and leave a signed request to join it; returns the site's words.

        Raises:
            FieldbookError: the carrier holds no network, or this site has one already.
        """
        if self.ledger is not None:
            raise SiteError(f"this site is in the network {self.network_title} already", hint="exchange instead")
        self.ledger = Ledger.join(self.folder, carrier, site_key=self.site_key, letter=self.letter, name=self.name)
        self.settle()
        return self.words

    @property
    def words(self) -> str:
        """This site's fingerprint in short words, to be compared by voice."""
        return Ledger.words(self.site_key.public)

    def joins_waiting(self) -> tuple[Join, ...]:
        """The sites that asked to join and are not granted yet."""
        return self.need_ledger().joins_waiting()

    def admit(self, words: str, *, signer: Signer) -> str:
        """Grant the site whose fingerprint words these are; returns the statement's id.

        Raises:
            SiteError: nobody of these words has asked to join.
        """
        for join in self.joins_waiting():
            if Ledger.same_words(join.key, words):
                grant = {"key": join.key, "letter": join.letter, "name": join.name, "role": "site"}
                return self._say_as(signer, "sync/grant", grant)
        raise SiteError(
            "no site with these words has asked to join", hint="take in the stick first, and compare all the words"
        )

    def grant_reviewer(self, key: str, name: str, site: str, *, scope: Sequence[str] = (), signer: Signer) -> str:
        """One steward's voice for making this key a reviewer; enough voices with the same body grant it."""
        body = {"key": key, "name": name, "role": "reviewer", "scope": sorted(scope), "site": site}
        return self._say_as(signer, "sync/grant", body)

    def state_stewards(self, stewards: Sequence[dict[str, str]], *, threshold: int, signer: Signer) -> str:
        """One voice for the next version of the stewards, or for one that others have stated already."""
        ledger = self.need_ledger()
        body, after = ledger.next_stewards(stewards, threshold=threshold)
        return self._say_as(signer, "sync/stewards", body, after=after)

    def _say_as(self, signer: Signer, kind: str, body: dict[str, Any], after: Sequence[str] = ()) -> str:
        statement = self.need_ledger().say(
            signer.key, kind, body, after=after, time=self.claimed_time(), random=self.random
        )
        self.refresh()
        return statement


def _half(value: float) -> str:
    return f"{round(value * 2) / 2:.1f}"
