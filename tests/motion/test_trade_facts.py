"""Facts of the trade that motion must show without having been told them. Common practice, no source."""

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import Grip, Runs, batch, bed, body_of
from arsenal.trade.ball import Cover
from arsenal.trade.units import BOARD_M, FOOT_M

pytestmark = pytest.mark.common_practice

BODY = body_of(ball_of()[0])
GRITS = (4000, 3000, 2000, 1500, 1000, 500)
CONDITIONS = [house(), house(46, 28, 3), house(40, 25, 2.5), house(38, 14, 5)]


def thrown(grips: list[Grip], lane: object = None) -> Runs:
    return batch(bed(lane or house(), True, PRIORS), BODY, STYLE.on(LINE), Grip.join(grips))


@pytest.mark.parametrize("cover", list(Cover))
def test_coarser_reads_earlier(cover: Cover) -> None:
    runs = thrown([grip_of(cover, g) for g in GRITS])
    assert np.all(np.diff(runs.half_m) < 0.0)
    if cover is not Cover.POLYESTER:
        assert np.all(np.diff(runs.first_read_m) < 0.0)


@pytest.mark.parametrize("lane", CONDITIONS, ids=["house", "long", "flat", "burnt"])
def test_a_big_step_to_coarse_spends_the_skid_early(lane: object) -> None:
    fine, coarse = 0, 1
    runs = thrown([grip_of(Cover.SOLID, 3000), grip_of(Cover.SOLID, 500)], lane)
    assert runs.skid_left_at_oil_end[coarse] < runs.skid_left_at_oil_end[fine]
    assert runs.half_m[fine] - runs.half_m[coarse] > 2.0 * FOOT_M


@pytest.mark.parametrize("cover", [Cover.SOLID, Cover.PEARL, Cover.URETHANE])
def test_an_unwiped_ball_goes_longer(cover: Cover) -> None:
    runs = thrown([grip_of(cover), grip_of(cover, film_m=0.2e-6)])
    assert runs.breakpoint_m[1] > runs.breakpoint_m[0]
    assert runs.landing_m[1] < runs.landing_m[0]


def test_unwiped_urethane_goes_longest_and_more_so_at_high_volume() -> None:
    most = PRIORS.oil.film_most_m

    def longer(cover: Cover, volume_ml: float) -> float:
        lane = house(41, volume_ml, 8)
        wet = grip_of(cover, film_m=most[cover] * volume_ml / 25.0 * 0.95, volume_m3=volume_ml * 1e-6)
        runs = thrown([grip_of(cover, volume_m3=volume_ml * 1e-6), wet], lane)
        return float(runs.breakpoint_m[1] - runs.breakpoint_m[0])

    for cover in (Cover.SOLID, Cover.HYBRID, Cover.PEARL):
        assert longer(Cover.URETHANE, 25) > longer(cover, 25)
    for cover in (Cover.SOLID, Cover.PEARL, Cover.URETHANE):
        assert longer(cover, 28) > longer(cover, 25)


def test_a_pearl_with_surface_reads_earlier_than_the_same_pearl_polished() -> None:
    polished = grip_of(Cover.PEARL, 9000)
    runs = thrown([grip_of(Cover.PEARL, 1000), polished])
    assert runs.first_read_m[1] - runs.first_read_m[0] > 1.5 * FOOT_M


def test_with_no_oil_at_all_finish_moves_nothing() -> None:
    runs = thrown([grip_of(grit=g, volume_m3=0.0) for g in GRITS], house(41, 0.0))
    assert np.ptp(runs.landing_m) < 1e-6


def test_on_a_thin_film_finish_matters_most() -> None:
    spans = [np.ptp(thrown([grip_of(grit=g) for g in (4000, 500)], house(41, v)).landing_m) for v in (8.0, 14.0, 25.0)]
    assert spans[0] > spans[1] > spans[2] > 0.5 * BOARD_M


def test_rough_urethane_reads_early_and_smooth() -> None:
    runs = thrown([grip_of(Cover.URETHANE, 500), grip_of(Cover.SOLID, 2000), grip_of(Cover.SOLID, 500)])
    assert runs.first_read_m[0] < runs.first_read_m[1]
    assert runs.shape_m[0] > runs.shape_m[2]


def test_more_oil_and_a_longer_pattern_make_any_ball_go_longer() -> None:
    lanes = house(38, 20), house(38, 32), house(44, 20 * 44 / 38)
    usual, heavy, longer = (thrown([grip_of()], lane) for lane in lanes)
    assert heavy.first_read_m[0] > usual.first_read_m[0]
    assert longer.breakpoint_m[0] > usual.breakpoint_m[0]
    assert longer.rolls_m[0] > usual.rolls_m[0]


def test_a_plastic_ball_hardly_hooks() -> None:
    runs = thrown([grip_of(Cover.SOLID), grip_of(Cover.POLYESTER)])
    assert 0.0 < runs.hook_m[1] < 0.5 * runs.hook_m[0]
