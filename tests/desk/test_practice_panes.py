"""Panes of the Practice room over views made by hand: axis, bands and whiskers, what was taught, next shot, plan."""

from __future__ import annotations

from dataclasses import replace

import practice_views_made as made
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest

from arsenal.desk.practice import plan_pane, shot_rows, taught
from arsenal.desk.practice.next_pane import NextPane
from arsenal.desk.practice.pins import Pins
from arsenal.desk.practice.plan_pane import PlanPane
from arsenal.desk.practice.scale import Scale
from arsenal.desk.practice.shots import Columns, ShotPainter
from arsenal.desk.practice.throw_pane import ThrowPane, waits_for
from arsenal.desk.practice.waiting import Half
from arsenal.desk.theme import look
from arsenal.trade.trial import SUPPORTS, Mark, Word
from arsenal.trade.units import lateral_m_to_board


def test_the_axis_shows_every_shot_the_pocket_and_numbers_as_the_bowler_counts() -> None:
    scale = Scale.of(made.shots(), made.KEYS)
    assert scale.low < 10.2
    assert scale.high > 23.1
    a, b = scale.pocket_at()
    assert scale.at(17.0) == pytest.approx(a)
    assert scale.at(18.0) == pytest.approx(b)
    assert [text for _, text in scale.ticks()] == ["12", "15", "20", "23"]
    assert scale.at(2.0) == 0.0
    assert scale.at(39.0) == 1.0


def test_a_ball_that_hooks_the_other_way_counts_the_other_way_and_still_more_hook_stands_right() -> None:
    scale = Scale.of((), made.KEYS, mirrored=True)
    assert [text for _, text in scale.ticks()] == ["28", "25", "20", "17"]
    assert scale.at(20.0) > scale.at(23.0)


def test_a_shot_nothing_is_learned_from_does_not_stretch_the_axis() -> None:
    far = made.shot(10, 2, 18.0, 1.0, "30", seen_board=30.0, kept_out="It is kept.")
    assert Scale.of((far,), made.KEYS).high == Scale.of((), made.KEYS).high


def test_bands_and_whiskers_stand_where_the_boards_are() -> None:
    """The band of a word is the interval the word supports and no more (trade/trial.py); drawn to the pixel."""
    supported = SUPPORTS[Word.FLUSH][Mark.LANDING]
    low, high = lateral_m_to_board(supported.low), lateral_m_to_board(supported.high)
    row = made.shot(1, 2, 20.5, 1.5, "flush", seen_low=low, seen_high=high)
    painter = ShotPainter()
    painter.rows, painter.scale = [row], Scale.of((row,), made.KEYS)
    image = QImage(669, 34, QImage.Format.Format_RGB32)
    image.fill(look().color("sheet"))
    brush = QPainter(image)
    painter.paint_row(brush, image.rect(), row, chosen=False)
    brush.end()
    at = Columns(669, [row])
    ink, edge = look().color("ink"), look().color("edge")
    inside = [x for x in range(at.left, at.left + at.axis) if image.pixelColor(x, 12) == ink]
    assert inside[0] == at.x(painter.scale.at(17.0))
    assert inside[-1] == at.x(painter.scale.at(18.0))
    beside = range(at.x(painter.scale.at(18.0)) + 4, at.left + at.axis)
    below = [x for x in beside if image.pixelColor(x, 33 - 6) == edge]
    assert below[0] == pytest.approx(at.x(painter.scale.at(19.0)), abs=1)
    assert below[-1] == pytest.approx(at.x(painter.scale.at(22.0)), abs=1)


def test_what_a_row_says_to_a_screen_reader_is_all_of_it() -> None:
    row = made.shot(7, 1, 21.6, 1.5, "19½, rolled out", seen_board=19.5, outside=True, more=("left 10 pin",))
    said = shot_rows.spoken(row)
    assert said == (
        "Shot 7, Umber Kestrel: 19½, rolled out, expected 21.6 ± 1.5, left 10 pin, 1000 h, wiped, outside its doubt"
    )
    pair = replace(row, number=0, other="Paper Moth", kept_out="The practice shot is odd. It is kept.")
    assert shot_rows.spoken(pair).startswith("Back to back, Umber Kestrel and Paper Moth: ")
    assert shot_rows.spoken(pair).endswith("It is kept.")


def test_the_screen_says_what_is_being_waited_for() -> None:
    assert waits_for(None, "") == "one key logs the shot; a number may follow"
    assert waits_for(Half("rolled out"), "").startswith("quit: its board may follow within 2 s")
    assert waits_for(Half("", "1"), "") == "board 1: Enter logs it, Esc forgets it"
    assert waits_for(Half(""), "") == "Type the board where it ended; Esc forgets it"


def test_what_is_odd_stands_under_the_shots_and_a_chosen_shot_whole(window) -> None:
    pane = ThrowPane()
    pane.setParent(window)
    pane.resize(669, 640)
    session = made.session(outing_words="Tonight’s lane plays 2 ± 1 boards longer than it was said to.")
    pane.show_session(session)
    pane.show_shots(session.shots, session)
    assert pane.outing.whole() == session.outing_words
    pane.shots.choose(2)
    assert "outside its doubt" in pane.detail.whole()
    assert pane._foot.currentWidget() is pane.detail


def test_before_is_grey_now_is_a_whisker_and_boards_are_signed(window) -> None:
    rows = made.taught()
    assert [taught.boards(row) for row in rows] == ["−2", "0", "0", "–", "−1", "+2"]
    assert taught.doubt(rows[3]) == "± 2"
    pane = taught.TaughtPane()
    pane.setParent(window)
    pane.resize(697, 300)
    pane.show_balls(rows)
    pane.show()
    window.show()
    assert pane.response.isVisible()
    assert "2.1 ± 0.5 ft earlier" in pane.response.accessibleName()
    chosen: list[object] = []
    pane.ball_chosen.connect(chosen.append)
    pane.step(1)
    assert chosen == [3]
    image = pane.view.viewport().grab().toImage()
    at = pane.view.painter.columns(pane.view.viewport().width())
    zero = at.left + at.axis // 2
    assert any(image.pixelColor(zero + dx, 4) == look().color("edge") for dx in (-1, 0, 1))


def test_never_thrown_is_said_and_never_a_number() -> None:
    row = made.taught()[3]
    assert taught.spoken(row) == "Bramble Vow. no shots. not thrown yet. ± 2 boards"


def test_a_shot_in_doubt_names_what_to_take_and_goes_to_another(window) -> None:
    pane = NextPane()
    pane.setParent(window)
    window.show()
    pane.show()
    pane.show_next(made.next_shots())
    assert pane.title.whole() == "Bramble Vow, then Paper Moth, same line"
    assert pane.another.name() == "Another pair"
    asked: list[object] = []
    pane.question_picked.connect(asked.append)
    menu = pane.question.menu()
    assert menu is not None
    assert [act.text() for act in menu.actions()] == ["by the order’s doubt", "Are two balls one ball?"]
    menu.actions()[1].menu().actions()[0].trigger()
    assert asked == [made.TWO]
    pane.another.click()
    assert pane.title.whole() == "1000 h on Quarry Song, then one shot"
    pane.name_take("Quarry Song", held=True)
    assert pane.take.name() == "The pad on Quarry Song …"
    pane.show_next(replace(made.next_shots(), shots=(), sentence="Nothing would teach much."))
    assert pane.sentence.text() == "Nothing would teach much."
    assert not pane.take.isVisible()


def test_lines_of_the_plan_are_ticked_and_the_one_to_throw_is_marked(window) -> None:
    pane = PlanPane()
    pane.setParent(window)
    pane.resize(697, 260)
    pane.show_plan(made.plan(), "ten shots")
    assert pane.clock.text() == "12 min left on the pair"
    lines = pane.view.rows_model.rows()
    assert [plan_pane.state(line) for line in lines[:3]] == ["done", "done", "now"]
    assert plan_pane.spoken(lines[2]) == "now, 2 shots, Bramble Vow, Paper Moth, as they are, are they one ball?"
    assert pane.keep.word() == "Begin anew"
    pane.show_plan(replace(made.plan(), id=0, changed=("Changed since, because Rook was sanded.",)), "ten shots")
    assert pane.keep.word() == "Begin it"
    assert pane.changed.text() == "Changed since, because Rook was sanded."
    wanted: list[object] = []
    pane.line_wanted.connect(wanted.append)
    pane.view.choose(2)
    QTest.keyClick(pane.view, Qt.Key.Key_Return)
    assert wanted == [lines[2]]


def test_pins_are_ticked_by_keys_as_they_stand(window) -> None:
    """Rows of pins from the back: 7 8 9 10, 4 5 6, 2 3, 1 (common practice, no source)."""
    pins = Pins()
    pins.setParent(window)
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Space):
        QTest.keyClick(pins, key)
    left = pins.pins()
    assert left[0] in (7, 8, 9)
    pins.put(())
    pins._at = 9
    QTest.keyClick(pins, Qt.Key.Key_Right)
    QTest.keyClick(pins, Qt.Key.Key_Space)
    assert pins.pins() == (10,)
    assert pins.accessibleName() == "Pins left: 10 pin"
    assert "10 pin, left" in pins.accessibleDescription()
    QTest.mouseClick(pins, Qt.MouseButton.LeftButton, pos=pins.middle(6).toPoint())
    assert pins.pins() == (6, 10)
