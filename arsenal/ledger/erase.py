"""Erasing a person: what tells who they are goes from every row for good; what happened to the balls stays.

The log's chain holds digests of an entry's words, not the words, so it still verifies where words were taken out; the
numbers of those entries are noted. Deleted bytes are overwritten (secure delete), the write-ahead log is emptied and
the file written anew afterwards.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from arsenal.ledger import records, schema, search
from arsenal.ledger.act import Act, seal
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import StillNeeded
from arsenal.ledger.records import SHELVES, check_sum
from arsenal.ledger.results import result_sum
from arsenal.trade.person import Person
from arsenal.trade.ticket import OPEN

INSTEAD = "erased"
"""What stands where a name stood."""
_BARE: dict[str, dict[str, object]] = {
    "ticket": {"name": "", "phone": "", "handed_to": "", "note": ""},
    "fit sheet": {"holes": [], "axis_over_m": None, "axis_up_m": None, "measured_by": "", "note": ""},
    "league": {"name": INSTEAD, "skipped": []},
}
"""Fields of records about a person that say who it is, and what they become."""
_ABOUT = {"ticket": "person_id", "fit sheet": "person_id", "league": "bowler_id"}


@dataclass(frozen=True, slots=True)
class Erased:
    """What erasing a person came to."""

    act: Act
    entries: int
    """Log entries out of which words were taken."""
    emptied: bool
    """False where another process reads the file, so that its write-ahead log could not be emptied yet."""
    still_there: tuple[Path, ...] = ()
    """Files of ours that still hold the person: earlier backups and replaced files nobody asked to remove."""


_GUARDED = ("log_never_updated", "results_never_updated")
_SHORTEST = 3
"""Letters a part of a name has at least before it is looked for in what was typed."""


@dataclass(frozen=True, slots=True)
class Names:
    """What identifies a person. `own` is looked for in what is theirs, `everywhere` in every row."""

    person_id: int
    everywhere: re.Pattern[str] | None
    own: re.Pattern[str] | None


def names_of(person: Person) -> Names:
    """Full name, phone, mail and guardian everywhere; parts of the name and the nickname where it is about them."""
    told = [person.name, *(str(getattr(person, field, "") or "") for field in ("phone", "email", "guardian"))]
    parts = [part for part in person.name.split() if len(part) >= _SHORTEST]
    return Names(person.id, _pattern(told), _pattern([*told, *parts, person.nickname]))


def _pattern(words: Iterable[str]) -> re.Pattern[str] | None:
    found = sorted({word.strip() for word in words if len(word.strip()) >= 2}, key=len, reverse=True)
    if not found:
        return None
    return re.compile(rf"(?<!\w)(?:{'|'.join(re.escape(word) for word in found)})(?!\w)", re.IGNORECASE)


def erase(conn: sqlite3.Connection, act: Act, person: Person) -> int:
    """Take a person's identity out of every row, inside the transaction of `act`; the record keeps its number.

    Returns how many log entries lost words. Raises StillNeeded where a ticket of theirs is open.
    """
    _must_have_no_open_ticket(conn, person.id)
    names = names_of(person)
    bare = records.to_text(Person(person.id, f"{INSTEAD} {person.id}", hand=person.hand))
    act.write_text(SHELVES["person"], person.id, bare)
    for guard in _GUARDED:
        conn.execute(f"DROP TRIGGER {guard}")
    _person(conn, person.id, bare)
    theirs = {int(row[0]) for row in conn.execute("SELECT id FROM balls WHERE owner_id = ?", (person.id,))}
    for shelf in SHELVES.values():
        if shelf.what != "person":
            _records(conn, shelf, names)
    _changes(conn, names)
    conn.execute("DELETE FROM act_changes WHERE act_id = ?", (act.id,))  # nothing of it can be taken back
    _acts(conn, names)
    count = _log(conn, names, theirs)
    _settings(conn, names)
    _results(conn, names)
    conn.execute("DELETE FROM state_cache")
    search.rebuild(conn)
    for statement in schema.GUARDS:
        if any(f"CREATE TRIGGER {guard} " in statement for guard in _GUARDED):
            conn.execute(statement)
    return count


def _must_have_no_open_ticket(conn: sqlite3.Connection, person_id: int) -> None:
    marks = ", ".join("?" * len(OPEN))
    sql = f"SELECT id FROM tickets WHERE person_id = ? AND NOT gone AND standing IN ({marks})"  # noqa: S608
    if row := conn.execute(sql, (person_id, *OPEN)).fetchone():
        raise StillNeeded(
            f"Ticket {row[0]} of this person is still open.", next_step="Hand the balls over or call it off first."
        )


def _person(conn: sqlite3.Connection, person_id: int, bare: str) -> None:
    for change, before, after in conn.execute(
        "SELECT id, before, after FROM act_changes WHERE what = 'person' AND record_id = ?", (person_id,)
    ).fetchall():
        _write_change(conn, change, "person", "", before and bare, after and bare)


def _records(conn: sqlite3.Connection, shelf: records.Shelf, names: Names) -> None:
    for record_id, text in conn.execute(f"SELECT id, data FROM {shelf.table}").fetchall():  # noqa: S608
        clean = cleaned(shelf.what, text, names)
        if clean != text:
            columns = ", ".join(f"{name} = ?" for name in ("data", "sum", *shelf.columns))
            sql = f"UPDATE {shelf.table} SET {columns} WHERE id = ?"  # noqa: S608
            conn.execute(sql, (clean, check_sum(clean), *shelf.beside(clean), record_id))


def _changes(conn: sqlite3.Connection, names: Names) -> None:
    for change, what, key, before, after in conn.execute(
        "SELECT id, what, key, before, after FROM act_changes WHERE what <> 'person'"
    ).fetchall():
        clean = tuple(None if text is None else cleaned(what, text, names) for text in (before, after))
        if clean != (before, after):
            _write_change(conn, change, what, key, *clean)


def _write_change(
    conn: sqlite3.Connection, change: int, what: str, key: str, before: str | None, after: str | None
) -> None:
    total = check_sum(what, key, before, after)
    conn.execute("UPDATE act_changes SET before = ?, after = ?, sum = ? WHERE id = ?", (before, after, total, change))


def cleaned(what: str, text: str, names: Names) -> str:
    """A record's stored text without what tells who the person is."""
    plain = json.loads(text)
    mine = what in _ABOUT and isinstance(plain, dict) and plain.get(_ABOUT[what]) == names.person_id
    if mine:
        plain |= _BARE[what]
    pattern = names.own if mine else names.everywhere
    clean = _without(plain, pattern)
    return text_of(clean) if clean != json.loads(text) else text


def _without(plain: object, pattern: re.Pattern[str] | None) -> object:
    if pattern is None:
        return plain
    if isinstance(plain, str):
        return pattern.sub(INSTEAD, plain)
    if isinstance(plain, list):
        return [_without(value, pattern) for value in plain]
    if isinstance(plain, dict):
        return {key: _without(value, pattern) for key, value in plain.items()}
    return plain


def _acts(conn: sqlite3.Connection, names: Names) -> None:
    """Titles name people; parts of a name are looked for there too."""
    if names.own is None:
        return
    for act_id, title in conn.execute("SELECT id, title FROM acts").fetchall():
        clean = names.own.sub(INSTEAD, title)
        if clean != title:
            conn.execute("UPDATE acts SET title = ? WHERE id = ?", (clean, act_id))
            seal(conn, act_id)


def _log(conn: sqlite3.Connection, names: Names, theirs: set[int]) -> int:
    count = 0
    for seq, ball_id, payload, typed in conn.execute("SELECT seq, ball_id, payload, typed FROM log").fetchall():
        pattern = names.own if ball_id in theirs else names.everywhere
        if pattern is None:
            continue
        told = pattern.sub(INSTEAD, typed)
        clean = _payload(payload, pattern)
        if (told, clean) != (typed, payload):
            conn.execute("UPDATE log SET payload = ?, typed = ? WHERE seq = ?", (clean, told, seq))
            conn.execute("INSERT OR IGNORE INTO erased (seq) VALUES (?)", (seq,))
            count += 1
    return count


def _payload(payload: str, pattern: re.Pattern[str]) -> str:
    try:
        plain = json.loads(payload)
    except ValueError:  # an unknown kind's own words
        return pattern.sub(INSTEAD, payload)
    clean = _without(plain, pattern)
    return payload if clean == plain else text_of(clean)


def _settings(conn: sqlite3.Connection, names: Names) -> None:
    for key, value in conn.execute("SELECT key, value FROM settings").fetchall():
        clean = cleaned("setting", value, names)
        if clean != value:
            conn.execute("UPDATE settings SET value = ?, sum = ? WHERE key = ?", (clean, check_sum(clean), key))


def _results(conn: sqlite3.Connection, names: Names) -> None:
    """Kept cards and plans: the name goes, the numbers stay."""
    rows: list[tuple[int, str, str, int, str]] = conn.execute(
        "SELECT id, kind, at, revision, data FROM results"
    ).fetchall()
    for number, kind, at, revision, data in rows:
        clean = cleaned("result", data, names)
        if clean != data:
            total = result_sum(number, kind, at, revision, clean)
            conn.execute("UPDATE results SET data = ?, sum = ? WHERE id = ?", (clean, total, number))
