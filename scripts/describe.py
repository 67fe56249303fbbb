"""The pages resources/file.md, what stands in a shop's file, and resources/tables.md, what the spreadsheets it reads
hold: both out of the tables themselves.

`python scripts/describe.py` writes them, `--check` only says whether they are as they would be written.
"""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from textwrap import dedent
from typing import Any, get_args, get_type_hints

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from sqlite_utils import Database  # noqa: E402

from arsenal.exchange.tables import headers_markdown  # noqa: E402
from arsenal.ledger import schema  # noqa: E402
from arsenal.ledger.records import SHELVES  # noqa: E402
from arsenal.trade.entries import PAYLOAD_OF  # noqa: E402

RESOURCES = ROOT / "resources"

RECORD = ("id", "data", "sum", "gone")
"""Columns every table of records has; the head of the page tells of them."""
NUMBERED = {"owner_id": "whose", "bowler_id": "whose", "person_id": "the customer", "ball_id": "the ball",
            "event_id": "the event", "ticket_id": "the ticket"}  # fmt: skip
TABLES: dict[str, tuple[str, dict[str, str]]] = {
    "meta": (
        "What the file says of itself.",
        {
            "key": "`head`: the log's last number and hash; marks of handing over and of what was copied last; "
            "`erasing` while what an erased person left is still to be cleared away",
            "value": "text",
        },
    ),
    "acts": (
        "One row for each thing somebody did, whatever it changed. Undo is an act too.",
        {
            "id": "order in which they were done",
            "at": "moment in universal time",
            "offset_min": "minutes the clock there was ahead of it",
            "title": "what the foot of the window said",
            "initiator": "desk, command line, or who else",
            "undoes": "the act it takes back",
            "undone_by": "the act that took it back",
            "sum": "CRC-32 of the other columns",
        },
    ),
    "act_changes": (
        "What each act changed in records and settings, so that it can be taken back.",
        {
            "id": "number",
            "act_id": "the act",
            "what": "kind of record",
            "record_id": "its number",
            "key": "of a setting: its name",
            "before": "the record's JSON before; empty where it is new",
            "after": "and after; empty where it was removed",
            "sum": "CRC-32 of what, key, before and after",
        },
    ),
    "people": ("Bowlers and customers.", {"name": "as in `data`", "nickname": "as in `data`"}),
    "balls": (
        "Balls; what is on them is in the log.",
        {
            "name": "as in `data`",
            "nickname": "as in `data`",
            "serial": "as in `data`",
            "cover": "as in `data`",
        },
    ),
    "lanes": ("Lane conditions.", {"name": "as in `data`", "house": "as in `data`"}),
    "pads": ("Pads in stock.", {"number": "grain number", "kind": "foam, film, …"}),
    "recipes": ("Named sequences of steps.", {"name": "as in `data`"}),
    "events": ("Events entered for.", {"name": "as in `data`", "first_on": "first day"}),
    "entered": ("Who goes to which event, with what is settled of their bag.", {}),
    "leagues": ("When somebody plays regularly.", {"name": "as in `data`"}),
    "slots": ("Hours for work; without a bowler they are the bench's.", {}),
    "services": ("What the shop sells.", {"name": "as in `data`"}),
    "tickets": (
        "Tickets; the number on paper is `id`.",
        {
            "standing": "half written, in, on the bench, ready, handed over, called off",
            "promised_at": "moment with its offset",
        },
    ),
    "photos": ("Photographs of balls.", {}),
    "photo_bytes": (
        "Their bytes, apart so that lists stay quick.",
        {"photo_id": "the photograph", "bytes": "JPEG as kept"},
    ),
    "fit_sheets": ("A hand measured on a day.", {}),
    "drill_records": ("A ball drilled on a day.", {}),
    "settings": (
        "The shop's own settings and what practice has taught.",
        {
            "key": "name",
            "value": "JSON",
            "sum": "CRC-32 of `value`",
        },
    ),
    "log": (
        "The truth: what happened to each ball. Rows are only added; triggers refuse anything else. "
        "How the hashes are made stands in `arsenal/ledger/log.py`.",
        {
            "seq": "number, one higher each time",
            "ball_id": "the ball",
            "kind": "what happened, see below",
            "version": "version of the payload's fields",
            "day": "the local day it tells of",
            "payload": "JSON, fields by kind below",
            "typed": "what somebody typed, with its unit",
            "undoes": "of an undo: the entry taken back",
            "act_id": "the act that kept it",
            "at": "when it was written down, universal time",
            "offset_min": "minutes the clock there was ahead of it",
            "late": "1 where it was written down from memory",
            "salt": "random bytes; gone where words were erased",
            "body_hash": "SHA-256 of salt, payload and typed",
            "prev_hash": "`hash` of the row before; 32 zero bytes in the first",
            "hash": "SHA-256 of `prev_hash`, `body_hash` and every other column",
        },
    ),
    "erased": (
        "Entries whose words were taken out when somebody was erased; the chain still verifies.",
        {"seq": "the entry"},
    ),
    "results": (
        "Orders, plans and cards as they were printed or kept, with what made them. Only added.",
        {
            "id": "number",
            "kind": "what it is",
            "at": "moment in universal time",
            "revision": "the act it was made after",
            "data": "JSON",
            "sum": "CRC-32 of the other columns",
        },
    ),
    "state_cache": (
        "States worked out from the log; may be emptied at any time.",
        {
            "key": "versions, ball and day",
            "value": "JSON",
            "sum": "CRC-32 of both",
        },
    ),
    "find": (
        "The search line's index (FTS5), made anew from the records.",
        {
            "label": "name as shown",
            "words": "what is looked for",
            "find": "FTS5's own",
            "rank": "FTS5's own",
        },
    ),
    "now_balls": (
        "What is on each ball, as of a moment; the log is the truth. Filled when the file is closed.",
        {
            "ball_id": "the ball",
            "as_of": "moment in universal time",
            "finish": "finish put on last",
            "finish_on": "its day",
            "plays_about_grit": "grit it plays like now",
            "grit_low": "10th percentile",
            "grit_high": "90th percentile",
            "games_since_surface": "games since",
            "oil_g": "oil in the cover, grams",
            "holder": "owned, lent, sold or retired",
        },
    ),
    "now_due": (
        "What is due on each ball, as of a moment.",
        {
            "id": "number",
            "ball_id": "the ball",
            "as_of": "moment in universal time",
            "job": "refresh, clean, …",
            "due": "fine, soon, due or over",
            "by_day": "when, as far as it can be told",
            "why": "in words",
        },
    ),
}
VIEWS = {
    "balls_now": "Each ball, its owner, what is on it now, games since, oil, where it is.",
    "due": "Each job, its ball and owner, soonest first, with why.",
    "history": "The log with names of ball and owner.",
    "ball_list": "Balls and owners in short.",
}
KINDS = {"TEXT": "text", "INTEGER": "whole number", "REAL": "number", "BLOB": "bytes", "": ""}


def page() -> str:
    """The whole page."""
    db = Database(memory=True, execute_plugins=False)
    schema.apply(db, 0, schema.version())
    out = [HEAD.format(version=schema.version(), marker=f"0x{schema.APPLICATION_ID:08X}")]
    out += ["## Views\n", "| view | what it shows | columns |", "|---|---|---|"]
    for name, words in VIEWS.items():
        columns = ", ".join(str(row[1]) for row in db.conn.execute(f"PRAGMA table_info({name})"))
        out.append(f"| `{name}` | {words} | {columns} |")
    out.append("\n## Tables\n")
    for table, (words, own) in TABLES.items():
        out += [f"### `{table}`\n", f"{words}\n"]
        rows = [f"| `{name}` | {kind} | {said} |" for name, kind, said in columns_of(db, table, own)]
        out += ["| column | holds | what |", "|---|---|---|", *rows, ""] if rows else []
    db.close()
    out.append("## Records: fields of `data`\n")
    for shelf in SHELVES.values():
        out += described(f"{shelf.what} (`{shelf.table}`)", shelf.cls, leave=("id",))
    out.append("## Entries: fields of `payload` by `kind`\n")
    by_class: dict[type, list[str]] = {}
    for kind, cls in PAYLOAD_OF.items():
        by_class.setdefault(cls, []).append(kind.value)
    for cls, kinds in by_class.items():
        out += described(", ".join(kinds), cls)
    out.append("Any other kind, or another version, is kept as it came and shown as not understood.\n")
    out.append("## What stands inside them\n")
    for cls in inner():
        out += listed(cls) if issubclass(cls, Enum) else described(cls.__name__, cls)
    return "\n".join(out).rstrip() + "\n"


HEAD = """# A shop's file

SQLite, version {version} of its tables (`PRAGMA user_version`), marker {marker} (`PRAGMA application_id`). Written
by `scripts/describe.py` from the tables and records themselves.

Open it with any SQLite browser **for reading**: the program refuses a file whose tables, triggers or views were
changed, and a changed row shows in `padbook verify`. Measures are SI, the unit is the end of the name: `_m` metres,
`_kg`, `_mps` metres a second, `_radps` radians a second, `_rad`, `_cents`, `_min` minutes. Days are ISO
(2026-03-12), moments carry their offset.

Tables of records (people, balls, tickets and so on) all have `id` (never given again), `data` (the record as JSON,
its fields listed below; the columns beside it repeat what references and indexes need), `sum` (CRC-32 of `data`, by
which a flipped bit is told) and `gone` (1 where it was removed: it stays, hidden, because the log and old acts name
it).
"""


def columns_of(db: Database, table: str, own: dict[str, str]) -> Iterator[tuple[str, str, str]]:
    """(name, what it holds, words). Raises KeyError for a column nobody has described."""
    rows = [(str(row[1]), str(row[2])) for row in db.conn.execute(f"PRAGMA table_xinfo({table})")]
    names = {name for name, _ in rows}
    known = NUMBERED | own
    if unknown := set(own) - names:
        raise KeyError(f"{table} has no {sorted(unknown)}")
    common = RECORD if set(RECORD) <= names else ()
    yield from ((name, KINDS[kind], known[name]) for name, kind in rows if name not in common)


def described(title: str, cls: type, leave: tuple[str, ...] = ()) -> list[str]:
    """A class: its first sentence, then each field with its type and words."""
    said = docs_of(cls)
    first = inspect.getdoc(cls) or ""
    first = "" if first.startswith(f"{cls.__name__}(") else " ".join(first.split())
    out = [f"**{title}**{': ' + first if first else ''}\n"]
    for field in fields(cls):
        if field.name not in leave:
            words = said.get(field.name, "")
            out.append(f"- `{field.name}`: {typed(field.type)}{'. ' + words if words else ''}")
    return [*out, ""]


def listed(cls: type[Enum]) -> list[str]:
    """The words an enumeration knows."""
    return [f"**{cls.__name__}**: {', '.join(f'“{member.value}”' for member in cls)}\n"]


def typed(hint: Any) -> str:
    """A type as people read it."""
    text = str(hint)
    for python, plain in (
        (" | None", " or nothing"), ("tuple[", "list of "), (", ...]", ""), ("float", "number"), ("bool", "yes or no"),
        ("str", "text"), ("int", "whole number"), ("datetime", "moment"), ("date", "day"), (" | ", " or "),
    ):  # fmt: skip
        text = text.replace(python, plain)
    return text


@cache
def docs_of(cls: type) -> dict[str, str]:
    """The sentence under each field of a class."""
    (body,) = ast.parse(dedent(inspect.getsource(cls))).body
    assert isinstance(body, ast.ClassDef)  # noqa: S101 - the source of a class
    found, last = {}, ""
    for part in body.body:
        if isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name):
            last = part.target.id
        elif last and isinstance(part, ast.Expr) and isinstance(part.value, ast.Constant):
            found[last] = " ".join(str(part.value.value).split())
            last = ""
        else:
            last = ""
    return found


def inner() -> list[type]:
    """Classes that stand inside records and payloads, each once, in the order they are met."""
    met: dict[type, None] = {}
    tops = [shelf.cls for shelf in SHELVES.values()] + list(dict.fromkeys(PAYLOAD_OF.values()))
    for top in tops:
        _inside(top, met)
    return [cls for cls in met if cls not in tops]


def _inside(cls: type, met: dict[type, None]) -> None:
    for hint in get_type_hints(cls).values():
        for part in _parts(hint):
            if isinstance(part, type) and part not in met and (is_dataclass(part) or issubclass(part, Enum)):
                met[part] = None
                _inside(part, met)


def _parts(hint: Any) -> Iterator[Any]:
    yield hint
    for part in get_args(hint):
        yield from _parts(part)


TABLES_HEAD = """# Spreadsheets

Written by `scripts/describe.py`. One sheet or CSV file holds one table, known by its headers, not by its name.
Headers in bold are needed; “or” gives other names or units for the same; empty cells are what nobody has said.
Numbers take a point or a comma, days are 2026-03-12. Tables under any other headers are mapped once (Load files,
Ctrl+O, or `padbook load --columns`).
"""


def main() -> int:
    """Write them, or say whether they are as they should be."""
    pages = {"file.md": page(), "tables.md": f"{TABLES_HEAD}\n{headers_markdown()}\n"}
    if "--check" in sys.argv[1:]:
        other = [name for name, made in pages.items() if _kept(name) != made]
        sys.stdout.write(f"not as it would be written: {', '.join(other)}\n" if other else "as written\n")
        return 1 if other else 0
    for name, made in pages.items():
        (RESOURCES / name).write_text(made, "utf-8")
    return 0


def _kept(name: str) -> str:
    path = RESOURCES / name
    return path.read_text("utf-8") if path.exists() else ""


if __name__ == "__main__":
    raise SystemExit(main())
