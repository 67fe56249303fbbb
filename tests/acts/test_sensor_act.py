"""A file of measured shots: mapped once, loaded in one act, remembered for the next."""

from __future__ import annotations

from pathlib import Path

import pytest

from arsenal.acts import sensor, speeds, undo
from arsenal.acts.shop import Shop
from arsenal.exchange.sensor_fields import Field, Mapped, SensorTable
from arsenal.trade.entries import Shot, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.person import ReadAt
from arsenal.trade.units import MPH_MPS

TABLE = SensorTable(
    (Mapped(Field.DAY, "when", "day.month.year"), Mapped(Field.BALL, "what"), Mapped(Field.PINS, "hit"),
     Mapped(Field.SPEED, "pace", "km/h"))
)  # fmt: skip
TEXT = """when;what;hit;pace;weather
20.11.2026;rook;17,5;26,9;dry
20.11.2026;rook;17,5;26,9;dry
20.11.2026;jay;19;27;wet
"""


def written(folder: Path, text: str = TEXT) -> Path:
    path = folder / "shots.csv"
    path.write_text(text, "utf-8-sig")
    return path


def shots(shop: Shop, ball_id: int) -> list[Shot]:
    return [e.payload for e in effective(shop.entries(ball_id)) if isinstance(e.payload, Shot)]


def test_headers_nobody_has_mapped_are_shown_and_nothing_is_read(shop: Shop, tmp_path: Path) -> None:
    found = sensor.preview(shop, written(tmp_path), bowler_id=1)
    assert (found.table, found.shots, found.head.headers[0]) == (None, 0, "when")
    with pytest.raises(KnownError, match="Nobody has mapped"):
        sensor.load(shop, written(tmp_path), bowler_id=1)


def test_a_file_is_loaded_in_one_act_and_the_next_of_its_kind_needs_no_mapping(shop: Shop, tmp_path: Path) -> None:
    revision = shop.revision
    seen = sensor.preview(shop, written(tmp_path), TABLE, bowler_id=1, lane_id=2)
    assert (seen.kept, seen.shots, seen.not_mapped, shop.revision) == (False, 3, ("weather",), revision)
    report = sensor.load(shop, written(tmp_path), TABLE, bowler_id=1, lane_id=2)
    assert report.kept
    assert report.changes.sentence == "Loaded 3 practice shots from shots.csv"
    assert [len(shots(shop, i)) for i in (1, 2)] == [2, 1]
    assert {s.lane_id for s in shots(shop, 1)} == {2}
    assert all(s.seen.by_sensor for s in shots(shop, 1))
    later = written(tmp_path, TEXT.replace("20.11", "21.11"))
    again = sensor.load(shop, later, bowler_id=1, lane_id=2)
    assert (again.kept, again.table) == (True, TABLE)
    undo.undo(shop)
    undo.undo(shop)
    assert shots(shop, 1) == []
    assert sensor.remembered(shop, report.head.fingerprint) is None


def test_the_same_file_again_adds_nothing_and_says_so(shop: Shop, tmp_path: Path) -> None:
    sensor.load(shop, written(tmp_path), TABLE, bowler_id=1)
    head = shop.ledger.head_seq
    again = sensor.load(shop, written(tmp_path), bowler_id=1)
    assert (again.kept, again.known, shop.ledger.head_seq) == (False, 3, head)
    assert sensor.said(again).startswith("Nothing to load. 3 rows known already.")
    more = sensor.load(shop, written(tmp_path, TEXT + "20.11.2026;rook;17,5;26,9;dry\n"), bowler_id=1)
    assert (more.shots, more.known) == (1, 3)


def test_a_bad_row_stops_all_of_it_unless_the_good_ones_are_wanted(shop: Shop, tmp_path: Path) -> None:
    path = written(tmp_path, TEXT + "20.11.2026;ghost;18;27;\n1.1.2020;jay;18;27;\n")
    report = sensor.load(shop, path, TABLE, bowler_id=1)
    assert not report.kept
    assert [row.row for row in report.bad_rows] == [5, 6]
    assert shots(shop, 1) == []
    kept = sensor.load(shop, path, TABLE, bowler_id=1, keep_good=True)
    assert (kept.kept, kept.shots) == (True, 3)
    assert "shots.csv, row 5, what: “ghost” is no ball in this file." in sensor.said(kept)


def test_odd_rows_are_kept_and_named(shop: Shop, tmp_path: Path) -> None:
    report = sensor.load(shop, written(tmp_path, "when;what;hit;pace\n20.11.2026;rook;45;27\n"), TABLE, bowler_id=1)
    assert report.kept
    assert "board 45" in sensor.said(report)


def test_a_mapping_can_be_forgotten(shop: Shop, tmp_path: Path) -> None:
    report = sensor.load(shop, written(tmp_path), TABLE, bowler_id=1)
    sensor.forget(shop, report.head.fingerprint)
    assert sensor.preview(shop, written(tmp_path), bowler_id=1).table is None


def test_a_display_is_brought_to_the_hand_by_what_that_house_was_measured_to_show(shop: Shop, tmp_path: Path) -> None:
    speeds.set_below_hand(shop, "Elm", 0.6 * MPH_MPS)
    table = SensorTable((Mapped(Field.PINS, "hit"), Mapped(Field.SPEED, "pace")), speed_at=ReadAt.DISPLAY)
    path = written(tmp_path, "hit;pace\n17.5;16\n")
    for lane_id, mph in ((1, 16.6), (2, 17.0)):  # a house nobody measured shows 1 mph less (common practice)
        (draft,) = sensor.preview(shop, path, table, ball_id=1, lane_id=lane_id).drafts
        assert isinstance(draft.payload, Shot)
        assert draft.payload.measured is not None
        assert draft.payload.measured.speed_mps == pytest.approx(mph * MPH_MPS)
