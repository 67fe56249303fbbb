"""Kills the ledger at its work and looks at what is left: every acknowledged act there, the half-done wholly absent.

Jobs: making a file, acts, a backup, a migration, a restore. Faults: SIGKILL after a random time; SIGKILL, a full disk
or an I/O error at the n-th call of a kind (by strace, where it is installed); a full disk (a small tmpfs where it may
be mounted, else a limit on file size); a folder that can only be read (a read-only bind mount, where allowed).

    python scripts/fault_injection.py               25 random kills a job, SIGKILL at every 5th call
    python scripts/fault_injection.py --all         200 random kills a job, every fault at every call
    python scripts/fault_injection.py --only acts   one job of them
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from fault_jobs import ENTRIES_AN_ACT, JOBS, Broken, must, one_act, set_up

from arsenal.ledger import NO_BACKUPS, Ledger
from arsenal.trade.errors import KnownError

ENVIRONMENT = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
CALLS = ("pwrite64", "fdatasync", "fsync", "rename", "unlink", "ftruncate", "link")


# ---- faults ----------------------------------------------------------------------------------------------------------


@dataclass
class Tally:
    """How often what was done, and what broke."""

    killed: int = 0
    finished: int = 0
    refused: int = 0
    broken: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        ended = f"{self.killed} killed, {self.refused} told of an error, {self.finished} finished"
        return f"{ended}, {len(self.broken)} broken"


@contextlib.contextmanager
def prepared(template: Path) -> Iterator[Path]:
    """A folder with a copy of the prepared files."""
    with tempfile.TemporaryDirectory(prefix="fault-") as folder:
        for file in template.iterdir():
            shutil.copy2(file, folder)
        yield Path(folder)


def template_in(folder: Path) -> Path:
    """shop.db with four acts, and old.db, a backup of its first two."""
    folder.mkdir(exist_ok=True)
    set_up(folder / "shop.db", acts=2)
    with Ledger.open(folder / "shop.db", backups=NO_BACKUPS) as ledger:
        ledger.backup(folder / "old.db")
        one_act(ledger)
        one_act(ledger)
    return folder


def start(job: str, folder: Path, *before: str, limit: int = 0) -> subprocess.Popen[str]:
    """The job in a process of its own, under `before` (strace and its arguments), no file over `limit` bytes."""
    command = [*before, sys.executable, str(Path(__file__)), "--job", job, "--limit", str(limit), str(folder)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENVIRONMENT)


def judge(job: str, folder: Path, process: subprocess.Popen[str], tally: Tally, what: str) -> bool:
    """Wait for the job, look at what it left, count it. True where it came to its end untouched."""
    said, wailed = process.communicate(timeout=120)
    killed = process.returncode in {-signal.SIGKILL, 128 + signal.SIGKILL}
    told = process.returncode == 3
    tally.killed += killed
    tally.refused += told
    tally.finished += process.returncode == 0
    try:
        must(killed or told or process.returncode == 0, f"ended with {process.returncode}: {wailed[-300:]}")
        JOBS[job].after(folder, said)
    except (Broken, KnownError) as error:
        tally.broken.append(f"{job}, {what}: {error}")
        print("BROKEN", tally.broken[-1], flush=True)
    return process.returncode == 0


def kill_at_random(template: Path, job: str, times: int, rng: random.Random) -> Tally:
    """SIGKILL after a random time, spread over how long the job takes when nobody disturbs it."""
    tally = Tally()
    with prepared(template) as folder:
        began = time.monotonic()
        judge(job, folder, start(job, folder), Tally(), "undisturbed")
        whole = time.monotonic() - began
    for _ in range(times):
        with prepared(template) as folder:
            process = start(job, folder)
            time.sleep(rng.uniform(0.3, 1.05) * whole)
            process.kill()
            judge(job, folder, process, tally, "killed at random")
    return tally


def at_each_call(template: Path, job: str, call: str, fault: str, step: int = 1) -> Tally:
    """A fault at the n-th call of a kind, for every `step`-th n up to as many as the undisturbed job makes."""
    tally = Tally()
    for number in range(1, calls_of(template, job, call) + 1, step):
        with prepared(template) as folder:
            trace = ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"inject={call}:{fault}:when={number}"]
            judge(job, folder, start(job, folder, *trace), tally, f"{fault} at {call} {number}")
    return tally


def calls_of(template: Path, job: str, call: str) -> int:
    """How many calls of a kind the undisturbed job makes; only the ledger makes such calls."""
    with prepared(template) as folder, tempfile.NamedTemporaryFile("r") as seen:
        judge(
            job, folder, start(job, folder, "strace", "-f", "-qq", "-o", seen.name, "-e", f"trace={call}"), Tally(), ""
        )
        return sum(f" {call}(" in line for line in seen)


def full_disk(template: Path, job: str) -> Tally:
    """Ever larger limits on what may be written, until the job ends well."""
    tally = Tally()
    size = max(file.stat().st_size for file in template.iterdir())
    for limit in (4096, 16384, 65536, size - 4096, size, size + 8192, size + 65536, 4 * size, 16 * size):
        with prepared(template) as folder:
            process = start(job, folder, limit=limit)
            judge(job, folder, process, tally, f"{limit} bytes of room")
    return tally


def small_disk(template: Path, job: str) -> Tally | None:
    """The same on a small tmpfs; None where it may not be mounted."""
    tally = Tally()
    for room in (64, 128, 256, 512, 1024, 4096):
        with tempfile.TemporaryDirectory(prefix="fault-") as name:
            mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={300 + room}k", "tmpfs", name], check=False)
            if mounted.returncode:
                return None
            try:
                for file in template.iterdir():
                    shutil.copy2(file, name)
                process = start(job, Path(name))
                process.wait(timeout=60)
                subprocess.run(["mount", "-o", "remount,size=64m", name], check=True)  # room again: it goes on
                judge(job, Path(name), process, tally, f"{room} kB free on a small disk")
            finally:
                subprocess.run(["umount", name], check=True)
    return tally


def read_only_folder(template: Path) -> str | None:
    """What opening for writing and for reading say in a folder that can only be read; None where it may not be made."""
    with prepared(template) as folder:
        if subprocess.run(["mount", "--bind", str(folder), str(folder)], check=False, capture_output=True).returncode:
            return None
        try:
            subprocess.run(["mount", "-o", "remount,bind,ro", str(folder)], check=True)
            before = {p.name: p.read_bytes() for p in folder.iterdir()}
            try:
                Ledger.open(folder / "shop.db")
                said = "opened"
            except KnownError as error:
                said = str(error)
            must(said != "opened", "a file in a folder that can only be read was opened for writing")
            with Ledger.open(folder / "shop.db", read_only=True) as ledger:
                must(len(ledger.entries()) == 4 * ENTRIES_AN_ACT, "not everything can be read there")
                must(ledger.verify().ok, "not whole there")
                try:
                    ledger.backup(folder / "b.db")
                    must(False, "a backup was made in a folder that can only be read")
                except KnownError as error:
                    said += f" | {error}"
            must({p.name: p.read_bytes() for p in folder.iterdir()} == before, "something changed there")
        finally:
            subprocess.run(["umount", str(folder)], check=True)
    return said


# ---- the study -------------------------------------------------------------------------------------------------------


def may_trace() -> bool:
    """True where strace is installed and allowed."""
    if shutil.which("strace") is None:
        return False
    return subprocess.run(["strace", "-o", "/dev/null", "true"], check=False, capture_output=True).returncode == 0


def study(jobs: Iterable[str], *, every: bool, seed: int) -> int:
    """The whole study; the number of things that broke."""
    rng, broken = random.Random(seed), []  # noqa: S311
    root = os.geteuid() == 0
    with tempfile.TemporaryDirectory(prefix="fault-template-") as name:
        template = template_in(Path(name))
        for job in jobs:
            broken += told(job, "SIGKILL at random", kill_at_random(template, job, 200 if every else 25, rng))
            broken += told(job, "limit on file size", full_disk(template, job))
            broken += told(job, "small disk", small_disk(template, job) if root else None)
            broken += traced(template, job, every=every)
        said = read_only_folder(template) if root else None
        print(f"read-only folder: {said or 'skipped, no bind mount may be made here'}", flush=True)
    print(f"{len(broken)} broken", *broken, sep="\n")
    return len(broken)


def told(job: str, fault: str, tally: Tally | None) -> list[str]:
    """Print a tally; what broke."""
    print(f"{job:8} {fault}: {tally or 'skipped, not allowed here'}", flush=True)
    return tally.broken if tally else []


def traced(template: Path, job: str, *, every: bool) -> list[str]:
    """Faults at the n-th call, where strace may be used."""
    if not may_trace():
        print(f"{job:8} at each call: skipped, strace is not installed or not allowed here", flush=True)
        return []
    broken = []
    for call in CALLS:
        for fault in ("signal=KILL", "error=ENOSPC", "error=EIO"):
            step = 1 if every or call != "pwrite64" else 5 if fault == "signal=KILL" else 25
            tally = at_each_call(template, job, call, fault, step)
            broken += told(job, f"{fault} at {call}, every {step}", tally)
    return broken


def main() -> int:
    """Run a job, or the study."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--job", choices=JOBS, help=argparse.SUPPRESS)
    parser.add_argument("--limit", type=int, help=argparse.SUPPRESS)
    parser.add_argument("folder", nargs="?", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--all", action="store_true", help="every call, many more kills")
    parser.add_argument("--only", choices=JOBS, help="one job of them")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    if not asked.job:
        return 1 if study([asked.only] if asked.only else JOBS, every=asked.all, seed=asked.seed) else 0
    if asked.limit:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (asked.limit, asked.limit))
    try:
        JOBS[asked.job].run(asked.folder)
    except KnownError as error:
        print(error, file=sys.stderr)
        return 3
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
