"""Release from tracked shots, and where a speed was read, kept in a shop."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from made_shop import STYLE

from arsenal.acts import people, speeds, tracked, undo
from arsenal.acts.shop import Shop
from arsenal.acts.tracked import SeenShot
from arsenal.motion import Release, body_of, roll, steps
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.person import ReadAt, SpeedReading
from arsenal.trade.units import DEGREE_RAD, MPH_MPS, RPM_RADPS


def thrown(shop: Shop, revs_rpm: float, ball_id: int = 2, oil: float = 0.04) -> SeenShot:
    release = Release(16.0 * MPH_MPS, revs_rpm * RPM_RADPS, 55 * DEGREE_RAD, STYLE.axis_tilt_rad, -0.03, 0.5)
    path = roll(body_of(shop.ball(ball_id), shop.state(ball_id)), release, steps([(0.0, oil), (12.0, 0.2)]))
    assert path.roll_distance_m is not None
    vx, vy = path.velocity_mps[-1]
    return SeenShot(SpeedReading(ReadAt.HAND, 16.0 * MPH_MPS), -0.03, math.hypot(vx, vy), math.atan2(vy, vx))


def test_the_release_of_a_tracked_shot_is_kept_and_undone(shop: Shop) -> None:
    found = tracked.release_from_shots(shop, 1, [thrown(shop, 320.0), thrown(shop, 320.0, oil=0.02)])
    assert found.rev_rate_radps.mean / RPM_RADPS == pytest.approx(320.0, rel=1e-6)
    before = shop.person(1)
    changes = tracked.keep_release(shop, 1, found)
    assert changes.sentence == "Mirel Oster throws 16.0 mph, 320 rpm, 55°"
    assert shop.person(1).style == replace(
        STYLE, speed_mps=found.speed_mps.mean, rev_rate_radps=found.rev_rate_radps.mean,
        axis_rotation_rad=found.axis_rotation_rad.mean,
    )  # fmt: skip
    undo.undo(shop)
    assert shop.person(1) == before


def test_the_ball_that_was_thrown_counts(shop: Shop) -> None:
    shot = thrown(shop, 320.0, ball_id=3)
    assert tracked.release_from_shots(shop, 1, [shot], ball_id=3).rev_rate_radps.mean / RPM_RADPS == pytest.approx(320)
    other = tracked.release_from_shots(shop, 1, [shot], ball_id=2).rev_rate_radps.mean / RPM_RADPS
    assert other != pytest.approx(320, abs=0.5)


def test_a_speed_on_a_display_takes_what_its_house_reads_less(shop: Shop) -> None:
    speeds.set_below_hand(shop, "Elm", 1.5 * MPH_MPS)
    shot = thrown(shop, 320.0)
    read = replace(shot, speed=SpeedReading(ReadAt.DISPLAY, 14.5 * MPH_MPS, "elm "))
    found = tracked.release_from_shots(shop, 1, [read])
    assert found.rev_rate_radps.mean / RPM_RADPS == pytest.approx(320.0, rel=1e-6)
    pins = replace(shot, speed=SpeedReading(ReadAt.PINS, 14.5 * MPH_MPS))
    with pytest.raises(KnownError, match="at the pins"):
        tracked.release_from_shots(shop, 1, [pins])


def test_a_shot_that_slid_all_the_way_is_not_kept(shop: Shop) -> None:
    found = tracked.release_from_shots(shop, 1, [replace(thrown(shop, 320.0), rolled=False)])
    with pytest.raises(KnownError, match="had not reached roll"):
        tracked.keep_release(shop, 1, found)
    assert shop.person(1).style == STYLE


def test_the_offset_of_a_house_brings_every_speed_read_there_to_the_hand_in_one_act(shop: Shop) -> None:
    for bowler_id, house in ((1, "Elm"), (2, "Oak")):
        read = SpeedReading(ReadAt.DISPLAY, 15.0 * MPH_MPS, house)
        people.edit_bowler(shop, speeds.at_hand(shop, replace(shop.person(bowler_id), speed_reading=read)))
    assert shop.person(1).style.speed_mps == pytest.approx(16.0 * MPH_MPS), "the usual 1 mph until it is measured"
    speeds.set_below_hand(shop, "ELM", 0.4 * MPH_MPS)
    assert shop.person(1).style.speed_mps == pytest.approx(15.4 * MPH_MPS)
    assert shop.person(2).style.speed_mps == pytest.approx(16.0 * MPH_MPS)
    undo.undo(shop)
    assert speeds.below_hand(shop, "Elm") is None
    assert shop.person(1).style.speed_mps == pytest.approx(16.0 * MPH_MPS)


def test_an_offset_nobody_could_mean_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange):
        speeds.set_below_hand(shop, "Elm", 16.0 * MPH_MPS)
    with pytest.raises(KnownError, match="needs a name"):
        speeds.set_below_hand(shop, "  ", 1.0 * MPH_MPS)


def test_typing_a_release_at_the_hand_forgets_where_the_old_speed_was_read(shop: Shop) -> None:
    read = SpeedReading(ReadAt.AVERAGE, 15.0 * MPH_MPS)
    people.edit_bowler(shop, speeds.at_hand(shop, replace(shop.person(1), speed_reading=read)))
    people.set_release(shop, 1, STYLE)
    assert shop.person(1).speed_reading is None
