"""Ask for another day for a job."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QDate
from PySide6.QtWidgets import QDateEdit, QWidget

from arsenal.desk.dialogs.form import FormDialog
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.rows import JobRow

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

FARTHEST_DAYS = 366


class AnotherDay(FormDialog):
    """A day, from today on."""

    def __init__(self, shared: Shared, parent: QWidget, row: JobRow, today: date) -> None:
        super().__init__("Another day", shared, parent, keep="Move it", width=420)
        self._job_row = row
        self.rows.add("Job", f"{row.ball}, {row.work.lower()} {row.job.how}")
        self.rows.add("Planned", row.by)
        start = max(row.job.by or today, today) + timedelta(days=1)
        self.day = QDateEdit(QDate(start.year, start.month, start.day))
        self.day.setDisplayFormat("ddd d MMM yyyy")
        self.day.setCalendarPopup(True)
        self.day.setMinimumDate(QDate(today.year, today.month, today.day))
        self.day.setMaximumDate(self.day.minimumDate().addDays(FARTHEST_DAYS))
        self.day.setAccessibleName("Day")
        self.day.setFixedHeight(look().px(34))
        self.rows.field("Day", self.day)

    def act(self) -> Callable[[Shop], Changes]:
        """Move it."""
        chosen, jobs = self.day.date(), self._job_row.alike
        to = date(chosen.year(), chosen.month(), chosen.day())
        return lambda shop: asking.move(shop, jobs, to)


def open_another_day(shared: Shared, parent: QWidget, row: JobRow, today: date) -> AnotherDay:
    """Show it."""
    dialog = AnotherDay(shared, parent.window(), row, today)
    dialog.open_()
    return dialog
