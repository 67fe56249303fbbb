"""A bowler's own say over the plan: put off, left out, put back, and over once the work is done."""

from __future__ import annotations

from datetime import timedelta

import pytest

from arsenal.acts import moved, undo, upkeep
from arsenal.acts.logging import keep
from arsenal.acts.shop import Shop
from arsenal.plan.records import Due, Job, Work
from arsenal.trade.entries import Draft, Kind, Played, Step, SurfaceWork
from arsenal.trade.errors import KnownError
from arsenal.trade.units import SHOTS_A_GAME


@pytest.fixture
def due(shop: Shop) -> Job:
    """A refresh that is due: forty games on a coarse finish."""
    ball = shop.balls()[0]
    sanded = Draft(ball.id, Kind.SANDED, shop.today() - timedelta(days=20), SurfaceWork((Step(number=1000),)))
    played = Draft(ball.id, Kind.PLAYED, shop.today() - timedelta(days=1), Played(40 * SHOTS_A_GAME))
    keep(shop, (sanded, played))
    return found(shop, ball.id)


def found(shop: Shop, ball_id: int) -> Job:
    jobs = upkeep.upkeep(shop).jobs
    return next(job for job in jobs if job.ball_id == ball_id and job.work is Work.REFRESH)


def test_a_job_put_off_stands_on_its_new_day_and_no_longer_presses(shop: Shop, due: Job) -> None:
    assert due.due in (Due.DUE, Due.OVER)
    to = shop.today() + timedelta(days=3)
    changes = moved.move(shop, [due], to)
    assert "Moved" in changes.sentence
    job = found(shop, due.ball_id)
    assert (job.by, job.due, job.moved) == (to, Due.SOON, True)


def test_undo_puts_the_job_back_on_its_day(shop: Shop, due: Job) -> None:
    moved.move(shop, [due], shop.today() + timedelta(days=3))
    undo.undo(shop)
    assert found(shop, due.ball_id) == due


def test_a_day_that_is_over_is_refused_and_nothing_is_kept(shop: Shop, due: Job) -> None:
    with pytest.raises(KnownError, match="is over"):
        moved.move(shop, [due], shop.today() - timedelta(days=1))
    assert found(shop, due.ball_id) == due


def test_a_job_left_out_is_listed_apart_until_put_back(shop: Shop, due: Job) -> None:
    moved.leave_out(shop, [due])
    sheet = upkeep.upkeep(shop)
    assert due in sheet.left_out
    assert due not in sheet.jobs
    moved.put_back(shop, [due])
    assert due in upkeep.upkeep(shop).jobs


def test_once_the_ball_is_sanded_again_what_was_said_is_over(shop: Shop, due: Job) -> None:
    moved.leave_out(shop, [due])
    keep(shop, (Draft(due.ball_id, Kind.SANDED, shop.today(), SurfaceWork((Step(number=1000),))),))
    sheet = upkeep.upkeep(shop)
    assert not sheet.left_out
    assert any(job.ball_id == due.ball_id and job.work is Work.REFRESH for job in sheet.jobs)


def test_putting_back_what_was_never_moved_writes_nothing(shop: Shop, due: Job) -> None:
    before = shop.revision
    assert moved.put_back(shop, [due]).act_id is None
    assert shop.revision == before
