"""People, balls, lanes, pads, recipes and plans as rows: JSON in, frozen records out. Removed ones stay, hidden."""

from __future__ import annotations

import json
import sqlite3
import zlib
from dataclasses import dataclass, replace
from typing import TypeVar

from arsenal.ledger.codec import from_plain, text_of, to_plain
from arsenal.trade.ball import Ball
from arsenal.trade.calendar import League, Slot
from arsenal.trade.event import Entered, Event
from arsenal.trade.fit import DrillRecord, FitSheet
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.ticket import Photo, Service, Ticket

Record = (
    Ball
    | Person
    | Lane
    | Pad
    | Recipe
    | Event
    | Entered
    | League
    | Slot
    | Ticket
    | Service
    | Photo
    | FitSheet
    | DrillRecord
)
R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class Shelf:
    """Where one kind of record is kept."""

    what: str
    table: str
    cls: type[Record]
    columns: tuple[str, ...]
    """Fields that stand beside the text as columns of their own."""

    def beside(self, text: str) -> tuple[object, ...]:
        """The columns' values out of a stored text."""
        plain = json.loads(text)
        return tuple(plain[name] for name in self.columns)


SHELVES = {
    shelf.what: shelf
    for shelf in (
        Shelf("person", "people", Person, ("name", "nickname")),
        Shelf("ball", "balls", Ball, ("name", "nickname", "serial", "cover", "owner_id")),
        Shelf("lane", "lanes", Lane, ("name", "house")),
        Shelf("pad", "pads", Pad, ("number", "kind", "owner_id")),
        Shelf("recipe", "recipes", Recipe, ("name", "owner_id")),
        Shelf("event", "events", Event, ("name", "first_on")),
        Shelf("entered", "entered", Entered, ("event_id", "bowler_id")),
        Shelf("league", "leagues", League, ("name", "bowler_id")),
        Shelf("slot", "slots", Slot, ("bowler_id",)),
        Shelf("service", "services", Service, ("name",)),
        Shelf("ticket", "tickets", Ticket, ("standing", "person_id", "promised_at")),
        Shelf("photo", "photos", Photo, ("ball_id", "ticket_id")),
        Shelf("fit sheet", "fit_sheets", FitSheet, ("person_id",)),
        Shelf("drill record", "drill_records", DrillRecord, ("ball_id",)),
    )
}
SHELF_OF: dict[type, Shelf] = {shelf.cls: shelf for shelf in SHELVES.values()}


def check_sum(*texts: str | None) -> int:
    """A small sum over texts, by which a flipped bit is told."""
    return zlib.crc32("\0".join("" if text is None else "=" + text for text in texts).encode())


def shelf_of(record: Record) -> Shelf:
    """The shelf a record belongs on."""
    return SHELF_OF[type(record)]


def to_text(record: Record) -> str:
    """A record's stored text; its id is the row's, not the text's. Raises CannotKeep."""
    plain = to_plain(record)
    del plain["id"]
    return text_of(plain)


def of_text(cls: type[R], record_id: int, text: str) -> R:
    """The record of a stored text."""
    made: R = from_plain(cls, {"id": record_id, **json.loads(text)})
    return made


def text_at(conn: sqlite3.Connection, shelf: Shelf, record_id: int) -> str | None:
    """The stored text of a record in sight; None where there is none."""
    sql = f"SELECT data FROM {shelf.table} WHERE id = ? AND NOT gone"  # noqa: S608
    row = conn.execute(sql, (record_id,)).fetchone()
    return str(row[0]) if row else None


def put_text(conn: sqlite3.Connection, shelf: Shelf, record_id: int, text: str) -> int:
    """Keep `text` as the record's; id 0 gives a new one. Returns the id."""
    names = ("id", "data", "sum", *shelf.columns)
    marks = ", ".join("?" * len(names))
    again = ", ".join(f"{name} = excluded.{name}" for name in names[1:])
    made = conn.execute(
        f"INSERT INTO {shelf.table} ({', '.join(names)}) VALUES ({marks}) "  # noqa: S608
        f"ON CONFLICT (id) DO UPDATE SET {again}, gone = 0",
        (record_id or None, text, check_sum(text), *shelf.beside(text)),
    )
    return record_id or int(made.lastrowid or 0)


def hide(conn: sqlite3.Connection, shelf: Shelf, record_id: int) -> None:
    """Out of sight; its number is never given again and its log stays."""
    conn.execute(f"UPDATE {shelf.table} SET gone = 1 WHERE id = ?", (record_id,))  # noqa: S608


def get(conn: sqlite3.Connection, cls: type[R], record_id: int) -> R | None:
    """One record in sight, None where there is none."""
    text = text_at(conn, SHELF_OF[cls], record_id)
    return None if text is None else of_text(cls, record_id, text)


def every(conn: sqlite3.Connection, cls: type[R], owner_id: int | None = None) -> tuple[R, ...]:
    """Every record in sight in the order they were made; balls and pads of one owner where asked."""
    shelf = SHELF_OF[cls]
    owned = " AND owner_id = ?" if owner_id is not None else ""
    sql = f"SELECT id, data FROM {shelf.table} WHERE NOT gone{owned} ORDER BY id"  # noqa: S608
    values = () if owner_id is None else (owner_id,)
    return tuple(of_text(cls, record_id, text) for record_id, text in conn.execute(sql, values))


def with_id(record: R, record_id: int) -> R:
    """The record under its number."""
    return replace(record, id=record_id)
