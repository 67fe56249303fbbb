"""The order later in a set: on a fresh lane the plain order, after some games the same balls on a worn one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from a_set import HOUSE, LINE, PRIORS, STYLE, bowler, owned

from arsenal import motion
from arsenal.motion.pair import Player, Stage, Traffic
from arsenal.motion.records import BestLine
from arsenal.motion.traffic import film_of, grid_of
from arsenal.order import Order, order
from arsenal.order.later import doubted, orders_at
from arsenal.trade import Cover, Lane, UnknownHouse
from arsenal.trade.units import BOARD_M

SET = [owned(1), owned(2, Cover.PEARL, 4000.0), owned(3, Cover.URETHANE, 1000.0)]
MIREL = bowler()
FOUR = Traffic((Player(STYLE, True, *SET[0]),) * 4)
DRAWS = 60


def boards(found: Order) -> dict[int, float]:
    return {row.ball.id: row.boards for row in found.rows}


@pytest.fixture(scope="module")
def later() -> tuple[tuple[Stage, Order], ...]:
    return orders_at(MIREL, HOUSE, SET, PRIORS, FOUR, games=(0, 1, 3, 6), draws=DRAWS)


def test_on_the_fresh_lane_it_is_the_plain_order(later: tuple[tuple[Stage, Order], ...]) -> None:
    plain = order(MIREL, HOUSE, SET, PRIORS, draws=DRAWS, rooms=False)
    assert later[0][1].stamp == plain.stamp
    assert later[0][1].remarks == plain.remarks
    assert boards(later[0][1]) == boards(plain)


def test_the_grid_that_is_worn_gives_the_order_of_the_summary() -> None:
    on_grid = replace(HOUSE, film=grid_of(film_of(HOUSE, PRIORS)))
    summary, grid = (order(MIREL, on, SET, PRIORS, line=LINE, draws=DRAWS, rooms=False) for on in (HOUSE, on_grid))
    assert boards(grid) == pytest.approx(boards(summary), abs=0.1)
    for a, b in zip(grid.rows, summary.rows, strict=True):
        assert a.trace.landing_m == pytest.approx(b.trace.landing_m, abs=0.1 * BOARD_M)


def test_every_ball_has_its_best_line_or_is_told_why_not_at_each_stage(
    later: tuple[tuple[Stage, Order], ...],
) -> None:
    assert [stage.game for stage, _ in later] == [0, 1, 3, 6]
    for _, found in later:
        assert all(row.best is not None for row in found.rows)
    reached = [isinstance(row.best, BestLine) for _, found in later for row in found.rows]
    assert sum(reached) >= 10


@pytest.mark.common_practice
def test_best_lines_of_the_ball_in_play_move_toward_the_oil(later: tuple[tuple[Stage, Order], ...]) -> None:
    # bowlers move in as the track dries (common practice, no source)
    found = {stage.game: next(r.best for r in o.rows if r.ball.id == 1) for stage, o in later}
    fresh, last = found[0], found[6]
    assert isinstance(fresh, BestLine)
    assert isinstance(last, BestLine)
    assert last.line.lateral_m > fresh.line.lateral_m + 0.9 * BOARD_M


def test_the_stamp_tells_who_bowled_how_long_and_with_which_seed(later: tuple[tuple[Stage, Order], ...]) -> None:
    hashes = [found.stamp.inputs_hash for _, found in later]
    two = Traffic(FOUR.players[:2])
    ((_, other),) = orders_at(MIREL, HOUSE, SET, PRIORS, two, games=(1,), draws=DRAWS, rooms=False)
    ((_, again),) = orders_at(MIREL, HOUSE, SET, PRIORS, FOUR, games=(1,), draws=DRAWS, rooms=False)
    ((_, seeded),) = orders_at(MIREL, HOUSE, SET, PRIORS, FOUR, games=(1,), draws=DRAWS, rooms=False, seed=2)
    assert len({*hashes, other.stamp.inputs_hash, seeded.stamp.inputs_hash}) == 6
    assert again.stamp == later[1][1].stamp
    assert boards(again) == boards(later[1][1])
    renamed = Traffic(tuple(replace(p, name="someone") for p in FOUR.players))
    ((_, same),) = orders_at(MIREL, HOUSE, SET, PRIORS, renamed, games=(1,), draws=DRAWS, rooms=False)
    assert same.stamp == again.stamp  # names do not count
    assert again.stamp.model_version.startswith(f"{motion.MODEL_VERSION}.")


def test_his_own_line_goes_with_him_and_a_given_line_is_kept() -> None:
    own = bowler(lines=((HOUSE.id, LINE),))
    pair = Traffic((replace(FOUR.players[0], line=LINE), *FOUR.players[1:]))
    ((stage, found),) = orders_at(own, HOUSE, SET, PRIORS, pair, games=(3,), draws=DRAWS, rooms=False)
    assert found.line == stage.lines[0]
    assert found.line_is_own
    ((_, given),) = orders_at(own, HOUSE, SET, PRIORS, pair, games=(3,), draws=DRAWS, rooms=False, line=LINE)
    assert given.line == LINE


def test_the_shared_shot_stays_while_the_reference_ball_still_ends_there() -> None:
    alone = Traffic(FOUR.players[:1])
    (_, fresh), (_, found) = orders_at(MIREL, HOUSE, SET, PRIORS, alone, games=(0, 1), draws=DRAWS, rooms=False)
    assert found.line == fresh.line
    assert not found.line_is_own


def test_a_worn_lane_is_less_sure_and_an_unknown_house_stays_unknown(
    later: tuple[tuple[Stage, Order], ...],
) -> None:
    sure = [doubted(PRIORS, HOUSE, stage).doubt.lane_ln_sd for stage, _ in later]
    assert sure[0] == PRIORS.doubt.lane_ln_sd
    assert sure[3] > sure[0]
    nobody_knows = Lane(5, "guest house", UnknownHouse())
    ((stage, found),) = orders_at(MIREL, nobody_knows, SET, PRIORS, FOUR, games=(1,), draws=DRAWS, rooms=False)
    assert doubted(PRIORS, nobody_knows, stage).doubt.lane_ln_sd > 3.0 * PRIORS.doubt.lane_ln_sd
    assert "middle of what it may be" in found.remarks[-1].detail


def test_a_worn_lane_says_that_its_wear_is_a_guess(later: tuple[tuple[Stage, Order], ...]) -> None:
    for stage, found in later:
        said = [r.detail for r in found.remarks if r.kind == "lane"]
        assert len(said) == 1
        assert ("rough guess" in said[0]) == (stage.game > 0)
