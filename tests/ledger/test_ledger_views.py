"""The file read by a program that knows nothing of ours: its views say what is on the balls, what is due, what was."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from arsenal.ledger import NO_BACKUPS, Ledger, NowBall, NowDue
from arsenal.trade.person import Person


def test_any_sqlite_reader_sees_balls_now_what_is_due_and_the_history(shop: Any) -> None:
    shop.log(shop.played(3.0))
    now = NowBall(1, "2026-03-14", "1000 h", "2026-03-01", 2100.0, 1800.0, 2500.0, 3.0, 1.5, "owned")
    shop.ledger.keep_now([now], [NowDue(1, "2026-03-14", "clean", "due", "2026-03-14", "played, not cleaned")])
    shop.ledger.keep_now([now], [NowDue(1, "2026-03-14", "clean", "due", "2026-03-14", "played, not cleaned")])
    assert shop.ledger.verify().ok
    shop.ledger.close()
    conn = sqlite3.connect(f"file:{shop.path}?mode=ro", uri=True)
    assert conn.execute("SELECT ball, owner, finish, plays_about_grit FROM balls_now").fetchall() == [
        ("Umber Kestrel", "Wren Tallow", "1000 h", 2100.0)
    ]
    assert conn.execute("SELECT ball, job, by_day FROM due").fetchall() == [("Umber Kestrel", "clean", "2026-03-14")]
    assert conn.execute("SELECT ball, kind, typed FROM history").fetchall() == [("Umber Kestrel", "played", "rook 3g")]
    conn.close()


def test_a_file_another_program_has_set_otherwise_lets_readers_and_the_writer_work_at_once_again(
    tmp_path: Path,
) -> None:
    path = tmp_path / "shop.db"
    Ledger.open(path, backups=NO_BACKUPS).close()
    with closing(sqlite3.connect(path)) as other:
        assert other.execute("PRAGMA journal_mode = DELETE").fetchone() == ("delete",)
    with Ledger.open(path, backups=NO_BACKUPS) as ledger, closing(sqlite3.connect(path)) as other:
        assert other.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM log").fetchone()
        with ledger.act("Meanwhile") as act:
            act.put(Person(0, "Ilse Varga"))
        assert len(ledger.people()) == 1


TAKE = "import fcntl, sys; fcntl.lockf(open(sys.argv[1], 'r+b'), fcntl.LOCK_EX | fcntl.LOCK_NB, 510, 0x40000002)"


@pytest.mark.skipif(sys.platform == "win32", reason="locks of POSIX")
def test_going_over_an_open_file_leaves_its_locks(tmp_path: Path) -> None:
    """Bytes 0x40000002 on are those a reader holds (sqlite.org/fileformat2.html and os_unix.c, `SHARED_FIRST`); closing
    any other handle on the file would drop them (POSIX `fcntl`), and the next reader to end would take the write-ahead
    log away.
    """

    def held() -> bool:
        return subprocess.run([sys.executable, "-c", TAKE, str(path)], capture_output=True).returncode != 0  # noqa: PLW1510, S603

    path = tmp_path / "shop.db"
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        with ledger.act("First") as act:
            act.put(Person(0, "Ilse Varga"))
        assert held()
        assert ledger.verify().ok
        assert held()
        ledger.backup(tmp_path / "copy.db")
        assert Ledger.look_over(path, tmp_path / "none.db").handing is None
        assert held()
