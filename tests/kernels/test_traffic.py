"""One shot on the film: what it lifts, what it lays down again, and that nothing is lost on the way."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.kernels import flare, traffic, uptake
from arsenal.trade.units import BOARD_M, LANE_LENGTH_M, LANE_WIDTH_M

DISTANCE_M = np.linspace(0.0, LANE_LENGTH_M, 181)
SPACING_M, NODES, BAND_M = BOARD_M / 4.0, 157, 7e-3
AREAS = traffic.areas(DISTANCE_M, SPACING_M, NODES)
OIL_ENDS = 121


def house() -> np.ndarray:
    """3 μm to 40 ft, nothing beyond."""
    film = np.full((181, NODES), 3e-6)
    film[OIL_ENDS:] = 0.0
    return film


def straight(from_m: float, to_m: float) -> np.ndarray:
    return from_m + (to_m - from_m) * DISTANCE_M / LANE_LENGTH_M


def test_the_cells_cover_the_lane_once() -> None:
    assert AREAS.sum() == pytest.approx(LANE_LENGTH_M * LANE_WIDTH_M, rel=1e-12)


def test_the_volume_of_a_map_is_the_trapezoid_rule_both_ways() -> None:
    film = np.random.default_rng(1).random((181, NODES))
    by_numpy = np.trapezoid(np.trapezoid(film, DISTANCE_M, axis=0), dx=SPACING_M)  # numpy's own rule, as the reference
    assert traffic.volume(film, AREAS) == pytest.approx(by_numpy, rel=1e-12)


@given(st.floats(0.01, 1.04), st.floats(0.01, 1.04))
def test_the_band_covers_its_own_width_all_the_way(start: float, end: float) -> None:
    under = traffic.band(straight(start, end), BAND_M, SPACING_M, AREAS)
    assert under.area.sum() == pytest.approx(BAND_M * LANE_LENGTH_M, rel=1e-9)
    assert (under.area <= under.whole * (1.0 + 1e-12)).all()


def test_a_ball_that_dropped_touches_the_lane_no_more() -> None:
    out_and_back = 0.3 * np.abs(1.0 - 2.0 * DISTANCE_M / LANE_LENGTH_M) - 0.1
    under = traffic.band(out_and_back, BAND_M, SPACING_M, AREAS)
    fell = int(np.argmax(out_and_back < 0.0))
    assert under.area[:fell].sum(axis=1).min() > 0.0
    assert under.area[fell:].sum() == 0.0


def test_at_the_gutter_only_the_part_on_the_lane_counts() -> None:
    for edge in (0.0, LANE_WIDTH_M):
        under = traffic.band(np.full(181, edge), BAND_M, SPACING_M, AREAS)
        assert under.area.sum() == pytest.approx(0.5 * BAND_M * LANE_LENGTH_M, rel=1e-9)


def test_a_clean_ball_of_wide_flare_lifts_its_share_and_lays_nothing_down() -> None:
    film = house()
    under = traffic.band(straight(0.5, 0.3), BAND_M, SPACING_M, AREAS)
    before = (film[under.row, under.node] * under.area).sum()
    rolled = traffic.roll(film, under, 0.0, traffic.Cover(again=0.0, keeps=0.7, takes=0.1, turn=11))
    assert rolled.lifted == pytest.approx(0.1 * before, rel=1e-12)
    assert rolled.laid == 0.0


def test_without_flare_the_film_that_comes_round_grows_as_a_geometric_series() -> None:
    # A after n revolutions on an even film: takes · h · (1 − keepsⁿ)/(1 − keeps), the sum of a geometric series
    arriving = traffic.exchange(
        np.full(181, 1.0), np.ones(181), 0.0, traffic.Cover(again=1.0, keeps=0.7, takes=0.1, turn=10)
    )
    for turns in range(18):
        assert arriving[10 * turns] == pytest.approx(0.1 * (1.0 - 0.7**turns) / 0.3, abs=1e-12)


@pytest.mark.parametrize("spacing_m", [0.0, 3e-3, 6e-3, 13e-3])
def test_the_film_that_comes_round_settles_at_the_pick_up_that_friction_reckons_with(spacing_m: float) -> None:
    again = flare.openness(spacing_m, BAND_M)
    gain, _ = flare.pick_up(again, keeps=0.7, takes=0.1)
    arriving = traffic.exchange(np.full(1000, 2e-6), np.ones(1000), 0.0, traffic.Cover(again, 0.7, 0.1, 10))
    assert arriving[-1] == pytest.approx(gain * 2e-6, rel=1e-6)


def test_less_flare_lifts_less_and_carries_more_down() -> None:
    lifted, laid = [], []
    for again in (0.0, 0.3, 0.6, 1.0):
        film = house()
        under = traffic.band(straight(0.5, 0.3), BAND_M, SPACING_M, AREAS)
        rolled = traffic.roll(film, under, 0.0, traffic.Cover(again, 0.7, 0.1, 11))
        lifted.append(rolled.lifted)
        laid.append(rolled.laid)
        assert np.flatnonzero(rolled.gained)[:1].tolist() in ([], [OIL_ENDS])  # it is laid past the oil's end
    assert lifted == sorted(lifted, reverse=True)
    assert laid == sorted(laid)


def test_without_flare_all_that_was_lifted_is_on_one_ring_and_comes_off_where_the_lane_is_dry() -> None:
    film = house()
    film[OIL_ENDS // 2 :] = 0.0
    under = traffic.band(straight(0.5, 0.3), BAND_M, SPACING_M, AREAS)
    rolled = traffic.roll(film, under, 0.0, traffic.Cover(1.0, 0.7, 0.1, 5))
    # 24 revolutions on the dry leave 0.7²⁴ of it on the ring, 2 in 10,000
    assert rolled.laid == pytest.approx(rolled.lifted, rel=1e-2)


def test_a_wet_ball_oils_a_dry_lane_with_what_it_brought_and_no_more() -> None:
    for again in (0.0, 0.5, 1.0):
        film, turn = np.zeros((181, NODES)), 10
        under = traffic.band(np.full(181, 0.5), BAND_M, SPACING_M, AREAS)
        brought = 0.5e-6 * traffic.track_m2(LANE_LENGTH_M, turn * DISTANCE_M[1], again, BAND_M)
        rolled = traffic.roll(film, under, 0.5e-6, traffic.Cover(again, 0.7, 0.1, turn))
        assert 0.25 * brought < rolled.laid < brought
        assert traffic.volume(film, AREAS) == pytest.approx(rolled.laid, rel=1e-12)


def test_a_ball_that_never_touched_the_lane_lays_nothing_down() -> None:
    film, gone = house(), traffic.band(np.full(181, -0.1), BAND_M, SPACING_M, AREAS)
    assert traffic.lay(film, gone, 1e-9, np.ones(181)) == 0.0
    assert (film == house()).all()


def test_what_is_carried_down_is_laid_where_it_should_be_and_whole() -> None:
    film, under = house(), traffic.band(straight(0.2, 0.6), BAND_M, SPACING_M, AREAS)
    before = traffic.volume(film, AREAS)
    weight = np.zeros(181)
    weight[150:] = 1.0
    traffic.lay(film, under, 1e-9, weight)
    assert traffic.volume(film, AREAS) - before == pytest.approx(1e-9, rel=1e-4)
    assert (film[OIL_ENDS:150] == 0.0).all()
    traffic.lay(film, under, 1e-9, np.zeros(181))
    assert traffic.volume(film, AREAS) - before == pytest.approx(2e-9, rel=1e-4)


@pytest.mark.parametrize(("again", "cover_takes", "wiped"), [(0.0, 1e-8, 0.75), (0.5, 3e-9, 0.0), (1.0, 0.0, 0.0)])
def test_over_a_thousand_shots_no_oil_is_lost_or_made(again: float, cover_takes: float, wiped: float) -> None:
    rng, film, on_ball, cover_m3, towel = np.random.default_rng(4), house(), 0.0, 0.0, 0.0
    cover = traffic.Cover(again, 0.7, 0.1, 11)
    track = traffic.track_m2(LANE_LENGTH_M, 11 * DISTANCE_M[1], again, BAND_M)
    start = traffic.volume(film, AREAS)
    for _ in range(1000):
        bend = 0.3 * (DISTANCE_M / LANE_LENGTH_M) ** 2
        lateral = straight(*rng.uniform(-0.02, LANE_WIDTH_M + 0.02, 2)) - bend + rng.uniform(0.0, 0.3)
        under = traffic.band(lateral, BAND_M, SPACING_M, AREAS)
        rolled = traffic.roll(film, under, on_ball / track, cover)
        went = uptake.shot(rolled.lifted - rolled.laid, on_ball, cover_takes, 0.2e-6 * track, wiped)
        kept = went.carrydown - traffic.lay(film, under, went.carrydown, rolled.gained)
        on_ball, cover_m3, towel = went.film + kept, cover_m3 + went.cover, towel + went.towel
        assert on_ball >= -1e-20
        assert film.min() >= 0.0
    there = traffic.volume(film, AREAS) + on_ball + cover_m3 + towel
    assert there == pytest.approx(start, rel=1e-12)
    assert traffic.volume(film, AREAS) < start
