"""What is on each ball and what is due, written into plain tables for whoever opens the file with another program.

Only what changed since is reckoned anew, within a short time: a shop that closes does not wait for twenty thousand
balls. What is left over keeps its old line, with the moment it was reckoned, and comes next time. Due is told by the
intervals alone: boards lost on a bowler's lane are for the window to reckon.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, timedelta

from arsenal.acts import intervals
from arsenal.acts.shop import Shop
from arsenal.ledger import NowBall, NowDue
from arsenal.plan import upkeep
from arsenal.plan.records import Due, Job, Work
from arsenal.surface.state import SurfaceState
from arsenal.trade.pads import label
from arsenal.trade.steps import Tell, stepping, untold
from arsenal.trade.units import GRAM_KG

AT_CLOSING_S, OLD_LINES_S = 0.4, 0.1
"""A: how long a closing may take for what changed, and for lines that are only old."""
AT_ONCE, FEW = 100, 4
"""Owners whose logs are read together, and whose lines are written together; few where the time is short."""
OLD = timedelta(days=1)


def keep(shop: Shop, within_s: float | None = AT_CLOSING_S, tell: Tell = untold) -> int:
    """Write the lines that are behind, the newest change first; None takes all the time it needs and brings old lines
    up to today too. How many balls.
    """
    begun = time.monotonic()
    owners = dict.fromkeys(owner for _, owner in shop.ledger.now_behind())
    if within_s is None:
        owners |= dict.fromkeys(shop.ledger.now_oldest(shop.now() - OLD, len(shop.people())))
        return _write(shop, owners, begun, None, tell)[0]
    written, left = _write(shop, owners, begun, within_s)
    spent = time.monotonic() - begun
    if not left and spent < OLD_LINES_S:
        old = shop.ledger.now_oldest(shop.now() - OLD, AT_ONCE)
        written += _write(shop, old, begun, OLD_LINES_S)[0]
    return written


def _write(
    shop: Shop, owners: Iterable[int], begun: float, within_s: float | None, tell: Tell = untold
) -> tuple[int, bool]:
    """How many balls, and whether the time was up before the last owner."""
    written, groups = 0, list(_groups(list(owners), AT_ONCE if within_s is None else FEW))
    for some in stepping(groups, len(groups), tell, every=1):
        if within_s is not None and time.monotonic() - begun > within_s:
            return written, True
        shop.read_ahead([ball for owner in some for ball in shop.balls(owner)])
        both = [_of_owner(shop, owner) for owner in some]
        balls = [line for lines, _ in both for line in lines]
        due = [line for _, lines in both for line in lines]
        shop.ledger.keep_now(balls, due, [line.ball_id for line in balls])
        written += len(balls)
    return written, False


def _groups(owners: Sequence[int], size: int) -> Iterator[Sequence[int]]:
    return (owners[at : at + size] for at in range(0, len(owners), size))


def _of_owner(shop: Shop, owner_id: int) -> tuple[list[NowBall], list[NowDue]]:
    person, balls = shop.person(owner_id), shop.balls(owner_id)
    had = [(ball, shop.state(ball.id)) for ball in balls]
    at = shop.now().astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")
    logs = {ball.id: shop.entries(ball.id) for ball in balls}
    found = upkeep(
        person, had, None, shop.priors, today=shop.today(), games_a_week=person.games_a_week, entries_by_ball=logs,
        intervals=intervals.of_shop(shop), lost={},
    )  # fmt: skip
    return [_ball(state, at) for _, state in had], [_due(job, at) for job in found if _told(job)]


def _told(job: Job) -> bool:
    """Wiping goes with every shot, and what is fine is not due."""
    return job.due is not Due.FINE and job.work is not Work.WIPE


def _ball(state: SurfaceState, at: str) -> NowBall:
    return NowBall(
        state.ball_id, at, label(state.finish) if state.finish else "as it came", _day(state.finish_on),
        round(state.grit, -1), round(state.grit_low, -1), round(state.grit_high, -1),
        round(state.games_on_finish.mean, 1), round(state.oil_kg.mean / GRAM_KG, 2), state.holder.value,
    )  # fmt: skip


def _due(job: Job, at: str) -> NowDue:
    why = ", ".join(part for part in (job.how, job.why, job.detail) if part)
    return NowDue(job.ball_id, at, job.work.value, job.due.value, _day(job.by), why)


def _day(on: date | None) -> str | None:
    return on.isoformat() if on is not None else None
