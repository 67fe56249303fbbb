"""What an event or an entry in one cannot be; each refusal names what to change."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise

from arsenal.acts import checks, words
from arsenal.acts.shop import Shop
from arsenal.trade import days
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.event import Block, Entered, Event, Squad
from arsenal.trade.limits import LIMITS
from arsenal.trade.units import POUND_KG

MOST_BALLS, MOST_GAMES, MOST_BLOCKS, MOST_SQUADS, MOST_ON_PAIR = 24, 60, 30, 20, 11
GAME_MIN = timedelta(minutes=7)
"""One bowler alone hardly bowls a game faster (common practice, no source)."""
A_GAME = timedelta(minutes=10)
"""A bowler's own time for a game where nobody said when a block ends (common practice, no source)."""
LONGEST = timedelta(days=21)
MOST_BAGS, MOST_MINUTES = 12, 24 * 60.0


def event(shop: Shop, record: Event, *, old: Event | None = None) -> Event:
    """The record with its texts tidied. Raises OutOfRange, KnownError, NotFound, naming what to change."""
    checks.note(record.note)
    checks.note(record.rule_note)
    checks.name(record.name, "event")
    for lane_id in record.lane_ids:
        shop.lane(lane_id)
    if record.balls_allowed is not None and not 1 <= record.balls_allowed <= MOST_BALLS:
        allowed = f"1 to {MOST_BALLS}, or left empty where the event does not say"
        raise OutOfRange("balls allowed", record.balls_allowed, allowed)
    if record.practice_min is not None and not 0.0 <= record.practice_min <= 240.0:
        raise OutOfRange("minutes of practice", f"{record.practice_min:g}", "0 to 240")
    if record.hardness_at_least_d is not None:
        limit = LIMITS["hardness"]
        if not limit.low <= record.hardness_at_least_d <= limit.high:
            raise OutOfRange("hardness asked for", f"{record.hardness_at_least_d:g} D", limit.allowed)
    if record.list_checked_on is not None and record.list_checked_on > shop.today():
        raise OutOfRange("day the list was checked", days.weekday_and_day(record.list_checked_on), "today or earlier")
    if old is None and last_day(record) < shop.today():
        said = days.weekday_near(last_day(record), shop.today())
        raise KnownError(f"{record.name} is over: {said}.", next_step="Change its date; what was played is in the log.")
    _squads(record)
    _deadlines(record)
    return record


def _squads(record: Event) -> None:
    if len(record.squads) > MOST_SQUADS:
        raise OutOfRange("number of squads", len(record.squads), f"at most {MOST_SQUADS}")
    names = [s.name.casefold().strip() for s in record.squads]
    if len(set(names)) < len(names):
        raise KnownError("Two squads have one name.", next_step="Give each squad its own name.")
    for squad in record.squads:
        _blocks(record, squad)


def _blocks(record: Event, squad: Squad) -> None:
    whose = f"squad {squad.name}" if squad.name else "the squad"
    if len(squad.blocks) > MOST_BLOCKS:
        raise OutOfRange(f"number of blocks of {whose}", len(squad.blocks), f"at most {MOST_BLOCKS}")
    for number, block in enumerate(squad.blocks, 1):
        _block(record, block, f"Block {number} of {whose}")
    for number, (a, b) in enumerate(pairwise(squad.blocks), 2):
        if b.starts_at < a.starts_at:
            raise KnownError(
                f"Block {number} of {whose} begins {_at(b.starts_at)}, before block {number - 1}, {_at(a.starts_at)}.",
                next_step="Put the blocks in order, or change the time; on the day clocks go back, mind the offset.",
            )
        if b.starts_at < over_at(a):
            raise KnownError(
                f"Block {number} of {whose} begins {_at(b.starts_at)}, while block {number - 1} lasts until "
                f"{_at(over_at(a))}.",
                next_step="Start it later, or end the one before it sooner.",
            )


def _block(record: Event, block: Block, said: str) -> None:
    _clock(block.starts_at)
    if block.ends_at is not None:
        _clock(block.ends_at)
    if not 1 <= block.games <= MOST_GAMES:
        raise OutOfRange(f"{said}: number of games", block.games, f"1 to {MOST_GAMES}; leave out a block of none")
    if not record.first_on <= block.starts_at.date() <= record.first_on + LONGEST:
        allowed = f"from {days.weekday_and_day(record.first_on)} on, within {LONGEST.days} days"
        raise OutOfRange(f"{said}: start", _at(block.starts_at), allowed)
    if block.ends_at is None:
        return
    lasts = block.ends_at - block.starts_at
    if lasts <= timedelta(0):
        raise KnownError(
            f"{said} ends {_at(block.ends_at)}, not after it begins, {_at(block.starts_at)}.",
            next_step="Change one of the two; where the clocks go back, the hour after is the one with the new offset.",
        )
    if lasts < block.games * GAME_MIN:
        fits = int(lasts / GAME_MIN)
        raise KnownError(
            f"{said}: {words.count(block.games, 'game')} do not fit into {hours(lasts)}.",
            next_step=f"Say at most {words.count(fits, 'game')}, or end it later.",
        )


def _deadlines(record: Event) -> None:
    first = first_ball(record)
    for what, at in (("registration", record.registration_by), ("bags locked", record.bags_locked_at)):
        if at is None:
            continue
        _clock(at)
        if first is not None and at > first:
            raise KnownError(
                f"The time of {what}, {_at(at)}, lies after the first ball, {_at(first)}.",
                next_step="Change it, or leave it empty.",
            )


def _clock(at: datetime) -> None:
    if at.tzinfo is None:
        raise ValueError("an event's times carry their offset")


def entered(shop: Shop, record: Entered) -> Entered:
    """The entry of one bowler. Raises OutOfRange, KnownError, NotFound, naming what to change."""
    found = shop.ledger.one(Event, record.event_id)
    if found is None:
        raise NotFound("There is no such event in this file.")
    shop.person(record.bowler_id)
    if record.squad and record.squad not in [s.name for s in found.squads]:
        known = "; ".join(s.name for s in found.squads) or "none yet"
        raise NotFound(f"{found.name} has no squad {record.squad}.", next_step=f"Choose one of: {known}.")
    for what, count in (("right-handers", record.right_handers), ("left-handers", record.left_handers)):
        if not 0 <= count <= MOST_ON_PAIR:
            raise OutOfRange(f"{what} on the pair beside the bowler", count, f"0 to {MOST_ON_PAIR}")
    if record.right_handers + record.left_handers > MOST_ON_PAIR:
        raise OutOfRange(
            "bowlers on the pair", record.right_handers + record.left_handers + 1, f"at most {MOST_ON_PAIR + 1}"
        )
    if record.minutes is not None and not 0.0 <= record.minutes <= MOST_MINUTES:
        raise OutOfRange("minutes for surface work", f"{record.minutes:g}", "0 to 24 hours")
    if not 1 <= record.bags <= MOST_BAGS:
        raise OutOfRange("bags", record.bags, f"1 to {MOST_BAGS}")
    if record.bag_limit_kg is not None and not 2.0 <= record.bag_limit_kg <= 100.0:
        raise OutOfRange("limit of one bag", f"{record.bag_limit_kg / POUND_KG:.0f} lb", "about 5 to 220 lb")
    for chosen in record.chosen:
        if shop.ball(chosen.ball_id).owner_id != record.bowler_id:
            whose = shop.person(record.bowler_id).name
            raise KnownError(f"{shop.ball(chosen.ball_id).name} is not one of {whose}'s balls.")
    return record


def over_at(block: Block) -> datetime:
    """When a block is over: as it was said, else by a bowler's usual time for its games."""
    return block.ends_at or block.starts_at + block.games * A_GAME * 4


def first_ball(record: Event, squad: str = "") -> datetime | None:
    """The first scored ball of a squad (the first where none is named); None where no time is known."""
    blocks = blocks_of(record, squad)
    return blocks[0].starts_at if blocks else None


def blocks_of(record: Event, squad: str = "") -> tuple[Block, ...]:
    """The blocks of one squad, the first where none is named."""
    if not record.squads:
        return ()
    return next((s for s in record.squads if s.name == squad), record.squads[0]).blocks


def last_day(record: Event) -> date:
    """The last day of an event."""
    days = [over_at(b).date() for s in record.squads for b in s.blocks]
    return max([record.first_on, *days])


def hours(lasts: timedelta) -> str:
    """“1 h 30 min”."""
    minutes = round(lasts.total_seconds() / 60.0)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"


def _at(at: datetime) -> str:
    return f"{days.weekday_and_day(at.date())}, {at.hour}:{at.minute:02d}"
