"""The whole file as JSON Lines, removed records and taken-back entries and all: a file from which an equal one can be
rebuilt.

One object a line: a head (with the mark of the shop's labels and the last number given out to each kind of record),
then every record as it is stored, settings, entries in order, kept results, the bytes of photographs in pieces, and a
foot with the count and a digest of everything above it, so that half a file is told from a whole one. Version 1 had no
removed records, settings, results, photographs, mark and numbers; it is still read.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from arsenal.exchange.atomic import write_pieces
from arsenal.ledger import Record, Result, Row, codec
from arsenal.ledger.records import SHELF_OF, SHELVES, Shelf, to_text
from arsenal.trade.code import MARK_LENGTH
from arsenal.trade.entries import Entry
from arsenal.trade.errors import KnownError
from arsenal.trade.steps import Tell, stepping, untold

FORMAT, VERSION, READ = "padbook log", 2, (1, 2)
_OWN_WORDS = {"person": "bowler", "lane": "condition"}
_WORD_OF = {what: _OWN_WORDS.get(what, what) for what in SHELVES}
_SHELF_OF_WORD: dict[str, Shelf] = {word: SHELVES[what] for what, word in _WORD_OF.items()}
MOST_BYTES = 1_000_000_000
"""Of everything but photographs."""
MOST_LINE, MOST_OFFSET_MIN = 64_000_000, 24 * 60
LINE_LETTERS = 330
"""Bytes of a usual line, by which the lines of a file are guessed at while it is read."""
PIECE = 750_000
"""Bytes of a photograph on one line, which is a million signs of base64."""
PHOTO = "photo bytes"
_PHOTO_LINE = b'{"base64":'
"""How such a line begins: keys stand in the order of the alphabet."""
Photos = Iterable[tuple[int, bytes]]


@dataclass(frozen=True)
class Whole:
    """Everything a file holds, but for the bytes of photographs: see `photos`."""

    rows: tuple[Row, ...] = ()
    """Every record as stored, in the order of `ledger.records.SHELVES`."""
    entries: tuple[Entry, ...] = ()
    settings: dict[str, Any] = field(default_factory=dict)
    results: tuple[Result, ...] = ()
    mark: str = ""
    """What tells the shop's labels from another's."""
    numbers: dict[str, int] = field(default_factory=dict)
    """The last number given out to each kind of record, and to acts."""

    def count(self, what: str) -> int:
        """How many records of a kind are in sight."""
        return sum(row.what == what and not row.gone for row in self.rows)


def row_of(record: Record) -> Row:
    """A record in sight as it would be stored."""
    return Row(SHELF_OF[type(record)].what, record.id, to_text(record))


def _lines(whole: Whole, photos: Photos) -> Iterator[str]:
    head = {"is": "head", "format": FORMAT, "version": VERSION, "mark": whole.mark, "numbers": whole.numbers}
    yield codec.text_of(head)
    for row in whole.rows:
        gone = {"gone": True} if row.gone else {}
        yield codec.text_of({"is": _WORD_OF[row.what], "id": row.id, **gone, **json.loads(row.text)})
    for key, value in whole.settings.items():
        yield codec.text_of({"is": "setting", "key": key, "value": value})
    for entry in sorted(whole.entries, key=lambda e: e.seq):
        yield codec.text_of({"is": "entry", **_entry(entry)})
    for kept in whole.results:
        told = {"id": kept.id, "kind": kept.kind, "at": kept.at.isoformat(), "revision": kept.revision}
        yield codec.text_of({"is": "result", **told, "data": kept.data})
    for photo_id, taken in photos:
        for start in range(0, max(len(taken), 1), PIECE):
            piece = base64.b64encode(taken[start : start + PIECE]).decode()
            yield codec.text_of({"is": PHOTO, "photo": photo_id, "base64": piece})


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "seq": entry.seq, "ball": entry.ball_id, "kind": str(entry.kind), "on": entry.on.isoformat(),
        "at": entry.at.isoformat(), "offset_min": entry.offset_min, "typed": entry.typed, "undoes": entry.undoes,
        "act": entry.act_id, "version": entry.version, "late": entry.late,
        "payload": codec.encode_payload(entry.payload),
    }  # fmt: skip


def write(path: Path, whole: Whole, photos: Photos = (), tell: Tell = untold) -> None:
    """Write the file whole or not at all, a line at a time. Raises KnownError."""
    write_pieces(path, _pieces(whole, photos, tell))


def _pieces(whole: Whole, photos: Photos, tell: Tell) -> Iterator[bytes]:
    digest, count = hashlib.sha256(), 0
    about = len(whole.rows) + len(whole.settings) + len(whole.entries) + len(whole.results)
    for line in stepping(_lines(whole, photos), about, tell):
        raw = line.encode() + b"\n"
        digest.update(raw)
        count += 1
        yield raw
    yield codec.text_of({"is": "foot", "lines": count, "sha256": digest.hexdigest()}).encode() + b"\n"


def _refuse(path: Path, reason: str, line: int | None = None) -> KnownError:
    place = f"{path.name}, line {line}" if line else path.name
    return KnownError(f"{place}: {reason}", next_step="Take another copy of the file.")


def read(path: Path, tell: Tell = untold) -> Whole:
    """Everything in the file but the bytes of photographs, whose lines are looked at all the same. Raises KnownError,
    naming file and line, for a file that is not whole or of another kind.
    """
    making = _Making(path)
    with _opened(path) as file:
        digest, last, number = hashlib.sha256(), b"", 0
        about = path.stat().st_size // LINE_LETTERS
        for number, raw in enumerate(stepping(_raw(path, file), about, tell), 1):
            if last:
                digest.update(last)
                making.take(number - 1, _object(path, number - 1, last))
            last = raw
        if not last:
            raise _refuse(path, "This is no log of this program.", 1)
        foot = _object(path, number, last)
        if number == 1:
            making.take(1, dict(foot))
        _check_foot(path, number, foot, digest.hexdigest())
    return making.whole()


def photos(path: Path) -> Iterator[tuple[int, bytes]]:
    """The photographs of a file that `read` found whole, one at a time. Raises KnownError."""
    now, pieces = 0, list[bytes]()
    with _opened(path) as file:
        for number, raw in enumerate(_raw(path, file), 1):
            if not raw.startswith(_PHOTO_LINE):
                continue
            plain = _object(path, number, raw)
            if pieces and plain["photo"] != now:
                yield now, b"".join(pieces)
                pieces = []
            now = plain["photo"]
            pieces.append(_bytes_of(path, number, plain))
    if pieces:
        yield now, b"".join(pieces)


def _opened(path: Path) -> IO[bytes]:
    try:
        return path.open("rb")
    except OSError as error:
        raise _refuse(path, f"It cannot be read: {error.strerror or error}.") from None


def _raw(path: Path, file: IO[bytes]) -> Iterator[bytes]:
    total = number = 0
    while True:
        try:
            raw = file.readline(MOST_LINE + 1)
        except OSError as error:
            raise _refuse(path, f"It cannot be read: {error.strerror or error}.") from None
        if not raw:
            return
        number += 1
        total += 0 if raw.startswith(_PHOTO_LINE) else len(raw)
        if len(raw) > MOST_LINE or total > MOST_BYTES:
            raise _refuse(path, "The file is too large.", number)
        yield raw


def _object(path: Path, number: int, raw: bytes) -> dict[str, Any]:
    try:
        found = json.loads(raw.decode("utf-8"))
    except UnicodeDecodeError:
        raise _refuse(path, "It is not UTF-8 text.", number) from None
    except (ValueError, RecursionError):
        raise _refuse(path, "This is no JSON; the file is damaged or cut off.", number) from None
    if not isinstance(found, dict):
        raise _refuse(path, "This is no JSON object.", number)
    return found


def _check_foot(path: Path, number: int, foot: dict[str, Any], digest: str) -> None:
    if foot.get("is") != "foot" or foot.get("lines") != number - 1:
        raise _refuse(path, "The end is missing; the file was cut off.", number)
    if digest != foot.get("sha256"):
        raise _refuse(path, "It was changed since it was written: the digest at its end does not fit.")


class _Making:
    """A file's lines on the way to what they say."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._rows: dict[str, list[Row]] = {what: [] for what in SHELVES}
        self._entries: list[Entry] = []
        self._settings: dict[str, Any] = {}
        self._results: list[Result] = []
        self._mark, self._numbers = "", dict[str, int]()

    def take(self, number: int, plain: dict[str, Any]) -> None:
        """One more line; the first is the head."""
        word = plain.pop("is", "")
        try:
            if number == 1:
                self._head(plain)
            else:
                self._take(word, plain, number)
        except (codec.CodecError, KeyError, TypeError, ValueError, AttributeError) as error:
            raise _refuse(self._path, f"This does not say what it needs to: {error}.", number) from None

    def _head(self, plain: dict[str, Any]) -> None:
        if plain.get("format") != FORMAT:
            raise _refuse(self._path, "This is no log of this program.", 1)
        if plain.get("version") not in READ:
            raise _refuse(self._path, "A newer version of this program wrote it.", 1)
        self._mark = str(plain.get("mark", ""))
        if self._mark and (len(self._mark) != MARK_LENGTH or not self._mark.isalnum()):
            raise ValueError("the mark of its labels is none")
        self._numbers = {str(what): _number(last, 0) for what, last in dict(plain.get("numbers", {})).items()}

    def _take(self, word: str, plain: dict[str, Any], number: int) -> None:
        if word in _SHELF_OF_WORD:
            shelf = _SHELF_OF_WORD[word]
            self._rows[shelf.what].append(_read_row(shelf, plain))
        elif word == "entry":
            self._entries.append(_read_entry(plain))
        elif word == "setting":
            self._settings[str(plain["key"])] = plain["value"]
        elif word == "result":
            at = datetime.fromisoformat(plain["at"])
            self._results.append(Result(int(plain["id"]), plain["kind"], at, int(plain["revision"]), plain["data"]))
        elif word == PHOTO:
            _bytes_of(self._path, number, plain)
        else:
            raise _refuse(self._path, f"“{word}” is nothing this version knows.", number)

    def whole(self) -> Whole:
        """What all lines said."""
        rows = tuple(row for found in self._rows.values() for row in found)
        return Whole(rows, tuple(self._entries), self._settings, tuple(self._results), self._mark, self._numbers)


def _read_row(shelf: Shelf, plain: dict[str, Any]) -> Row:
    """The stored text as it was; that it can be read is made sure of here."""
    record_id, gone = _number(plain.pop("id")), bool(plain.pop("gone", False))
    codec.from_plain(shelf.cls, {"id": record_id, **plain})
    return Row(shelf.what, record_id, codec.text_of(plain), gone)


def _number(value: object, least: int = 1) -> int:
    """A whole number that SQLite holds. Raises ValueError."""
    if type(value) is not int or not least <= value < 1 << 63:
        raise ValueError(f"{str(value)[:30]} is no number that can stand here")
    return value


def _bytes_of(path: Path, number: int, plain: dict[str, Any]) -> bytes:
    try:
        return base64.b64decode(plain["base64"], validate=True)
    except (binascii.Error, KeyError, TypeError, ValueError):
        raise _refuse(path, "This piece of a photograph is damaged.", number) from None


def _read_entry(plain: dict[str, Any]) -> Entry:
    kind, payload = codec.decode_payload(plain["kind"], plain["version"], plain["payload"])
    day = datetime.fromisoformat(plain["on"]).date()
    if not -MOST_OFFSET_MIN < _number(plain["offset_min"], -MOST_OFFSET_MIN) < MOST_OFFSET_MIN:
        raise ValueError("its clock is a day or more from universal time")
    at = datetime.fromisoformat(plain["at"])
    return Entry(
        _number(plain["seq"]), _number(plain["ball"]), kind, day, payload, at, plain["offset_min"],
        plain["typed"], plain["undoes"], plain["act"], plain["version"], plain["late"],
    )  # fmt: skip
