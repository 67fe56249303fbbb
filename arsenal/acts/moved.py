"""The bowler's own say over the plan: a job put off to another day, or left out until the ball is worked on again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from arsenal.acts import writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.plan.records import Due, Job, Work
from arsenal.surface.state import SurfaceState
from arsenal.trade import days
from arsenal.trade.errors import KnownError

KEY = "moved jobs"


@dataclass(frozen=True, slots=True)
class Say:
    """What was said of one job: the day it was moved to, or None where it was left out; `since` tells its round."""

    to: date | None
    since: str


def since(work: Work, state: SurfaceState) -> str:
    """When this kind of work was last done: once it is done again, what was said of the old round is over."""
    done = {
        Work.WIPE: state.played_on, Work.CLEAN: state.played_on, Work.REFRESH: state.finish_on,
        Work.RESURFACE: state.resurfaced_on, Work.DEEP_OIL: state.deep_oil_on, Work.INSPECT: state.inspected_on,
    }[work]  # fmt: skip
    return done.isoformat() if done else ""


def move(shop: Shop, jobs: Sequence[Job], to: date, initiator: str = "desk") -> Changes:
    """Put jobs off to another day. Raises KnownError for a day that is over."""
    if to < shop.today():
        raise KnownError(f"{days.weekday_and_day(to)} is over.", next_step="Choose today or a later day.")
    sentence = f"Moved {_names(shop, jobs)} to {days.weekday_and_day(to)}"
    return _say(shop, jobs, to, sentence, initiator)


def leave_out(shop: Shop, jobs: Sequence[Job], initiator: str = "desk") -> Changes:
    """Leave jobs out until that work is done, or takes its next round."""
    return _say(shop, jobs, None, f"Left out {_names(shop, jobs)}", initiator)


def put_back(shop: Shop, jobs: Sequence[Job], initiator: str = "desk") -> Changes:
    """Plan jobs again as the state asks for it."""
    said = _read(shop)
    for job in jobs:
        said.pop(_name(job), None)
    return _keep(shop, said, f"Put back {_names(shop, jobs)}", initiator)


def split(shop: Shop, jobs: Sequence[Job]) -> tuple[list[Job], list[Job]]:
    """(jobs as planned and moved, jobs left out)."""
    said = _read(shop)
    planned: list[Job] = []
    out: list[Job] = []
    for job in jobs:
        say = said.get(_name(job))
        if say is None or say.since != since(job.work, shop.state(job.ball_id)):
            planned.append(job)
        elif say.to is None:
            out.append(job)
        else:
            planned.append(_moved(job, say.to, shop.today()))
    return planned, out


def _moved(job: Job, to: date, today: date) -> Job:
    due = Due.SOON if to > today and job.due in (Due.DUE, Due.OVER) and not job.damage else job.due
    return replace(job, by=to, due=due, moved=True)


def _name(job: Job) -> str:
    return f"{job.ball_id} {job.work}"


def _read(shop: Shop) -> dict[str, Say]:
    found: dict[str, Any] = shop.ledger.setting(KEY, None) or {}
    return {
        name: Say(date.fromisoformat(say["to"]) if say.get("to") else None, str(say.get("since", "")))
        for name, say in found.items()
    }


def _say(shop: Shop, jobs: Sequence[Job], to: date | None, sentence: str, initiator: str) -> Changes:
    said = _read(shop)
    for job in jobs:
        said[_name(job)] = Say(to, since(job.work, shop.state(job.ball_id)))
    return _keep(shop, said, sentence, initiator)


def _keep(shop: Shop, said: dict[str, Say], sentence: str, initiator: str) -> Changes:
    value = {n: {"to": s.to.isoformat() if s.to else None, "since": s.since} for n, s in said.items()}
    return writing.set_value(shop, KEY, value or None, sentence, initiator)


def _names(shop: Shop, jobs: Sequence[Job]) -> str:
    balls = ", ".join(shop.ball(job.ball_id).name for job in jobs)
    return f"{balls}, {jobs[0].work}"
