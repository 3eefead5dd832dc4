"""What old growers of this place answered to five questions, kept here as a check beside the figures.

Papers of this site. Its one rule: answers are kept without the name of whoever gave them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.climate.memory import QUESTIONS, remembered
from fieldbook.site.parts import SiteError, time_claimed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.climate.memory import Remembered
    from fieldbook.site.borrowing import Borrowing
    from fieldbook.site.weather import Weather

GROWER = "grower-answers"
GROWERS_MAX = 200


class Growers:
    """The answers at one site."""

    def __init__(self, site: Borrowing, weather: Weather) -> None:
        """Read and write the answers of this site; its weather gives the growing periods."""
        self._site = site
        self._weather = weather
        self._notebook = site.notebook

    def tell(self, answers: Mapping[str, Sequence[int]]) -> None:
        """Keep the answers of one grower.

        Args:
            answers: months (1 to 12) by question; a question that was not answered may be left out.

        Raises:
            SiteError: nothing was answered, or there are too many papers already.
        """
        kept = {name: sorted(set(answers[name])) for name in QUESTIONS if answers.get(name)}
        if not kept:
            raise SiteError("no question was answered", hint="choose a month for at least one of the five")
        if len(self._notebook.records(GROWER)) >= GROWERS_MAX:
            raise SiteError(
                f"{GROWERS_MAX} growers have answered already", hint="take all answers out first, then ask anew"
            )
        self._notebook.add_record(GROWER, {"answers": kept, "on": time_claimed(self._site.clock())})

    def forget(self) -> None:
        """Take all answers out, to ask anew."""
        for paper in self._notebook.records(GROWER):
            self._notebook.remove_record(paper)

    def count(self) -> int:
        """How many growers have answered."""
        return len(self._notebook.records(GROWER))

    def compared(self) -> tuple[Remembered, ...]:
        """Each question with what was answered and what the figures say."""
        answers = [paper.document["answers"] for paper in self._notebook.records(GROWER)]
        return remembered(answers, self._site.normals(), self._weather.periods())
