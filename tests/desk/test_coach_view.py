"""The coach's view over a real shop: read row by row, logged by single keys, told to a screen reader."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from coach_desk import ANNEKE, BO, MIREL, WAIT, Desk, hand, row_of
from lane_side_shop import HOSTILE, build
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QMenu, QWidget

from arsenal.acts import groups, rules_now
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.coach import words
from arsenal.desk.coach.groups import GroupDialog
from arsenal.desk.coach.kept import VIEW, Kept
from arsenal.desk.dialogs.card import CardDialog
from arsenal.desk.frame import focus_stops
from arsenal.desk.lane_side.rows import BallRow
from arsenal.desk.theme import look
from arsenal.trade.entries import Cleaned, Played, Saw, Seen, Wiped


@pytest.fixture(scope="session")
def built_for_coach(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("coach") / "shop.padbook"
    build(path)
    with Shop.open(path, settings=Settings(path=path.with_suffix(".json"))) as shop:
        groups.keep_group(shop, "All & <b>three</b>", (ANNEKE, BO, MIREL))
    return path


@pytest.fixture
def file(built_for_coach: Path, tmp_path: Path) -> Path:
    path = tmp_path / "shop.padbook"
    shutil.copy(built_for_coach, path)
    return path


@pytest.fixture
def desk(qtbot, file: Path, settings: Settings) -> Iterator[Desk]:
    settings.kept[VIEW] = "coach"
    made = Desk(qtbot, file, settings)
    yield made
    made.close()


@pytest.fixture
def three(qtbot, file: Path, settings: Settings) -> Iterator[Desk]:
    """With the group that Bo is in, whose throw nobody knows."""
    settings.kept[VIEW] = "coach"
    Kept(str(file), date.today(), "All & <b>three</b>").put(settings)  # noqa: DTZ011 - as the room has it
    made = Desk(qtbot, file, settings)
    yield made
    made.close()


def test_there_is_one_row_a_bowler_whose_throw_is_known_and_the_bowler_in_hand_is_chosen(desk: Desk) -> None:
    assert [line.bowler.name for line in desk.room.lines()] == ["Anneke Roos", "Mirel Oster"]
    assert desk.room.chosen().bowler.id == MIREL
    assert desk.room.bar.who.word() == "Everybody, 2 bowlers"


def test_a_bowler_without_a_throw_has_a_row_that_says_so_and_keys_that_are_off(three: Desk) -> None:
    assert [line.bowler.name for line in three.room.lines()] == ["Anneke Roos", "Bo Tillander", "Mirel Oster"]
    assert "throws is not known" in row_of(three, BO).missing  # type: ignore[attr-defined]
    keys = three.room.view._keys
    assert [k.keys[0].isEnabled() for k in keys] == [True, False, True]
    three.room.choose(BO)
    three.letter(Qt.Key.Key_H)
    assert three.window.foot.sentence.whole() != "Logged high, Bo Tillander"
    assert three.room.foot.threw.accessibleName().endswith("2 of 3: not Bo Tillander")


def test_one_letter_logs_a_word_for_the_chosen_bowler_and_the_row_shows_it(desk: Desk) -> None:
    ball = hand(desk, MIREL)
    desk.letter(Qt.Key.Key_H)
    desk.letter(Qt.Key.Key_H)
    assert desk.today(ball, Saw) == [Saw(Seen.HIGH, 1), Saw(Seen.HIGH, 1)]
    row = row_of(desk, MIREL)
    assert words.seen(row.saw) == "high twice"  # type: ignore[attr-defined]
    assert words.when(row) == "now"  # type: ignore[arg-type]
    assert "Logged high, Mirel Oster" in desk.window.foot.sentence.whole()
    desk.window.undo()
    desk.settle()
    assert words.seen(row_of(desk, MIREL).saw) == "high"  # type: ignore[attr-defined]


@pytest.mark.parametrize(("letter", "seen"), list(words.LETTERS.items()))
def test_each_of_the_seven_words_has_its_letter(desk: Desk, letter: str, seen: Seen) -> None:
    desk.letter(getattr(Qt.Key, f"Key_{letter}"))
    assert desk.today(hand(desk, MIREL), Saw) == [Saw(seen, 1)]


def test_a_key_of_another_row_logs_for_that_row(desk: Desk) -> None:
    other = desk.room.view._keys[0]
    other.keys[1].click()
    desk.settle()
    assert desk.today(hand(desk, ANNEKE), Saw) == [Saw(Seen.FLUSH, 1)]
    assert desk.room.chosen().bowler.id == ANNEKE


def test_the_fourth_key_has_the_rest_of_the_words(desk: Desk) -> None:
    desk.room.view._keys[0].more.click()
    desk.qtbot.waitUntil(lambda: isinstance(QApplication.activePopupWidget(), QMenu), timeout=WAIT)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    assert [act.text().replace("&", "").split()[0] for act in menu.actions()] == ["long", "over", "quit", "hung"]
    menu.actions()[2].trigger()
    menu.close()
    desk.settle()
    assert desk.today(hand(desk, ANNEKE), Saw) == [Saw(Seen.QUIT, 1)]


def test_space_leaves_a_bowler_out_of_all_threw_and_the_key_names_who(desk: Desk) -> None:
    desk.room.choose(ANNEKE)
    desk.key(Qt.Key.Key_Space)
    assert desk.room.foot.threw.accessibleName() == "All threw 3 games, wiped, cleaned, 1 of 2: not Anneke Roos"
    desk.letter(Qt.Key.Key_A)
    assert desk.today(hand(desk, MIREL), Cleaned) == [Cleaned()]
    assert not desk.today(hand(desk, ANNEKE), Cleaned)
    assert desk.window.foot.sentence.whole() == "Logged 3 games for Mirel Oster, wiped every shot, cleaned"


def test_all_threw_is_taken_back_in_one(desk: Desk) -> None:
    held = hand(desk, MIREL), hand(desk, ANNEKE)
    before = [desk.today(ball, Played) for ball in held]
    desk.room.foot.how_many.picked.emit(4.0)
    desk.room.foot.how_wiped.picked.emit(Wiped.NEVER)
    desk.room.foot.and_cleaned.picked.emit(False)
    assert desk.room.foot.threw.name() == "All threw 4 games, never wiped"
    desk.letter(Qt.Key.Key_A)
    for ball, had in zip(held, before, strict=True):
        assert desk.today(ball, Played) == [*had, Played(44.0, 0.0, 4.0, 1, Wiped.NEVER)]
    desk.window.undo()
    desk.settle()
    assert [desk.today(ball, Played) for ball in held] == before


def test_after_all_threw_the_next_space_ticks_rather_than_logs_again(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    focus = QApplication.focusWidget()
    assert focus is desk.room.view
    had = desk.today(hand(desk, MIREL), Played)
    desk.key(Qt.Key.Key_Space, focus)
    assert desk.today(hand(desk, MIREL), Played) == had
    assert not desk.room.chosen().ticked


def test_ball_down_takes_the_next_weaker_until_the_weakest(desk: Desk) -> None:
    order = [row.ball.id for row in row_of(desk, MIREL).side.order.rows]  # type: ignore[attr-defined]
    at = order.index(hand(desk, MIREL))
    for expected in order[at + 1 :]:
        desk.letter(Qt.Key.Key_D)
        assert hand(desk, MIREL) == expected
        assert desk.shared.ball_id == expected
    assert not desk.room.foot.down.isEnabled()
    desk.letter(Qt.Key.Key_F)
    assert desk.today(order[-1], Saw) == [Saw(Seen.FLUSH, 1)]


def test_boards_are_against_each_ones_own_benchmark(desk: Desk) -> None:
    for bowler in (MIREL, ANNEKE):
        rows = row_of(desk, bowler).side.order.rows  # type: ignore[attr-defined]
        assert [row.boards for row in rows if row.benchmark] == [0.0]
    assert hand(desk, ANNEKE) != hand(desk, MIREL)


def test_a_left_hander_stands_beside_a_right_hander_with_boards_from_each_ones_own_gutter(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_V)
    left, right = desk.room.pair.sides
    assert (left.who.word(), right.who.word()) == ("Mirel Oster", "Anneke Roos")
    names = [[row.row.ball.name for row in s.view.rows_model.rows() if isinstance(row, BallRow)] for s in (left, right)]
    assert len(names[0]) == len(names[1]) == 5
    # same throw, same balls, a film alike on both sides: the same boards laid down, each from the own gutter
    assert left.how.whole().split("on ")[1] == right.how.whole().split("on ")[1]
    assert left.painter.reach == right.painter.reach
    desk.key(Qt.Key.Key_Escape, left.view)
    assert not desk.room.paired()


def test_a_ball_taken_in_hand_beside_another_bowler_is_in_the_row_too(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_V)
    right = desk.room.pair.sides[1]
    strike = [row.row.ball.id for row in right.view.rows_model.rows() if isinstance(row, BallRow) and not row.spare]
    right.view.choose_where(lambda row: isinstance(row, BallRow) and row.row.ball.id == strike[0])
    desk.settle()
    assert hand(desk, ANNEKE) == strike[0]
    assert desk.room.chosen().bowler.id == MIREL


def test_the_chart_of_both_is_there_where_there_is_room_and_gone_where_not(desk: Desk) -> None:
    desk.window.resize(1366, 900)
    desk.letter(Qt.Key.Key_V)
    desk.qtbot.waitUntil(lambda: desk.room.pair.plots is not None and desk.room.pair.plots.isVisible(), timeout=WAIT)
    said = desk.room.pair.plots.accessibleDescription
    desk.qtbot.waitUntil(lambda: "Mirel Oster" in said() and "Anneke Roos" in said(), timeout=WAIT)
    desk.window.resize(1366, 560)
    desk.qtbot.waitUntil(lambda: not desk.room.pair.plots.isVisible(), timeout=WAIT)


def test_enter_opens_the_bowlers_own_lane_side_with_the_ball_and_condition_of_the_row(desk: Desk) -> None:
    desk.room.hold_lane(2)
    desk.settle()
    desk.room.choose(ANNEKE)
    ball = hand(desk, ANNEKE)
    desk.key(Qt.Key.Key_Return)
    desk.qtbot.waitUntil(lambda: desk.front.alone.seen is not None, timeout=WAIT)
    desk.settle()
    assert desk.front.view() is desk.front.alone
    seen = desk.front.alone.seen
    assert (seen.person.id, seen.lane.id, desk.shared.ball_id) == (ANNEKE, 2, ball)
    assert desk.settings.kept[VIEW] == "bowler"


def test_the_sentence_goes_from_one_view_to_the_other_and_the_choice_is_remembered(desk: Desk, qtbot) -> None:
    desk.room.bar.seen_as.picked.emit("bowler")
    desk.settle()
    assert desk.front.view() is desk.front.alone
    assert desk.front.alone.bar.isVisible()
    assert not desk.room.bar.isVisible()
    desk.front.alone.bar.seen_as.picked.emit("coach")
    desk.settle()
    assert desk.front.view() is desk.room
    assert desk.settings.kept[VIEW] == "coach"


def test_somebody_looked_for_who_has_no_row_is_shown_alone(desk: Desk) -> None:
    desk.shared.hold_bowler(ANNEKE)
    desk.settle()
    assert desk.front.view() is desk.room
    assert desk.room.chosen().bowler.id == ANNEKE
    desk.shared.hold_bowler(BO)
    desk.settle()
    assert desk.front.view() is desk.front.alone


def test_rows_that_arrive_late_take_nobody_out_of_another_rooms_hand(desk: Desk) -> None:
    desk.front.leave()
    desk.shared.hold_bowler(ANNEKE)
    desk.shared.hold_ball(None)
    desk.room.load()
    desk.settle()
    desk.settle()
    assert (desk.shared.bowler_id, desk.shared.ball_id) == (ANNEKE, None)


def test_a_group_is_made_of_the_ticked_and_comes_to_the_front(desk: Desk) -> None:
    desk.room.toggle(ANNEKE)
    desk.room.doing.do("new group")
    dialog = desk.room.findChild(GroupDialog)
    assert isinstance(dialog, GroupDialog)
    assert dialog.ticks.ticked() == [MIREL]
    dialog.keep()
    assert "needs a name" in dialog.trouble.text()
    dialog.called.setText("Thursday juniors")
    QTest.keyClick(dialog.ticks, Qt.Key.Key_Space)
    assert dialog.ticks.ticked() == [ANNEKE, MIREL]
    dialog.keep()
    desk.settle()
    desk.settle()
    assert desk.room.bar.who.word() == "Thursday juniors, 2 bowlers"
    desk.window.undo()
    desk.settle()
    desk.settle()
    assert desk.room.bar.who.word() == "Everybody, 2 bowlers"


def test_one_card_a_bowler_goes_into_one_file(desk: Desk, tmp_path: Path) -> None:
    assert desk.room.foot.cards.name() == "Print two cards"
    desk.letter(Qt.Key.Key_P)
    desk.qtbot.waitUntil(lambda: desk.room.findChild(CardDialog) is not None, timeout=WAIT)
    dialog = desk.room.findChild(CardDialog)
    assert isinstance(dialog, CardDialog)
    assert dialog.heading.whole() == "2 bag cards"
    dialog.write_pdf(tmp_path / "cards.pdf")
    assert (tmp_path / "cards.pdf").read_bytes().count(b"/Type /Page\n") == 2


def test_a_dialog_leaves_the_rooms_widgets_without_windows_of_their_own(desk: Desk) -> None:
    desk.room.doing.do("new group")
    dialog = desk.room.findChild(GroupDialog)
    assert isinstance(dialog, GroupDialog)
    inside = [w for w in desk.window.findChildren(QWidget) if not w.isWindow()]
    assert not [w for w in inside if w.testAttribute(Qt.WidgetAttribute.WA_NativeWindow)]
    dialog.reject()


def test_where_rules_differ_the_sentence_counts_whom_they_bar(desk: Desk) -> None:
    def job(shop: Shop) -> object:
        began = shop.now().replace(hour=0, minute=0, second=1, microsecond=0)
        return rules_now.set_competition(shop, MIREL, rules_now.Competition(began))

    desk.shared.keep(job)
    desk.settle()
    desk.settle()
    assert desk.room.bar.rule.accessibleName() == "Rule: dry towel only for 1 of 2"


def test_a_row_is_said_whole_to_a_screen_reader(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_H)
    said = QAccessible.queryAccessibleInterface(desk.room.view)
    assert said.text(QAccessible.Text.Name) == "Bowlers"
    model = desk.room.view.rows_model
    told = model.data(model.index(1), Qt.ItemDataRole.AccessibleTextRole)
    assert told.startswith("Mirel Oster, right, ticked, Quarry Song in hand, 1000 h")
    assert "last seen high, now" in told
    state = model.data(model.index(1), Qt.ItemDataRole.CheckStateRole)
    assert state == Qt.CheckState.Checked


def test_everything_that_takes_the_focus_has_a_name_and_tab_reaches_the_keys_of_the_chosen_row_only(desk: Desk) -> None:
    stops = [stop for stop in focus_stops(desk.room) if stop.isVisible()]
    for stop in stops:
        found = QAccessible.queryAccessibleInterface(stop)
        assert found is not None
        assert found.text(QAccessible.Text.Name), stop
    chosen = desk.room.view._keys[desk.room.view.currentIndex().row()]
    keys = [stop for stop in stops if isinstance(stop, QAbstractButton) and stop.parentWidget() in desk.room.view._keys]
    assert keys == chosen.keys


def test_arrows_go_from_the_row_through_its_keys_and_back(desk: Desk) -> None:
    keys = desk.room.view._keys[1].keys
    keys[0].setFocus()
    QTest.keyClick(keys[0], Qt.Key.Key_Right)
    assert QApplication.focusWidget() is keys[1]
    QTest.keyClick(keys[1], Qt.Key.Key_Up)
    assert QApplication.focusWidget() is desk.room.view
    assert desk.room.chosen().bowler.id == ANNEKE


def test_f6_stops_at_the_sentence_the_rows_and_the_keys(desk: Desk) -> None:
    desk.room.bar.who.setFocus()
    desk.window._next_pane()
    assert QApplication.focusWidget() is desk.room.view
    desk.window._next_pane()
    assert QApplication.focusWidget() is desk.room.foot.how_many
    desk.window._next_pane()
    assert QApplication.focusWidget() is desk.room.foot.threw


def test_at_200_percent_the_chosen_row_is_brought_into_sight(desk: Desk) -> None:
    look().set_both("light", 200)
    desk.settle()
    desk.room.choose(MIREL)
    QApplication.processEvents()
    box = desk.room.view.visualRect(desk.room.view.currentIndex())
    middle = desk.room.view.viewport().mapTo(desk.room, box.center())
    assert desk.room.rect().contains(middle)


def test_hostile_names_are_shown_as_they_stand(three: Desk) -> None:
    assert three.room.bar.who.word() == "All & <b>three</b>, 3 bowlers"
    order = row_of(three, MIREL).side.order.rows  # type: ignore[attr-defined]
    weird = next(row.ball.id for row in order if row.ball.name == HOSTILE)
    three.room.take_in_hand(MIREL, weird)
    three.settle()
    model = three.room.view.rows_model
    tip = model.data(model.index(2), Qt.ItemDataRole.ToolTipRole)
    assert "<img" not in tip
    assert "&lt;img" in tip


def test_a_ball_sold_meanwhile_is_no_longer_in_hand(desk: Desk) -> None:
    ball = hand(desk, MIREL)
    from arsenal.trade.entries import Draft, Handed, Kind  # noqa: PLC0415

    def job(shop: Shop) -> object:
        from arsenal.acts import logging  # noqa: PLC0415

        return logging.keep(shop, (Draft(ball, Kind.SOLD, shop.today(), Handed("somebody")),))

    desk.shared.keep(job)
    desk.settle()
    desk.settle()
    assert hand(desk, MIREL) != ball


def test_a_bowler_added_meanwhile_gets_a_row(desk: Desk) -> None:
    from dataclasses import replace  # noqa: PLC0415

    def job(shop: Shop) -> object:
        from arsenal.acts import people  # noqa: PLC0415

        return people.edit_bowler(shop, replace(shop.person(BO), style=shop.person(MIREL).style))

    desk.shared.keep(job)
    desk.settle()
    desk.settle()
    assert [line.bowler.name for line in desk.room.lines()] == ["Anneke Roos", "Bo Tillander", "Mirel Oster"]
    assert "No strike ball" in row_of(desk, BO).missing  # type: ignore[attr-defined]
