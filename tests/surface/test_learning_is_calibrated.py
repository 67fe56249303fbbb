"""Made-up balls, houses and pads whose truth is known: what is learned lies as near to it as its spread says."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np
import pytest
from surface_log import DAY, PRIORS, ball, entry, hand, machine, new, played, sanded, scanner

from arsenal.surface import Learned, fold, learned, taught
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Entry
from arsenal.trade.lane import FilmSummary, Lane

S = PRIORS.surface
LANES = {i: Lane(i, f"lane {i}", FilmSummary(12.5, 25e-6, 8.0), house=f"house {i}") for i in range(40)}
LEVEL = math.log(S.ra_at_500_m) - S.ra_exponent * math.log(500.0)
HOUSES, BALLS = 40, 4


@dataclass
class Truth:
    """One ball's own numbers, drawn from the priors, and its surface while it is worked on and played."""

    rng: np.random.Generator
    house: float
    pads: dict[int, float]

    def __post_init__(self) -> None:
        r = self.rng.normal
        self.offset, self.by_hand = r(0, S.ra_ln_sd), r(0, S.hand_ln_sd)
        self.pace, self.settled = r(0, S.pace_ln_sd), r(math.log(4500), S.settled_ln_sd)
        self.fast = self.slow = self.lay = 0.0
        self.meter = r(0, S.instrument_ln_sd)

    def box(self, grit: float) -> None:
        gap = self.settled - self.rng.normal(math.log(grit), math.hypot(S.pad_ln_sd, S.box_ln_sd))
        a = self.rng.normal(S.fast_share, S.fast_share_sd)
        self.fast, self.slow = gap * a, gap * (1 - a)

    def light_pass(self, grit: float, pad: int) -> None:
        slope = -math.log1p(-S.light_pass) * (1 - S.light_pass)
        own = math.sqrt(S.light_pass_sd**2 - (slope * S.pad_cut_ln_sd) ** 2)
        c = -math.expm1(math.log1p(-S.light_pass) * math.exp(self.pads[pad])) + self.rng.normal(0, own)
        gap, a = (
            self.settled - self.rng.normal(math.log(grit), S.pad_ln_sd),
            self.rng.normal(S.fast_share, S.fast_share_sd),
        )
        self.fast, self.slow = (1 - c) * self.fast + c * gap * a, (1 - c) * self.slow + c * gap * (1 - a)
        keeps = 1 - S.light_pass * S.offset_renewed
        self.offset = keeps * self.offset + self.rng.normal(0, S.ra_ln_sd * math.sqrt(1 - keeps**2))
        self.lay += S.light_pass * (1 - self.lay)

    def play(self, games: float) -> None:
        n = games / math.exp(self.pace + self.house)
        self.fast *= math.exp(-n / S.tau_fast_games)
        self.slow *= math.exp(-n / S.tau_slow_games[Cover.SOLID])

    @property
    def ln_ra(self) -> float:
        grit = self.settled - self.fast - self.slow
        return LEVEL + S.ra_exponent * grit + self.offset + self.lay * self.by_hand

    def read(self) -> float:
        """A scanner's number."""
        seen = self.ln_ra + self.meter + self.rng.normal(0, S.scanner_ln_sd * -S.ra_exponent)
        return math.exp((seen - LEVEL) / S.ra_exponent)


def life(ball_id: int, house: int, of: Truth) -> list[Entry]:
    """Set, read, played and read three times, then a light pass read before and after."""
    told = [new(machine(600))]
    of.box(600)
    told.append(scanner(of.read()))
    for games in (3, 6, 9):
        of.play(games)
        told += [played(games, lane=house), scanner(of.read())]
    of.light_pass(500, house)
    told += [sanded(hand(500, pad_id=house)), scanner(of.read())]
    made = [entry(i + 1, *t, on=DAY + timedelta(days=i)) for i, t in enumerate(told)]
    return [replace(e, ball_id=ball_id) for e in made]


@dataclass
class World:
    houses: np.ndarray
    pads: np.ndarray
    truths: dict[int, Truth]
    logs: dict[int, list[Entry]]
    where: dict[int, int]
    together: Learned


@pytest.fixture(scope="module")
def world() -> World:
    rng = np.random.default_rng(11)
    houses, pads = rng.normal(0, S.house_pace_ln_sd, HOUSES), rng.normal(0, S.pad_cut_ln_sd, HOUSES)
    where = {1 + h * BALLS + k: h for h in range(HOUSES) for k in range(BALLS)}
    truths = {i: Truth(rng, houses[h], {h: pads[h]}) for i, h in where.items()}
    logs = {i: life(i, h, truths[i]) for i, h in where.items()}
    said = [taught(replace(ball(), id=i), logs[i], PRIORS, lanes=LANES) for i in logs]
    return World(houses, pads, truths, logs, where, learned(said, PRIORS))


def holds(off: np.ndarray, sd: np.ndarray) -> None:
    """Mean square of what it is off by, in spreads, and the share within 1.28 of them: 1 and 80 %."""
    z = off / sd
    assert 0.6 < float((z**2).mean()) < 1.6
    assert 0.65 < float((np.abs(z) < 1.2816).mean()) < 0.93


def test_a_houses_pace_lies_where_four_balls_say(world: World) -> None:
    known = [world.together.houses[f"house {h}"] for h in range(HOUSES)]
    off = np.array([k.mean for k in known]) - world.houses
    holds(off, np.array([k.sd for k in known]))
    assert float((off**2).mean()) < 0.85 * float((world.houses**2).mean())


def test_a_pads_cut_lies_where_four_balls_say(world: World) -> None:
    known = [world.together.pads[h] for h in range(HOUSES)]
    off = np.array([k.mean for k in known]) - world.pads
    holds(off, np.array([k.sd for k in known]))
    assert float((off**2).mean()) < float((world.pads**2).mean())


def test_a_balls_pace_and_finish_lie_where_its_readings_say(world: World) -> None:
    off_pace, sd_pace, off_ra, sd_ra = [], [], [], []
    for i, truth in world.truths.items():
        state = fold(replace(ball(), id=i), world.logs[i], PRIORS, lanes=LANES)
        both = math.log(state.wear_pace.mean * state.house_pace.mean)
        off_pace.append(both - truth.pace - truth.house)
        sd_pace.append(
            math.hypot(state.wear_pace.sd / state.wear_pace.mean, state.house_pace.sd / state.house_pace.mean)
        )
        off_ra.append(state.ln_ra_m.mean - truth.ln_ra)
        sd_ra.append(state.ln_ra_m.sd)
    holds(np.array(off_ra), np.array(sd_ra))
    drawn = np.array([t.pace + t.house for t in world.truths.values()])
    assert float((np.array(off_pace) ** 2).mean()) < 0.6 * float((drawn**2).mean())
    assert float(((np.array(off_pace) / np.array(sd_pace)) ** 2).mean()) < 1.5


def test_what_the_others_say_of_a_house_helps_a_ball_that_nobody_reads(world: World) -> None:
    plain, taught_off = [], []
    for i, truth in world.truths.items():
        others = [j for j, h in world.where.items() if h == world.where[i] and j != i]
        said = learned((taught(replace(ball(), id=j), world.logs[j], PRIORS, lanes=LANES) for j in others), PRIORS)
        bare = [e for e in world.logs[i] if e.kind != "reading"][:-1]
        for found, given in ((plain, Learned()), (taught_off, said)):
            state = fold(replace(ball(), id=i), bare, PRIORS, lanes=LANES, learned=given)
            found.append((math.log(state.house_pace.mean) - truth.house) ** 2)
    assert sum(taught_off) < 0.92 * sum(plain)
