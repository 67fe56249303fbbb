"""Erasing a person: what tells who they are goes from every row for good; what happened to the balls stays.

The log's chain holds salted digests of an entry's words, not the words, so it still verifies where words were taken
out; the numbers of those entries are noted, and their salt goes too, or one could try names against the digest.
Deleted bytes are overwritten (secure delete), the write-ahead log is emptied and the file written anew afterwards.
"""

from __future__ import annotations

import json
import re
import sqlite3
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from arsenal.ledger import records, schema, search
from arsenal.ledger.act import Act, seal
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import StillNeeded
from arsenal.ledger.identity import ABOUT, Names, names_of, people_in
from arsenal.ledger.records import SHELVES, check_sum
from arsenal.ledger.results import result_sum
from arsenal.trade.person import Person
from arsenal.trade.ticket import OPEN, Standing

INSTEAD = "erased"
"""What stands where a name stood."""
_BARE: dict[str, dict[str, object]] = {
    "ticket": {"name": "", "phone": "", "handed_to": "", "note": ""},
    "fit sheet": {"holes": [], "axis_over_m": None, "axis_up_m": None, "measured_by": "", "note": ""},
    "league": {"name": INSTEAD, "skipped": []},
}
"""Fields of records about a person that say who it is, and what they become."""
_PRIVATE = {"name": INSTEAD, "nickname": "", "note": "", "phone": "", "email": "", "guardian": ""}
"""The same of a person's record that was kept inside a result."""
_FREE = frozenset({"name", "nickname", "called", "to", "bowler", "owner", "customer", "handed_to"})
"""Fields that hold names: a word of the trade there is somebody’s name, Pearl or Hand."""
_DAY = re.compile(r"\d{4}-\d\d-\d\d(?:T.*)?")
_GUARDED = ("log_never_updated", "results_never_updated")


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
    wards: tuple[int, ...] = ()
    """Minors whose guardian they were, and who have none now."""
    trouble: str = ""
    """Why the file was not written anew, or its backups not replaced, as a sentence."""


def erase(conn: sqlite3.Connection, act: Act, person: Person) -> tuple[int, tuple[int, ...]]:
    """Take a person's identity out of every row, inside the transaction of `act`; the record keeps its number.

    Returns how many log entries lost words, and the minors who lost their guardian. Raises StillNeeded where a ticket
    of theirs is open.
    """
    _must_have_no_open_ticket(conn, person.id)
    names = names_of(conn, person)
    bare = records.to_text(Person(person.id, f"{INSTEAD} {person.id}", hand=person.hand))
    act.write_text(SHELVES["person"], person.id, bare)
    for guard in _GUARDED:
        conn.execute(f"DROP TRIGGER {guard}")
    _person(conn, person.id, bare)
    wards = [found for shelf in SHELVES.values() for found in _records(conn, shelf, names)]
    _acts(conn, names)
    _changes(conn, names)
    conn.execute("DELETE FROM act_changes WHERE act_id = ?", (act.id,))  # nothing of it can be taken back
    count = _log(conn, names)
    _settings(conn, names)
    _results(conn, names)
    conn.execute("DELETE FROM state_cache")
    search.rebuild(conn)
    for statement in schema.GUARDS:
        if any(f"CREATE TRIGGER {guard} " in statement for guard in _GUARDED):
            conn.execute(statement)
    return count, tuple(wards)


def _must_have_no_open_ticket(conn: sqlite3.Connection, person_id: int) -> None:
    kept = (*OPEN, Standing.PARKED)
    marks = ", ".join("?" * len(kept))
    sql = f"SELECT id, standing FROM tickets WHERE person_id = ? AND NOT gone AND standing IN ({marks})"  # noqa: S608
    for number, standing in conn.execute(sql, (person_id, *kept)):
        if standing == Standing.PARKED:
            raise StillNeeded(f"Ticket {number} of this person is half written.", next_step="Call it off first.")
        raise StillNeeded(
            f"Ticket {number} of this person is still open.", next_step="Hand the balls over or call it off first."
        )


def _person(conn: sqlite3.Connection, person_id: int, bare: str) -> None:
    for change, before, after in conn.execute(
        "SELECT id, before, after FROM act_changes WHERE what = 'person' AND record_id = ?", (person_id,)
    ).fetchall():
        _write_change(conn, change, "person", "", before and bare, after and bare)


def _records(conn: sqlite3.Connection, shelf: records.Shelf, names: Names) -> Iterator[int]:
    """Clean a kind of record; the numbers of people whose guardian went."""
    for record_id, text in conn.execute(f"SELECT id, data FROM {shelf.table}").fetchall():  # noqa: S608
        if (shelf.what, record_id) == ("person", names.person_id):
            continue
        clean = cleaned(shelf.what, record_id, text, names)
        if clean != text:
            columns = ", ".join(f"{name} = ?" for name in ("data", "sum", *shelf.columns))
            sql = f"UPDATE {shelf.table} SET {columns} WHERE id = ?"  # noqa: S608
            conn.execute(sql, (clean, check_sum(clean), *shelf.beside(clean), record_id))
            if json.loads(text).get("guardian") and not json.loads(clean)["guardian"]:
                yield record_id


def _changes(conn: sqlite3.Connection, names: Names) -> None:
    for change, what, record_id, key, before, after in conn.execute(
        "SELECT id, what, record_id, key, before, after FROM act_changes"
    ).fetchall():
        if (what, record_id) == ("person", names.person_id):
            continue
        clean = tuple(None if text is None else cleaned(what, record_id, text, names) for text in (before, after))
        if clean != (before, after):
            _write_change(conn, change, what, key, *clean)


def _write_change(
    conn: sqlite3.Connection, change: int, what: str, key: str, before: str | None, after: str | None
) -> None:
    total = check_sum(what, key, before, after)
    conn.execute("UPDATE act_changes SET before = ?, after = ?, sum = ? WHERE id = ?", (before, after, total, change))


def cleaned(what: str, record_id: int, text: str, names: Names) -> str:
    """A record's stored text without what tells who the person is."""
    if not names.has(what, record_id) and _free_of(names.everywhere, text):
        return text
    plain = json.loads(text)
    if not isinstance(plain, dict):
        return _text(plain, names.everywhere, names, text)
    if what == "person":
        return _text(_of_another(plain, record_id, names), None, names, text)
    whose = plain.get(ABOUT.get(what, ""))
    mine = names.has(what, record_id)
    if mine and whose in (names.person_id, None):
        plain |= _BARE.get(what, {})
    if not mine and whose in names.namesakes:
        return text
    return _text(plain, names.own if mine else names.everywhere, names, text)


def _of_another(plain: dict[str, Any], record_id: int, names: Names) -> dict[str, Any]:
    """Somebody else's record: the person may be their guardian, or stand in a note."""
    if record_id in names.namesakes or names.everywhere is None:
        return plain
    guardian = str(plain.get("guardian", ""))
    lost = _sub(names.everywhere, guardian) != guardian
    return plain | {"note": _sub(names.everywhere, str(plain.get("note", ""))), "guardian": "" if lost else guardian}


def _text(plain: object, pattern: re.Pattern[str] | None, names: Names, before: str) -> str:
    clean = _without(plain, pattern, names.person_id)
    return text_of(clean) if clean != json.loads(before) else before


@cache
def _terms() -> frozenset[str]:
    """Words that stand for something in a record: a cover, a tool, a standing."""
    return frozenset(str(word) for kind in StrEnum.__subclasses__() for word in kind)


def _without(plain: Any, pattern: re.Pattern[str] | None, person_id: int, field: str = "") -> Any:
    """Free text without what the pattern finds. Words of the trade, days and names of types stay as they are."""
    if pattern is None:
        return plain
    if isinstance(plain, str):
        fixed = field == "type" or _DAY.fullmatch(plain) or (plain in _terms() and field not in _FREE)
        return plain if fixed else _sub(pattern, plain)
    if isinstance(plain, list):
        return [_without(value, pattern, person_id, field) for value in plain]
    if isinstance(plain, dict):
        if plain.get("id") == person_id and "guardian" in plain:
            plain = plain | _PRIVATE
        return {
            key if key.isidentifier() else _sub(pattern, key): _without(value, pattern, person_id, key)
            for key, value in plain.items()
        }
    return plain


def _free_of(pattern: re.Pattern[str] | None, text: str) -> bool:
    """Whether a stored text surely holds nothing to take out, by a look that costs little."""
    return pattern is None or (text.isascii() and "\\" not in text and pattern.search(text) is None)


def _sub(pattern: re.Pattern[str], text: str) -> str:
    """Taken out, also where an accent is written as a sign of its own."""
    clean = pattern.sub(INSTEAD, text)
    whole = unicodedata.normalize("NFC", clean)
    return clean if whole == clean else pattern.sub(INSTEAD, whole)


def _acts(conn: sqlite3.Connection, names: Names) -> None:
    """Titles name people; parts of a name are looked for where something of theirs was changed."""
    about = {int(act_id) for (act_id,) in conn.execute(
        "SELECT act_id FROM act_changes WHERE what = 'person' AND record_id = ?", (names.person_id,)
    )}  # fmt: skip
    for what, record_id, act_id in conn.execute("SELECT what, record_id, act_id FROM act_changes"):
        if names.has(what, record_id):
            about.add(int(act_id))
    for ball_id, act_id in conn.execute("SELECT DISTINCT ball_id, act_id FROM log"):
        if names.has("ball", ball_id):
            about.add(int(act_id))
    for act_id, title in conn.execute("SELECT id, title FROM acts").fetchall():
        pattern = names.own if act_id in about else names.everywhere
        clean = title if pattern is None else _sub(pattern, title)
        if clean != title:
            conn.execute("UPDATE acts SET title = ? WHERE id = ?", (clean, act_id))
            seal(conn, act_id)


def _log(conn: sqlite3.Connection, names: Names) -> int:
    count = 0
    owners = dict(conn.execute("SELECT id, owner_id FROM balls"))
    for seq, ball_id, payload, typed in conn.execute("SELECT seq, ball_id, payload, typed FROM log").fetchall():
        pattern = _of_entry(payload, names, ball_id, owners)
        if pattern is None or (_free_of(pattern, payload) and _free_of(pattern, typed)):
            continue
        told = _sub(pattern, typed)
        clean = _payload(payload, pattern, names)
        if (told, clean) != (typed, payload):
            values = (clean, told, bytes(16), seq)
            conn.execute("UPDATE log SET payload = ?, typed = ?, salt = ? WHERE seq = ?", values)
            conn.execute("INSERT OR IGNORE INTO erased (seq) VALUES (?)", (seq,))
            count += 1
    return count


def _of_entry(payload: str, names: Names, ball_id: int, owners: dict[int, int]) -> re.Pattern[str] | None:
    """What is looked for in an entry: parts of the name where it is theirs; nothing where it is a namesake's."""
    named = re.search(r'"person_id":(\d+)', payload)
    whom = int(named[1]) if named else 0
    if names.has("ball", ball_id) or whom == names.person_id:
        return names.own
    return None if {whom, owners.get(ball_id, 0)} & names.namesakes else names.everywhere


def _payload(payload: str, pattern: re.Pattern[str], names: Names) -> str:
    try:
        plain = json.loads(payload)
    except ValueError:  # an unknown kind's own words
        return _sub(pattern, payload)
    clean = _without(plain, pattern, names.person_id)
    return payload if clean == plain else text_of(clean)


def _settings(conn: sqlite3.Connection, names: Names) -> None:
    for key, value in conn.execute("SELECT key, value FROM settings").fetchall():
        clean = cleaned("setting", 0, value, names)
        if clean != value:
            conn.execute("UPDATE settings SET value = ?, sum = ? WHERE key = ?", (clean, check_sum(clean), key))


def _results(conn: sqlite3.Connection, names: Names) -> None:
    """Kept cards and plans: the name goes, the numbers stay."""
    rows: list[tuple[int, str, str, int, str]] = conn.execute(
        "SELECT id, kind, at, revision, data FROM results"
    ).fetchall()
    for number, kind, at, revision, data in rows:
        plain = json.loads(data)
        about = set(people_in(plain))
        pattern = names.own if names.person_id in about else None if about & names.namesakes else names.everywhere
        clean = _text(plain, pattern, names, data)
        if clean != data:
            total = result_sum(number, kind, at, revision, clean)
            conn.execute("UPDATE results SET data = ?, sum = ? WHERE id = ?", (clean, total, number))
