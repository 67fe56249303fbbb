from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typed_drafts import drafts
from typed_shop import BALLS, LANES, PADS, PEOPLE, RECIPES, TODAY

from arsenal.exchange import json_lines
from arsenal.exchange.json_lines import Whole
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
WHOLE = Whole(PEOPLE, BALLS, LANES, PADS, LOG, RECIPES)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(st.lists(drafts(), max_size=5))
def test_an_equal_file_is_rebuilt_from_the_lines(tmp_path: Path, log: list[Draft]) -> None:
    whole = Whole(PEOPLE, BALLS, LANES, PADS, (*LOG, *(entry(n, d) for n, d in enumerate(log, 4))), RECIPES)
    path = tmp_path / "all.jsonl"
    json_lines.write(path, whole)
    assert json_lines.read(path) == whole


def test_every_line_is_json_by_itself(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    json_lines.write(path, WHOLE)
    words = [json.loads(line)["is"] for line in path.read_text("utf-8").splitlines()]
    records = [*["bowler"] * 3, *["ball"] * 6, *["condition"] * 3, *["pad"] * 6, *["recipe"] * 2]
    assert words == ["head", *records, *["entry"] * 3, "foot"]


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
