"""Pad changes, bags and practice shots of a prep sheet, held against trying everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal.plan.prep import SurfaceJob, finished_in, into_bags, pad_of, practice_shots, rounds
from arsenal.trade.entries import Abrasive, Step, Tool


def by_hand(*grits: float) -> tuple[Step, ...]:
    return tuple(Step(number=g) for g in grits)


def spun(*grits: float) -> tuple[Step, ...]:
    return tuple(Step(number=g, tool=Tool.SPINNER, wet=True) for g in grits)


def interleaved(left: tuple[tuple[float, ...], ...]) -> Iterator[tuple[float, ...]]:
    """Every order in which all steps of all balls can be done one by one."""
    if not any(left):
        yield ()
        return
    for k, steps in enumerate(left):
        if steps:
            rest = (*left[:k], steps[1:], *left[k + 1 :])
            for after in interleaved(rest):
                yield (steps[0], *after)


def changes(order: Sequence[float]) -> int:
    return sum(1 for i, pad in enumerate(order) if i == 0 or pad != order[i - 1])


GRITS = st.sampled_from([500.0, 1000.0, 2000.0])
SETS = st.lists(st.lists(GRITS, min_size=1, max_size=3), min_size=1, max_size=3).filter(
    lambda balls: sum(map(len, balls)) <= 7
)


@settings(max_examples=80, deadline=None)
@given(SETS)
def test_no_order_of_the_steps_changes_pads_less(balls: list[list[float]]) -> None:
    jobs = [SurfaceJob(k, by_hand(*grits)) for k, grits in enumerate(balls)]
    fewest = min(changes(order) for order in interleaved(tuple(map(tuple, balls))))
    mounts = rounds(jobs)
    taken = [mount.step.number for mount in mounts]
    assert changes([n for n in taken if n is not None]) == fewest


@settings(max_examples=40, deadline=None)
@given(SETS)
def test_every_ball_gets_all_its_steps_in_their_order(balls: list[list[float]]) -> None:
    jobs = [SurfaceJob(k, by_hand(*grits)) for k, grits in enumerate(balls)]
    for job in jobs:
        had = [m.step.number for m in rounds(jobs) for ball_id in m.ball_ids if ball_id == job.ball_id]
        assert had == [s.number for s in job.steps]


def test_balls_that_want_one_grain_share_the_pad_from_coarse_to_fine() -> None:
    jobs = [SurfaceJob(1, spun(1000, 3000)), SurfaceJob(2, spun(500, 1000)), SurfaceJob(3, spun(500, 3000))]
    assert [(m.step.number, m.ball_ids) for m in rounds(jobs)] == [
        (500, (2, 3)), (1000, (1, 2)), (3000, (1, 3)),
    ]  # fmt: skip
    assert [job.ball_id for job in finished_in(jobs, rounds(jobs))] == [2, 1, 3]


def test_hand_and_spinner_are_two_pads_and_polish_comes_last() -> None:
    shine = (*spun(1000), Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True))
    jobs = [SurfaceJob(1, by_hand(1000)), SurfaceJob(2, shine)]
    assert len(rounds(jobs)) == 3
    assert pad_of(rounds(jobs)[-1].step)[0] is Abrasive.POLISH
    assert rounds([]) == ()


def test_many_balls_still_get_an_order() -> None:
    ways = product((360, 500), (800, 1000), (2000, 3000), (4000,))
    jobs = [SurfaceJob(k, spun(*grits)) for k, grits in enumerate(ways)]
    assert [m.step.number for m in rounds(jobs)] == [360, 500, 800, 1000, 2000, 3000, 4000]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(10, 16).map(float), min_size=1, max_size=6), st.integers(1, 3))
def test_no_other_packing_has_a_lighter_heaviest_bag(masses: list[float], bags: int) -> None:
    held = into_bags(masses, bags)
    assert sorted(i for bag in held for i in bag) == list(range(len(masses)))
    heaviest = max(sum(masses[i] for i in bag) for bag in held)
    lightest = min(
        max(sum(m for m, k in zip(masses, where, strict=True) if k == bag) for bag in range(bags))
        for where in product(range(bags), repeat=len(masses))
    )
    assert heaviest == lightest


def test_practice_shots_go_to_what_will_be_thrown_first() -> None:
    assert practice_shots((2.0, 1.0), 8) == (5, 3)
    assert practice_shots((3.0, 1.0, 1.0), 6) == (2, 2, 2)
    assert practice_shots((1.0, 1.0, 1.0), 2) == (1, 1, 0)
    assert practice_shots((), 8) == ()
