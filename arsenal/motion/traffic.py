"""A lane that changes: the film as some games by given bowlers leave it, and where all the oil went.

Every shot lifts oil off its track; the ball lays some of it down again, mostly past the oil's end; the cover drinks,
the towel takes. Each bowler keeps his line while it ends where it did, then takes the best line of the ball in hand.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from statistics import NormalDist

import numpy as np

from arsenal.kernels import film as films
from arsenal.kernels import traffic as wear
from arsenal.kernels import uptake
from arsenal.motion.batches import LONGEST_TURN_M, batch, trace
from arsenal.motion.beds import Bed, bed, middle_of
from arsenal.motion.bodies import body_of, reference
from arsenal.motion.grips import Grip, grip, with_film
from arsenal.motion.landings import thrown
from arsenal.motion.lines import best_line, line_of
from arsenal.motion.pair import Books, Player, Stage, Traffic
from arsenal.motion.records import Floats, NoLine
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Release, Style
from arsenal.trade.units import BOARD_M, LANE_LENGTH_M, LANE_WIDTH_M, SHOTS_A_GAME, board_to_lateral_m

TRAFFIC_VERSION = "2"
"""Changes whenever the same bowlers would leave another lane."""
MOST_GAMES = 12
DISTANCE_M: Floats = np.linspace(0.0, LANE_LENGTH_M, 181, dtype=np.float64)
SPACING_M = BOARD_M / 4.0
BOARDS: Floats = 0.5 + 0.25 * np.arange(4 * 39 + 1, dtype=np.float64)
AREAS: Floats = wear.areas(DISTANCE_M, SPACING_M, BOARDS.size)
AREAS.setflags(write=False)
SPARE_LINES = ((27.0, 3.0), (13.0, 37.0), (22.0, 17.0), (18.0, 23.0))
"""Boards at the foul line and at the pins of the spare shots of a game: both corners across the lane, two near the
middle (our own assumption)."""


def film_of(lane: Lane, priors: Priors) -> Floats:
    """The lane's film on the grid that is worn, (distances, boards from the right gutter), metres.

    An unknown house is taken at the middle of its spread. Raises OutOfRange for films that cannot be.
    """
    from_right = bed(lane, True, priors)
    if isinstance(lane.film, FilmGrid):
        return from_right.height_m(DISTANCE_M[:, None], ((BOARDS - 0.5) * BOARD_M)[None, :])
    summary = middle_of(lane.film) if isinstance(lane.film, UnknownHouse) else lane.film
    return _summary_film(summary)


def _summary_film(film: FilmSummary) -> Floats:
    left = film.ratio if film.ratio_left is None else film.ratio_left
    peak = films.height_scale(film.volume_m3, film.length_m, film.ratio, left, LANE_LENGTH_M, BOARD_M)
    return np.outer(films.along(DISTANCE_M, film.length_m) * peak, films.cross(BOARDS, film.ratio, left))


def grid_of(film_m: Floats) -> FilmGrid:
    """A film on that grid as a measured film."""
    return FilmGrid(tuple(DISTANCE_M.tolist()), tuple(BOARDS.tolist()), tuple(map(tuple, film_m.tolist())))


def evolve(
    lane: Lane, traffic: Traffic, priors: Priors, games: int, seed: int = 1, *,
    progress: Callable[[float], None] | None = None,
) -> tuple[Stage, ...]:  # fmt: skip
    """The lane fresh and after each of `games` games: games + 1 stages; `progress(share)` is told after each.

    Shots scatter as each bowler's release does, evenly spread over its probabilities, dealt by `seed`. Raises
    OutOfRange for games no set has, KnownError where nobody bowls.
    """
    if not 0 <= games <= MOST_GAMES:
        raise OutOfRange("games", games, f"0 to {MOST_GAMES}")
    if not traffic.players:
        raise KnownError("Nobody bowls on this lane, so nothing changes it.", next_step="Say who is on the pair.")
    play = _Play(lane, traffic, priors, seed)
    stages = [play.stage(0)]
    for game in range(games):
        play.game(game)
        stages.append(play.stage(game + 1))
        if progress:
            progress((game + 1) / games)
    return tuple(stages)


@dataclass(slots=True)
class _Carried:
    """One ball in play: what it carries, and what its cover has drunk."""

    ball: Ball
    state: SurfaceState
    grip: Grip
    cover: wear.Cover
    track_m2: float
    wiped: bool
    film_m3: float
    brought_m3: float
    drunk_m3: float = 0.0

    @property
    def earlier_m(self) -> float:
        """Film that earlier shots left on it, metres."""
        return self.film_m3 / self.track_m2

    def takes_m3(self, priors: Priors, lane_m3: float) -> float:
        """What the cover drinks in one shot on a lane that holds `lane_m3`."""
        oil = priors.oil
        a_game = (oil.uptake_wiped_kg if self.wiped else oil.uptake_unwiped_kg)[self.ball.cover]
        capacity = oil.capacity_kg[self.ball.cover]
        in_it = self.state.oil_share * capacity + self.drunk_m3 * oil.oil_density_kgpm3
        shot = a_game / SHOTS_A_GAME * lane_m3 / oil.reference_volume_m3
        return (uptake.taken_up(in_it, shot, capacity, 1.0) - in_it) / oil.oil_density_kgpm3


def _carried(
    ball: Ball, state: SurfaceState, style: Style, lane_m3: float, priors: Priors, *, wiped: bool,
    factors: BallFactors | None = None,
) -> _Carried:  # fmt: skip
    own, oil = grip(ball, state, priors, style, lane_m3, factors=factors), priors.oil
    again = min(math.exp(-1.0 / float(own.pick_up_revs[0])) / oil.pick_up_keeps, 1.0)
    turn_m = 2.0 * math.pi * style.speed_mps / max(abs(style.rev_rate_radps), 1.0)
    turn_m = min(max(turn_m, 2.0 * math.pi * body_of(ball, state).radius_m), LONGEST_TURN_M)
    stations = max(round(turn_m / DISTANCE_M[1]), 1)
    cover = wear.Cover(again, oil.pick_up_keeps, oil.lift_share, stations)
    track = wear.track_m2(LANE_LENGTH_M, stations * float(DISTANCE_M[1]), again, oil.band_m)
    film = float(own.film_on_ball_m[0]) * track
    return _Carried(ball, state, own, cover, track, wiped, film, film)


@dataclass(slots=True)
class _Hand:
    """A bowler with his two balls, the line he plays and where it ended when he took it; his first line likewise."""

    player: Player
    strike: _Carried
    spare: _Carried
    line: Line
    first: Line
    ends_m: float = 0.0
    first_ends_m: float = 0.0
    moved_m: float = 0.0


@dataclass(slots=True)
class _Play:
    """The games themselves; the film is boards from the right gutter."""

    lane: Lane
    traffic: Traffic
    priors: Priors
    seed: int
    film_m: Floats = field(init=False)
    hands: list[_Hand] = field(init=False)
    towels_m3: float = field(init=False, default=0.0)
    carried_m3: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        self.film_m = film_of(self.lane, self.priors)
        beds = self._beds(self.traffic.players)
        self.hands = [self._hand(player, beds[player.hooks_to_left]) for player in self.traffic.players]

    def _hand(self, player: Player, on: Bed) -> _Hand:
        volume, wiped = wear.volume(self.film_m, AREAS), player.wiped
        strike = _carried(
            player.ball, player.state, player.style, volume, self.priors, wiped=wiped, factors=player.factors
        )
        spare = _carried(*(player.spare or _plain_spare(self.priors)), player.style, volume, self.priors, wiped=wiped)
        zone = player.style.zone
        middle = Line(
            0.5 * (zone.lateral_low_m + zone.lateral_high_m), 0.5 * (zone.launch_low_rad + zone.launch_high_rad)
        )
        hand = _Hand(player, strike, spare, player.line or middle, middle)
        if player.line is None:
            self._move(on, hand)
        hand.first = hand.line
        hand.ends_m = hand.first_ends_m = _ends(on, hand, hand.line)
        return hand

    def stage(self, game: int) -> Stage:
        """The lane as it is."""
        halves = self.film_m * AREAS
        middle = BOARDS.size // 2
        balls = [b for h in self.hands for b in (h.strike, h.spare)]
        right = halves[:, :middle].sum() + 0.5 * halves[:, middle].sum()
        left = halves[:, middle + 1 :].sum() + 0.5 * halves[:, middle].sum()
        books = Books(
            float(right), float(left), sum(b.film_m3 - b.brought_m3 for b in balls), sum(b.drunk_m3 for b in balls),
            self.towels_m3, self.carried_m3,
        )  # fmt: skip
        lines = tuple(h.line for h in self.hands)
        moved = tuple(h.moved_m for h in self.hands)
        return Stage(game, replace(self.lane, film=grid_of(self.film_m)), books, lines, moved)

    def game(self, number: int) -> None:
        """One game of everybody, shot by shot in turn; then each looks whether his line still ends where it did."""
        volume = wear.volume(self.film_m, AREAS)
        beds = self._beds(self.traffic.players)
        p, lanes = self.priors.traffic, self.traffic.lanes or self.priors.traffic.lanes
        ways = []
        strikes = len(range(number % lanes, p.strike_shots, lanes))
        if number == 0:
            strikes += round(p.warm_up_shots / lanes)
        for index, hand in enumerate(self.hands):
            rng = np.random.default_rng([self.seed % 2**32, number, index])
            spares = range(number % lanes, p.spare_shots, lanes)
            strike = _strike_ways(beds[hand.player.hooks_to_left], hand, strikes, rng)
            spare = _spare_ways(hand, spares, rng)
            ways.append([(hand.strike, way) for way in strike] + [(hand.spare, way) for way in spare])
        for turn in range(max(len(w) for w in ways)):
            for hand, own in zip(self.hands, ways, strict=True):
                if turn < len(own):
                    self._shot(*own[turn], hand.player, volume)
        self._look_again()

    def _shot(self, ball: _Carried, lateral_m: Floats, player: Player, lane_m3: float) -> None:
        oil = self.priors.oil
        from_right = lateral_m if player.hooks_to_left else LANE_WIDTH_M - lateral_m
        under = wear.band(from_right, oil.band_m, SPACING_M, AREAS)
        rolled = wear.roll(self.film_m, under, ball.earlier_m, ball.cover)
        most = oil.film_most_m[ball.ball.cover] * lane_m3 / oil.reference_volume_m3 * ball.track_m2
        went = uptake.shot(
            rolled.lifted - rolled.laid, ball.film_m3, ball.takes_m3(self.priors, lane_m3), most,
            oil.wipe_takes if ball.wiped else 0.0,
        )  # fmt: skip
        carried = wear.lay(self.film_m, under, went.carrydown, rolled.gained)
        ball.film_m3 = went.film + went.carrydown - carried
        ball.drunk_m3 += went.cover
        self.towels_m3 += went.towel
        self.carried_m3 += rolled.laid + carried

    def _beds(self, players: Sequence[Player]) -> dict[bool, Bed]:
        lane = replace(self.lane, film=grid_of(self.film_m))
        return {left: bed(lane, left, self.priors) for left in {p.hooks_to_left for p in players}}

    def _look_again(self) -> None:
        """Whoever's line no longer ends where it did takes the best line of the ball in hand."""
        beds, near_m = self._beds(self.traffic.players), self.priors.traffic.stays_within_boards * BOARD_M
        for hand in self.hands:
            on = beds[hand.player.hooks_to_left]
            hand.moved_m = _ends(on, hand, hand.first) - hand.first_ends_m
            if abs(_ends(on, hand, hand.line) - hand.ends_m) > near_m:
                self._move(on, hand)
                hand.ends_m = _ends(on, hand, hand.line)

    def _move(self, on: Bed, hand: _Hand) -> None:
        ball = hand.strike
        body = body_of(ball.ball, ball.state)
        line = line_of(on, body, hand.player.style, _grip_now(ball))
        if line is None:
            none = best_line(on, body, hand.player.style, _grip_now(ball), self.priors)
            line = none.closest if isinstance(none, NoLine) else none.line
        hand.line = line or hand.line


def _plain_spare(priors: Priors) -> tuple[Ball, SurfaceState]:
    ball, state = reference(priors)
    differential = priors.traffic.spare_differential_m
    return replace(ball, cover=Cover.POLYESTER, differential_m=differential), replace(state, cover=Cover.POLYESTER)


def _grip_now(ball: _Carried) -> Grip:
    return with_film(ball.grip, ball.earlier_m)


def _ends(on: Bed, hand: _Hand, line: Line) -> float:
    at = np.array([line.lateral_m]), np.array([line.launch_rad])
    throws = thrown(hand.player.style, body_of(hand.strike.ball, hand.strike.state), *at)
    return float(batch(on, None, throws, _grip_now(hand.strike)).landing_m[0])


def _even_normals(rows: int, n: int, rng: np.random.Generator) -> Floats:
    """Standard normals (rows, n), each row evenly spread over its probabilities and dealt out anew."""
    even = np.array([NormalDist().inv_cdf((i + 0.5) / n) for i in range(n)])
    return np.stack([rng.permutation(even) for _ in range(rows)])


def _strike_ways(on: Bed, hand: _Hand, n: int, rng: np.random.Generator) -> Sequence[Floats]:
    """Lateral place at DISTANCE_M of `n` shots on the hand's line, metres in the bowler's frame."""
    if not n:
        return ()
    style, line, s = hand.player.style, hand.line, hand.player.style.scatter
    body, grip_ = body_of(hand.strike.ball, hand.strike.state), _grip_now(hand.strike)
    made = []
    for z in _even_normals(5, n, rng).T:
        release = Release(
            style.speed_mps + s.speed_mps * z[0], style.rev_rate_radps * (1.0 + s.revs_fraction * z[1]),
            style.axis_rotation_rad + s.rotation_rad * z[2], style.axis_tilt_rad,
            line.launch_rad + s.launch_rad * z[3], line.lateral_m + s.laydown_m * z[4],
        )  # fmt: skip
        path = trace(on, body, release, grip_)
        made.append(np.interp(DISTANCE_M, path.distance_m, path.lateral_m))
    return made


def _spare_ways(hand: _Hand, which: Sequence[int], rng: np.random.Generator) -> Sequence[Floats]:
    """Straight shots at the spares, across the lane and in the middle, with the bowler's own scatter."""
    s, made = hand.player.style.scatter, []
    for k in which:
        start, end = (board_to_lateral_m(b) for b in SPARE_LINES[k % len(SPARE_LINES)])
        z = rng.standard_normal(2)
        turned = math.atan2(end - start, LANE_LENGTH_M) + s.launch_rad * z[0]
        made.append(start + s.laydown_m * z[1] + DISTANCE_M * math.tan(turned))
    return made
