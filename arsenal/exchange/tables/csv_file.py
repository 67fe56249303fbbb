"""One CSV file as records (RFC 4180), or what is wrong with it: encoding, quotes, NUL, size.

Comma, semicolon or tab may part the fields. Text that a spreadsheet would take for a formula is escaped with an
apostrophe going out and unescaped coming in.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from arsenal.exchange.atomic import write_file
from arsenal.exchange.tables.problems import Problem

MOST_BYTES = 64 * 1024 * 1024
MOST_RECORDS = 1_000_000
MOST_IN_A_FIELD = 131_072
"""What the standard csv reader allows."""
_SIGNS = r"=+\-@\uff1d\uff0b\uff0d\uff20"
"""What a formula begins with, the wide forms too, which some spreadsheets take for the same."""
_FORMULA = re.compile(rf"['\"]*[{_SIGNS}\t\r\n]")
_INSIDE = re.compile(rf"(?<=[;,\t\r\n])(?=['\"]*[{_SIGNS}])")
_INSIDE_ESCAPED = re.compile(rf"(?<=[;,\t\r\n])'(?=['\"]*[{_SIGNS}])")
"""The same where a field would begin for a spreadsheet that parts fields by another sign than the file does."""


def escape(text: str) -> str:
    """Text that no spreadsheet takes for a formula, whatever sign it parts fields by."""
    text = _INSIDE.sub("'", text)
    return f"'{text}" if _FORMULA.match(text) else text


def unescape(text: str) -> str:
    """What `escape` was given."""
    text = text[1:] if text.startswith("'") and _FORMULA.match(text) else text
    return _INSIDE_ESCAPED.sub("", text)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file's records: the header, then each row with its number."""

    file: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    page: str = ""
    """Name of a workbook's sheet."""
    theirs: Mapping[str, str] = field(default_factory=dict)
    """What the file itself calls a header that was renamed."""


def _decode(name: str, raw: bytes) -> str | Problem:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return Problem(name, 0, "", "This is UTF-16. Save it as “CSV UTF-8” and load it again.")
    if raw.startswith((b"PK\x03\x04", b"SQLite format 3\x00", b"%PDF", b"\xd0\xcf\x11\xe0")):
        return Problem(name, 0, "", "This is no CSV file. Save the sheet as “CSV UTF-8” and load that.")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        return Problem(
            name, line, "", f"Line {line} is not UTF-8 text. Save the file as “CSV UTF-8” and load it again."
        )
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return Problem(name, line, "", f"Line {line} holds a NUL character: the file is damaged or no CSV file.")
    return text


def _separator(text: str) -> str:
    first = text[: text.find("\n") if "\n" in text else len(text)]
    return max(",;\t", key=first.count)


def read_sheet(path: Path) -> tuple[Sheet | None, list[Problem]]:
    """The records of a file and what is wrong with it. Never raises for what the file holds."""
    name = path.name
    try:
        if path.stat().st_size > MOST_BYTES:
            size = path.stat().st_size / 1e6
            return None, [
                Problem(name, 0, "", f"The file has {size:.0f} MB; {MOST_BYTES / 1e6:.0f} MB are read at most.")
            ]
        raw = path.read_bytes()
    except OSError as error:
        return None, [Problem(name, 0, "", f"The file cannot be read: {error.strerror or error}.")]
    text = _decode(name, raw)
    if isinstance(text, Problem):
        return None, [text]
    return parse_sheet(name, text)


def parse_sheet(name: str, text: str) -> tuple[Sheet | None, list[Problem]]:
    """The records of CSV text; wholly empty ones are passed over."""
    if not text.strip():
        return None, [Problem(name, 0, "", "The file is empty.")]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    records: list[tuple[int, tuple[str, ...]]] = []
    problems: list[Problem] = []
    number = 0
    while True:
        number += 1
        try:
            record = next(reader)
        except StopIteration:
            break
        except csv.Error as error:
            problems.append(Problem(name, number, "", _csv_reason(str(error), reader.line_num)))
            break
        if number > MOST_RECORDS:
            problems.append(Problem(name, number, "", f"More than {MOST_RECORDS} rows; split the file."))
            break
        if any(cell.strip() for cell in record):
            records.append((number, tuple(record)))
    if not records:
        return None, problems or [Problem(name, 0, "", "The file is empty.")]
    return Sheet(name, records[0][1], tuple(records[1:])), problems


def _csv_reason(said: str, line: int) -> str:
    if "unexpected end" in said:
        return "A quote opened in this row is never closed; nothing from here on was read."
    if "field limit" in said or "field larger" in said:
        return f"A field is over {MOST_IN_A_FIELD} characters long; is a quote missing? Nothing from here on was read."
    return f"The quotes near line {line} are broken ({said}); nothing from here on was read."


def write_sheet(path: Path, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a CSV file whole or not at all: UTF-8 with its mark, CRLF, as RFC 4180 has it."""
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer)
    writer.writerow(header)
    writer.writerows(rows)
    write_file(path, buffer.getvalue().encode("utf-8-sig"))
