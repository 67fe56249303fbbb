"""Reminders: quiet, none in the first minute, each due thing once a day, put off, and clocks that jump."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtWidgets import QApplication, QLineEdit

from arsenal.acts.calendar_views import Reminder
from arsenal.acts.settings import Settings
from arsenal.desk import opening, reminding
from arsenal.desk import reminders as desk_reminders
from arsenal.desk.reminders import Reminders, put_on, words_of
from arsenal.desk.tray import TrayIcon, make_tray, plain
from arsenal.plan.records import Due, Job, Work

ZONE = ZoneInfo("Europe/Berlin")
START = datetime(2026, 11, 24, 18, 0, tzinfo=ZONE)


class Clock:
    """A clock that stands until it is set."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def on(self, **by: float) -> None:
        """Later by that."""
        self.at = (self.at + timedelta(**by)).astimezone(ZONE)


class NoteTray:
    """Keeps what it was to tell."""

    def __init__(self) -> None:
        self.told: list[tuple[str, str]] = []
        self.gone = False

    def tell(self, title: str, text: str) -> None:
        """Write it down."""
        self.told.append((title, text))

    def remove(self) -> None:
        """Gone."""
        self.gone = True


def due(key: str = "2 refresh", ball: str = "Rook Hollow") -> Reminder:
    return Reminder(key, f"{ball}: refresh 1000 h", "Due since Tue 24 Nov. 3 minutes.", 2, 1, date(2026, 11, 24))


class Desk:
    """Reminders over a list of due things, a clock and a tray of the test's own."""

    def __init__(self, shared, qtbot, tray: NoteTray | None) -> None:
        self.clock, self.tray, self.qtbot, self.shared = Clock(START), tray, qtbot, shared
        self.due: list[Reminder] = [due()]
        self.asked = 0
        self.reminders = Reminders(shared, self.clock, tray, self._ask)

    def _ask(self, _shop: object) -> tuple[Reminder, ...]:
        self.asked += 1
        return tuple(self.due)

    def look(self) -> None:
        """Look once, and wait for the answer."""
        self.reminders.look()
        self.qtbot.waitUntil(self.shared.worker.idle)


@pytest.fixture
def desk(shared, qtbot) -> Iterator[Desk]:
    made = Desk(shared, qtbot, NoteTray())
    yield made
    made.reminders.stop()


def test_nothing_is_told_in_the_first_minute(desk: Desk) -> None:
    desk.look()
    desk.clock.on(seconds=59)
    desk.look()
    assert desk.asked == 0
    desk.clock.on(seconds=1)
    desk.look()
    assert desk.tray.told == [("Rook Hollow: refresh 1000 h", "Due since Tue 24 Nov. 3 minutes.")]


def test_each_due_thing_is_told_once_a_day(desk: Desk) -> None:
    desk.clock.on(minutes=2)
    for _ in range(5):
        desk.look()
        desk.clock.on(minutes=10)
    assert len(desk.tray.told) == 1
    desk.due.append(due("3 deep oil", "Slow Lantern"))
    desk.look()
    assert [title for title, _ in desk.tray.told[1:]] == ["Slow Lantern: refresh 1000 h"]
    desk.clock.on(days=1)
    desk.look()
    assert desk.tray.told[-1][0] == "2 jobs are due"


def test_what_was_told_today_is_not_told_again_after_another_start(desk: Desk, qtbot) -> None:
    desk.clock.on(minutes=2)
    desk.look()
    again = Desk(desk.shared, qtbot, NoteTray())
    again.clock.at = START + timedelta(hours=1)
    again.look()
    assert again.tray.told == []
    again.reminders.stop()


def test_an_hour_and_a_day_put_off_only_what_was_told(desk: Desk) -> None:
    desk.clock.on(minutes=2)
    desk.look()
    desk.reminders.snooze_hour()
    desk.due.append(due("3 deep oil", "Slow Lantern"))
    desk.clock.on(minutes=30)
    desk.look()
    assert [title for title, _ in desk.tray.told[1:]] == ["Slow Lantern: refresh 1000 h"]
    desk.clock.on(minutes=31)
    desk.look()
    assert [title for title, _ in desk.tray.told[2:]] == ["Rook Hollow: refresh 1000 h"]
    desk.reminders.snooze_day()
    desk.clock.on(hours=3)
    desk.look()
    assert len(desk.tray.told) == 3
    desk.clock.at = datetime(2026, 11, 25, 0, 1, tzinfo=ZONE)
    desk.look()
    assert len(desk.tray.told) == 4


def test_a_clock_set_back_tells_nothing_twice_and_one_far_ahead_is_mended(desk: Desk) -> None:
    desk.clock.on(minutes=2)
    desk.look()
    desk.clock.on(days=-1)
    desk.look()
    assert len(desk.tray.told) == 1
    desk.clock.at = START + timedelta(days=400)
    desk.look()
    assert len(desk.tray.told) == 2
    desk.clock.at = START + timedelta(days=1)
    desk.look()
    assert len(desk.tray.told) == 3


@pytest.mark.parametrize(
    "night",
    [datetime(2026, 10, 25, 0, 30, tzinfo=ZONE), datetime(2027, 3, 28, 0, 30, tzinfo=ZONE),
     datetime(2028, 2, 28, 23, 30, tzinfo=ZONE), datetime(2028, 2, 29, 23, 30, tzinfo=ZONE)],
    ids=["clocks back", "clocks forward", "to leap day", "from leap day"],
)  # fmt: skip
def test_once_a_day_holds_over_changing_clocks_and_a_leap_day(shared, qtbot, night: datetime) -> None:
    desk = Desk(shared, qtbot, NoteTray())
    desk.clock.at = night
    days: list[date] = []
    for _ in range(48):
        before = len(desk.tray.told)
        desk.look()
        days += [desk.clock().date()] * (len(desk.tray.told) - before)
        desk.clock.at = (desk.clock.at.astimezone(ZoneInfo("UTC")) + timedelta(hours=1)).astimezone(ZONE)
    assert days == sorted(set(days))
    assert len(days) in (2, 3)
    desk.reminders.stop()


def test_the_worker_is_asked_now_and_then_on_another_day_and_when_what_was_put_off_is_over(desk: Desk, qtbot) -> None:
    def minutes(count: int) -> int:
        before = desk.asked
        for _ in range(count):
            desk.clock.on(minutes=1)
            desk.reminders._tick()
            qtbot.waitUntil(desk.shared.worker.idle)
        return desk.asked - before

    assert minutes(20) == 1
    assert minutes(20) == 1
    desk.reminders.snooze(desk.clock() + timedelta(minutes=5))
    assert minutes(10) == 2
    desk.clock.at = datetime(2026, 11, 24, 23, 58, tzinfo=ZONE)
    assert minutes(1) == 1
    assert minutes(3) == 1


def test_off_is_off_at_once_and_is_kept_with_the_settings(desk: Desk) -> None:
    put_on(desk.shared.settings, False)
    desk.clock.on(minutes=2)
    desk.look()
    assert desk.tray.told == []
    assert not desk_reminders.wanted(Settings.load(desk.shared.settings.path))
    put_on(desk.shared.settings, True)
    desk.look()
    assert len(desk.tray.told) == 1


@pytest.mark.parametrize(
    "kept", [None, 7, "x", {"on": 1, "told": [1], "later": {"2 refresh": "soon"}}, {"told": {"2 refresh": "yesterday"}}]
)
def test_settings_that_cannot_be_read_are_forgotten(shared, qtbot, kept: object) -> None:
    shared.settings.kept[desk_reminders.KEY] = kept
    desk = Desk(shared, qtbot, NoteTray())
    desk.clock.on(minutes=2)
    desk.look()
    assert len(desk.tray.told) == 1
    desk.reminders.stop()


def test_without_a_tray_the_last_act_line_says_it_once(shared, qtbot) -> None:
    desk = Desk(shared, qtbot, None)
    said: list[str] = []
    shared.said.connect(said.append)
    desk.clock.on(minutes=2)
    desk.look()
    desk.clock.on(minutes=2)
    desk.look()
    assert said == ["Reminder: Rook Hollow: refresh 1000 h. Due since Tue 24 Nov. 3 minutes."]
    desk.reminders.stop()


def test_many_due_things_are_one_message(shared) -> None:
    title, text = words_of([due(f"{n} refresh", f"Ball {n}") for n in range(9)])
    assert title == "9 jobs are due"
    assert text.count(";") == 3
    assert text.endswith("and 6 more")


def test_a_click_opens_what_was_told_and_a_message_takes_no_focus(desk: Desk, qtbot) -> None:
    line = QLineEdit()
    line.show()
    line.activateWindow()
    line.setFocus()
    qtbot.waitUntil(line.hasFocus)
    desk.clock.on(minutes=2)
    desk.look()
    assert line.hasFocus()
    assert QApplication.activeModalWidget() is None
    with qtbot.waitSignal(desk.reminders.wanted) as opened:
        desk.reminders.clicked()
    assert opened.args[0].ball_id == 2
    with qtbot.waitSignal(desk.reminders.earlier_wanted):
        desk.reminders.done_earlier()
    line.close()


@pytest.mark.qt_log_ignore("systemTrayWindowChanged")  # the platform without a screen lacks it
def test_the_icon_is_made_only_where_the_desktop_has_a_tray(window, qtbot) -> None:
    assert make_tray(window, lambda: False) is None
    icon = make_tray(window, lambda: True)
    assert isinstance(icon, TrayIcon)
    names = [act.text() for act in icon._menu.actions()]
    assert "Again in an hour" in names
    assert "Done on an earlier day…" in names
    with qtbot.waitSignal(icon.day_wanted):
        icon._menu.actions()[names.index("Again tomorrow")].trigger()
    icon.tell("Rook <b>Hollow</b>", "Tamsin & Co")
    icon.remove()


def test_a_message_shows_a_name_with_markup_as_it_stands() -> None:
    assert "<" not in plain('<img src="file:///etc/hostname">')
    assert "&" not in plain("Tamsin & Co")


class Front:
    """Stands for the window: what it was asked to open."""

    def __init__(self, shared) -> None:
        self.shared, self.opened, self.forward = shared, [], 0
        self.jobs: list[tuple[int, str, bool]] = []

    def come_forward(self) -> None:
        """Raised."""
        self.forward += 1

    def open_room(self, digit: int) -> None:
        """Opened."""
        self.opened.append(digit)

    def room(self, _digit: int) -> Front:
        """The room there."""
        return self

    def show_job(self, ball_id: int, work: str, *, earlier: bool = False) -> None:
        """Taken in hand."""
        self.jobs.append((ball_id, work, earlier))


@pytest.mark.parametrize("earlier", [False, True])
def test_a_clicked_reminder_opens_the_upkeep_room_at_its_job(shared, qtbot, earlier: bool) -> None:
    job = Job(2, Work.REFRESH, Due.DUE, "1000 h", "", "", False, 1.0, 1.0, 1.0, None, None, 3.0)
    front = Front(shared)
    reminding._open(front, replace(due(), job=job), earlier=earlier)
    qtbot.waitUntil(lambda: bool(front.jobs))
    assert front.forward == 1
    assert front.opened == [5]
    assert shared.bowler_id == 1
    assert front.jobs == [(2, Work.REFRESH, earlier)]


def test_an_open_file_reminds_and_a_closed_one_no_longer(shop_file, settings, qtbot, monkeypatch) -> None:
    monkeypatch.setattr(opening, "ROOMS", ())
    monkeypatch.setattr(opening, "HEAVY", ())
    desk = opening.Desk(settings)
    desk.start(shop_file)
    qtbot.waitUntil(lambda: desk._reminders is not None, timeout=20_000)
    held = desk._reminders
    assert held._timer.isActive()
    desk.window_gone()
    assert desk._reminders is None
    assert not held._timer.isActive()
    desk.window.close()
    desk.window.deleteLater()
    qtbot.waitUntil(lambda: all(t.name != "loading rooms" for t in threading.enumerate()))
    desk.deleteLater()


def test_stopping_takes_the_icon_away_and_ends_the_looking(desk: Desk) -> None:
    desk.reminders.stop()
    assert desk.tray.gone
    assert not desk.reminders._timer.isActive()
