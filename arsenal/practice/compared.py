"""“A ends 3 boards stronger than B”, as somebody saw it, against what the model expected that day."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from arsenal.order import shot as shots
from arsenal.order import words
from arsenal.surface import fold
from arsenal.surface.state import Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Entry, effective
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M

Z10 = 1.2815515655446004
"""Standard normal 90th percentile: what was seen agrees inside the 80 % band of both doubts together."""


@dataclass(frozen=True, slots=True)
class ExpectedSeen:
    """One comparison. Boards by which the ball ends stronger than the other; negative is weaker."""

    seq: int
    on: date
    ball_id: int
    other_ball_id: int
    lane_id: int
    expected: Estimate
    seen: Estimate
    agrees: bool
    sentence: str


def expected_against_seen(
    bowler: Person, balls: Mapping[int, Ball], entries_by_ball: Mapping[int, Sequence[Entry]],
    lanes: Mapping[int, Lane], priors: Priors, *, seed: int = 1, draws: int = 200,
) -> tuple[ExpectedSeen, ...]:  # fmt: skip
    """Every comparison in the logs that can be computed, newest first.

    Each ball is folded up to that day, and thrown on the entry's lane, else on the bowler's usual one; a comparison
    without a lane or with a ball not in `balls` is left out. Raises KnownError without a release.
    """
    found = []
    for ball_id, entries in entries_by_ball.items():
        for entry in effective(list(entries)):
            if isinstance(entry.payload, Compared) and ball_id in balls and entry.payload.other_ball_id in balls:
                lane = lanes.get(entry.payload.lane_id or bowler.usual_lane_id or 0)
                if lane is not None:
                    pair = [_that_day(balls[i], entries_by_ball, entry.on, priors, lanes) for i in _ids(entry)]
                    found.append(_one(bowler, lane, entry, entry.payload, pair, priors, seed, draws))
    return tuple(sorted(found, key=lambda e: (e.on, e.seq), reverse=True))


def _ids(entry: Entry) -> tuple[int, int]:
    assert isinstance(entry.payload, Compared)  # noqa: S101 -- asked only of comparisons
    return entry.ball_id, entry.payload.other_ball_id


def _that_day(
    ball: Ball, entries: Mapping[int, Sequence[Entry]], on: date, priors: Priors, lanes: Mapping[int, Lane]
) -> tuple[Ball, SurfaceState]:
    return ball, fold(ball, entries.get(ball.id, ()), priors, until=on, lanes=lanes)


def _one(
    bowler: Person, lane: Lane, entry: Entry, seen: Compared, pair: Sequence[tuple[Ball, SurfaceState]], priors: Priors,
    seed: int, draws: int,
) -> ExpectedSeen:  # fmt: skip
    shot = shots.shared_shot(bowler, lane, priors, line=None, seed=seed, draws=draws)
    at = [shots.mean_trace(shot, ball, state).landing_m for ball, state in pair]
    drawn = shots.throw(shot, [shots.piece(shot, b, s, shots.normals_of(b.id, seed, draws)) for b, s in pair])
    spread = float((drawn.landing_m[0] - drawn.landing_m[1]).std()) / BOARD_M
    expected, said = Estimate((at[0] - at[1]) / BOARD_M, spread), Estimate(seen.boards, seen.sd_boards)
    agrees = abs(expected.mean - said.mean) <= Z10 * math.hypot(expected.sd, said.sd)
    names = (pair[0][0].name, pair[1][0].name)
    return ExpectedSeen(
        entry.seq, entry.on, pair[0][0].id, pair[1][0].id, lane.id, expected, said, agrees,
        sentence(names, expected, said, agrees=agrees),
    )  # fmt: skip


def sentence(names: tuple[str, str], expected: Estimate, seen: Estimate, *, agrees: bool) -> str:
    """What was seen, what was expected, and whether they agree within both doubts."""
    was = f"{names[0]} was seen {_against(seen)} {names[1]}; expected {words.signed(expected.mean, expected.sd)}"
    was += f" ± {words.doubt(expected.sd)}."
    if agrees:
        return f"{was} They agree."
    return f"{was} They do not agree: check what was last done to each, then see them once more."


def _against(seen: Estimate) -> str:
    if words.halves(seen.mean) == "0":
        return "level with"
    way = "stronger than" if seen.mean > 0.0 else "weaker than"
    return f"{words.counted(seen.mean)} {way}"


def agreement(found: Sequence[ExpectedSeen]) -> str:
    """“4 of 5 comparisons agree with what was expected.”"""
    if not found:
        return "Nothing has been compared yet: say which of two balls ended stronger, and by how much."
    good = sum(e.agrees for e in found)
    return f"{good} of {len(found)} comparisons agree with what was expected."
