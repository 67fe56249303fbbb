"""Rooms of many finishes read off one curve, held against the room worked out for that finish itself."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from arsenal.motion import at_arrows, bed, body_of, grip, landings, reference, trace
from arsenal.motion.lines import most_room
from arsenal.motion.records import POCKET_M, WINDOW_HIGH_M, WINDOW_LOW_M
from arsenal.plan.bag_rooms import Beds, Curve, Thrower, curve, curves, own, ready, room_of
from arsenal.plan.own_lines import own_line
from arsenal.plan.stages import Could, LaneStage, Told
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade import FilmSummary, Lane, Style
from arsenal.trade.priors import default_priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MICROINCH_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

PRIORS = default_priors()
LANE = Lane(1, "house", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0))
THROWER = Thrower(Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD), True)
FRESH = Told(0.0, 1.0, 1.0, 0.0, 0.0)
BALL, STATE = reference(PRIORS)


def on(*could: Could) -> Beds:
    stage = LaneStage("fresh", "Fresh", 0, None, FRESH, LANE, could or (Could(1.0, LANE),))
    return ready([stage], THROWER, PRIORS)[0]


def at(ra_microinch: float, sd: float = 0.0) -> SurfaceState:
    return replace(STATE, ln_ra_m=Estimate(math.log(ra_microinch * MICROINCH_M), sd), film_m=ZERO)


SURE = replace(PRIORS, doubt=replace(PRIORS.doubt, response_sd=0.0, ball_ln_mu_sd=0.0))


@pytest.mark.parametrize("ra", [6.0, 14.8, 30.0])
def test_a_finish_read_off_the_curve_has_the_room_it_has_by_itself(ra: float) -> None:
    made = curve(on(), BALL, STATE, THROWER, SURE, (math.log(4 * MICROINCH_M), math.log(42 * MICROINCH_M)))
    lane, style = bed(LANE, True, PRIORS), THROWER.style
    held = grip(BALL, at(ra), PRIORS, style, float(lane.volume_m3[0]))
    alone = most_room(lane, body_of(BALL, STATE), style, [held])[0]
    # five knots, straight between: within three shots in a hundred, less than the four that count in a bag
    assert room_of(made, at(ra), SURE).mean == pytest.approx(alone, abs=0.03)


def test_room_does_not_jump_as_a_finish_changes_a_little() -> None:
    lane, style, body = bed(LANE, True, PRIORS), THROWER.style, body_of(BALL, STATE)
    grips = [grip(BALL, at(ra), PRIORS, style, float(lane.volume_m3[0])) for ra in np.geomspace(5.0, 40.0, 25)]
    rooms = np.array(most_room(lane, body, style, grips))
    assert np.abs(np.diff(rooms)).max() < 0.035
    # looked for between the boards, no line has less room than the best on whole boards
    for table, room in zip(landings.tables(lane, body, style, grips), rooms, strict=True):
        laydown, launch = landings.roots(table.nodes, table.landing_m, style.zone, POCKET_M)
        whole = landings.room(table, style.scatter, laydown, launch, WINDOW_LOW_M, WINDOW_HIGH_M)
        assert room >= whole.max() - 1e-9


def test_the_own_line_lands_on_the_pocket_with_nearly_the_most_room() -> None:
    lane, style, body = bed(LANE, True, PRIORS), THROWER.style, body_of(BALL, STATE)
    held = grip(BALL, at(14.8), PRIORS, style, float(lane.volume_m3[0]))
    found = own_line(lane, body, style, held, PRIORS)
    assert found.line is not None
    assert found.trace is not None
    assert found.trace.landing_m == pytest.approx(POCKET_M, abs=2e-3)


def test_where_no_line_reaches_the_pocket_it_says_why() -> None:
    dry = replace(LANE, film=FilmSummary(40 * FOOT_M, 0.1 * MILLILITRE_M3, 1.0))
    slow = replace(THROWER.style, speed_mps=4.0, rev_rate_radps=60.0)
    held = grip(BALL, at(40.0), PRIORS, slow, 1e-7)
    found = own_line(bed(dry, True, PRIORS), body_of(BALL, STATE), slow, held, PRIORS)
    assert found.line is None
    assert "ine within reach" in found.why


def line_curve(slope: float, spread: float = 0.0) -> Curve:
    """Room that grows evenly with ln Ra, on three ways of a lane."""
    ln_ra = np.linspace(-3.0, 3.0, 61)
    middle = 0.3 + slope * ln_ra
    return Curve(ln_ra, np.array([middle, middle - spread, middle + spread]), np.array([2 / 3, 1 / 6, 1 / 6]), 0.05)


def test_doubt_of_roughness_lane_and_ball_adds_up_as_independent_spreads_do() -> None:
    state = replace(STATE, ln_ra_m=Estimate(0.0, 0.4))
    found = room_of(line_curve(0.1, 0.06), state, SURE)
    assert found.mean == pytest.approx(0.3)
    # variances: slope² sd², weights × spread², friction² — each worked out by hand
    assert found.sd == pytest.approx(math.sqrt(0.1**2 * 0.4**2 + 0.06**2 / 3.0 + 0.05**2))


def test_a_ball_whose_answer_to_roughness_is_unknown_is_less_sure_the_farther_from_the_reference() -> None:
    mark = math.log(PRIORS.friction.reference_ra_m)
    made = Curve(np.linspace(mark - 9, mark + 9, 61), np.linspace(0.0, 0.9, 61)[None, :], np.ones(1), 0.0)
    near, far = (room_of(made, replace(STATE, ln_ra_m=Estimate(mark + d, 0.1)), PRIORS).sd for d in (0.0, 1.0))
    assert far > near
    slope = 0.9 / 18.0
    assert far == pytest.approx(slope * math.hypot(0.1, PRIORS.doubt.response_sd))


def test_every_way_of_the_lane_is_thrown_on() -> None:
    ways = (Could(2 / 3, LANE), Could(1 / 6, LANE, -0.3), Could(1 / 6, LANE, 0.3))
    made = curve(on(*ways), BALL, STATE, THROWER, PRIORS, (-12.0, -11.9))
    assert made.rooms.shape == (3, made.ln_ra.size)
    assert not np.allclose(made.rooms[0], made.rooms[1])
    assert on(*ways).beds[1].film.along.max() == pytest.approx(on(*ways).beds[0].film.along.max() * math.exp(-0.3))


def test_rooms_worked_out_together_are_those_of_each_by_itself() -> None:
    other = Lane(2, "long", FilmSummary(46 * FOOT_M, 28 * MILLILITRE_M3, 3.0))
    ways = (Could(0.5, LANE), Could(0.1, LANE, -0.3), Could(0.1, LANE, 0.3), Could(0.2, other), Could(0.1, other, 0.2))
    beds, reach = on(*ways), (math.log(5 * MICROINCH_M), math.log(35 * MICROINCH_M))
    made = curve(beds, BALL, STATE, THROWER, PRIORS, reach)
    for k, lane in enumerate(beds.beds):  # each way's own film, one grip at a time
        for knot, ln_ra in enumerate(made.ln_ra):
            state = replace(STATE, ln_ra_m=Estimate(float(ln_ra), 0.0), film_m=ZERO)
            held = grip(BALL, state, PRIORS, THROWER.style, beds.volume_m3)
            (alone,) = most_room(lane, body_of(BALL, STATE), THROWER.style, [held])
            assert made.rooms[k, knot] == pytest.approx(alone, abs=1e-6)


def test_curves_are_kept_by_what_they_are_made_of_and_progress_is_told() -> None:
    kept: dict[object, Curve] = {}
    told: list[tuple[int, int]] = []

    def keep(key: object, make: object) -> Curve:
        if key not in kept:
            kept[key] = make()  # type: ignore[operator]
        return kept[key]

    beds = (on(),)
    balls = [(BALL, [STATE, at(30.0, 0.1)]), (replace(BALL, id=2), [STATE])]
    first = curves(beds, balls, THROWER, PRIORS, keep=keep, progress=lambda done, of: told.append((done, of)))
    again = curves(beds, balls, THROWER, PRIORS, keep=keep)
    assert told == [(0, 2), (1, 2), (2, 2)]
    assert set(first) == {(BALL.id, "fresh"), (2, "fresh")}
    assert all(again[k] is first[k] for k in first)
    curves(beds, [(BALL, [at(30.0, 0.1)])], THROWER, PRIORS, keep=keep)
    assert len(kept) == 3  # another surface is another curve


def test_misses_that_still_hit_are_told_on_both_sides_of_the_line() -> None:
    found = own(on(), BALL, STATE, THROWER, PRIORS)
    assert found.line is not None
    lane, style = bed(LANE, True, PRIORS), THROWER.style
    held = grip(BALL, replace(STATE, film_m=ZERO), PRIORS, style, float(lane.volume_m3[0]))
    misses = np.arange(0.05, 3.0, 0.1)
    arrows = at_arrows(found.line)[0]
    for sign, told in ((1.0, found.in_boards), (-1.0, found.out_boards)):
        hits = 0
        for miss in sign * misses:
            launch = math.atan(math.tan(found.line.launch_rad) + miss * BOARD_M / arrows)
            path = trace(lane, body_of(BALL, STATE), style.on(Line(found.line.lateral_m, launch)), held)
            hits += WINDOW_LOW_M <= path.landing_m <= WINDOW_HIGH_M
        assert told == pytest.approx(0.1 * hits, abs=0.21)


def test_a_line_found_between_boards_lands_where_the_table_says() -> None:
    lane, style, body = bed(LANE, True, PRIORS), THROWER.style, body_of(BALL, STATE)
    held = grip(BALL, at(14.8), PRIORS, style, float(lane.volume_m3[0]))
    table = landings.table(lane, body, style, held)
    for laydowns in (np.array([0.51]), np.array([0.40, 0.41, 0.52])):  # one alone; not evenly apart
        laydown, launch = landings.on_laydowns(
            table.nodes, table.landing_m, style.zone, POCKET_M, laydowns
        )  # fmt: skip
        assert laydown.size
        for y, turned in zip(laydown, launch, strict=True):
            path = trace(lane, body, style.on(Line(float(y), float(turned))), held)
            assert path.landing_m == pytest.approx(POCKET_M, abs=3e-3)
