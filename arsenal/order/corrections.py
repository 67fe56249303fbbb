"""A shot ended high, light or long: what brings it back to the pocket, side by side, each with its doubt.

All is reckoned on the lane as it showed itself (`missed`). Bowlers change a parallel move first, then the angle, then
speed, then the ball; the surface only before play (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from arsenal.motion import Grip, attempts, seen
from arsenal.motion.attempts import Attempt
from arsenal.motion.lines import word_of
from arsenal.motion.moves import Move, moved_line, reaches
from arsenal.motion.records import POCKET_M, WINDOW_HIGH_M, WINDOW_LOW_M, Floats
from arsenal.order import shot as shots
from arsenal.order import words
from arsenal.order.missed import HIGH, Missed, attempt
from arsenal.surface import after_work
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.units import BOARD_M, MPH_MPS

KINDS = ("move", "speed", "wipe", "ball", "pad")
"""In the order they are told: cheapest to do at the line first."""
MOST_FEET, OTHER_WAY_FEET = 5.0, 2.0
"""How far a move is looked for: the usual way, and the way bowlers do not look for it (our own assumption)."""
ANGLES = (0.0, 1.0, 2.0)
"""Boards the feet may move more than the target: parallel, then two-and-one and the like."""
SPEEDS_MPH = (0.5, 1.0, 1.5, 2.0)
BALL_MOVES = (0.0, 1.0, 2.0, 3.0)
PART_OF_IT = 0.5
"""What brings back less than this share of the miss is no answer and is not told (our own assumption)."""
FILM_LEFT = 1.05
"""A wipe is worth naming where the ball holds this many times the film that a wipe leaves."""


@dataclass(frozen=True, slots=True)
class Correction:
    """One thing to change, the smallest of its kind that brings the shot back, or the one that comes nearest."""

    kind: str
    """move, speed, wipe, ball, pad."""
    words: str
    """“2 and 1 left”, “½ mph slower”, “wipe it”, “ball down to Slow Lantern”, “1000 h”."""
    landing_m: Estimate | None
    """Where the shot would then end; None where it cannot be reckoned."""
    word: str
    """through the nose, high, flush, light, washes out; empty without a landing."""
    room: float | None
    allowed: bool
    """False for a pad where the rule bars it now: it stays listed for the next block."""
    reaches: bool
    """Brings it back to boards 17 to 18 at the mean."""
    why_not: str = ""
    move: Move | None = None
    """The move in it, if there is one."""


@dataclass(frozen=True, slots=True)
class _Try:
    """One thing that could be changed. `rank` says what is smaller; equal ranks go by how near the pocket they end."""

    kind: str
    words: str
    attempt: Attempt
    rank: tuple[float, ...] = ()
    move: Move | None = None
    ball_id: int = 0


@dataclass(frozen=True, slots=True)
class At:
    """What a bowler has at hand: the other balls, recipes with the pads they take, and how finely moves are counted."""

    owned: Sequence[tuple[Ball, SurfaceState]] = ()
    recipes: Sequence[Recipe] = ()
    pads: Mapping[int, Pad] = field(default_factory=dict)
    pads_allowed: bool = True
    step_boards: float = 1.0


def corrections(missed: Missed, at: At) -> tuple[Correction, ...]:
    """At most one of each kind, in the order of KINDS; none where the lane cannot explain the shot."""
    if not missed.explained:
        return ()
    tries = [*_moves(missed, at), *_speeds(missed), *_wipe(missed), *_balls(missed, at), *_pads(missed, at)]
    if not tries:
        return ()
    landing = attempts.lands(missed.shot.bed, [t.attempt for t in tries]).landing_m
    tries = _named(missed, tries, landing)
    chosen = [_smallest(kind, tries, landing, missed.seen_m - POCKET_M) for kind in KINDS]
    return _told(missed, at, [t for t in chosen if t is not None])


def move_words(move: Move, hooks_to_left: bool) -> str:
    """“2 left”, “2 and 1 left”, “feet 1 left”."""
    way = "left" if (move.feet_boards > 0.0) == hooks_to_left else "right"
    feet, target = words.halves(move.feet_boards), words.halves(move.target_boards)
    if move.parallel:
        return f"{feet} {way}"
    return f"feet {feet} {way}" if move.target_boards == 0.0 else f"{feet} and {target} {way}"


def _named(missed: Missed, tries: Sequence[_Try], landing_m: Floats) -> list[_Try]:
    """Balls with their way: down to one that ends less on the same line, up to one that ends more."""
    same = {t.ball_id: float(m) for t, m in zip(tries, landing_m, strict=True) if t.kind == "ball" and t.move is None}
    way = {ball_id: "down" if m < missed.seen_m else "up" for ball_id, m in same.items()}
    return [replace(t, words=f"ball {way[t.ball_id]} to {t.words}") if t.kind == "ball" else t for t in tries]


def _in_window(landing_m: float) -> bool:
    return bool(WINDOW_LOW_M <= landing_m <= WINDOW_HIGH_M)


def _smallest(kind: str, tries: Sequence[_Try], landing_m: Floats, missed_m: float) -> _Try | None:
    """The smallest that reaches the window, else the one that ends nearest, where it brings back half of the miss."""
    own = [(t, float(m)) for t, m in zip(tries, landing_m, strict=True) if t.kind == kind]
    there = [(t.rank, abs(m - POCKET_M), i) for i, (t, m) in enumerate(own) if _in_window(m)]
    if there:
        return own[min(there)[2]][0]
    near = min(own, key=lambda pair: abs(pair[1] - POCKET_M), default=None)
    return near[0] if near and abs(near[1] - POCKET_M) <= (1.0 - PART_OF_IT) * abs(missed_m) else None


def _told(missed: Missed, at: At, chosen: Sequence[_Try]) -> tuple[Correction, ...]:
    tries = [t.attempt for t in chosen]
    ends = attempts.ends(missed.shot.bed, tries)
    sd = attempts.spread(missed.shot.stack, [missed.thrown, *tries], missed.started_m)[1:]
    found = []
    for i, t in enumerate(chosen):
        landing, there = float(ends.landing_m[i]), _in_window(float(ends.landing_m[i]))
        found.append(
            Correction(
                t.kind, t.words, Estimate(landing, float(sd[i])), word_of(landing), float(ends.room[i]),
                at.pads_allowed or t.kind != "pad", there, "" if there else _still(landing), t.move,
            )
        )  # fmt: skip
    return tuple(found)


def _still(landing_m: float) -> str:
    boards = (landing_m - POCKET_M) / BOARD_M
    return f"still ends {words.halves(boards)} {'high' if boards > 0.0 else 'light'}"


def _moves(missed: Missed, at: At) -> list[_Try]:
    """Feet by whole steps; toward the oil for high, toward the dry for light (common practice) before the other way."""
    usual = 1.0 if missed.saw == HIGH else -1.0
    zone, hooks = missed.thrown.style.zone, missed.hooks_to_left
    found = []
    for way, most in ((usual, MOST_FEET), (-usual, OTHER_WAY_FEET)):
        for feet in np.arange(at.step_boards, most + 1e-9, at.step_boards):
            for angle in (a * at.step_boards for a in ANGLES if a * at.step_boards <= feet):
                move = Move(way * float(feet), way * float(feet - angle) or 0.0)
                line = moved_line(missed.thrown.line, move)
                if reaches(zone, line):
                    rank = (float(way != usual), float(feet), angle)
                    found.append(_Try("move", move_words(move, hooks), missed.thrown.on(line), rank, move))
    return found


def _speeds(missed: Missed) -> list[_Try]:
    found, thrown = [], missed.thrown
    for by in SPEEDS_MPH:
        for way, word in ((1.0, "faster"), (-1.0, "slower")):
            style = replace(thrown.style, speed_mps=thrown.style.speed_mps + way * by * MPH_MPS)
            found.append(_Try("speed", f"{words.halves(by)} mph {word}", replace(thrown, style=style), (by,)))
    return found


def _wipe(missed: Missed) -> list[_Try]:
    """A towel, where the ball holds more film than one leaves: it reads sooner, so only for a shot that ended light."""
    oil, thrown = missed.shot.priors.oil, missed.thrown
    least = oil.film_wiped_m * missed.shot.volume_m3 / oil.reference_volume_m3
    if missed.saw == HIGH or missed.state.film_m.mean <= FILM_LEFT * least or thrown.drawn is None:
        return []

    def clean(grip: Grip) -> Grip:
        return replace(grip, film_on_ball_m=np.maximum(grip.film_on_ball_m * (1.0 - oil.wipe_takes), least))

    drawn = replace(thrown.drawn, grip=clean(thrown.drawn.grip))
    return [_Try("wipe", "wipe it", replace(thrown, grip=clean(thrown.grip), drawn=drawn))]


def _balls(missed: Missed, at: At) -> list[_Try]:
    """Every other strike ball on the same line, then after a small parallel move."""
    found, zone = [], missed.thrown.style.zone
    for ball, state in at.owned:
        if ball.id == missed.ball.id or ball.spare:
            continue
        same = attempt(missed.shot, ball, state, missed.thrown.line)
        same = seen.as_seen(same, missed.factor, missed.factors)
        for by in BALL_MOVES:
            for way in (1.0, -1.0) if by else (1.0,):
                move = Move(way * by, way * by)
                line = moved_line(missed.thrown.line, move)
                if not by or reaches(zone, line):
                    said = f"{ball.name}, {move_words(move, missed.hooks_to_left)}" if by else ball.name
                    found.append(_Try("ball", said, same.on(line), (by,), move if by else None, ball.id))
    return found


def _pads(missed: Missed, at: At) -> list[_Try]:
    shot, ball, now = missed.shot, missed.ball, missed.state
    rows = shots.rows_of(shot, ball, now)
    found = []
    for recipe in at.recipes:
        after = after_work(ball, now, recipe.steps, shot.priors, pads=at.pads)
        piece = shots.worked_on(shot, ball, now, after, rows)
        tried = attempt(shot, ball, after, missed.thrown.line, piece)
        found.append(_Try("pad", recipe.name, seen.as_seen(tried, missed.factor, missed.factors)))
    return found
