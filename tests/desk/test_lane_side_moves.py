"""Moves: what brings a shot back, side by side with its doubt; what the usual moves do; told by keyboard."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from lane_side_desk import Desk, hold
from lane_side_shop import build
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import moves, rules_now
from arsenal.acts.moves import MovesSheet
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.lane_side import move_words
from arsenal.desk.lane_side.move_words import FLUSH, SAWS, Saw, Told
from arsenal.desk.lane_side.told_line import ToldLine
from arsenal.desk.parts.text import Run
from arsenal.motion.moves import Move, Moved
from arsenal.order.corrections import Correction
from arsenal.surface.state import Estimate
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Hand, Person
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, board_to_lateral_m

RIGHT, LEFT = Person(1, "A"), Person(2, "B", hand=Hand.LEFT)
BACK_UP = Person(3, "C", back_up=True)


@pytest.fixture(scope="session")
def moves_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lane-side-moves") / "shop.padbook"
    build(path)
    return path


@pytest.fixture
def desk(qtbot, moves_shop: Path, tmp_path: Path, settings: Settings) -> Iterator[Desk]:
    path = tmp_path / "shop.padbook"
    shutil.copy(moves_shop, path)
    made = Desk(qtbot, path, settings)
    yield made
    made.close()


def whole(told: Told) -> str:
    return "".join(text for part in told.sentence for text, _ in part)


def choose(desk: Desk, label: str) -> None:
    next(act for act in desk.room.moves.ended.menu().actions() if act.text() == label).trigger()
    desk.settle()


def ends(board: float, sd: float = 0.4) -> Estimate:
    return Estimate(board_to_lateral_m(board), sd * BOARD_M)


def correction(kind: str, words: str, board: float, word: str = "flush", **more: object) -> Correction:
    usual = {"room": 0.31, "allowed": True, "reaches": True}
    return Correction(kind, words, ends(board), word, **(usual | more))


def sheet(
    *found: Correction, saw: str = "high", stance: float | None = None, moved: tuple[Moved, ...] = ()
) -> MovesSheet:
    return MovesSheet(1, saw, Line(0.5, -0.03), moved, found, "", stance_board=stance)


class Row:
    """As much of an order row as the words look at."""

    best = None


def test_m_shows_what_brings_a_high_shot_back_and_m_again_the_pads(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    room = desk.room
    desk.letter(Qt.Key.Key_M)
    assert room.what_ifs.shows_moves()
    assert room.moves.ended.word() == "2 high"
    with Shop.open(desk.path, settings=desk.settings, read_only=True) as shop:
        known = moves.moves(shop, room.seen.side, room.shared.ball_id, saw="high", boards_off=2.0)
    assert known.corrections
    names = [key.accessibleName() for key in room.moves.keys.choices()]
    assert len(names) == len(known.corrections)
    assert all(name.startswith(one.words) for name, one in zip(names, known.corrections, strict=True))
    assert room.moves.sentence.text() == known.sentence
    desk.letter(Qt.Key.Key_M)
    assert not room.what_ifs.shows_moves()


def test_the_arrow_keys_step_the_moves_from_the_list_and_escape_chooses_none(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    room = desk.room
    desk.key(Qt.Key.Key_Right)
    assert room.moves.keys.at() == 0
    assert room.pads.keys.at() == -1, "the pads stay as they were"
    told = room.moves.told()[0]
    assert room.moves.sentence.whole() == whole(told)
    assert not any(name.startswith("with ") for name, *_ in room.plots.names.placed())
    desk.key(Qt.Key.Key_Escape)
    assert room.moves.keys.at() == -1


def test_a_step_pressed_before_the_moves_are_known_counts_when_they_are(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    view = desk.room.left.view
    QTest.keyClick(view, Qt.Key.Key_Down)
    QTest.keyClick(view, Qt.Key.Key_Right)
    desk.settle()
    assert desk.room.moves.keys.at() == 0


def test_the_word_for_how_it_ended_asks_again(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    high = [told.spoken for told in desk.room.moves.told()]
    choose(desk, "2 light")
    assert [told.spoken for told in desk.room.moves.told()] != high
    choose(desk, "flush")
    names = [told.name for told in desk.room.moves.told()]
    assert names == ["1 and 1", "2 and 2", "2 and 1", "3 and 2", "3 and 1"]
    assert all("left ends on" in told.spoken and "right ends on" in told.spoken for told in desk.room.moves.told())


def test_moves_of_a_ball_no_longer_in_hand_are_dropped(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    for _ in range(3):
        QTest.keyClick(desk.room.left.view, Qt.Key.Key_Down)
    desk.settle()
    assert desk.room.moves._sheet.ball_id == desk.shared.ball_id


def test_a_spare_ball_has_no_moves(desk: Desk) -> None:
    hold(desk, "Plain Gate")
    desk.letter(Qt.Key.Key_M)
    assert "spare ball" in desk.room.moves.sentence.text()
    assert not desk.room.moves.keys.choices()


def test_barred_pads_stay_among_the_moves_for_the_next_block(desk: Desk) -> None:
    def begun(shop: Shop):
        at = shop.now() - timedelta(minutes=5)
        return rules_now.set_competition(shop, 1, rules_now.Competition(at, at + timedelta(hours=3)))

    desk.shared.keep(begun)
    desk.settle()
    barred = replace(correction("pad", "1000 h", 17.4), allowed=False)
    told = move_words.keys(sheet(barred), Row(), RIGHT)[0]
    assert told.last == "for the next block"
    assert "for the next block" in told.spoken
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    pads = [c for c in desk.room.moves._sheet.corrections if c.kind == "pad"]
    assert all(not one.allowed for one in pads)


def test_at_1080_high_the_moves_are_said_among_the_remarks(desk: Desk) -> None:
    desk.window.resize(1920, 1080)
    QApplication.processEvents()
    hold(desk, "Quarry Song")
    said = [r for r in desk.room.left.remarks.shown() if r.kind == "moves"]
    assert [r.title for r in said] == ["Moves, if it ends 2 high", "Moves, if it ends 2 light"]
    assert all(" ends 1" in r.detail and "±" in r.detail for r in said)
    first = said[0].detail
    hold(desk, "Paper Moth")
    assert [r.detail for r in desk.room.left.remarks.shown() if r.kind == "moves"][:1] != [first]


@pytest.mark.parametrize("size", [(1366, 768), (1093, 614), (1920, 1080)])
def test_no_key_of_the_moves_is_cut_off(desk: Desk, size: tuple[int, int]) -> None:
    desk.window.resize(*size)
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    for saw in ("2 high", "flush"):
        choose(desk, saw)
        pane = desk.room.moves
        QApplication.processEvents()
        for key in pane.keys.choices():
            assert pane.rect().contains(key.geometry().translated(pane.keys.pos()))
        foot = pane.mapTo(desk.room, pane.rect().bottomLeft()).y()
        assert foot <= desk.room.height()


def stops(desk: Desk) -> list[QWidget]:
    """What Tab reaches in the window, in its order from the first room on."""
    first = desk.window.top.tabs()[0]
    found: list[QWidget] = [first]
    widget = first.nextInFocusChain()
    while widget is not first:
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible() and widget.isEnabled():
            found.append(widget)
        widget = widget.nextInFocusChain()
    return found


def test_tab_goes_through_the_room_as_it_stands_and_reaches_the_keys_before_the_last_act(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    room, foot = desk.room, desk.window.foot.file
    order = [room.bar.line, room.bar.rule, room.left.view, room.left.card, room.plots, room.strip.way]
    pads = [*order, room.pads.switch, room.pads.keys.choices()[0], foot]
    places = [stops(desk).index(stop) for stop in pads]
    assert places == sorted(places)
    desk.letter(Qt.Key.Key_M)
    moves_ = [*order, room.moves.ended, room.moves.switch, room.moves.keys.choices()[0], foot]
    places = [stops(desk).index(stop) for stop in moves_]
    assert places == sorted(places)
    assert all(QAccessible.queryAccessibleInterface(w).text(QAccessible.Text.Name) for w in stops(desk))


def test_a_sentence_without_room_loses_its_last_parts_whole_and_tells_all_on_hover(qtbot) -> None:
    line = ToldLine()
    qtbot.addWidget(line)
    line.tell([(Run("With 1000 h: "), Run("place 2", True)), (Run(" · room 2 in, 1 out"),), (Run(" · about 3 min"),)])
    line.resize(1000, 20)
    line.show()
    assert line.text() == "With 1000 h: place 2 · room 2 in, 1 out · about 3 min"
    assert line.toolTip() == ""
    line.resize(240, 20)
    assert line.text() == "With 1000 h: place 2 · room 2 in, 1 out"
    assert "about 3 min" in line.toolTip()
    assert line.accessibleName().endswith("about 3 min")
    line.resize(20, 20)
    assert line.text() == "With 1000 h: place 2", "the first part stays"


def test_trouble_is_told_where_the_moves_would_stand(desk: Desk, monkeypatch) -> None:
    def fails(*_a: object, **_k: object) -> MovesSheet:
        raise KnownError("That cannot be worked out.", next_step="Choose another.")

    monkeypatch.setattr(moves, "moves", fails)
    hold(desk, "Quarry Song")
    desk.letter(Qt.Key.Key_M)
    assert "That cannot be worked out." in desk.room.moves.sentence.text()
    assert desk.room.moves.sentence.isVisible()


def test_a_ball_change_with_a_move_is_told_on_two_lines() -> None:
    told = move_words.keys(sheet(correction("ball", "ball down to Rook Hollow, 1 right", 17.6)), Row(), RIGHT)[0]
    assert told.name == "Down to Rook Hollow"
    assert told.ends[0].first == "and 1 right:"
    assert told.ends[0].board == "17½"
    assert told.spoken == "ball down to Rook Hollow, 1 right: ends on 17½ ± ½, flush"


def test_what_does_not_bring_it_back_says_where_it_still_ends() -> None:
    still = correction("speed", "1 mph faster", 18.3, "high", reaches=False, why_not="still ends 1 high")
    assert move_words.keys(sheet(still), Row(), RIGHT)[0].last == "still ends 1 high"


@pytest.mark.parametrize(("person", "feet"), [(RIGHT, "24½ to 26½"), (LEFT, "24½ to 26½"), (BACK_UP, "24½ to 22½")])
def test_feet_are_told_in_the_bowlers_own_boards_where_the_drift_is_known(person: Person, feet: str) -> None:
    # A right-hander's boards from the own gutter grow to the left, toward the hook side; a back-up ball hooks the
    # other way (common practice, no source).
    made = sheet(correction("move", "2 and 1 left", 17.5, move=Move(2.0, 1.0)), stance=24.5)
    told = whole(move_words.keys(made, Row(), person)[0])
    assert f"feet from {feet}" in told
    unknown = sheet(correction("move", "2 and 1 left", 17.5, move=Move(2.0, 1.0)))
    assert "feet from" not in whole(move_words.keys(unknown, Row(), person)[0])


@pytest.mark.parametrize(("person", "first"), [(RIGHT, "left"), (LEFT, "right"), (BACK_UP, "right")])
def test_a_move_toward_the_hook_side_is_left_for_a_right_hander(person: Person, first: str) -> None:
    def moved(by: float, board: float, word: str) -> Moved:
        return Moved(Move(by, by), Line(0.5, -0.03), ends(board, 0.2), word, 0.2, -0.1, left_lane=False)

    told = move_words.keys(sheet(saw="", moved=(moved(1, 16.0, "light"), moved(-1, 18.6, "high"))), Row(), person)[0]
    other = {"left": "right", "right": "left"}[first]
    assert [end.first for end in told.ends] == [first, other]


def test_a_line_out_of_reach_is_said_to_be() -> None:
    far = Moved(
        Move(-2, -2), Line(0.5, -0.03), ends(19.2), "through the nose", 0.1, -0.2, left_lane=False, in_zone=False
    )
    near = replace(far, move=Move(2, 2), in_zone=True)
    told = move_words.keys(sheet(saw="", moved=(near, far)), Row(), RIGHT)[0]
    assert told.ends[1].faint
    assert move_words.OUT_OF_REACH in told.spoken


def test_room_is_told_against_the_balls_own_best_line() -> None:
    assert move_words.room_word(0.30, 0.40) == "less room"
    assert move_words.room_word(0.40, 0.30) == "more room"
    assert move_words.room_word(0.35, 0.36) == "same room"
    assert move_words.room_word(0.35, None) == ""
    assert move_words.in_ten(0.32) == "about 3 shots in 10"
    assert move_words.in_ten(0.10) == "about 1 shot in 10"
    assert move_words.in_ten(0.01) == "under 1 shot in 10"


def test_ends_are_said_as_bowlers_say_them() -> None:
    assert [saw.label for saw in SAWS] == [
        "1 high", "2 high", "3 high", "flush", "1 light", "2 light", "3 light", "2 light and late",
    ]  # fmt: skip
    assert Saw() == FLUSH


def test_a_remark_names_at_most_three_changes_and_only_those_allowed_now() -> None:
    made = sheet(
        correction("pad", "1000 h", 17.5, allowed=False),
        correction("speed", "1 mph faster", 18.2, "high", reaches=False),
        correction("move", "2 left", 17.5), correction("ball", "ball down to Rook Hollow", 17.8),
    )  # fmt: skip
    told = move_words.remark(made, Saw("high", 2.0), RIGHT)
    assert told.detail == "2 left ends 17½ ± ½. Ball down to Rook Hollow ends 18 ± ½. 1 mph faster ends 18 ± ½."
    assert move_words.remark(sheet(), Saw("high", 2.0), RIGHT) is None
