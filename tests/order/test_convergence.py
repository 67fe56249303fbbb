"""Balls that have grown alike, one that fell below its neighbour, one due by boards lost: since each was last set."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest
from a_set import HOUSE, LINE, PRIORS, bowler, owned, ra_m

from arsenal.order import convergence, order
from arsenal.order.convergence import APART_BOARDS, KINDS
from arsenal.order.records import Remark
from arsenal.surface.state import Estimate, SettledIn, SurfaceState
from arsenal.trade import Ball, Cover

MIREL = bowler(1, lines=((HOUSE.id, LINE),))
SET_ON = date(2026, 3, 2)


def aged(
    number: int, when_set: float, now: float, *, settled: float | None = None, games: float = 12.0, **fields: object
) -> tuple[Ball, SurfaceState]:
    """A solid that was set at one grit, had settled in at another and is at a third."""
    ball, state = owned(number, grit=now, **fields)  # type: ignore[arg-type]
    ln = {grit: math.log(ra_m(Cover.SOLID, grit)) for grit in (when_set, now, settled or now)}
    return ball, replace(
        state, finish_on=SET_ON, games_on_finish=Estimate(games), finish_set_grit=when_set,
        since_set_ln=Estimate(ln[now] - ln[when_set], 0.1), set_ln_ra_sd=0.15,
        settled_in=SettledIn(ln[settled or now], 0.0, 0.0, Estimate(ln[now] - ln[settled or now], 0.05), 0.15),
    )  # fmt: skip


def told(*bag: tuple[Ball, SurfaceState]) -> dict[str, Remark]:
    return {r.kind: r for r in convergence.of_set(MIREL, HOUSE, bag, PRIORS)}


def boards(grit: float) -> float:
    """Where a solid of that grit ends against one at 2000."""
    rows = order(MIREL, HOUSE, [owned(1), owned(2, grit=grit)], PRIORS, rooms=False).rows
    return next(r.boards for r in rows if r.ball.id == 2)


def test_balls_far_apart_when_set_that_overlap_now_are_told_with_both_figures() -> None:
    assert boards(500) - boards(3000) > APART_BOARDS
    alike = told(aged(1, 500, 2000), aged(2, 3000, 2100, games=3.0))["grown alike"]
    assert alike.title == "Umber and Quarry have grown alike"
    assert set(alike.ball_ids) == {1, 2}
    assert "boards apart when set" in alike.detail
    assert " ± " in alike.detail
    assert "Set 12 and 3 games ago." in alike.detail


def test_balls_alike_from_the_first_or_apart_still_are_not_alarming() -> None:
    assert "grown alike" not in told(aged(1, 2000, 2000), aged(2, 2100, 2100))
    assert "grown alike" not in told(aged(1, 500, 520), aged(2, 3000, 3100))


def test_three_boards_apart_is_not_over_three() -> None:
    near = [n for n in (500, 600, 700, 800, 900, 1000, 1200, 1500) if boards(n) - boards(3000) < APART_BOARDS - 0.1]
    assert near
    for grit in near:
        assert "grown alike" not in told(aged(1, grit, 2000), aged(2, 3000, 2050))


def test_a_ball_that_fell_below_its_neighbour_is_told() -> None:
    fallen = told(aged(1, 600, 3000), aged(2, 1500, 1600))["fallen"]
    assert fallen.title == "Umber has fallen below Quarry"
    assert fallen.ball_ids == (1, 2)
    assert "stronger when set" in fallen.detail
    assert "weaker now" in fallen.detail
    assert "fallen" not in told(aged(1, 3000, 3000), aged(2, 1500, 1600))


def test_two_boards_lost_since_settling_in_are_told_for_all_such_balls_in_one() -> None:
    due = told(aged(1, 500, 3000, settled=700), aged(2, 2000, 2100), aged(3, 500, 2500, settled=800))["lost"]
    assert set(due.ball_ids) == {1, 3}
    assert due.title.endswith("are due by boards lost")
    assert "boards lost" in due.detail
    assert "lost" not in told(aged(1, 2000, 2300, settled=2100))


def test_a_spare_ball_and_one_nobody_knows_when_it_was_set_are_not_spoken_of() -> None:
    other = aged(2, 3000, 2100)
    assert told(aged(1, 500, 2000, spare=True), other) == {}
    ball, state = aged(1, 500, 2000)
    assert told((ball, replace(state, finish_on=None)), other) == {}
    assert told() == {}


def test_an_order_says_it_too_after_the_balls_that_are_the_same() -> None:
    found = order(MIREL, HOUSE, [aged(1, 500, 2000), aged(2, 3000, 2100)], PRIORS, rooms=False).remarks
    kinds = [r.kind for r in found]
    assert kinds.index("overlap") < kinds.index("grown alike")
    assert set(KINDS) >= {"grown alike", "fallen", "lost"}


def test_how_far_balls_have_moved_is_surer_than_where_they_stand() -> None:
    bag = [aged(1, 500, 2000, sd=0.4), aged(2, 3000, 2100, sd=0.4)]
    rows = order(MIREL, HOUSE, bag, PRIORS, rooms=False).rows
    detail = told(*bag)["grown alike"].detail
    said = float(detail.split("± ")[1].split(" boards")[0].replace("½", ".5"))
    assert said < max(r.boards_sd for r in rows)


@pytest.mark.parametrize("seed", [1, 7])
def test_the_same_seed_says_the_same(seed: int) -> None:
    bag = [aged(1, 500, 2000), aged(2, 3000, 2100)]
    first, again = (convergence.of_set(MIREL, HOUSE, b, PRIORS, seed=seed) for b in (bag, bag[::-1]))
    assert first == again
