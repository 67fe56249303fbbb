"""The Event room: the table as a model, ticks and pins, finishes, the prep sheet, the sentence, one column, names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import event_plan
import pytest
from event_desk import Desk
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAccessible, QFontMetricsF
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from arsenal.acts.event_views import BallLine, Mark, PrepLine
from arsenal.acts.views import Change, Changes
from arsenal.desk.event import asking, rows
from arsenal.desk.event import prep as prep_module
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError


@pytest.fixture
def desk(qtbot, settings, monkeypatch) -> Iterator[Desk]:
    made = Desk(qtbot, settings, monkeypatch)
    yield made
    made.close()


def taken(desk: Desk) -> list[str]:
    return [row.name for row in desk.room.table.table.rows() if isinstance(row, BallLine) and row.taken]


def settled(desk: Desk, number: int, **fields: object) -> None:
    """One ball of the plan is otherwise."""
    lines = [replace(line, **fields) if at == number else line for at, line in enumerate(desk.plan.rows)]
    desk.show(rows=tuple(lines))


def test_the_table_says_every_cell_in_words(desk: Desk) -> None:
    model = desk.room.table.table
    spoken = Qt.ItemDataRole.AccessibleTextRole
    assert taken(desk) == ["Umber Kestrel", "Quarry Song", "Slow Lantern", "Paper Moth"]
    assert model.data(model.index(2, 1), spoken) == "Fresh: 2 in, 1½ out, best of the stage, line 22, over 15"
    assert model.data(model.index(0, 3), spoken) == "Moved in: rolls out, line 28, over 18"
    assert "goes, as planned" in model.data(model.index(3, 0), spoken)
    assert model.headerData(1, Qt.Orientation.Horizontal, spoken) == "Fresh, to shot 40, line 22, over 15"
    assert model.row(4) == rows.Divider(rows.HOME)


def test_the_tables_cells_are_there_for_a_screen_reader(desk: Desk) -> None:
    QAccessible.setActive(True)
    table = QAccessible.queryAccessibleInterface(desk.room.table)
    assert table.role() in (QAccessible.Role.Table, QAccessible.Role.Tree)
    assert table.childCount() >= 7 * 6
    assert table.text(QAccessible.Text.Name) == "Balls and stages"


def test_everything_that_takes_the_focus_has_a_name(desk: Desk) -> None:
    widgets = [w for w in desk.window.findChildren(QWidget) if w.focusPolicy() & Qt.FocusPolicy.TabFocus]
    nameless = [w for w in widgets if w.isVisible() and not (w.accessibleName() or getattr(w, "text", str)())]
    assert nameless == []
    assert len(widgets) > 10


def test_space_leaves_a_ball_at_home_then_pins_it_then_goes_by_the_plan(desk: Desk) -> None:
    assert desk.room.table.in_hand().name == "Paper Moth"
    for number, (held, wanted) in enumerate(((None, False), (False, True), (True, None))):
        settled(desk, 3, settled=held, taken=held is not False)
        desk.room.table.choose(4)
        desk.key(Qt.Key.Key_Space)
        name, what, fields = desk.asked[number]
        assert (name, what[1:], fields) == ("choose", (4,), {"take": wanted})


def test_a_ball_left_at_home_by_hand_is_pinned_by_the_next_press(desk: Desk) -> None:
    line = desk.plan.rows[5]
    assert rows.next_settled(line) is True
    assert rows.next_settled(replace(line, settled=False)) is True
    assert rows.next_settled(replace(line, settled=True)) is None


def test_a_pin_is_said_in_words_and_not_by_its_box_alone(desk: Desk) -> None:
    settled(desk, 3, settled=True)
    line = desk.room.table.table.row(3)
    assert rows.note_words(line).startswith("pinned")
    assert "pinned by hand" in rows.spoken_line(line)
    assert rows.state_words(replace(line, settled=False)) == "left at home"


def test_the_finish_is_a_control_that_offers_what_can_be_reached(desk: Desk) -> None:
    word = desk.room.table.control_of(2).word
    assert word.accessibleName() == "Finish of Quarry Song: 1000 h"
    word.menu().aboutToShow.emit()
    acts = word.menu().actions()
    labels = [act.text() for act in acts]
    assert any(label.startswith("1000 s") and "5 min" in label for label in labels)
    barred = next(act for act in acts if "no pad of 3000" in act.text())
    assert not barred.isEnabled()
    next(act for act in acts if act.text().startswith("1000 s")).trigger()
    desk.settle()
    assert desk.asked[-1][1][1:] == (2,)
    assert desk.asked[-1][2] == {"finish": "500/1000 spinner"}


def test_a_finish_settled_by_hand_can_go_by_the_plan_again(desk: Desk) -> None:
    word = desk.room.table.control_of(1).word
    word.menu().aboutToShow.emit()
    word.menu().actions()[-1].trigger()
    desk.settle()
    assert desk.asked[-1][2] == {"finish": None}


def test_enter_on_a_ball_opens_its_finishes(desk: Desk, qtbot) -> None:
    seen: list[bool] = []

    def look_and_close() -> None:
        popup = QApplication.activePopupWidget()
        seen.append(isinstance(popup, QMenu))
        if popup is not None:
            popup.close()

    QTimer.singleShot(150, look_and_close)
    desk.key(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(seen))
    assert seen == [True]


def test_up_and_down_step_over_the_divider(desk: Desk) -> None:
    table = desk.room.table
    table.setFocus()
    desk.key(Qt.Key.Key_Down)
    assert table.in_hand().name == "Tidewrack"
    desk.key(Qt.Key.Key_Up)
    assert table.in_hand().name == "Paper Moth"
    desk.key(Qt.Key.Key_Right)
    assert table.currentIndex().column() == 1
    assert table.in_hand().name == "Paper Moth"


def test_the_ball_in_hand_is_one_in_table_and_prep_sheet(desk: Desk) -> None:
    prep = desk.room.prep.view
    assert prep.in_hand().who == "Paper Moth"
    desk.room.table.choose(1)
    assert prep.in_hand().who == "Umber Kestrel"
    assert desk.shared.ball_id == 1
    prep.setFocus()
    prep.choose_where(lambda row: isinstance(row, PrepLine) and row.ball_id == 3)
    assert desk.room.table.in_hand().name == "Slow Lantern"


def test_a_tick_on_the_prep_sheet_asks_for_it_and_for_its_way_back(desk: Desk) -> None:
    prep = desk.room.prep.view
    prep.choose_where(lambda row: isinstance(row, PrepLine) and row.key == "clean 4")
    desk.key(Qt.Key.Key_Space, prep)
    assert desk.asked[-1][0] == "tick"
    assert desk.asked[-1][1][1:] == ("clean 4",)
    assert desk.asked[-1][2] == {"done": True}
    assert desk.window.foot.sentence.whole() == "Did tick"
    assert desk.window.foot.undo.isVisible()
    prep.choose_where(lambda row: isinstance(row, PrepLine) and row.key == "sand 1")
    desk.key(Qt.Key.Key_Space, prep)
    assert desk.asked[-1][2] == {"done": False}


def test_a_line_without_anything_to_do_cannot_be_ticked(desk: Desk) -> None:
    prep = desk.room.prep.view
    prep.choose_where(lambda row: isinstance(row, PrepLine) and row.mark is Mark.BAN)
    desk.key(Qt.Key.Key_Space, prep)
    assert desk.asked == []


def test_one_line_warns_and_counts_down(desk: Desk, monkeypatch) -> None:
    line = rows.ban_line(desk.plan)
    assert [row.mark for part in desk.plan.prep.parts for row in part.lines].count(Mark.BAN) == 1
    written: list[str] = []
    real = prep_module.write
    monkeypatch.setattr(prep_module, "write", lambda *a, **k: written.append(a[2]) or real(*a, **k))
    desk.room.prep.view.viewport().grab()
    assert "in 12 min" in written
    desk.now = line.when + timedelta(minutes=3)
    written.clear()
    desk.room.prep.view.viewport().grab()
    assert "since 8:55" in written


def test_a_kept_plan_says_what_changed_since_and_n_plans_anew(desk: Desk) -> None:
    assert not desk.room.kept_line.isVisible()
    desk.show(changed_since=("Changed since, because Quarry Song was sanded 1000 h.",))
    assert desk.room.kept_line.isVisible()
    said = desk.room.kept_line.words.whole()
    assert said.startswith("Kept as planned on 27 Nov, 08:43.")
    assert "Quarry Song was sanded 1000 h" in said
    before = len(desk.anew)
    desk.letter(Qt.Key.Key_N)
    assert desk.anew[before:] == [True]


@pytest.mark.parametrize(
    ("change", "anew"),
    [
        (Change("entered", 1, ("chosen",)), True),
        (Change("event", 1, ("lane_ids",)), True),
        (Change("entered", 1, ("ticked",)), False),
        (Change("entry", 77, ()), False),
    ],
)
def test_what_is_asked_of_the_plan_makes_a_new_one_and_what_is_logged_does_not(desk: Desk, change, anew: bool) -> None:
    before = len(desk.anew)
    desk.shared.kept.emit(Changes(1, "Did something", (change,)))
    desk.settle()
    assert desk.anew[before:] == [anew]


def test_a_plan_that_was_kept_stands_there_before_the_new_one_is_worked_out(desk: Desk, monkeypatch) -> None:
    shown: list[int] = []
    real = desk.room._show
    monkeypatch.setattr(desk.room, "_show", lambda plan: shown.append(plan.id) or real(plan))
    desk.room._drop_plan()
    desk.kept = replace(desk.plan, id=5)
    desk.room.load()
    desk.settle()
    assert shown == [5, 7]


def test_what_leaving_the_ball_in_hand_would_cost_stands_with_what_one_more_would_buy(desk: Desk) -> None:
    kinds = [row.kind for row in desk.room.buys.view.rows_model.rows()]
    assert kinds == ["A pad", "A ball you have", "A ball you do not own", "Without"]
    desk.room.table.choose(1)
    assert [row.kind for row in desk.room.buys.view.rows_model.rows()] == kinds[:3]


def test_the_foot_of_the_table_says_by_which_ball_each_stage_is_covered(desk: Desk) -> None:
    said = desk.room.covered.accessibleDescription()
    assert "Burnt fronts: Paper Moth, barely" in said
    assert "Carrydown: Quarry Song, and 2 more" in said


def test_what_is_wrong_stands_over_the_table(desk: Desk) -> None:
    assert not desk.room.problems.isVisible()
    desk.show(problems=("Slow Lantern is pinned but retired. Take the pin away.",))
    assert desk.room.problems.isVisible()
    assert "Take the pin away" in desk.room.problems.text()


def test_conditions_can_be_one_several_or_unknown(desk: Desk) -> None:
    where = desk.room.bar.where
    labels = [act.text() for act in where.menu().actions() if act.text()]
    assert labels[:3] == ["unknown", "41 ft house, 25 mL", "46 ft"]
    next(act for act in where.menu().actions() if act.text() == "also 46 ft").trigger()
    desk.settle()
    assert desk.asked[-1][0] == "change_event"
    assert desk.asked[-1][2] == {"lane_ids": (1, 2)}
    next(act for act in where.menu().actions() if act.text() == "unknown").trigger()
    desk.settle()
    assert desk.asked[-1][2] == {"lane_ids": ()}


def test_the_balls_allowed_are_changed_in_the_sentence(desk: Desk) -> None:
    word = desk.room.bar.balls
    assert word.word() == "4 of 6 balls"
    next(act for act in word.menu().actions() if act.text() == "any number of balls").trigger()
    desk.settle()
    assert desk.asked[-1][2] == {"balls_allowed": None}


def test_an_event_named_like_markup_is_shown_as_it_was_typed(desk: Desk) -> None:
    desk.found = replace(desk.found, events=event_plan.names(event_plan.HOSTILE))
    settled(desk, 0, name=event_plan.HOSTILE)
    title = f"{event_plan.HOSTILE}, Sat 28 Nov"
    desk.show(title=title, event=event_plan.event(event_plan.HOSTILE))
    assert desk.room.bar.event_word.word() == title
    assert desk.room.bar.event_word.text() == title.replace("&", "&&")
    tip = desk.room.table.table.data(desk.room.table.table.index(0, 0), Qt.ItemDataRole.ToolTipRole)
    assert "<img" not in tip
    assert "&lt;img" in tip


@pytest.mark.parametrize(
    ("missing", "action"),
    [(asking.NO_EVENT, "Add an event"), (asking.NO_BOWLER, "Add a bowler")],
)
def test_a_room_without_what_it_needs_says_so_and_offers_the_first_action(desk: Desk, missing, action) -> None:
    desk.found = replace(desk.found, event=None, missing=missing, events=())
    desk.room.load()
    desk.settle()
    assert desk.room.empty.isVisible()
    assert desk.room.empty.title.whole() == missing.title
    assert desk.room.empty.button.name() == action
    assert not desk.room.prep.isVisible()


def test_a_plan_that_was_stopped_can_be_asked_for_again(desk: Desk) -> None:
    desk.room._drop_plan()
    desk.room._failed(KnownError("Working out the bag: stopped.", next_step="Start it again when it suits."))
    assert desk.room.empty.button.name() == "Try again"
    desk.room.empty.button.click()
    desk.settle()
    assert desk.room.plan is not None
    assert desk.room.table.isVisible()


def test_pins_that_make_a_plan_impossible_can_be_let_go_of(desk: Desk) -> None:
    desk.room._drop_plan()
    desk.room.found = replace(desk.found, by_hand=1)
    desk.room._failed(KnownError("Rook Hollow is pinned and is sold.", next_step="Unpin it, or log that it is back."))
    assert desk.room.empty.button.name() == "Let go of all pins"
    desk.room.empty.button.click()
    desk.settle()
    assert desk.asked[-1][:2] == ("let_go", (1, 1))


def test_a_kept_plan_stays_in_sight_where_no_new_one_can_be_made(desk: Desk) -> None:
    desk.room._failed(KnownError("Rook Hollow is pinned and is sold.", next_step="Unpin it, or log that it is back."))
    assert desk.room.table.isVisible()
    assert desk.room.problems.text() == "Rook Hollow is pinned and is sold. Unpin it, or log that it is back."


def test_in_one_column_what_the_keys_reach_is_scrolled_into_sight(desk: Desk) -> None:
    desk.window.resize(1000, 500)
    QApplication.processEvents()
    desk.room.table.setFocus()
    for _ in range(6):
        desk.key(Qt.Key.Key_Up)
    QApplication.processEvents()
    assert desk.room._scroll.verticalScrollBar().value() == 0
    for _ in range(6):
        desk.key(Qt.Key.Key_Down)
    QApplication.processEvents()
    table = desk.room.table
    row = table.visualRect(table.currentIndex())
    bottom = table.viewport().mapTo(desk.room._scroll.viewport(), row.bottomLeft()).y()
    assert 0 < bottom <= desk.room._scroll.viewport().height()


def test_a_small_window_has_everything_in_one_column_that_scrolls(desk: Desk) -> None:
    wide = desk.room.prep.geometry()
    assert wide.left() >= desk.room.pages.geometry().right()
    desk.window.resize(1000, 640)
    QApplication.processEvents()
    assert desk.room.prep.geometry().top() >= desk.room.pages.geometry().bottom()
    assert desk.room.table.verticalScrollBar().maximum() == 0
    assert desk.room._scroll.verticalScrollBar().maximum() > 0


def test_at_two_hundred_percent_no_number_of_a_cell_is_shortened(desk: Desk) -> None:
    look().set_both("light", 200)
    QApplication.processEvents()
    at = desk.room.table.columns()
    metrics = QFontMetricsF(look().font(13, 600))
    widest = max(
        metrics.horizontalAdvance(part) for words in event_plan.WORDS for cell in words for part in cell.split(", ")
    )
    boxes = [at.stage_box(n, desk.room.table.rect().adjusted(0, 0, w - desk.room.table.width(), 0)).width()
             for n, w in enumerate(at.stages)]  # fmt: skip
    assert at.narrow
    assert min(boxes) >= widest
    assert desk.room.table.verticalScrollBar().maximum() == 0


def test_leaving_the_room_stops_what_nobody_waits_for(desk: Desk) -> None:
    desk.room.load()
    desk.room.leave()
    assert not desk.room._again.isActive()
    desk.settle()


def test_the_look_changes_without_another_plan(desk: Desk) -> None:
    before = len(desk.anew)
    look().set_both("dark", 100)
    QApplication.processEvents()
    assert len(desk.anew) == before
    assert taken(desk)
