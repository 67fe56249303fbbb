"""Days as people write them: thu, yesterday, 12 mar, 2026-03-12, -3d, 3 days ago. Never a day to come."""

from __future__ import annotations

import re
from datetime import date, timedelta

from arsenal.exchange.one_line.tokens import Cursor
from arsenal.trade import days
from arsenal.trade.errors import NotUnderstood, OutOfRange

_MONTHS = tuple(name.lower() for name in days.MONTHS)
_DAYS = tuple(name.lower() for name in days.WEEKDAYS)
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.ASCII)
_BACK = re.compile(r"[-\u2212](\d{1,4})d", re.ASCII)
_ORDINAL = re.compile(r"(\d{1,2})(?:st|nd|rd|th|\.)?", re.ASCII)
WRITE_SO = "Write the day as thu, yesterday, 12 mar, 2026-03-12 or -3d."


def day_words(day: date, today: date) -> str:
    """“today”, “yesterday”, “on Thu 19 Nov”, with the year where it is another one."""
    if day == today:
        return "today"
    if day == today - timedelta(days=1):
        return "yesterday"
    year = "" if day.year == today.year else f" {day.year}"
    return f"on {days.weekday_and_day(day)}{year}"


def _month(word: str) -> int | None:
    word = word.rstrip(".")
    if word == "sept":
        return 9
    hits = [i + 1 for i, name in enumerate(_MONTHS) if len(word) >= 3 and name.startswith(word)]
    return hits[0] if len(hits) == 1 else None


def _weekday(word: str) -> int | None:
    if word in ("tues", "thur", "thurs", "weds"):
        word = word[:3]
    hits = [i for i, name in enumerate(_DAYS) if word in (name, name[:3])]
    return hits[0] if hits else None


def _calendar(year: int, month: int, day: int, typed: str) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise NotUnderstood(typed, f"There is no such day. {WRITE_SO}") from None


def _latest(month: int, day: int, today: date, typed: str) -> date:
    """The latest such day that is not to come; 29 February looks back over leap years."""
    for year in range(today.year, max(today.year - 9, 0), -1):
        try:
            found = date(year, month, day)
        except ValueError:
            continue
        if found <= today:
            return found
    raise NotUnderstood(typed, f"There is no such day. {WRITE_SO}")


def _day_and_month(cursor: Cursor, today: date) -> date | None:
    first, second = cursor.low(), cursor.low(1)
    for day_word, month_word in ((first, second), (second, first)):
        month = _month(month_word) if month_word else None
        number = _ORDINAL.fullmatch(day_word)
        if month is None or number is None:
            continue
        typed = f"{first} {second}"
        cursor.at += 2
        year = cursor.low()
        if len(year) == 4 and year.isascii() and year.isdigit() and year.startswith(("19", "20")):
            cursor.at += 1
            return _calendar(int(year), month, int(number[1]), f"{typed} {year}")
        return _latest(month, int(number[1]), today, typed)
    return None


def _relative(cursor: Cursor, today: date) -> date | None:
    word = cursor.low()
    if word in ("today", "tonight", "yesterday"):
        cursor.at += 1
        return today - timedelta(days=word == "yesterday")
    if back := _BACK.fullmatch(word):
        cursor.at += 1
        return today - timedelta(days=int(back[1]))
    if cursor.low(1) in ("day", "days", "week", "weeks") and cursor.low(2) == "ago" and word.isascii() and (
        word.isdigit() and len(word) < 5
    ):  # fmt: skip
        days = int(word) * (7 if cursor.low(1).startswith("week") else 1)
        cursor.at += 3
        return today - timedelta(days=days)
    last = word == "last"
    weekday = _weekday(cursor.low(1) if last else word)
    if weekday is None:
        return None
    cursor.at += 2 if last else 1
    back_days = (today.weekday() - weekday) % 7
    return today - timedelta(days=back_days or (7 if last else 0))


def read_day(cursor: Cursor, today: date) -> date | None:
    """The day that stands here, stepping over it; None where there is none.

    Raises NotUnderstood for a day the calendar does not have and OutOfRange for one to come.
    """
    token = cursor.peek()
    if token is None or token.quoted:
        return None
    if iso := _ISO.fullmatch(token.low):
        cursor.at += 1
        found: date | None = _calendar(int(iso[1]), int(iso[2]), int(iso[3]), token.text)
    else:
        found = _relative(cursor, today) or _day_and_month(cursor, today)
    if found is not None and found > today:
        raise OutOfRange("The day", days.day_and_year(found), f"today, {days.day_and_year(today)}, or earlier")
    return found
