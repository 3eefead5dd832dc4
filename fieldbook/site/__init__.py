"""One site: everything that a command or a page can ask of it, wired once.

The classes stand on one another like shelves, each with its own subject: ``parts`` (what it is made of), ``travel``
(exchange, view, index), ``holding`` (which site holds what), ``people``, ``reading`` (what people see), ``writing``,
``reviewing``, ``taking_back``, ``season`` (climate and calendar), ``joining`` (network and roles), ``borrowing``
(another site's climate), ``beginning`` (new sites and people). ``Site`` is the topmost and adds the rooms
that take the whole site: ``callers`` (who to call here), ``instead`` (drafts changed by a safe way),
``putting_away`` (what waits for voices and is wanted no more),
``alike`` (what reads like a withdrawn practice),
``earlier_answers`` (a reviewer's answers, offered again), ``second_words`` (of licensed local people),
``merging`` (two editions brought together), ``mending`` (a store that rotted),
``review_queue`` (what waits for a reviewer),
``weather`` (the log of gauge and thermometer), ``growers`` (what old growers say), ``beds`` (the bed book),
``due`` (what is due), ``changing`` (less water, late rain, flood, move),
``complaints`` (what people told), ``trials`` (comparisons), ``stops`` and ``hearing`` (withdrawals),
``acknowledging`` and ``papers`` (how far they came), ``seconding``, ``drills``.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from fieldbook.site.alike import AlikeList
from fieldbook.site.backup import BackedUp, back_up, free_name
from fieldbook.site.beds import BedBook
from fieldbook.site.beginning import Beginning, Founding, NewSite, begin_site, months_from_text
from fieldbook.site.borrowing import Lender, lenders_on
from fieldbook.site.callers import CallBoard, Caller
from fieldbook.site.changing import Changing
from fieldbook.site.complaining import DID_NOT_WORK, HURT, TELLING, Complaint, Complaints
from fieldbook.site.due import DueList
from fieldbook.site.earlier_answers import EarlierAnswers
from fieldbook.site.growers import Growers
from fieldbook.site.holding import HeldAlone, HeldLine, Holder
from fieldbook.site.household import HouseholdBook, HouseholdYear, household_from_text
from fieldbook.site.instead import Instead
from fieldbook.site.known_trials import SignedTrial
from fieldbook.site.mending import (
    DamagedPhoto,
    DamagedWords,
    Mending,
    Missing,
    SiteDamage,
    look_at,
    mend,
    remove_damaged,
)
from fieldbook.site.merging import Merging
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.putting_away import PuttingAway
from fieldbook.site.restoring import Restored, restore
from fieldbook.site.review_queue import QueueItem, ReviewQueue
from fieldbook.site.season import climate_of
from fieldbook.site.second_words import LocalWord, SecondWords
from fieldbook.site.slips import Begun, Event, JudgedSlip, Slip
from fieldbook.site.starting import Starting
from fieldbook.site.stopping import Acknowledging, Drills, Hearing, Papers, Seconding, Stops
from fieldbook.site.sums import SumBook
from fieldbook.site.taking_back import NOT_CALLED_BACK
from fieldbook.site.trials import Trials
from fieldbook.site.weather import Weather
from fieldbook.site.writing import PhotoIn, photo_from_file, photos_beside, read_entry_file, read_text_file

if TYPE_CHECKING:
    from pathlib import Path

__all__ = [
    "DID_NOT_WORK",
    "HURT",
    "NOT_CALLED_BACK",
    "TELLING",
    "BackedUp",
    "Begun",
    "CallBoard",
    "Caller",
    "Complaint",
    "Complaints",
    "DamagedPhoto",
    "DamagedWords",
    "Event",
    "Founding",
    "Growers",
    "HeldAlone",
    "HeldLine",
    "Holder",
    "HouseholdYear",
    "JudgedSlip",
    "Lender",
    "LocalWord",
    "Mending",
    "Missing",
    "NewSite",
    "PhotoIn",
    "QueueItem",
    "Restored",
    "SignedTrial",
    "Signer",
    "Site",
    "SiteDamage",
    "SiteError",
    "Slip",
    "Starting",
    "Trials",
    "Weather",
    "back_up",
    "begin_site",
    "climate_of",
    "free_name",
    "household_from_text",
    "lenders_on",
    "look_at",
    "mend",
    "months_from_text",
    "photo_from_file",
    "photos_beside",
    "read_entry_file",
    "read_text_file",
    "remove_damaged",
    "restore",
]


class Site(Beginning):
    """One open site; close it when done. Rooms that take the site stand here, each made when it is first asked for."""

    @cached_property
    def sums(self) -> SumBook:
        """What this site has measured for its sums, and the sizes that it kept."""
        return SumBook(self)

    @cached_property
    def putting_away(self) -> PuttingAway:
        """What waits for voices and is put away here."""
        return PuttingAway(self)

    @cached_property
    def stops(self) -> Stops:
        """The withdrawals, and allowing again."""
        return Stops(self)

    @cached_property
    def hearing(self) -> Hearing:
        """Withdrawals that were heard over a radio."""
        return Hearing(self)

    @cached_property
    def acknowledging(self) -> Acknowledging:
        """Which sites know a withdrawal, and which have taken its paper down."""
        return Acknowledging(self)

    @cached_property
    def papers(self) -> Papers:
        """What was printed here, and where it hangs."""
        return Papers(self, self.acknowledging)

    @cached_property
    def seconding(self) -> Seconding:
        """Which withdrawals another reviewer stands behind."""
        return Seconding(self)

    @cached_property
    def drills(self) -> Drills:
        """Drills of the way of a withdrawal."""
        return Drills(self, self.acknowledging)

    def _show_urgent(self) -> None:
        super()._show_urgent()
        self.acknowledging.say_known()

    def _count_exchange(self) -> None:
        super()._count_exchange()
        self.drills.note_reach()

    @cached_property
    def complaints(self) -> Complaints:
        """What people tell of a practice, and the answers."""
        return Complaints(self)

    @cached_property
    def trials(self) -> Trials:
        """Comparisons of a practice with the usual way."""
        return Trials(self)

    @cached_property
    def callers(self) -> CallBoard:
        """The board "Who to call here"."""
        return CallBoard(self)

    @cached_property
    def instead(self) -> Instead:
        """Drafts changed by a safe way, and put back."""
        return Instead(self)

    @cached_property
    def alike(self) -> AlikeList:
        """What is withdrawn, for telling what reads like it."""
        return AlikeList(self)

    @cached_property
    def earlier_answers(self) -> EarlierAnswers:
        """What was answered before to the same rule on the same value."""
        return EarlierAnswers(self)

    @cached_property
    def second_words(self) -> SecondWords:
        """The words of licensed local people."""
        return SecondWords(self)

    @cached_property
    def merging(self) -> Merging:
        """Editions that stand side by side, and how they become one."""
        return Merging(self)

    @cached_property
    def mending(self) -> Mending:
        """What has rotted here, and its mending."""
        return Mending(self)

    @cached_property
    def household(self) -> HouseholdBook:
        """What is known here of a household's water."""
        return HouseholdBook(self)

    @cached_property
    def review_queue(self) -> ReviewQueue:
        """What waits for a reviewer."""
        return ReviewQueue(self)

    @cached_property
    def weather(self) -> Weather:
        """The log of the gauge and the thermometer."""
        return Weather(self)

    @cached_property
    def growers(self) -> Growers:
        """What old growers of this place said."""
        return Growers(self, self.weather)

    @cached_property
    def beds(self) -> BedBook:
        """Beds, boxes, cans and pens, and what happened there."""
        return BedBook(self, self.starting)

    @cached_property
    def due(self) -> DueList:
        """What is due, by day and bed."""
        return DueList(self, self.beds, self.starting)

    @cached_property
    def changing(self) -> Changing:
        """Less water, late rain, a flood, a move."""
        return Changing(self, self.beds, self.weather, self.starting)

    @cached_property
    def starting(self) -> Starting:
        """Slips "Before you start here", and the practices in use at places of this site."""
        return Starting(self, self.sums)

    @classmethod
    def open(cls, folder: Path, **wiring: Any) -> Site:
        """Open the site in this folder, bring its view and index to what it holds, and introduce its people.

        Args:
            folder: the site's folder.
            wiring: ``clock`` and ``random`` in place of the machine's own.

        Raises:
            FieldbookError: there is no site, another process holds it, or a file in it cannot be read.
        """
        site = cls(folder, **wiring)
        try:
            site.finish_offering()
            site.refresh_to_open()
            site.settle()
        except BaseException:
            site.close()
            raise
        return site
