"""Kills the ledger at its work and looks at what is left: every acknowledged act there, the half-done wholly absent.

Jobs: making a file, acts, a backup, a migration, a restore. Faults: SIGKILL after a random time; SIGKILL, a full disk
or an I/O error at the n-th call of a kind (by strace, where it is installed); a full disk (a small tmpfs where it may
be mounted, else a limit on file size); a folder that can only be read (a read-only bind mount, where allowed).

    python scripts/fault_injection.py            a few minutes: 25 random kills a job, every 3rd of the first 200 calls
    python scripts/fault_injection.py --all      every call of every kind, 200 random kills a job; an hour or more
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
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from arsenal.ledger import NO_BACKUPS, Ledger, list_backups, schema, verify_file  # noqa: E402
from arsenal.trade.ball import Ball, Cover  # noqa: E402
from arsenal.trade.entries import Draft, Kind, Played  # noqa: E402
from arsenal.trade.errors import KnownError  # noqa: E402
from arsenal.trade.person import Person  # noqa: E402

ENTRIES_AN_ACT = 3
ENVIRONMENT = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
NEXT_STEP = (
    "CREATE TABLE tickets (id INTEGER PRIMARY KEY, words TEXT NOT NULL) STRICT",
    "INSERT INTO tickets SELECT id, title FROM acts",
    "CREATE INDEX tickets_words ON tickets (words)",
)
CALLS = ("pwrite64", "fdatasync", "fsync", "rename", "unlink", "ftruncate", "link")


class Broken(AssertionError):
    """Something that had to hold did not."""


# ---- the jobs, each run in a process of its own ----------------------------------------------------------------------


def set_up(path: Path, acts: int = 4) -> None:
    """A closed file with one ball and a few acts in its log."""
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        with ledger.act("Set up") as act:
            owner = act.put_person(Person(0, "Wren Tallow"))
            act.put_ball(Ball(0, "Umber Kestrel", "rook", owner.id, Cover.SOLID))
            act.set_setting("n", 0)
        for _ in range(acts):
            one_act(ledger)


def one_act(ledger: Ledger) -> int:
    """An act that must be whole: its number in a setting, in the ball's note, and in each of its three entries."""
    number = int(ledger.setting("n")) + 1
    with ledger.act(f"Act {number}") as act:
        for _ in range(ENTRIES_AN_ACT):
            act.append(Draft(1, Kind.PLAYED, date(2026, 3, 14), Played(float(number)), typed=f"{number}"))
        act.put_ball(replace(ledger.ball(1), note=str(number)))
        act.set_setting("n", number)
    return number


def say(words: str) -> None:
    """Acknowledge on standard output, at once."""
    os.write(1, f"{words}\n".encode())


def job_make(folder: Path) -> None:
    """A new file."""
    Ledger.open(folder / "new.db", backups=NO_BACKUPS).close()
    say("made")


def job_acts(folder: Path) -> None:
    """Act after act, each acknowledged once committed."""
    with Ledger.open(folder / "shop.db", backups=NO_BACKUPS) as ledger:
        for _ in range(int(os.environ.get("ACTS", "12"))):
            say(f"ack {one_act(ledger)}")


def job_backup(folder: Path) -> None:
    """Acts with one of the file's own backups after each."""
    for _ in range(3):
        with Ledger.open(folder / "shop.db") as ledger:
            say(f"ack {one_act(ledger)}")
        if ledger.backup_problem:
            raise ledger.backup_problem
        say(f"backup {len(list_backups(folder / 'shop.db'))}")


def job_migrate(folder: Path) -> None:
    """Up to the next version."""
    schema.STEPS.append(NEXT_STEP)
    Ledger.open(folder / "shop.db", backups=NO_BACKUPS).close()
    say("migrated")


def job_restore(folder: Path) -> None:
    """An older backup in the place of the file."""
    Ledger.restore(folder / "old.db", folder / "shop.db")
    say("restored")


# ---- what must hold afterwards ---------------------------------------------------------------------------------------


def must(holds: bool, words: str) -> None:
    """Raise Broken with `words` where it does not hold."""
    if not holds:
        raise Broken(words)


def look(path: Path) -> int:
    """The number of the last act; the file opens, is whole, and so is each of its acts."""
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        checked = ledger.verify()
        must(checked.ok, f"{path.name}: {checked.problems}")
        number = int(ledger.setting("n"))
        typed = [int(entry.typed) for entry in ledger.entries()]
        wanted = [n for n in range(1, number + 1) for _ in range(ENTRIES_AN_ACT)]
        must(typed == wanted, f"entries {typed[-5:]} where act {number} is the last")
        must(number == 0 or ledger.ball(1).note == str(number), "the ball is not of the last act")
        must(one_act(ledger) == number + 1, "no further act could be kept")
    return number


def acknowledged(said: str) -> int:
    """The last acknowledged act."""
    return max((int(line.split()[1]) for line in said.splitlines() if line.startswith("ack")), default=4)


def after_make(folder: Path, said: str) -> None:
    """Either no file, or a whole one; the next start makes one."""
    path = folder / "new.db"
    must("made" not in said or path.exists(), "acknowledged and not there")
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        must(ledger.verify().ok, "a new file is not whole")


def after_acts(folder: Path, said: str) -> None:
    """Every acknowledged act, and at most the one after it."""
    number, least = look(folder / "shop.db"), acknowledged(said)
    must(least <= number <= least + 1, f"acts up to {number}, acknowledged up to {least}")


def after_backup(folder: Path, said: str) -> None:
    """As after acts; and every backup listed is good."""
    backups = list_backups(folder / "shop.db")
    least = max((int(line.split()[1]) for line in said.splitlines() if line.startswith("backup")), default=0)
    must(len(backups) >= least, f"{len(backups)} backups, acknowledged {least}")
    for backup in backups:
        must(verify_file(backup.path).ok, f"{backup.name} is not good")
    after_acts(folder, said)


def after_migrate(folder: Path, said: str) -> None:  # noqa: ARG001
    """The old version or the new one, whole; and the next start reaches the new one."""
    path = folder / "shop.db"
    old_steps = list(schema.STEPS)
    try:
        schema.STEPS.append(NEXT_STEP)
        must(look(path) == 4, "an act was lost in the migration")
        for backup in list_backups(path):
            must(verify_file(backup.path).ok, f"{backup.name} is not good")
    finally:
        schema.STEPS[:] = old_steps


def after_restore(folder: Path, said: str) -> None:
    """The old contents or the new ones, whole; the backup as it was; what was replaced is kept."""
    number = look(folder / "shop.db")
    must(number in {2, 4}, f"act {number} after a restore")
    must(verify_file(folder / "old.db").ok, "the backup was touched")
    must("restored" not in said or number == 2, "acknowledged and not restored")
    if number == 2:
        kept = [
            p for p in folder.iterdir() if ".replaced-" in p.name and not p.name.endswith(("-wal", "-shm", ".lock"))
        ]
        must(any(look(path) == 4 for path in kept), "what was replaced is not kept")


@dataclass(frozen=True)
class Job:
    """A job and what must hold after it, however it ended."""

    run: Callable[[Path], None]
    after: Callable[[Path, str], None]


JOBS = {
    "make": Job(job_make, after_make),
    "acts": Job(job_acts, after_acts),
    "backup": Job(job_backup, after_backup),
    "migrate": Job(job_migrate, after_migrate),
    "restore": Job(job_restore, after_restore),
}


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


def start(job: str, folder: Path, *before: str) -> subprocess.Popen[str]:
    """The job in a process of its own, under `before` (strace and its arguments)."""
    command = [*before, sys.executable, str(Path(__file__)), "--job", job, str(folder)]
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


def at_each_call(template: Path, job: str, call: str, fault: str, numbers: range) -> Tally:
    """A fault at the n-th call of a kind, for each n until the job ends well; nothing but the ledger makes such calls."""
    tally = Tally()
    for number in numbers:
        with prepared(template) as folder:
            trace = ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"inject={call}:{fault}:when={number}"]
            if judge(job, folder, start(job, folder, *trace), tally, f"{fault} at {call} {number}"):
                break
    return tally


def full_disk(template: Path, job: str) -> Tally:
    """Ever larger limits on what may be written, until the job ends well."""
    tally = Tally()
    size = max(file.stat().st_size for file in template.iterdir())
    for limit in (4096, 16384, 65536, size - 4096, size, size + 8192, size + 65536, 4 * size, 16 * size):
        with prepared(template) as folder:
            command = [sys.executable, str(Path(__file__)), "--job", job, "--limit", str(limit), str(folder)]
            process = subprocess.Popen(
                command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENVIRONMENT
            )
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


def study(*, every: bool, seed: int) -> int:
    """The whole study; the number of things that broke."""
    rng, broken = random.Random(seed), []  # noqa: S311
    with tempfile.TemporaryDirectory(prefix="fault-template-") as name:
        template = template_in(Path(name))
        for job in JOBS:
            tally = kill_at_random(template, job, 200 if every else 25, rng)
            print(f"{job:8} SIGKILL at random: {tally}", flush=True)
            broken += tally.broken
            tally = full_disk(template, job)
            print(f"{job:8} limit on file size: {tally}", flush=True)
            broken += tally.broken
            small = small_disk(template, job) if os.geteuid() == 0 else None
            print(f"{job:8} small disk: {small or 'skipped, no tmpfs may be mounted here'}", flush=True)
            broken += small.broken if small else []
            broken += traced(template, job, range(1, 100_000) if every else range(1, 200, 3))
        said = read_only_folder(template) if os.geteuid() == 0 else None
        print(f"read-only folder: {said or 'skipped, no bind mount may be made here'}", flush=True)
    print(f"{len(broken)} broken", *broken, sep="\n")
    return len(broken)


def traced(template: Path, job: str, numbers: range) -> list[str]:
    """Faults at the n-th call, where strace may be used."""
    if not may_trace():
        print(f"{job:8} at each call: skipped, strace is not installed or not allowed here", flush=True)
        return []
    broken = []
    for call in CALLS:
        for fault in ("signal=KILL", "error=ENOSPC", "error=EIO"):
            tally = at_each_call(template, job, call, fault, numbers)
            print(f"{job:8} {fault} at each {call}: {tally}", flush=True)
            broken += tally.broken
    return broken


def main() -> int:
    """Run a job, or the study."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--job", choices=JOBS, help=argparse.SUPPRESS)
    parser.add_argument("--limit", type=int, help=argparse.SUPPRESS)
    parser.add_argument("folder", nargs="?", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--all", action="store_true", help="every call, many more kills")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    if not asked.job:
        return 1 if study(every=asked.all, seed=asked.seed) else 0
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
