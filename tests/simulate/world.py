"""A network of camps and sticks, and what people do there.

Not what befalls them (that is `mishaps`). One rule: whoever may not say something is told so, and nothing is kept.
"""

from __future__ import annotations

from contextlib import contextmanager
from random import Random
from typing import TYPE_CHECKING, Any

from sync import FolderCarrier, LocalError, Network, SiteName, SyncError, found_network
from tests.simulate.camp import NEW_KINDS, URGENT, Camp
from tests.simulate.sticks import Attentive, Medium, choose_medium
from tests.simulate.truth import FaultError, Truth, copies_on
from tests.sync.camps import new_stick
from tests.sync.charter_scene import steward
from tests.sync.media import Pulled
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sync import Statement

LETTERS = "CTLSABDEFGHJKMNPQRUVWXYZ"
TIMES = (None, "1970-01-01T00:00:00Z", "2026-11-25T10:02:00Z", "2038-01-19T03:14:08Z", "2099-12-31T23:59:59Z")
STICKS_MAX = 3


class World:
    """Everything that one seed brings about.

    Attributes:
        chance: The only source of chance.
        camps: The sites, twins among them.
        sticks: Folders.
        truth: What must be so.
        log: What was done, a line each.
    """

    def __init__(self, folder: Path, seed: int, *, sites: int) -> None:
        """Found a network of two sites or more; some have newer software, some wait to be let in."""
        self.chance = Random(seed)
        self.folder = folder
        self.sites = sites
        self.camps: list[Camp] = []
        self.sticks = [new_stick(folder, f"stick-{n}") for n in range(self.chance.randrange(1, STICKS_MAX + 1))]
        self.truth = Truth(self.camps, self.sticks)
        self.log: list[str] = []
        self.backups: dict[int, Path] = {}
        self.old_sticks: dict[int, Path] = {}
        self.fresh_names = 0
        letters = LETTERS[: max(2, self.chance.randrange(2, sites + 1))]
        stewards = ["C1", "T1", "L1"] if len(letters) >= 3 and self.chance.random() < 0.4 else ["C1"]
        network = _network(stewards)
        for letter in letters:
            self.begin(letter, network)
        for camp in self.camps[1:]:
            if self.chance.random() < 0.8:
                self.try_to_say(self.camps[0], "sync/grant", grant_of(camp))
        for camp in self.camps:
            body = {"key": camp.trainer.public, "name": camp.person, "role": "trainer"}
            self.try_to_say(camp, "sync/person", body, key=camp.key)

    def begin(self, letter: str, network: Network) -> Camp:
        """A site that has met nobody yet."""
        version = self.chance.choice((1, 2, 2))
        camp = Camp(self.folder / f"camp-{len(self.camps)}", letter, chance=self.chance, version=version)
        self.camps.append(camp.found(network))
        if letter != "C":
            camp.ask()
        return camp

    def fresh(self, name: str) -> Path:
        """A place that nothing has used."""
        self.fresh_names += 1
        return self.folder / f"{name}-{self.fresh_names}"

    # what people say

    def write(self) -> None:
        camp = self.chance.choice(self.camps)
        for _ in range(self.chance.randrange(1, 5)):
            kind = self.chance.choice(("garden/edition", "garden/edition", "garden/report", *self.new_kinds(camp)))
            files = [camp.store.attachments.put(self.chance.randbytes(40))] if self.chance.random() < 0.2 else []
            self.try_to_say(camp, kind, self.text(), after=self.some_known(camp), attachments=files)

    def new_kinds(self, camp: Camp) -> list[str]:
        return [rule.name for rule in NEW_KINDS] if camp.fold > 1 else []

    def recall(self) -> None:
        camp = self.chance.choice(self.camps)
        kind = URGENT[1] if camp.fold > 1 and self.chance.random() < 0.5 else URGENT[0]
        self.try_to_say(camp, kind, self.text(), after=self.some_known(camp))

    def say_as_newer(self) -> None:
        """Software that is yet to come says what nobody here understands."""
        camp = self.chance.choice(self.camps)
        kind = self.chance.choice(("a-later/kind", "sync/a-later-one", "garden/edition"))
        after = self.some_known(camp)
        with self.saying(camp, kind):
            self.truth.note(camp.say_as_newer(kind, after))

    def take_back(self) -> None:
        """A trainer takes back what they said; a steward, what anybody did."""
        camp = self.chance.choice(self.camps)
        said = [one for one in camp.store.statements() if one.kind.startswith("garden/") and one.kind not in URGENT]
        if camp.person != "C1":
            said = [one for one in said if one.author == camp.trainer.public]
        if said:
            target = self.chance.choice(said)
            files = list(target.attachments) if self.chance.random() < 0.5 else []
            self.truth.taken_back.add(target.id)  # even where a power cut comes before the words are acknowledged
            self.try_to_say(camp, "sync/redaction", {}, after=[target.id], attachments=files)

    def stop(self) -> None:
        """A steward stops a person or a site, from some statement on or from the first."""
        camp = self.chance.choice(self.camps)
        other = self.chance.choice(self.camps)
        key = self.chance.choice((other.trainer, other.trainer, other.key)).public
        if other.person != "C1":
            known = [one.id for one in camp.store.statements() if one.author == key]
            last = self.chance.sample(known, min(len(known), self.chance.randrange(2)))
            self.try_to_say(camp, "sync/revocation", {"key": key, "last": last})

    def allow_again(self) -> None:
        """A steward lifts a stop, or adopts what was set aside by it."""
        camp = self.chance.choice(self.camps)
        stops = [one.id for one in camp.store.shelf.of_kind("sync/revocation")]
        aside = [name for name, verdict in sorted(camp.store.judgement.verdicts.items()) if verdict.rule == "revoked"]
        if self.chance.random() < 0.5 and aside:
            self.try_to_say(camp, "sync/adoption", {}, after=[self.chance.choice(aside)])
        elif stops:
            self.try_to_say(camp, "sync/reinstatement", {}, after=[self.chance.choice(stops)])

    def admit(self) -> None:
        """A steward lets in whoever asks, or speaks for a reviewer."""
        camp = self.chance.choice(self.camps)
        for wish in camp.store.joins():
            body = {"key": wish.site.key, "letter": wish.site.letter, "name": wish.site.name, "role": "site"}
            self.try_to_say(camp, "sync/grant", body)
        other = self.chance.choice(self.camps)
        body = {"key": other.trainer.public, "name": other.person, "role": "reviewer"}
        if self.chance.random() < 0.3:
            self.try_to_say(camp, "sync/grant", body | {"scope": [], "site": other.key.public})

    def join(self) -> None:
        """A new site begins from the network file alone, and asks to join."""
        letters = {camp.letter for camp in self.camps}
        if len(letters) < self.sites:
            camp = self.begin(LETTERS[len(letters)], self.camps[0].store.network)
            body = {"key": camp.trainer.public, "name": camp.person, "role": "trainer"}
            self.try_to_say(camp, "sync/person", body, key=camp.key)

    def text(self) -> dict[str, str]:
        return {"text": self.chance.randbytes(8).hex()}

    def some_known(self, camp: Camp) -> list[str]:
        known = [one.id for one in camp.store.statements() if one.kind.startswith("garden/")]
        return self.chance.sample(known, min(len(known), self.chance.choice((0, 1, 1, 2))))

    def try_to_say(self, camp: Camp, kind: str, body: dict[str, Any], **parts: Any) -> None:
        """Say it, unless whoever speaks has not the right to; now and then the power goes meanwhile."""
        with self.saying(camp, kind):
            if self.chance.random() < 0.05:
                camp.power(self.chance.randrange(1, 15))
            said: Statement = camp.say(kind, body, time=self.chance.choice(TIMES), **parts)
            self.truth.note(said)

    @contextmanager
    def saying(self, camp: Camp, kind: str) -> Iterator[None]:
        """Say something: afterwards it is acknowledged, refused with nothing kept, or cut short by a power cut."""
        before = camp.store.count()
        outcome = "said"
        try:
            yield
        except LocalError as error:
            camp.come_back()
            outcome = f"refused: {error.message}"
            if camp.store.count() != before:
                raise FaultError("other", f"what was refused was kept: {kind}") from error
        except Pulled:
            camp.come_back()
            for one in camp.store.statements():
                if not self.truth.knows(one.id):  # it reached the disk and the power went before anybody was told
                    self.truth.note(one)
                    outcome = "kept though"
            outcome = f"power went, {outcome}"
        else:
            camp.come_back()
        self.log.append(f"{camp.folder.name} says {kind}: {outcome}")

    # exchanges

    def exchange(self) -> None:
        """Carry a stick through a site; both may fail in the middle of it."""
        self.carry(self.chance.choice(self.camps), self.chance.choice(self.sticks), choose_medium(self.chance))

    def carry(self, camp: Camp, stick: Path, medium: Medium) -> int:
        """One exchange over this medium; how many files it left. What is sound on the stick must arrive."""
        self.log.append(f"{camp.folder.name} takes {stick.name}: {medium.name}")
        urgent = self.sound_ids(camp, stick, "urgent")
        calls = medium.calls(camp)
        carrier = Attentive(FolderCarrier(stick, calls=calls), lambda: self.require_held(camp, urgent, medium))
        try:
            report = camp.exchange(carrier)
        except Pulled:
            medium.crash(self.chance)
            camp.come_back()
            return 0
        except SyncError as error:
            medium.crash(self.chance)
            camp.come_back()
            if medium.name == "sound":
                raise FaultError("other", f"an exchange over a sound stick fails: {error.message}") from error
            return 0
        if medium.powered:
            camp.come_back()
        if medium.name == "sound":
            self.require_held(camp, self.sound_ids(camp, stick, "*"), medium)
            if report.not_left or report.not_proven:
                raise FaultError("other", f"a sound stick did not take everything: {report.notes}")
        return report.left

    def sound_ids(self, camp: Camp, stick: Path, lane: str) -> set[str]:
        """The ids in sound copies, under their own names, of sites that this one takes in."""
        taken = camp.store.judgement.sites_taken | {camp.key.public}
        found: set[str] = set()
        for path, bundle in copies_on(stick, camp.store.network.id):
            if bundle.site in taken and path.name == bundle.path.rpartition("/")[2] and lane in {"*", bundle.lane}:
                found.update(one.id for one in bundle.statements)
        return found

    def require_held(self, camp: Camp, ids: set[str], medium: Medium) -> None:
        """What must have arrived by now has, wherever every file could be read."""
        missing = ids - camp.ids().keys()
        if missing and medium.answers:
            kinds = sorted({self.truth.said[name].kind for name in missing if name in self.truth.said})
            raise FaultError("loss", f"{camp.folder.name} did not take in what lies sound on the stick: {kinds}")


def grant_of(camp: Camp) -> dict[str, Any]:
    """The body by which a site is let in."""
    return {"key": camp.key.public, "letter": camp.letter, "name": f"Site {camp.letter}", "role": "site"}


def _network(stewards: list[str]) -> Network:
    return found_network(
        title="Orrendal Garden Circle",
        site=SiteName(key_of("site C").public, "C", "Site C"),
        stewards=[steward(label) for label in stewards],
        threshold=len(stewards) // 2 + 1,
        keys=[key_of(label) for label in stewards],
    )
