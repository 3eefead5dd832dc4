"""Who may do what: reviewers made, voices added, keys stopped and allowed again, words taken back in.

Not the lists of signatories (``signatories``). Its one rule: every step is one statement of one person, which anybody
can check later; nothing here decides what counts, ``sync`` does. One signatory suffices to stop, and it takes several
to allow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.ledger import Ledger, check_eight_words
from fieldbook.site.parts import Signer, SiteError
from fieldbook.site.people import one_labelled
from fieldbook.site.signatories import Signatories

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from fieldbook.ledger import Known, Motion, Outcome, Said

ANSWERS_MAX = 64  # so many statements one adoption can name; the form of a statement allows no more
VOICED = ("sync/grant", "sync/stewards", "sync/reinstatement")  # what it may take several voices to say
_SHOWN_ID = 8


@dataclass(frozen=True)
class Doubt:
    """What a stop leaves standing: all that is here, nothing, or what was said before the first doubted words.

    Attributes:
        since: ids of the first words that are doubted; they and all that this key said after them are set aside.
        everything: True where all that the key ever said is doubted.
    """

    since: tuple[str, ...] = ()
    everything: bool = False


class Roles(Signatories):
    """Giving and taking roles, a voice at a time."""

    # whom and what a person means

    def key_named(self, text: str) -> Known:
        """The key that a person names by its label, in any case that means one only, or by its eight words.

        Raises:
            SiteError: no key of the network is called so.
        """
        ledger = self.need_ledger()
        found = one_labelled(text, ledger.each_known()) or next(
            (one for one in ledger.each_known() if Ledger.same_words(one.key, text)), None
        )
        if found is not None:
            return found
        raise SiteError(
            f"nobody in the network is called {text.strip()!r}", hint="`who` and the page of people list everybody"
        )

    def person_of_words(self, words: str) -> Known:
        """The person whose fingerprint words these are: what is compared by voice before anything is given.

        Raises:
            FieldbookError: nobody in the network has these words, or they cannot be anybody's.
        """
        for one in self.need_ledger().each_known():
            if Ledger.same_words(one.key, words):
                if not one.is_site:
                    return one
                raise SiteError(
                    f"these are the words of the site {one.label}, not of a person",
                    hint="ask the person for their own words; their site says them on its page of people",
                )
        check_eight_words(words)
        raise SiteError(
            "no person of the network has these words",
            hint="their site says them on its page of people; if they are new there, take in a stick from it first",
        )

    # reviewers

    def grant_reviewer(self, key: str, name: str, site: str, *, scope: Sequence[str] = (), signer: Signer) -> str:
        """One signatory's voice for making this key a reviewer; enough voices with the same body grant it."""
        body = {"key": key, "name": name, "role": "reviewer", "scope": sorted(set(scope)), "site": site}
        return self._say_as(signer, "sync/grant", body)

    def make_reviewer(self, person: Known, *, scope: Sequence[str] = (), signer: Signer) -> str:
        """One signatory's voice for making a person a reviewer of these kinds of entries; of all where none is named.

        Raises:
            FieldbookError: this cannot be a reviewer, or the signer is no signatory.
        """
        site = self.check_reviewer(person, scope=scope, signer=signer)
        name = self.need_ledger().plain_name(person.key)
        return self.grant_reviewer(person.key, name, site, scope=scope, signer=signer)

    def check_reviewer(self, person: Known, *, scope: Sequence[str] = (), signer: Signer) -> str:
        """Check that a voice for this reviewer would say something; the key of the person's site.

        Raises:
            FieldbookError: this cannot be a reviewer or is one of that, or the signer is no signatory or has said so.
        """
        self.check_signatory(signer)
        if person.stopped:
            raise SiteError(
                f"the key of {person.label} was stopped",
                hint="ask the signatories to lift that first, or grant their new key",
            )
        if person.is_site or person.site is None:
            raise SiteError(f"{person.label} is no person", hint="a reviewer is a person at a site")
        if "reviewer" in person.roles and self._may_judge(person, scope):
            raise SiteError(
                f"{person.label} is a reviewer of that already", hint="`who` and the page of people list everybody"
            )
        if signer.key.public in {key for motion in self._for_reviewer(person, scope) for key in motion.spoken}:
            raise SiteError(f"{signer.label} has said this already", hint="another signatory has to say it too")
        return person.site

    def _may_judge(self, person: Known, scope: Sequence[str]) -> bool:
        granted = set(self.need_ledger().reviewer_scope(person.key))
        return not granted or (bool(scope) and granted.issuperset(scope))

    def _for_reviewer(self, person: Known, scope: Sequence[str]) -> list[Motion]:
        wanted = sorted(set(scope))
        return [
            motion
            for motion in self.need_ledger().motions()
            if motion.kind == "sync/grant" and motion.key == person.key and motion.body["scope"] == wanted
        ]

    # voices

    def motion_named(self, text: str) -> Motion:
        """What lacks voices, named by the beginning of its id.

        Raises:
            SiteError: nothing that lacks voices begins so, or several do.
        """
        ledger = self.need_ledger()
        start = text.strip().lower()
        found = [one for one in ledger.motions() if start and any(name.startswith(start) for name in one.names)]
        said = [one for kind in VOICED for one in ledger.said_of_kind(kind)] if start and not found else []
        if any(one.id.startswith(start) and one.stands == "accepted" for one in said):
            raise SiteError(
                f"what {text!r} names has all its voices and is in force", hint="nothing more is to be said"
            )
        if len(found) != 1:
            waits = "several things here wait" if found else "nothing here waits"
            raise SiteError(
                f"{waits} for voices under the name {text!r}",
                hint="look at what waits: on the page of people, or by `who`",
            )
        return found[0]

    def newcomers(self, motion: Motion, *, signer: Signer) -> tuple[Known, ...]:
        """Whose words are to be compared before a voice is added: those who would be given something, but oneself."""
        if motion.kind == "sync/reinstatement":
            return ()
        ledger = self.need_ledger()
        now = {one["key"] for one in ledger.listed_stewards()}
        given = {one["key"] for one in motion.body.get("stewards", ())} - now if not motion.key else {motion.key}
        found = (ledger.known_by(key) for key in given - {signer.key.public})
        return tuple(sorted((one for one in found if one is not None), key=lambda one: (not one.is_site, one.label)))

    def agree(self, motion: Motion, *, signer: Signer) -> str:
        """Add one's voice to what others have said.

        Raises:
            FieldbookError: the signer's voice does not count there, or is there already.
        """
        if signer.key.public in motion.spoken:
            raise SiteError(f"{signer.label} has said this already", hint="another signatory has to say it too")
        if not self.need_ledger().may_agree(motion, signer.key.public):
            self.check_signatory(signer)
            raise self._no_signatory(signer)
        return self._say_as(signer, motion.kind, dict(motion.body), after=motion.after)

    # stopping and allowing again

    def stop(self, person: Known, doubt: Doubt, *, signer: Signer) -> str:
        """Stop a key; what is doubted is set aside at every site, the rest stands.

        Raises:
            FieldbookError: the signer is no signatory, or what is doubted was not said by this key.
        """
        self.check_signatory(signer)
        body = self._stop_body(person, doubt)
        stops = self.need_ledger().stops(person.key)
        if any((one.by_key, sorted(one.last)) == (signer.key.public, body["last"]) for one in stops):
            raise SiteError(
                f"{signer.label} has stopped this key so already",
                hint="to set more of it aside, name an earlier word that you doubt",
            )
        return self._say_as(signer, "sync/revocation", body)

    def if_stopped(self, person: Known, doubt: Doubt, *, signer: Signer) -> Outcome:
        """What would change if this signatory stopped the key so."""
        ledger = self.check_signatory(signer)
        return ledger.outcome([signer.key.public], "sync/revocation", self._stop_body(person, doubt))

    def has_said(self, person: Known) -> bool:
        """True where anything that this key said is known here."""
        return bool(self.need_ledger().chain_of(person.key))

    def _stop_body(self, person: Known, doubt: Doubt) -> dict[str, Any]:
        ledger = self.need_ledger()
        strange = set(doubt.since) - set(ledger.chain_of(person.key))
        if strange:
            raise SiteError(
                f"{min(strange)[:_SHOWN_ID]} was not said by {person.label}",
                hint=f"look at its words: `who {person.label}`",
            )
        last = () if doubt.everything else ledger.last_before(person.key, doubt.since)
        return {"key": person.key, "last": sorted(last)}

    def word_named(self, person: Known, text: str) -> str:
        """The id of something that this key said, named by its beginning.

        Raises:
            SiteError: nothing that it said here begins so, or several do.
        """
        return self._only_one(text, self.need_ledger().chain_of(person.key), f"said by {person.label}")

    @staticmethod
    def _only_one(text: str, names: Iterable[str], what: str) -> str:
        start = text.strip().lower()
        found = [name for name in names if start and name.startswith(start)]
        if len(found) != 1:
            count = "several words" if found else "nothing"
            raise SiteError(
                f"{count} {what} here can be meant by {text!r}", hint="look at what a key said: `who LABEL`"
            )
        return found[0]

    def lift(self, person: Known, *, signer: Signer) -> str:
        """One voice for lifting every stop of a key; enough voices make all that it said stand again.

        Raises:
            FieldbookError: the key is not stopped, or the signer is no signatory or has said so already.
        """
        ledger = self.check_signatory(signer)
        stops = ledger.stops(person.key)
        if not stops:
            raise SiteError(f"the key of {person.label} is not stopped", hint="look who is stopped: `who`")
        spoken = {
            key
            for one in ledger.motions()
            if (one.kind, one.key) == ("sync/reinstatement", person.key)
            for key in one.spoken
        }
        if signer.key.public in spoken:
            raise SiteError(f"{signer.label} has said this already", hint="another signatory has to say it too")
        return self._say_as(signer, "sync/reinstatement", {}, after=tuple(stop.id for stop in stops))

    def if_lifted(self, person: Known) -> Outcome:
        """What would change if enough signatories lifted every stop of a key."""
        ledger = self.need_ledger()
        return ledger.outcome_agreed("sync/reinstatement", {}, tuple(one.id for one in ledger.stops(person.key)))

    # what was set aside

    def set_aside(self, key: str | None = None) -> tuple[Said, ...]:
        """What stops set aside and can be taken back in, of one key or of all, each after the one it follows."""
        ledger = self.need_ledger()
        keys = ledger.stopped_keys() if key is None else [key]
        found = (
            ledger.said(name) for each in keys for name in ledger.chain_of(each) if ledger.rule_of(name) == "revoked"
        )
        return tuple(said for said in found if said is not None and not said.kind.startswith("sync/"))

    def adopt(self, names: Collection[str], *, signer: Signer) -> tuple[str, ...]:
        """Take back in, one by one, what a stop set aside and what is good; ids of the statements that say so.

        Raises:
            FieldbookError: as ``adoptable``.
        """
        wanted = [said.id for said in self.adoptable(names, signer=signer)]
        parts = [wanted[at : at + ANSWERS_MAX] for at in range(0, len(wanted), ANSWERS_MAX)]
        return tuple(self._say_as(signer, "sync/adoption", {}, after=part) for part in parts)

    def adoptable(self, names: Collection[str], *, signer: Signer) -> tuple[Said, ...]:
        """What of this a person may take back in: all of it, or nothing is done.

        Raises:
            FieldbookError: one of them was not set aside by a stop, or the person may not; nobody whose key is stopped
                may, so nobody takes their own words back in.
        """
        if self.need_ledger().roles_of(signer.key.public).isdisjoint({"reviewer", "steward"}):
            raise SiteError(f"{signer.label} may not take this back in", hint="a reviewer or a signatory can")
        wanted = sorted(set(names))
        if not wanted:
            raise SiteError("nothing was chosen", hint="choose at least one")
        aside = {said.id: said for said in self.set_aside()}
        for name in wanted:
            if name not in aside:
                raise SiteError(
                    f"{name[:_SHOWN_ID]} was not set aside by a stop", hint="look at what was set aside: `who`"
                )
        return tuple(aside[name] for name in wanted)

    def aside_named(self, text: str) -> str:
        """The id of something that a stop set aside, named by its beginning.

        Raises:
            SiteError: nothing set aside begins so, or several do.
        """
        return self._only_one(text, [said.id for said in self.set_aside()], "set aside")
