"""By keys: what surface work puts on a ball is asked when it is written down, done or ready, until somebody said it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from counter_desk import QUARRY, Desk, at_the_counter
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from arsenal.acts.settings import Settings
from arsenal.trade.entries import Kind
from arsenal.trade.pads import label
from arsenal.trade.ticket import Standing


@pytest.fixture
def desk(qtbot: Any, shop_file: Path, settings: Settings) -> Iterator[Desk]:
    yield from at_the_counter(qtbot, shop_file, settings)


def resurface(desk: Desk) -> None:
    desk.find("quarry")
    desk.letter("n")
    lines = desk.room.right.lines
    assert lines.choose_where(lambda row: getattr(getattr(row, "line", None), "name", "") == "Full resurface")
    desk.key(Qt.Key.Key_Space)


def test_the_finish_wanted_is_asked_and_what_it_had_is_told(desk: Desk) -> None:
    resurface(desk)
    dialog = desk.dialog()
    desk.type("1000")
    desk.enter()
    assert "1000 s on a spinner" in dialog.trouble.text()  # type: ignore[attr-defined]
    assert QApplication.activeModalWidget() is dialog
    desk.type(" s")
    desk.enter()
    assert [line.name for line in desk.room.right.view.lines if line.ticked] == ["Full resurface, 1000 s"]


def test_what_was_left_to_the_bench_is_asked_when_it_is_done_and_logged(desk: Desk) -> None:
    before = desk.ask(lambda shop: len(shop.entries(QUARRY)))
    resurface(desk)
    desk.dialog()
    desk.enter()
    desk.take_in()
    desk.find(str(desk.tickets()[0].id))
    desk.letter("d")
    dialog = desk.dialog()
    desk.enter()
    assert "What was put on?" in dialog.trouble.text()  # type: ignore[attr-defined]
    desk.type("500/2000 m")
    desk.enter()
    assert desk.tickets()[0].unsaid == ()
    desk.letter("r")
    desk.dialog()
    desk.enter()
    desk.letter("h")
    desk.dialog()
    desk.enter()
    (new,) = desk.ask(lambda shop: shop.entries(QUARRY))[before:]
    assert (new.kind, label(new.payload.steps)) == (Kind.SANDED, "500/2000 m")


def test_ready_asks_for_what_nobody_said_and_stays_open_without_it(desk: Desk) -> None:
    resurface(desk)
    desk.dialog()
    desk.enter()
    desk.take_in()
    desk.find(str(desk.tickets()[0].id))
    desk.letter("r")
    dialog = desk.dialog()
    desk.enter()
    desk.settle()
    assert "What was put on Quarry Song" in dialog.trouble.text()  # type: ignore[attr-defined]
    desk.type("polish")
    desk.enter()
    assert desk.tickets()[0].standing is Standing.READY
