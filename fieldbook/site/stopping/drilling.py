"""A drill: a practice that nobody follows is withdrawn, to see how long the word takes to every site.

Not a real withdrawal, and it says so in each of its sentences. Its one rule: it goes the way of a real one, by the same
functions, and what is reported is what sites have said themselves.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.site.parts import Signer, SiteError, time_claimed

if TYPE_CHECKING:
    from fieldbook.notebook import Record
    from fieldbook.site.joining import Joining
    from fieldbook.site.stopping.acknowledging import Acknowledging, Reach

_KIND = "drill"
_TITLE = "Drill: how fast does a withdrawal travel?"
_HARM = "This is a drill. Nothing is wrong, and nobody was hurt."
_NOW = "Go on as before. Type in that no sheet was taken down."
_INSTEAD = "Nothing: this practice was made for the drill."


@dataclass(frozen=True)
class Drill:
    """One drill that was begun at this site.

    Attributes:
        recall: its withdrawal.
        edition: the practice that was made for it.
        reach: which sites know of it now.
        exchanges: how many exchanges here it took until all were known to know; so far, where some are not.
        days: the same in whole days; None where a clock was in doubt.
        done: True where every site knows.
    """

    recall: str
    edition: str
    reach: Reach
    exchanges: int
    days: int | None
    done: bool

    def sentence(self) -> str:
        """What came of it, for people."""
        exchanges = "1 exchange" if self.exchanges == 1 else f"{self.exchanges} exchanges"
        days = "" if self.days is None else " and 1 day" if self.days == 1 else f" and {self.days} days"
        so_far = "" if self.done else " so far"
        return f"{self.reach.sentence()} It took {exchanges} here{days}{so_far}."

    def as_document(self) -> dict[str, Any]:
        """The drill as JSON."""
        return {**self.__dict__, "reach": self.reach.as_document(), "sentence": self.sentence()}


class Drills:
    """The drills of a site."""

    def __init__(self, site: Joining, acknowledging: Acknowledging) -> None:
        """Take the site and what it hears of withdrawals; nothing is read yet."""
        self._site, self._acknowledging = site, acknowledging

    def begin(self, *, signer: Signer) -> str:
        """Write a practice that says what it is, and withdraw it; returns the withdrawal's id.

        Raises:
            FieldbookError: the person is no reviewer, or an earlier drill has not reached every site.
        """
        site = self._site
        site.need_ledger().check_may_say(signer.key, "fieldbook/recall")
        if any(not one.done for one in self.every()):
            raise SiteError("a drill is under way already", hint="wait until every site has heard of it")
        document = {
            "kind": "teaching",
            "title": {"en": _TITLE},
            "facts": {"none": list(FACT_GROUPS), "cautions": []},
        }
        edition = site.write(document, signer=signer).edition or ""
        recall = site.recall(edition, signer=signer, harm=_HARM, now=_NOW, instead=_INSTEAD, drill=True)
        begun = {"edition": edition, "exchange": self._exchanges(), "time": site.claimed_time(), "full": None}
        site.notebook.add_record(_KIND, begun, about=recall)
        return recall

    def every(self) -> tuple[Drill, ...]:
        """The drills begun here, oldest first."""
        return tuple(self._drill(record) for record in self._site.notebook.records(_KIND))

    def note_reach(self) -> None:
        """Note after an exchange which drills have now reached every site."""
        for record in self._site.notebook.records(_KIND):
            reach = self._acknowledging.reach(record.about)
            if record.document["full"] is None and reach.knowing == len(reach.sites):
                full = {"exchange": self._exchanges(), "time": self._site.claimed_time()}
                self._site.notebook.change_record(record, {**record.document, "full": full})

    def _drill(self, record: Record) -> Drill:
        begun, full = record.document, record.document["full"]
        until = full or {"exchange": self._exchanges(), "time": time_claimed(self._site.clock())}
        return Drill(
            recall=record.about,
            edition=begun["edition"],
            reach=self._acknowledging.reach(record.about),
            exchanges=until["exchange"] - begun["exchange"],
            days=_days(begun["time"], until["time"]),
            done=full is not None,
        )

    def _exchanges(self) -> int:
        return int(self._site.notebook.fact("exchanges") or 0)


def _days(begun: str | None, ended: str | None) -> int | None:
    """Whole days between two claimed times; None where one is lacking or they go backwards."""
    if begun is None or ended is None:
        return None
    days = (dt.datetime.fromisoformat(ended) - dt.datetime.fromisoformat(begun)).days
    return days if days >= 0 else None
