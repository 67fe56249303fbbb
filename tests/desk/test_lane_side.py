"""The Lane-side room over a real shop: told by keyboard, looked at to the pixel."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from lane_side_desk import WAIT, Desk, hold
from lane_side_shop import HOSTILE, build
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import rules_now
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.lane_side import asking
from arsenal.desk.lane_side.rows import BallRow
from arsenal.desk.theme import look
from arsenal.trade.entries import Compared, Played, effective


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lane-side") / "shop.padbook"
    build(path)
    return path


@pytest.fixture
def file(built: Path, tmp_path: Path) -> Path:
    path = tmp_path / "shop.padbook"
    shutil.copy(built, path)
    return path


@pytest.fixture
def desk(qtbot, file: Path, settings: Settings) -> Iterator[Desk]:
    made = Desk(qtbot, file, settings)
    yield made
    made.close()


def test_the_order_is_strongest_first_with_the_spare_ball_apart(desk: Desk) -> None:
    rows = [r for r in desk.room.left.view.rows_model.rows() if isinstance(r, BallRow)]
    boards = [r.row.boards for r in rows if not r.spare]
    assert boards == sorted(boards, reverse=True)
    assert rows[-1].spare
    assert rows[-1].row.ball.name == "Plain Gate"
    assert desk.room.in_hand().benchmark


def test_down_to_a_ball_right_to_a_pad_and_it_reads_earlier(desk: Desk) -> None:
    room = desk.room
    room.left.view.setFocus()
    while room.in_hand().ball.name != "Paper Moth":
        before = room.shared.ball_id
        desk.key(Qt.Key.Key_Down)
        assert room.shared.ball_id != before
    desk.key(Qt.Key.Key_Right)
    chosen = room.pads.keys.choices()[room.pads.keys.at()]
    assert room.pads.result() is not None
    assert room.pads.result().trace.first_read_m < room.in_hand().trace.first_read_m
    assert "earlier" in chosen.accessibleName()
    assert room.pads.sentence.text().startswith(f"With {chosen.name()}:")
    drawn = [name for name, *_ in room.plots.names.placed()]
    assert f"with {chosen.name()}" in drawn
    desk.key(Qt.Key.Key_Escape)
    assert room.pads.result() is None
    assert not any(name.startswith("with ") for name, *_ in room.plots.names.placed())


def test_a_step_pressed_before_the_pads_are_known_counts_when_they_are(desk: Desk) -> None:
    hold(desk, "Paper Moth")
    view = desk.room.left.view
    QTest.keyClick(view, Qt.Key.Key_Up)
    QTest.keyClick(view, Qt.Key.Key_Right)
    desk.settle()
    assert desk.room.pads.keys.at() == 0


def test_t_logs_shots_and_undo_takes_them_back(desk: Desk) -> None:
    hold(desk, "Paper Moth")
    ball = desk.shared.ball_id
    asking.ThrownDialog.last_shots = 14.0
    desk.letter(Qt.Key.Key_T)
    dialog = desk.dialog()
    assert dialog.shots.text() == "14"
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    desk.settle()
    with Shop.open(desk.path, settings=desk.settings, read_only=True) as shop:
        kept = [e for e in effective(shop.entries(ball)) if isinstance(e.payload, Played)]
    assert [e.payload.shots for e in kept] == [14.0]
    assert "14 shots" in desk.window.foot.sentence.whole()
    desk.qtbot.waitUntil(desk.window.foot.undo.isVisible, timeout=WAIT)
    desk.window.activateWindow()
    desk.qtbot.waitUntil(desk.window.isActiveWindow, timeout=WAIT)
    QTest.keyClick(desk.window.windowHandle(), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    desk.settle()
    with Shop.open(desk.path, settings=desk.settings, read_only=True) as shop:
        assert not [e for e in effective(shop.entries(ball)) if isinstance(e.payload, Played)]


def test_what_was_seen_is_kept_with_its_doubt(desk: Desk) -> None:
    hold(desk, "Paper Moth")
    ball = desk.shared.ball_id
    desk.letter(Qt.Key.Key_I)
    dialog = desk.dialog()
    QTest.keyClicks(dialog.boards.edit, "2,5")
    dialog.way.put(-1.0)
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    desk.settle()
    with Shop.open(desk.path, settings=desk.settings, read_only=True) as shop:
        seen = next(e.payload for e in shop.entries(ball) if isinstance(e.payload, Compared))
    assert (seen.boards, seen.sd_boards, seen.other_ball_id) == (-2.5, 1.5, 2)


def test_ball_down_takes_the_next_weaker_ball_and_stops_at_the_last(desk: Desk) -> None:
    strikes = desk.names()[:-1]
    hold(desk, strikes[0])
    for name in strikes[1:]:
        desk.letter(Qt.Key.Key_D)
        assert desk.room.in_hand().ball.name == name
    assert not desk.room.left.down.isEnabled()


def test_both_plots_have_their_feet_on_the_same_pixels(desk: Desk) -> None:
    plots = desk.room.plots
    for size in ((1366, 768), (1093, 614), (1920, 1080)):
        desk.window.resize(*size)
        QApplication.processEvents()
        for feet in (0.0, 15.0, 60.0):
            above = plots.boards.vb.mapViewToScene(_point(feet, plots.boards)).x()
            below = plots.skid.vb.mapViewToScene(_point(feet, plots.skid)).x()
            assert above == pytest.approx(below, abs=1e-6)


def _point(feet: float, chart):
    return QPointF(feet, chart.vb.viewRange()[1][0])


def test_the_cursor_moves_by_one_foot_with_shift_by_five_and_reads_every_path(desk: Desk) -> None:
    plots = desk.room.plots
    plots.put_cursor(35)
    desk.key(Qt.Key.Key_Right, plots)
    assert plots.cursor_ft == 36
    QTest.keyClick(plots, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert plots.cursor_ft == 31
    row = desk.room.in_hand()
    skid = float(np.interp(31 * 0.3048, row.trace.distance_m, row.trace.skid_left))
    assert f"{row.ball.name} board" in plots.readout.text()
    assert f"{100 * skid:.0f} % skid left" in plots.readout.text()
    desk.key(Qt.Key.Key_End, plots)
    desk.key(Qt.Key.Key_Right, plots)
    assert plots.cursor_ft == 60


def test_names_at_the_ends_of_paths_do_not_overlap_and_stay_inside(desk: Desk) -> None:
    names = desk.room.plots.names
    places = [at for *_, at in names.placed()]
    assert np.all(np.diff(places) > 10)
    assert min(places) >= 0
    assert max(places) <= names.height()


def test_left_and_right_handers_see_one_chart(qtbot, file: Path, settings: Settings) -> None:
    charts = []
    for bowler in (1, 2):
        made = Desk(qtbot, file, settings, bowler)
        hold(made, "Paper Moth")
        curve = next(c for c in made.room.plots._curves if c.series == 0)
        charts.append(
            (curve.boards, made.room.bar.line.word(), [round(r.boards, 1) for r in made.room.rows().values()])
        )
        made.close()
    right, left = charts
    assert np.allclose(right[0], left[0], atol=0.05)
    assert right[1] == left[1]
    assert 1 <= float(right[0][0]) <= 39


def test_hostile_names_are_shown_as_they_stand(desk: Desk) -> None:
    hold(desk, HOSTILE)
    desk.key(Qt.Key.Key_Space)
    room = desk.room
    assert room.strip.title.whole().startswith(HOSTILE)
    assert HOSTILE in {name for name, *_ in room.plots.names.placed()}
    index = room.left.view.currentIndex()
    tip = index.data(Qt.ItemDataRole.ToolTipRole)
    assert "<b>" not in tip
    assert "&lt;b&gt;Rook" in tip
    assert HOSTILE in index.data(Qt.ItemDataRole.AccessibleTextRole)
    room._show_menu(room.mapToGlobal(room.rect().center()))
    menu = QApplication.activePopupWidget()
    assert any("&&" in action.text() for action in menu.actions())
    menu.close()


def test_every_way_of_choosing_in_the_sentence_answers(desk: Desk) -> None:
    bar = desk.room.bar
    bar.lane_picked.emit(2)
    desk.settle()
    assert bar.where.word() == "46 ft long, 28 mL"
    assert desk.room.seen.side.contours.oil_ends_ft == pytest.approx(46.0)
    bar.bowler_picked.emit(2)
    desk.settle()
    assert bar.who.word() == "Anneke Roos"
    assert desk.shared.lane_id is None


def test_an_own_line_is_typed_in_boards_and_the_best_line_comes_back(desk: Desk) -> None:
    before = desk.room.bar.line.word()
    desk.room.doing.do("own line")
    dialog = desk.dialog()
    dialog.laydown.set_value(24)
    dialog.arrows.set_value(16)
    dialog.keep()
    desk.settle()
    assert desk.room.bar.line.word() == "24, over 16"
    assert desk.room.seen.side.order.line_is_own
    desk.room.doing.do("best line")
    desk.settle()
    assert desk.room.bar.line.word() == before


def test_a_release_out_of_range_is_refused_with_the_range(desk: Desk) -> None:
    desk.room.doing.do("release")
    dialog = desk.dialog()
    dialog.speed.set_value(200)
    dialog.keep()
    assert "8 to 25 mph" in dialog.speed.sentence.text()
    dialog.speed.set_value(17)
    dialog.keep()
    desk.settle()
    assert desk.room.bar.how.word().startswith("17.0 mph")


def test_barred_pads_keep_their_keys_for_the_next_block(desk: Desk) -> None:
    def begun(shop: Shop):
        at = shop.now() - timedelta(minutes=5)
        return rules_now.set_competition(shop, 1, rules_now.Competition(at, at + timedelta(hours=3)))

    desk.shared.keep(begun)
    desk.settle()
    assert "towel" in desk.room.bar.rule.text()
    assert desk.room.pads.notice.text().startswith("for the next block")
    desk.key(Qt.Key.Key_Right)
    assert desk.room.pads.result() is not None


def test_nobody_no_throw_and_no_ball_each_offer_the_first_action(qtbot, tmp_path: Path, file, settings) -> None:
    bare = tmp_path / "bare.padbook"
    Shop.open(bare, settings=settings).close()
    made = Desk(qtbot, bare, settings, None)
    assert made.room.empty.isVisible()
    assert made.room.empty.button.name() == "Add a bowler"
    made.close()
    made = Desk(qtbot, file, settings, 3)
    assert "Bo Tillander" in made.room.empty.title.whole()
    made.room.empty.button.click()
    dialog = made.dialog()
    dialog.speed.set_value(16)
    dialog.revs.set_value(250)
    dialog.keep()
    made.settle()
    assert made.room.empty.button.name() == "Add the first ball"
    made.close()


def test_misses_run_from_in_to_out_and_the_line_itself_is_flush(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    strip = desk.room.strip
    said = strip.misses.accessibleName()
    assert said.index("3 in:") < said.index("on line: flush") < said.index("3 out:")
    strip.choose_way("speed")
    said = strip.misses.accessibleName()
    assert said.index("1 mph slower") < said.index("as thrown: flush") < said.index("1 mph faster")


def test_light_and_dark_keep_what_is_drawn(desk: Desk) -> None:
    plots = desk.room.plots
    before = plots.above._lines[0].getData()[1].copy()
    look().choose("dark")
    QApplication.processEvents()
    assert plots.above._lines[0].opts["pen"].color().name() == look().color("hand").name()
    assert np.array_equal(plots.above._lines[0].getData()[1], before)


@pytest.mark.parametrize("size", [(1366, 768), (1093, 614), (683, 600), (1920, 1080)])
def test_nothing_is_cut_off_at_any_size(desk: Desk, size: tuple[int, int]) -> None:
    desk.window.resize(*size)
    QApplication.processEvents()
    room = desk.room
    assert room.left.width() >= 380
    assert room.plots.view.height() > 150
    for key in room.pads.keys.choices():
        assert key.width() >= 60
    if size[0] >= 900:
        foot = room.pads.mapTo(room, room.pads.rect().bottomLeft()).y()
        assert foot <= room.height()


def test_everything_that_takes_the_focus_has_a_name(desk: Desk) -> None:
    nameless = [
        f"{type(w).__name__} in {type(w.parentWidget()).__name__}"
        for top in (desk.room, desk.room.bar)
        for w in top.findChildren(QWidget)
        if w.focusPolicy() & Qt.FocusPolicy.TabFocus and w.isVisible()
        and not QAccessible.queryAccessibleInterface(w).text(QAccessible.Text.Name)
    ]  # fmt: skip
    assert not nameless
