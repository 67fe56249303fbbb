"""The bowler's own say over the plan: a job put off to another day, or left out until the ball is worked on again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from arsenal.acts import words, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.plan.records import Due, Job, Work
from arsenal.surface.state import SurfaceState
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


def move(shop: Shop, job: Job, to: date, initiator: str = "desk") -> Changes:
    """Put a job off to another day. Raises KnownError for a day that is over."""
    if to < shop.today():
        raise KnownError(f"{words.short_day(to)} is over.", next_step="Choose today or a later day.")
    sentence = f"Moved {shop.ball(job.ball_id).name}, {job.work}, to {words.short_day(to)}"
    return _say(shop, job, Say(to, since(job.work, shop.state(job.ball_id))), sentence, initiator)


def leave_out(shop: Shop, job: Job, initiator: str = "desk") -> Changes:
    """Leave a job out until that work is done, or takes its next round."""
    sentence = f"Left out {shop.ball(job.ball_id).name}, {job.work}"
    return _say(shop, job, Say(None, since(job.work, shop.state(job.ball_id))), sentence, initiator)


def put_back(shop: Shop, job: Job, initiator: str = "desk") -> Changes:
    """Plan a job again as the state asks for it."""
    return _say(shop, job, None, f"Put back {shop.ball(job.ball_id).name}, {job.work}", initiator)


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


def _say(shop: Shop, job: Job, say: Say | None, sentence: str, initiator: str) -> Changes:
    said = _read(shop)
    said.pop(_name(job), None)
    if say is not None:
        said[_name(job)] = say
    value = {n: {"to": s.to.isoformat() if s.to else None, "since": s.since} for n, s in said.items()}
    return writing.set_value(shop, KEY, value or None, sentence, initiator)
