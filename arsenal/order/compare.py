"""Balls against each other: places, ties in paired draws, overlaps and gaps. Plain numbers in, no lane needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from arsenal.motion.records import Floats
from arsenal.trade.units import BOARD_M, FOOT_M

SURE = 0.90
OVERLAP_BOARDS = 1.5
OVERLAP_READ_M = 1.0 * FOOT_M
OVERLAP_SHAPE_M = 2.0 * FOOT_M
GAP_BOARDS = 5.0
"""Common practice, no source: overlap and gap as bowlers talk of them."""
ALIKE_BOARDS = 1e-6


@dataclass(frozen=True, slots=True)
class Reaction:
    """What is compared of one ball: boards against the benchmark, first read and shape (None where there is none)."""

    ball_id: int
    boards: float
    first_read_m: float | None
    shape_m: float | None


def strongest_first(reactions: Sequence[Reaction]) -> list[Reaction]:
    """Strongest first; exactly equal boards go by id, so that the order of entry never matters."""
    return sorted(reactions, key=lambda r: (-r.boards, r.ball_id))


def places(boards: Sequence[float]) -> list[int]:
    """Place of each ball: one more than the number of stronger ones; only exactly equal balls share one."""
    return [1 + sum(other > own + ALIKE_BOARDS for other in boards) for own in boards]


def sureness(landing_m: Floats) -> Floats:
    """How sure it is that ball i ends stronger than ball j, (k, k), from paired draws `landing_m` (k, n).

    Equal draws count half for each, so that sure[i, j] + sure[j, i] = 1.
    """
    more = landing_m[:, None, :] > landing_m[None, :, :]
    same = landing_m[:, None, :] == landing_m[None, :, :]
    return np.asarray(more.mean(axis=2) + 0.5 * same.mean(axis=2))


def ties(ids: Sequence[int], sure: Floats) -> dict[int, tuple[int, ...]]:
    """For each ball those whose order against it is under 90 % sure, either way; in the order of `ids`."""
    found = {}
    for i, own in enumerate(ids):
        found[own] = tuple(b for j, b in enumerate(ids) if j != i and max(sure[i, j], sure[j, i]) < SURE)
    return found


def _near(a: float | None, b: float | None, width: float) -> bool:
    """Within `width` of each other; two marks that both do not exist are alike."""
    if a is None or b is None:
        return a is b
    return abs(a - b) <= width


def overlap(a: Reaction, b: Reaction) -> bool:
    """Under 1½ boards apart, first read within 1 ft, shape within 2 ft."""
    return (
        abs(a.boards - b.boards) < OVERLAP_BOARDS
        and _near(a.first_read_m, b.first_read_m, OVERLAP_READ_M)
        and _near(a.shape_m, b.shape_m, OVERLAP_SHAPE_M)
    )


def overlaps(ordered: Sequence[Reaction]) -> tuple[tuple[int, int], ...]:
    """Every pair that overlaps, the stronger ball first."""
    return tuple(
        (a.ball_id, b.ball_id) for i, a in enumerate(ordered) for b in ordered[i + 1 :] if overlap(a, b)
    )  # fmt: skip


def groups(ordered: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Balls that all overlap each other, strongest first, each ball in one group at most: three alike make one
    sentence instead of three.
    """
    joined = {frozenset(pair) for pair in pairs}
    left = list(ordered)
    made: list[tuple[int, ...]] = []
    while left:
        group = [left.pop(0)]
        for ball in list(left):
            if all(frozenset((ball, member)) in joined for member in group):
                group.append(ball)
                left.remove(ball)
        if len(group) > 1:
            made.append(tuple(group))
    return made


def gaps(ordered: Sequence[Reaction]) -> tuple[tuple[int, float], ...]:
    """(ball, boards to the next) wherever the next ball is over five boards weaker."""
    steps = [(a.ball_id, a.boards - b.boards) for a, b in pairwise(ordered)]
    return tuple((ball, boards) for ball, boards in steps if boards > GAP_BOARDS)


def spread(landing_m: Floats, zero_m: Floats) -> tuple[Floats, Floats, Floats]:
    """10th and 90th percentile and standard deviation of boards against the benchmark, (k,) each."""
    boards = (landing_m - zero_m) / BOARD_M
    low, high = np.percentile(boards, [10.0, 90.0], axis=1)
    return low, high, boards.std(axis=1)
