"""resources/file.md tells of every table, view and column that SQLite itself finds in a file."""

from __future__ import annotations

import re
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlite_utils import Database

from arsenal.ledger import schema


@pytest.fixture
def conn() -> Iterator[sqlite3.Connection]:
    db = Database(memory=True, execute_plugins=False)
    schema.apply(db, 0, schema.version())
    yield db.conn
    db.close()


def names(conn: sqlite3.Connection, kind: str) -> set[str]:
    found = conn.execute("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = ?", (kind,))
    return {str(name) for (name,) in found if not str(name).startswith("sqlite_")}


def test_the_pages_are_as_their_script_writes_them(repository: Path) -> None:
    script = repository / "scripts" / "describe.py"
    done = subprocess.run(  # noqa: S603 - our own script
        [sys.executable, str(script), "--check"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_no_table_view_or_column_is_left_out(repository: Path, conn: sqlite3.Connection) -> None:
    page = (repository / "resources" / "file.md").read_text("utf-8")
    told = dict(re.findall(r"^### `(\w+)`\n(.*?)(?=^##)", page, re.MULTILINE | re.DOTALL))
    assert set(told) == names(conn, "table") | names(conn, "virtual")
    for table, words in told.items():
        columns = [str(row[1]) for row in conn.execute(f"PRAGMA table_info({table})")]
        left = set(columns) - {"id", "data", "sum", "gone"} if {"data", "gone"} <= set(columns) else set(columns)
        assert left <= set(re.findall(r"^\| `(\w+)` \|", words, re.MULTILINE)), table
    views = page.partition("## Views")[2].partition("## Tables")[0]
    assert set(re.findall(r"^\| `(\w+)` \|", views, re.MULTILINE)) == names(conn, "view")
    assert f"version {schema.version()} of its tables" in page
