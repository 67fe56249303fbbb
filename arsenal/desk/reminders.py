"""Quiet reminders of what is due: by the desktop's tray where it has one, else once in the last-act line.

None in the first minute, each due thing once a day, and nothing takes the focus. What was told and what was put off is
kept in this machine's settings, by day, so that a clock set back does not tell it twice.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any, Protocol

from PySide6.QtCore import QObject, QTimer, Signal

from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Reminder
    from arsenal.acts.settings import Settings
    from arsenal.acts.shop import Shop

KEY = "reminders"
FIRST = timedelta(minutes=1)
EVERY_MS = 60_000
HOUR, PAUSE = timedelta(hours=1), timedelta(minutes=20)
DAYS_KEPT = 14
MOST_OFF = timedelta(days=2)
NAMED = 3


class Tray(Protocol):
    """What a tray must do: say something, and be heard when it is clicked or a choice of its menu is taken."""

    def tell(self, title: str, text: str) -> None:
        """A quiet message."""

    def remove(self) -> None:
        """Take the icon away."""


@dataclass
class Told:
    """What was told on which day, and what is put off until when, by the reminder's key."""

    on: bool = True
    told: dict[str, str] = field(default_factory=dict)
    later: dict[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, kept: object) -> Told:
        """From the settings; what cannot be read is forgotten."""
        found: dict[str, Any] = kept if isinstance(kept, dict) else {}
        return cls(found.get("on", True) is not False, _texts(found.get("told")), _texts(found.get("later")))

    def plain(self) -> dict[str, object]:
        """For the settings."""
        return {"on": self.on, "told": self.told, "later": self.later}


class Reminders(QObject):
    """Looks now and then whether something is due that was not told today. The clock is passed in."""

    wanted = Signal(object)
    """A Reminder was clicked: show its job."""
    earlier_wanted = Signal(object)
    """A Reminder was answered by “done on an earlier day”."""

    def __init__(
        self, shared: Shared, clock: Callable[[], datetime], tray: Tray | None,
        ask: Callable[[Shop], Sequence[Reminder]], parent: QObject | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._shared, self._clock, self._tray, self._ask = shared, clock, tray, ask
        self._started = clock()
        self._looked: datetime | None = None
        self.last: tuple[Reminder, ...] = ()
        """What the last message told of, the most urgent first."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._tick)
        self._timer.start(EVERY_MS)

    def look(self) -> None:
        """Ask what is due, unless it is too early or nobody wants to know."""
        now = self._clock()
        if wanted(self._shared.settings) and not timedelta(0) <= now - self._started < FIRST:
            self._shared.ask("reminders", self._ask, self._found)

    def snooze(self, until: datetime) -> None:
        """Put off what was told last."""
        known = self._read()
        known.later.update({one.key: until.isoformat() for one in self.last})
        known.told = {key: day for key, day in known.told.items() if key not in known.later}
        self._keep(known)

    def snooze_hour(self) -> None:
        """For an hour."""
        self.snooze(self._clock() + HOUR)

    def snooze_day(self) -> None:
        """Until tomorrow, from midnight on."""
        now = self._clock()
        self.snooze((now + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0))

    def clicked(self) -> None:
        """The message was clicked."""
        if self.last:
            self.wanted.emit(self.last[0])

    def done_earlier(self) -> None:
        """It was done on an earlier day."""
        if self.last:
            self.earlier_wanted.emit(self.last[0])

    def stop(self) -> None:
        """Look no more, and take the icon away."""
        self._timer.stop()
        if self._tray is not None:
            self._tray.remove()
            self._tray = None

    def _tick(self) -> None:
        now = self._clock()
        if self._worth_it(now):
            self._looked = now
            self.look()
        self._timer.start(EVERY_MS)

    def _worth_it(self, now: datetime) -> bool:
        """Planning costs seconds of the worker: after a while, on another day, or once what was put off is over."""
        before = self._looked
        if before is None or now.date() != before.date() or not timedelta(0) <= now - before < PAUSE:
            return True
        later = (_moment(text) for text in self._read().later.values())
        return any(at is not None and before < at <= now for at in later)

    def _found(self, due: Sequence[Reminder]) -> None:
        now, known = self._clock(), self._read()
        fresh = tuple(one for one in due if _fresh(known, one.key, now))
        if not fresh or not known.on:
            return
        self.last = fresh
        known.told.update({one.key: now.date().isoformat() for one in fresh})
        self._keep(known)
        title, text = words_of(fresh)
        if self._tray is not None:
            self._tray.tell(title, text)
        else:
            self._shared.say(f"Reminder: {title}. {text}")

    def _read(self) -> Told:
        return Told.read(self._shared.settings.kept.get(KEY))

    def _keep(self, known: Told) -> None:
        """Days long past go, and what was put off until a moment that is over."""
        now = self._clock()
        since = (now.date() - timedelta(days=DAYS_KEPT)).isoformat()
        told = {key: day for key, day in known.told.items() if day >= since}
        later = {key: text for key, text in known.later.items() if (at := _moment(text)) is not None and at > now}
        _put(self._shared.settings, Told(known.on, told, later))


def wanted(settings: Settings) -> bool:
    """Whether reminders are on."""
    return Told.read(settings.kept.get(KEY)).on


def put_on(settings: Settings, on: bool) -> None:
    """Reminders on or off, from the next look on."""
    known = Told.read(settings.kept.get(KEY))
    known.on = on
    _put(settings, known)


def _put(settings: Settings, known: Told) -> None:
    """Kept at once; where the folder cannot be written it still holds until the end, and closing tells it."""
    settings.kept[KEY] = known.plain()
    with contextlib.suppress(KnownError):
        settings.save()


def _fresh(known: Told, key: str, now: datetime) -> bool:
    """Not told today, not put off. A clock that was set back tells nothing twice; one that ran days ahead is mended."""
    later = _moment(known.later.get(key))
    if later is not None and timedelta(0) < later - now <= MOST_OFF:
        return False
    day = _day(known.told.get(key))
    return day is None or not now.date() <= day <= now.date() + MOST_OFF


def words_of(due: Sequence[Reminder]) -> tuple[str, str]:
    """Title and text of one message for everything that is due: never one message for each."""
    if len(due) == 1:
        return due[0].title, due[0].text
    named = "; ".join(one.title for one in due[:NAMED])
    more = len(due) - NAMED
    return f"{len(due)} jobs are due", named + (f"; and {more} more" if more > 0 else "")


def due_now(shop: Shop) -> tuple[Reminder, ...]:
    """What is due today, for whoever bowls from this file."""
    from arsenal.acts import reminders  # noqa: PLC0415 - heavy, on the worker's thread

    return reminders.due(shop)


def _texts(found: object) -> dict[str, str]:
    if not isinstance(found, dict):
        return {}
    return {key: value for key, value in found.items() if isinstance(key, str) and isinstance(value, str)}


def _moment(text: str | None) -> datetime | None:
    try:
        found = datetime.fromisoformat(text) if text else None
    except ValueError:
        return None
    return found if found is not None and found.tzinfo is not None else None


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        return None
