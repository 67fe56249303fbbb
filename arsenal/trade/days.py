"""Days as people here say them, in English whatever the machine's language (`%b` follows the machine)."""

from __future__ import annotations

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def weekday(on: date) -> str:
    """“Thu”."""
    return WEEKDAYS[on.weekday()][:3]


def month(on: date) -> str:
    """“Mar”."""
    return MONTHS[on.month - 1][:3]


def day(on: date) -> str:
    """“14 Mar”."""
    return f"{on.day} {month(on)}"


def day_and_year(on: date) -> str:
    """“14 Mar 2026”."""
    return f"{day(on)} {on.year}"


def weekday_and_day(on: date) -> str:
    """“Thu 19 Nov”."""
    return f"{weekday(on)} {day(on)}"


def weekday_and_year(on: date) -> str:
    """“Thu 19 Nov 2026”."""
    return f"{weekday_and_day(on)} {on.year}"


def in_full(on: date) -> str:
    """“1 August 2019”."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def day_near(on: date, today: date) -> str:
    """“14 Mar”, with the year where it is not this one."""
    return day(on) if on.year == today.year else day_and_year(on)


def weekday_near(on: date, today: date) -> str:
    """“Thu 26 Nov”, “12 Mar 2027” in another year."""
    return weekday_and_day(on) if on.year == today.year else day_and_year(on)
