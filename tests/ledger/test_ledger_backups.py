"""Backups: whole or not there, thinned without losing the oldest, brought back without losing anything."""

from __future__ import annotations

import os
import shutil
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal.ledger import (
    AlreadyOpen,
    BackupPolicy,
    Damaged,
    Ledger,
    NotOurs,
    Refused,
    backup,
    list_backups,
    newest_good,
    verify_file,
)
from arsenal.ledger.backup import Backup
from arsenal.trade.errors import NotFound

START = datetime(2026, 1, 1, 12, tzinfo=UTC)


def one(shop: Any) -> Ledger:
    """The shop's file open with the usual policy."""
    shop.ledger.close()
    shop.ledger = Ledger.open(shop.path, clock=shop.clock)
    return shop.ledger


def test_a_backup_is_the_file_of_that_moment(shop: Any, tmp_path: Path) -> None:
    shop.log(shop.played(1.0))
    checked = shop.ledger.backup(tmp_path / "out" / "b.db")
    shop.log(shop.played(2.0))
    assert (checked.ok, checked.entries) == (True, 1)
    with Ledger.open(tmp_path / "out" / "b.db", read_only=True) as kept:
        assert [e.payload.games_typed for e in kept.entries()] == [1.0]
        assert kept.balls() == shop.ledger.balls()
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["b.db"]


def test_a_backup_in_the_midst_of_an_act_holds_what_was_kept_before_it(shop: Any, tmp_path: Path) -> None:
    shop.log(shop.played(1.0))
    with shop.ledger.act("Log") as act:
        act.append(shop.played(2.0))
        assert shop.ledger.backup(tmp_path / "b.db").entries == 1
        assert shop.ledger.verify().entries == 1
    assert games(tmp_path / "b.db") == [1.0]
    assert shop.ledger.verify().entries == 2


def test_a_backup_onto_itself_or_into_a_folder_that_is_a_file_is_refused(shop: Any, tmp_path: Path) -> None:
    before = shop.ledger.verify()
    with pytest.raises(Refused, match="the file itself"):
        shop.ledger.backup(shop.path)
    (tmp_path / "f").write_text("x")
    with pytest.raises(Exception, match="could not be written"):
        shop.ledger.backup(tmp_path / "f" / "b.db")
    assert shop.ledger.verify() == before


def test_a_damaged_file_is_not_backed_up_over_a_good_backup(shop: Any, tmp_path: Path) -> None:
    shop.log(shop.played(1.0))
    shop.ledger.backup(tmp_path / "b.db")
    good = (tmp_path / "b.db").read_bytes()
    with shop.ledger._store.writing() as conn:
        conn.execute("UPDATE balls SET data = replace(data, 'Umber', 'Amber')")
    with pytest.raises(Damaged, match="ball number 1"):
        shop.ledger.backup(tmp_path / "b.db")
    assert (tmp_path / "b.db").read_bytes() == good
    assert sorted(p.name for p in tmp_path.iterdir() if p.name.startswith("b.db")) == ["b.db"]


def test_closing_after_a_change_makes_a_backup_and_without_a_change_none(shop: Any) -> None:
    one(shop).close()
    assert len(list_backups(shop.path)) == 1
    one(shop).close()
    assert len(list_backups(shop.path)) == 1
    one(shop)
    shop.log(shop.played())
    shop.ledger.close()
    newest, oldest = list_backups(shop.path)
    assert newest.revision == oldest.revision + 1
    assert all(verify_file(b.path).ok for b in (newest, oldest))


def test_the_newest_backup_that_is_still_good_is_the_one_offered(shop: Any) -> None:
    one(shop).close()
    one(shop)
    shop.log(shop.played())
    shop.ledger.close()
    newest, oldest = list_backups(shop.path)
    assert newest_good(shop.path) == newest
    newest.path.write_bytes(newest.path.read_bytes()[:4096])
    assert newest_good(shop.path) == oldest
    oldest.path.unlink()
    assert newest_good(shop.path) is None


def test_an_empty_file_is_not_backed_up(tmp_path: Path) -> None:
    Ledger.open(tmp_path / "a.db").close()
    assert list_backups(tmp_path / "a.db") == ()


def test_while_open_a_backup_comes_at_most_every_half_hour(shop: Any) -> None:
    ledger = one(shop)
    assert len(ledger.list_backups()) == 1  # the file had none yet
    shop.log(shop.played())
    assert ledger.backup_if_due() is None
    shop.clock.now += timedelta(minutes=31)
    assert ledger.backup_if_due() is not None
    shop.clock.now += timedelta(minutes=31)
    assert ledger.backup_if_due() is None  # nothing changed
    shop.log(shop.played())
    shop.clock.now -= timedelta(days=40)
    made = ledger.backup_if_due()  # a clock set back neither stops backups nor loses the new one
    assert made is not None
    assert made.exists()


def test_an_automatic_backup_that_cannot_be_made_is_told_and_stops_nothing(shop: Any) -> None:
    shop.path.with_name("shop.db.backups").write_text("a file in the way")
    ledger = one(shop)
    assert ledger.backup_problem is not None
    assert ledger.backup_problem.sentence
    shop.log(shop.played())
    ledger.close()


def test_a_broken_off_backup_is_cleared_away_and_never_listed(shop: Any) -> None:
    folder = shop.path.with_name("shop.db.backups")
    folder.mkdir()
    (folder / "new.part-12").write_bytes(b"half")
    (folder / "notes.txt").write_text("mine")
    one(shop).close()
    assert sorted(p.suffix for p in folder.iterdir()) == [".db", ".txt"]


moments = st.lists(st.integers(0, 4 * 365 * 24 * 60), min_size=1, max_size=60, unique=True)


@settings(deadline=None)
@given(minutes=moments)
def test_thinning_keeps_the_oldest_the_newest_and_the_last_of_recent_days_weeks_and_months(minutes: list[int]) -> None:
    policy = BackupPolicy()
    have = [Backup(Path(f"{m}.db"), START + timedelta(minutes=m), n, 1) for n, m in enumerate(sorted(minutes))]
    stay = policy.keep(have)
    assert {have[0].path, have[-1].path} <= stay
    assert len(stay) <= policy.newest + policy.days + policy.weeks + policy.months + 1
    assert policy.keep([b for b in have if b.path in stay]) == stay  # thinning again takes nothing more
    for of, count in (("%Y-%j", policy.days), ("%G-%V", policy.weeks), ("%Y-%m", policy.months)):
        spans = sorted({b.at.strftime(of) for b in have}, reverse=True)[:count]
        assert set(spans) <= {b.at.strftime(of) for b in have if b.path in stay}


def test_a_year_of_daily_backups_is_thinned_one_by_one_as_it_would_be_at_once() -> None:
    policy, kept = BackupPolicy(), []
    for day in range(400):
        kept.append(Backup(Path(f"{day}.db"), START + timedelta(days=day), day, 1))
        stay = policy.keep(kept)
        kept = [b for b in kept if b.path in stay]
    assert kept[0].revision == 0
    assert len(kept) <= 40
    assert [b.revision for b in kept[-14:]] == list(range(386, 400))
    ages = [399 - b.revision for b in kept]
    assert sum(1 for age in ages if 100 <= age < 390) >= 8  # about one a month


# ---- restore --------------------------------------------------------------------------------------------------------


@pytest.fixture
def backed_up(shop: Any, tmp_path: Path) -> Path:
    shop.log(shop.played(1.0))
    shop.ledger.backup(tmp_path / "b.db")
    shop.log(shop.played(2.0))
    shop.ledger.close()
    return tmp_path / "b.db"


def games(path: Path) -> list[float]:
    with Ledger.open(path, read_only=True) as ledger:
        assert ledger.verify().ok
        return [e.payload.games_typed for e in ledger.entries()]  # type: ignore[union-attr]


def test_restoring_brings_the_backup_back_and_keeps_the_replaced_file(shop: Any, backed_up: Path) -> None:
    kept = Ledger.restore(backed_up, shop.path)
    assert kept is not None
    assert games(shop.path) == [1.0]
    assert games(kept) == [1.0, 2.0]
    shop.reopen()
    shop.log(shop.played(5.0))
    shop.ledger.close()
    assert games(shop.path) == [1.0, 5.0]
    assert games(backed_up) == [1.0]


def test_restoring_where_nothing_is_yet_makes_the_file(backed_up: Path, tmp_path: Path) -> None:
    assert Ledger.restore(backed_up, tmp_path / "other" / "new.db") is None
    assert games(tmp_path / "other" / "new.db") == [1.0]


def test_restoring_over_an_open_file_is_refused(shop: Any, backed_up: Path) -> None:
    shop.reopen()
    with pytest.raises(AlreadyOpen):
        Ledger.restore(backed_up, shop.path)
    assert len(shop.ledger.entries()) == 2


def test_a_bad_or_half_backup_is_refused_and_the_present_file_untouched(shop: Any, backed_up: Path) -> None:
    present, whole = shop.path.read_bytes(), backed_up.read_bytes()
    words = whole.find(b"rook 3g")
    spoilt = {
        "half": whole[: len(whole) // 2 // 4096 * 4096], "empty": b"", "text": b"x" * 9000,
        "flipped": whole[:words] + bytes([whole[words] ^ 1]) + whole[words + 1 :],
    }  # fmt: skip
    for data in spoilt.values():
        backed_up.write_bytes(data)
        with pytest.raises((Damaged, NotOurs)):
            Ledger.restore(backed_up, shop.path)
        assert shop.path.read_bytes() == present
        assert backed_up.read_bytes() == data
    with pytest.raises(NotFound):
        Ledger.restore(backed_up.with_name("none.db"), shop.path)
    assert not [p for p in shop.path.parent.iterdir() if "replaced" in p.name or "part" in p.name]


def test_restoring_over_a_damaged_file_with_a_log_of_its_own_keeps_both(shop: Any, backed_up: Path) -> None:
    shop.path.write_bytes(os.urandom(8192))
    wal = shop.path.with_name("shop.db-wal")
    wal.write_bytes(b"left over")
    kept = Ledger.restore(backed_up, shop.path)
    assert kept is not None
    assert kept.stat().st_size == 8192
    assert kept.with_name(kept.name + "-wal").read_bytes() == b"left over"
    assert games(shop.path) == [1.0]


def test_a_write_ahead_log_left_by_a_crash_never_meets_the_restored_file(
    shop: Any, backed_up: Path, tmp_path: Path
) -> None:
    shop.reopen()
    shop.log(shop.played(3.0))
    crashed = tmp_path / "crashed"
    crashed.mkdir()
    for end in ("", "-wal"):
        shutil.copyfile(f"{shop.path}{end}", crashed / f"shop.db{end}")
    kept = Ledger.restore(backed_up, crashed / "shop.db")
    assert kept is not None
    assert games(crashed / "shop.db") == [1.0]
    assert games(kept) == [1.0, 2.0, 3.0]


def test_restoring_never_pushes_out_a_backup(shop: Any) -> None:
    one(shop).close()
    (oldest,) = list_backups(shop.path)
    for _ in range(8):
        Ledger.restore(oldest.path, shop.path, clock=shop.clock)
        one(shop)
        shop.log(shop.played())
        shop.clock.now += timedelta(minutes=31)
        shop.ledger.close()
    assert oldest in list_backups(shop.path)
    assert verify_file(oldest.path).ok


def test_two_histories_of_one_revision_are_two_backups(shop: Any) -> None:
    one(shop).close()
    (first,) = list_backups(shop.path)
    for games_played in (1.0, 2.0):
        Ledger.restore(first.path, shop.path, clock=shop.clock)
        one(shop)
        shop.log(shop.played(games_played))
        shop.ledger.close()
    assert [b.revision for b in list_backups(shop.path)] == [2, 2, 1]
    assert backup.folder_of(shop.path).name == "shop.db.backups"


def test_a_backup_is_one_file_that_any_reader_of_its_format_opens(shop: Any, backed_up: Path) -> None:
    conn = sqlite3.connect(f"file:{backed_up}?mode=ro&immutable=1", uri=True)
    assert conn.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert conn.execute("PRAGMA foreign_key_check").fetchall() == []
    assert conn.execute("SELECT ball, owner, kind, typed FROM history").fetchall() == [
        ("Umber Kestrel", "Wren Tallow", "played", "rook 3g")
    ]
    assert conn.execute("SELECT name, owner FROM ball_list").fetchall() == [
        ("Umber Kestrel", "Wren Tallow"), ("Slate Heron", "Wren Tallow"),
    ]  # fmt: skip
    conn.close()


def test_a_large_file_is_open_before_its_backup_is_made_and_closed_after_it(shop: Any) -> None:
    shop.log(shop.played(3.0))
    shop.ledger.close()
    with Ledger.open(shop.path, clock=shop.clock, backups=BackupPolicy(small=1, at_close=False)) as ledger:
        assert ledger.head_seq == 1
    assert len(ledger.list_backups()) == 1
    assert verify_file(ledger.list_backups()[0].path).ok
