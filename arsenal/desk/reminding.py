"""Reminders at work in the window: the tray is asked for, and a click opens the Upkeep room at the job it told of."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from arsenal.desk import tray
from arsenal.desk.reminders import Reminders, due_now, put_on
from arsenal.desk.rooms import TURN_MS

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Reminder
    from arsenal.desk.frame import Window

UPKEEP = 5


def here_and_now() -> datetime:
    """This machine's local time."""
    return datetime.now().astimezone()


def remind(window: Window, clock: Callable[[], datetime] = here_and_now) -> Reminders:
    """Begin; `stop` ends it."""
    icon = tray.make_tray(window)
    made = Reminders(window.shared, clock, icon, due_now, window)
    made.wanted.connect(lambda one: _open(window, one, earlier=False))
    made.earlier_wanted.connect(lambda one: _open(window, one, earlier=True))
    if icon is not None:
        icon.clicked.connect(made.clicked)
        icon.hour_wanted.connect(made.snooze_hour)
        icon.day_wanted.connect(made.snooze_day)
        icon.earlier_wanted.connect(made.done_earlier)
        icon.off_wanted.connect(lambda: put_on(window.shared.settings, False))
    return made


def _open(window: Window, one: Reminder, *, earlier: bool) -> None:
    """Upkeep, with the job in hand; with its day asked for where it was done before."""
    window.come_forward()
    window.shared.hold_bowler(one.owner_id)
    window.open_room(UPKEEP)
    room = window.room(UPKEEP)
    show = getattr(room, "show_job", None)
    if show is not None and one.job is not None:
        job = one.job
        QTimer.singleShot(TURN_MS, lambda: show(job.ball_id, job.work, earlier=earlier))
