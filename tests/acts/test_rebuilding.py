"""A file made again from its lines is equal in every table, by plain SQL on both; only acts and chain differ."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from made_shop import NOW, Clock, opened

from arsenal.acts import files, logging, undo
from arsenal.acts.shop import Shop
from arsenal.desk.worker import Stopped
from arsenal.exchange import json_lines
from arsenal.ledger import verify_file
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person
from arsenal.trade.ticket import Photo, Standing, TakenIn, Ticket

DERIVED = {"acts", "act_changes", "meta", "erased", "state_cache", "now_balls", "now_due", "sqlite_stat1"}
"""Acts are the new file's own; the rest of these can be worked out again."""
CHAIN = {"act_id", "salt", "body_hash", "prev_hash", "hash"}
PICTURE = bytes(range(256)) * 4000


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every table's rows in order, apart from what is the new file's own."""
    with closing(sqlite3.connect(path)) as conn:
        tables = [name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = {}
        for table in tables:
            if table in DERIVED or table.startswith("find_"):
                continue
            columns = [row[1] for row in conn.execute(f"PRAGMA table_info({table})") if row[1] not in CHAIN]
            rows = conn.execute(f"SELECT {', '.join(columns)} FROM {table}").fetchall()  # noqa: S608
            found[table] = sorted(rows, key=repr)
    sequences = dict(found.pop("sqlite_sequence"))
    found["numbers given out"] = sorted((k, v) for k, v in sequences.items() if k != "acts")
    return found


@pytest.fixture
def lived(shop: Shop) -> Shop:
    """A shop in which records were removed, entries taken back, tickets numbered with gaps, pictures taken."""
    logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    undo.undo(shop)
    logging.thrown(shop, 1, 14)
    ledger, noted = shop.ledger, replace(shop.ball(5), note="plain, “quoted”, =1+1 \U0001f3b3")
    with ledger.act("A day at the counter") as act:
        gone = act.put(Person(0, "Gone Again"))
        act.put(noted)
        act.put(Ticket(0, Standing.READY, NOW, 1, balls=(TakenIn(1, "crack by thumb"),)))
        late = act.put(Ticket(0, Standing.PARKED, NOW, name="nobody"))
        act.keep_photo(Photo(0, date(2026, 11, 24), "crack", ball_id=1), PICTURE)
        act.set_setting("bench", {"first": 1})
    with ledger.act("Take away") as act:
        act.remove("person", gone.id)
        act.remove("ticket", late.id)
        act.remove("ball", 5)
    ledger.keep_result("bag card", {"boards": [1.5, -2.0]})
    ledger.keep_result("plan", {"week": 3})
    ledger.mark()
    return shop


def test_a_file_made_again_from_its_lines_is_equal_in_every_table(lived: Shop, tmp_path: Path, clock: Clock) -> None:
    files.dump(lived, tmp_path / "out")
    again = tmp_path / "again.padbook"
    report = files.rebuild(tmp_path / "out" / files.LINES, again, clock=clock)
    path, mark, revision = lived.path, lived.ledger.mark(), lived.revision
    lived.close()
    assert report.balls == 4
    assert content(again) == content(path)
    assert verify_file(again).ok
    with opened(again, clock) as made:
        assert made.ledger.mark() == mark
        assert made.revision == revision + 1
        assert made.ledger.photo(1) == PICTURE
        assert undo.can_undo(made) is None


def test_a_ticket_number_is_never_given_twice_by_a_file_made_again(lived: Shop, tmp_path: Path, clock: Clock) -> None:
    files.dump(lived, tmp_path / "out")
    files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=clock)
    with opened(tmp_path / "again.padbook", clock) as made:
        assert [t.id for t in made.every(Ticket)] == [1]
        with made.ledger.act("Take in") as act:
            assert act.put(Ticket(0, Standing.IN, NOW)).id == 3  # 2 was parked and thrown away


def test_lines_of_which_a_photograph_does_not_fit_its_record_make_no_file(
    lived: Shop, tmp_path: Path, clock: Clock
) -> None:
    whole = files._whole(lived, lived.ledger.entries())
    files.json_lines.write(tmp_path / "odd.jsonl", whole, [(1, b"another picture")])
    with pytest.raises(KnownError, match="Photograph number 1"):
        files.rebuild(tmp_path / "odd.jsonl", tmp_path / "again.padbook", clock=clock)
    assert not (tmp_path / "again.padbook").exists()


def test_a_file_made_again_twice_is_still_the_same(lived: Shop, tmp_path: Path, clock: Clock) -> None:
    files.dump(lived, tmp_path / "one")
    files.rebuild(tmp_path / "one" / files.LINES, tmp_path / "b.padbook", clock=clock)
    with opened(tmp_path / "b.padbook", clock) as made:
        files.dump(made, tmp_path / "two")
    files.rebuild(tmp_path / "two" / files.LINES, tmp_path / "c.padbook", clock=clock)
    assert content(tmp_path / "c.padbook") == content(tmp_path / "b.padbook")


def test_lines_are_of_one_moment_whatever_another_process_writes_meanwhile(
    lived: Shop, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another connection writes after the entries were read and before the settings are."""
    rows = lived.ledger.rows

    def late(*given: object, **more: object) -> object:
        with closing(sqlite3.connect(lived.path)) as other, other:
            other.execute("INSERT INTO settings (key, value, sum) VALUES (hex(randomblob(4)), '1', 0)")
        return rows(*given, **more)  # type: ignore[arg-type]

    before = lived.ledger.settings()
    monkeypatch.setattr(lived.ledger, "rows", late)
    files.dump(lived, tmp_path / "out")
    assert files.json_lines.read(tmp_path / "out" / files.LINES).settings == before
    assert len(lived.ledger.settings()) > len(before)


def stopping_at(share: float) -> Callable[[float], None]:
    def stop(now: float) -> None:
        if now >= share:
            raise Stopped

    return stop


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6])
def test_a_making_that_is_stopped_on_the_way_leaves_no_file(
    lived: Shop, tmp_path: Path, clock: Clock, share: float
) -> None:
    files.dump(lived, tmp_path / "out")
    with pytest.raises(Stopped):
        files.rebuild(
            tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=clock, tell=stopping_at(share)
        )  # fmt: skip
    assert not [path for path in tmp_path.iterdir() if "again" in path.name or "making" in path.name]


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5])
def test_a_dump_that_is_stopped_leaves_no_half_file_and_no_workbook(lived: Shop, tmp_path: Path, share: float) -> None:
    with pytest.raises(Stopped):
        files.dump(lived, tmp_path / "out", xlsx=True, tell=stopping_at(share))
    left = {path.name for path in (tmp_path / "out").iterdir()}
    assert left <= {files.LINES}
    if left:
        json_lines.read(tmp_path / "out" / files.LINES)


def test_a_file_made_again_says_what_is_on_every_ball_to_other_programs(
    lived: Shop, tmp_path: Path, clock: Clock
) -> None:
    files.dump(lived, tmp_path / "out")
    files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=clock)
    with closing(sqlite3.connect(tmp_path / "again.padbook")) as conn:
        (lines,) = conn.execute("SELECT count(*) FROM balls_now").fetchone()
    assert lines == len(lived.balls())


@pytest.mark.parametrize(
    ("word", "change"), [("ball", {"owner_id": 999}), ("photo bytes", {"photo": 77}), ("entry", {"ball": 999})]
)
def test_lines_that_name_what_is_not_there_make_no_file(
    lived: Shop, tmp_path: Path, clock: Clock, word: str, change: dict[str, int]
) -> None:
    """A foot that fits them was put under the changed lines, as somebody would who does it on purpose."""
    files.dump(lived, tmp_path / "out")
    path = tmp_path / "out" / files.LINES
    found = [json.loads(line) for line in path.read_text("utf-8").splitlines()[:-1]]
    next(line for line in found if line["is"] == word).update(change)
    raw = b"".join(json.dumps(line, sort_keys=True, separators=(",", ":")).encode() + b"\n" for line in found)
    foot = {"is": "foot", "lines": len(found), "sha256": hashlib.sha256(raw).hexdigest()}
    path.write_bytes(raw + json.dumps(foot).encode() + b"\n")
    with pytest.raises(KnownError, match=r"not there|no ball"):
        files.rebuild(path, tmp_path / "again.padbook", clock=clock)
    assert not [left for left in tmp_path.iterdir() if "again" in left.name or "making" in left.name]
