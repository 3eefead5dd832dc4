"""Folders made to wear a site down: rubbish, very many files, bombs, strangers, a flood by one who was let in.

``python -m tests.sync.hostile [--share F]`` measures at full size, or a share of it, and prints times as ratios and
memory above start. One rule: each scene runs in a process of its own, so that memory is its own.
"""

from __future__ import annotations

import argparse
import gc
import gzip
import json
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

from sync import FolderCarrier, ask_to_join, exchange
from sync.bundle import seal_bundle
from sync.exchange.report import NAMED_MAX
from sync.limits import JOININGS_MAX
from sync.statement import author_statement
from tests.sync.camps import Site, circle, fast_folder, folder_of, meet, new_stick
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from sync import ExchangeReport

MIB = 2**20
MEMORY_MIB = 64  # above start, whatever a folder holds


def _ready(place: Path, letters: str = "CT") -> tuple[dict[str, Site], Path, Path]:
    """Sites that know each other, a stick, and the network's folder on it."""
    sites = circle(place, letters)
    stick = new_stick(place)
    meet(stick, *sites.values())
    return sites, stick, folder_of(stick)


def _lane(home: Path, site: str, *, log: int = 1, lane: str = "text") -> Path:
    folder = home / "sites" / site[:26] / f"{log:016x}" / lane
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@dataclass(frozen=True)
class Measured:
    """What one exchange took."""

    seconds: float
    mib: float
    report: ExchangeReport


def _resident_peak_mib() -> float:
    """The most memory resident since the kernel was last told to forget it (proc(5): VmHWM)."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def _measured(site: Site, stick: Path, **parts: Any) -> Measured:
    gc.collect()
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before, start = _resident_peak_mib(), time.monotonic()
    report = exchange(
        site.store, FolderCarrier(stick), site_key=site.key, random=site.chance.randbytes,
        state_lines=site.state_lines, **parts,
    )  # fmt: skip
    return Measured(time.monotonic() - start, _resident_peak_mib() - before, report)


def rubbish(place: Path, share: float) -> dict[str, float]:
    """1 GiB of random bytes under good names of a site that was let in: everything is opened, refused and removed."""
    sites, stick, home = _ready(place)
    lane, chance = _lane(home, sites["T"].key.public), Random(1)
    files = max(8, int(1024 * share))
    for number in range(1, files + 1):
        data = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff" + chance.randbytes(MIB - 10)
        (lane / f"{number:08d}-{number:026x}-0.bundle").write_bytes(data)
    took = _measured(sites["C"], stick)
    assert not any(lane.iterdir())
    assert len(took.report.refused) == min(files, NAMED_MAX)
    return {"MiB": files, "seconds": took.seconds, "MiB above start": took.mib}


def many_files(place: Path, share: float) -> dict[str, float]:
    """100,000 files of a stranger, against a tenth of them: time grows with their number and no faster."""
    sites, stick, home = _ready(place)
    took: list[Measured] = []
    made = 0
    for files in (max(1000, int(10_000 * share)), max(10_000, int(100_000 * share))):
        while made < files:
            folder = _lane(home, f"{made // 1000:026x}") if made % 2 else stick
            (folder / f"{made:08d}-{made:026x}-0.bundle").write_bytes(b"")
            made += 1
        took.append(_measured(sites["C"], stick))
    ratio = took[1].seconds / took[0].seconds
    return {
        "files": made,
        "times as long as a tenth": ratio,
        "seconds": took[1].seconds,
        "MiB above start": took[1].mib,
    }


def bomb(place: Path, share: float) -> dict[str, float]:
    """1,000 : 1: inflating stops at 8 MiB, whatever the file holds."""
    sites, stick, home = _ready(place)
    lane = _lane(home, sites["T"].key.public)
    packed = gzip.compress(b"[" + b" " * int(900 * MIB * max(share, 0.1)), 9, mtime=0)
    for number in range(1, 9):
        (lane / f"{number:08d}-{number:026x}-0.bundle").write_bytes(packed)
    took = _measured(sites["C"], stick)
    assert len(took.report.refused) == 8
    return {"MiB unpacked": 900 * max(share, 0.1), "seconds": took.seconds, "MiB above start": took.mib}


def strangers(place: Path, share: float) -> dict[str, float]:
    """10,000 sound bundles of sites that nobody let in, and as many wishes to join: nothing of theirs is opened or kept."""
    sites, stick, home = _ready(place)
    network_id, count = sites["C"].store.network.id, max(200, int(10_000 * share))
    before = sites["C"].store.count()
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
    took = _measured(sites["C"], stick)
    assert sites["C"].store.count() == before
    assert len(sites["C"].store.joins()) == JOININGS_MAX
    assert len(took.report.waiting_files) == NAMED_MAX
    return {"strangers": count, "seconds": took.seconds, "MiB above start": took.mib}


def flood(place: Path, share: float) -> dict[str, float]:
    """A million urgent statements by one who was let in: another's withdrawal acts after the first portion."""
    sites, stick, home = _ready(place, "CTL")
    network_id, bundles = sites["C"].store.network.id, max(80, int(1000 * share))
    statements = 1000 if share >= 0.1 else 50
    flooder, chance = sites["T"].key, Random(1)
    previous = None
    for number in range(1, bundles + 1):
        said = [
            author_statement(
                key=flooder, network_id=network_id, kind="garden/report", body={"n": n}, salt=chance.randbytes(16)
            )
            for n in range(statements)
        ]
        bundle = seal_bundle(
            key=flooder, network_id=network_id, log="f" * 16, lane="urgent", number=number, previous=previous,
            statements=said,
        )  # fmt: skip
        previous = bundle.id
        path = home / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())
    recall = sites["C"].say("garden/recall", {"why": "it burns"})
    alone = new_stick(place, "alone")
    sites["C"].exchange(alone)
    shutil.copytree(alone, stick, dirs_exist_ok=True)
    acted: list[tuple[float, int]] = []
    known = sum(1 for _ in sites["L"].store.bundles.listed())
    start = time.monotonic()

    def note() -> None:
        verdict = sites["L"].store.verdict(recall.id)
        if verdict is not None and verdict.state == "accepted" and not acted:
            acted.append((time.monotonic() - start, sum(1 for _ in sites["L"].store.bundles.listed()) - known))

    took = _measured(sites["L"], stick, urgent_taken=note)
    return {
        "statements": bundles * statements, "seconds until it acts": acted[0][0], "bundles until it acts": acted[0][1],
        "seconds": took.seconds,
        "MiB above start": took.mib,
    }  # fmt: skip


def many_logs(place: Path, share: float) -> dict[str, float]:
    """2,600,000 statements in 5,000 logs, as after ten years of sites that were put back often; then one recall more."""
    sites, stick, home = _ready(place)
    logs = max(40, int(5000 * min(1, 10 * share)))
    each = max(1, int(2_600_000 * share) // logs)
    for log in range(logs):
        _leave_log(home, sites["T"], log=log + 1, statements=each)
    taken = _measured(sites["C"], stick)
    held = sites["C"].store.count()
    sites["C"].reopen()
    sites["C"].edition("one more")
    more = _measured(sites["C"], stick)
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


def _leave_log(home: Path, site: Site, *, log: int, statements: int) -> None:
    """Leave the whole log of a site on a stick, in bundles as large as may be."""
    network_id, previous = site.store.network.id, None
    for number, start in enumerate(range(0, statements, 500), start=1):
        said = [
            author_statement(
                key=site.trainer, network_id=network_id, kind="garden/report", body={"n": n},
                salt=f"{log:08d}{n:08d}".encode(),
            )
            for n in range(start, min(start + 500, statements))
        ]  # fmt: skip
        bundle = seal_bundle(
            key=site.key, network_id=network_id, log=f"{log:016x}", lane="text", number=number, previous=previous,
            statements=said,
        )  # fmt: skip
        previous = bundle.id
        path = home / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())


SCENES: dict[str, Callable[[Path, float], dict[str, float]]] = {
    "rubbish": rubbish, "many files": many_files, "bomb": bomb, "strangers": strangers, "flood": flood,
    "many logs": many_logs,
}  # fmt: skip


def run_scene(name: str, share: float) -> dict[str, float]:
    """Run one scene in a folder of its own; its figures."""
    with tempfile.TemporaryDirectory(dir=fast_folder()) as folder:
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
