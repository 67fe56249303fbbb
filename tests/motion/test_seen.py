"""The lane as one shot shows it."""

from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import bed, body_of, seen
from arsenal.motion.attempts import Attempt, Drawn, drawn_landings, lands
from arsenal.motion.beds import beds
from arsenal.trade.lane import FilmGrid, FilmSummary, UnknownHouse
from arsenal.trade.units import BOARD_M, FOOT_M

BODY = body_of(ball_of()[0])
LANE = bed(house(), True, PRIORS)
THROWN = Attempt(BODY, STYLE, grip_of(), LINE)


def landing(at: Attempt) -> float:
    return float(lands(LANE, [at]).landing_m[0])


def test_a_factor_on_the_film_is_as_much_more_oil_on_the_lane() -> None:
    thicker = bed(house(41, 25 * 1.3), True, PRIORS)
    scaled = replace(THROWN, grip=seen.on_film(THROWN.grip, 1.3))
    assert landing(scaled) == pytest.approx(float(lands(thicker, [THROWN]).landing_m[0]), abs=1e-5)


@pytest.mark.parametrize("boards", [-4.0, -1.0, 0.0, 2.0, 3.0])
def test_the_shot_then_ends_where_it_was_seen(boards: float) -> None:
    wanted = landing(THROWN) + boards * BOARD_M
    factor = seen.film_factor(LANE, THROWN, wanted)
    assert factor is not None
    assert landing(replace(THROWN, grip=seen.on_film(THROWN.grip, factor))) == pytest.approx(wanted, abs=2e-5)
    assert (factor < 1.0) == (boards > 0.0) or boards == 0.0
    if boards == 0.0:
        assert factor == pytest.approx(1.0, abs=1e-3)


def test_where_no_film_ends_it_there_that_is_said() -> None:
    assert seen.film_factor(LANE, THROWN, landing(THROWN) + 30 * BOARD_M) is None


def test_every_draw_is_brought_to_where_it_was_seen() -> None:
    n = 60
    stack = beds(house(), True, PRIORS, rng=np.random.default_rng(2), n=n)
    drawn = Drawn(grip_of().repeat(n), np.full(n, BODY.radius_m), np.full(n, BODY.rg_m))
    at = replace(THROWN, drawn=drawn)
    wanted = landing(THROWN) + BOARD_M * np.random.default_rng(4).uniform(-2.0, 2.0, n)
    factors = seen.film_factors(stack, at, wanted)
    assert drawn_landings(stack, [seen.as_seen(at, 1.0, factors)])[0] == pytest.approx(wanted, abs=2e-5)


@pytest.mark.parametrize(
    "film",
    [
        FilmSummary(41 * FOOT_M, 25e-6, 8.0),
        UnknownHouse(),
        FilmGrid((0.0, 12.0, 12.5, 18.0), (1.0, 20.0, 39.0), ((5e-6,) * 3, (5e-6,) * 3, (0.0,) * 3, (0.0,) * 3)),
    ],
)
def test_longer_oil_ends_so_much_farther_and_reads_later(film: FilmSummary | UnknownHouse | FilmGrid) -> None:
    lane = replace(house(), film=film)
    before = bed(lane, True, PRIORS)
    after = bed(seen.longer(lane, 3 * FOOT_M, before.length_m), True, PRIORS)
    assert after.length_m == pytest.approx(before.length_m + 3 * FOOT_M, abs=0.1)
    near = [float(b.height_m(3.0, 0.5)) for b in (before, after)]
    assert near[1] == pytest.approx(near[0], rel=0.05)
    first, later = (lands(b, [THROWN]) for b in (before, after))
    assert later.rolls_m[0] > first.rolls_m[0]
    assert later.landing_m[0] < first.landing_m[0]
