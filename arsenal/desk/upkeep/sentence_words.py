"""Days, times, paces and slots in the words of the Upkeep sentence and its forms."""

from __future__ import annotations

from datetime import date

from arsenal.trade import days
from arsenal.trade.calendar import League, Place, Repeats, Slot


def pace_words(games: float) -> str:
    """“7 games a week”."""
    return f"{games:.2g} game{'' if games == 1 else 's'} a week"


def lost_words(boards: float, feet: float) -> str:
    """“2 boards or 2 ft”."""
    return f"{boards:g} board{'s' if boards != 1 else ''} or {feet:g} ft"


def when_words(of: League | Slot) -> str:
    """“Tue, 19:00”, “every second Thu”, “once, Sat 28 Nov”."""
    day, once = days.weekday(of.first_on), days.weekday_and_day(of.first_on)
    said = {Repeats.WEEKLY: day, Repeats.FORTNIGHTLY: f"every second {day}", Repeats.ONCE: f"once, {once}"}[of.repeats]
    return f"{said}, {of.starts:%H:%M}" if of.starts else said


def league_words(league: League) -> str:
    """“House league: Tue, 19:00, 3 games”."""
    return f"{league.name}: {when_words(league)}, {league.games:g} game{'' if league.games == 1 else 's'}"


def slot_words(slot: Slot) -> str:
    """“Tue, 18:00: 60 min at home”."""
    place = "at home" if slot.place is Place.HOME else "shop bench"
    return f"{when_words(slot)}: {slot.minutes:.0f} min {place}"


def short_slots(slots: tuple[Slot, ...], today: date) -> str:
    """“Tue and Thu”, “3 times”, “no set time”: when there is time for work."""
    now = [slot for slot in slots if slot.last_on is None or slot.last_on >= today]
    regular = sorted({slot.first_on.weekday() for slot in now if slot.repeats is not Repeats.ONCE})
    names = [days.WEEKDAYS[day][:3] for day in regular]
    if not now:
        return "no set time"
    if not names or len(names) > 3:
        return f"{len(now)} times"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def short_leagues(leagues: tuple[League, ...], today: date) -> str:
    """“House league and 1 more”, “no league”."""
    now = [league for league in leagues if league.last_on is None or league.last_on >= today]
    if not now:
        return "no league"
    name = now[0].name if len(now[0].name) <= 24 else f"{now[0].name[:22].rstrip()}…"
    return name if len(now) == 1 else f"{name} and {len(now) - 1} more"
