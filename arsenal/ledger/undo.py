"""Taking an act back: its entries by appended undo entries, its records by their earlier fields."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from arsenal.ledger import log, records
from arsenal.ledger.act import Act, Clock, seal
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import CannotUndo, NotFound
from arsenal.ledger.records import SHELVES
from arsenal.trade.entries import Draft, Kind, Undo
from arsenal.trade.steps import Steps, Tell, untold


@dataclass(frozen=True, slots=True)
class ActRow:
    """One act as the history lists it."""

    id: int
    at: datetime
    title: str
    initiator: str
    undone: bool
    undoes: int | None = None
    """The act it took back, where it is an undo."""


_COLUMNS = "id, at, title, initiator, undone_by, undoes"


def _row(found: tuple[Any, ...]) -> ActRow:
    act_id, at, title, initiator, undone_by, undoes = found
    return ActRow(act_id, log.unstamp(at), title, initiator, undone_by is not None, undoes)


def acts(conn: sqlite3.Connection, limit: int) -> tuple[ActRow, ...]:
    """The latest acts, newest first."""
    return tuple(_row(r) for r in conn.execute(f"SELECT {_COLUMNS} FROM acts ORDER BY id DESC LIMIT ?", (limit,)))  # noqa: S608


def act_row(conn: sqlite3.Connection, act_id: int) -> ActRow:
    """One act. Raises NotFound."""
    found = conn.execute(f"SELECT {_COLUMNS} FROM acts WHERE id = ?", (act_id,)).fetchone()  # noqa: S608
    if found is None:
        raise NotFound(f"There is no act number {act_id}.")
    return _row(found)


def last_standing(conn: sqlite3.Connection) -> ActRow | None:
    """The act that undo takes back next: the last that stands, is no undo itself and left something to take back
    (erasing a person does not).
    """
    wrote = (
        "EXISTS (SELECT 1 FROM act_changes WHERE act_id = acts.id) OR EXISTS (SELECT 1 FROM log WHERE act_id = acts.id)"
    )
    standing = f"undone_by IS NULL AND undoes IS NULL AND ({wrote})"
    sql = f"SELECT {_COLUMNS} FROM acts WHERE {standing} ORDER BY id DESC LIMIT 1"  # noqa: S608
    found = conn.execute(sql).fetchone()
    return _row(found) if found else None


def last_undo(conn: sqlite3.Connection) -> ActRow | None:
    """The undo that redo takes back next: the last one that stands, unless something new was done since."""
    found = conn.execute(
        """SELECT a.id, a.at, a.title, a.initiator, a.undone_by, a.undoes FROM acts a
        LEFT JOIN acts taken ON taken.id = a.undoes
        WHERE a.undone_by IS NULL AND taken.undoes IS NULL ORDER BY a.id DESC LIMIT 1"""  # redos are passed over
    ).fetchone()
    return _row(found) if found and found[5] is not None else None


def undo(
    conn: sqlite3.Connection, target: ActRow, title: str, initiator: str, clock: Clock, tell: Tell = untold
) -> Act:  # fmt: skip
    """Take `target` back, as an act of its own; `tell` may stop it. Raises CannotUndo where it is already, or was built
    upon since.
    """
    if target.undone:
        raise CannotUndo(f"“{target.title}” has been taken back already.")
    act = Act(conn, title, initiator, clock, undoes=target.id)
    taken = conn.execute(
        "SELECT seq, ball_id, day FROM log WHERE act_id = ? ORDER BY seq DESC", (target.id,)
    ).fetchall()
    changes = conn.execute(
        "SELECT what, record_id, key, before, after FROM act_changes WHERE act_id = ? ORDER BY id DESC", (target.id,)
    ).fetchall()
    steps = Steps(len(taken) + len(changes), tell)
    for seq, ball_id, day in steps.through(taken):
        act.append(Draft(ball_id, Kind.UNDO, date.fromisoformat(day), Undo(), undoes=seq))
    for what, record_id, key, before, after in steps.through(changes):
        _restore(conn, act, (what, int(record_id), key), before, after)
    _must_leave_no_log(conn, act, target)
    act.finish()
    if act.id is None:  # everything it did has been done over since
        raise CannotUndo(f"Nothing of “{target.title}” is left to take back.")
    conn.execute("UPDATE acts SET undone_by = ? WHERE id = ?", (act.id, target.id))
    seal(conn, target.id)
    if target.undoes is not None:
        conn.execute("UPDATE acts SET undone_by = NULL WHERE id = ?", (target.undoes,))
        seal(conn, target.undoes)
    return act


def _must_leave_no_log(conn: sqlite3.Connection, act: Act, target: ActRow) -> None:
    """A ball is not taken away from under what later acts wrote about it. What was written before it was removed the
    first time does not stand in the way of removing it again.
    """
    since = target.undoes or target.id
    for changed in act.changes:
        if changed.what == "ball" and records.text_at(conn, SHELVES["ball"], changed.id) is None:
            later = conn.execute(
                """SELECT acts.title FROM log JOIN acts ON acts.id = log.act_id WHERE log.ball_id = ?
                AND acts.id > ? AND acts.id NOT IN (?, ?) AND acts.undone_by IS NULL AND acts.undoes IS NULL LIMIT 1""",
                (changed.id, since, act.id, target.id),
            ).fetchone()
            if later:
                raise CannotUndo(f"“{later[0]}” was written about this ball since; take that back first.")


def _restore(
    conn: sqlite3.Connection, act: Act, mark: tuple[str, int, str], before: str | None, after: str | None
) -> None:
    what, record_id, key = mark
    if what == "setting":
        row = conn.execute("SELECT value FROM settings WHERE key = ?", (key,)).fetchone()
        now = str(row[0]) if row else None
    else:
        now = records.text_at(conn, SHELVES[what], record_id)
    wanted = before if now == after else merged(now, before, after, what)
    if what == "setting":
        act.write_setting(key, wanted)
    else:
        act.write_text(SHELVES[what], record_id, wanted)


def merged(now: str | None, before: str | None, after: str | None, what: str) -> str | None:
    """What stands now with the fields the act changed put back, where nobody changed them since.

    Raises CannotUndo where a later act changed the same field, or made or removed the whole.
    """
    changed = CannotUndo(f"The {what} was changed again since; take that back first.")
    if now is None or before is None or after is None or what == "setting":
        raise changed
    current, old, new = json.loads(now), json.loads(before), json.loads(after)
    for name in new:
        if old.get(name) != new[name]:
            if current.get(name) != new[name]:
                raise changed
            current[name] = old[name]
    return text_of(current)


__all__ = ["ActRow", "act_row", "acts", "last_standing", "last_undo", "merged", "undo"]
