"""Upkeep: what is due on which ball and by when, and the entry that says a job was done as planned."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from arsenal.acts import buying, convergence, jobs, logging, moved, readings, recipes, week
from arsenal.acts.shop import Shop
from arsenal.acts.views import Meaning, UpkeepSheet
from arsenal.plan.records import Due, Job, Work
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Cleaned, Draft, Inspected, Kind, OilDrawn, OilMethod, Payload, SurfaceWork
from arsenal.trade.limits import check

A_GROUP = 24
"""Bowlers whose sets are compared for one sheet: a coach's group, not a shop's customers."""
_ORDER = {Due.OVER: 0, Due.DUE: 1, Due.SOON: 2, Due.FINE: 3}


def upkeep(
    shop: Shop, bowler_id: int | None = None, *, until: date | None = None, games_a_week: float | None = None,
    progress: Callable[[float], None] | None = None,
) -> UpkeepSheet:  # fmt: skip
    """Jobs of one bowler, or of everybody, soonest first; until the end of this week unless said. Balls that have
    grown alike are told of a group, not of a whole shop's customers. Raises NotFound, OutOfRange.
    """
    today = shop.today()
    end = until or today + timedelta(days=6 - today.weekday())
    if games_a_week is not None:
        check("games a week", games_a_week)
    bowler = shop.person(bowler_id) if bowler_id is not None else None
    whom = (bowler,) if bowler else shop.people()
    jobs.read_ahead(shop, whom, progress)
    known = {p.id: jobs.of_bowler(shop, p, until=end, games_a_week=games_a_week) for p in whom}
    found = [job for own in known.values() for job in own]
    balls = {ball.id: ball for person in whom for ball, _ in shop.held(person.id)}
    states = {ball_id: shop.state(ball_id) for ball_id in balls}
    found, left_out = moved.split(shop, found)
    found.sort(key=lambda job: _soonest(job, balls))
    pace = games_a_week if games_a_week is not None else sum(p.games_a_week for p in whom) / max(len(whom), 1)
    habit = week.usual_days(shop, bowler.id) if bowler else ()
    buy = buying.shopping(shop, bowler_id, known=known).names
    worth = readings.of_bowler(shop, bowler.id) if bowler else ()
    reading = worth[0][1].sentence if worth else ""
    told = whom if len(whom) <= A_GROUP else ()
    alarms = tuple(remark for person in told for remark in convergence.alarms(shop, person.id))
    return UpkeepSheet(
        bowler, tuple(found), balls, states, today, end, pace, buy, tuple(left_out), habit, alarms, reading
    )


def as_planned(shop: Shop, job: Job, on: date | None = None) -> Meaning:
    """The entry that says this job was done the way it was planned, today or on an earlier day. A refresh or a
    resurfacing repeats the steps of the plan; where they cannot be told, `problem` asks for a line.
    """
    ball = shop.ball(job.ball_id)
    day = on or shop.today()
    why_not = (
        _why_not(shop, ball, job) if day <= shop.today() else "That day is still to come: choose today or earlier."
    )
    if why_not:
        return Meaning((), (), problem=why_not)
    if job.work in (Work.REFRESH, Work.RESURFACE):
        work = SurfaceWork(recipes.with_pads(shop, ball.owner_id, job.steps))
        shine = all(step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for step in job.steps)
        kind = Kind.POLISHED if shine else Kind.SANDED
        return logging.meaning_of(shop, (Draft(ball.id, kind, day, work),))
    done: dict[Work, tuple[Kind, Payload]] = {
        Work.CLEAN: (Kind.CLEANED, Cleaned(_played_on(shop, ball, day))),
        Work.INSPECT: (Kind.INSPECTED, Inspected()),
        Work.DEEP_OIL: (Kind.OIL_DRAWN, OilDrawn(_method(job))),
    }
    kind, payload = done[job.work]
    return logging.meaning_of(shop, (Draft(ball.id, kind, day, payload),))


def _why_not(shop: Shop, ball: Ball, job: Job) -> str:
    """Why the job cannot be logged as planned in one entry, and what to do; empty where it can."""
    state = shop.state(ball.id)
    if job.damage or (state.cracked and job.work in (Work.REFRESH, Work.RESURFACE, Work.DEEP_OIL)):
        return f"{ball.name} is damaged: a licensed or certified practitioner sees it first."
    if job.work is Work.WIPE:
        return "Wiping goes with the shots it was done between, as in 3g wiped."
    if not job.one_entry and state.plugged and job.work is Work.DEEP_OIL:
        return f"{ball.name} is plugged: ask a licensed or certified practitioner before heat, then log it as heat 2."
    if not job.one_entry:
        return f"{job.how[:1].upper()}{job.how[1:]}: log what came of it, as in drop 6."
    if job.work in (Work.REFRESH, Work.RESURFACE) and not job.steps:
        return "The steps are not known: log the line, as in 1000 h."
    return ""


def _method(job: Job) -> OilMethod:
    return OilMethod.BATH if "bath" in job.how else OilMethod.HEAT


def _played_on(shop: Shop, ball: Ball, day: date) -> bool:
    return shop.state(ball.id).played_on in (None, day)


def _soonest(job: Job, balls: dict[int, Ball]) -> tuple[int, date, float, str]:
    return (_ORDER[job.due], job.by or date.max, -job.share, balls[job.ball_id].name.casefold())


def to_buy(shop: Shop, bowler_id: int | None = None, until: date | None = None) -> tuple[str, ...]:
    """Pads to buy before the next competition, or for four weeks: a sentence each. Raises NotFound, OutOfRange."""
    return buying.shopping(shop, bowler_id, until=until).sentences
