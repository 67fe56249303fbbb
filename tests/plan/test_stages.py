"""Stages told from the worn film: when each begins, on which lane, and what a left-hander sees.

What wears a lane is held to account in tests/motion and tests/kernels; here it is held that the stages follow the film.
Facts of the trade (a track dries, players move in, a left-hander sees another lane, carrydown hooks less) are common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from arsenal.motion import reference
from arsenal.motion.pair import Player, Traffic
from arsenal.motion.pair import Stage as Worn
from arsenal.motion.traffic import evolve
from arsenal.plan.stages import LaneStage, Told, begin, read_film, shots_by_game, stages
from arsenal.trade import FilmSummary, Lane, Style
from arsenal.trade.lane import UnknownHouse
from arsenal.trade.priors import default_priors
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

PRIORS = default_priors()
HOUSE = Lane(1, "house", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0))
LONG = Lane(2, "long", FilmSummary(47 * FOOT_M, 28 * MILLILITRE_M3, 5.0))
STYLE = Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)


def pair(right: int = 4, left: int = 0, *, first_left: bool = False) -> Traffic:
    ball, state = reference(PRIORS)
    sides = [True] * right + [False] * left
    sides.sort(reverse=not first_left)
    return Traffic(tuple(Player(STYLE, side, ball, state) for side in sides))


@cache
def told(lanes: tuple[Lane, ...], traffic: Traffic, games: int = 4) -> tuple[LaneStage, ...]:
    return stages(lanes, traffic, PRIORS, games=games)


def by_key(found: tuple[LaneStage, ...]) -> dict[str, LaneStage]:
    return {s.key: s for s in found}


def test_stages_follow_each_other_by_shots_on_the_pair_and_the_variant_stands_apart() -> None:
    found = told((LONG,), pair())
    assert next(s.key for s in found) == "fresh"
    assert found[-1].variant
    own = found[:-1]
    assert len(own) >= 3
    for before, after in pairwise(own):
        assert before.to_shot == after.from_shot
        assert (before.from_shot or 0) < (after.from_shot or 0)
    assert own[-1].to_shot is None
    assert own[0].lane == LONG  # nothing was thrown yet


def test_the_film_of_a_later_stage_is_drier_and_the_best_line_lies_farther_in() -> None:
    own = [s.told for s in told((LONG,), pair()) if not s.variant]
    assert own[0] == Told(0.0, 1.0, 1.0, 0.0, 0.0)
    for before, after in pairwise(own):
        assert after.mids < before.mids
        assert after.heads < before.heads
    assert own[-1].moved_in_boards > 1.0


def test_more_bowlers_bring_a_stage_after_fewer_games() -> None:
    few, many = by_key(told((LONG,), pair(2))), by_key(told((LONG,), pair(4)))
    both = [k for k in few if k in many and k not in ("fresh", "carrydown")]
    assert both
    for key in both:
        a_game = (shots_by_game(pair(2), PRIORS, 1)[1], shots_by_game(pair(4), PRIORS, 1)[1])
        assert (few[key].from_shot or 0) / a_game[0] > (many[key].from_shot or 0) / a_game[1]


def test_a_left_hander_alone_among_right_handers_keeps_a_fresher_lane() -> None:
    others = pair(3, 1, first_left=True)
    assert not others.players[0].hooks_to_left
    worn = {who: evolve(LONG, who, PRIORS, 2) for who in (others, pair())}
    lefty, righty = (read_film(found, who.players[0], PRIORS)[-1] for who, found in worn.items())
    assert lefty.mids > righty.mids + 0.05
    assert lefty.heads > righty.heads + 0.05


def test_carrydown_with_low_flare_on_the_pair_hooks_less_than_the_fresh_lane() -> None:
    # on the long one everybody lies so far out that it hangs on the deal of the shots which way it goes
    assert by_key(told((HOUSE,), pair()))["carrydown"].told.ends_boards < -1.0


def test_progress_grows_to_the_whole_and_worn_lanes_are_kept() -> None:
    shares: list[float] = []
    kept: dict[object, tuple[Worn, ...]] = {}

    def keep(key: object, make: Callable[[], tuple[Worn, ...]]) -> tuple[Worn, ...]:
        if key not in kept:
            kept[key] = make()
        return kept[key]

    house = Lane(3, "?", UnknownHouse())
    first = stages((house,), pair(1), PRIORS, games=1, keep=keep, progress=shares.append)
    assert all(a <= b for a, b in pairwise(shares))
    assert shares[-1] == pytest.approx(1.0)
    assert np.diff([0.0, *shares[:-1]]).max() < 0.1  # lanes that no stage came to need no wearing
    worn = len(kept)
    assert worn >= 2  # by this pair and by one with low flare
    assert stages((house,), pair(1), PRIORS, games=1, keep=keep) == first
    assert len(kept) == worn


def test_a_stage_the_set_does_not_come_to_is_marked() -> None:
    short, long = told((LONG,), pair(), 1), told((LONG,), pair())
    assert [s.key for s in short if s.likely] != [s.key for s in long if s.likely]
    assert all(s.likely for s in short if s.key in ("fresh", "carrydown"))


def test_an_unknown_house_is_every_lane_it_may_be() -> None:
    house = Lane(3, "?", UnknownHouse())
    known, unknown = told((HOUSE,), pair(1), 1)[0], told((house,), pair(1), 1)[0]
    assert len(known.could) == 3
    assert len(unknown.could) == 5
    for stage in (known, unknown):
        assert sum(c.weight for c in stage.could) == pytest.approx(1.0)
        assert stage.could[0].ln_film == 0.0
    films = {c.lane.film for c in unknown.could}
    assert len(films) == 3  # the middle, and both ends of the spread
    assert max(c.ln_film for c in unknown.could) > max(c.ln_film for c in known.could)


def test_two_conditions_count_alike() -> None:
    both = told((HOUSE, LONG), pair(1), 1)[0]
    share = {lane.id: sum(c.weight for c in both.could if c.lane.id == lane.id) for lane in (HOUSE, LONG)}
    assert share == pytest.approx({1: 0.5, 2: 0.5})
    assert both.lane == HOUSE


def test_the_three_points_stand_for_a_normal_spread() -> None:
    could = told((HOUSE,), pair(1), 1)[0].could
    at, weights = np.array([c.ln_film for c in could]), np.array([c.weight for c in could])
    sd = PRIORS.doubt.lane_ln_sd
    # moments of a normal to the fifth (Gauss–Hermite, three points: exact to degree five)
    assert weights @ at == pytest.approx(0.0, abs=1e-12)
    assert weights @ at**2 == pytest.approx(sd**2)
    assert weights @ at**4 == pytest.approx(3 * sd**4)


def seen(*marks: tuple[float, float, float]) -> list[Told]:
    return [Told(float(k), mids, heads, moved, 0.0) for k, (mids, heads, moved) in enumerate(marks)]


def test_a_stage_begins_where_its_mark_is_crossed_for_good() -> None:
    found = begin(seen((1, 1, 0), (0.90, 0.9, 0), (0.80, 0.8, 0), (0.7, 0.7, 0.5), (0.6, 0.6, 1.5), (0.5, 0.5, 2)))
    assert found["drying"] == pytest.approx(1.5)
    assert found["moved"] == pytest.approx(3.5)
    assert found["burnt"] == pytest.approx(4.5)


def test_one_game_past_a_mark_and_back_begins_nothing() -> None:
    assert begin(seen((1, 1, 0), (0.84, 0.9, 0), (0.86, 0.9, 0), (0.86, 0.9, 0))) == {"fresh": 0.0}


def test_nobody_moves_in_before_the_track_dries_and_a_track_that_never_dries_holds_nobody_up() -> None:
    found = begin(seen((1, 1, 0), (0.95, 0.95, 2), (0.9, 0.9, 2), (0.8, 0.9, 2), (0.8, 0.9, 2)))
    assert list(found) == ["fresh", "drying", "moved"]
    assert found["drying"] == pytest.approx(2.5)
    assert found["moved"] == pytest.approx(3.0)
    assert list(begin(seen((1, 1, 0), (0.95, 0.95, 2), (0.9, 0.9, 2)))) == ["fresh", "moved"]


def test_shots_are_counted_over_everybody_with_the_warm_up() -> None:
    # 4 bowlers, 11 strike and 4 spare shots a game, 10 to warm up (common practice, no source)
    assert shots_by_game(pair(), PRIORS, 2) == (0, 100, 160)
