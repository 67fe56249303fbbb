"""The jobs that scripts/fault_injection.py disturbs, and what must hold after each, however it ended."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from arsenal.ledger import NO_BACKUPS, Ledger, list_backups, schema, verify_file
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, Played
from arsenal.trade.person import Person

ENTRIES_AN_ACT = 3
NEXT_STEP = (
    "CREATE TABLE stubs (id INTEGER PRIMARY KEY, words TEXT NOT NULL) STRICT",
    "INSERT INTO stubs SELECT id, title FROM acts",
    "CREATE INDEX stubs_words ON stubs (words)",
)


class Broken(AssertionError):
    """Something that had to hold did not."""


# ---- the jobs, each run in a process of its own ----------------------------------------------------------------------


def set_up(path: Path, acts: int = 4) -> None:
    """A closed file with one ball and a few acts in its log."""
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        with ledger.act("Set up") as act:
            owner = act.put(Person(0, "Wren Tallow"))
            act.put(Ball(0, "Umber Kestrel", "rook", owner.id, Cover.SOLID))
            act.set_setting("n", 0)
        for _ in range(acts):
            one_act(ledger)


def one_act(ledger: Ledger) -> int:
    """An act that must be whole: its number in a setting, in the ball's note, and in each of its three entries."""
    number = int(ledger.setting("n")) + 1
    with ledger.act(f"Act {number}") as act:
        for _ in range(ENTRIES_AN_ACT):
            act.append(Draft(1, Kind.PLAYED, date(2026, 3, 14), Played(float(number)), typed=f"{number}"))
        act.put(replace(ledger.ball(1), note=str(number)))
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


_HALF = {".new-", ".part"}


def look(path: Path) -> int:
    """The number of the last act; the file opens, is whole, and so is each of its acts."""
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        left = [p.name for p in path.parent.iterdir() if p.name.startswith(f"{path.name}.") and p.suffix[:5] in _HALF]
        must(not left, f"left over: {left}")
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
