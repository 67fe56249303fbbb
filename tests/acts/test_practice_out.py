"""Shots and what they taught, written as tables and as one JSON file."""

from __future__ import annotations

import csv
import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from arsenal.acts import balls, pasted, people, practice, practice_out, taught
from arsenal.acts.shop import Shop
from arsenal.exchange import trials_out
from arsenal.exchange.tables.csv_file import unescape
from arsenal.trade.errors import KnownError, NotFound

LINES = (
    "jay shot 19 read 33 arrows 14 bp 43@9 left 10 at 18:42 wiped", "jay shot 18.5", "jay 2 high unwiped", "jay high",
    "rook shot 16 sensor 16.4 mph 281 rpm", "rook missed right 2 light", "rook 1000 h", "rook shot 17 read 35",
    "rook shot 45", "jay > rook 2",
)  # fmt: skip


def logged(shop: Shop, lines: tuple[str, ...] = LINES, bowler_id: int = 1, outing: str = "") -> None:
    pasted.keep(shop, pasted.read(shop, lines, bowler_id=bowler_id, lane_id=1, outing=outing))


def table(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / f"practice-{name}.csv").open(newline="", encoding="utf-8-sig") as file:
        return list(csv.DictReader(file))


def test_every_shot_is_written_as_it_was_seen(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    practice_out.write(shop, 1, tmp_path)
    rows = table(tmp_path, "shots")
    assert len(rows) == 9
    first = rows[0]
    assert first | {
        "ball": "Jay Quarry", "bowler": "Mirel Oster", "date": "2026-11-24", "time": "18:42", "wiped": "yes",
        "pins_board": "19", "first_read_ft": "33", "arrows_board": "14", "breakpoint_ft": "43", "breakpoint_board": "9",
        "pins_left": "10", "condition": "41 ft house, 25 mL", "kept_out": "", "typed": LINES[0],
    } == first  # fmt: skip
    assert (rows[2]["pins_board"], rows[2]["wiped"], rows[3]["words"]) == ("19.5", "no", "high")
    assert (rows[4]["by_sensor"], rows[4]["speed_mph"], rows[4]["revs_rpm"]) == ("yes", "16.4", "281")
    assert (rows[5]["off_target_boards"], rows[5]["words"]) == ("-2", "light")
    assert (rows[0]["finish"], rows[6]["finish"]) == ("2000 h", "1000 h")
    pair = rows[8]
    assert (pair["other_ball"], pair["stronger_boards"], pair["stronger_boards_sd"]) == ("Rook Hollow", "2", "1.5")


def test_what_was_expected_stands_beside_it_as_the_room_shows_it(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    practice_out.write(shop, 1, tmp_path)
    shown = {row.seq: row for row in practice.session(shop, 1, 1).shots}
    for row in table(tmp_path, "shots"):
        seen = shown[int(row["entry"])]
        if seen.expected_board is not None:
            assert float(row["pins_board_expected"]) == pytest.approx(seen.expected_board, rel=1e-5)
        assert row["kept_out"] == seen.kept_out


def test_a_shot_that_teaches_nothing_says_why_and_has_no_odds(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    practice_out.write(shop, 1, tmp_path)
    (odd,) = [row for row in table(tmp_path, "shots") if row["kept_out"]]
    assert (odd["pins_board"], odd["odd"], odd["pins_board_expected"]) == ("45", "", "")
    assert "board 45" in odd["kept_out"]
    assert any("board 45" in row["sentence"] for row in table(tmp_path, "findings"))


def test_what_was_taught_is_written_for_each_ball(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    practice_out.write(shop, 1, tmp_path)
    rows = {row["ball"]: row for row in table(tmp_path, "balls")}
    known = taught.taught_of(shop, 1)
    assert {row["ball"] for row in rows.values()} == {shop.ball(i).name for i in known}
    jay = known[2]
    assert float(rows["Jay Quarry"]["dry_friction_ln"]) == pytest.approx(jay.mean[0], rel=1e-5)
    assert float(rows["Jay Quarry"]["dry_friction_ln_sd"]) == pytest.approx(math.sqrt(jay.cov[0]), rel=1e-5)
    assert float(rows["Jay Quarry"]["response_to_roughness"]) == pytest.approx(1.0 + jay.mean[1], rel=1e-5)
    shown = {row.ball_id: row for row in practice.session(shop, 1, 1).balls}
    assert float(rows["Jay Quarry"]["boards"]) == pytest.approx(shown[2].now, rel=1e-5)
    assert rows["Jay Quarry"]["sentence"] == shown[2].sentence
    assert [row["ball"] for row in table(tmp_path, "finishes")] == ["Rook Hollow"]
    assert [(row["date"], row["shots"]) for row in table(tmp_path, "lanes")] == [("2026-11-24", "8")]
    assert [row["bowler"] for row in table(tmp_path, "bowlers")] == ["Mirel Oster"]


def test_json_says_the_same_as_the_tables(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    practice_out.write(shop, 1, tmp_path)
    practice_out.write(shop, 1, tmp_path / "deeper" / "practice.json", "json")
    plain = json.loads((tmp_path / "deeper" / "practice.json").read_text("utf-8"))
    assert (plain["is"], plain["version"]) == ("practice", trials_out.VERSION)
    for name in trials_out.TABLES:
        rows = table(tmp_path, name)
        assert len(rows) == len(plain[name])
        for row, told in zip(rows, plain[name], strict=True):
            assert list(row) == list(told)
            for column, value in told.items():
                assert same(row[column], value), column


def same(cell: str, value: object) -> bool:
    if value is None:
        return cell == ""
    if isinstance(value, bool):
        return cell == ("yes" if value else "no")
    if isinstance(value, list):
        return cell.split() == [str(v) for v in value]
    return unescape(cell) == value if isinstance(value, str) else float(cell) == value


def test_text_that_a_spreadsheet_would_run_is_escaped(shop: Shop, tmp_path: Path) -> None:
    jay = shop.ball(2)
    balls.edit_ball(shop, replace(jay, name="=SUM(A1)"))
    logged(shop, ("jay flush",), outing="@pair 7")
    practice_out.write(shop, 1, tmp_path)
    (row,) = table(tmp_path, "shots")
    assert row["ball"] == "'=SUM(A1)"
    for name in trials_out.TABLES:
        for line in table(tmp_path, name):
            assert not [c for c, v in line.items() if v[:1] in "=@\t\r" and v]
            assert not [c for c, v in line.items() if v[:1] in "+-" and v and not _number(v)]


def _number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def test_a_back_up_bowlers_boards_are_the_own_ones(shop: Shop, tmp_path: Path) -> None:
    people.edit_bowler(shop, replace(shop.person(1), back_up=True))
    logged(shop, ("jay shot 22 arrows 26",))
    practice_out.write(shop, 1, tmp_path)
    (row,) = table(tmp_path, "shots")
    assert (row["pins_board"], row["arrows_board"]) == ("22", "26")
    assert 20.0 < float(row["pins_board_expected"]) < 39.0  # a back-up ball comes from the other side of the pocket


def test_everybody_or_one(shop: Shop, tmp_path: Path) -> None:
    logged(shop)
    logged(shop, ("lantern flush",), bowler_id=2)
    practice_out.write(shop, None, tmp_path / "all")
    practice_out.write(shop, 2, tmp_path / "one")
    assert {row["bowler"] for row in table(tmp_path / "all", "shots")} == {"Mirel Oster", "Tave Lund"}
    assert {row["bowler"] for row in table(tmp_path / "one", "shots")} == {"Tave Lund"}


def test_nothing_to_write_is_told_and_no_file_is_made(shop: Shop, tmp_path: Path) -> None:
    with pytest.raises(KnownError, match="no practice shot"):
        practice_out.write(shop, 1, tmp_path / "none")
    assert not (tmp_path / "none").exists()
    logged(shop)
    with pytest.raises(KnownError, match="csv or json"):
        practice_out.write(shop, 1, tmp_path / "none", "xlsx")
    with pytest.raises(NotFound):
        practice_out.write(shop, 99, tmp_path / "none")
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(KnownError):
        practice_out.write(shop, 1, tmp_path / "file")
