"""Work cut into turns of the event loop."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer

from arsenal.desk.lane_side.turns import Turns


def test_turns_come_in_order_and_others_get_a_turn_between(qtbot) -> None:
    owner, done = QObject(), []
    turns = Turns(owner)
    other = QTimer(owner)
    other.setInterval(0)
    other.timeout.connect(lambda: done.append("other"))
    other.start()
    turns.begin(lambda: done.append("list"), lambda: done.append("paths"), lambda: done.append("strip"))
    assert done == [], "nothing is done at once"
    assert not turns.idle()
    qtbot.waitUntil(turns.idle)
    other.stop()
    own = [what for what in done if what != "other"]
    assert own == ["list", "paths", "strip"]
    assert "other" in done[done.index("list") : done.index("strip")]


def test_a_new_round_forgets_what_was_left(qtbot) -> None:
    owner, done = QObject(), []
    turns = Turns(owner)
    turns.begin(lambda: done.append("old"))
    turns.begin(lambda: done.append("new"))
    qtbot.waitUntil(turns.idle)
    assert done == ["new"]
    turns.begin(lambda: done.append("dropped"))
    turns.drop()
    qtbot.wait(5)
    assert done == ["new"]


def test_what_is_left_can_be_done_at_once_and_only_once(qtbot) -> None:
    owner, done = QObject(), []
    turns = Turns(owner)
    turns.begin(lambda: done.append(1), lambda: (done.append(2), turns.finish()), lambda: done.append(3))
    turns.finish()
    assert done == [1, 2, 3]
    qtbot.wait(5)
    assert done == [1, 2, 3]
