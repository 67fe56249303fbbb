"""Files that are not opened: the reason in a sentence, their bytes as they were."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from arsenal.ledger import (
    NO_BACKUPS,
    AlreadyOpen,
    Damaged,
    Ledger,
    Moved,
    Newer,
    NotOurs,
    OnNetwork,
    Refused,
    files,
    schema,
    verify_file,
)
from arsenal.ledger.errors import ReadOnly, translated
from arsenal.trade.errors import NotFound


def _sql(*statements: str) -> Callable[[Path], object]:
    def write(path: Path) -> None:
        conn = sqlite3.connect(path, isolation_level=None)
        conn.execute("PRAGMA writable_schema = ON")
        for statement in statements:
            conn.execute(statement)
        conn.close()

    return write


def _foreign(path: Path) -> None:
    path.unlink()
    _sql("CREATE TABLE log (seq INTEGER PRIMARY KEY, words TEXT)", "INSERT INTO log VALUES (1, 'theirs')")(path)


def _cut(path: Path, to: float | int) -> None:
    size = path.stat().st_size
    os.truncate(path, to if isinstance(to, int) else int(size * to) // 4096 * 4096)


GUARD = next(sql for sql in schema.STEPS[0] if "log_never_deleted" in sql)
FILES: dict[str, tuple[type[Refused], str, Callable[[Path], object]]] = {
    "an empty file": (NotOurs, "is empty", lambda p: p.write_bytes(b"")),
    "a text file": (NotOurs, "not a database", lambda p: p.write_text("ball,games\nrook,3\n" * 50)),
    "a picture's bytes": (NotOurs, "not a database", lambda p: p.write_bytes(os.urandom(5000))),
    "a header and nothing else": (NotOurs, "not a database", lambda p: _cut(p, 60)),
    "another program's database": (NotOurs, "another program", _foreign),
    "a file of a newer version": (Newer, "newer version", _sql("PRAGMA user_version = 99")),
    "a file cut in a page": (Damaged, "cut short", lambda p: _cut(p, p.stat().st_size - 100)),
    "a file cut at a page": (Damaged, "cut short", lambda p: _cut(p, 0.5)),
    "its first page alone": (Damaged, "cut short", lambda p: _cut(p, 4096)),
    "a strange trigger": (
        Damaged, "trigger “t”", _sql("CREATE TRIGGER t AFTER INSERT ON log BEGIN DELETE FROM acts; END"),
    ),
    "a strange view": (Damaged, "view “v”", _sql("CREATE VIEW v AS SELECT load_extension('x') FROM log")),
    "a view in the place of ours": (
        Damaged, "view “history”", _sql("DROP VIEW history", "CREATE VIEW history AS SELECT randomblob(1e9) FROM log"),
    ),
    "a strange table": (Damaged, "table “extra”", _sql("CREATE TABLE extra (a)")),
    "a strange index": (Damaged, "index “i”", _sql("CREATE INDEX i ON log (abs(seq))")),
    "a trigger named as if it were the database's own": (
        Damaged, "trigger “sqlite_stat1”",
        _sql("INSERT INTO sqlite_master VALUES ('trigger', 'sqlite_stat1', 'log', 0, "
             "'CREATE TRIGGER sqlite_stat1 AFTER INSERT ON log BEGIN DELETE FROM meta; END')"),
    ),
    "a guard removed": (Damaged, "lacks trigger “log_never_updated”", _sql("DROP TRIGGER log_never_updated")),
    "a table with a loosened column": (
        Damaged, "table “acts”", _sql("UPDATE sqlite_master SET sql = replace(sql, 'title TEXT NOT NULL', "
        "'title TEXT') WHERE name = 'acts'"),
    ),
    "a log that lost its end": (
        Damaged, "entry 2 was noted", _sql("DROP TRIGGER log_never_deleted", "DELETE FROM log WHERE seq = 2", GUARD),
    ),
}  # fmt: skip


@pytest.fixture
def logged_file(shop: Any) -> Path:
    shop.log(shop.played(1.0), shop.played(2.0))
    shop.ledger.close()
    return Path(shop.path)


@pytest.mark.parametrize("read_only", [False, True])
@pytest.mark.parametrize("name", FILES)
def test_it_is_refused_with_the_reason_and_its_bytes_unchanged(logged_file: Path, name: str, read_only: bool) -> None:
    cls, words, spoil = FILES[name]
    spoil(logged_file)
    before, files_before = logged_file.read_bytes(), {p.name for p in logged_file.parent.iterdir()}
    with pytest.raises(cls, match=words) as refused:
        Ledger.open(logged_file, read_only=read_only)
    assert logged_file.read_bytes() == before
    assert {p.name for p in logged_file.parent.iterdir()} <= files_before | {"shop.db.lock"}
    assert logged_file.name in refused.value.sentence
    assert refused.value.safe == "The file was left as it is."
    assert refused.value.next_step
    assert Ledger.holder(logged_file) is None
    checked = verify_file(logged_file)
    assert not checked.ok
    assert logged_file.read_bytes() == before


def test_a_missing_file_is_made_only_where_that_was_asked(tmp_path: Path) -> None:
    path = tmp_path / "sub" / "new.db"
    for how in ({"create": False}, {"read_only": True}):
        with pytest.raises(NotFound):
            Ledger.open(path, **how)
    assert not path.parent.exists()
    with Ledger.open(path) as ledger:
        assert ledger.verify().ok
        assert ledger.revision == 0
    assert [p.name for p in path.parent.iterdir() if "lock" not in p.name] == ["new.db"]


def test_two_names_for_one_file_meet_the_same_lock(shop: Any, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    other.symlink_to(shop.path)
    with pytest.raises(AlreadyOpen):
        Ledger.open(other)
    assert Ledger.door_name(other) == Ledger.door_name(shop.path)


def test_a_file_moved_away_while_open_takes_no_more_acts(shop: Any, tmp_path: Path) -> None:
    shop.path.rename(tmp_path / "elsewhere.db")
    with pytest.raises(Moved, match="moved or replaced"), shop.ledger.act("Log"):
        pass
    shutil.copyfile(tmp_path / "elsewhere.db", shop.path)
    with pytest.raises(Moved), shop.ledger.act("Log"):
        pass
    (tmp_path / "elsewhere.db").replace(shop.path)
    shop.log(shop.played())


def test_what_a_killed_program_left_half_made_is_cleared_away(shop: Any) -> None:
    shop.ledger.close()
    folder = shop.path.parent
    for name in ("shop.db.new-12", "shop.db.new-12-journal", "shop.db.part-9", "shop2.db.part-9", "shop.db.mine"):
        (folder / name).write_text("half")
    shop.reopen()
    assert {p.name for p in folder.iterdir() if "shop" in p.name and "-wal" not in p.name and "-shm" not in p.name} == {
        "shop.db", "shop.db.lock", "shop2.db.part-9", "shop.db.mine",
    }  # fmt: skip


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(NotOurs):
        Ledger.open(tmp_path)


@pytest.mark.skipif(os.name == "nt", reason="file modes of POSIX")
def test_only_the_owner_can_read_the_file_its_log_and_its_backups(tmp_path: Path) -> None:
    os.umask(0)
    try:
        with Ledger.open(tmp_path / "a.db") as ledger:
            with ledger.act("x") as act:
                act.set_setting("a", 1)
            ledger.backup(tmp_path / "b.db")
            during = list(tmp_path.iterdir())
            assert {"a.db-wal", "a.db-shm"} <= {p.name for p in during}
            assert {stat.S_IMODE(p.stat().st_mode) for p in during} == {0o600}
        (own,) = ledger.list_backups()
        assert stat.S_IMODE(own.path.stat().st_mode) == 0o600
        assert stat.S_IMODE(own.path.parent.stat().st_mode) == 0o700
    finally:
        os.umask(0o022)


def test_every_guard_of_the_connection_is_set(shop: Any) -> None:
    conn = shop.ledger._store.db.conn

    def say(name: str) -> object:
        return conn.execute(f"PRAGMA {name}").fetchone()[0]

    assert say("journal_mode") == "wal"
    assert say("synchronous") == 2  # FULL
    assert (say("foreign_keys"), say("trusted_schema"), say("secure_delete"), say("recursive_triggers")) == (1, 0, 1, 1)
    assert say("application_id") == int.from_bytes(b"PADB")
    strict = conn.execute("SELECT name FROM pragma_table_list WHERE type = 'table' AND schema = 'main' AND NOT strict")
    assert {name for (name,) in strict} <= {"sqlite_schema", "sqlite_sequence"}


def test_a_network_folder_is_refused_for_writing(shop: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.ledger.close()
    monkeypatch.setattr(files, "on_network", lambda folder: folder == shop.path.parent)
    with pytest.raises(OnNetwork, match="network folder"):
        Ledger.open(shop.path)
    with pytest.raises(OnNetwork):
        Ledger.open(shop.path.parent / "new.db")
    with Ledger.open(shop.path, read_only=True) as ledger:
        assert ledger.balls()


MOUNTS = """overlay / 9p rw 0 0
proc /proc proc rw 0 0
/dev/sda1 /home ext4 rw 0 0
server:/set /home/wren/shared nfs4 rw 0 0
//box/shop /mnt/the\\040shop cifs rw 0 0
/dev/sdb /home/wren/shared/disk ext4 rw 0 0
nonsense
"""


@pytest.mark.parametrize(
    ("folder", "network"),
    [
        ("/home/wren", False), ("/home/wren/shared", True), ("/home/wren/shared/a", True),
        ("/home/wren/sharedness", False),
        ("/home/wren/shared/disk/a", False), ("/mnt/the shop/x", True), ("/srv", False), ("/", False),
    ],
)  # fmt: skip
def test_the_innermost_mount_says_whether_a_folder_is_on_the_network(folder: str, network: bool) -> None:
    assert files._network_mount(folder, MOUNTS) is network


def test_this_folder_is_on_this_machine(tmp_path: Path) -> None:
    assert files.on_network(tmp_path) is False


def test_an_open_file_moved_on_by_another_connection_opens_again(shop: Any, tmp_path: Path) -> None:
    """A file with a write-ahead log still beside it, as a killed program leaves it, loses nothing."""
    shop.log(shop.played(1.0))
    left = tmp_path / "left"
    left.mkdir()
    for end in ("", "-wal"):
        shutil.copyfile(f"{shop.path}{end}", left / f"shop.db{end}")
    assert (left / "shop.db-wal").stat().st_size > 0
    with Ledger.open(left / "shop.db", backups=NO_BACKUPS) as ledger:
        assert ledger.entries() == shop.ledger.entries()
        assert ledger.verify().ok


def test_a_copy_that_is_not_there_is_told_and_a_folder_is_none(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="There is no file"):
        Ledger.look_over(tmp_path / "none.padbook", tmp_path / "here.padbook")
    with pytest.raises(NotOurs, match="is not a file"):
        Ledger.look_over(tmp_path, tmp_path / "here.padbook")


def test_a_file_that_may_not_be_read_is_refused_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the system says it to whoever has no right to read (EACCES, POSIX `open`); root reads everything."""
    path = tmp_path / "shop.padbook"
    Ledger.open(path).close()

    def refuse(*_args: object, **_named: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(Refused, match=r"cannot be read: Permission denied\."):
        Ledger.open(path)


@pytest.mark.parametrize("number", [errno.EACCES, errno.EPERM, errno.EROFS])
def test_a_place_that_can_only_be_read_is_told_as_such(number: int) -> None:
    known = translated(OSError(number, os.strerror(number)), Path("shop.padbook"))
    assert isinstance(known, ReadOnly)
    assert "permissions" in known.next_step
