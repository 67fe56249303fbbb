"""What an upkeep plan is made from: who plays when, which time there is for work, which events, what falls due."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from types import MappingProxyType

from arsenal.acts import convergence, intervals, jobs, moved, rules_now, week
from arsenal.acts.calendar_views import PlayItem
from arsenal.acts.shop import Shop
from arsenal.order.pad_life import HARDLY_CUTS, is_done
from arsenal.plan import forecast, plays
from arsenal.plan.fitting import Asked, Meet, Parameters, Session, grain_of
from arsenal.plan.forecast import Again, Falling
from arsenal.plan.losses import games_until
from arsenal.plan.occurrences import days_of
from arsenal.plan.pace import weekly
from arsenal.plan.plays import BallPlay, Play, Schedule
from arsenal.plan.records import Due, Job, Way, Work
from arsenal.plan.schedule import Grain
from arsenal.surface import after_work, cuts
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.calendar import League, Slot
from arsenal.trade.entries import Abrasive, Cleaned, Entry, Inspected, OilDrawn, Step, SurfaceWork, Tool, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Entered, Event
from arsenal.trade.person import Person
from arsenal.trade.units import FOOT_M

Progress = Callable[[float], None]
PAST_DAYS = 7
"""How far back the week shown has its play."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """One bowler's, or the whole shop's."""

    asked: Asked
    jobs: Mapping[str, Job]
    """By key: the job as it stands now, of every first round."""
    blocked: tuple[Job, ...]
    """Due, but not to be done before somebody who knows has seen the ball."""
    play: tuple[PlayItem, ...]
    balls: Mapping[int, Ball]
    owners: Mapping[int, Person]
    refill: Mapping[Grain, float]
    away: tuple[str, ...]
    """Slots that fall into play, in words."""


def gather(
    shop: Shop, bowler_id: int | None, until: date, was: Mapping[str, str], parameters: Parameters,
    progress: Progress | None = None, done_on: Mapping[str, date] = MappingProxyType({}),
) -> Inputs:  # fmt: skip
    """Everything a plan from today to `until` is made from; `done_on` has days on which jobs are taken as done where
    that is not the day they fall due. Raises NotFound.
    """
    today = shop.today()
    whom = (shop.person(bowler_id),) if bowler_id is not None else shop.people()
    sessions = _sessions(shop, slots_for(shop, bowler_id), until, bowler_id)
    every: dict[int, Ball] = {}
    falling: list[Falling] = []
    blocked: list[Job] = []
    by_ball: dict[int, tuple[BallPlay, ...]] = {}
    meets: dict[int, tuple[Meet, ...]] = {}
    items: list[PlayItem] = []
    pinned: dict[str, date] = {}
    spins = not sessions or any(session.spinner for session in sessions)
    jobs.read_ahead(shop, whom, (lambda part: progress(0.6 * part)) if progress is not None else None)
    own_slots = {slot.bowler_id for slot in shop.every(Slot)}
    for n, person in enumerate(whom):
        one = _of_person(shop, person, until, done_on, spins=spins, fresh=bowler_id is not None)
        every |= {ball.id: ball for ball in one.balls}
        mine = bowler_id is not None or person.id not in own_slots
        falling += [f for f in one.falling if mine or heavy(f)]
        blocked += one.blocked
        by_ball |= one.by_ball
        meets |= one.meets
        items += [item for item in one.play if bowler_id is not None or item.kind == "event"]
        pinned |= one.pinned
        if progress is not None:
            progress(0.6 + 0.2 * (n + 1) / max(len(whom), 1))
    free, away = _free(sessions, items) if bowler_id is not None else (sessions, ())
    stock, refill = _stock(shop, bowler_id, falling)
    asked = Asked(
        falling, free, by_ball, meets, today, until, pinned, stock, _wear(shop), was, parameters
    )  # fmt: skip
    first = {f.key: f.job for f in falling if f.round == 0}
    return Inputs(asked, first, tuple(blocked), tuple(items), every, {p.id: p for p in whom}, refill, away)


def heavy(falling: Falling) -> bool:
    """What a bowler with time at home still brings to the shop."""
    return falling.heated or falling.work is Work.RESURFACE


@dataclass(frozen=True, slots=True)
class _OfPerson:
    balls: tuple[Ball, ...]
    falling: tuple[Falling, ...]
    blocked: tuple[Job, ...]
    by_ball: Mapping[int, tuple[BallPlay, ...]]
    meets: Mapping[int, tuple[Meet, ...]]
    play: tuple[PlayItem, ...]
    pinned: Mapping[str, date]


def _of_person(
    shop: Shop, person: Person, until: date, done_on: Mapping[str, date], *, spins: bool, fresh: bool
) -> _OfPerson:  # fmt: skip
    had = shop.held(person.id)
    balls = tuple(ball for ball, _ in had)
    found, _ = moved.split(shop, jobs.of_bowler(shop, person))
    entered = [one for one in shop.every(Entered) if one.bowler_id == person.id]
    events = {event.id: event for event in shop.every(Event)} if entered else {}
    known = [(events[one.event_id], one) for one in entered if one.event_id in events]
    calendar, play = play_of(shop, person, balls, known, until)
    by_ball = {ball.id: calendar.of_ball(ball.id) for ball in balls}
    meets = {ball.id: _meets(shop, person, ball, known) for ball in balls}
    rounds = _fresh(shop, person, had, found) if fresh else {}
    by_id: dict[int, list[Job]] = {ball.id: [] for ball in balls}
    blocked: list[Job] = []
    for job in found:
        (blocked if not plannable(job) else by_id[job.ball_id]).append(job)
    states = {ball.id: state for ball, state in had}
    falling: list[Falling] = []
    for ball in balls:
        falling += _fall(
            shop, by_id[ball.id], states[ball.id], by_ball[ball.id], until, rounds.get(ball.id), done_on, spins=spins
        )
    pinned = {
        f.key: f.job.by for f in falling if f.round == 0 and f.job.moved and f.job.by is not None
    }  # fmt: skip
    due = tuple(job for job in blocked if job.due in (Due.DUE, Due.OVER) and job.work is not Work.WIPE)
    return _OfPerson(balls, tuple(falling), due, by_ball, meets, play, pinned)


def plannable(job: Job) -> bool:
    """Not broken, and not waiting for somebody who knows; a drop test can be planned though its result is typed."""
    if job.damage or job.work is Work.WIPE:
        return False
    return job.one_entry or (job.work is Work.DEEP_OIL and job.how.startswith("drop test"))


def _fall(
    shop: Shop, found: Sequence[Job], state: SurfaceState, plays_of: Sequence[BallPlay], until: date,
    fresh: Estimate | None, done_on: Mapping[str, date], *, spins: bool,
) -> tuple[Falling, ...]:  # fmt: skip
    table = intervals.of_shop(shop)
    rounds: dict[Work, tuple[Again, ...]] = {
        job.work: forecast.again(job, state, table, fresh) for job in found
    }  # fmt: skip
    pinned = [replace(job, ways=(Way(on=job.by),)) if job.moved and job.by else job for job in found]
    return forecast.of_ball(
        pinned, plays_of, rounds, shop.today(), until, done_before=_done_before(shop.entries(state.ball_id)),
        take_along=spins, done_on=done_on,
    )  # fmt: skip


_DONE = {Cleaned: Work.CLEAN, OilDrawn: Work.DEEP_OIL, Inspected: Work.INSPECT}


def _done_before(log: Sequence[Entry]) -> Mapping[Work, int]:
    """How often each work stands in the log, so that a round keeps its name once the one before it is done."""
    counts = Counter[Work]()
    for entry in effective(list(log)):
        if isinstance(entry.payload, SurfaceWork):
            counts[Work.REFRESH] += 1
            counts[Work.RESURFACE] += len(entry.payload.steps) > 1
        elif type(entry.payload) in _DONE:
            counts[_DONE[type(entry.payload)]] += 1
    return counts


def _fresh(
    shop: Shop, person: Person, had: Sequence[tuple[Ball, SurfaceState]], found: Sequence[Job]
) -> dict[int, Estimate]:  # fmt: skip
    """Games after which each ball, refreshed now, would have lost what counts as due."""
    steps = {job.ball_id: job.steps for job in found if job.work is Work.REFRESH and job.steps}
    pads = shop.pads_by_id()
    made = tuple(
        (ball, after_work(ball, state, steps[ball.id], shop.priors, pads=pads))
        for ball, state in had if ball.id in steps and not ball.spare
    )  # fmt: skip
    table = intervals.of_shop(shop)
    try:
        lost = convergence.lost_as(shop, person.id, made)
    except KnownError:
        return {}
    until = {i: games_until(loss, table.boards, table.first_read_ft * FOOT_M) for i, loss in lost.items()}
    return {i: games for i, games in until.items() if games is not None}


# ---- play --------------------------------------------------------------------------------------------------------


def play_of(
    shop: Shop, person: Person, balls: Sequence[Ball], known: Sequence[tuple[Event, Entered]], until: date
) -> tuple[Schedule, tuple[PlayItem, ...]]:  # fmt: skip
    """A bowler's days of play from today on, and all of them in words from a week ago on."""
    today = shop.today()
    since, end = today - timedelta(days=PAST_DAYS), until + timedelta(days=60)
    leagues = [league for league in shop.every(League) if league.bowler_id == person.id]
    names = {ball.id: ball.name for ball in balls}
    items = [_league_item(league, on, person, names) for league in leagues
             for on in days_of(league.first_on, league.repeats, since, end, last_on=league.last_on,
                               skipped=league.skipped)]  # fmt: skip
    found = list(plays.of_leagues(leagues, today, end))
    if not found:
        usual = week.usual_days(shop, person.id)
        found = list(plays.of_habit(person.games_a_week, usual, today, end))
        items += [_usual_item(play, person) for play in found] if usual else []
    for event, entered in known:
        for play, item in _event_plays(event, entered, person, balls):
            items.append(item)
            if play is not None and play.on >= today:
                found.append(play)
    items += _competition(shop, person, items)
    states = shop.states(balls)
    if any(state.played_on == today for state in states.values()):
        found = [play for play in found if play.on > today]
    logs = {ball.id: shop.entries(ball.id) for ball in balls}
    shares = weekly(balls, max(person.games_a_week, 1.0), today, logs)
    return plays.schedule(found, balls, shares), tuple(sorted(items, key=_by_day))


def _by_day(item: PlayItem) -> tuple[date, str, str]:
    return (item.on, str(item.starts or ""), item.name)


def _clock(at: datetime) -> str:
    return f"{at.hour}:{at.minute:02d}"


def _games(games: float) -> str:
    said = f"{games:.1f}".removesuffix(".0")
    return f"{said} game" if said == "1" else f"{said} games"


def _league_item(league: League, on: date, person: Person, names: Mapping[int, str]) -> PlayItem:
    much = _games(league.games) if league.shots is None else f"{league.shots:.0f} shots"
    at = f", {league.starts.hour}:{league.starts.minute:02d}" if league.starts else ""
    thrown = tuple(names[i] for i in league.ball_ids if i in names)
    return PlayItem(
        on, league.name, much + at, "league", person.id, person.name, plays.evening_games(league), league.starts,
        thrown, league.id,
    )  # fmt: skip


def _usual_item(play: Play, person: Person) -> PlayItem:
    games = max(round(play.games), 1)
    return PlayItem(
        play.on, f"usually {_games(games)}", "as the log shows", "usual", person.id, person.name, play.games
    )


def _event_plays(
    event: Event, entered: Entered, person: Person, balls: Sequence[Ball]
) -> list[tuple[Play | None, PlayItem]]:  # fmt: skip
    left = {chosen.ball_id for chosen in entered.chosen if chosen.take is False}
    going = tuple(ball.id for ball in balls if not ball.spare and ball.id not in left)
    squad = next((s for s in event.squads if s.name == entered.squad), event.squads[0] if event.squads else None)
    if squad is None or not squad.blocks:
        return [(None, PlayItem(event.first_on, event.name, "games not said yet", "event", person.id, person.name, 0.0,
                                record_id=event.id))]  # fmt: skip
    found: list[tuple[Play | None, PlayItem]] = []
    first = squad.blocks[0]
    for block in squad.blocks:
        at = block.starts_at
        pads = f"pads until {_clock(at)}" if block is first else _games(block.games)
        item = PlayItem(at.date(), event.name, pads, "event", person.id, person.name, float(block.games), at.time(),
                        record_id=event.id)  # fmt: skip
        found.append((Play(at.date(), float(block.games), at.time(), going, event=True), item))
    return found


def _competition(shop: Shop, person: Person, items: Sequence[PlayItem]) -> list[PlayItem]:
    """A first scored ball that was set by hand, where no event says it already."""
    held = rules_now.competition(shop, person.id)
    if held is None or any(i.kind == "event" and i.on == held.starts_at.date() for i in items):
        return []
    on = held.starts_at.date()
    said = f"first scored ball {_clock(held.starts_at)}"
    return [PlayItem(on, "Competition", said, "event", person.id, person.name, 0.0, held.starts_at.time())]


def _meets(shop: Shop, person: Person, ball: Ball, known: Sequence[tuple[Event, Entered]]) -> tuple[Meet, ...]:
    if ball.spare:
        return ()
    found = []
    for event, entered in known:
        if any(chosen.ball_id == ball.id and chosen.take is False for chosen in entered.chosen):
            continue
        squad = next((s for s in event.squads if s.name == entered.squad), event.squads[0] if event.squads else None)
        days = [block.starts_at.date() for block in squad.blocks] if squad is not None else []
        first = min(days, default=event.first_on)
        found.append(Meet(event.name, first, max(days, default=first)))
    held = rules_now.competition(shop, person.id)
    if held is not None and all(meet.first_on != held.starts_at.date() for meet in found):
        found.append(Meet("the competition", held.starts_at.date(), held.over_at.date()))
    return tuple(sorted((meet for meet in found if meet.last_on >= shop.today()), key=lambda meet: meet.first_on))


# ---- slots and pads ----------------------------------------------------------------------------------------------


def left_today(shop: Shop, bowler_id: int | None) -> tuple[str, ...]:
    """Keys of today's slots that are not over yet: what of the hour a plan depends on."""
    found = _sessions(shop, slots_for(shop, bowler_id), shop.today(), bowler_id)
    return tuple(session.key for session in found)


def slots_for(shop: Shop, bowler_id: int | None) -> list[Slot]:
    """A bowler's time for work, and the bench's for what he cannot do himself; nothing where he has none of his own."""
    every = shop.every(Slot)
    own = [slot for slot in every if slot.bowler_id == bowler_id]
    bench = [slot for slot in every if slot.bowler_id is None]
    return [*own, *bench] if own and bowler_id is not None else own


def _sessions(shop: Shop, slots: Sequence[Slot], until: date, bowler_id: int | None) -> tuple[Session, ...]:
    today, now = shop.today(), shop.now()
    found = [
        Session(f"{slot.id} {on}", on, slot.minutes, slot.starts, slot.spinner, slot.heat_places if slot.heat else 0,
                slot.id, slot.place.value, only_heavy=slot.bowler_id != bowler_id)
        for slot in slots
        for on in days_of(slot.first_on, slot.repeats, today, until, last_on=slot.last_on, skipped=slot.skipped)
    ]  # fmt: skip
    gone = now.replace(tzinfo=None)
    return tuple(s for s in found if s.on > today or s.ends is None or s.ends > gone)


def _free(sessions: Sequence[Session], items: Sequence[PlayItem]) -> tuple[tuple[Session, ...], tuple[str, ...]]:
    """Slots in which the bowler is not bowling himself."""
    kept, away = [], []
    for session in sessions:
        clash = next((i for i in items if not session.only_heavy and i.on == session.on and _bowling(session, i)), None)
        if clash is None:
            kept.append(session)
        else:
            away.append(f"{clash.name} falls into the time for work on {days.weekday_and_day(session.on)}")
    return tuple(kept), tuple(away)


def _bowling(session: Session, item: PlayItem) -> bool:
    if item.starts is None or session.begins is None or session.ends is None or item.games <= 0.0:
        return False
    begins = datetime.combine(item.on, item.starts.replace(tzinfo=None))
    return session.begins < begins + timedelta(minutes=15.0 * item.games) and begins < session.ends


def _stock(
    shop: Shop, bowler_id: int | None, falling: Sequence[Falling]
) -> tuple[dict[Grain, float] | None, dict[Grain, float]]:  # fmt: skip
    """What is left of each grain, in natural logarithms of cut, and what a new pad of it brings; a grain nobody has
    counts as none left where a stock is kept at all.
    """
    held = shop.pads(bowler_id) if bowler_id is not None else [p for p in shop.pads() if p.owner_id is None]
    if not held:
        return None, {}
    steps = (step for f in falling for step in f.job.steps if step.abrasive is Abrasive.GRIT)
    left: dict[Grain, float] = {grain_of(step): 0.0 for step in steps}
    for pad in held:
        if pad.abrasive is not Abrasive.GRIT:
            continue
        grain = grain_of(Step(pad.abrasive, pad.number, pad.scale))
        more = 0.0 if is_done(pad, shop.priors) else max(math.log(cuts(pad, shop.priors) / HARDLY_CUTS), 0.0)
        left[grain] = left.get(grain, 0.0) + more
    return left, dict.fromkeys(left, -math.log(HARDLY_CUTS))


def _wear(shop: Shop) -> dict[Tool, float]:
    surface = shop.priors.surface
    return {tool: 1.0 / (surface.pad_uses_hand if tool is Tool.HAND else surface.pad_uses_spinner) for tool in Tool}
