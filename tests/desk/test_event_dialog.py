"""The event's form over a real shop: blocks and squads, what nobody said, units, errors in one sentence, keys alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.event import asking
from arsenal.desk.event.dialog import EventDialog
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.event import BanFrom, Block, Entered, Event, Reoiled, Squad

WAIT = 10_000
POUND = 0.45359237
"""Kilograms in a pound (international avoirdupois pound, exact by definition)."""


class Form:
    """A shop, its worker, and the form of one event."""

    def __init__(self, qtbot, path: Path, settings: Settings, window: QWidget) -> None:
        self.qtbot, self.window = qtbot, window
        self.worker = Worker(lambda: Shop.open(path, settings=settings))
        self.shared = Shared(self.worker, settings)
        self.kept: list[object] = []
        self.window.show()

    def ask(self, job: Callable[[Shop], object]) -> object:
        found: list[object] = []
        self.shared.ask("test", job, found.append)
        self.qtbot.waitUntil(lambda: bool(found), timeout=WAIT)
        return found[0]

    def open(self, event: Event | None = None, entered: Entered | None = None) -> EventDialog:
        found = self.ask(asking.look_at(event.id if event else None, 1))
        assert isinstance(found, asking.Found)
        dialog = EventDialog(self.shared, self.window, found, event, entered, self.kept.append)
        dialog.open_()
        return dialog

    def keep(self, dialog: EventDialog) -> None:
        dialog.keep()
        self.qtbot.waitUntil(self.worker.idle, timeout=WAIT)
        QApplication.processEvents()

    def event(self) -> Event:
        events = self.ask(lambda shop: tuple(shop.every(Event)))
        return events[0]  # type: ignore[index]

    def entered(self) -> Entered:
        found = self.ask(lambda shop: tuple(shop.every(Entered)))
        return found[0]  # type: ignore[index]

    def close(self) -> None:
        self.worker.close()
        self.shared.deleteLater()


@pytest.fixture
def form(qtbot, shop_file: Path, settings: Settings, window: QWidget) -> Iterator[Form]:
    made = Form(qtbot, shop_file, settings, window)
    yield made
    made.close()


def today() -> date:
    return datetime.now().astimezone().date()


def soon(days: int = 10, hour: int = 9) -> datetime:
    day = today() + timedelta(days=days)
    return datetime(day.year, day.month, day.day, hour).astimezone()


def test_what_is_typed_is_kept_whole(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.place.setText("Weststadt")
    dialog.first_on.put(soon().date())
    dialog.lanes.picked.emit(1)
    dialog.reoiled.picked.emit(Reoiled.EACH)
    dialog.blocks.rows[0].squad.setText("Morning")
    dialog.blocks.add()
    dialog.blocks.rows[1].games.edit.setText("6")
    dialog.balls.edit.setText("6")
    dialog.ban.picked.emit(BanFrom.OWN_FIRST_BALL)
    dialog.between.picked.emit(True)
    dialog.practice.edit.setText("15")
    dialog.hardness.edit.setText("78")
    dialog.rule.setPlainText("No sanding after the first ball.")
    dialog.squad.setText("Morning")
    dialog.right.edit.setText("2")
    dialog.left.edit.setText("1")
    dialog.bag.edit.setText("50")
    dialog.minutes.edit.setText("45")
    dialog.spinner.picked.emit(False)
    form.keep(dialog)
    kept, mine = form.event(), form.entered()
    assert (kept.name, kept.place, kept.lane_ids, kept.reoiled) == ("Autumn singles", "Weststadt", (1,), Reoiled.EACH)
    assert [(squad.name, [block.games for block in squad.blocks]) for squad in kept.squads] == [("Morning", [3, 6])]
    assert kept.squads[0].blocks[0].starts_at == soon()
    assert (kept.balls_allowed, kept.ban_from, kept.between_allowed) == (6, BanFrom.OWN_FIRST_BALL, True)
    assert (kept.practice_min, kept.hardness_at_least_d) == (15.0, 78.0)
    assert kept.rule_note == "No sanding after the first ball."
    assert (mine.squad, mine.right_handers, mine.left_handers) == ("Morning", 2, 1)
    assert mine.bag_limit_kg == pytest.approx(50 * POUND)
    assert (mine.minutes, mine.spinner) == (45.0, False)
    assert form.kept


def test_what_nobody_said_stays_unsaid(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    form.keep(dialog)
    kept = form.event()
    assert kept.lane_ids == ()
    assert kept.balls_allowed is kept.practice_min is kept.hardness_at_least_d is kept.list_checked_on is None
    assert kept.registration_by is kept.bags_locked_at is None
    assert form.entered().bag_limit_kg is None


def test_a_typed_unit_wins_over_the_one_that_is_set(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.bag.edit.setText("23 kg")
    form.keep(dialog)
    assert form.entered().bag_limit_kg == pytest.approx(23.0)


def test_the_bags_limit_is_asked_in_kilograms_where_those_are_usual(form: Form) -> None:
    form.shared.settings.units = "metric"
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.bag.edit.setText("22,5")
    form.keep(dialog)
    assert form.entered().bag_limit_kg == pytest.approx(22.5)


def test_an_event_without_a_name_stays_in_the_form_with_a_sentence(form: Form) -> None:
    dialog = form.open()
    form.keep(dialog)
    assert "needs a name" in dialog.trouble.text()
    assert dialog.isVisible()
    assert form.ask(lambda shop: len(tuple(shop.every(Event)))) == 0
    dialog.reject()


def test_no_balls_allowed_is_refused_at_its_field(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.balls.edit.setText("0")
    form.keep(dialog)
    assert dialog.balls.problem() == "Balls allowed is 1 to 24 balls. Nothing was saved."
    assert dialog.balls.sentence.isVisible()
    dialog.reject()


def test_an_event_of_the_past_is_refused_by_name(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.first_on.put(today() - timedelta(days=30))
    form.keep(dialog)
    assert "is over" in dialog.trouble.text()
    assert dialog.keep_button.isEnabled()
    dialog.reject()


def test_a_squad_the_event_does_not_have_is_named(form: Form) -> None:
    dialog = form.open()
    dialog.name.setText("Autumn singles")
    dialog.blocks.rows[0].squad.setText("Morning")
    dialog.squad.setText("Evening")
    form.keep(dialog)
    assert "no squad Evening" in dialog.trouble.text()
    assert "Morning" in dialog.trouble.text()
    dialog.reject()


def test_times_follow_the_event_to_another_day(form: Form) -> None:
    dialog = form.open()
    dialog.registration.choice.picked.emit(True)
    before = dialog.blocks.rows[0].starts.at(), dialog.registration.at()
    dialog.first_on.put(dialog.first_on.day() + timedelta(days=3))
    after = dialog.blocks.rows[0].starts.at(), dialog.registration.at()
    assert [b.date() - a.date() for a, b in zip(before, after, strict=True)] == [timedelta(days=3)] * 2
    assert [b.hour for b in after] == [a.hour for a in before]
    dialog.reject()


def test_changing_an_event_keeps_what_was_not_touched(form: Form) -> None:
    whole = Event(
        0, "Autumn singles", soon().date(), "Weststadt",
        (Squad("A", (Block(soon(), 3, soon() + timedelta(minutes=70), 1), Block(soon(hour=13), 3))),
         Squad("B", (Block(soon(hour=16), 6),))),
        (1,), Reoiled.FIRST, 6, BanFrom.PRACTICE, True, soon(hour=8), soon(hour=8), 12.5, 75.0, today(),
        "Rule <b>text</b>", "note",
    )  # fmt: skip
    form.ask(lambda shop: asking.keep_event(shop, whole, Entered(0, 0, 1, "B", 4, 1, bag_limit_kg=20.4, bags=2)))
    kept, mine = form.event(), form.entered()
    dialog = form.open(kept, mine)
    assert dialog.made() == kept
    assert dialog.entered(dialog.made()) == mine
    dialog.blocks.rows[2].remove.click()
    assert [squad.name for squad in dialog.made().squads] == ["A"]
    dialog.reject()


def test_the_last_block_cannot_be_taken_away(form: Form) -> None:
    dialog = form.open()
    assert not dialog.blocks.rows[0].remove.isEnabled()
    dialog.blocks.add_button.click()
    assert dialog.blocks.rows[0].remove.isEnabled()
    dialog.blocks.rows[0].remove.click()
    assert len(dialog.blocks.rows) == 1
    assert not dialog.blocks.rows[0].remove.isEnabled()
    dialog.reject()


def test_the_form_is_filled_and_kept_by_keys_alone(form: Form) -> None:
    dialog = form.open()
    form.qtbot.waitUntil(dialog.name.hasFocus)
    QTest.keyClicks(dialog.name, "Autumn singles")
    order = []
    for _ in range(60):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        order.append(QApplication.focusWidget())
        if order[-1] is dialog.name:
            break
    reached = {id(widget) for widget in order}
    for wanted in (dialog.place, dialog.lanes, dialog.balls.edit, dialog.ban, dialog.rule, dialog.bag.edit):
        assert id(wanted) in reached
    nameless = [w for w in order if not w.accessibleName()]
    assert nameless == []
    QTest.keyClick(dialog.name, Qt.Key.Key_Return)
    form.qtbot.waitUntil(lambda: bool(form.kept), timeout=WAIT)
    assert form.event().name == "Autumn singles"


def test_nothing_destructive_is_the_default(form: Form) -> None:
    dialog = form.open()
    primary = [button.name() for button in dialog.findChildren(KeyButton) if button.primary]
    assert primary == ["Add event"]
    dialog.reject()


def test_several_conditions_or_none_at_all(form: Form) -> None:
    dialog = form.open()
    assert dialog.lanes.word() == "unknown"
    dialog.lanes.picked.emit(1)
    assert dialog.lanes.word() == "41 ft house, 25 mL, fresh"
    assert [act.isChecked() for act in dialog.lanes.menu().actions()] == [False, True]
    dialog.lanes.picked.emit(None)
    assert dialog.lanes.held == ()
    dialog.reject()
