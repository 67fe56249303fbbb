"""At the lanes: the countdown by a clock of the test, the next ball and why, the block logged in one action."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import event_plan
import pytest
from event_desk import Desk
from PySide6.QtCore import Qt

from arsenal.acts.views import RuleState
from arsenal.desk.event import clock
from arsenal.desk.event.block import BlockDialog, games_of
from arsenal.trade.entries import Wiped


@pytest.fixture
def desk(qtbot, settings, monkeypatch) -> Iterator[Desk]:
    made = Desk(qtbot, settings, monkeypatch)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(3 * 24 * 60, "3 days"), (310, "5 h 10 min"), (120, "2 h"), (12, "12 min"), (0.5, "under a minute"), (-1, "")],
)
def test_time_left_is_said_as_people_say_it(minutes: float, said: str) -> None:
    assert clock.left_words(event_plan.BAN, event_plan.BAN - timedelta(minutes=minutes)) == said


def test_the_clock_is_looked_at_more_often_in_the_last_hour() -> None:
    near, far = event_plan.BAN - timedelta(minutes=59), event_plan.BAN - timedelta(minutes=61)
    assert clock.next_look(event_plan.BAN, near) < clock.next_look(event_plan.BAN, far)


def test_a_goes_to_the_lanes_and_back(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    assert desk.room.lanes.isVisible()
    assert desk.room.bar.view.word() == "at the lanes"
    desk.letter(Qt.Key.Key_A)
    assert desk.room.table.isVisible()
    assert desk.room.bar.view.word() == "the plan"


def test_the_countdown_runs_by_the_clock_and_asks_again_when_it_is_over(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    count = desk.room.lanes.countdown
    assert (count.caption.whole(), count.number.whole()) == ("No pads in", "12 min")
    desk.now = event_plan.BAN - timedelta(minutes=3)
    count.tick()
    assert count.number.whole() == "3 min"
    desk.lanes = event_plan.at_lanes(
        pads_until=None, countdown="dry towel only until 11:20", rule=RuleState(False, "dry towel only until 11:20")
    )
    desk.now = event_plan.BAN + timedelta(seconds=1)
    count.tick()
    assert count.number.whole() == "No pads from now"
    desk.settle()
    assert count.number.whole() == "Dry towel only until 11:20"
    assert not count.timer.isActive()
    assert desk.room.bar.rule.accessibleName() == "Rule: dry towel only until 11:20"


def test_the_lanes_say_stage_next_ball_with_its_reason_and_what_to_wipe(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    said = {name: (strong.whole(), more.whole()) for name, (_, strong, more) in desk.room.lanes.values.items()}
    assert said["Stage now"][0] == "track drying, about shot 60 on the pair"
    assert said["Next ball down"] == ("Paper Moth", "covers moved in, from about shot 110")
    assert said["Wipe"][0].startswith("every shot")
    assert said["Thrown today"][0] == "Slow Lantern: 14 shots, wiped every shot"
    assert said["Between blocks"][0] == "re-oiled; pads not allowed"


def test_l_logs_the_block_of_every_ball_thrown_in_one_act(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    desk.letter(Qt.Key.Key_L)
    dialog = desk.dialog(BlockDialog)
    assert list(dialog.games) == [1, 2, 3, 4]
    dialog.keep()
    assert "No ball has any games" in dialog.trouble.text()
    dialog.games[3].edit.setText("2")
    dialog.games[4].edit.setText("11 shots")
    dialog.keep()
    desk.settle()
    name, what, _ = desk.asked[-1]
    assert name == "log_block"
    assert what[1:] == (1, {3: 2.0, 4: pytest.approx(1.0)}, Wiped.EACH)


def test_a_number_of_games_that_cannot_be_stays_in_the_dialog(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    desk.letter(Qt.Key.Key_L)
    dialog = desk.dialog(BlockDialog)
    dialog.games[3].edit.setText("lots")
    dialog.keep()
    assert desk.asked == []
    assert dialog.games[3].problem()
    dialog.reject()


def test_a_block_that_is_logged_is_not_logged_again(desk: Desk) -> None:
    desk.lanes = event_plan.at_lanes(logged=True, clean="")
    desk.letter(Qt.Key.Key_A)
    assert not desk.room.lanes.log_key.isEnabled()
    assert "is logged" in desk.room.lanes.log_key.accessibleName()
    assert not desk.room.lanes.clean_key.isEnabled()


def test_c_cleans_all_that_was_used(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    desk.letter(Qt.Key.Key_C)
    assert desk.asked[-1][0] == "clean_used"


def test_a_block_has_the_games_of_the_bowlers_squad() -> None:
    plan = event_plan.plan()
    assert games_of(plan, 2) == 3
    assert games_of(plan, None) == 0
    assert games_of(replace(plan, event=replace(plan.event, squads=())), 1) == 0


def test_leaving_the_lanes_stops_the_clock(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_A)
    assert desk.room.lanes.countdown.timer.isActive()
    desk.room.leave()
    assert not desk.room.lanes.countdown.timer.isActive()
