"""The demonstration: an invented network of four sites, really built and really exchanged.

Nothing here is faked: keys are made, stewards speak, trainers write, a stick travels, reviewers approve, and each site
verifies what it took in. Its one rule: only what any person could do by command or page is done, by the same functions.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import secrets
import shutil
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldbook.climate.year import date_words
from fieldbook.errors import FieldbookError
from fieldbook.shipped import shipped_text
from fieldbook.site import Founding, NewSite, Signer, Site, begin_site
from fieldbook.site.starters import starter_entries

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

_DEMO = "seed_entries/demo/"
_WORDS = (
    "lantern",
    "gravel",
    "mango",
    "rope",
    "kettle",
    "drizzle",
    "basket",
    "ember",
    "thorn",
    "ladle",
    "reed",
    "cloud",
)
_BOARD = (  # invented roles and places, as a person would type them
    {
        "role": "builder",
        "where": "tool store beside the lower tap",
        "channel": "radio channel 4",
        "hours": "mornings, not on market day",
    },
    {"role": "health-officer", "where": "health post, second door", "channel": "", "hours": "every day until noon"},
)
_PRACTICE, _PLACE = "sack-garden", "sacks beside the school steps"
_NEVER = "report this: it must never happen"


class DemoError(FieldbookError):
    """The demonstration cannot be built; the message says why."""


def default_folder() -> Path:
    """Where the demonstration is built unless a folder is named: in the user's data folder."""
    base = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(base) / "tried-ground-demo"


def run_demo(folder: Path | None, *, port: int | None, passphrase: str | None, say: Callable[[str], None]) -> None:
    """Build the four sites where they are not there yet, then serve the first one.

    Args:
        folder: where; None for the user's data folder.
        port: serve the first site here; None to stop after the exchange.
        passphrase: what the people's keys open with; None to invent one and say it.
        say: takes one plain line of progress at a time.

    Raises:
        FieldbookError: the folder holds something else, or cannot be written.
    """
    root = folder or default_folder()
    plan = json.loads(shipped_text(_DEMO + "network.json"))
    if (root / "done").is_file():
        say(f"The four sites are in {root} already; their passphrase is what it was.")
    else:
        words = passphrase or "-".join(secrets.choice(_WORDS) for _ in range(4))
        _build_whole(root, plan, words, say)
        if passphrase is None:
            say(f"Everybody's passphrase in this demonstration: {words}")
    if port is not None:
        from fieldbook.web.serving import serve

        site = Site.open(root / plan["sites"][0]["folder"])
        try:
            serve(site, host="127.0.0.1", port=port, say=say)
        finally:
            site.close()


def _build_whole(root: Path, plan: Mapping[str, Any], words: str, say: Callable[[str], None]) -> None:
    """Build beside the folder and move it there at the end, so that a cut leaves nothing half done."""
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise DemoError(f"there is something else in {root}", hint="name an empty folder with --data DIR")
    part = root.with_name(f".{root.name}.part")
    shutil.rmtree(part, ignore_errors=True)
    try:
        part.mkdir(parents=True)
        _Network(part, plan, words, say).build()
        (part / "done").write_text("built whole\n", encoding="utf-8")
        if root.exists():
            root.rmdir()
        part.rename(root)
    except OSError as error:
        raise DemoError(
            f"the folder {root} cannot be written ({error.strerror})", hint="name another with --data DIR"
        ) from error
    finally:
        shutil.rmtree(part, ignore_errors=True)


class _Network:
    """The four sites while they are built, and the stick that travels between them."""

    def __init__(self, root: Path, plan: Mapping[str, Any], words: str, say: Callable[[str], None]) -> None:
        self._root = root
        self._plan = plan
        self._words = words
        self._say = say
        self._stick = root / "stick"
        self._sites: dict[str, Site] = {}

    def build(self) -> None:
        """Do everything, in the order in which people would."""
        self._stick.mkdir()
        with ExitStack() as stack:
            for facts in self._plan["sites"]:
                self._begin(facts)
                site = Site.open(self._root / facts["folder"])
                stack.callback(site.close)
                self._sites[facts["letter"]] = site
                for label, role in facts["people"]:
                    if site.notebook.person(label) is None:
                        site.add_person(label, role=role, passphrase=self._words)
            self._join()
            self._choose_stewards()
            self._grant_reviewers()
            self._write_entries()
            self._approve_entries()
            self._compare()
            self._bring_in_days()
            self._begin_beds()
            self._put_up_board()
            self._begin_practice()
            self._show_main_job()

    def _begin(self, facts: Mapping[str, Any]) -> None:
        founder = self._plan["founding_steward"]
        founding = None
        if founder.startswith(facts["letter"]):
            founding = Founding(self._plan["title"], founder, self._words)
        begin_site(self._root / facts["folder"], _site_facts(facts), founding=founding)
        self._say(
            f"Site {facts['letter']}, {facts['name']}: begun" + (", and it founds the network" if founding else "")
        )

    def _signer(self, label: str) -> Signer:
        return self._sites[label[0]].unlock(label, self._words)

    def _carry(self, letters: Sequence[str]) -> None:
        for letter in letters:
            report = self._sites[letter].exchange(self._stick)
            if report.refused:
                raise DemoError(
                    f"site {letter} refused {report.refused[0].file}: {report.refused[0].reason}", hint=_NEVER
                )
            self._say(
                f"  the stick is at {letter}: {report.accepted} signed words taken in, files left on it: {report.left}"
            )

    def _join(self) -> None:
        others = [letter for letter in self._sites if self._sites[letter].ledger is None]
        founder = self._sites[self._plan["founding_steward"][0]]
        self._say("The stick goes round once: the other sites ask to join, and the signatory compares their words.")
        self._carry([founder.letter])
        asked = {letter: self._sites[letter].request_join(self._stick) for letter in others}
        self._carry([founder.letter])
        for letter in others:
            founder.admit(asked[letter], signer=self._signer(self._plan["founding_steward"]))
            self._say(f"  {self._plan['founding_steward']} admits site {letter}: {asked[letter]}")
        self._carry([founder.letter, *others, founder.letter])

    def _choose_stewards(self) -> None:
        names = self._plan["stewards"]
        people = {label: self._sites[label[0]].notebook.person(label) for label in names}
        stewards = [
            {"key": person.key, "name": label, "site": self._sites[label[0]].site_key.public}
            for label, person in people.items()
            if person is not None
        ]
        self._say(f"Three signatories from now on, {self._plan['threshold']} of whom must agree: {', '.join(names)}.")
        for label in names:
            site = self._sites[label[0]]
            site.state_stewards(stewards, threshold=self._plan["threshold"], signer=self._signer(label))
            self._carry([site.letter])

    def _grant_reviewers(self) -> None:
        voices = self._plan["stewards"][: self._plan["threshold"]]
        for steward in voices:
            site = self._sites[steward[0]]
            self._carry([site.letter])
            for label in self._plan["reviewers"]:
                home = self._sites[label[0]]
                person = home.notebook.person(label)
                if person is not None:
                    site.grant_reviewer(person.key, label, home.site_key.public, signer=self._signer(steward))
            self._carry([site.letter])
        self._say(f"{' and '.join(voices)} make {' and '.join(self._plan['reviewers'])} reviewers.")
        self._carry([*self._sites, self._plan["stewards"][0][0]])

    def _write_entries(self) -> None:
        self._editions: dict[str, str] = {}
        for starter in starter_entries():
            site = self._sites[starter.writer[0]]
            written = site.write(starter.document, photos=starter.photos, signer=self._signer(starter.writer))
            if written.edition is None:
                raise DemoError(f"the starter {starter.name} became no edition", hint=_NEVER)
            self._editions[starter.name] = written.edition
            self._say(f"{starter.writer} writes “{_title(starter.document)}”.")
        self._carry([*self._sites, *self._sites])

    def _approve_entries(self) -> None:
        for starter in starter_entries():
            for approval in starter.approvals:
                reviewer = str(approval["reviewer"])
                self._sites[reviewer[0]].approve(
                    self._editions[starter.name],
                    signer=self._signer(reviewer),
                    answers=approval["answers"],
                    limits=approval.get("limits", ()),
                )
                self._say(f"{reviewer} approves that exact edition of “{_title(starter.document)}”.")
        self._carry([*self._sites])

    def _compare(self) -> None:
        """One practice beside water alone at three sites, each in its own words; the counts are invented."""
        comparison = json.loads(shipped_text(_DEMO + "comparison.json"))
        edition = self._editions[comparison["practice"]]
        for place in comparison["sites"]:
            signer = self._signer(f"{place['letter']}1")
            trials, plan = self._sites[place["letter"]].trials, {**comparison["plan"], **place["plan"]}
            number = trials.begin(edition, plan, signer=signer).number
            left = (list(place["tried"]), list(place["usual"]))
            for row, unit in enumerate(trials.paper(number).body["units"]):
                counts = {"before": [place["before"][row]], "counted": left[unit["arm"]].pop(0), "day": plan["day"]}
                trials.count(number, row, {**counts, "knew_arm": "no"})
            trials.finish(number, {"outcome": "worked", "weather": "usual"}, signer=signer)
            self._say(f"{signer.label} tried a practice on {plan['each']} sacks beside {plan['each']} with water only.")
        self._carry([*self._sites, *list(self._sites)[:-1]])

    def _bring_in_days(self) -> None:
        for facts in self._plan["sites"]:
            if "days" in facts:
                brought = self._sites[facts["letter"]].weather.bring_in(
                    shipped_text(_DEMO + facts["days"]), whose=facts["days_whose"]
                )
                self._say(f"Site {facts['letter']} brings in {brought.days} days of its rain gauge (invented).")

    def _begin_beds(self) -> None:
        """Two beds and a can at the first site, so that something is due; none where the clock cannot be right."""
        site = next(iter(self._sites.values()))
        book, today = site.beds, site.beds.today()
        if today is None:
            return

        def ago(days: int) -> str:
            return (today - dt.timedelta(days=days)).isoformat()

        book.add("B3", kind="bed", day_zero=ago(40), area_m2="0.6")
        book.write_down("B3", "dung", ago(40))
        book.write_down("B3", "planted", ago(28), crop="kale", raised="nursery")
        book.add("B4", kind="bed", day_zero=ago(20), area_m2="0.6")
        book.write_down("B4", "planted", ago(20), crop="amaranth", raised="seed")
        book.add("U2", kind="can", day_zero=ago(20), holds="urine")
        book.write_down("U2", "filled", ago(20))
        self._say(f"The bed book of {site.letter} has two beds and a can; “Due” says what to do there.")

    def _put_up_board(self) -> None:
        """Two lines of the board at the first site, so that nobody meets it empty."""
        site = next(iter(self._sites.values()))
        for line in _BOARD:
            site.callers.put_up(line)
        self._say(f"The board of {site.letter}, “Who to call here”, names {len(_BOARD)} roles and places (invented).")

    def _begin_practice(self) -> None:
        """One practice in use at the first site: its slip answered by a trainer, and its steps due."""
        site = next(iter(self._sites.values()))
        edition, signer = self._editions[_PRACTICE], self._signer(f"{site.letter}1")
        yes = {question.code: "yes" for question in site.starting.questions(edition)}
        slip = site.starting.answer(edition, place=_PLACE, answers=yes, signer=signer)
        site.starting.begin(slip.slip.number, signer=signer)
        self._say(f"{signer.label} answers “Before you start here” and begins a practice: {_PLACE}.")

    def _show_main_job(self) -> None:
        states = {letter: site.verify() for letter, site in self._sites.items()}
        for letter, found in states.items():
            if not found.ok:
                raise DemoError(f"site {letter} does not verify: {found.problems[0]}", hint=_NEVER)
        if len({found.state for found in states.values()}) != 1:
            raise DemoError("the four sites do not show the same state", hint=_NEVER)
        self._say("Every site verified every signature; all four show the same state.")
        far = self._sites[self._plan["sites"][-1]["letter"]]
        hits = far.search("vidukari kwenye sukuma", limit=1)
        if hits:
            self._say(f"A volunteer at {far.letter} types “vidukari kwenye sukuma” and finds: {hits[0].title}")
        for letter, site in self._sites.items():
            windows = list(site.calendar_document(crops=["amaranth"])["windows"])
            dates = [f"{date_words(window['start'])} to {date_words(window['end'])}" for window in windows]
            spans = ", ".join(dates) or "no window"
            self._say(f"Amaranth at {letter}: {spans}")


def _site_facts(facts: Mapping[str, Any]) -> NewSite:
    return NewSite(
        name=facts["name"],
        letter=facts["letter"],
        latitude_deg=facts["latitude_deg"],
        elevation_m=str(facts["elevation_m"]),
        normals=shipped_text(_DEMO + facts["normals"]),
        setting=facts["setting"],
        languages=tuple(facts["languages"]),
        watering=facts["watering"],
        frost_months=tuple(facts["frost_months"]),
        salt_water_months=tuple(facts["salt_water_months"]),
    )


def _title(document: Mapping[str, Any]) -> str:
    titles: Mapping[str, str] = document["title"]
    return titles.get("en") or next(iter(titles.values()))
