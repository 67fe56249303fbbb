"""The short form of scripts/fault_injection.py: the ledger killed at its work, a full disk, a folder only to read."""

from __future__ import annotations

import importlib.util
import os
import random
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from arsenal.ledger import NO_BACKUPS, Ledger, NoRoom, verify_file
from arsenal.trade.entries import Draft, Kind, Played

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals and limits of POSIX")
SCRIPT = Path(__file__).resolve().parents[2] / "scripts" / "fault_injection.py"


@pytest.fixture(scope="module")
def faults() -> ModuleType:
    spec = importlib.util.spec_from_file_location("fault_injection", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["fault_injection"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def template(faults: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(faults.template_in(tmp_path_factory.mktemp("template")))


@pytest.mark.parametrize("job", ["acts", "backup", "restore"])
def test_killed_at_any_moment_every_acknowledged_act_is_there_and_the_half_done_is_not(
    faults: ModuleType, template: Path, job: str
) -> None:
    tally = faults.kill_at_random(template, job, 3, random.Random(7))  # noqa: S311
    assert tally.broken == []
    assert tally.killed + tally.finished == 3


@pytest.mark.parametrize(
    ("job", "call", "step"), [("acts", "pwrite64", 150), ("migrate", "pwrite64", 25), ("restore", "rename", 1)]
)
def test_killed_at_a_write_the_file_is_whole(
    faults: ModuleType, template: Path, job: str, call: str, step: int
) -> None:
    if not faults.may_trace():
        pytest.skip("strace is not installed or not allowed here")
    tally = faults.at_each_call(template, job, call, "signal=KILL", step)
    assert tally.broken == []
    assert tally.killed >= 1


def test_without_room_for_an_act_it_says_so_and_keeps_what_was(
    faults: ModuleType, template: Path, tmp_path: Path
) -> None:
    """With room for some acts and not for all (a limit on file size), the rest is refused in words."""
    folder = tmp_path / "full"
    shutil.copytree(template, folder)
    limit = (folder / "shop.db").stat().st_size
    tally = faults.Tally()
    faults.judge("acts", folder, faults.start("acts", folder, limit=limit), tally, "no room")
    assert tally.broken == []
    assert tally.refused == 1


def test_a_folder_that_can_only_be_read_is_read_and_never_written(faults: ModuleType, template: Path) -> None:
    if os.geteuid() != 0:
        pytest.skip("a bind mount needs root")
    said = faults.read_only_folder(template)
    if said is None:
        pytest.skip("no bind mount may be made here")
    assert "can only be read here" in said


def test_on_a_disk_without_any_room_a_file_is_still_read_and_copied_away(template: Path, tmp_path: Path) -> None:
    """A reader makes an index of the write-ahead log beside the file (sqlite.org/walformat.html); here it cannot."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mounted, check=False).returncode:  # noqa: S603
        pytest.skip("a small disk needs root")
    try:
        shutil.copy(template / "shop.db", disk)
        (disk / "rest").write_bytes(bytes(shutil.disk_usage(disk).free))
        assert shutil.disk_usage(disk).free == 0
        with Ledger.open(disk / "shop.db", read_only=True) as ledger:
            assert ledger.verify().ok
            ledger.backup(tmp_path / "copy.db")
        assert verify_file(tmp_path / "copy.db").ok
        with pytest.raises(NoRoom, match="is full"):
            Ledger.open(disk / "shop.db")
        (disk / "rest").unlink()
        Ledger.open(disk / "shop.db", backups=NO_BACKUPS).close()
    finally:
        subprocess.run(["umount", str(disk)], check=True)  # noqa: S603, S607


def test_the_judge_itself_notices_a_lost_act_a_half_act_and_a_torn_file(
    faults: ModuleType, template: Path, tmp_path: Path
) -> None:
    """What the checks above rest on: they fail where they should."""
    folder = tmp_path / "lost"
    shutil.copytree(template, folder)
    with pytest.raises(faults.Broken, match="acknowledged up to 9"):
        faults.JOBS["acts"].after(folder, "ack 9\n")
    with Ledger.open(folder / "shop.db", backups=NO_BACKUPS) as ledger, ledger.act("Half") as act:
        act.append(Draft(1, Kind.PLAYED, ledger.entries()[-1].on, Played(1.0), typed="99"))
    with pytest.raises(faults.Broken, match="entries"):
        sys.modules["fault_jobs"].look(folder / "shop.db")
    data = bytearray((folder / "old.db").read_bytes())
    data[data.index(b"Umber")] ^= 1
    (folder / "old.db").write_bytes(data)
    with pytest.raises(faults.Broken):
        sys.modules["fault_jobs"].look(folder / "old.db")
    assert not verify_file(folder / "old.db").ok


def test_threads_take_turns(shop: Any) -> None:
    """Acts and reads of several threads at once: each act whole, each reader between acts."""
    odd: list[int] = []

    def write(n: int) -> None:
        for _ in range(10):
            shop.log(*[shop.played(float(n))] * 3)

    def read() -> None:
        for _ in range(40):
            odd.append(len(shop.ledger.entries()) % 3)
            shop.ledger.search("rook")

    threads = [threading.Thread(target=write, args=(n,)) for n in (1, 2)] + [threading.Thread(target=read)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(odd) == {0}
    assert len(shop.ledger.entries()) == 60
    assert shop.ledger.verify().ok
