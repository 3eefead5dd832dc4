"""The comparisons that this site has heard of, its own among them, and what they come to.

Not those that are under way (``trials``). Its one rule: what is known follows from the set of statements alone, and is
worked out when it is asked, so that nothing of it is folded and sites of older and newer software stay alike.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.languages import pick
from fieldbook.practices.naming import ThingNames
from fieldbook.shipped import shipped_text
from fieldbook.site.parts import SiteError
from fieldbook.trials import Trial, TrialError, read_trial
from fieldbook.trials.evidence import LEVEL_WORDS, evidence_level
from fieldbook.trials.judging import Judged, Tried, judge_trials, one_text
from fieldbook.trials.shape import TRIAL

if TYPE_CHECKING:
    from fieldbook.ledger import Ledger, Said
    from fieldbook.site import Site
    from fieldbook.trials.intervals import Interval
    from fieldbook.trials.judging import Group
    from fieldbook.trials.pooling import Pooled

KIND = "fieldbook/trial"
_KNOWN_FIELDS = frozenset(TRIAL.fields)


@dataclass(frozen=True)
class SignedTrial:
    """A comparison that was signed.

    Attributes:
        statement: its id.
        entry: the entry that was tried.
        edition: the edition that was tried.
        trial: what was counted.
        author: the key that signed.
        by: who signed: a letter and a number, or a site's letter for a reader without a name.
        letter: the site where it was done.
        time: the claimed time.
    """

    statement: str
    entry: str
    edition: str
    trial: Trial
    author: str
    by: str
    letter: str
    time: str | None

    def as_document(self) -> dict[str, Any]:
        """The comparison as JSON."""
        return {**self.__dict__, "trial": dict(self.trial.document)}


class KnownTrials:
    """The comparisons that one site has heard of."""

    def __init__(self, site: Site) -> None:
        """Take the site; nothing is read yet."""
        self._site = site
        self._read: tuple[str, dict[str, tuple[SignedTrial, ...]]] = ("", {})

    def about(self, entry: str) -> tuple[SignedTrial, ...]:
        """All comparisons of any edition of an entry, by site and then by id."""
        return self._by_entry().get(entry, ())

    def every(self) -> tuple[SignedTrial, ...]:
        """All comparisons that are known here."""
        return tuple(one for found in self._by_entry().values() for one in found)

    def judged(self, entry: str) -> Judged:
        """What all comparisons of an entry come to."""
        return judge_trials(self._tried(entry), named=one_name)

    def level(self, entry: str) -> int:
        """How far the evidence for an entry goes: a key of ``fieldbook.trials.evidence.LEVEL_WORDS``."""
        ledger, site = self._site.need_ledger(), self._site
        first = site.view.folded(entry)["editions"][0]
        said = ledger.said(first["id"])
        basis = ((said.body or {}).get("yield") or {}) if said is not None else {}
        return evidence_level(
            self._tried(entry),
            author=ledger.label(first["author"]),
            author_site=ledger.letter_of(first["author"]),
            yield_measured=isinstance(basis, dict) and basis.get("basis") == "measured",
            harm_open=site.complaints.of_harm(entry) > 0,
            named=one_name,
        )

    def document(self, entry: str) -> dict[str, Any]:
        """The comparisons of an entry and how far the evidence goes, as JSON."""
        level = self.level(entry)
        return {
            "evidence_level": level,
            "evidence": LEVEL_WORDS[level],
            "trials": [one.as_document() for one in self.about(entry)],
            "groups": [_group_document(group) for group in self.judged(entry).groups],
        }

    def say(self, item: Any) -> str:
        """An id of the names table, or words by language, in the site's languages."""
        words = item_words(item)
        return words if isinstance(words, str) else pick(words, self._site.languages)[1]

    def _tried(self, entry: str) -> list[Tried]:
        """The comparisons of an entry as the sums take them; who a site signs for has no name."""
        ledger = self._site.need_ledger()
        return [
            Tried(
                trial=one.trial,
                id=one.statement,
                edition=one.edition,
                site=one.letter,
                person="" if ledger.site_of(one.author) == one.author else one.by,
            )
            for one in self.about(entry)
        ]

    def named(self, text: str) -> SignedTrial:
        """The comparison that a person names by the first eight or more characters of its id.

        Raises:
            SiteError: none or several begin so.
        """
        wanted = text.strip().lower()
        found = [one for one in self.every() if len(wanted) >= 8 and one.statement.startswith(wanted)]
        if len(found) != 1:
            raise SiteError(
                f"{text!r} names no comparison that is here", hint="write its id as the list of comparisons gives it"
            )
        return found[0]

    def _by_entry(self) -> dict[str, tuple[SignedTrial, ...]]:
        ledger = self._site.ledger
        if ledger is None:
            return {}
        mark = ledger.set_hash()  # everything below follows from the set alone
        if self._read[0] != mark:
            self._read = (mark, self._sorted(ledger))
        return self._read[1]

    def _sorted(self, ledger: Ledger) -> dict[str, tuple[SignedTrial, ...]]:
        found: dict[str, list[SignedTrial]] = {}
        for said in ledger.said_of_kind(KIND):
            edition = next((name for name in said.after if self._site.view.entry_of(name)), None)
            trial = _understood(said)
            if edition is not None and trial is not None:
                entry = self._site.view.entry_of(edition) or edition
                found.setdefault(entry, []).append(
                    SignedTrial(
                        statement=said.id,
                        entry=entry,
                        edition=edition,
                        trial=trial,
                        author=said.author,
                        by=ledger.label(said.author),
                        letter=ledger.letter_of(said.author),
                        time=said.time,
                    )
                )
        return {
            entry: tuple(sorted(ones, key=lambda one: (one.letter, one.statement))) for entry, ones in found.items()
        }


@cache
def thing_names() -> ThingNames:
    """The names table that comes with the program."""
    return ThingNames(shipped_text("seed_entries/names.csv"))


def one_name(item: Any) -> str:
    """One text for a crop or a thing counted: the row of the names table that its words name alone, else the words."""
    said = item.values() if isinstance(item, dict) else [str(item)]
    rows = {thing_names().thing(words) for words in said} - {""}
    return rows.pop() if len(rows) == 1 else one_text(item)


def item_words(item: Any) -> Any:
    """The words by language of an id of the names table; whatever else was written stays as it is."""
    return (thing_names().words(item) or item) if isinstance(item, str) else item


def _group_document(group: Group) -> dict[str, Any]:
    """Comparisons that stand together, as JSON; figures as decimal strings, practice less usual way."""
    pooled = group.pooled
    return {
        **{name: value for name, value in asdict(group.asked).items() if name != "days"},
        "days": list(group.asked.days),
        "shown": group.shown,
        "sites": group.k,
        "pooled": None if pooled is None else {**_ends(pooled), "side": group.side},
        "each": [
            {"trial": tried.id, "site": site.site, **({} if one.interval is None else _ends(one.interval))}
            for site in group.sites
            for tried, one in site.trials
        ],
    }


def _ends(found: Interval | Pooled) -> dict[str, str]:
    return {name: f"{getattr(found, name):.6f}" for name in ("estimate", "low", "high")}


def _understood(said: Said) -> Trial | None:
    """The trial that was said, or None where this software does not know its form or it is not to be believed."""
    if said.stands != "accepted" or said.body is None or not _KNOWN_FIELDS.issuperset(said.critical):
        return None
    try:
        return read_trial(said.body, strict=False)
    except TrialError:
        return None
