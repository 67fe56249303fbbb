"""From one version of the file to the next: whole or not at all, with a backup before."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from arsenal.ledger import NO_BACKUPS, Damaged, Ledger, Newer, list_backups, schema, verify_file
from arsenal.trade.entries import Step
from arsenal.trade.pads import Recipe

GOOD = (
    "CREATE TABLE stubs (id INTEGER PRIMARY KEY, words TEXT NOT NULL) STRICT",
    "INSERT INTO stubs SELECT id, title FROM acts",
    "CREATE INDEX stubs_words ON stubs (words)",
)
FAILS = (*GOOD, "INSERT INTO stubs VALUES (1, 'again')")
LOSES = (*GOOD, "INSERT INTO log (seq, ball_id) SELECT 1, 1")


@pytest.fixture
def older(shop: Any) -> Path:
    """A closed file of the version before."""
    shop.log(shop.played(1.0), shop.played(2.0))
    shop.ledger.close()
    return Path(shop.path)


def step(monkeypatch: pytest.MonkeyPatch, statements: tuple[str, ...]) -> None:
    monkeypatch.setattr(schema, "STEPS", [*schema.STEPS, statements])


def test_an_older_file_is_brought_up_to_date_after_a_verified_backup(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    step(monkeypatch, GOOD)
    with Ledger.open(older, backups=NO_BACKUPS) as ledger:
        assert len(ledger.entries()) == 2
        assert ledger.verify().ok
        (kept,) = ledger.list_backups()
    conn = sqlite3.connect(older)
    assert conn.execute("PRAGMA user_version").fetchone() == (len(schema.STEPS),)
    assert conn.execute("SELECT count(*) FROM stubs").fetchone() == (2,)
    conn.close()
    assert verify_file(kept.path).ok
    conn = sqlite3.connect(kept.path)
    assert conn.execute("PRAGMA user_version").fetchone() == (len(schema.STEPS) - 1,)
    conn.close()


def test_a_file_from_before_there_were_recipes_keeps_one_once_it_is_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(schema, "STEPS", schema.STEPS[:1])
        Ledger.open(tmp_path / "old.db", backups=NO_BACKUPS).close()
    with Ledger.open(tmp_path / "old.db", backups=NO_BACKUPS) as ledger:
        assert ledger.recipes() == ()
        with ledger.act("Add") as act:
            kept = act.put(Recipe("500", (Step(number=500.0),)))
        assert ledger.recipes() == (kept,)
        assert ledger.verify().ok


@pytest.mark.parametrize("statements", [FAILS, LOSES])
def test_a_step_that_fails_leaves_the_file_of_its_old_version(
    older: Path, monkeypatch: pytest.MonkeyPatch, statements: tuple[str, ...]
) -> None:
    before = older.read_bytes()
    with monkeypatch.context() as patch:
        step(patch, statements)
        with pytest.raises(sqlite3.IntegrityError):
            Ledger.open(older, backups=NO_BACKUPS)
    assert older.read_bytes() == before
    with Ledger.open(older, backups=NO_BACKUPS) as ledger:
        assert len(ledger.entries()) == 2
        assert ledger.verify().ok


def test_without_room_for_the_backup_nothing_is_migrated(older: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = older.read_bytes()
    older.with_name("shop.db.backups").write_text("in the way")
    step(monkeypatch, GOOD)
    with pytest.raises(Exception, match="could not be written"):
        Ledger.open(older)
    assert older.read_bytes() == before


def test_a_reader_does_not_migrate(older: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = older.read_bytes()
    step(monkeypatch, GOOD)
    with pytest.raises(Newer, match="earlier version"):
        Ledger.open(older, read_only=True)
    assert older.read_bytes() == before
    assert list_backups(older) == ()


def test_a_backup_of_an_older_version_can_be_brought_back(older: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    step(monkeypatch, GOOD)
    Ledger.open(older, backups=NO_BACKUPS).close()
    (kept,) = list_backups(older)
    Ledger.restore(kept.path, older)
    with Ledger.open(older, backups=NO_BACKUPS) as ledger:
        assert len(ledger.entries()) == 2
        assert ledger.verify().ok


def test_a_file_whose_tables_do_not_fit_its_number_is_refused(older: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    step(monkeypatch, GOOD)
    conn = sqlite3.connect(older)
    conn.execute(f"PRAGMA user_version = {len(schema.STEPS)}")
    conn.close()
    before = older.read_bytes()
    with pytest.raises(Damaged, match="lacks"):
        Ledger.open(older)
    assert older.read_bytes() == before


def test_no_step_commits_by_itself() -> None:
    """`executescript`, COMMIT and VACUUM would end the transaction a step runs in."""
    for statements in schema.STEPS:
        for statement in statements:
            head = statement.split()[0].upper()
            assert head in {"CREATE", "ALTER", "DROP", "INSERT", "UPDATE", "DELETE"}
            assert sqlite3.complete_statement(statement + ";")
