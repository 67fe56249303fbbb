"""The file opened by plain sqlite3 after a shop closed: what is on each ball, what is due, what was, as a reader of the
views sees it. Intervals: a fresh 1000 on a reactive solid is refreshed every 3–6 games (common practice, no source).
"""

from __future__ import annotations

import sqlite3
from datetime import timedelta
from pathlib import Path
from typing import Any

from made_shop import Clock, opened

from arsenal.acts import hands, logging, now_tables, undo


def rows(path: Path, sql: str) -> list[dict[str, Any]]:
    conn = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    conn.row_factory = sqlite3.Row
    try:
        return [dict(row) for row in conn.execute(sql)]
    finally:
        conn.close()


def ball(path: Path, name: str) -> dict[str, Any]:
    (found,) = [row for row in rows(path, "SELECT * FROM balls_now") if row["ball"] == name]
    return found


def test_a_closed_shop_tells_any_reader_what_is_on_each_ball(filled: Path, tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "shop.padbook"
    path.write_bytes(filled.read_bytes())
    with opened(path, clock) as shop:
        name = shop.ball(2).name
        logging.keep(shop, logging.read_line(shop, "jay 1000 h").drafts)
        state = shop.state(2)
    told = ball(path, name)
    assert (told["finish"], told["finish_on"], told["games_since_surface"]) == ("1000 h", "2026-11-24", 0.0)
    assert told["grit_low"] < told["plays_about_grit"] < told["grit_high"]
    assert abs(told["plays_about_grit"] - state.grit) <= 5.0
    assert told["holder"] == "in the bag"
    assert told["as_of"].endswith("Z")
    assert {row["ball"] for row in rows(path, "SELECT ball FROM balls_now")} == {
        row["name"] for row in rows(path, "SELECT name FROM ball_list")
    }


def test_what_is_due_says_why_and_goes_once_it_is_done(filled: Path, tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "shop.padbook"
    path.write_bytes(filled.read_bytes())
    with opened(path, clock) as shop:
        logging.keep(shop, logging.read_line(shop, "jay 1000 h").drafts)
        for _ in range(5):
            logging.keep(shop, logging.read_line(shop, "jay 3g").drafts, confirmed=True)
        name = shop.ball(2).name
    due = [row for row in rows(path, "SELECT * FROM due") if row["ball"] == name and row["job"] == "refresh"]
    assert [row["due"] for row in due] in (["due"], ["over"])
    assert "interval" in due[0]["why"]
    with opened(path, clock) as shop:
        logging.keep(shop, logging.read_line(shop, "jay 1000 h").drafts, confirmed=True)
    assert not [row for row in rows(path, "SELECT * FROM due") if row["ball"] == name and row["job"] == "refresh"]


def test_history_names_ball_owner_and_what_was_typed(filled: Path, tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "shop.padbook"
    path.write_bytes(filled.read_bytes())
    with opened(path, clock) as shop:
        logging.keep(shop, logging.read_line(shop, "jay 3g").drafts)
        name, owner = shop.ball(2).name, shop.person(1).name
    last = rows(path, "SELECT * FROM history")[-1]
    assert (last["ball"], last["owner"], last["kind"], last["typed"]) == (name, owner, "played", "jay 3g")


def test_only_what_changed_is_written_again_and_nothing_where_nothing_did(
    filled: Path, tmp_path: Path, clock: Clock
) -> None:
    path = tmp_path / "shop.padbook"
    path.write_bytes(filled.read_bytes())
    clock.at += timedelta(hours=2)
    with opened(path, clock) as shop:
        now_tables.keep(shop, None)
        assert shop.ledger.now_behind() == []
        assert now_tables.keep(shop) == 0
    before = {row["ball"]: row["as_of"] for row in rows(path, "SELECT ball, as_of FROM balls_now")}
    clock.at += timedelta(hours=2)
    with opened(path, clock) as shop:
        mine, name = len(shop.balls(1)), shop.ball(2).name
        hands.lend(shop, 2, "Kell")
        assert [ball_id for ball_id, _ in shop.ledger.now_behind()] == [2]
        clock.at += timedelta(hours=2)
        assert now_tables.keep(shop) == mine
        hands.take_back(shop, 2)
        undo.undo(shop)
    after = {row["ball"]: row["as_of"] for row in rows(path, "SELECT ball, as_of FROM balls_now")}
    assert sum(before[one] != after[one] for one in before) == mine
    assert ball(path, name)["holder"] == "lent"


def test_a_closing_without_time_leaves_the_rest_for_the_next(filled: Path, tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "shop.padbook"
    path.write_bytes(filled.read_bytes())
    with opened(path, clock) as shop:
        every = len(shop.balls())
        shop.ledger.keep_now([], [])
        assert now_tables.keep(shop, -1.0) == 0
        assert len(shop.ledger.now_behind()) == every
        clock.at += timedelta(hours=2)
        assert now_tables.keep(shop, None) == every
        assert shop.ledger.verify().ok
