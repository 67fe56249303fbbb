"""Ask for a day for a job: another one to do it on, or the earlier one it was done on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QDate
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.fields import DayEdit
from arsenal.desk.dialogs.form import Done, FormDialog
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.in_hand import InHand
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

FARTHEST_DAYS = 366


class AnotherDay(FormDialog):
    """A day, from today on."""

    def __init__(self, shared: Shared, parent: QWidget, hand: InHand, today: date) -> None:
        super().__init__("Another day", shared, parent, keep="Move it", width=420)
        self._hand = hand
        self.rows.add("Job", hand.words)
        if hand.day is not None:
            self.rows.add(hand.day_says, days.weekday_and_day(hand.day))
        self.day = DayEdit("Day", max(hand.day or today, today) + timedelta(days=1))
        self.day.setMinimumDate(QDate(today.year, today.month, today.day))
        self.day.setMaximumDate(self.day.minimumDate().addDays(FARTHEST_DAYS))
        self.rows.field("Day", self.day)
        self.day.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Move it."""
        jobs, to = self._hand.jobs, self.day.day()
        return lambda shop: asking.move(shop, jobs, to)


class EarlierDay(FormDialog):
    """The day a job was done on, today at the latest."""

    def __init__(self, shared: Shared, parent: QWidget, hand: InHand, today: date, done: Done | None = None) -> None:
        super().__init__("Done on an earlier day", shared, parent, done, keep="Log it", width=440)
        self._hand = hand
        self.rows.add("Job", hand.words)
        self.day = DayEdit("Done on", today - timedelta(days=1))
        self.day.setMaximumDate(QDate(today.year, today.month, today.day))
        self.day.setMinimumDate(self.day.maximumDate().addDays(-FARTHEST_DAYS))
        self.rows.field("Done on", self.day)
        self.day.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Log it as planned, on that day."""
        jobs, on = self._hand.jobs, self.day.day()
        return lambda shop: asking.keep_planned(shop, jobs, on)


def open_another_day(shared: Shared, parent: QWidget, hand: InHand, today: date) -> AnotherDay:
    """Show it."""
    dialog = AnotherDay(shared, parent.window(), hand, today)
    dialog.open_()
    return dialog


def open_earlier_day(shared: Shared, parent: QWidget, hand: InHand, today: date, done: Done) -> EarlierDay:
    """Show it; `done` is told what was kept."""
    dialog = EarlierDay(shared, parent.window(), hand, today, done)
    dialog.open_()
    return dialog
