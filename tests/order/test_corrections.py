"""What brings a miss back, against paths integrated by SciPy on the lane as the miss showed it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from a_set import HOUSE, LINE, PRIORS, STYLE, bowler, owned
from scipy.integrate import solve_ivp

from arsenal import motion
from arsenal.motion.attempts import Attempt
from arsenal.motion.moves import Move, moved_line
from arsenal.motion.records import POCKET_M, WINDOW_HIGH_M, WINDOW_LOW_M, BestLine
from arsenal.order.corrections import At, Correction, corrections, move_words
from arsenal.order.missed import Missed, missed
from arsenal.surface import after_work
from arsenal.trade import Cover, Lane
from arsenal.trade.entries import Abrasive, Step, Tool
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.lane import FilmSummary
from arsenal.trade.pads import Recipe
from arsenal.trade.units import BOARD_M, FOOT_M, GRAVITY_MPS2, LANE_LENGTH_M, MPH_MPS

SET = [
    owned(1, Cover.SOLID, 2000.0), owned(2, Cover.SOLID, 500.0), owned(3, Cover.PEARL, 4000.0),
    owned(4, Cover.HYBRID, 2000.0, film_m=0.2e-6),
]  # fmt: skip
PADS = tuple(Recipe(f"{n} h", (Step(number=float(n)),)) for n in (500, 1000, 4000))
AT = At(SET, PADS)


def best_of(index: int) -> BestLine:
    ball, state = SET[index]
    grip = motion.grip(ball, state, PRIORS, STYLE, 25e-6)
    found = motion.best_line(motion.bed(HOUSE, True, PRIORS), motion.body_of(ball, state), STYLE, grip, PRIORS)
    assert isinstance(found, BestLine)
    return found


def miss(saw: str, index: int = 0, off: float | None = None, seed: int = 1) -> Missed:
    line = best_of(index).line
    return missed(bowler(), HOUSE, *SET[index], PRIORS, line=line, saw=saw, boards_off=off, seed=seed, draws=40)


def landing_by_scipy(seen: Missed, at: Attempt) -> float:
    """v and ω integrated in time with the friction met on the way; none of the program's path or friction code."""
    g, style, line = at.grip, at.style, at.line
    names = ("mu_dry", "mu_oil", "sigma_m", "film_scale", "film_on_ball_m", "pick_up", "pick_up_revs")
    dry, oil, sigma, scale, on_ball, gain, revs = (float(np.ravel(getattr(g, name))[0]) for name in names)
    r, k = at.body.radius_m, at.body.rg_m
    turn = 2.0 * math.pi * style.speed_mps / style.rev_rate_radps
    length = revs * min(max(turn, 2.0 * math.pi * r), 3.0)
    toward = line.launch_rad + style.axis_rotation_rad
    spin = style.rev_rate_radps * math.cos(style.axis_tilt_rad)
    bed = seen.shot.bed

    def rate(_: float, z: np.ndarray) -> list[float]:
        x, y, vx, vy, wx, wy, own = z
        film = float(bed.height_m(x, y))
        share = (1.0 + ((scale * film + own + on_ball) / sigma) ** 1.517) ** -1.327
        mu = share * dry + (1.0 - share) * oil
        ux, uy = vx - r * wx, vy - r * wy
        slip = math.hypot(ux, uy)
        fx, fy = (-mu * GRAVITY_MPS2 * u / slip if slip > 1e-9 else 0.0 for u in (ux, uy))
        return [vx, vy, fx, fy, -r * fx / k**2, -r * fy / k**2, vx * (gain * film - own) / length]

    def rolls(_: float, z: np.ndarray) -> float:
        return float(math.hypot(z[2] - r * z[4], z[3] - r * z[5]) - 1e-3)

    def at_pins(_: float, z: np.ndarray) -> float:
        return float(z[0] - LANE_LENGTH_M)

    rolls.terminal = at_pins.terminal = True  # type: ignore[attr-defined]
    start = [
        0.0, line.lateral_m, style.speed_mps * math.cos(line.launch_rad), style.speed_mps * math.sin(line.launch_rad),
        spin * math.cos(toward), spin * math.sin(toward), 0.0,
    ]  # fmt: skip
    done = solve_ivp(rate, (0.0, 5.0), start, events=(rolls, at_pins), rtol=1e-8, atol=1e-10, max_step=0.02)
    x, y, vx, vy = done.y[:4, -1]
    return float(y + (LANE_LENGTH_M - x) * vy / vx)


def by_kind(seen: Missed, at: At = AT) -> dict[str, Correction]:
    return {c.kind: c for c in corrections(seen, at)}


@pytest.mark.parametrize(("saw", "off"), [("high", 2.0), ("light", 2.0), ("long", 3.0), ("high", 3.0)])
def test_on_the_lane_as_it_seems_the_shot_ends_where_it_was_seen(saw: str, off: float) -> None:
    seen = miss(saw, off=off)
    expected = POCKET_M + (off if saw == "high" else -off) * BOARD_M
    assert landing_by_scipy(seen, seen.thrown) == pytest.approx(expected, abs=0.06 * BOARD_M)
    assert seen.longer_m > 0.0 if saw == "long" else seen.longer_m == 0.0


@pytest.mark.parametrize("saw", ["high", "light", "long"])
def test_a_move_or_a_speed_that_brings_it_back_does_so_when_integrated_anew(saw: str) -> None:
    seen = miss(saw)
    found = by_kind(seen)
    move, speed = found["move"], found["speed"]
    assert move.reaches or speed.reaches
    if move.move is not None:
        again = landing_by_scipy(seen, seen.thrown.on(moved_line(seen.thrown.line, move.move)))
        assert move.landing_m is not None
        assert again == pytest.approx(move.landing_m.mean, abs=0.06 * BOARD_M)
    by = float(speed.words.split()[0].replace("½", ".5")) * (1.0 if "faster" in speed.words else -1.0)
    style = replace(STYLE, speed_mps=STYLE.speed_mps + by * MPH_MPS)
    again = landing_by_scipy(seen, replace(seen.thrown, style=style))
    assert speed.landing_m is not None
    assert again == pytest.approx(speed.landing_m.mean, abs=0.06 * BOARD_M)
    for one in found.values():
        assert one.landing_m is not None
        assert one.reaches == (WINDOW_LOW_M <= one.landing_m.mean <= WINDOW_HIGH_M)
        assert (one.why_not == "") == one.reaches


def test_no_smaller_move_of_the_usual_way_would_have_done() -> None:
    seen = miss("high")
    found = by_kind(seen)["move"]
    assert found.move is not None
    assert found.reaches
    for feet in np.arange(1.0, found.move.feet_boards):
        for target in (feet, feet - 1.0, feet - 2.0):
            if target >= 0.0:
                line = moved_line(seen.thrown.line, Move(float(feet), float(target)))
                landing = motion.batch(seen.shot.bed, seen.thrown.body, STYLE.on(line), seen.thrown.grip).landing_m[0]
                assert not WINDOW_LOW_M <= landing <= WINDOW_HIGH_M


def test_a_pad_is_the_ball_after_that_pad_on_that_lane() -> None:
    seen = miss("light", off=1.0)
    found = by_kind(seen).get("pad")
    assert found is not None
    recipe = next(r for r in PADS if r.name == found.words)
    after = after_work(*SET[0], recipe.steps, PRIORS)
    grip = motion.grip(SET[0][0], after, PRIORS, STYLE, seen.shot.volume_m3)
    scaled = replace(grip, film_scale=grip.film_scale * seen.factor, pick_up=grip.pick_up * seen.factor)
    landing = landing_by_scipy(seen, replace(seen.thrown, grip=scaled))
    assert found.landing_m is not None
    assert found.landing_m.mean == pytest.approx(landing, abs=0.06 * BOARD_M)


@pytest.mark.common_practice
def test_rougher_pads_and_stronger_balls_for_light_weaker_ones_for_high() -> None:
    polish = Recipe("polish", (Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True),))
    every = replace(AT, recipes=(*PADS, polish))
    light, high = by_kind(miss("light", off=1.0), every), by_kind(miss("high"), every)
    assert light["pad"].words in ("500 h", "1000 h")
    assert high["pad"].words == "polish"
    assert by_kind(miss("light"))["ball"].words.startswith("ball up to")


def test_pads_that_the_rule_bars_stay_listed_for_the_next_block() -> None:
    seen = miss("light", off=1.0)
    barred = by_kind(seen, replace(AT, pads_allowed=False))
    assert not barred["pad"].allowed
    assert barred["pad"].landing_m == by_kind(seen)["pad"].landing_m
    assert all(one.allowed for kind, one in barred.items() if kind != "pad")


def test_a_wipe_is_told_only_where_there_is_film_to_take() -> None:
    oily = by_kind(miss("light", index=3, off=2.0))
    assert "wipe" in oily
    assert "wipe" not in by_kind(miss("high", index=3))
    assert "wipe" not in by_kind(miss("light", index=0))
    seen = miss("light", index=3, off=2.0)
    thrown = seen.thrown
    left = max(0.25 * float(thrown.grip.film_on_ball_m[0]), 0.05e-6)
    landing = landing_by_scipy(seen, replace(thrown, grip=motion.with_film(thrown.grip, left)))
    assert oily["wipe"].landing_m is not None
    assert oily["wipe"].landing_m.mean == pytest.approx(landing, abs=0.06 * BOARD_M)


def test_the_same_seed_gives_the_same_numbers_and_another_seed_the_same_means() -> None:
    first, again, other = (corrections(miss("high", seed=s), AT) for s in (1, 1, 2))
    assert first == again
    assert [c.words for c in first] == [c.words for c in other]
    for a, b in zip(first, other, strict=True):
        assert a.landing_m is not None
        assert b.landing_m is not None
        assert a.landing_m.mean == pytest.approx(b.landing_m.mean, abs=1e-6)
        assert a.landing_m.sd != b.landing_m.sd


def test_another_ball_is_less_sure_than_a_move_with_this_one() -> None:
    found = by_kind(miss("light"))
    assert found["ball"].landing_m is not None
    assert found["move"].landing_m is not None
    assert found["ball"].landing_m.sd > found["move"].landing_m.sd


def test_a_miss_that_no_film_explains_is_said_to_be_none_of_the_lane() -> None:
    dry = Lane(9, "dry", FilmSummary(41 * FOOT_M, 0.0, 8.0))
    seen = missed(bowler(), dry, *SET[0], PRIORS, line=LINE, saw="light", draws=10)
    assert not seen.explained
    assert corrections(seen, AT) == ()


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(KnownError, match="not known here"):
        miss("sideways")
    for off in (0.0, -2.0, 30.0, math.nan):
        with pytest.raises(OutOfRange):
            miss("high", off=off)


@pytest.mark.parametrize(
    ("move", "left", "words"),
    [
        (Move(2, 2), True, "2 left"), (Move(-2, -1), True, "2 and 1 right"), (Move(1, 0), True, "feet 1 left"),
        (Move(2, 1), False, "2 and 1 right"), (Move(0.5, 0.5), True, "½ left"),
    ],
)  # fmt: skip
def test_a_move_is_said_as_bowlers_say_it(move: Move, left: bool, words: str) -> None:
    assert move_words(move, left) == words
