"""Who may do what, as the rooms above ask it: keys, voices that lack, stops, rivals, and what would come of a word.

Not the deciding (``sync`` does). Its one rule: nothing here changes anything; what is supposed is judged in memory.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING, Any

import sync
from fieldbook.ledger.values import Known, LedgerError, Motion, Outcome, RivalList, Stop

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

GRANT, STEWARDS = "sync/grant", "sync/stewards"
STOP, LIFT, ADOPTION = "sync/revocation", "sync/reinstatement", "sync/adoption"


class LedgerCharter:
    """The part of the ledger that knows who may do what."""

    _store: sync.Store

    # keys

    def known(self) -> tuple[Known, ...]:
        """Every key that was ever named in the network, sites first, by label."""
        return tuple(sorted(self.each_known(), key=lambda one: (not one.is_site, one.label)))

    def each_known(self) -> Iterator[Known]:
        """The same in no order that means anything, one by one: there may be a million."""
        charter = self._store.charter
        yield from map(self._known, charter.labels)
        yield from (self._known(key) for key in charter.revoked if key not in charter.labels)

    def known_by(self, key: str) -> Known | None:
        """The one of a key; None where nobody named it."""
        charter = self._store.charter
        return self._known(key) if key in charter.labels or key in charter.revoked else None

    def _known(self, key: str) -> Known:
        charter = self._store.charter
        given = self._store.judgement.footing.roles.get(key, frozenset())
        return Known(
            key=key,
            label=charter.name_of(key),
            words=sync.fingerprint_words(key),
            site=charter.site_of(key),
            is_site="site" in given,
            roles=charter.roles_of(key),
            stopped=key in charter.revoked,
        )

    def stopped_keys(self) -> list[str]:
        """The keys that are stopped, sites first, by label."""
        stopped = (self._known(key) for key in self._store.charter.revoked)
        return [one.key for one in sorted(stopped, key=lambda one: (not one.is_site, one.label))]

    def is_signatory(self, key: str) -> bool:
        """True where a key has a steward's voice in a version in force, stopped or not.

        A steward who was stopped can still state versions, stop and lift until a version leaves them out.
        """
        return any(key in head.stewards for head in self._store.charter.heads)

    def is_stopped(self, key: str) -> bool:
        """True where a steward stopped this key and nobody lifted that."""
        return key in self._store.charter.revoked

    def counts_in_all(self, key: str) -> bool:
        """True where a key has a steward's voice in every version in force: only that voice gives, stops and lifts."""
        return any(steward.key == key for steward in self._store.charter.stewards)

    def may_agree(self, motion: Motion, key: str) -> bool:
        """True where a key's voice would count for this and is not there yet; of next stewards, theirs too."""
        if motion.kind == STEWARDS:
            counts = self.is_signatory(key) or any(one["key"] == key for one in motion.body["stewards"])
        else:
            counts = self.counts_in_all(key)
        return counts and key not in motion.spoken

    def plain_name(self, key: str) -> str:
        """The letter and number of a person as their site or a grant gave them, without signs of the key behind.

        Raises:
            LedgerError: nobody named this key as a person.
        """
        charter = self._store.charter
        stewards = {steward.key: steward for steward in charter.stewards}
        named = charter.reviewers.get(key) or charter.people.get(key) or stewards.get(key)
        if named is None:
            raise LedgerError(
                f"no site has named {charter.name_of(key)} as a person", hint="take in a stick from their site first"
            )
        return named.name

    def steward_label(self, key: str, name: str) -> str:
        """How people know a steward of any list: by their label, or by the name in the list where nobody named them."""
        return self._store.charter.labels.get(key, name)

    def listed_stewards(self) -> list[dict[str, str]]:
        """The stewards whose word counts now, as a version names them; of rival lists all whom any of them names."""
        heads = self._store.charter.heads
        listed = {key: steward for head in heads for key, steward in head.stewards.items()}
        return [{"key": key, "name": one.name, "site": one.site} for key, one in sorted(listed.items())]

    def can_sign(self) -> tuple[int, int]:
        """How many stewards are not stopped, and how many voices it takes to allow."""
        charter = self._store.charter
        return sum(steward.key not in charter.revoked for steward in charter.stewards), charter.threshold

    # voices

    def motions(self) -> tuple[Motion, ...]:
        """What some stewards have said and lacks more voices, each once, in no order that means anything."""
        return (*self._reviewer_motions(), *self._version_motions(), *self._lifting_motions())

    def _reviewer_motions(self) -> Iterable[Motion]:
        said: dict[bytes, tuple[Motion, list[str], dict[str, str | None]]] = {}
        judgement = self._store.judgement
        for name in sorted(judgement.tallies):
            statement = self._store.get(name)
            if statement is None or statement.kind != GRANT or statement.body is None:
                continue
            if statement.body["key"] in judgement.stops:
                continue  # a stopped key gains nothing by a grant
            tally, words = judgement.tallies[name], statement.body_bytes or b""
            if words not in said and (tally.said or tally.earlier):
                key = str(statement.body["key"])
                motion = self._motion(tally, id=name, names=(), kind=GRANT, key=key, body=statement.body, after=())
                said[words] = motion, [], {}
            if words in said:
                said[words][1].append(name)
                said[words][2].update(self._times([statement]))
        return (replace(motion, names=tuple(names), times=times) for motion, names, times in said.values())

    def _lifting_motions(self) -> Iterable[Motion]:
        """One for each stopped key: the voices that count are those that would lift all its stops."""
        nobody = sync.Tally((), (), self._store.charter.threshold)
        for key in self._store.judgement.stops:
            stops = self._store.judgement.stops[key]
            tallies = [self._store.judgement.tallies.get(name, nobody) for name in stops]
            said = set.intersection(*(set(tally.said) for tally in tallies))
            earlier = {voice for tally in tallies for voice in (*tally.said, *tally.earlier)} - said
            if said or earlier:
                tally = sync.Tally(tuple(sorted(said)), tuple(sorted(earlier)), max(one.lacking for one in tallies))
                motion = self._motion(tally, id=stops[0], names=stops, kind=LIFT, key=key, body={}, after=stops)
                voices = (one for name in stops for one in self._store.shelf.answering(name, kind=LIFT))
                yield replace(motion, times=self._times(voices, {*said, *earlier}))

    def _version_motions(self) -> Iterable[Motion]:
        charter = self._store.charter
        heads = {head.name: head for head in charter.heads}
        for version in charter.proposed:
            statement = self._store.get(version.voices[0])
            if statement is None or statement.body is None:
                continue
            said = {self._author(name) for name in version.voices}
            if not any(self.is_signatory(key) for key in said):
                continue  # anybody can state a list that names themselves: it is nothing before a steward agrees
            groups = [version, *(heads[name] for name in version.answers if name in heads)]
            lacking = max(group.threshold - len(said & group.stewards.keys()) for group in groups)
            tally = sync.Tally(tuple(sorted(said)), (), max(0, lacking))
            motion = self._motion(
                tally,
                id=version.voices[0],
                names=tuple(version.voices),
                kind=STEWARDS,
                key="",
                body=statement.body,
                after=charter.answers(),
            )
            yield replace(motion, times=self._times(filter(None, map(self._store.get, version.voices)), said))

    def _motion(self, tally: sync.Tally, **parts: Any) -> Motion:
        labels = self._store.charter.name_of
        return Motion(
            **parts,
            said=tuple(sorted(labels(one) for one in tally.said)),
            earlier=tuple(sorted(labels(one) for one in tally.earlier)),
            spoken=frozenset(tally.said),
            times={},
            lacking=tally.lacking,
        )

    def _times(self, voices: Iterable[sync.Statement], authors: Collection[str] | None = None) -> dict[str, str | None]:
        """The claimed time of each voice by the label of its author, of these authors or of all."""
        labels = self._store.charter.name_of
        return {labels(one.author): one.time for one in voices if authors is None or one.author in authors}

    def _author(self, name: str) -> str:
        statement = self._store.get(name)
        return "" if statement is None else statement.author

    def next_stewards(
        self, stewards: Sequence[Mapping[str, str]], *, threshold: int
    ) -> tuple[dict[str, Any], tuple[str, ...]]:
        """Body and ``after`` of one voice for the next stewards; a body that others stated already is joined."""
        charter = self._store.charter
        after = charter.answers()
        listed = sorted((dict(one) for one in stewards), key=lambda one: one["key"])
        for motion in self._version_motions():
            if motion.body["stewards"] == listed and motion.body["threshold"] == threshold:
                return dict(motion.body), after
        staying = {one["key"] for one in listed}
        body = {
            "before": sync.words_kept(charter, self._store, staying=staying),
            "stewards": listed,
            "threshold": threshold,
            "version": charter.next_version(),
        }
        return body, after

    def rival_lists(self) -> tuple[RivalList, ...]:
        """The lists of stewards that stand beside one another; empty when all is well."""
        charter = self._store.charter
        if not charter.alarm:
            return ()
        labels = charter.name_of
        return tuple(
            RivalList(
                name=head.name,
                stewards=tuple(sorted(self.steward_label(key, one.name) for key, one in head.stewards.items())),
                threshold=head.threshold,
                said=tuple(sorted(labels(self._author(name)) for name in head.voices)),
            )
            for head in charter.heads
        )

    # stops

    def stops(self, key: str) -> tuple[Stop, ...]:
        """The stops of a key that stand."""
        found = []
        for name in self._store.judgement.stops.get(key, ()):
            statement = self._store.get(name)
            if statement is not None and statement.body is not None:
                label = self._store.charter.name_of(statement.author)
                last = tuple(statement.body["last"])
                found.append(Stop(name, label, statement.author, last, statement.time))
        return tuple(found)

    def rule_of(self, name: str) -> str:
        """The short name of the rule by which a statement stands as it does; empty for plainly accepted."""
        verdict = self._store.verdict(name)
        return "" if verdict is None else verdict.rule

    def chain_of(self, author: str) -> tuple[str, ...]:
        """The ids of all that a key said and that is here, each after the one it follows."""
        own = {statement.id: statement for statement in self._store.shelf.of_author(author)}
        steps: dict[str, int] = {}
        for name in own:
            trail, at = [], name
            while at in own and at not in steps:
                trail.append(at)
                at = own[at].previous or ""
            for back, each in enumerate(reversed(trail), start=1):
                steps[each] = steps.get(at, 0) + back
        return tuple(sorted(own, key=lambda name: (steps[name], own[name].time or "", name)))

    def last_before(self, author: str, doubted: Collection[str]) -> tuple[str, ...]:
        """The last statements of a key that neither are doubted nor follow a doubted one: what a cut there keeps."""
        said = {statement.id: statement for statement in self._store.shelf.of_author(author)}
        own = {name: said[name] for name in self.chain_of(author)}
        good: dict[str, sync.Statement] = {}
        for name, statement in own.items():  # each after the one it follows
            if name not in doubted and (statement.previous not in own or statement.previous in good):
                good[name] = statement
        return sync.last_statements(good.values(), author)

    # what would come of it

    def outcome_agreed(self, kind: str, body: Mapping[str, Any], after: Sequence[str]) -> Outcome:
        """What would change if all stewards who may said this now; those whom a next version names too."""
        keys = {key for head in self._store.charter.heads for key in head.stewards}
        keys |= {steward["key"] for steward in body.get("stewards", ())}
        return self.outcome(sorted(keys), kind, body, after)

    def outcome(self, authors: Iterable[str], kind: str, body: Mapping[str, Any], after: Sequence[str] = ()) -> Outcome:
        """What would change if these keys said this now."""
        before = self._store.judgement
        said = [sync.Supposed(key, kind, body, tuple(after), self._store.last_of(key)) for key in authors]
        then = sync.suppose(before, self._store.kinds, self._store, said)
        roles = sorted(_turned(before.charter, then.charter), key=lambda one: before.charter.name_of(one[0]))
        turning = [
            (name, before.verdicts.of(name).state == "accepted", then.verdicts.of(name).state == "accepted")
            for name in then.verdicts.turned(before.verdicts)
            if name in before.verdicts
        ]
        return Outcome(
            set_aside=tuple(name for name, was, is_then in turning if was and not is_then),
            back=tuple(name for name, was, is_then in turning if is_then and not was),
            lost=tuple((then.charter.name_of(key), had - has) for key, had, has in roles if had - has),
            gained=tuple((then.charter.name_of(key), has - had) for key, had, has in roles if has - had),
            rivals=0 if before.charter.alarm else len(then.charter.alarm),
        )


def _turned(before: sync.Charter, then: sync.Charter) -> Iterator[tuple[str, frozenset[str], frozenset[str]]]:
    """The keys whose roles are not what they were, with what these were and are."""
    for key in chain(before.labels, (key for key in then.labels if key not in before.labels)):
        had, has = before.roles_of(key), then.roles_of(key)
        if had != has:
            yield key, had, has
