"""What is on each ball and what is due, as plain tables for other programs: which lines are behind; writing them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import asdict

from arsenal.ledger.results import NowBall, NowDue

_LAST_LOGGED = "(SELECT at FROM log WHERE ball_id = balls.id ORDER BY seq DESC LIMIT 1)"
_LAST_CHANGED = """(SELECT acts.at FROM act_changes JOIN acts ON acts.id = act_changes.act_id
WHERE act_changes.what = 'ball' AND act_changes.record_id = balls.id ORDER BY act_changes.id DESC LIMIT 1)"""
_BEHIND = f"""SELECT balls.id, balls.owner_id FROM balls LEFT JOIN now_balls ON now_balls.ball_id = balls.id
WHERE NOT balls.gone AND (now_balls.as_of IS NULL OR now_balls.as_of <= {_LAST_LOGGED}
OR now_balls.as_of <= {_LAST_CHANGED})
ORDER BY (SELECT max(seq) FROM log WHERE ball_id = balls.id) DESC, balls.id"""  # noqa: S608 - own words only
_OLDEST = """SELECT DISTINCT balls.owner_id FROM now_balls JOIN balls ON balls.id = now_balls.ball_id
WHERE NOT balls.gone AND now_balls.as_of < ? ORDER BY now_balls.as_of LIMIT ?"""


def behind(conn: sqlite3.Connection) -> list[tuple[int, int]]:
    """(ball, owner) of every line that is missing or older than what was logged or changed, the newest change first."""
    return [(int(ball), int(owner)) for ball, owner in conn.execute(_BEHIND)]


def oldest(conn: sqlite3.Connection, before: str, most: int) -> list[int]:
    """Owners of balls whose lines are older than a moment, the oldest first."""
    return [int(owner) for (owner,) in conn.execute(_OLDEST, (before, most))]


def write(
    conn: sqlite3.Connection, balls: Sequence[NowBall], due: Sequence[NowDue], only: Sequence[int] | None
) -> None:  # fmt: skip
    """Write lines in place of all of them, or of the balls in `only`; the caller holds the transaction."""
    for table, rows in (("now_balls", balls), ("now_due", due)):
        if only is None:
            conn.execute(f"DELETE FROM {table}")  # noqa: S608 - own words only
        else:
            gone = f"DELETE FROM {table} WHERE ball_id IN (SELECT value FROM json_each(?))"  # noqa: S608
            conn.execute(gone, (json.dumps(list(only)),))
        told = [asdict(row) for row in rows]
        if told:
            marks = ", ".join(f":{name}" for name in told[0])
            conn.executemany(f"INSERT INTO {table} ({', '.join(told[0])}) VALUES ({marks})", told)  # noqa: S608
