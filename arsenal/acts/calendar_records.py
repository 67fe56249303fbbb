"""Leagues and slots of work: add, change, remove, skip a date, each refused in a sentence where it cannot be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta, tzinfo

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.plan.occurrences import days_of, local
from arsenal.trade import days
from arsenal.trade.calendar import League, Repeats, Slot
from arsenal.trade.errors import KnownError, NotFound, OutOfRange

GAMES_LOW, GAMES_HIGH = 0.5, 30.0
SHOTS_LOW, SHOTS_HIGH = 1.0, 400.0
MINUTES_LOW, MINUTES_HIGH = 5.0, 720.0
MOST_PLACES = 40
LONGEST = timedelta(days=3 * 366)
LOOK_AHEAD = timedelta(days=366)


def keep_league(shop: Shop, league: League, initiator: str = "desk") -> Changes:
    """Add a league (id 0) or put it in place of the one with its id. Raises KnownError, OutOfRange, NotFound."""
    bowler = shop.person(league.bowler_id)
    kept = replace(league, name=checks.name(league.name, "league"), skipped=tuple(sorted(set(league.skipped))))
    _between("Games of an evening", kept.games, GAMES_LOW, GAMES_HIGH)
    if kept.shots is not None:
        _between("Strike shots of an evening", kept.shots, SHOTS_LOW, SHOTS_HIGH)
    if kept.lane_id is not None:
        shop.lane(kept.lane_id)
    for ball_id in kept.ball_ids:
        ball = shop.ball(ball_id)
        if ball.owner_id != bowler.id:
            raise NotFound(f"{ball.name} is not a ball of {bowler.name}.")
    _check_days(shop, kept)
    said = f"{'Changed' if kept.id else 'Added'} {kept.name} of {bowler.name}"
    return writing.put(shop, kept, said, initiator)


def keep_slot(shop: Shop, slot: Slot, initiator: str = "desk") -> Changes:
    """Add time for work (id 0) or put it in place of the one with its id; no bowler means the shop's bench. Raises
    KnownError, OutOfRange, NotFound.
    """
    whose = shop.person(slot.bowler_id).name if slot.bowler_id is not None else "the bench"
    kept = replace(slot, skipped=tuple(sorted(set(slot.skipped))), note=checks.note(slot.note))
    if kept.minutes == 0.0:
        raise KnownError(
            "A slot of 0 minutes has no room for work.", next_step=f"Give it {MINUTES_LOW:.0f} minutes or more."
        )
    _between("Minutes of a slot", kept.minutes, MINUTES_LOW, MINUTES_HIGH)
    if kept.heat and not 1 <= kept.heat_places <= MOST_PLACES:
        raise OutOfRange("Balls in the heat cabinet at once", kept.heat_places, f"1 to {MOST_PLACES}")
    _check_days(shop, kept)
    said = f"{'Changed' if kept.id else 'Added'} time for work of {whose}, {_every(kept)}"
    return writing.put(shop, kept, said, initiator)


def remove_league(shop: Shop, league_id: int, initiator: str = "desk") -> Changes:
    """It is no longer played. Raises NotFound."""
    old = shop.ledger.one(League, league_id)
    with writing.one_act(shop, f"Removed {old.name}", initiator) as (act, outcome):
        act.remove("league", league_id)
    return outcome.changes


def remove_slot(shop: Shop, slot_id: int, initiator: str = "desk") -> Changes:
    """That time is no longer for work. Raises NotFound."""
    old = shop.ledger.one(Slot, slot_id)
    with writing.one_act(shop, f"Removed time for work, {_every(old)}", initiator) as (act, outcome):
        act.remove("slot", slot_id)
    return outcome.changes


def skip_league(shop: Shop, league_id: int, on: date, initiator: str = "desk") -> Changes:
    """Not played on that day. Raises NotFound, KnownError for a day it does not fall on."""
    old = shop.ledger.one(League, league_id)
    _falls_on(old, on)
    said = f"No {old.name} on {days.weekday_and_day(on)}"
    return writing.put(shop, replace(old, skipped=tuple(sorted({*old.skipped, on}))), said, initiator)


def skip_slot(shop: Shop, slot_id: int, on: date, initiator: str = "desk") -> Changes:
    """No time for work on that day. Raises NotFound, KnownError for a day it does not fall on."""
    old = shop.ledger.one(Slot, slot_id)
    _falls_on(old, on)
    said = f"No time for work on {days.weekday_and_day(on)}"
    return writing.put(shop, replace(old, skipped=tuple(sorted({*old.skipped, on}))), said, initiator)


def clock_remarks(record: League | Slot, today: date, zone: tzinfo | None = None) -> tuple[str, ...]:
    """Days of the coming year on which the clocks change over its hour, each in a sentence. `zone` None is this
    machine's.
    """
    found = (clock_remark(record, on, zone) for on in _days(record, today, today + LOOK_AHEAD))
    return tuple(said for said in found if said)


def clock_remark(record: League | Slot, on: date, zone: tzinfo | None = None) -> str:
    """“Sun 25 Oct: the clocks go back and 2:30 comes twice; the first is meant.”; empty on any other day."""
    if record.starts is None:
        return ""
    meant = local(on, record.starts, zone)
    clock = f"{record.starts.hour}:{record.starts.minute:02d}"
    if meant.twice:
        return f"{days.weekday_and_day(on)}: the clocks go back and {clock} comes twice; the first is meant."
    if meant.never:
        then = f"{meant.at.hour}:{meant.at.minute:02d}"
        return f"{days.weekday_and_day(on)}: the clocks go forward over {clock}; {then} is meant."
    return ""


def _between(field: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise OutOfRange(field, f"{value:g}", f"{low:g} to {high:g}")


def _check_days(shop: Shop, record: League | Slot) -> None:
    today = shop.today()
    if record.first_on < checks.FIRST_DAY or record.first_on > today + LONGEST:
        raise KnownError(
            f"The first day, {days.weekday_and_year(record.first_on)}, is too far from today.",
            next_step="Choose a day within three years.",
        )
    if record.last_on is not None and record.last_on < record.first_on:
        last, first = days.weekday_and_year(record.last_on), days.weekday_and_year(record.first_on)
        raise KnownError(
            f"The last day, {last}, is before the first, {first}.",
            next_step="Choose a later last day, or leave it open.",
        )
    for on in record.skipped:
        _falls_on(record, on)


def _falls_on(record: League | Slot, on: date) -> None:
    bare = replace(record, skipped=())
    if on not in _days(bare, on, on):
        near = _days(bare, on, on + timedelta(days=14)) or _days(bare, on - timedelta(days=14), on)[-1:]
        step = f"The nearest is {days.weekday_and_year(near[0])}." if near else ""
        said = f"It does not fall on {days.weekday_and_year(on)}, so that day cannot be left out."
        raise KnownError(said, next_step=step)


def _days(record: League | Slot, since: date, until: date) -> tuple[date, ...]:
    return days_of(
        record.first_on, record.repeats, since, until, last_on=record.last_on, skipped=record.skipped
    )  # fmt: skip


def _every(slot: Slot) -> str:
    day = days.WEEKDAYS[slot.first_on.weekday()]
    often = {Repeats.ONCE: days.weekday_and_day(slot.first_on), Repeats.WEEKLY: f"{day}s"}
    return f"{often.get(slot.repeats, f'every other {day}')}, {slot.minutes:.0f} min"
