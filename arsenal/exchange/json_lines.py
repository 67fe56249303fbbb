"""The whole log as JSON Lines, taken-back entries and all: a file from which an equal one can be rebuilt.

One object a line: a head, then bowlers, balls, conditions, pads, recipes, other records (events, leagues, time for
work and the like), entries in order, and a foot with the count and a digest of everything above it, so that half a
file is told from a whole one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from arsenal.exchange.atomic import write_file
from arsenal.ledger import Record, codec
from arsenal.ledger.records import SHELF_OF, SHELVES
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

FORMAT, VERSION = "padbook log", 1
_RECORDS: dict[str, Any] = {"bowler": Person, "ball": Ball, "condition": Lane, "pad": Pad, "recipe": Recipe}
MORE: dict[str, type[Record]] = {
    shelf.what: shelf.cls for shelf in SHELVES.values() if shelf.cls not in _RECORDS.values()
}  # fmt: skip
"""Everything else that is kept as a record of its own: events, leagues, time for work and the like."""
MOST_BYTES = 1_000_000_000


@dataclass(frozen=True)
class Whole:
    """Everything a log file holds of the trade."""

    people: tuple[Person, ...] = ()
    balls: tuple[Ball, ...] = ()
    lanes: tuple[Lane, ...] = ()
    pads: tuple[Pad, ...] = ()
    entries: tuple[Entry, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    more: tuple[Record, ...] = ()
    """Records of the kinds in `MORE`, in the order of that table."""


def _lines(whole: Whole) -> Iterable[str]:
    yield codec.text_of({"is": "head", "format": FORMAT, "version": VERSION})
    for word, things in (
        ("bowler", whole.people), ("ball", whole.balls), ("condition", whole.lanes), ("pad", whole.pads),
        ("recipe", whole.recipes),
    ):  # fmt: skip
        for thing in things:
            yield codec.text_of({"is": word, **codec.to_plain(thing)})
    for record in whole.more:
        yield codec.text_of({"is": SHELF_OF[type(record)].what, **codec.to_plain(record)})
    for entry in sorted(whole.entries, key=lambda e: e.seq):
        yield codec.text_of({"is": "entry", **_entry(entry)})


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "seq": entry.seq, "ball": entry.ball_id, "kind": str(entry.kind), "on": entry.on.isoformat(),
        "at": entry.at.isoformat(), "offset_min": entry.offset_min, "typed": entry.typed, "undoes": entry.undoes,
        "act": entry.act_id, "version": entry.version, "late": entry.late,
        "payload": codec.encode_payload(entry.payload),
    }  # fmt: skip


def write(path: Path, whole: Whole) -> None:
    """Write the file whole or not at all. Raises KnownError."""
    lines = list(_lines(whole))
    body = "".join(line + "\n" for line in lines)
    digest = hashlib.sha256(body.encode()).hexdigest()
    foot = codec.text_of({"is": "foot", "lines": len(lines), "sha256": digest})
    write_file(path, (body + foot + "\n").encode())


def _refuse(path: Path, reason: str, line: int | None = None) -> KnownError:
    place = f"{path.name}, line {line}" if line else path.name
    return KnownError(f"{place}: {reason}", next_step="Take another copy of the file.")


def read(path: Path) -> Whole:
    """Everything in the file. Raises KnownError, naming file and line, for one that is not whole or of another kind."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _refuse(path, "The file is too large.")
        text = path.read_bytes().decode("utf-8")
    except OSError as error:
        raise _refuse(path, f"It cannot be read: {error.strerror or error}.") from None
    except UnicodeDecodeError:
        raise _refuse(path, "It is not UTF-8 text.") from None
    lines = text.split("\n")
    if lines[-1] == "":
        lines.pop()
    objects = [_object(path, number, line) for number, line in enumerate(lines, 1)]
    if not objects or objects[0].get("format") != FORMAT:
        raise _refuse(path, "This is no log of this program.", 1)
    if objects[0].get("version") != VERSION:
        raise _refuse(path, "A newer version of this program wrote it.", 1)
    _check_foot(path, lines, objects)
    return _whole(path, objects[1:-1])


def _object(path: Path, number: int, line: str) -> dict[str, Any]:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        raise _refuse(path, "This is no JSON; the file is damaged or cut off.", number) from None
    if not isinstance(found, dict):
        raise _refuse(path, "This is no JSON object.", number)
    return found


def _check_foot(path: Path, lines: Sequence[str], objects: Sequence[dict[str, Any]]) -> None:
    foot = objects[-1]
    if foot.get("is") != "foot" or foot.get("lines") != len(lines) - 1:
        raise _refuse(path, "The end is missing; the file was cut off.", len(lines))
    body = "".join(line + "\n" for line in lines[:-1])
    if hashlib.sha256(body.encode()).hexdigest() != foot.get("sha256"):
        raise _refuse(path, "It was changed since it was written: the digest at its end does not fit.")


def _whole(path: Path, objects: Sequence[dict[str, Any]]) -> Whole:
    kinds: dict[str, Any] = {**_RECORDS, **MORE}
    found: dict[str, list[Any]] = {word: [] for word in (*kinds, "entry")}
    for number, plain in enumerate(objects, 2):
        word = plain.pop("is", "")
        if word not in found:
            raise _refuse(path, f"“{word}” is nothing this version knows.", number)
        try:
            found[word].append(_read_entry(plain) if word == "entry" else codec.from_plain(kinds[word], plain))
        except (codec.CodecError, KeyError, TypeError, ValueError) as error:
            raise _refuse(path, f"This does not say what it needs to: {error}.", number) from None
    own = [tuple(found[word]) for word in ("bowler", "ball", "condition", "pad", "entry", "recipe")]
    return replace(Whole(*own), more=tuple(record for word in MORE for record in found[word]))


def _read_entry(plain: dict[str, Any]) -> Entry:
    kind, payload = codec.decode_payload(plain["kind"], plain["version"], plain["payload"])
    day = datetime.fromisoformat(plain["on"]).date()
    return Entry(
        plain["seq"], plain["ball"], kind, day, payload, datetime.fromisoformat(plain["at"]), plain["offset_min"],
        plain["typed"], plain["undoes"], plain["act"], plain["version"], plain["late"],
    )  # fmt: skip
