"""The order later in a set: the same balls on the lane as some games by given bowlers left it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from arsenal.motion.pair import Player, Stage, Traffic
from arsenal.motion.traffic import TRAFFIC_VERSION, evolve
from arsenal.order.ranking import Owned, order
from arsenal.order.records import Order, Remark, Stamp
from arsenal.order.stamps import ball_told, digest
from arsenal.trade.lane import Lane, UnknownHouse
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line

GAMES = (1, 3, 6)


def orders_at(
    bowler: Person, lane: Lane, set: Sequence[Owned], priors: Priors, traffic: Traffic, *,  # noqa: A002
    games: Sequence[int] = GAMES, line: Line | None = None, seed: int = 1, draws: int = 200, rooms: bool = True,
    recipes: Sequence[Recipe] = (), pads: Mapping[int, Pad] = {},
) -> tuple[tuple[Stage, Order], ...]:  # fmt: skip
    """The order and every ball's best line after each of `games`, as `order` gives them; 0 is the fresh lane.

    The first of `traffic.players` is the bowler. `line` None takes the line he has come to where he has one of his own
    there, else the best line of the reference ball on the lane as it then is. Raises as `order` and `evolve` do.
    """
    stages = evolve(lane, traffic, priors, max(games, default=0), seed)
    return tuple(
        (stages[game], order_on(stages[game], bowler, lane, set, priors, traffic, line=line, seed=seed, draws=draws,
                                rooms=rooms, recipes=recipes, pads=pads))
        for game in games
    )  # fmt: skip


def order_on(
    stage: Stage, bowler: Person, lane: Lane, set: Sequence[Owned], priors: Priors, traffic: Traffic, *,  # noqa: A002
    line: Line | None = None, seed: int = 1, draws: int = 200, rooms: bool = True,
    recipes: Sequence[Recipe] = (), pads: Mapping[int, Pad] = {},
) -> Order:  # fmt: skip
    """The order on one stage of `lane`; `lane` itself where nothing was bowled yet."""
    if line is None and lane.id in dict(bowler.lines):
        line = stage.lines[0]
    on = stage.lane if stage.game else lane
    made = order(
        bowler, on, set, priors, line=line, seed=seed, draws=draws, rooms=rooms, recipes=recipes, pads=pads
    )  # fmt: skip
    if not stage.game:
        return made
    return replace(made, stamp=_stamp(made.stamp, stage, traffic, seed), remarks=_remarks(made.remarks, lane))


def _stamp(made: Stamp, stage: Stage, traffic: Traffic, seed: int) -> Stamp:
    told = [made.inputs_hash, TRAFFIC_VERSION, f"{stage.game} {seed} {traffic.lanes}"]
    told += [_told(player) for player in traffic.players]
    return replace(made, inputs_hash=digest(told))


def _told(player: Player) -> str:
    spare = ball_told(*player.spare) if player.spare else ""
    ball = ball_told(player.ball, player.state)
    return repr((player.style, player.hooks_to_left, player.line, player.wiped, ball, spare))


def _remarks(made: Sequence[Remark], lane: Lane) -> tuple[Remark, ...]:
    detail = "How fast shots wear a lane is a rough guess. Believe which way it goes before how far."
    if isinstance(lane.film, UnknownHouse):
        detail += " This house has not said what is out there: the middle of what it may be was worn."
    return (*(r for r in made if r.kind != "lane"), Remark("lane", "Believe the differences, not the lane", detail))
