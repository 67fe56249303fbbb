"""From the Bench and from the Counter's cards by one key: fit and drilling, lend or sell, history, records; names for
screen readers on everything that takes the focus.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from people_desk import Ground
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import fits
from arsenal.desk.bench.room import BenchRoom
from arsenal.desk.counter.room import CounterRoom
from arsenal.desk.dialogs.bowler import BowlerDialog
from arsenal.desk.dialogs.drill_form import DrillDialog
from arsenal.desk.dialogs.fit_form import FitDialog
from arsenal.desk.dialogs.fit_list import FitListDialog
from arsenal.desk.dialogs.hand_over import HandOverDialog
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.dialogs.records import EraseDialog, RecordsDialog
from arsenal.desk.rooms import Room
from arsenal.trade.fit import DrillRecord, Hole
from arsenal.trade.units import INCH_M


@pytest.fixture
def ground(qtbot, qapp, shop_file: Path, settings) -> Iterator[Ground]:
    made = Ground(qtbot, shop_file, settings)
    made.shared.bowler_id = 1
    yield made
    made.close()


def shown(ground: Ground, room: Room) -> Room:
    ground.qtbot.addWidget(room)
    room.resize(1366, 700)
    room.show()
    room.enter()
    ground.idle()
    return room


def unnamed(dialog: QWidget) -> list[str]:
    """What takes the focus and says nothing to a screen reader."""
    QApplication.processEvents()
    found = []
    for one in dialog.findChildren(QWidget):
        if one.isVisible() and one.focusPolicy() != Qt.FocusPolicy.NoFocus and one.focusProxy() is None:
            reader = QAccessible.queryAccessibleInterface(one)
            if reader is None or not reader.text(QAccessible.Text.Name):
                found.append(f"{type(one).__name__} {one.objectName()}")
    return [name for name in found if not name.startswith(("QScrollArea", "QScrollBar"))]


@pytest.mark.parametrize(
    ("key", "kind"),
    [("F", FitListDialog), ("T", HandOverDialog), ("I", PaperDialog), ("W", BowlerDialog), ("X", RecordsDialog)],
)
def test_a_key_of_the_bench_opens_it(ground: Ground, key: str, kind: type[QWidget]) -> None:
    room = shown(ground, BenchRoom(ground.shared))
    assert room.letter(key)
    dialog = ground.top(kind)
    ground.idle()
    assert unnamed(dialog) == []


@pytest.mark.parametrize(("card", "key", "kind"), [
    ("ball", "F", FitListDialog), ("ball", "H", HandOverDialog), ("person", "F", FitListDialog),
    ("person", "R", RecordsDialog),
])  # fmt: skip
def test_a_key_of_a_card_opens_it(ground: Ground, card: str, key: str, kind: type[QWidget]) -> None:
    room = shown(ground, CounterRoom(ground.shared))
    assert isinstance(room, CounterRoom)
    room.middle.open(card, 1)
    page = room.middle.ball if card == "ball" else room.middle.person
    ground.qtbot.waitUntil(lambda: page.card is not None)
    assert room.letter(key)
    ground.top(kind)


def test_the_card_prints_the_history(ground: Ground) -> None:
    room = shown(ground, CounterRoom(ground.shared))
    assert isinstance(room, CounterRoom)
    room.middle.open("ball", 1)
    ground.qtbot.waitUntil(lambda: room.middle.ball.card is not None)
    room.middle.ball.print.click()
    assert ground.top(PaperDialog).heading.text() == "History of Quarry Song"


def test_an_erased_customer_leaves_no_card_behind(ground: Ground) -> None:
    room = shown(ground, CounterRoom(ground.shared))
    assert isinstance(room, CounterRoom)
    room.middle.open("person", 2)
    ground.qtbot.waitUntil(lambda: room.middle.person.card is not None)
    room.letter("R")
    ground.top(RecordsDialog).erase.click()
    sure = ground.top(EraseDialog)
    assert unnamed(sure) == []
    sure.typed.setText("Tamsin <i>Ode</i> & Co")
    with ground.qtbot.waitSignal(ground.shared.kept, timeout=10_000):
        sure.go.click()
    assert room.middle.at is None


def test_the_bench_tells_how_a_ball_was_drilled(ground: Ground) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    holes = (Hole("middle"), Hole("ring"))
    ground.read(lambda shop: fits.keep_drill(shop, DrillRecord(0, 1, day, holes, 4.5 * INCH_M, palm_mark=True)))
    ground.shared.ball_id = 1
    room = shown(ground, BenchRoom(ground.shared))
    assert isinstance(room, BenchRoom)
    ground.qtbot.waitUntil(lambda: "Drilled" in room.facts._values, timeout=10_000)
    assert room.facts._values["Drilled"].text() == "pin 4 1/2 in, no thumb"


def test_the_forms_name_everything(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    drilling = DrillDialog(ground.shared, window, "Quarry Song", DrillRecord(0, 1, day), day)
    drilling.open_()
    assert unnamed(drilling) == []
    book = shown(ground, BenchRoom(ground.shared))
    book.letter("F")
    listed = ground.top(FitListDialog)
    ground.idle()
    listed.measure.click()
    assert unnamed(ground.top(FitDialog)) == []
