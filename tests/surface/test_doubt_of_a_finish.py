"""How well the finish is known: readings, and the filter against drawing everything unknown."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from surface_log import (
    PRIORS,
    ball,
    hand,
    log,
    machine,
    new,
    played,
    read_ra,
    sanded,
    scanner,
    used,
)  # fmt: skip

from arsenal.surface import SurfaceState, after_work, fold, foresee
from arsenal.surface.finish import FAST, HOUSE, OFFSET, PAD, SETTLED_IN, SIZE, SLOW, Finish
from arsenal.surface.work import Closure, closure
from arsenal.trade.ball import Cover
from arsenal.trade.units import MICROINCH_M


def set_at(number: float, cover: Cover = Cover.SOLID) -> SurfaceState:
    return fold(ball(cover), log(new(machine(number))), PRIORS)


def test_a_reading_pulls_the_estimate_toward_itself_and_narrows_it() -> None:
    before = fold(ball(), log(new(machine(1000)), played(5)), PRIORS)
    for value in (1800, 3200):
        after = fold(ball(), log(new(machine(1000)), played(5), scanner(value)), PRIORS)
        assert abs(math.log(after.grit / value)) < 0.3 * abs(math.log(before.grit / value))
        assert after.ln_ra_m.sd < 0.5 * before.ln_ra_m.sd


def test_ra_and_scanner_grit_of_one_surface_say_the_same() -> None:
    by_ra = fold(ball(), log(new(machine(1000)), read_ra(14.85 * MICROINCH_M)), PRIORS)
    by_grit = fold(ball(), log(new(machine(1000)), scanner(2000)), PRIORS)
    assert by_ra.grit == pytest.approx(by_grit.grit, rel=0.02)


def test_five_readings_at_one_sitting_know_less_than_five_instruments() -> None:
    one = log(used(), *[scanner(2000)] * 5, days=0)
    five = log(used(), *[scanner(2000, by=f"scanner {i}") for i in range(5)], days=0)
    single = log(used(), scanner(2000))
    sds = [fold(ball(), entries, PRIORS).ln_ra_m.sd for entries in (five, one, single)]
    assert sds == sorted(sds)
    assert sds[1] > PRIORS.surface.instrument_ln_sd * 0.9


def test_readings_at_one_sitting_count_by_their_mean() -> None:
    spread = fold(ball(), log(used(), *[scanner(v) for v in (1800, 2000, 2222)], days=0), PRIORS)
    same = fold(ball(), log(used(), *[scanner(2000)] * 3, days=0), PRIORS)
    assert spread.grit == pytest.approx(same.grit, rel=1e-3)


def test_two_readings_weeks_apart_teach_the_pace_of_wear() -> None:
    told = [new(machine(500)), scanner(500), played(12), scanner(1200), played(12), scanner(1500)]
    slow = fold(ball(), log(*told), PRIORS)
    quick = fold(ball(), log(*told[:3], scanner(4200), played(12), scanner(4400)), PRIORS)
    assert slow.wear_pace.mean > 1.2
    assert quick.wear_pace.mean < 1.0
    assert slow.wear_pace.sd / slow.wear_pace.mean < PRIORS.surface.tau_slow_ln_sd


def test_what_was_lost_is_surer_than_what_is_there() -> None:
    state = fold(ball(), log(new(machine(1000)), played(8)), PRIORS)
    assert state.settled_in is not None
    assert state.settled_in.lost_ln.mean < 0
    assert state.settled_in.lost_ln.sd < 0.5 * state.ln_ra_m.sd
    assert state.settled_in.ln_ra_m + state.settled_in.lost_ln.mean == pytest.approx(state.ln_ra_m.mean)


def test_what_a_pad_would_change_is_surer_than_what_is_there() -> None:
    state = fold(ball(), log(new(machine(3000)), played(20)), PRIORS)
    after = after_work(ball(), state, (hand(1000),), PRIORS)
    assert after.changed_ln.mean == pytest.approx(after.ln_ra_m.mean - state.ln_ra_m.mean)
    assert 0 < after.changed_ln.sd < after.ln_ra_m.sd


def test_nothing_is_lost_before_the_finish_has_settled_in() -> None:
    for games in (0.5, 1.9):
        state = fold(ball(), log(new(machine(500)), played(games)), PRIORS)
        assert state.settled_in is not None
        assert state.settled_in.lost_ln.mean == 0
        assert state.settled_in.ln_ra_m == state.ln_ra_m.mean
    state = fold(ball(), log(new(machine(500)), played(7)), PRIORS)
    assert state.settled_in is not None
    assert state.settled_in.ln_ra_m == pytest.approx(foresee(ball(), set_at(500), 2, PRIORS).ln_ra_m.mean)


class Drawn:
    """Everything unknown drawn: box 3000, 3 games, a light hand pass with a 500, 4 ± 1.2 games. ln Ra at each stage."""

    def __init__(self, seed: int, count: int = 400_000) -> None:
        s, rng = PRIORS.surface, np.random.default_rng(seed)

        def normal(mean: float, sd: float) -> np.ndarray:
            return rng.normal(mean, sd, count)

        def ln_ra() -> np.ndarray:
            return math.log(42 * MICROINCH_M) - 0.75 * (settled - g_f - g_s - math.log(500)) + offset

        offset, pace = normal(0, s.ra_ln_sd), np.exp(normal(0, s.tau_slow_ln_sd))
        by_hand = normal(0, s.hand_ln_sd)  # how far a hand finish lies from a spinner's on this ball
        settled = normal(math.log(s.settled_grit[Cover.SOLID]), s.settled_ln_sd)
        fast = normal(s.fast_share, s.fast_share_sd)
        gap = settled - normal(math.log(3000), math.hypot(s.pad_ln_sd, s.box_ln_sd))
        g_f, g_s = gap * fast, gap * (1 - fast)
        g_f, g_s = g_f * np.exp(-3 / (s.tau_fast_games * pace)), g_s * np.exp(-3 / (15 * pace))
        self.before_pad = ln_ra()
        share, fast = normal(s.light_pass, s.light_pass_sd), normal(s.fast_share, s.fast_share_sd)
        gap = settled - normal(math.log(500), s.pad_ln_sd)
        g_f, g_s = (1 - share) * g_f + share * gap * fast, (1 - share) * g_s + share * gap * (1 - fast)
        keeps = 1 - s.light_pass * s.offset_renewed
        offset = keeps * offset + normal(0, s.ra_ln_sd * math.sqrt(1 - keeps**2)) + share * by_hand
        self.after_pad = ln_ra()
        games = np.maximum(normal(4, 1.2), 0)
        fast_set, slow_set = g_f, g_s
        g_f, g_s = fast_set * np.exp(-2 / (s.tau_fast_games * pace)), slow_set * np.exp(-2 / (15 * pace))
        self.settled_in = ln_ra()
        g_f, g_s = fast_set * np.exp(-games / (s.tau_fast_games * pace)), slow_set * np.exp(-games / (15 * pace))
        self.after_games = ln_ra()

    def given_reading(self, grit: float) -> tuple[float, float]:
        """Mean and sd of ln Ra at the end, weighed by a scanner that reads `grit`."""
        s = PRIORS.surface
        says = math.log(42 * MICROINCH_M) - 0.75 * math.log(grit / 500)
        off = (self.after_games - says) ** 2
        weight = np.exp(-0.5 * off / (s.instrument_ln_sd**2 + (0.75 * s.scanner_ln_sd) ** 2))
        mean = float(np.average(self.after_games, weights=weight))
        return mean, math.sqrt(float(np.average((self.after_games - mean) ** 2, weights=weight)))


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    return Drawn(1)


TOLD = (new(machine(3000)), played(3), sanded(hand(500)), played(4, sd=0.3))


def test_the_filter_knows_a_box_finish_as_well_as_drawing_everything_unknown(drawn: Drawn) -> None:
    state = fold(ball(), log(*TOLD[:2]), PRIORS)
    assert state.ln_ra_m.mean == pytest.approx(float(drawn.before_pad.mean()), abs=0.01)
    assert state.ln_ra_m.sd == pytest.approx(float(drawn.before_pad.std()), rel=0.02)


def test_the_filter_knows_the_finish_as_well_as_drawing_everything_unknown(drawn: Drawn) -> None:
    state = fold(ball(), log(*TOLD), PRIORS)
    assert state.ln_ra_m.mean == pytest.approx(float(drawn.after_games.mean()), abs=0.02)
    assert state.ln_ra_m.sd == pytest.approx(float(drawn.after_games.std()), rel=0.03)


def test_the_filter_knows_what_a_pad_changed_as_well_as_drawing_everything_unknown(drawn: Drawn) -> None:
    change = drawn.after_pad - drawn.before_pad
    ahead = after_work(ball(), fold(ball(), log(*TOLD[:2]), PRIORS), (hand(500),), PRIORS).changed_ln
    assert ahead.mean == pytest.approx(float(change.mean()), abs=0.02)
    assert ahead.sd == pytest.approx(float(change.std()), rel=0.05)


def test_the_filter_knows_what_was_lost_as_well_as_drawing_everything_unknown(drawn: Drawn) -> None:
    lost = drawn.after_games - drawn.settled_in
    state = fold(ball(), log(*TOLD), PRIORS)
    assert state.settled_in is not None
    assert state.settled_in.lost_ln.mean == pytest.approx(float(lost.mean()), abs=0.02)
    assert state.settled_in.lost_ln.sd == pytest.approx(float(lost.std()), rel=0.20)  # games, pace and share multiply


def test_the_filter_learns_from_a_reading_as_weighing_the_draws_does(drawn: Drawn) -> None:
    state = fold(ball(), log(*TOLD, scanner(2300)), PRIORS)
    mean, sd = drawn.given_reading(2300)
    assert state.ln_ra_m.mean == pytest.approx(mean, abs=0.02)
    assert state.ln_ra_m.sd == pytest.approx(sd, rel=0.05)


def wandering(seed: int) -> Finish:
    """A finish with everything unknown tied to everything else."""
    finish, rng = Finish(Cover.SOLID, PRIORS), np.random.default_rng(seed)
    finish.x[:5] = [float(v) for v in rng.normal([0.5, 0.8, 0.0, 0.0, 8.4], 0.3)]
    finish.x[HOUSE], finish.lay = 0.2, 0.3
    root = rng.normal(0, 0.2, (SIZE, SIZE))
    finish.p = [[float(v) for v in row] for row in root @ root.T]
    return finish


def light_pass(ln_cut: float) -> Closure:
    """What the pad's own cut makes of a light pass, the rest of its doubt left out."""
    return replace(closure(hand(500), (3.0, 0.0), PRIORS.surface, ln_cut), sd=0.0)


MOVES = {
    "shine": lambda f: f.shine(2.3),
    "shine twice": lambda f: (f.shine(0.7), f.shine(11.0)),
    "coarser": lambda f: f.sand(Closure(0.4), math.log(500), 0.0, by_hand=True),
    "much finer": lambda f: f.sand(Closure(0.4), math.log(12000), 0.0, by_hand=False),
    "a pad that cuts as it cuts": lambda f: f.sand(light_pass(f.x[PAD]), math.log(500), 0.0, by_hand=False),
    "polish": lambda f: f.polish(Closure(0.6), 4 * MICROINCH_M, 0.0, by_hand=False),
    "mark": lambda f: f.mark(SETTLED_IN),
    "another house": lambda f: f.take_up(HOUSE, 0.1, 0.02),
}


@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES.keys())
@pytest.mark.parametrize("seed", range(3))
def test_doubt_is_carried_by_the_slopes_of_the_mean(move: Callable[[Finish], None], seed: int) -> None:
    def mean_after(i: int, by: float) -> np.ndarray:
        finish = wandering(seed)
        finish.x[i] += by
        move(finish)
        return np.array(finish.x)

    slopes = np.column_stack([(mean_after(i, 1e-5) - mean_after(i, -1e-5)) / 2e-5 for i in range(SIZE)])
    before, after = wandering(seed), wandering(seed)
    move(after)
    own = np.array(after.p) - slopes @ np.array(before.p) @ slopes.T
    own[OFFSET, OFFSET] = 0.0  # what a sanding draws anew
    own[:2, :2] -= own[0, 0] * np.array([[1, -1], [-1, 1]])  # how a sanding splits fast from slow
    own[HOUSE, HOUSE] *= after.x[HOUSE] == before.x[HOUSE]  # what is taken up comes with its own doubt
    assert np.abs(own).max() < 1e-8


def test_how_a_sanding_splits_fast_from_slow_is_doubted_as_much_as_its_prior_says() -> None:
    s, finish = PRIORS.surface, Finish(Cover.SOLID, PRIORS)
    finish.p = [[0.0] * SIZE for _ in range(SIZE)]
    finish.sand(Closure(1.0), math.log(500), 0.0, by_hand=False)
    whole = math.log(s.settled_grit[Cover.SOLID] / 500)
    assert math.sqrt(finish.p[FAST][FAST]) == pytest.approx(whole * s.fast_share_sd)
    assert finish.p[FAST][SLOW] == pytest.approx(-finish.p[FAST][FAST])
