"""Who is on a pair, and what they leave of its lane."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane
from arsenal.trade.release import Line, Style


@dataclass(frozen=True, slots=True)
class Player:
    """One bowler on the pair, with the ball in hand.

    `line` None takes the ball's best line on the lane as it is. `wiped` says whether he wipes between shots. `spare` is
    the spare ball; None is a plain polyester one.
    """

    style: Style
    hooks_to_left: bool
    ball: Ball
    state: SurfaceState
    line: Line | None = None
    wiped: bool = True
    spare: tuple[Ball, SurfaceState] | None = None
    name: str = ""
    factors: BallFactors | None = None
    """What practice shots have taught of the ball in hand."""


@dataclass(frozen=True, slots=True)
class Traffic:
    """Everybody who wears the lane. `lanes` is 2 where a game goes over both lanes of a pair, 1 where it stays on one;
    None takes the priors' word.
    """

    players: tuple[Player, ...]
    lanes: int | None = None


@dataclass(frozen=True, slots=True)
class Books:
    """Where the oil is, m³, since the lane was fresh. What the lane lost is on the balls, in the covers, in the towels.

    `right_m3`, `left_m3` are on the lane, each side to the middle of board 20; `on_balls_m3` is what the balls hold
    over what they came with; `carried_m3` is what shots laid down where they laid more than they lifted, and is on the
    lane.
    """

    right_m3: float
    left_m3: float
    on_balls_m3: float = 0.0
    in_covers_m3: float = 0.0
    in_towels_m3: float = 0.0
    carried_m3: float = 0.0

    @property
    def lane_m3(self) -> float:
        """Oil on the lane."""
        return self.right_m3 + self.left_m3


@dataclass(frozen=True, slots=True)
class Stage:
    """The lane after `game` games. `lines` are the players' lines from then on, each in his own frame; `moved_m` is how
    much higher each one's first line ends by now than on the fresh lane (metres toward the hook side).
    """

    game: int
    lane: Lane
    books: Books
    lines: tuple[Line, ...]
    moved_m: tuple[float, ...]
