"""The line with the most room, and where misses from it end."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from usual import LINE, PRIORS, STYLE, ball_of, grip_of, house

from arsenal.motion import (
    Bed,
    Grip,
    arrow_distance_m,
    at_arrows,
    batch,
    bed,
    best_line,
    body_of,
    landings,
    roll,
    steps,
    trace,
    word_of,
)
from arsenal.motion.records import POCKET_M, WINDOW_HIGH_M, WINDOW_LOW_M, BestLine, NoLine
from arsenal.trade.ball import Cover
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import FilmGrid, Lane
from arsenal.trade.release import Line, Style, Zone
from arsenal.trade.units import BOARD_M, DEGREE_RAD, MPH_MPS, RPM_RADPS, board_to_lateral_m, lateral_m_to_board

BODY = body_of(ball_of()[0])
LANE = bed(house(), True, PRIORS)
FOUND = best_line(LANE, BODY, STYLE, grip_of(), PRIORS)


def found() -> BestLine:
    assert isinstance(FOUND, BestLine)
    return FOUND


def test_it_ends_in_the_pocket() -> None:
    assert found().trace.landing_m == pytest.approx(POCKET_M, abs=0.1 * BOARD_M)
    assert [m.word for m in found().misses if m.boards == 0.0] == ["flush"]


def test_it_stays_in_the_zone_and_on_the_lane() -> None:
    line, zone = found().line, STYLE.zone
    assert zone.lateral_low_m <= line.lateral_m <= zone.lateral_high_m
    assert zone.launch_low_rad <= line.launch_rad <= zone.launch_high_rad
    assert found().trace.lateral_m.min() >= board_to_lateral_m(1.9)
    assert found().trace.left_lane_m is None


def share_thrown(film: Bed, grip: Grip, line: Line) -> float:
    """Share of 20,000 thrown shots that land in the window (sd 0.0035)."""
    rng, n, s = np.random.default_rng(3), 20_000, STYLE.scatter
    z = rng.standard_normal((5, n))
    throws = landings.thrown(
        STYLE, BODY, line.lateral_m + s.laydown_m * z[0], line.launch_rad + s.launch_rad * z[1]
    )  # fmt: skip
    throws = landings.changed(
        throws,
        speed_mps=STYLE.speed_mps + s.speed_mps * z[2],
        rev_rate_radps=STYLE.rev_rate_radps * (1.0 + s.revs_fraction * z[3]),
        axis_rotation_rad=STYLE.axis_rotation_rad + s.rotation_rad * z[4],
    )
    landing = batch(film, None, throws, grip).landing_m
    return float(np.mean((landing >= WINDOW_LOW_M) & (landing <= WINDOW_HIGH_M)))


def test_room_is_the_share_of_thrown_shots_that_land_in_the_window() -> None:
    assert found().room == pytest.approx(share_thrown(LANE, grip_of(), found().line), abs=0.012)


def test_the_same_question_has_the_same_answer() -> None:
    again = best_line(LANE, BODY, STYLE, grip_of(), PRIORS)
    assert isinstance(again, BestLine)
    assert (again.line, again.room) == (found().line, found().room)


def test_the_edges_of_its_room_are_the_edges_of_the_window() -> None:
    x = at_arrows(found().line)[0]
    for boards in (found().room_in_boards, -found().room_out_boards):
        launch = math.atan(math.tan(found().line.launch_rad) + boards * BOARD_M / x)
        landing = trace(LANE, BODY, STYLE.on(Line(found().line.lateral_m, launch)), grip_of()).landing_m
        edges = np.abs(np.array([WINDOW_LOW_M, WINDOW_HIGH_M]) - landing)
        assert edges.min() < 0.06 * BOARD_M


def test_no_line_to_the_pocket_enters_steeper_than_the_most_it_can_reach() -> None:
    assert found().entry_most_rad >= found().trace.entry_rad
    assert 2 * DEGREE_RAD < found().entry_most_rad < 8 * DEGREE_RAD


def test_a_steadier_bowler_has_more_room() -> None:
    s = STYLE.scatter
    wide = replace(STYLE, scatter=replace(s, laydown_m=2 * s.laydown_m, launch_rad=2 * s.launch_rad))
    other = best_line(LANE, BODY, wide, grip_of(), PRIORS)
    assert isinstance(other, BestLine)
    assert other.room < found().room


def test_a_slower_shot_ends_higher() -> None:
    ends = [m.landing_m for m in found().speed_misses]
    assert ends == sorted(ends, reverse=True)
    assert [m.boards for m in found().speed_misses] == [-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5]


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("board", "word"),
    [(20.5, "through the nose"), (18.5, "high"), (17.5, "flush"), (16.0, "light"), (13.0, "washes out")],
)
def test_words_for_a_hit(board: float, word: str) -> None:
    assert word_of(board_to_lateral_m(board)) == word


def test_the_arrows_make_a_v() -> None:
    middle, outer = arrow_distance_m(board_to_lateral_m(20.0)), arrow_distance_m(board_to_lateral_m(5.0))
    assert middle > outer
    assert outer == pytest.approx(arrow_distance_m(board_to_lateral_m(35.0)))
    x, lateral = at_arrows(LINE)
    assert x == pytest.approx(arrow_distance_m(lateral), abs=1e-6)


def test_a_bowler_who_cannot_get_there_is_told_what_would() -> None:
    corner = replace(STYLE, zone=Zone(board_to_lateral_m(30), board_to_lateral_m(32), -0.2 * DEGREE_RAD, 0.0))
    answer = best_line(LANE, BODY, corner, grip_of(), PRIORS)
    assert isinstance(answer, NoLine)
    assert "high" in answer.sentence
    assert answer.sentence.endswith(".")
    short = replace(
        corner, zone=Zone(board_to_lateral_m(33), board_to_lateral_m(34), -5 * DEGREE_RAD, -4.6 * DEGREE_RAD)
    )
    light = best_line(LANE, BODY, short, grip_of(Cover.POLYESTER), PRIORS)
    assert isinstance(light, NoLine)
    assert "light" in light.sentence or "leaves boards" in light.sentence


CORNER = Zone(board_to_lateral_m(20), board_to_lateral_m(24), -5 * DEGREE_RAD, -3.5 * DEGREE_RAD)


def test_what_is_said_to_open_a_line_opens_one() -> None:
    """Each way named is put in by itself, and the best line is asked for again."""
    tight, grip = replace(STYLE, zone=CORNER), grip_of(Cover.URETHANE, 4000)
    answer = best_line(LANE, BODY, tight, grip, PRIORS)
    assert isinstance(answer, NoLine)
    said, tried = answer.sentence, 0
    if found := re.search(r"about ([\d.]+) mph (slower|faster)", said, re.I):
        by = float(found[1]) * (1.0 if found[2] == "faster" else -1.0) * MPH_MPS
        assert isinstance(best_line(LANE, BODY, replace(tight, speed_mps=tight.speed_mps + by), grip, PRIORS), BestLine)
        tried += 1
    if found := re.search(r"finish of (half|a quarter of|twice|four times) the grit", said):
        grit = 4000 * {"half": 0.5, "a quarter of": 0.25, "twice": 2.0, "four times": 4.0}[found[1]]
        assert isinstance(best_line(LANE, BODY, tight, grip_of(Cover.URETHANE, grit), PRIORS), BestLine)
        tried += 1
    if found := re.search(r"laydown (\d) boards? farther (in|out)", said):
        by, inward = float(found[1]) * BOARD_M, found[2] == "in"
        edge = (
            {"lateral_high_m": CORNER.lateral_high_m + by} if inward else {"lateral_low_m": CORNER.lateral_low_m - by}
        )
        assert isinstance(best_line(LANE, BODY, replace(tight, zone=replace(CORNER, **edge)), grip, PRIORS), BestLine)
        tried += 1
    if found := re.search(r"launch ([\d.]+)° farther (in|out)", said):
        by, inward = float(found[1]) * DEGREE_RAD, found[2] == "in"
        edge = (
            {"launch_high_rad": CORNER.launch_high_rad + by}
            if inward
            else {"launch_low_rad": CORNER.launch_low_rad - by}
        )
        assert isinstance(best_line(LANE, BODY, replace(tight, zone=replace(CORNER, **edge)), grip, PRIORS), BestLine)
        tried += 1
    assert tried >= 2, said


def test_a_line_that_nothing_opens_takes_another_ball() -> None:
    far = Zone(board_to_lateral_m(36), board_to_lateral_m(38), 0.5 * DEGREE_RAD, 1.0 * DEGREE_RAD)
    answer = best_line(LANE, BODY, replace(STYLE, zone=far), grip_of(), PRIORS)
    assert isinstance(answer, NoLine)
    assert answer.sentence.endswith("it takes another ball.")


@pytest.mark.parametrize(
    ("cover", "grit", "lane"),
    [
        (Cover.PEARL, 4000, house(44, 28, 3)),
        (Cover.URETHANE, 1000, house(38, 20, 10)),
        (Cover.SOLID, 500, house(42, 12)),
    ],
)
def test_room_holds_against_thrown_shots_on_other_lanes(cover: Cover, grit: float, lane: Lane) -> None:
    film, grip = bed(lane, True, PRIORS), grip_of(cover, grit)
    best = best_line(film, BODY, STYLE, grip, PRIORS)
    assert isinstance(best, BestLine)
    assert best.room == pytest.approx(share_thrown(film, grip, best.line), abs=0.016)  # sd 0.0035


def test_shift_and_speed_reach_the_edges_of_the_window_too() -> None:
    line, f = found().line, found()

    def over(moved: Line, speed_mps: float) -> float:
        landing = trace(LANE, BODY, replace(STYLE, speed_mps=speed_mps).on(moved), grip_of()).landing_m
        return float(np.abs(np.array([WINDOW_LOW_M, WINDOW_HIGH_M]) - landing).min())

    for boards in (f.parallel_in_boards, -f.parallel_out_boards):
        assert over(Line(line.lateral_m + boards * BOARD_M, line.launch_rad), STYLE.speed_mps) < 0.06 * BOARD_M
    for by in (f.speed_faster_mps, -f.speed_slower_mps):
        assert over(line, STYLE.speed_mps + by) < 0.06 * BOARD_M


def test_within_a_twentieth_of_the_most_room_the_steepest_entry_is_taken() -> None:
    """Every line that lands in the pocket, its room counted anew about it."""
    lands = landings.table(LANE, BODY, STYLE, grip_of())
    laydown, launch = landings.roots(lands.nodes, lands.landing_m, STYLE.zone, POCKET_M)
    rooms = landings.room(lands, STYLE.scatter, laydown, launch, WINDOW_LOW_M, WINDOW_HIGH_M)
    entries = [
        trace(LANE, BODY, STYLE.on(Line(a, b)), grip_of()).entry_rad for a, b in zip(laydown, launch, strict=True)
    ]
    near = rooms >= 0.95 * rooms.max() + 1e-6
    assert found().room >= 0.95 * rooms.max() - 1e-9
    assert found().trace.entry_rad >= max(np.array(entries)[near]) - 0.02 * DEGREE_RAD


@pytest.mark.parametrize("cover", [Cover.SOLID, Cover.URETHANE, Cover.POLYESTER])
def test_where_no_line_can_land_nothing_is_thrown_and_every_line_has_the_same_room(cover: Cover) -> None:
    grips = [grip_of(cover), replace(grip_of(cover), sigma_m=0.7 * grip_of(cover).sigma_m)]
    whole = landings.tables(LANE, BODY, STYLE, grips)
    thrown = landings.bands(LANE, BODY, STYLE, grips, POCKET_M)
    for all_, band in zip(whole, thrown, strict=True):
        assert np.isnan(band.landing_m).any()
        assert not (np.isfinite(band.landing_m) & (band.landing_m != all_.landing_m)).any()
        laydown, launch = landings.roots(all_.nodes, all_.landing_m, STYLE.zone, POCKET_M)
        rooms = [landings.room(t, STYLE.scatter, laydown, launch, WINDOW_LOW_M, WINDOW_HIGH_M) for t in (all_, band)]
        assert laydown.size
        assert rooms[1] == pytest.approx(rooms[0], abs=1e-9)


def test_speed_and_skid_left_at_the_pins_are_those_of_the_batch() -> None:
    for cover in (Cover.SOLID, Cover.POLYESTER):
        t, runs = (f(LANE, BODY, STYLE.on(LINE), grip_of(cover)) for f in (trace, batch))
        assert t.speed_at_pins_mps == pytest.approx(runs.speed_at_pins_mps[0], rel=1e-6)
        assert t.skid_left_at_pins == pytest.approx(runs.skid_left_at_pins[0], abs=1e-6)


def test_a_straight_player_has_a_line_too() -> None:
    straight = Style(15 * MPH_MPS, 60 * RPM_RADPS, 5 * DEGREE_RAD, 0.2)
    answer = best_line(LANE, BODY, straight, grip_of(Cover.POLYESTER), PRIORS)
    assert isinstance(answer, BestLine)
    assert answer.trace.breakpoint_m is None


def test_the_marks_of_a_trace_lie_on_its_curve() -> None:
    t = trace(LANE, BODY, STYLE.on(LINE), grip_of())
    assert np.interp(t.first_read_m, t.distance_m, t.skid_left) == pytest.approx(0.75, abs=2e-3)
    assert np.interp(t.rolls_m, t.distance_m, t.skid_left) == pytest.approx(0.0, abs=2e-2)
    assert t.lateral_m.min() == pytest.approx(t.breakpoint_lateral_m, abs=1e-3)
    assert t.lateral_m[-1] == pytest.approx(t.landing_m, abs=1e-9)
    assert math.atan2(t.lateral_m[-1] - t.lateral_m[-2], t.distance_m[-1] - t.distance_m[-2]) == pytest.approx(
        t.entry_rad, abs=1e-6
    )
    assert np.all(np.diff(t.skid_left) <= 1e-9)
    assert t.skid_left[0] == pytest.approx(1.0)


def test_a_trace_on_a_dry_lane_is_the_exact_path() -> None:
    dry = bed(house(41, 0.0), True, PRIORS)
    g = replace(grip_of(), film_on_ball_m=np.zeros(1))
    path = roll(BODY, STYLE.on(LINE), steps([(0.0, float(g.mu_dry[0]))]))
    t = trace(dry, BODY, STYLE.on(LINE), g)
    assert t.landing_m == pytest.approx(path.lateral_m[-1], abs=1e-4)
    assert t.rolls_m == pytest.approx(path.roll_distance_m, abs=1e-4)
    assert t.speed_mps[-1] == pytest.approx(np.hypot(*path.velocity_mps[-1]), rel=1e-6)
    assert t.skid_left_at_oil_end == 1.0
    assert not t.rolls_out


def test_a_breakpoint_that_is_flat_is_marked_as_not_worth_comparing() -> None:
    flat, sharp = (
        trace(LANE, BODY, STYLE.on(Line(board_to_lateral_m(20), a * DEGREE_RAD)), grip_of()) for a in (-0.6, -2.4)
    )
    assert flat.breakpoint_flat
    assert not sharp.breakpoint_flat
    near = flat.lateral_m < flat.breakpoint_lateral_m + 0.25 * BOARD_M
    assert np.ptp(flat.distance_m[near]) > 10 * 0.3048


def test_a_ball_launched_toward_the_pocket_side_plays_straight() -> None:
    assert trace(LANE, BODY, STYLE.on(Line(board_to_lateral_m(10), 0.5 * DEGREE_RAD)), grip_of()).breakpoint_m is None


def test_a_gutter_ball_keeps_its_numbers_and_is_marked() -> None:
    line = Line(board_to_lateral_m(8), -4 * DEGREE_RAD)
    t = trace(LANE, BODY, STYLE.on(line), grip_of(Cover.POLYESTER))
    assert t.left_lane_m is not None
    assert np.interp(t.left_lane_m, t.distance_m, t.lateral_m) == pytest.approx(0.0, abs=1e-3)
    assert math.isfinite(t.landing_m)


def test_a_back_up_release_is_the_mirror_in_sign() -> None:
    # a right-hander's back-up ball hooks to the right: his lane is the mirrored one
    right, left = (
        trace(bed(house(41, 25, 8, 3), side, PRIORS), BODY, STYLE.on(LINE), grip_of()) for side in (False, True)
    )
    mirrored = trace(bed(house(41, 25, 3, 8), True, PRIORS), BODY, STYLE.on(LINE), grip_of())
    assert right.landing_m == pytest.approx(mirrored.landing_m, abs=1e-9)
    assert right.landing_m != pytest.approx(left.landing_m, abs=1e-3)


def test_a_ball_that_would_come_back_is_refused_by_name() -> None:
    back = replace(STYLE, speed_mps=2.0, rev_rate_radps=-80.0, axis_rotation_rad=0.0)
    with pytest.raises(KnownError, match="backspin"):
        batch(LANE, BODY, back.on(LINE), grip_of())


def test_marks_past_the_pins_go_on_with_the_last_friction() -> None:
    runs = batch(LANE, BODY, STYLE.on(LINE), grip_of(Cover.POLYESTER, 4000))
    assert runs.rolls_m[0] > 18.288
    assert runs.skid_left_at_pins[0] > 0.0
    assert math.isnan(runs.first_read_m[0]) or runs.first_read_m[0] <= 18.288


def test_entry_boards_are_the_balls_centre() -> None:
    assert lateral_m_to_board(POCKET_M) == 17.5


def test_the_best_line_lands_on_the_pocket_on_a_film_no_table_is_smooth_on() -> None:
    """A film in stripes half a board wide, as shots leave it: the line is turned until the ball itself lands there."""
    rng = np.random.default_rng(4)
    smooth = bed(house(), True, PRIORS)
    x, boards = np.linspace(0.0, 18.2, 92), np.arange(1.0, 39.5, 0.5)
    height = smooth.height_m(x[:, None], ((boards - 0.5) * BOARD_M)[None, :]) * rng.uniform(0.6, 1.0, boards.size)
    worn = Lane(2, "worn", FilmGrid(tuple(x), tuple(boards), tuple(map(tuple, height))))
    found = best_line(bed(worn, True, PRIORS), body_of(ball_of()[0]), STYLE, grip_of(), PRIORS)
    assert isinstance(found, BestLine)
    assert found.trace.landing_m == pytest.approx(board_to_lateral_m(17.5), abs=2e-4)
