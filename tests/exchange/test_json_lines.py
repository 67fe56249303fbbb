from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typed_drafts import drafts
from typed_shop import BALLS, LANES, PADS, PEOPLE, RECIPES, TODAY

from arsenal.exchange import json_lines
from arsenal.exchange.json_lines import Whole, row_of
from arsenal.ledger import Result, Row
from arsenal.trade.entries import Draft, Entry, Kind, Note, Undo, Unknown
from arsenal.trade.errors import KnownError

AT = datetime(2026, 11, 24, 19, 30, 1, 500, tzinfo=UTC)


def entry(seq: int, draft: Draft) -> Entry:
    return Entry(
        seq, draft.ball_id, draft.kind, draft.on, draft.payload, AT, 60, "as typed", draft.undoes, 3, 1, draft.late
    )


LOG = (
    entry(1, Draft(1, Kind.NOTE, TODAY, Note("first"))),
    entry(2, Draft(1, Kind.UNDO, TODAY, Undo("typed twice"), undoes=1)),
    entry(3, Draft(1, "weather", TODAY, Unknown('{"rain":true}'))),
)
ROWS = tuple(row_of(record) for record in (*PEOPLE, *BALLS, *LANES, *PADS, *RECIPES))
GONE = Row("recipe", 99, ROWS[-1].text, gone=True)
KEPT = (Result(1, "bag card", AT, 7, {"boards": [1.5, -2.0]}),)
WHOLE = Whole((*ROWS, GONE), LOG, {"bench": {"first": "a"}}, KEPT, "K7MR", {"ticket": 12, "act": 40})


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(st.lists(drafts(), max_size=5))
def test_an_equal_file_is_rebuilt_from_the_lines(tmp_path: Path, log: list[Draft]) -> None:
    whole = replace(WHOLE, rows=ROWS, entries=(*LOG, *(entry(n, d) for n, d in enumerate(log, 4))))
    path = tmp_path / "all.jsonl"
    json_lines.write(path, whole)
    assert json_lines.read(path) == whole


def test_every_line_is_json_by_itself(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE)
    words = [json.loads(line)["is"] for line in path.read_text("utf-8").splitlines()]
    records = [*["bowler"] * 3, *["ball"] * 6, *["condition"] * 3, *["pad"] * 6, *["recipe"] * 3]
    assert words == ["head", *records, "setting", *["entry"] * 3, "result", "foot"]


def test_everything_a_file_holds_comes_back_removed_records_and_numbers_given_out_too(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE)
    assert json_lines.read(path) == WHOLE


def test_photographs_come_in_pieces_and_come_back_byte_for_byte(tmp_path: Path) -> None:
    taken = {1: bytes(range(256)) * 9000, 3: b"small", 4: b'\n{"is":"foot"}'}
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE, taken.items())
    assert json_lines.read(path) == WHOLE
    assert dict(json_lines.photos(path)) == taken
    lines = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    assert [line["photo"] for line in lines if line["is"] == "photo bytes"] == [1, 1, 1, 1, 3, 4]


def test_lines_of_the_first_version_are_still_read(tmp_path: Path) -> None:
    """Written down as that version wrote them: nothing but records in sight and entries."""
    path = tmp_path / "all.jsonl"
    json_lines.write(path, replace(WHOLE, rows=ROWS, settings={}, results=()))
    lines = path.read_text("utf-8").splitlines()
    body = "".join(f"{line}\n" for line in ['{"format":"padbook log","is":"head","version":1}', *lines[1:-1]])
    foot = {"is": "foot", "lines": len(lines) - 1, "sha256": hashlib.sha256(body.encode()).hexdigest()}
    path.write_text(body + json.dumps(foot) + "\n", "utf-8")
    assert json_lines.read(path) == Whole(ROWS, LOG)


def test_a_file_cut_off_anywhere_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE)
    raw = path.read_bytes()
    for end in range(0, len(raw) - 1, 97):
        path.write_bytes(raw[:end])
        with pytest.raises(KnownError):
            json_lines.read(path)


def test_a_file_changed_anywhere_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE)
    raw = bytearray(path.read_bytes())
    for at in range(0, len(raw) - 1, 101):
        path.write_bytes(bytes([*raw[:at], raw[at] ^ 1, *raw[at + 1 :]]))
        with pytest.raises(KnownError):
            json_lines.read(path)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no log of this program"),
        ("hello\n", "line 1: This is no JSON"),
        ("[]\n", "no JSON object"),
        ('{"is":"head","format":"other"}\n', "no log of this program"),
        ('{"is":"head","format":"padbook log","version":99}\n', "newer version"),
        ("[" * 100_000, "no JSON"),
    ],
)
def test_a_file_of_another_kind_is_refused(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "all.jsonl"
    path.write_text(text)
    with pytest.raises(KnownError, match=says):
        json_lines.read(path)


def sealed(path: Path, found: list[dict[str, object]]) -> Path:
    """Lines somebody wrote with a foot that fits them."""
    raw = [json.dumps(line).encode() + b"\n" for line in found]
    foot = {"is": "foot", "lines": len(raw), "sha256": hashlib.sha256(b"".join(raw)).hexdigest()}
    path.write_bytes(b"".join(raw) + json.dumps(foot).encode() + b"\n")
    return path


@pytest.mark.parametrize(
    ("word", "change"),
    [
        ("head", {"mark": "K7MR" * 9}),
        ("head", {"numbers": {"ticket": -7}}),
        ("head", {"numbers": {"ticket": True}}),
        ("bowler", {"id": 0}),
        ("ball", {"id": -5}),
        ("ball", {"id": 2**70}),
        ("ball", {"id": True}),
        ("entry", {"seq": "1"}),
        ("entry", {"ball": 2**64}),
        ("entry", {"offset_min": 10**9}),
    ],
)
def test_numbers_no_file_can_hold_are_told_by_their_line(tmp_path: Path, word: str, change: dict[str, object]) -> None:
    path = tmp_path / "shop.jsonl"
    json_lines.write(path, WHOLE)
    found = [json.loads(line) for line in path.read_text("utf-8").splitlines()[:-1]]
    at = next(number for number, line in enumerate(found) if line["is"] == word)
    found[at].update(change)
    with pytest.raises(KnownError, match=rf"shop\.jsonl, line {at + 1}: "):
        json_lines.read(sealed(path, found))
