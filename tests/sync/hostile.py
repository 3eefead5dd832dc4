"""Folders made to wear a site down: rubbish, very many files, bombs, strangers, a flood by one who was let in.

``python -m tests.sync.hostile [--share F]`` measures at full size, or a share of it, and prints times as ratios and
memory above start. One rule: what is measured runs in a process of its own (`tests.sync.apart`), and what must hold is
asserted in its scene.
"""

from __future__ import annotations

import argparse
import gzip
import json
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from functools import partial
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

from sync import ask_to_join
from sync.bundle import seal_bundle
from sync.exchange.report import NAMED_MAX
from sync.limits import JOININGS_MAX
from sync.statement import author_statement
from tests.fast import memory_folder
from tests.sync import hostile_roles, hostile_stewards
from tests.sync.apart import Measured, apart, exchanged, lane_of, measured, ready
from tests.sync.camps import Site, new_stick
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from sync import Lane
MIB = 2**20
MEMORY_MIB = 64  # above start, whatever a folder holds


def rubbish(place: Path, share: float) -> dict[str, float]:
    """1 GiB of random bytes under good names of a site that was let in: everything is opened, refused and removed."""
    sites, stick, home = ready(place)
    lane, chance = lane_of(home, sites["T"].key.public), Random(1)
    files = max(8, int(1024 * share))

    def make() -> None:
        for number in range(1, files + 1):
            data = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff" + chance.randbytes(MIB - 10)
            (lane / f"{number:08d}-{number:026x}-0.bundle").write_bytes(data)

    apart(make)
    took = measured(sites["C"], stick)
    assert not any(lane.iterdir())
    assert took.refused == min(files, NAMED_MAX)
    return {"MiB": files, "seconds": took.seconds, "MiB above start": took.mib}


def many_files(place: Path, share: float) -> dict[str, float]:
    """A million files of strangers, of every kind, against a tenth of them: time grows with their number, memory not."""
    sites, stick, home = ready(place)
    took: list[Measured] = []
    made = 0
    for files in (max(1000, int(100_000 * share)), max(10_000, int(1_000_000 * share))):
        made = apart(partial(make_files, home, stick, made, files))
        took.append(measured(sites["C"], stick))
    return {
        "files": made,
        "times as long as a tenth": took[1].seconds / took[0].seconds,
        "seconds": took[1].seconds,
        "MiB above start for a tenth": took[0].mib,
        "MiB above start": took[1].mib,
    }


def make_files(home: Path, stick: Path, first: int, last: int) -> int:
    """Leave empty files under good names: bundles, receipts, wishes, photos, and some beside the network's folder."""
    for number in range(first, last):
        site = f"{number // 1000:026x}"
        name = sha256(b"%d" % number).hexdigest()
        path = (
            home / f"sites/{site}/{1:016x}/{'urgent' if number % 2 else 'text'}/{number:08d}-{name[:26]}-0.bundle",
            home / f"sites/{site}/{1:016x}/text/{number:08d}-{name[:26]}-1.bundle",
            home / f"receipts/{name[:26]}-{1:016x}-00000001-{name[:8]}.json",
            home / f"joining/{name[:26]}.json",
            home / f"attachments/{name[:2]}/{name}",
            stick / name,
        )[number % 6]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    return last


def small_bundles(place: Path, share: float) -> dict[str, float]:
    """200,000 bundles of five statements: taken in, then held while nothing is new, then left on an empty stick."""
    sites, stick, home = ready(place)
    bundles = max(100, int(200_000 * share))
    _leave_logs(home, sites["T"], logs=max(1, bundles // 1000), statements=5 * bundles, each=5)
    took = [measured(sites["C"], stick), measured(sites["C"], stick)]
    took.append(measured(sites["C"], new_stick(place, "empty")))
    return {
        "bundles": sum(1 for _ in sites["C"].store.bundles.listed()),
        "seconds to take them in": took[0].seconds,
        "seconds with nothing new": took[1].seconds,
        "seconds to leave them": took[2].seconds,
        "MiB above start to take them in": took[0].mib,
        "MiB above start with nothing new": took[1].mib,
        "MiB above start to leave them": took[2].mib,
        "MiB above start": max(each.mib for each in took),
    }


def stripped(place: Path, share: float) -> dict[str, float]:
    """A million statements without their bodies, in bundles of fifty: taken in, and looked for again each time."""
    sites, stick, home = ready(place)
    statements = max(2000, int(1_000_000 * share))
    _leave_logs(home, sites["T"], logs=max(1, statements // 50_000), statements=statements, each=50, bare=True)
    took = [measured(sites["C"], stick), measured(sites["C"], stick)]
    return {
        "statements": len(sites["C"].store.lacking()),
        "seconds to take them in": took[0].seconds,
        "seconds with nothing new": took[1].seconds,
        "MiB above start to take them in": took[0].mib,
        "MiB above start with nothing new": took[1].mib,
        "MiB above start": max(each.mib for each in took),
    }


def bomb(place: Path, share: float) -> dict[str, float]:
    """1,000 : 1: inflating stops at 8 MiB, whatever the file holds."""
    sites, stick, home = ready(place)
    lane = lane_of(home, sites["T"].key.public)

    def make() -> None:
        packed = gzip.compress(b"[" + b" " * int(900 * MIB * max(share, 0.1)), 9, mtime=0)
        for number in range(1, 9):
            (lane / f"{number:08d}-{number:026x}-0.bundle").write_bytes(packed)

    apart(make)
    took = measured(sites["C"], stick)
    assert took.refused == 8
    return {"MiB unpacked": 900 * max(share, 0.1), "seconds": took.seconds, "MiB above start": took.mib}


def strangers(place: Path, share: float) -> dict[str, float]:
    """10,000 sound bundles of sites that nobody let in, and as many wishes to join: nothing of theirs is opened or kept."""
    sites, stick, home = ready(place)
    network_id, count = sites["C"].store.network.id, max(200, int(10_000 * share))
    before = sites["C"].store.count()
    apart(partial(_make_strangers, home, network_id, count))
    took = measured(sites["C"], stick)
    assert sites["C"].store.count() == before
    assert len(sites["C"].store.joins()) == JOININGS_MAX
    assert took.left_alone == NAMED_MAX
    return {"strangers": count, "seconds": took.seconds, "MiB above start": took.mib}


def _make_strangers(home: Path, network_id: str, count: int) -> None:
    for number in range(count):
        key = key_of(f"stranger {number}")
        said = author_statement(key=key, network_id=network_id, kind="garden/recall", body={}, salt=bytes(16))
        bundle = seal_bundle(
            key=key, network_id=network_id, log="0" * 16, lane="urgent", number=1, previous=None, statements=[said]
        )
        wish = ask_to_join(key=key, letter="X", name="X", network_id=network_id)
        for path, data in ((bundle.path, bundle.to_bytes()), (wish.path, wish.to_bytes())):
            (home / path).parent.mkdir(parents=True, exist_ok=True)
            (home / path).write_bytes(data)


def flood(place: Path, share: float) -> dict[str, float]:
    """A million urgent statements by one who was let in: another's withdrawal acts after the first portion."""
    sites, stick, home = ready(place, "CTL")
    bundles = max(80, int(1000 * share))
    statements = 1000 if share >= 0.1 else 50
    apart(lambda: leave_log(home, sites["T"], log=15, statements=bundles * statements, each=statements, lane="urgent"))
    recall = sites["C"].say("garden/recall", {"why": "it burns"})
    alone = new_stick(place, "alone")
    sites["C"].exchange(alone)
    shutil.copytree(alone, stick, dirs_exist_ok=True)
    sites["L"].store.close()
    took, seconds, until = apart(lambda: _exchanged_until(sites["L"], stick, recall.id))
    sites["L"].reopen()
    return {
        "statements": bundles * statements, "seconds until it acts": seconds, "bundles until it acts": until,
        "seconds": Measured(*took).seconds,
        "MiB above start": Measured(*took).mib,
    }  # fmt: skip


def _exchanged_until(site: Site, stick: Path, recall: str) -> tuple[Measured, float, int]:
    """One exchange; the seconds and the bundles until a recall acts."""
    acted: list[tuple[float, int]] = []
    site.reopen()
    known = sum(1 for _ in site.store.bundles.listed())
    site.store.close()
    start = time.monotonic()

    def note() -> None:
        verdict = site.store.verdict(recall)
        if verdict is not None and verdict.state == "accepted" and not acted:
            acted.append((time.monotonic() - start, sum(1 for _ in site.store.bundles.listed()) - known))

    return exchanged(site, stick, urgent_taken=note), *acted[0]


def many_logs(place: Path, share: float) -> dict[str, float]:
    """2,600,000 statements in 5,000 logs, as after ten years of sites that were put back often; then one recall more."""
    sites, stick, home = ready(place)
    logs = max(40, int(5000 * min(1, 10 * share)))
    each = max(1, int(2_600_000 * share) // logs)
    _leave_logs(home, sites["T"], logs=logs, statements=each * logs)
    taken = measured(sites["C"], stick)
    held = sites["C"].store.count()
    sites["C"].edition("one more")
    more = measured(sites["C"], stick)
    own = [receipt for receipt in sites["C"].store.receipts() if receipt.site == sites["C"].key.public]
    assert max(len(receipt.held) for receipt in own) > logs
    return {
        "statements": held,
        "logs": logs,
        "seconds to take them in": taken.seconds,
        "MiB above start to take them in": taken.mib,
        "seconds for one more": more.seconds,
        "MiB above start for one more": more.mib,
        "MiB above start": max(taken.mib, more.mib),
        "KiB of the store a statement": (place / "C" / "store.sqlite").stat().st_size / 1024 / held,
    }


def stopped(place: Path, share: float) -> dict[str, float]:
    """A million statements by one key, and then the word that stops it: all of them are set aside."""
    sites, stick, home = ready(place, "CTL")
    count = max(2_000, int(1_000_000 * share))
    _leave_logs(home, sites["T"], logs=1, statements=count)
    taken = measured(sites["L"], stick)
    sites["C"].say("sync/revocation", {"key": sites["T"].trainer.public, "last": []})
    word = new_stick(place, "word")
    sites["C"].exchange(word)
    aside = measured(sites["L"], word)
    assert (
        sum(1 for verdict in sites["L"].store.judgement.verdicts.others.values() if verdict.rule == "revoked") >= count
    )
    return {
        "statements": count,
        "seconds to take them in": taken.seconds,
        "seconds to set them aside": aside.seconds,
        "MiB above start": max(taken.mib, aside.mib),
    }


def _leave_logs(home: Path, site: Site, *, logs: int, statements: int, **parts: Any) -> None:
    """Leave so many logs of a site with so many statements together, from a process of its own."""

    def leave() -> None:
        for log in range(1, logs + 1):
            leave_log(home, site, log=log, statements=statements // logs, **parts)

    apart(leave)


def leave_log(
    home: Path, site: Site, *, log: int, statements: int, each: int = 500, lane: Lane = "text", bare: bool = False
) -> None:
    """Leave the whole log of a site on a stick, so many statements in a bundle, with their bodies or without."""
    network_id, previous = site.store.network.id, None
    for number, start in enumerate(range(0, statements, each), start=1):
        said = [
            author_statement(
                key=site.trainer, network_id=network_id, kind="garden/report", body={"n": n},
                salt=f"{log:08d}{n:08d}".encode(),
            )
            for n in range(start, min(start + each, statements))
        ]  # fmt: skip
        bundle = seal_bundle(
            key=site.key, network_id=network_id, log=f"{log:016x}", lane=lane, number=number, previous=previous,
            statements=said,
        )  # fmt: skip
        previous = bundle.id
        if bare:
            bundle = replace(bundle, statements=tuple(one.without_body() for one in bundle.statements))
        path = home / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())


SCENES: dict[str, Callable[[Path, float], dict[str, float]]] = {
    "rubbish": rubbish, "many files": many_files, "bomb": bomb, "strangers": strangers, "flood": flood,
    "many logs": many_logs, "small bundles": small_bundles, "stripped": stripped, "stopped": stopped,
    "named": hostile_roles.named, "named again": hostile_roles.named_again, "sites": hostile_roles.let_in,
    "sites that speak": hostile_roles.let_in_and_speak, "reviewers": hostile_roles.made_reviewers,
    **hostile_stewards.SCENES,
}  # fmt: skip


def run_scene(name: str, share: float) -> dict[str, float]:
    """Run one scene in a folder of its own; its figures."""
    with tempfile.TemporaryDirectory(dir=memory_folder()) as folder:
        return SCENES[name](Path(folder), share)


def main(arguments: list[str] | None = None) -> int:
    """Run every scene in a process of its own and print its figures; 1 where one took too much memory."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.sync.hostile", description=(__doc__ or "").partition("\n")[0]
    )
    parser.add_argument("--share", type=float, default=1.0, help="of the full size (1.0)")
    parser.add_argument("--scene", choices=SCENES, help="only this one, as JSON")
    options = parser.parse_args(arguments)
    if options.scene:
        print(json.dumps(run_scene(options.scene, options.share)))
        return 0
    worst = 0.0
    for name in SCENES:
        command = [sys.executable, "-m", "tests.sync.hostile", "--scene", name, "--share", str(options.share)]
        figures = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
        worst = max(worst, figures["MiB above start"])
        print(f"{name}: " + ", ".join(f"{value:,.1f} {what}" for what, value in figures.items()), flush=True)
    print(f"most memory above start: {worst:.0f} MiB, allowed {MEMORY_MIB}")
    return 1 if worst > MEMORY_MIB else 0


if __name__ == "__main__":
    sys.exit(main())
