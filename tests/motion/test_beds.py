"""The lane under the path, from whichever gutter the hook counts."""

import math
from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.kernels import batch as kernel
from arsenal.motion import batch, bed, beds, body_of, trace
from arsenal.trade.errors import OutOfRange
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, LaneSurface, UnknownHouse
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, board_to_lateral_m

BALL = body_of(ball_of()[0])
RNG = np.random.default_rng


def sided(lane: Lane, hooks_to_left: bool) -> float:
    """Where the usual shot lands, thrown by someone whose ball hooks that way."""
    return float(batch(bed(lane, hooks_to_left, PRIORS), BALL, STYLE.on(LINE), grip_of()).landing_m[0])


def test_the_bed_holds_the_volume_that_was_typed() -> None:
    lane = bed(house(41, 25, 8, 3), True, PRIORS)
    x = np.linspace(0.0, LANE_LENGTH_M, 1201)
    y = (np.arange(1560) + 0.5) / 1560 * 39 * BOARD_M
    held = np.trapezoid(lane.height_m(x[:, None], y[None, :]).sum(axis=1) * 39 * BOARD_M / 1560, x)
    assert held == pytest.approx(25e-6, rel=1e-3)
    assert lane.volume_m3[0] == pytest.approx(25e-6, rel=1e-12)


def test_left_and_right_handers_see_the_same_numbers_on_a_lane_that_is_the_same_both_sides() -> None:
    assert sided(house(), True) == pytest.approx(sided(house(), False), abs=1e-12)


def test_a_left_hander_sees_the_left_sides_film() -> None:
    uneven, mirrored = house(41, 25, 8, 2), house(41, 25, 2, 8)
    assert sided(uneven, False) == pytest.approx(sided(mirrored, True), abs=1e-12)
    assert abs(sided(uneven, False) - sided(uneven, True)) > BOARD_M


def test_a_measured_film_counts_its_boards_from_the_right_gutter() -> None:
    boards = tuple(float(b) for b in range(1, 40))
    heavy_right = tuple(5e-6 if b < 12 else 0.2e-6 for b in boards)
    lane = Lane(
        1, "measured", FilmGrid((0.0, 12.0, 12.3, 18.3), boards, (heavy_right, heavy_right, (0.0,) * 39, (0.0,) * 39))
    )
    right, left = bed(lane, True, PRIORS), bed(lane, False, PRIORS)
    five = board_to_lateral_m(5.0)
    assert right.height_m(6.0, five) == pytest.approx(5e-6, rel=1e-6)
    assert left.height_m(6.0, five) == pytest.approx(0.2e-6, rel=1e-6)
    assert left.height_m(6.0, board_to_lateral_m(35.0)) == pytest.approx(5e-6, rel=1e-6)
    assert 12.0 < right.length_m < 12.35


def test_a_measured_film_like_the_summary_plays_like_it() -> None:
    summary = bed(house(), True, PRIORS)
    x, boards = np.linspace(0.0, LANE_LENGTH_M, 121), np.arange(0.5, 39.75, 0.25)
    heights = summary.height_m(x[:, None], (boards[None, :] - 0.5) * BOARD_M)
    grid = FilmGrid(tuple(x), tuple(boards), tuple(tuple(row) for row in heights))
    measured = Lane(2, "measured", grid)
    assert sided(measured, True) == pytest.approx(sided(house(), True), abs=1e-3)
    assert bed(measured, True, PRIORS).volume_m3[0] == pytest.approx(25e-6, rel=5e-3)
    assert bed(measured, True, PRIORS).findings == ()


@pytest.mark.common_practice
def test_carrydown_is_not_the_end_of_the_oil() -> None:
    across = (2e-6,) * 2
    carried = (0.04e-6,) * 2
    grid = FilmGrid(
        (0.0, 12.0, 12.2, 14.5, 14.6, 18.3), (1.0, 39.0), (across, across, carried, carried, (0.0,) * 2, (0.0,) * 2)
    )
    assert 12.0 < bed(Lane(1, "carried", grid), True, PRIORS).length_m < 12.3
    dry = FilmGrid((0.0, 18.0), (1.0, 39.0), ((0.0, 0.0), (0.0, 0.0)))
    assert bed(Lane(1, "dry", dry), True, PRIORS).length_m == 0.0


def test_a_film_measured_on_part_of_the_lane_says_so() -> None:
    lane = Lane(1, "short", FilmGrid((2.0, 6.0), (5.0, 20.0), ((1e-6, 2e-6), (1e-6, 2e-6))))
    assert {f.code for f in bed(lane, True, PRIORS).findings} == {"film.distance", "film.boards"}


@pytest.mark.parametrize(
    "grid",
    [
        FilmGrid((0.0,), (1.0, 39.0), ((1e-6, 1e-6),)),
        FilmGrid((0.0, 18.0), (20.0,), ((1e-6,), (1e-6,))),
        FilmGrid((0.0, 18.0), (1.0, 39.0), ((1e-6, 1e-6),)),
        FilmGrid((0.0, 18.0), (1.0, 39.0), ((1e-6, math.nan), (0.0, 0.0))),
        FilmGrid((0.0, 18.0), (1.0, 39.0), ((1e-6, -1e-6), (0.0, 0.0))),
        FilmGrid((18.0, 0.0), (1.0, 39.0), ((1e-6, 1e-6), (0.0, 0.0))),
        FilmGrid((0.0, 18.0), (1.0, 39.0), ((20.0, 30.0), (0.0, 0.0))),
    ],
)
def test_a_measured_film_that_cannot_be_is_refused(grid: FilmGrid) -> None:
    with pytest.raises(OutOfRange, match="oil film"):
        bed(Lane(1, "bad", grid), True, PRIORS)


@pytest.mark.parametrize(
    "film",
    [
        FilmSummary(math.nan, 25e-6, 8.0), FilmSummary(41.0, 25e-6, 8.0), FilmSummary(12.5, -1e-6, 8.0),
        FilmSummary(12.5, 25e-6, 0.5), FilmSummary(12.5, 25e-6, 8.0, 40.0),
    ],
)  # fmt: skip
def test_a_summary_that_cannot_be_is_refused(film: FilmSummary) -> None:
    with pytest.raises(OutOfRange, match="oil"):
        bed(Lane(1, "bad", film), True, PRIORS)


def test_an_unknown_house_is_a_spread_about_its_middle() -> None:
    lane = Lane(1, "unknown", UnknownHouse())
    many = beds(lane, True, PRIORS, rng=RNG(1), n=400)
    assert many.size == 400
    assert 38 * FOOT_M <= many.oil_end_m.min() < 39 * FOOT_M < 43 * FOOT_M < many.oil_end_m.max() <= 44 * FOOT_M
    landings = batch(many, BALL, STYLE.on(LINE), grip_of()).landing_m
    middle = sided(lane, True)
    assert abs(np.median(landings) - middle) < 2 * BOARD_M
    known = batch(beds(house(), True, PRIORS, rng=RNG(1), n=400), BALL, STYLE.on(LINE), grip_of()).landing_m
    assert landings.std() > known.std() > 0.0


def test_the_unknown_lane_alone_is_worth_about_three_boards() -> None:
    # our own assumption: a house that tells nothing spreads ± 3 boards of lane beside its film
    exact = UnknownHouse(12.5, 12.5, 25e-6, 25e-6, 8.0, 8.0)
    lane = Lane(1, "unknown", exact)
    landings = batch(beds(lane, True, PRIORS, rng=RNG(2), n=2000), BALL, STYLE.on(LINE), grip_of()).landing_m
    assert 2.0 < landings.std() / BOARD_M < 4.5


def test_the_same_seed_draws_the_same_lanes() -> None:
    a, b = (beds(Lane(1, "unknown", UnknownHouse()), True, PRIORS, rng=RNG(5), n=20) for _ in range(2))
    assert np.array_equal(a.film.along, b.film.along)


def test_a_wood_lane_grips_more_than_a_panel() -> None:
    wood = replace(house(), surface=LaneSurface.WOOD)
    assert sided(wood, True) > sided(house(), True)


def test_draws_of_several_balls_share_their_lanes() -> None:
    many = beds(house(), True, PRIORS, rng=RNG(3), n=7)
    runs = batch(many, [BALL] * 14, STYLE.on(LINE), grip_of())
    assert runs.landing_m[:7] == pytest.approx(runs.landing_m[7:], abs=1e-9)
    assert batch(many.of(3), BALL, STYLE.on(LINE), grip_of()).landing_m[0] == pytest.approx(runs.landing_m[3], abs=5e-6)


def test_every_kind_of_lane_and_batch_runs_on_one_compiled_kernel() -> None:
    """Another layout of arrays would be compiled anew, seconds at the lane."""
    rng = np.random.default_rng(1)
    body, grip = body_of(ball_of()[0]), grip_of()
    stack = beds(Lane(1, "unknown", UnknownHouse()), True, PRIORS, rng=rng, n=4)
    measured = Lane(
        2, "measured", FilmGrid((0.0, 10.0, 18.0), (1.0, 20.0, 39.0), ((1e-6,) * 3, (5e-7,) * 3, (0.0,) * 3))
    )
    for one in (bed(house(), True, PRIORS), stack, stack.of(2), bed(measured, False, PRIORS)):
        batch(one, body, STYLE.on(LINE), grip)
        batch(one, body, [STYLE.on(LINE)] * 8, grip)
        trace(one, body, STYLE.on(LINE), grip)
    assert len(kernel.ride.signatures) == 1
