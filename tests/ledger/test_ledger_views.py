"""The file read by a program that knows nothing of ours: its views say what is on the balls, what is due, what was."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

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
