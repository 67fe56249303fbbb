"""Keep an event's days as a calendar file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.rooms import Shared

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import CalendarFile
    from arsenal.acts.event_views import EventPlan
    from arsenal.acts.shop import Shop


def save_calendar(shared: Shared, parent: QWidget, plan: EventPlan) -> None:
    """Ask the shop for its name, then where to keep it."""

    def name(shop: Shop) -> str:
        from arsenal.acts import event_calendar  # noqa: PLC0415 - heavy, on the worker's thread

        return event_calendar.event_calendar(shop, plan).name

    def ask(offered: str) -> None:
        where = str(Path.home() / offered)
        chosen = file_dialogs.save_file(parent, "Keep the calendar file", where, "Calendars (*.ics)")
        if chosen:
            write_calendar(shared, plan, Path(chosen))

    shared.ask("event calendar", name, ask)


def write_calendar(shared: Shared, plan: EventPlan, path: Path) -> None:
    """Write it there and say so."""

    def run(shop: Shop) -> CalendarFile:
        from arsenal.acts import event_calendar  # noqa: PLC0415 - heavy, on the worker's thread

        return event_calendar.save_event_calendar(shop, plan, path)

    def say(made: CalendarFile) -> None:
        shared.say(f"Wrote {made.words} of {plan.event.name} to {path}")

    shared.worker.act(run, say, failed=shared.trouble, title="Writing the calendar file")
