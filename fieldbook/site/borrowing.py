"""The climate of a site that has no figures of its own: borrowed from a site of the network, and marked as borrowed.

What sites say of their places is rounded, and that is what is lent. Nothing here chooses a site for a person. Its one
rule: a borrowed climate is never lent again; a site that borrows states no months of its own to the network.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.climate.borrowing import borrowed_normals
from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.figures import decimal_figure
from fieldbook.climate.normals import read_normals, write_normals
from fieldbook.climate.place import Place
from fieldbook.climate.siteyear import SiteFacts
from fieldbook.ledger import looking_at
from fieldbook.review import body_faults
from fieldbook.site.joining import PLACE_SAID, Joining
from fieldbook.site.parts import SiteError, time_claimed
from fieldbook.site.season import check_climate, place_from_text

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from fieldbook.climate.normals import Normals
    from fieldbook.ledger import Ledger

_MONTHS = 12
_COLUMNS = ("rain_mm", "tmin_c", "tmax_c")


@dataclass(frozen=True)
class Lender:
    """A site that has said its own climate: where it lies and its twelve months, both rounded."""

    key: str
    letter: str
    name: str
    place: Place
    normals: Normals

    @property
    def whose(self) -> str:
        """How people name it: ``C Cloudstep Terrace``."""
        return f"{self.letter} {self.name}"

    def lend(self, here: Place) -> Normals:
        """Its climate at the height of another place.

        Raises:
            ClimateError: that place lies too far above or below.
        """
        return borrowed_normals(self.normals, whose=self.whose, from_m=self.place.elevation_m, to_m=here.elevation_m)

    def lent_facts(self, here: Place, *, now: dt.datetime) -> dict[str, Any]:
        """What the notebook of the site that borrows keeps: the months, whose they are, at which height, and when.

        Raises:
            ClimateError: as for ``lend``.
        """
        difference_m = here.elevation_m - self.place.elevation_m
        return {
            "normals": write_normals(self.lend(here)),
            "borrowed_climate": {
                "site": self.key,
                "letter": self.letter,
                "name": self.name,
                "latitude_deg": decimal_figure(self.place.latitude_deg, places=0),
                "elevation_m": decimal_figure(self.place.elevation_m, places=0),
                "height_difference_m": decimal_figure(difference_m, places=1),
                "on": time_claimed(now),
            },
        }


def lenders_of(ledger: Ledger) -> tuple[Lender, ...]:
    """The sites of a network that have said a climate of their own, by letter."""
    said = {one.author: one.body for one in ledger.said_of_kind(PLACE_SAID) if one.stands == "accepted"}
    found = (
        _lender(site, said[site["key"]] or {}) for site in ledger.sites() if site["key"] in said
    )  # of several words of one site the deepest comes last, so it is the one that is kept
    return tuple(sorted((one for one in found if one is not None), key=lambda one: (one.letter, one.key)))


def lenders_on(
    carrier: Path, *, random: Callable[[int], bytes], progress: Callable[[str, int, int], None] | None = None
) -> tuple[str, tuple[Lender, ...]]:
    """Title of the network on a stick, and its sites that can lend; the stick and this machine stay as they are.

    Args:
        carrier: the folder of the stick.
        random: where the key comes from that stands for whoever looks.
        progress: called with what is being done, how many are done, and of how many.

    Raises:
        FieldbookError: the stick holds no network or several, or it cannot be read.
    """
    with looking_at(carrier, random=random, progress=progress) as ledger:
        return ledger.network_title, lenders_of(ledger)


def _lender(site: Mapping[str, str], body: Mapping[str, Any]) -> Lender | None:
    """A site that can lend; None where it borrows itself, says no months, or says what cannot be."""
    columns = [body.get(name) for name in _COLUMNS]
    if body_faults(PLACE_SAID, body, strict=False) or "climate_from" in body:
        return None
    if any(not isinstance(column, list) or len(column) != _MONTHS for column in columns):
        return None
    rows = (",".join(map(str, row)) for row in zip(range(1, _MONTHS + 1), *columns, strict=True))
    try:
        normals = read_normals("\n".join((",".join(("month", *_COLUMNS)), *rows)))
        place = Place(latitude_deg=body["latitude_deg"], elevation_m=body["elevation_m"])
    except ClimateError:
        return None
    return Lender(site["key"], site["letter"], site["name"], place, normals)


class Borrowing(Joining):
    """Changing the site's climate: its own figures, or those of another site."""

    def lenders(self) -> tuple[Lender, ...]:
        """The other sites of the network whose climate can be borrowed."""
        if self.ledger is None:
            return ()
        return tuple(one for one in lenders_of(self.ledger) if one.key != self.site_key.public)

    def lender(self, name: str) -> Lender:
        """One of them, by its key or its letter, in any case.

        Raises:
            SiteError: there is none, or several have that letter.
        """
        typed = name.strip().casefold()
        found = [one for one in self.lenders() if typed in {one.key, one.letter.casefold()}]
        if len(found) != 1:
            letters = ", ".join(one.letter for one in self.lenders())
            raise SiteError(
                f"no one site {name!r} has a climate to lend here",
                hint=f"choose one of {letters}"
                if letters
                else "exchange a stick first: it brings what other sites say",
            )
        return found[0]

    def borrow_climate(self, lender: Lender) -> None:
        """Go by another site's climate from now on, not by the own log, and say to the network that it is borrowed.

        Raises:
            ClimateError: that site lies too far above or below, or its months cannot be reckoned with here.
        """
        lent = lender.lent_facts(self.place(), now=self.clock())
        check_climate(read_normals(lent["normals"]), self.place(), self.eto_method)
        self.notebook.set_facts(lent | {"own_log": None})
        self.settle()

    def own_climate(self, normals: str) -> None:
        """Go by twelve months of this place from now on, not by the own log, and say so to the network.

        Args:
            normals: the CSV text of twelve months.

        Raises:
            ClimateError: something in it cannot be right, by itself or at this place; nothing is changed.
        """
        check_climate(read_normals(normals), self.place(), self.eto_method)
        self.notebook.set_facts({"normals": normals, "borrowed_climate": None, "own_log": None})
        self.settle()

    @property
    def stated_place(self) -> dict[str, Any]:
        """Where this site lies and what only its people know of it, by the names of ``state_place``."""
        fact = self.notebook.fact
        return {
            "place": {name: str(fact(name)) for name in ("latitude_deg", "elevation_m", "setting")},
            "watering": bool(fact("watering")),
            "frost_months": tuple(fact("frost_months") or ()),
            "salt_water_months": tuple(fact("salt_water_months") or ()),
        }

    def state_place(
        self,
        *,
        place: Mapping[str, str],
        watering: bool,
        frost_months: Sequence[int],
        salt_water_months: Sequence[int],
        normals: str | None = None,
    ) -> None:
        """State anew where this site lies and what only its people know of it, as after a move; say so to the network.

        A climate that is borrowed is moved to the new height, from what its lender says now.

        Args:
            place: ``latitude_deg``, ``elevation_m`` and ``setting``, as text.
            watering: whether there is water for plants outside the rains.
            frost_months: months (1 to 12) with frost on some nights.
            salt_water_months: months in which that water is salty.
            normals: the CSV text of twelve months of that place, where they are given at the same time.

        Raises:
            FieldbookError: one of these cannot be, the months cannot be reckoned with there, or the lender of a
                borrowed climate is not known here any more; nothing is changed.
        """
        frost, salt = sorted(set(frost_months)), sorted(set(salt_water_months))
        SiteFacts(watering=watering, frost_months=frozenset(frost), salt_water_months=frozenset(salt))
        there = place_from_text(**place)
        facts: dict[str, Any] = {**place, "watering": watering, "frost_months": frost, "salt_water_months": salt}
        if normals is not None:
            facts |= {"normals": normals, "borrowed_climate": None, "own_log": None}
        elif (lent := self.notebook.fact("borrowed_climate")) is not None:
            facts |= self.lender(lent["site"]).lent_facts(there, now=self.clock())
        check_climate(read_normals(str(facts.get("normals") or self.notebook.fact("normals"))), there, self.eto_method)
        self.notebook.set_facts(facts)
        self.settle()
