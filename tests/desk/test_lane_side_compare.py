"""Up to four balls compared, and what the cursor reads on each."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from lane_side_desk import Desk, hold
from lane_side_shop import HOSTILE, build
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from arsenal.acts.settings import Settings
from arsenal.desk.lane_side.company import BESIDE, FULL, Company, styles
from arsenal.desk.lane_side.rows import BallRow
from arsenal.trade.units import FOOT_M, KMH_MPS, MPH_MPS


@pytest.fixture(scope="session")
def compare_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lane-side-compare") / "shop.padbook"
    build(path)
    return path


@pytest.fixture
def desk(qtbot, compare_shop: Path, tmp_path: Path, settings: Settings) -> Iterator[Desk]:
    path = tmp_path / "shop.padbook"
    shutil.copy(compare_shop, path)
    made = Desk(qtbot, path, settings)
    yield made
    made.close()


def drawn(desk: Desk) -> set[str]:
    return {name for name, *_ in desk.room.plots.names.placed()} - {"pocket"}


def test_at_first_the_benchmark_the_strongest_and_the_weakest_are_drawn_beside_the_ball_in_hand(desk: Desk) -> None:
    strikes = desk.names()[:-1]
    hold(desk, next(name for name in strikes[1:-1] if name != "Slow Lantern"))
    assert {strikes[0], strikes[-1], "Slow Lantern", desk.room.in_hand().ball.name} == drawn(desk)


def test_space_keeps_a_ball_drawn_when_another_comes_in_hand_and_takes_it_away_again(desk: Desk) -> None:
    hold(desk, "Plain Gate")
    desk.key(Qt.Key.Key_Space)
    assert desk.room.plots.legend.told() == "Plain Gate stays drawn"
    hold(desk, "Paper Moth")
    assert {"Plain Gate", "Paper Moth"} <= drawn(desk)
    assert "Plain Gate board" in desk.room.plots.readout.text()
    assert any(c.name == "Plain Gate" and c.series for c in desk.room.plots.below._curves)
    assert desk.room.plots.legend.told() == "", "said once"
    hold(desk, "Plain Gate")
    desk.key(Qt.Key.Key_Space)
    hold(desk, "Paper Moth")
    assert "Plain Gate" not in drawn(desk)


def test_a_fifth_ball_is_not_drawn_and_says_so(desk: Desk) -> None:
    for name in ("Quarry Song", "Slow Lantern", HOSTILE):
        hold(desk, name)
        if not desk.room.company.stays(desk.shared.ball_id):
            desk.key(Qt.Key.Key_Space)
    desk.room.company = Company(asked=(1, 2, 4), usual=desk.room.company.usual)
    hold(desk, "Paper Moth")
    assert len(drawn(desk)) == 4
    desk.key(Qt.Key.Key_Space)
    assert desk.room.plots.legend.told() == FULL
    assert len(drawn(desk)) == 4
    assert FULL in desk.room.plots.legend.accessibleName()


def test_a_click_with_ctrl_compares_a_ball_and_leaves_the_other_in_hand(desk: Desk) -> None:
    hold(desk, "Quarry Song")
    view = desk.room.left.view
    rows = view.rows_model.rows()
    at = next(i for i, row in enumerate(rows) if isinstance(row, BallRow) and row.spare)
    middle: QPoint = view.visualRect(view.rows_model.index(at)).center()
    before = desk.shared.ball_id
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier, middle)
    desk.settle()
    assert desk.shared.ball_id == before
    assert "Plain Gate" in drawn(desk)
    said = view.rows_model.index(at).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said.endswith("drawn too")


def test_what_is_compared_stays_on_another_condition_and_not_with_another_bowler(desk: Desk) -> None:
    hold(desk, "Plain Gate")
    desk.key(Qt.Key.Key_Space)
    hold(desk, "Quarry Song")
    desk.room.bar.lane_picked.emit(2)
    desk.settle()
    assert "Plain Gate" in drawn(desk)
    desk.room.bar.bowler_picked.emit(2)
    desk.settle()
    assert "Plain Gate" not in drawn(desk)


def test_the_cursor_reads_board_skid_left_and_speed_of_every_path(desk: Desk) -> None:
    hold(desk, "Paper Moth")
    desk.key(Qt.Key.Key_Right)
    plots = desk.room.plots
    plots.put_cursor(44)
    told = plots.readout.text()
    assert told.startswith("At 44 ft: ")
    assert len(told.split(";")) == len(drawn(desk)) >= 4, "three balls or four, and one with a pad"
    for row in (desk.room.in_hand(), desk.room.rows()[2]):
        mph = np.interp(44 * FOOT_M, row.trace.distance_m, row.trace.speed_mps) / MPH_MPS
        skid = 100 * np.interp(44 * FOOT_M, row.trace.distance_m, row.trace.skid_left)
        line = next(part for part in told.split(": ")[1].split("; ") if part.startswith(row.ball.name))
        assert f"{skid:.0f} % skid left" in line
        assert abs(float(line.split(", ")[2].split()[0]) - mph) < 0.06


def test_speed_follows_the_units_preference(desk: Desk) -> None:
    desk.shared.settings.units = "metric"
    desk.room.load()
    desk.settle()
    row, readout = desk.room.in_hand(), desk.room.plots.readout
    desk.room.plots.put_cursor(0)
    kmh = row.trace.speed_mps[0] / KMH_MPS
    assert f"{kmh:.1f} km/h" in readout.text()
    assert desk.room.bar.how.word().startswith(f"{kmh:.1f} km/h")


@given(st.lists(st.integers(1, 8), unique=True, max_size=3), st.integers(1, 8), st.integers(1, 8))
def test_the_ball_in_hand_is_always_drawn_and_never_more_than_four(asked: list[int], bench: int, hand: int) -> None:
    company = Company(tuple(asked)).among(range(1, 9), bench, range(1, 9))
    found = styles(hand, company.beside(hand), bench)
    assert found[hand] == 0
    assert len(found) <= 4
    assert len(set(found.values())) == len(found), "no two balls share a style"
    assert set(asked) <= set(found), "what was asked for is drawn"
    if bench != hand and bench in found:
        assert found[bench] == 3


@given(st.lists(st.integers(1, 6), max_size=12))
def test_asking_twice_changes_nothing_in_the_end(presses: list[int]) -> None:
    company = Company().among(range(1, 7), 3, range(1, 7))
    for hand in presses:
        once = company.toggled(hand, hand)
        if once is None:
            assert len(company.asked) == BESIDE
            continue
        assert once.stays(hand) != company.stays(hand)
        twice = once.toggled(hand, hand)
        assert twice is None or twice.stays(hand) == company.stays(hand)
        company = once


def test_a_ball_keeps_its_style_while_others_come_and_go() -> None:
    assert styles(1, [3, 5, 2], 3) == {1: 0, 3: 3, 5: 1, 2: 2}
    assert styles(5, [3, 2, 1], 3, {5: 1, 2: 2}) == {5: 0, 3: 3, 2: 2, 1: 1}
    assert styles(3, [1, 5, 4], 3, {1: 1, 5: 2}) == {3: 0, 1: 1, 5: 2, 4: 3}
    assert styles(None, [3], 3) == {3: 3}
