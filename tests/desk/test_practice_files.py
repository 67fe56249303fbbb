"""Sensor tables in, practice out, and cards printed before: files of the Practice room."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import lane_side_shop
import pytest
from practice_desk import QUARRY, Desk

from arsenal.acts import cards, lane_side, logging
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.dialogs.card import CardDialog, open_card
from arsenal.desk.practice.sensor_dialog import SensorDialog, open_sensor
from arsenal.exchange.sensor_fields import Field, Gutter
from arsenal.trade.entries import Draft, Kind, Shot, Step, SurfaceWork
from arsenal.trade.units import MPH_MPS, board_to_lateral_m

TABLE = """Ball;Off hand (mph);Arrow;At pins;Remark
Quarry Song;16,4;14;17,5;good
Slow Lantern;16.2;14;19;<b>high</b>
Quarry Song;fast;14;18;
"""


@pytest.fixture
def desk(qtbot, tmp_path: Path, settings: Settings) -> Iterator[Desk]:
    path = tmp_path / "shop.padbook"
    lane_side_shop.build(path)
    made = Desk(qtbot, path, settings)
    yield made
    made.close()


def opened(desk: Desk, path: Path) -> SensorDialog:
    found = open_sensor(desk.shared, desk.window, path)
    assert found is not None
    desk.settle()
    return found


def map_by_hand(desk: Desk, dialog: SensorDialog) -> None:
    by_header = {row.header: row for row in dialog.headers}
    for header, field in (("Off hand (mph)", Field.SPEED), ("Arrow", Field.ARROWS), ("At pins", Field.PINS)):
        by_header[header].field.picked.emit(field)
    dialog._timer.stop()
    dialog._look()
    desk.settle()


def test_a_table_is_mapped_by_hand_once_and_seen_in_numbers_before_it_is_kept(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "session <1>.csv"
    path.write_text(TABLE, encoding="utf-8")
    dialog = opened(desk, path)
    assert [row.header for row in dialog.headers] == ["Ball", "Off hand (mph)", "Arrow", "At pins", "Remark"]
    assert dialog.headers[0].field.value is Field.BALL  # its header says just that
    assert not dialog.all.isEnabled()
    map_by_hand(desk, dialog)
    assert dialog.report is not None
    assert (dialog.report.shots, len(dialog.report.bad_rows)) == (2, 1)
    assert "fast" in dialog.model.data(dialog.model.index(0))
    assert not dialog.all.isEnabled()
    assert dialog.good.isVisible()
    assert desk.shots() == []
    dialog.good.click()
    desk.settle()
    (entry,) = desk.shots(QUARRY)
    assert isinstance(entry.payload, Shot)
    assert entry.payload.seen.by_sensor
    assert entry.payload.seen.landing_m == pytest.approx(board_to_lateral_m(17.5))
    assert entry.payload.measured is not None
    assert entry.payload.measured.speed_mps == pytest.approx(16.4 * MPH_MPS)
    again = opened(desk, path)
    assert {row.header: row.field.value for row in again.headers}["At pins"] is Field.PINS
    assert again.report is not None
    assert again.report.known == 2
    again.reject()


def test_boards_may_count_from_another_gutter(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "left.csv"
    path.write_text("board at the pins\n22.5\n", encoding="utf-8")
    dialog = opened(desk, path)
    dialog.gutter.picked.emit(Gutter.LEFT)
    dialog._timer.stop()
    dialog._look()
    desk.settle()
    dialog.all.click()
    desk.settle()
    (entry,) = desk.shots(QUARRY)
    assert isinstance(entry.payload, Shot)
    assert entry.payload.seen.landing_m == pytest.approx(board_to_lateral_m(17.5))


@pytest.mark.parametrize(
    ("name", "content"),
    [("empty.csv", b""), ("not.csv", b"\x00\x01\x02\xff" * 40), ("open quote.csv", b'a,b\n"1,2\n3,4\n' * 3)],
)
def test_what_is_no_table_is_said_and_nothing_is_kept(desk: Desk, tmp_path: Path, name: str, content: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    head = desk.ask(lambda shop: shop.ledger.head_seq)
    dialog = opened(desk, path)
    told = dialog.trouble.text() or dialog.found.whole()
    assert told
    assert not dialog.all.isEnabled()
    dialog.reject()
    assert desk.ask(lambda shop: shop.ledger.head_seq) == head


def test_two_headers_for_one_thing_are_refused_in_words(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "two.csv"
    path.write_text("x,y\n17,18\n", encoding="utf-8")
    dialog = opened(desk, path)
    for row in dialog.headers:
        row.field.picked.emit(Field.PINS)
    dialog._timer.stop()
    dialog._look()
    desk.settle()
    assert "Two headers stand for the board at the pins" in dialog.trouble.text()
    assert not dialog.all.isEnabled()
    dialog.reject()


def test_shots_and_what_they_taught_are_written_as_tables_and_as_json(desk: Desk, tmp_path: Path) -> None:
    folder, one = tmp_path / "out", tmp_path / "practice.json"
    desk.room.doing.write(one, "json")
    desk.settle()
    assert not one.exists()
    assert "There is no practice shot to write yet" in desk.window.foot.sentence.whole()
    desk.shot("h19")
    desk.room.doing.write(one, "json")
    desk.settle()
    assert json.loads(one.read_text("utf-8"))
    assert desk.window.foot.sentence.whole() == f"Wrote {one}"
    desk.room.doing.write(folder, "csv")
    desk.settle()
    tables = list(folder.glob("*.csv"))
    assert tables
    shots = [row for table in tables for row in csv.reader(table.read_text("utf-8-sig").splitlines())]
    assert any("Quarry Song" in cell for row in shots for cell in row)


def test_a_card_printed_before_is_shown_with_what_has_changed_since(desk: Desk, tmp_path: Path) -> None:
    def make(shop: Shop) -> cards.BagCard:
        return cards.bag_card(shop, lane_side.lane_side(shop, 1, 1))

    before = desk.ask(make)
    desk.ask(lambda shop: logging.keep(shop, (
        Draft(QUARRY, Kind.SANDED, shop.today(), SurfaceWork((Step(number=500.0),))),)))  # fmt: skip
    now = desk.ask(make)
    dialog = open_card(desk.shared, desk.window, [now])
    assert isinstance(dialog, CardDialog)
    desk.settle()
    assert not dialog.which.isHidden()
    earlier = desk.ask(lambda shop: cards.printed(shop, 1))
    assert [card.id for card in earlier] == [now.id, before.id]
    dialog.which.picked.emit(earlier[1])
    desk.settle()
    assert dialog.since.text() == "Changed since, because Quarry Song was sanded 500 h."
    assert dialog._cards[0].id == before.id
    dialog.which.picked.emit(None)
    desk.settle()
    assert dialog.since.text() == ""
    assert dialog._cards[0].id == now.id
    dialog.reject()
