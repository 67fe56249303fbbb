"""The stages a lane goes through while it is played, told from the worn film itself: fresh, track drying, moved in,
burnt fronts, and carrydown as the variant.

Nothing here says which ball a stage wants. A stage begins where the film says so (`Told`), at a number of shots on the
pair that follows from who is on it; its lane is that film, and every ball looks for its own best line there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from arsenal.motion import bed, body_of, grip, reference
from arsenal.motion.beds import BOARDS_PER_LN_FILM, middle_of
from arsenal.motion.lines import line_of
from arsenal.motion.pair import Player, Traffic
from arsenal.motion.pair import Stage as Worn
from arsenal.motion.records import Floats
from arsenal.motion.traffic import BOARDS, DISTANCE_M, MOST_GAMES, evolve, film_of
from arsenal.trade.ball import Cover
from arsenal.trade.lane import FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, INCH_M, LANE_WIDTH_M

STAGES_VERSION = "2"
"""Changes whenever the same lane and pair would give other stages."""
HEADS_M = 20.0 * FOOT_M
"""The fronts of a lane (common practice, no source)."""
TRACK_M = 3.0 * BOARD_M
"""Width of what counts as a track (our own assumption)."""
LEAST_OILED = 0.3
"""A track is looked for where a fresh lane has this share of its most oil: outside of it nothing can dry."""
DRYING_SHARE = 0.85
"""The track dries once the most worn one holds less of its oil than this past the fronts (our own assumption)."""
MOVED_BOARDS = 1.0
"""Moved in: the reference ball's best line lies so far inside of its first one at the arrows (our own assumption)."""
BURNT_SHARE = 0.55
"""Burnt fronts: the most worn track holds less of its oil than this in the fronts (our own assumption)."""
LEAST_APART_GAMES = 0.5
CARRY_DIFFERENTIAL_M = 0.018 * INCH_M
"""A low-flare urethane ball, as the variant has them on the pair (our own assumption)."""
STAR = math.sqrt(3.0)
"""Ends of the three-point rule: exact for a normal spread to the fifth power."""
READING = 0.4
"""What it takes to read a film game by game, as a share of wearing it."""
Keep = Callable[[object, Callable[[], tuple[Worn, ...]]], tuple[Worn, ...]]
CARRIED_SHARE = 0.6
"""Share of what a set carries down at which carrydown is looked at (our own assumption)."""
TITLES = {
    "fresh": "Fresh", "drying": "Track drying", "moved": "Moved in", "burnt": "Burnt fronts", "carrydown": "Carrydown",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Told:
    """What the film says after so many games: share of its oil that the most worn track of the bowler's half holds past
    the fronts and in them, boards the reference ball's best line has moved in at the arrows, boards the bowler's first
    line now ends higher.
    """

    games: float
    mids: float
    heads: float
    moved_in_boards: float
    ends_boards: float


@dataclass(frozen=True, slots=True)
class Could:
    """One way the lane of a stage could be: its film, and a factor on it (logarithm); weights add up to 1."""

    weight: float
    lane: Lane
    ln_film: float = 0.0


@dataclass(frozen=True, slots=True)
class LaneStage:
    """One stage: from which shot on the pair to which, the lane as it is then, and how it was told."""

    key: str
    """fresh, drying, moved, burnt, carrydown."""
    title: str
    from_shot: int | None
    to_shot: int | None
    told: Told
    lane: Lane
    """The middle of what it could be."""
    could: tuple[Could, ...]
    likely: bool = True
    """False where the set ends before it begins."""

    @property
    def variant(self) -> bool:
        """Carrydown stands apart from the stages that follow each other."""
        return self.key == "carrydown"


def stages(
    lanes: Sequence[Lane], traffic: Traffic, priors: Priors, *, games: int, seed: int = 1, keep: Keep | None = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[LaneStage, ...]:  # fmt: skip
    """The stages on `lanes` in so many `games` by everybody. Of several lanes, where the condition is not settled, the
    first is told and all count alike. A stage that the film does not come to in twice the games is left out.
    `keep(key, make)` gives back what was made for `key` before; `progress(share)` is told as games go by. Raises as
    `evolve` does.
    """
    lane, first = lanes[0], traffic.players[0]
    most = min(max(2 * games, games + 4), MOST_GAMES)
    ways = _Ways(tuple(lanes), traffic, priors, most, seed, keep, progress)
    worn = ways.worn_by(lane, traffic)
    told = read_film(worn, first, priors, ways.tell)
    begins = begin(told)
    shots = shots_by_game(traffic, priors, most)
    made = []
    order = [key for key in ("fresh", "drying", "moved", "burnt") if key in begins]
    for here, after in pairwise([*order, ""]):
        at, ends = begins[here], begins.get(after)
        game = 0 if here == "fresh" else _middle(at, ends, most)
        until = None if ends is None else _shot(shots, ends)
        made.append(
            LaneStage(
                here, TITLES[here], _shot(shots, at), until, told[game], worn[game].lane if game else lane,
                ways.at(game, traffic), likely=at < games or here == "fresh",
            )
        )  # fmt: skip
    made.append(_carrydown(ways, games))
    if progress:
        progress(1.0)
    return tuple(made)


def shots_by_game(traffic: Traffic, priors: Priors, games: int) -> tuple[int, ...]:
    """Shots on the pair before each game is over, warm-up with the first: index 0 is none."""
    p, many = priors.traffic, len(traffic.players)
    a_game = many * (p.strike_shots + p.spare_shots)
    return (0, *(many * p.warm_up_shots + a_game * (g + 1) for g in range(games)))


def _shot(shots: Sequence[int], games: float) -> int:
    return 5 * round(float(np.interp(games, np.arange(len(shots)), shots)) / 5.0)


def _middle(begins: float, ends: float | None, most: int) -> int:
    """The game whose film stands for a stage: the middle of it, or one game in where it has no end."""
    at = begins + 1.0 if ends is None else 0.5 * (begins + ends)
    return min(max(round(at), math.ceil(begins) if math.ceil(begins) <= most else most, 1), most)


def begin(told: Sequence[Told]) -> dict[str, float]:
    """When each stage begins, in games: where its mark is first crossed for good, linear between games, and not before
    the stage ahead of it has begun: one moves in from a track that dries.
    """
    games = np.array([t.games for t in told])
    moved = np.maximum.accumulate([t.moved_in_boards for t in told])
    marks = (
        ("drying", np.array([t.mids for t in told]) - DRYING_SHARE),
        ("moved", MOVED_BOARDS - moved),
        ("burnt", np.array([t.heads for t in told]) - BURNT_SHARE),
    )  # fmt: skip
    crossed = {
        key: at for key, over in marks if (at := _crosses(games, np.asarray(over, dtype=np.float64))) is not None
    }
    found, least = {"fresh": 0.0}, LEAST_APART_GAMES
    for key, at in crossed.items():
        found[key] = max(at, least)
        least = found[key] + LEAST_APART_GAMES
    return {key: at for key, at in found.items() if at <= told[-1].games}


def _crosses(games: Floats, over: Floats) -> float | None:
    """The first place where `over` comes down to nothing and stays there in the next game too."""
    for k in range(1, over.size):
        if over[k] <= 0.0 and over[min(k + 1, over.size - 1)] <= 0.0:
            before, after = float(over[k - 1]), float(over[k])
            share = 1.0 if before <= after else max(before, 0.0) / (max(before, 0.0) - after)
            return float(games[k - 1] + share * (games[k] - games[k - 1]))
    return None


def read_film(
    worn: Sequence[Worn], player: Player, priors: Priors, tell: Callable[[float], None] | None = None
) -> tuple[Told, ...]:  # fmt: skip
    """What the film says after each game, for the bowler `player`, by the reference ball."""
    ball, state = reference(priors)
    body, style = body_of(ball, state), player.style
    films = [_own(np.array(w.lane.film.height_m), player) for w in worn]  # type: ignore[union-attr]
    lines: list[Line] = []
    ends = []
    for stage in worn:
        on = bed(stage.lane, player.hooks_to_left, priors)
        held = grip(ball, state, priors, style, float(on.volume_m3[0]))
        found = line_of(on, body, style, held)
        lines.append(found or (lines[-1] if lines else stage.lines[0]))
        ends.append(stage.moved_m[0] / BOARD_M)
        if tell:
            tell(READING / len(worn))
    oil_ends_m = bed(worn[0].lane, player.hooks_to_left, priors).length_m
    made = []
    for stage, film, line, ended in zip(worn, films, lines, ends, strict=True):
        made.append(
            Told(
                float(stage.game), _held(film, films[0], HEADS_M, oil_ends_m),
                _held(film, films[0], 0.0, HEADS_M), (_arrows(line) - _arrows(lines[0])) / BOARD_M, ended,
            )
        )  # fmt: skip
    return tuple(made)


def _own(film: Floats, player: Player) -> Floats:
    """Columns counted from the gutter opposite the hook side, as lines are."""
    return film if player.hooks_to_left else film[:, ::-1]


def _arrows(line: Line) -> float:
    return line.lateral_m + 14.0 * FOOT_M * math.tan(line.launch_rad)


def _held(film: Floats, fresh: Floats, from_m: float, to_m: float) -> float:
    """Share of its oil that the most worn track of the bowler's half still holds between two distances."""
    here = (from_m <= DISTANCE_M) & (max(to_m, from_m + FOOT_M) > DISTANCE_M)
    half = BOARDS.size // 2 + 1
    now, then = (_tracks(f[here, :half].sum(axis=0)) for f in (film, fresh))
    oiled = then >= LEAST_OILED * float(then.max(initial=0.0))
    return float((now[oiled] / then[oiled]).min()) if oiled.any() and then.max() > 0.0 else 1.0


def _tracks(across: Floats) -> Floats:
    """Oil on every strip as wide as a track."""
    wide = round(TRACK_M / (0.25 * BOARD_M)) + 1
    return np.convolve(across, np.ones(wide), mode="valid")


@dataclass(slots=True)
class _Ways:
    """How the lane of a stage could be: every condition named, each with what is not known of it."""

    lanes: tuple[Lane, ...]
    traffic: Traffic
    priors: Priors
    most: int
    seed: int
    keep: Keep | None = None
    progress: Callable[[float], None] | None = None
    worn: dict[tuple[Lane, Traffic], tuple[Worn, ...]] = field(default_factory=dict)
    done: float = 0.0

    def at(self, game: int, traffic: Traffic) -> tuple[Could, ...]:
        """After `game` games by `traffic`; the middle of the first condition comes first."""
        made = [c for lane in self.lanes for c in self._of(lane, game, traffic)]
        return tuple(replace(c, weight=c.weight / len(self.lanes)) for c in made)

    def _of(self, lane: Lane, game: int, traffic: Traffic) -> list[Could]:
        stage = self.after(lane, game, traffic)
        doubt, wear = self.priors.doubt, self.priors.traffic.wear_sd * stage.moved_m[0] / BOARD_M / BOARDS_PER_LN_FILM
        unknown = isinstance(lane.film, UnknownHouse)
        own = lane.film.lane_boards_sd / BOARDS_PER_LN_FILM if unknown else doubt.lane_ln_sd  # type: ignore[union-attr]
        reach = STAR * math.hypot(own, wear)
        ends = [replace(lane, film=film) for film in _ends_of(lane.film)] if unknown else []  # type: ignore[arg-type]
        here = stage.lane if game else lane
        middle = Could(1.0 - (2 + len(ends)) / 6.0, here)
        about = [Could(1.0 / 6.0, here, ln) for ln in (-reach, reach)]
        far = [Could(1.0 / 6.0, self.after(one, game, traffic).lane if game else one) for one in ends]
        return [middle, *about, *far]

    def after(self, lane: Lane, game: int, traffic: Traffic) -> Worn:
        """The lane after `game` games."""
        return self.worn_by(lane, traffic)[game]

    def worn_by(self, lane: Lane, traffic: Traffic) -> tuple[Worn, ...]:
        """The lane fresh and after each game."""
        if (lane, traffic) not in self.worn:
            before = self.done

            def tell(share: float) -> None:
                self.tell(before + share - self.done)

            def make() -> tuple[Worn, ...]:
                return evolve(lane, traffic, self.priors, self.most, self.seed, progress=tell)

            key = lane, traffic, self.most, self.seed
            self.worn[lane, traffic] = self.keep(key, make) if self.keep else make()
            tell(1.0)
        return self.worn[lane, traffic]

    def tell(self, more: float) -> None:
        """So many more of the lanes to be worn are done; a film read counts for `READING` of one."""
        self.done += more
        if self.progress:
            self.progress(min(self.done / self._all(), 1.0))

    def _all(self) -> float:
        lanes = sum(3 if isinstance(lane.film, UnknownHouse) else 1 for lane in self.lanes)
        return 2.0 * (lanes + READING)


def _ends_of(house: UnknownHouse) -> tuple[FilmSummary, FilmSummary]:
    """The least and the most that an unknown house may have put down."""
    middle = middle_of(house)
    return (
        replace(middle, length_m=house.length_low_m, volume_m3=house.volume_low_m3, ratio=house.ratio_high),
        replace(middle, length_m=house.length_high_m, volume_m3=house.volume_high_m3, ratio=house.ratio_low),
    )


def low_flare(traffic: Traffic, priors: Priors) -> Traffic:
    """The same bowlers, everybody with a low-flare urethane ball that is wiped now and then at best."""
    ball, state = reference(priors)
    ball = replace(ball, cover=Cover.URETHANE, differential_m=CARRY_DIFFERENTIAL_M)
    state = replace(state, cover=Cover.URETHANE)
    return replace(traffic, players=tuple(replace(p, ball=ball, state=state, wiped=False) for p in traffic.players))


def _carrydown(ways: _Ways, games: int) -> LaneStage:
    """The variant: with low flare on the pair, the game by which most of what will be carried past the pattern is."""
    lane, first = ways.lanes[0], ways.traffic.players[0]
    pair = low_flare(ways.traffic, ways.priors)
    worn = [ways.after(lane, g, pair) for g in range(min(max(games, 2), ways.most) + 1)]
    told = read_film(worn, first, ways.priors, ways.tell)
    ends_m = bed(lane, first.hooks_to_left, ways.priors).length_m
    past = [carried_m3(w, ends_m, first) for w in worn]
    game = max(int(np.argmax(np.array(past) >= CARRIED_SHARE * max(past))), 1)
    return LaneStage("carrydown", TITLES["carrydown"], None, None, told[game], worn[game].lane, ways.at(game, pair))


def carried_m3(stage: Worn, oil_ends_m: float, player: Player) -> float:
    """Oil past the end of the pattern on the bowler's half of the lane, as a volume."""
    film = _own(np.array(stage.lane.film.height_m), player)  # type: ignore[union-attr]
    lateral = (BOARDS - 0.5) * BOARD_M
    past = film[np.ix_(oil_ends_m < DISTANCE_M, lateral <= 0.5 * LANE_WIDTH_M)]
    return float(past.sum()) * float(DISTANCE_M[1]) * 0.25 * BOARD_M


__all__ = ["TITLES", "Could", "LaneStage", "Told", "begin", "carried_m3", "film_of", "low_flare", "read_film",
           "shots_by_game", "stages"]  # fmt: skip
