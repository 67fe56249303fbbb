"""A season of following the advice: it never piles up, nor sends a bowler to the bench every day (common practice)."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

import pytest
from a_bag import HOUSE, MIREL, PRIORS, START, ball, cleaned, drawn, folded, inspected, log, new, played, sanded

from arsenal.plan import Due, Job, Work, upkeep
from arsenal.trade import Cover
from arsenal.trade.entries import Entry, Kind, SurfaceWork

SEASON_DAYS = 168
BAG = {1: (Cover.SOLID, 500.0), 2: (Cover.SOLID, 1000.0), 3: (Cover.HYBRID, 2000.0), 4: (Cover.PEARL, 1500.0),
       5: (Cover.PEARL, 4000.0), 6: (Cover.URETHANE, 1000.0)}  # fmt: skip


def done(job: Job, on: object) -> list[tuple[object, ...]]:
    """The entries that doing a job leaves."""
    if job.work in (Work.REFRESH, Work.RESURFACE):
        return [(on, Kind.SANDED, SurfaceWork(job.steps))]
    made = {Work.CLEAN: cleaned, Work.DEEP_OIL: drawn, Work.INSPECT: inspected}
    return [made[job.work](on)] if job.work in made else []  # type: ignore[arg-type]


def season() -> tuple[list[int], Counter[Work], int]:
    """Due jobs each morning, jobs done by kind, and days with a pad in hand; two league nights a week, three games
    each, two balls a night in turn.
    """
    logs: dict[int, list[tuple[object, ...]]] = {
        i: [new(), sanded(START, 500.0, 1000.0, n), inspected(START)] for i, (_, n) in BAG.items()
    }  # type: ignore[misc]
    counts, works, bench_days = [], Counter[Work](), 0
    for day in range(1, SEASON_DAYS):
        today = START + timedelta(days=day)
        if day % 7 in (1, 4):
            first = (day // 3) % 6
            for i in (first + 1, (first + 3) % 6 + 1):
                logs[i] += [played(today, 1.5), cleaned(today)]
            continue
        if day % 7 not in (2, 5):
            continue
        entries: dict[int, list[Entry]] = {i: log(i, *events) for i, events in logs.items()}  # type: ignore[arg-type]
        bag = [folded(ball(i, cover), entries[i], today) for i, (cover, _) in BAG.items()]
        jobs = upkeep(MIREL, bag, HOUSE, PRIORS, today=today, games_a_week=6.0, entries_by_ball=entries, draws=10)
        due = [j for j in jobs if j.due in (Due.DUE, Due.OVER)]
        counts.append(len(due))
        bench_days += any(j.steps for j in due)
        for job in due:
            works[job.work] += 1
            logs[job.ball_id] += done(job, today)
    return counts, works, bench_days


@pytest.mark.slow
@pytest.mark.common_practice
def test_a_season_of_following_the_advice_never_piles_up() -> None:
    counts, works, bench_days = season()
    assert max(counts) <= 4
    assert sum(counts) / len(counts) < 1.0
    assert bench_days < 0.5 * len(counts)
    assert works[Work.REFRESH] > 6
    assert works[Work.WIPE] == 0
    assert works[Work.CLEAN] == 0
