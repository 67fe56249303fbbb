"""A lane that changes: where the oil goes, whose side dries, and how the same shot moves after some games."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, house

from arsenal.motion import bed, body_of, grip, trace
from arsenal.motion.pair import Player, Stage, Traffic
from arsenal.motion.records import Trace
from arsenal.motion.traffic import AREAS, BOARDS, DISTANCE_M, MOST_GAMES, evolve, film_of, grid_of
from arsenal.trade import Cover, FilmGrid, Lane, UnknownHouse
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, FOOT_M, INCH_M

HOUSE = house()


def player(
    cover: Cover = Cover.SOLID, grit: float = 2000.0, differential_in: float = 0.048, **fields: object
) -> Player:
    ball, state = ball_of(cover, grit)
    ball = replace(ball, differential_m=differential_in * INCH_M)
    return replace(Player(STYLE, True, ball, state), **fields)  # type: ignore[arg-type]


def four(one: Player) -> Traffic:
    return Traffic((one,) * 4)


def film(stage: Stage) -> np.ndarray:
    assert isinstance(stage.lane.film, FilmGrid)
    return np.array(stage.lane.film.height_m)


def with_shots(*, strike: int = 11, spare: int = 4, warm_up: int = 10) -> Priors:
    counts = replace(PRIORS.traffic, strike_shots=strike, spare_shots=spare, warm_up_shots=warm_up)
    return replace(PRIORS, traffic=counts)


def shot(stage: Stage, one: Player, first: Stage) -> Trace:
    """The same shot on that stage: the line he began with, the ball as he brought it."""
    on = bed(stage.lane, one.hooks_to_left, PRIORS)
    own = grip(one.ball, one.state, PRIORS, one.style, first.books.lane_m3)
    return trace(on, body_of(one.ball, one.state), one.style.on(first.lines[0]), own)


@pytest.fixture(scope="module")
def reactive() -> tuple[Stage, ...]:
    return evolve(HOUSE, four(player()), PRIORS, 6)


@pytest.fixture(scope="module")
def low_flare() -> tuple[Stage, ...]:
    return evolve(HOUSE, four(player(Cover.URETHANE, 1000.0, 0.020, wiped=False)), PRIORS, 6)


def test_the_film_on_the_grid_holds_the_oil_the_house_told() -> None:
    assert (film_of(HOUSE, PRIORS) * AREAS).sum() == pytest.approx(25e-6, rel=1e-3)


@pytest.mark.parametrize("lane", [HOUSE, house(38.0, 20.0, 10.0, left=3.0), house(46.0, 28.0, 1.0)])
def test_the_same_shot_lands_alike_on_the_summary_and_on_its_grid(lane: Lane) -> None:
    one = player()
    for left in (True, False):
        own = grip(one.ball, one.state, PRIORS, STYLE, 25e-6)
        ends = [
            trace(bed(on, left, PRIORS), body_of(one.ball), STYLE.on(LINE), own).landing_m
            for on in (lane, replace(lane, film=grid_of(film_of(lane, PRIORS))))
        ]
        assert ends[0] == pytest.approx(ends[1], abs=0.1 * BOARD_M)


@pytest.mark.parametrize("stages", ["reactive", "low_flare"])
def test_what_the_lane_lost_is_on_the_balls_in_the_covers_and_in_the_towels(
    stages: str, request: pytest.FixtureRequest
) -> None:
    found = request.getfixturevalue(stages)
    fresh = found[0].books.lane_m3
    for stage in found:
        b = stage.books
        assert b.lane_m3 + b.on_balls_m3 + b.in_covers_m3 + b.in_towels_m3 == pytest.approx(fresh, rel=1e-12)
        assert (film(stage) * AREAS).sum() == pytest.approx(b.lane_m3, rel=1e-12)
        assert film(stage).min() >= 0.0
    lane = [stage.books.lane_m3 for stage in found]
    assert lane == sorted(lane, reverse=True)
    assert lane[-1] < fresh


def test_no_games_and_no_shots_change_nothing() -> None:
    (fresh,) = evolve(HOUSE, four(player()), PRIORS, 0)
    assert (film(fresh) == film_of(HOUSE, PRIORS)).all()
    idle = evolve(HOUSE, four(player()), with_shots(strike=0, spare=0, warm_up=0), 2)
    assert (film(idle[2]) == film(fresh)).all()
    assert idle[2].lines == fresh.lines


def test_a_left_hander_s_lane_is_the_mirror_of_a_right_hander_s() -> None:
    right, left = (evolve(HOUSE, Traffic((player(hooks_to_left=hand),)), PRIORS, 3) for hand in (True, False))
    for a, b in zip(right, left, strict=True):
        assert film(a) == pytest.approx(film(b)[:, ::-1], rel=1e-6, abs=1e-12)
        assert a.books.right_m3 == pytest.approx(b.books.left_m3, rel=1e-9)
        assert a.lines[0].lateral_m == pytest.approx(b.lines[0].lateral_m, abs=1e-6)


@pytest.mark.common_practice
def test_a_left_hander_keeps_his_oil_while_right_handers_dry_theirs(reactive: tuple[Stage, ...]) -> None:
    # a left-hander sees another lane: his side's film and his side's shots (common practice, no source)
    lefty = player(hooks_to_left=False)
    fresh = evolve(HOUSE, Traffic((lefty,)), PRIORS, 0)[0]
    his = [shot(stage, lefty, fresh).landing_m for stage in (reactive[0], reactive[3])]
    theirs = [shot(stage, player(), reactive[0]).landing_m for stage in (reactive[0], reactive[3])]
    assert theirs[1] - theirs[0] > 0.5 * BOARD_M
    assert abs(his[1] - his[0]) < 0.5 * (theirs[1] - theirs[0])


def test_without_spares_only_the_boards_played_lose_oil() -> None:
    stages = evolve(HOUSE, four(player()), with_shots(spare=0), 1)
    lost = (film(stages[0]) - film(stages[1])) * AREAS
    assert np.abs(lost[:, BOARDS >= 31.0]).max() == 0.0
    assert lost[:, BOARDS <= 20.0].sum() > 0.7 * lost.sum() > 0.0


@pytest.mark.common_practice
def test_the_track_dries_and_the_same_shot_reads_earlier_and_ends_higher(reactive: tuple[Stage, ...]) -> None:
    # the track dries and the shot reads earlier there (common practice, no source)
    seen = [shot(stage, player(), reactive[0]) for stage in reactive]
    reads = [found.first_read_m for found in seen]
    assert reads[3] < reads[0] - 1.0 * FOOT_M
    assert reads[6] < reads[3]
    assert seen[6].landing_m > seen[3].landing_m > seen[0].landing_m


@pytest.mark.common_practice
def test_bowlers_move_toward_the_oil_as_their_track_dries(reactive: tuple[Stage, ...]) -> None:
    # two to six boards over three games of four bowlers, as the trade feels it (common practice, no source); held wide
    # here: one to six at game 3 and never back toward the gutter by more than a board
    laydown = [stage.lines[0].lateral_m / BOARD_M for stage in reactive]
    assert 1.0 <= laydown[3] - laydown[0] <= 6.0
    assert laydown[6] > laydown[3]


@pytest.mark.common_practice
def test_low_flare_balls_carry_oil_down_and_then_hook_less(
    reactive: tuple[Stage, ...], low_flare: tuple[Stage, ...]
) -> None:
    # carrydown of low flare and urethane is the variant that hooks less (common practice, no source)
    beyond = DISTANCE_M > 44.0 * FOOT_M
    carried = [(film(stages[3]) * AREAS)[beyond].sum() for stages in (reactive, low_flare)]
    assert carried[1] > 2.0 * carried[0]
    one = player(Cover.URETHANE, 1000.0, 0.020)
    hooks = [shot(stage, one, low_flare[0]).hook_m for stage in (low_flare[0], low_flare[1], low_flare[3])]
    assert hooks[1] < hooks[0] - 0.5 * BOARD_M
    assert hooks[2] < hooks[0] - 0.5 * BOARD_M


def test_on_the_same_line_low_flare_takes_less_off_the_front_than_wide_flare() -> None:
    one = {d: evolve(HOUSE, Traffic((player(Cover.SOLID, 2000.0, d, line=LINE),)), with_shots(spare=0), 1)
           for d in (0.0, 0.060)}  # fmt: skip
    lost = {d: s[0].books.lane_m3 - s[1].books.lane_m3 for d, s in one.items()}
    assert 0.0 < lost[0.0] < 0.6 * lost[0.060]


@pytest.mark.parametrize("differential_in", [0.0, 0.010, 0.030, 0.060])
def test_the_share_that_comes_round_again_is_read_off_the_pick_up_of_the_grip(differential_in: float) -> None:
    # gain = o·takes/(1 − o·keeps) and o·keeps = e^(−1/revolutions): two readings of one openness must agree
    one = player(differential_in=differential_in)
    own, oil = grip(one.ball, one.state, PRIORS, STYLE, 25e-6), PRIORS.oil
    again = math.exp(-1.0 / float(own.pick_up_revs[0])) / oil.pick_up_keeps
    gain = again * oil.lift_share / (1.0 - again * oil.pick_up_keeps)
    assert 0.0 < again <= 1.0 + 1e-9
    assert float(own.pick_up[0]) == pytest.approx(gain, rel=1e-6)


@pytest.mark.parametrize(
    "lane",
    [house(41.0, 0.0), house(30.0, 15.0, 3.0), house(46.0, 28.0, 1.0),
     Lane(1, "coarse", FilmGrid((0.0, 12.0, 13.0), (1.0, 20.0, 39.0), (*((1e-6, 3e-6, 1e-6),) * 2, (0.0,) * 3)))],
    ids=["dry", "short", "flat", "coarse"],
)  # fmt: skip
def test_any_lane_can_be_worn_by_any_hand_and_keeps_its_books(lane: Lane) -> None:
    plain = player(Cover.POLYESTER, 4000.0, 0.0, wiped=False, hooks_to_left=False)
    wild = replace(STYLE, scatter=replace(STYLE.scatter, laydown_m=0.3, launch_rad=0.08))
    no_revs = replace(STYLE, rev_rate_radps=0.0)
    company = (player(), plain, replace(player(), style=wild), replace(player(), style=no_revs))
    first, last = (evolve(lane, Traffic(company), PRIORS, 2)[i] for i in (0, 2))
    b = last.books
    kept = b.lane_m3 + b.on_balls_m3 + b.in_covers_m3 + b.in_towels_m3
    assert kept == pytest.approx(first.books.lane_m3, rel=1e-12, abs=1e-20)
    assert np.isfinite(film(last)).all()
    assert film(last).min() >= 0.0


def test_wiping_moves_the_film_from_the_ball_to_the_towel() -> None:
    wiped, not_wiped = (
        evolve(HOUSE, Traffic((player(line=LINE, wiped=w),)), PRIORS, 2)[2].books for w in (True, False)
    )
    assert not_wiped.in_towels_m3 == 0.0
    assert wiped.in_towels_m3 > 0.0
    assert wiped.on_balls_m3 < not_wiped.on_balls_m3
    assert wiped.carried_m3 < not_wiped.carried_m3


def test_spare_shots_run_straight_across_the_lane() -> None:
    still = replace(STYLE, scatter=replace(STYLE.scatter, laydown_m=0.0, launch_rad=0.0))
    one = replace(player(), style=still)
    stages = evolve(HOUSE, Traffic((one,), lanes=1), with_shots(strike=0, warm_up=0, spare=1), 1)
    changed = np.abs(film(stages[1]) - film(stages[0])) > 0.0
    across = np.array([BOARDS[row].mean() for row in changed])
    middle = 27.0 + (3.0 - 27.0) * DISTANCE_M / DISTANCE_M[-1]  # from board 27 to the far corner's board
    assert np.abs(across - middle).max() < 0.3
    assert changed.sum(axis=1).max() <= 3  # a band is about one quarter board wide


@pytest.mark.parametrize("stages", ["reactive", "low_flare"])
def test_what_is_carried_down_is_no_pattern(stages: str, request: pytest.FixtureRequest) -> None:
    found = request.getfixturevalue(stages)
    ends = [bed(stage.lane, True, PRIORS).length_m for stage in found]
    assert max(ends) - ends[0] < 1.5 * FOOT_M  # six games of balls that carry it down; “rolls out” looks five feet on
    assert min(ends) >= ends[0] - 0.1 * FOOT_M


def test_the_same_seed_gives_the_same_lane_and_another_seed_another() -> None:
    one = Traffic((player(),))
    first, again, other = (evolve(HOUSE, one, PRIORS, 1, seed)[1] for seed in (5, 5, 6))
    assert first == again
    assert first.lane != other.lane


def test_more_games_do_not_change_the_games_before_them() -> None:
    one = Traffic((player(),))
    assert evolve(HOUSE, one, PRIORS, 1) == evolve(HOUSE, one, PRIORS, 2)[:2]


def test_a_pair_halves_what_one_lane_sees() -> None:
    lost = {}
    for lanes in (1, 2):
        stages = evolve(HOUSE, Traffic((player(line=LINE),), lanes), with_shots(strike=10, spare=0), 1)
        lost[lanes] = stages[0].books.lane_m3 - stages[1].books.lane_m3
    assert lost[2] == pytest.approx(0.5 * lost[1], rel=0.1)


def test_a_bowler_stays_on_his_own_line_while_it_ends_where_it_did() -> None:
    lines = {}
    for boards in (0.0, 39.0):
        priors = replace(PRIORS, traffic=replace(PRIORS.traffic, stays_within_boards=boards))
        stages = evolve(HOUSE, Traffic((player(line=LINE),)), priors, 1)
        assert stages[0].lines == (LINE,)
        lines[boards] = stages[1].lines[0]
    assert lines[39.0] == LINE
    assert lines[0.0] != LINE


def test_an_unknown_house_is_worn_from_the_middle_of_what_it_may_be() -> None:
    lane = Lane(3, "unknown", UnknownHouse())
    stages = evolve(lane, Traffic((player(),)), PRIORS, 1)
    assert stages[0].books.lane_m3 == pytest.approx(24e-6, rel=1e-3)
    assert stages[1].books.lane_m3 < stages[0].books.lane_m3


def test_a_worn_lane_can_be_worn_on() -> None:
    worn = evolve(HOUSE, Traffic((player(line=LINE),)), PRIORS, 1)[1].lane
    again = evolve(worn, Traffic((player(line=LINE),)), PRIORS, 0)[0]
    assert film(again) == pytest.approx(np.array(worn.film.height_m), abs=1e-15)  # type: ignore[union-attr]


def test_impossible_games_and_an_empty_pair_are_named() -> None:
    for games in (-1, MOST_GAMES + 1):
        with pytest.raises(OutOfRange, match="games"):
            evolve(HOUSE, four(player()), PRIORS, games)
    with pytest.raises(KnownError, match="Nobody bowls"):
        evolve(HOUSE, Traffic(()), PRIORS, 1)
    with pytest.raises(OutOfRange, match="oil length"):
        evolve(house(-3.0), four(player()), PRIORS, 1)
