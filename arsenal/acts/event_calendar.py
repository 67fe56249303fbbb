"""The calendar file of an event: the work before it and its days as all-day entries that update, never double."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from arsenal.acts import words
from arsenal.acts.calendar_file import ALARM, LOOK_BACK, file_name, new_mark
from arsenal.acts.calendar_views import CalendarFile
from arsenal.acts.event_views import EventPlan, PrepLine, PrepPart
from arsenal.acts.shop import Shop
from arsenal.exchange.atomic import write_file
from arsenal.exchange.icalendar import Item, Sent, as_plain, clean, of_plain, sheet

KIND = "event calendar file"


def event_calendar(shop: Shop, plan: EventPlan) -> CalendarFile:
    """The file as it would be written now; nothing is kept."""
    return _made(shop, plan)[0]


def save_event_calendar(shop: Shop, plan: EventPlan, path: Path) -> CalendarFile:
    """Write the file whole or not at all, then remember what was sent, so that the next one updates it. Raises
    KnownError.
    """
    made, kept = _made(shop, plan)
    write_file(path, made.text)
    if not shop.ledger.read_only:
        shop.ledger.keep_result(KIND, kept)
    return made


def _made(shop: Shop, plan: EventPlan) -> tuple[CalendarFile, dict[str, Any]]:
    mark, before = _last(shop, plan)
    items = [*_items(plan, mark)]
    written = sheet(f"{plan.event.name}, {plan.bowler}", items, before, shop.now())
    said = words.count(len(items), "day")
    said += f", {written.cancelled} cancelled" if written.cancelled else ""
    name = file_name("event", f"{plan.event.name} {plan.bowler}")
    made = CalendarFile(name, written.text, len(items), written.cancelled, said, shop.now())
    kept = {"event_id": plan.event.id, "bowler_id": plan.bowler_id, "mark": mark, "sent": as_plain(written.sent)}
    return made, kept


def _last(shop: Shop, plan: EventPlan) -> tuple[str, Mapping[str, Sent]]:
    """The mark of this file in every name it gives, and what was sent last of this bowler's event."""
    mark = ""
    for result in shop.ledger.results(KIND, LOOK_BACK):
        found = result.data if isinstance(result.data, dict) else {}
        mark = mark or str(found.get("mark", ""))
        if (found.get("event_id"), found.get("bowler_id")) == (plan.event.id, plan.bowler_id):
            return mark, of_plain(found.get("sent"))
    return mark or new_mark(shop), {}


def _items(plan: EventPlan, mark: str) -> Iterable[Item]:
    """The work on the day before, then each day of the event; two parts of one day are one entry."""
    days: dict[date, list[PrepPart]] = {}
    first = min((on for part in plan.prep.parts if (on := _day_of(part)) is not None), default=plan.event.first_on)
    for part in plan.prep.parts:
        on = _day_of(part) or (first - timedelta(days=1) if any(line.who for line in part.lines) else first)
        days.setdefault(on, []).append(part)
    for number, (on, parts) in enumerate(sorted(days.items())):
        playing = any(_day_of(part) is not None for part in parts)
        title = plan.event.name if playing or on >= first else f"{plan.event.name}: work on the balls"
        text = "\n".join(line for part in parts for line in _lines(part))
        uid = f"event-{plan.event.id}-{plan.bowler_id}-{number if playing else 'work'}@{mark}.padbook"
        yield clean(Item(uid, on, title, text, ALARM))


def _day_of(part: PrepPart) -> date | None:
    """The day its times fall on; None where it is work without a time."""
    return next((line.when.date() for line in part.lines if line.when is not None), None)


def _lines(part: PrepPart) -> Iterable[str]:
    yield f"{part.title}:"
    yield from (_line(line) for line in part.lines)


def _line(line: PrepLine) -> str:
    return ", ".join(said for said in (line.at, line.who, line.what, line.minutes) if said)
