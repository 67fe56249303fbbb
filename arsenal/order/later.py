"""The order later in a set: the same balls on the lane as some games by given bowlers left it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from arsenal import motion
from arsenal.motion.beds import BOARDS_PER_LN_FILM
from arsenal.motion.pair import Player, Stage, Traffic
from arsenal.motion.traffic import TRAFFIC_VERSION, evolve
from arsenal.order import shot as shots
from arsenal.order.ranking import Owned, order
from arsenal.order.records import Order, Remark, Stamp
from arsenal.order.stamps import ball_told, digest
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane, UnknownHouse
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M

GAMES = (1, 3, 6)


def orders_at(
    bowler: Person, lane: Lane, set: Sequence[Owned], priors: Priors, traffic: Traffic, *,  # noqa: A002
    games: Sequence[int] = GAMES, line: Line | None = None, seed: int = 1, draws: int = 200, rooms: bool = True,
    recipes: Sequence[Recipe] = (), pads: Mapping[int, Pad] = {}, taught: Mapping[int, BallFactors] = {},
) -> tuple[tuple[Stage, Order], ...]:  # fmt: skip
    """The order and every ball's best line after each of `games`, as `order` gives them; 0 is the fresh lane.

    The first of `traffic.players` is the bowler. `line` None takes the line he has come to where he has one of his own
    there, else the reference ball's best line on the fresh lane while that ball still ends there where it did, and its
    best line on the lane as it then is once it does not. Raises as `order` and `evolve` do.
    """
    stages = evolve(lane, traffic, priors, max(games, default=0), seed)
    return tuple(
        (stages[game], order_on(stages[game], bowler, lane, set, priors, traffic, line=line, seed=seed, draws=draws,
                                rooms=rooms, recipes=recipes, pads=pads, taught=taught))
        for game in games
    )  # fmt: skip


def order_on(
    stage: Stage, bowler: Person, lane: Lane, set: Sequence[Owned], priors: Priors, traffic: Traffic, *,  # noqa: A002
    line: Line | None = None, seed: int = 1, draws: int = 200, rooms: bool = True,
    recipes: Sequence[Recipe] = (), pads: Mapping[int, Pad] = {}, taught: Mapping[int, BallFactors] = {},
) -> Order:  # fmt: skip
    """The order on one stage of `lane`; `lane` itself where nothing was bowled yet."""
    on, own = lane, True
    if stage.game:
        on = stage.lane
        if line is None:
            own = lane.id in dict(bowler.lines)
            line = stage.lines[0] if own else _still_good(bowler, lane, stage, priors)
    made = order(
        bowler, on, set, doubted(priors, lane, stage), line=line, seed=seed, draws=draws, rooms=rooms,
        recipes=recipes, pads=pads, taught=taught,
    )  # fmt: skip
    if not stage.game:
        return made
    stamp = _stamp(made.stamp, stage, traffic, seed)
    return replace(made, line_is_own=own, stamp=stamp, remarks=_remarks(made.remarks, lane))


def _still_good(bowler: Person, lane: Lane, stage: Stage, priors: Priors) -> Line | None:
    """The reference ball's best line on the fresh lane, while that ball still ends there where it did."""
    style, (ball, state) = shots.style_of(bowler), motion.reference(priors)
    fresh, worn = (motion.bed(on, bowler.hooks_to_left, priors) for on in (lane, stage.lane))
    line, _, said = shots.line_for(bowler, lane, fresh, priors)
    body, grip = motion.body_of(ball, state), motion.grip(ball, state, priors, style, float(fresh.volume_m3[0]))
    first, now = (motion.batch(on, body, style.on(line), grip).landing_m[0] for on in (fresh, worn))
    stays = abs(now - first) <= priors.traffic.stays_within_boards * BOARD_M
    return line if stays and not said else None


def doubted(priors: Priors, lane: Lane, stage: Stage) -> Priors:
    """The priors with the doubt of a worn film: what was not known of the house, and how far the wear went.

    Both are told in boards and taken as a factor on the film that all balls have in common.
    """
    if not stage.game:
        return priors
    sd = [priors.doubt.lane_ln_sd, priors.traffic.wear_sd * stage.moved_m[0] / BOARD_M / BOARDS_PER_LN_FILM]
    if isinstance(lane.film, UnknownHouse):
        spread = math.log(lane.film.volume_high_m3 / lane.film.volume_low_m3) / math.sqrt(12.0)
        sd[0] = math.hypot(lane.film.lane_boards_sd / BOARDS_PER_LN_FILM, spread)
    return replace(priors, doubt=replace(priors.doubt, lane_ln_sd=math.hypot(*sd)))


def _stamp(made: Stamp, stage: Stage, traffic: Traffic, seed: int) -> Stamp:
    told = [made.inputs_hash, TRAFFIC_VERSION, f"{stage.game} {seed} {traffic.lanes}"]
    told += [_told(player) for player in traffic.players]
    return replace(made, inputs_hash=digest(told))


def _told(player: Player) -> str:
    spare = ball_told(*player.spare) if player.spare else ""
    ball = ball_told(player.ball, player.state)
    told = repr((player.style, player.hooks_to_left, player.line, player.wiped, ball, spare))
    return told + repr(player.factors) if player.factors else told


def _remarks(made: Sequence[Remark], lane: Lane) -> tuple[Remark, ...]:
    detail = "How fast shots wear a lane is a rough guess. Believe which way it goes before how far."
    if isinstance(lane.film, UnknownHouse):
        detail += " This house has not said what is out there: the middle of what it may be was worn."
    return (*(r for r in made if r.kind != "lane"), Remark("lane", "Believe the differences, not the lane", detail))
