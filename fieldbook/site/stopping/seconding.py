"""Withdrawals that another reviewer has looked at, and those that one key says alone again and again.

A forged withdrawal is itself harm, yet every one stops at once. Its one rule: a mark here never lets anything through;
it only says who has not been heard yet, and asks the other reviewers first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site.kept import Kept
from fieldbook.site.parts import Signer, SiteError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.ledger import Ledger, Said
    from fieldbook.site.joining import Joining

_KIND = "fieldbook/recall"
ALONE_MAX = 3  # so many withdrawals of one key in a row may stand without another reviewer's word


class Seconding:
    """Who stands behind a withdrawal."""

    def __init__(self, site: Joining) -> None:
        """Take the site; nothing is read yet."""
        self._site = site
        self._kept = Kept()

    def seconded_by(self, recall: str) -> tuple[str, ...]:
        """The labels of the other reviewers who withdrew the same, naming this withdrawal."""
        ledger = self._site.need_ledger()
        seconders = self._seconders(ledger)
        return tuple(sorted({ledger.label(one) for one in seconders.get(recall, ())}))

    def alone(self) -> tuple[str, ...]:
        """The withdrawals to be marked: from the fourth of a key on, counted from its last one that was seconded."""
        found: tuple[str, ...] = self._kept.get(self._site.stamp, "alone", self._alone)
        return found

    def _alone(self) -> tuple[str, ...]:
        ledger = self._site.need_ledger()
        said = self._recalls(ledger)
        marked: list[str] = []
        for author in sorted({one.author for one in said.values()}):
            own = [one for one in said.values() if one.author == author]
            if len(own) > ALONE_MAX:
                marked += _alone_of(_in_order(own, ledger), self._seconders(ledger))
        return tuple(marked)

    def to_look_at(self, signer: Signer) -> tuple[str, ...]:
        """The marked withdrawals of other reviewers."""
        ledger = self._site.need_ledger()
        return tuple(name for name in self.alone() if (one := ledger.said(name)) and one.author != signer.key.public)

    def second(self, recall: str, *, signer: Signer) -> str:
        """Withdraw the same as another reviewer; returns the statement's id.

        It is a withdrawal of its own: whoever allows the practice again answers both.

        Raises:
            FieldbookError: there is no such withdrawal, it is their own, or the person is no reviewer.
        """
        site = self._site
        ledger = site.need_ledger()
        said = ledger.said(recall)
        if said is None or said.kind != _KIND:
            raise SiteError("there is no such withdrawal here", hint="open the notice of the practice and begin there")
        ledger.check_may_say(signer.key, _KIND)
        if said.author == signer.key.public:
            raise SiteError("nobody seconds their own withdrawal", hint="ask another reviewer to look at it")
        statement = ledger.say(
            signer.key,
            _KIND,
            dict(said.body or {}),
            after=sorted({recall, *said.after}),
            time=site.claimed_time(),
            random=site.random,
        )
        site.refresh_view()
        return statement

    def _seconders(self, ledger: Ledger) -> Mapping[str, frozenset[str]]:
        """By withdrawal, the keys of the others who withdrew the same."""
        found: Mapping[str, frozenset[str]] = self._kept.get(
            self._site.stamp, "seconders", lambda: _seconders_of(self._recalls(ledger))
        )
        return found

    @staticmethod
    def _recalls(ledger: Ledger) -> dict[str, Said]:
        said = ledger.said_of_kind(_KIND)
        return {one.id: one for one in said if one.stands == "accepted"}


def _seconders_of(said: Mapping[str, Said]) -> dict[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for one in said.values():
        for name in one.after:
            if name in said and said[name].author != one.author:
                found[name] = found.get(name, frozenset()) | {one.author}
    return found


def _alone_of(own: Iterable[Said], seconders: Mapping[str, frozenset[str]]) -> list[str]:
    marked, alone = [], 0
    for one in own:
        alone = 0 if one.id in seconders else alone + 1
        if alone > ALONE_MAX:
            marked.append(one.id)
    return marked


def _in_order(own: list[Said], ledger: Ledger) -> list[Said]:
    """What one key said, in the order of its chain; two ends of one chain (two devices) by their length, then id."""
    places: dict[str | None, int] = {None: 0}
    for one in own:
        walked: list[str] = []
        name: str | None = one.id
        while name not in places:
            walked.append(str(name))
            before = ledger.said(str(name))
            name = None if before is None else before.previous
        start = places[name] + 1
        places |= {later: number for number, later in enumerate(reversed(walked), start=start)}
    return sorted(own, key=lambda one: (places[one.id], one.id))
