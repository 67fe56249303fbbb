"""The work before an event in the order that changes pads least, what goes in which bag, the practice shots dealt."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

from arsenal.order.sequence import grain
from arsenal.surface import minutes
from arsenal.trade.entries import Abrasive, Step, Tool

CLEAN_MIN, INSPECT_MIN = 4.0, 2.0
"""Minutes a ball (from memory)."""
EXACT_STATES = 200_000
"""Up to so many half-done states the order is proven; past it, coarse to fine."""
MOST_TRIED = 12
"""Balls of which every way into two bags is tried."""
SHINE = {Abrasive.NONWOVEN: 1500.0, Abrasive.COMPOUND: 1e5, Abrasive.POLISH: 2e5}
"""Where a pad without a number stands between coarse and fine."""


@dataclass(frozen=True, slots=True)
class SurfaceJob:
    """What one ball gets: its steps stay in their order."""

    ball_id: int
    steps: tuple[Step, ...]

    @property
    def minutes(self) -> float:
        """On the bench."""
        return minutes(self.steps)


@dataclass(frozen=True, slots=True)
class Mount:
    """One pad taken up, and the balls that get it then."""

    step: Step
    ball_ids: tuple[int, ...]


Pad = tuple[Abrasive, float | None, str, Tool, bool]


def pad_of(step: Step) -> Pad:
    """What makes two steps the same pad on the same tool, wet or dry alike."""
    return (step.abrasive, step.number, step.scale.value, step.tool, step.wet)


def rounds(jobs: Sequence[SurfaceJob]) -> tuple[Mount, ...]:
    """Pads in the order they are taken up, as few as can be; of several such orders the coarser pad goes first.

    Every ball waiting for a pad gets it when it is taken up: that never costs a change. The fewest is then the
    shortest way from nothing done to all done, found breadth first.
    """
    ways = tuple(tuple(pad_of(s) for s in job.steps) for job in jobs)
    distinct = tuple(dict.fromkeys(w for w in ways if w))
    if not distinct:
        return ()
    states = math.prod(len(w) + 1 for w in distinct)
    order = _shortest(distinct) if states <= EXACT_STATES else _coarse_to_fine(distinct)
    return _mounts(jobs, order)


def _next_pads(ways: Sequence[tuple[Pad, ...]], at: Sequence[int]) -> list[Pad]:
    waiting = {w[i] for w, i in zip(ways, at, strict=True) if i < len(w)}
    return sorted(waiting, key=_coarseness)


def _coarseness(pad: Pad) -> tuple[float, str, float, str, bool]:
    abrasive, number, scale, tool, wet = pad
    found = grain(Step(abrasive, number)) if scale == "plain" and number is not None else number
    return (SHINE.get(abrasive, 0.0) + (found or 0.0), tool.value, number or 0.0, scale, wet)


def _with(ways: Sequence[tuple[Pad, ...]], at: tuple[int, ...], pad: Pad) -> tuple[int, ...]:
    return tuple(_past(w, i, pad) for w, i in zip(ways, at, strict=True))


def _past(way: tuple[Pad, ...], at: int, pad: Pad) -> int:
    while at < len(way) and way[at] == pad:
        at += 1
    return at


def _shortest(ways: tuple[tuple[Pad, ...], ...]) -> list[Pad]:
    begin, done = tuple(0 for _ in ways), tuple(len(w) for w in ways)
    came: dict[tuple[int, ...], tuple[tuple[int, ...], Pad] | None] = {begin: None}
    waiting = deque([begin])
    while waiting:
        at = waiting.popleft()
        if at == done:
            break
        for pad in _next_pads(ways, at):
            then = _with(ways, at, pad)
            if then not in came:
                came[then] = (at, pad)
                waiting.append(then)
    order: list[Pad] = []
    here = came[done]
    while here is not None:
        order.append(here[1])
        here = came[here[0]]
    return order[::-1]


def _coarse_to_fine(ways: tuple[tuple[Pad, ...], ...]) -> list[Pad]:
    at, done = tuple(0 for _ in ways), tuple(len(w) for w in ways)
    order: list[Pad] = []
    while at != done:
        pad = _next_pads(ways, at)[0]
        at = _with(ways, at, pad)
        order.append(pad)
    return order


def _mounts(jobs: Sequence[SurfaceJob], order: Sequence[Pad]) -> tuple[Mount, ...]:
    ways = [tuple(pad_of(s) for s in job.steps) for job in jobs]
    at, made = [0] * len(jobs), []
    for pad in order:
        then = [_past(way, i, pad) for way, i in zip(ways, at, strict=True)]
        here = [k for k in range(len(jobs)) for _ in range(then[k] - at[k])]
        if here:
            made.append(Mount(jobs[here[0]].steps[at[here[0]]], tuple(jobs[k].ball_id for k in here)))
        at = then
    return tuple(made)


def finished_in(jobs: Sequence[SurfaceJob], mounts: Sequence[Mount]) -> list[SurfaceJob]:
    """The jobs in the order they are finished."""
    last = {ball_id: k for k, mount in enumerate(mounts) for ball_id in mount.ball_ids}
    return sorted(jobs, key=lambda job: (last.get(job.ball_id, -1), job.ball_id))


def into_bags(masses_kg: Sequence[float], bags: int) -> tuple[tuple[int, ...], ...]:
    """Which ball goes in which bag (indices), the heaviest bag as light as can be."""
    order = sorted(range(len(masses_kg)), key=lambda i: -masses_kg[i])
    best = _greedy(masses_kg, order, bags)
    if len(masses_kg) > MOST_TRIED or bags == 1:
        return best
    found, heaviest = best, max(_loads(masses_kg, best))
    held: list[list[int]] = [[] for _ in range(bags)]

    def place(k: int) -> None:
        nonlocal found, heaviest
        if k == len(order):
            loads = _loads(masses_kg, held)
            if max(loads) < heaviest - 1e-9:
                heaviest, found = max(loads), tuple(tuple(sorted(bag)) for bag in held)
            return
        tried: set[float] = set()
        for bag in held:
            load = round(sum(masses_kg[i] for i in bag), 9)
            if load in tried or load + masses_kg[order[k]] >= heaviest - 1e-9:
                continue
            tried.add(load)
            bag.append(order[k])
            place(k + 1)
            bag.pop()

    place(0)
    return found


def _greedy(masses_kg: Sequence[float], order: Sequence[int], bags: int) -> tuple[tuple[int, ...], ...]:
    held: list[list[int]] = [[] for _ in range(bags)]
    for i in order:
        min(held, key=lambda bag: sum(masses_kg[j] for j in bag)).append(i)
    return tuple(tuple(sorted(bag)) for bag in held)


def _loads(masses_kg: Sequence[float], held: Sequence[Sequence[int]]) -> list[float]:
    return [sum(masses_kg[i] for i in bag) for bag in held]


def practice_shots(weights: Sequence[float], shots: int) -> tuple[int, ...]:
    """So many practice shots dealt out by weight: at least two each while there are enough, the rest by weight."""
    if not weights or shots <= 0:
        return (0,) * len(weights)
    each = 2 if shots >= 2 * len(weights) else 1 if shots >= len(weights) else 0
    dealt = [each] * len(weights)
    for _ in range(shots - sum(dealt)):
        k = max(range(len(weights)), key=lambda i: (weights[i] / (dealt[i] + 0.5), -i))
        dealt[k] += 1
    return tuple(dealt)
