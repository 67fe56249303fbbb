"""Finding balls, people and tickets by the beginnings of words, whatever was typed. Where nothing begins so, by what
stands inside of words, and one wrong letter is forgiven.

Every token is quoted, so that no typed text is ever a query of its own; a short query is not ranked by the index
(ranking every match of one letter is slow) but by how the few first ones fit.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Set
from dataclasses import dataclass

from arsenal.ledger import records
from arsenal.ledger.misspelt import Vocabulary
from arsenal.ledger.schema import FIND

KINDS = ("ball", "person", "ticket")
_TOKENS, _LENGTH, _CANDIDATES = 8, 120, 60
_SHORT = 3
"""Queries whose longest word is shorter than this are not ranked by the index."""
_WITHOUT_CODE = 7
"""Digits of a phone number without the codes of country and town, which one writes and another leaves out."""
_PHONE = re.compile(r"[\d\s()./+-]*\d[\d\s()./+-]*")
_TICKET = re.compile(r"(?:no\.?\s*|#)?(\d{1,9})", re.IGNORECASE)
Known = Callable[[], Vocabulary]


@dataclass(frozen=True, slots=True)
class Found:
    """One find, best first in its list."""

    kind: str
    """ball, person or ticket."""
    id: int
    label: str
    detail: str = ""


def tokens(text: str) -> list[str]:
    """The words of what was typed: no NUL, no half characters, nothing without a letter or a digit."""
    clean = text[:_LENGTH].replace("\x00", " ").encode("utf-8", "replace").decode()
    return [word for word in clean.split() if any(c.isalnum() for c in word)][:_TOKENS]


def _quoted(word: str) -> str:
    return '"' + word.replace('"', '""') + '"*'


def match_of(words: Iterable[str]) -> str:
    """A full-text expression: each word quoted, each the beginning of something, all of them found."""
    return " ".join(_quoted(word) for word in words)


def digits_of(text: str) -> str:
    """The digits of a phone number; empty where it is none."""
    found = re.sub(r"\D", "", text)
    return found if len(found) >= 3 and _PHONE.fullmatch(text.strip()) else ""


def search(conn: sqlite3.Connection, text: str, limit: int, known: Known | None = None) -> tuple[Found, ...]:
    """Balls, people and tickets whose words begin like the typed ones, exact numbers, nicknames and names first.

    `known` gives the words of the list; it is asked only where nothing fits as it was typed.
    """
    words = tokens(text)
    if not words or limit <= 0:
        return ()
    rowids = _exact(conn, text.strip().replace("\x00", " ")) + _matching(conn, match_of(words), words, limit)
    if digits := digits_of(" ".join(words)):
        rowids += _matching(conn, _quoted(digits), [digits], limit)
        if not rowids and len(digits) > _WITHOUT_CODE:
            rowids = _matching(conn, _quoted(digits[-_WITHOUT_CODE:]), [digits], limit)
    if not rowids and known is not None and (forgiving := _forgiving(words, known)):
        rowids = _matching(conn, forgiving, words, limit)
    finds = [found for rowid in dict.fromkeys(rowids) if (found := _found(conn, rowid))]
    typed = " ".join(words).casefold()
    finds.sort(key=lambda hit: _fit(hit, typed))
    return tuple(hit for hit, _ in finds[:limit])


def _forgiving(words: list[str], known: Known) -> str:
    """The typed words with what is one letter away from them; empty where one of them is near nothing."""
    vocabulary, parts = known(), []
    for word in (piece for typed in words for piece in re.split(r"\W+", typed) if piece):
        near = vocabulary.near(word) or ((word,) if len(word) < _SHORT + 1 else ())
        if not near:
            return ""
        parts.append("(" + " OR ".join(_quoted(other) for other in near) + ")")
    return " AND ".join(parts)


def _exact(conn: sqlite3.Connection, text: str) -> list[int]:
    clean = text.encode("utf-8", "replace").decode()
    found = []
    if number := _TICKET.fullmatch(clean):
        row = conn.execute("SELECT id FROM tickets WHERE id = ? AND NOT gone", (int(number[1]),)).fetchone()
        found += [rowid_of("ticket", row[0])] if row else []
    rows = conn.execute(
        "SELECT id FROM balls WHERE nickname = ? COLLATE NOCASE AND NOT gone ORDER BY id LIMIT 20", (clean,)
    )
    return found + [rowid_of("ball", row[0]) for row in rows]


def _matching(conn: sqlite3.Connection, match: str, words: list[str], limit: int) -> list[int]:
    """Rows that match, tickets last: a shop has more of them than of anything, and most are closed."""
    most = max(limit, _CANDIDATES)
    short = max(len(word) for word in words) < _SHORT
    order = "" if short else "ORDER BY bm25(find, 8.0, 1.0)"
    found: list[int] = []
    try:
        for side in (">", "<"):
            if len(found) < most:
                sql = f"SELECT rowid FROM find WHERE find MATCH ? AND rowid {side} 0 {order} LIMIT ?"  # noqa: S608
                found += [int(row[0]) for row in conn.execute(sql, (match, most - len(found)))]
    except sqlite3.OperationalError as error:
        if "fts5" in str(error):
            return []
        raise
    return found


_Placed = tuple[Found, tuple[str, ...]]
"""A find and what else is its own name: nickname, serial, number; folded for comparing."""


def _found(conn: sqlite3.Connection, rowid: int) -> _Placed | None:
    kind, record_id = _standing_at(rowid)
    plain = _plain(conn, kind, record_id)
    if plain is None:
        return None
    if kind == "person":
        detail = " · ".join(part for part in (plain["nickname"], plain.get("phone", "")) if part)
        return Found(kind, record_id, plain["name"], detail), (plain["nickname"].casefold(),)
    if kind == "ticket":
        who = plain["name"] or _name(conn, plain["person_id"])
        detail = " · ".join(part for part in (who, *_balls_on(conn, plain), plain["standing"]) if part)
        return Found(kind, record_id, f"No {record_id}", detail), (str(record_id),)
    parts = (_name(conn, plain["owner_id"]), plain["cover"], plain["serial"])
    own = (plain["nickname"].casefold(), plain["serial"].casefold())
    return Found(kind, record_id, plain["name"], " · ".join(p for p in parts if p)), own


def _plain(conn: sqlite3.Connection, kind: str, record_id: int) -> dict[str, str] | None:
    text = records.text_at(conn, records.SHELVES[kind], record_id)
    return None if text is None else json.loads(text)


def _name(conn: sqlite3.Connection, person_id: object) -> str:
    row = conn.execute("SELECT name FROM people WHERE id = ? AND NOT gone", (person_id,)).fetchone()
    return str(row[0]) if row else ""


def _balls_on(conn: sqlite3.Connection, ticket: dict[str, str]) -> list[str]:
    """What is on a ticket: names of balls, or what was said of them."""
    told = []
    for taken in ticket["balls"]:
        row = conn.execute("SELECT name FROM balls WHERE id = ?", (taken["ball_id"],)).fetchone()  # type: ignore[index]
        told.append(str(row[0]) if row else str(taken["words"]))  # type: ignore[index]
    return told


def _fit(placed: _Placed, typed: str) -> int:
    found, own = placed
    names = (found.label.casefold(), *own)
    if typed in names:
        return 0
    if any(name.startswith(typed) for name in names):
        return 1
    return 2


def rowid_of(kind: str, record_id: int) -> int:
    """Where a record stands in the full-text table: balls even, people odd, tickets below zero."""
    return -record_id if kind == "ticket" else record_id * 2 + KINDS.index(kind)


_ON_TICKET = re.compile(r'"ball_id":(\d+),')
"""Canonical JSON: keys sorted, no spaces."""


def _standing_at(rowid: int) -> tuple[str, int]:
    return ("ticket", -rowid) if rowid < 0 else (KINDS[rowid % 2], rowid // 2)


def to_index(conn: sqlite3.Connection, kind: str, record_id: int) -> tuple[str, str] | None:
    """(label, words) a record is found by; None where it is out of sight."""
    plain = _plain(conn, kind, record_id)
    if plain is None:
        return None
    if kind == "person":
        words = (plain["nickname"], *_phone_words(plain.get("phone", "")))
        label = plain["name"]
    elif kind == "ticket":
        serials = [taken["serial"] for taken in plain["balls"]]  # type: ignore[index]
        who = (plain["name"], _name(conn, plain["person_id"]), *_phone_words(plain["phone"]))
        label, words = f"No {record_id}", (*who, *_balls_on(conn, plain), *serials)
    else:
        label = plain["name"]
        words = (plain["nickname"], plain["serial"], plain["colour"], plain["cover"], _name(conn, plain["owner_id"]))
    return label, " ".join(word for word in words if word)


def _phone_words(phone: str) -> tuple[str, ...]:
    """A phone number as typed, and by its last seven and four digits, as people say it."""
    digits = re.sub(r"\D", "", phone)
    ends = (digits, digits[-_WITHOUT_CODE:], digits[-4:]) if len(digits) >= 4 else (digits,)
    return tuple(dict.fromkeys(word for word in (phone, *ends) if word))


def indexed(conn: sqlite3.Connection, kind: str, record_id: int) -> tuple[str, str] | None:
    """(label, words) as the full-text table holds them now."""
    row = conn.execute("SELECT label, words FROM find WHERE rowid = ?", (rowid_of(kind, record_id),)).fetchone()
    return (str(row[0]), str(row[1])) if row else None


def written_since(conn: sqlite3.Connection, revision: int) -> Iterator[str]:
    """Label and words of every record written after a revision."""
    marks = ", ".join("?" * len(KINDS))
    sql = f"SELECT DISTINCT what, record_id FROM act_changes WHERE act_id > ? AND what IN ({marks})"  # noqa: S608
    for kind, record_id in conn.execute(sql, (revision, *KINDS)).fetchall():
        if found := indexed(conn, kind, record_id):
            yield " ".join(found)


def index(conn: sqlite3.Connection, kind: str, record_id: int) -> None:
    """Bring the full-text table up to date for one record; kinds that are not searched are passed over."""
    if kind not in KINDS:
        return
    rowid = rowid_of(kind, record_id)
    conn.execute("DELETE FROM find WHERE rowid = ?", (rowid,))
    if found := to_index(conn, kind, record_id):
        conn.execute("INSERT INTO find (rowid, label, words) VALUES (?, ?, ?)", (rowid, *found))


def reindex_of_person(conn: sqlite3.Connection, person_id: int) -> None:
    """A person's new name reaches their balls and tickets."""
    for kind, table, column in (("ball", "balls", "owner_id"), ("ticket", "tickets", "person_id")):
        sql = f"SELECT id FROM {table} WHERE {column} = ? AND NOT gone"  # noqa: S608
        for (record_id,) in conn.execute(sql, (person_id,)).fetchall():
            index(conn, kind, int(record_id))


def reindex_with_balls(conn: sqlite3.Connection, ball_ids: Set[int]) -> None:
    """Balls' new names reach the tickets they are on: all tickets are gone over once, however many balls there are."""
    if not ball_ids:
        return
    one = f'"ball_id":{min(ball_ids)},' if len(ball_ids) == 1 else '"ball_id":'
    sql = "SELECT id, data FROM tickets WHERE instr(data, ?) AND NOT gone"
    for record_id, text in conn.execute(sql, (one,)).fetchall():
        if not ball_ids.isdisjoint(map(int, _ON_TICKET.findall(text))):
            index(conn, "ticket", int(record_id))


def rebuild(conn: sqlite3.Connection) -> None:
    """The full-text table anew from the records; the caller holds the transaction."""
    conn.execute("DROP TABLE find")
    conn.execute(FIND)
    for kind in KINDS:
        table = records.SHELVES[kind].table
        for (record_id,) in conn.execute(f"SELECT id FROM {table} WHERE NOT gone").fetchall():  # noqa: S608
            index(conn, kind, int(record_id))
