"""Calendar files (RFC 5545): all-day work with an alarm, under names that stay, so that a calendar updates it.

Written by the `icalendar` library: lines end in CRLF, fold at 75 octets, and escape what needs it. What is ours is the
sense of it: an all-day item ends the day after (DTEND is exclusive), a changed one raises its SEQUENCE, and one that
is gone is sent once more as CANCELLED.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from icalendar import Alarm, Event

PRODUCT = "-//Padbook//Upkeep//EN"
DAY = timedelta(days=1)
NOT_TEXT = ("Cc", "Cs", "Zl", "Zp")
MOST_SEQUENCE = 2_000_000_000


@dataclass(frozen=True, slots=True)
class Item:
    """One all-day entry. `uid` stays the same through every change; `alarm` is before the day's midnight, or after it
    where negative; None for no alarm.
    """

    uid: str
    on: date
    title: str
    text: str = ""
    alarm: timedelta | None = None
    days: int = 1


@dataclass(frozen=True, slots=True)
class Sent:
    """How an item stood when it was sent last."""

    sequence: int
    item: Item
    cancelled: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """A calendar file and what to remember of it for the next."""

    text: bytes
    sent: Mapping[str, Sent]
    cancelled: int


def following(items: Iterable[Item], before: Mapping[str, Sent], today: date) -> dict[str, Sent]:
    """Each item with its number: one more than when it was sent last if it changed. What was sent for today or later
    and is gone is cancelled once, its number kept in case it comes back; what lies in the past is left as it was.
    """
    found: dict[str, Sent] = {}
    for item in items:
        last = before.get(item.uid)
        if last is None:
            found[item.uid] = Sent(0, item)
        elif last.item == item and not last.cancelled:
            found[item.uid] = last
        else:
            found[item.uid] = Sent(min(last.sequence + 1, MOST_SEQUENCE), item)
    for uid, last in before.items():
        if uid not in found:
            over = last.cancelled or last.item.on + last.item.days * DAY <= today
            found[uid] = last if over else Sent(min(last.sequence + 1, MOST_SEQUENCE), last.item, cancelled=True)
    return found


def sheet(name: str, items: Iterable[Item], before: Mapping[str, Sent], now: datetime) -> Sheet:
    """The calendar called `name` as it stands at `now`, which has its offset. Raises ValueError for two items of one
    uid.
    """
    wanted = list(items)
    if len({item.uid for item in wanted}) != len(wanted):
        raise ValueError("two items of one uid")
    sent = following(wanted, before, now.date())
    fresh = [one for uid, one in sent.items() if one.cancelled and not _was_cancelled(before, uid)]
    shown = [*(sent[item.uid] for item in wanted), *fresh]
    return Sheet(_text(name, shown, now), sent, len(fresh))


def _was_cancelled(before: Mapping[str, Sent], uid: str) -> bool:
    last = before.get(uid)
    return last is not None and last.cancelled


def _text(name: str, shown: list[Sent], now: datetime) -> bytes:
    from icalendar import Calendar  # noqa: PLC0415 - takes a while to load

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for one in sorted(shown, key=lambda s: (s.item.on, s.item.uid)):
        calendar.add_component(_event(one, now.astimezone(UTC)))
    return bytes(calendar.to_ical())


def _event(one: Sent, now: datetime) -> Event:
    from icalendar import Event  # noqa: PLC0415

    item, event = one.item, Event()
    event.add("uid", item.uid)
    event.add("dtstamp", now.replace(microsecond=0))
    event.add("dtstart", item.on)
    event.add("dtend", item.on + item.days * DAY)
    event.add("summary", item.title)
    if item.text:
        event.add("description", item.text)
    event.add("sequence", one.sequence)
    event.add("status", "CANCELLED" if one.cancelled else "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    if item.alarm is not None and not one.cancelled:
        event.add_component(_alarm(item, item.alarm))
    return event


def _alarm(item: Item, before: timedelta) -> Alarm:
    from icalendar import Alarm  # noqa: PLC0415

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", item.title)
    alarm.add("trigger", -before)
    return alarm


def without_controls(text: str) -> str:
    """Text that a calendar line may hold: line breaks stay, other control signs go (RFC 5545, section 3.3.11)."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(sign for sign in lines if sign == "\n" or unicodedata.category(sign) not in NOT_TEXT)


def as_plain(sent: Mapping[str, Sent]) -> dict[str, list[object]]:
    """For a setting: uid → number, day, title, text, alarm in minutes, days, cancelled."""
    return {
        uid: [s.sequence, s.item.on.isoformat(), s.item.title, s.item.text,
              None if s.item.alarm is None else round(s.item.alarm.total_seconds() / 60), s.item.days, s.cancelled]
        for uid, s in sent.items()
    }  # fmt: skip


def of_plain(plain: object) -> dict[str, Sent]:
    """What `as_plain` gave; what cannot be read is left out, as if it had never been sent."""
    found: dict[str, Sent] = {}
    for uid, row in plain.items() if isinstance(plain, dict) else ():
        try:
            number, on, title, text, alarm, days, gone = row
            before = None if alarm is None else timedelta(minutes=float(alarm))
            item = Item(str(uid), date.fromisoformat(on), str(title), str(text), before, int(days))
            found[str(uid)] = Sent(int(number), item, bool(gone))
        except (TypeError, ValueError):
            continue
    return found


def clean(item: Item) -> Item:
    """The item with nothing in it that a calendar cannot hold."""
    return replace(item, title=without_controls(item.title).replace("\n", " "), text=without_controls(item.text))
