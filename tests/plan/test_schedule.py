"""Jobs into slots against every arrangement there is, on cases small enough to try them all.

The search below knows only what may stand where and what a place costs; it shares no code with the optimisation.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal.plan.one_by_one import one_by_one
from arsenal.plan.relax import MINUTE, PAD, SLOT, Limit, least
from arsenal.plan.schedule import Problem, Room, Task, cost_of, solve

GRAINS = ("500", "1000", "2000")


def price(problem: Problem, at: dict[str, int | None]) -> float:
    """Cost of an arrangement, added up by hand."""
    whole = 0.0
    got_out = set()
    for task in problem.tasks:
        room = at[task.key]
        if room is None:
            whole += task.wait
            continue
        whole += task.cost[room] + problem.minute_price * task.minutes
        if task.was is not None and task.was != room and task.was in task.cost:
            whole += problem.move_price
        got_out |= {(room, grain) for grain in task.grains}
    return whole + len(got_out) * problem.minute_price * problem.pad_out_min


def overfull(problem: Problem, at: dict[str, int | None]) -> tuple[Counter[int], Counter[int], Counter[str]]:
    """Minutes and cabinet minutes by room, and use by grain, beyond what there is."""
    minutes, cabinet, used = Counter[int](), Counter[int](), Counter[str]()
    for task in problem.tasks:
        room = at[task.key]
        if room is not None:
            minutes[room] += task.minutes
            cabinet[room] += task.cabinet_min
            for grain in task.grains:
                if room < problem.stock_rooms:
                    used[grain] += task.wear
    for room, _ in {(at[t.key], g) for t in problem.tasks if at[t.key] is not None for g in t.grains}:
        minutes[room] += problem.pad_out_min
    over = lambda had, most: Counter({k: v - most(k) for k, v in had.items() if v > most(k) + 1e-9})  # noqa: E731
    return (
        over(minutes, lambda r: problem.rooms[r].minutes), over(cabinet, lambda r: problem.rooms[r].cabinet_min),
        over(used, lambda g: problem.stock.get(g, float("inf"))),
    )  # fmt: skip


def clashes(problem: Problem, at: dict[str, int | None]) -> bool:
    """Whether a cooling ball is worked on, or a round stands before the one it follows."""
    for task in problem.tasks:
        room = at[task.key]
        if room is None:
            continue
        if any(at.get(key) in closed.get(room, ()) for key, closed in task.apart.items()):
            return True
        before = at.get(task.after, -1) if task.after else -1
        if task.after in at and (before is None or before >= room):
            return True
    return False


def arrangements(problem: Problem, *, soft: bool = False) -> Iterator[dict[str, int | None]]:
    choices = [(None, *task.cost, *(task.soft if soft else ())) for task in problem.tasks]
    for picked in product(*choices):
        yield dict(zip((task.key for task in problem.tasks), picked, strict=True))


def best_of_all(problem: Problem) -> float:
    fit = (at for at in arrangements(problem) if not clashes(problem, at) and not any(overfull(problem, at)))
    return min(price(problem, at) for at in fit)


def least_of_all(problem: Problem, refill: float) -> float:
    """The cheapest set of oversteps that places everything that must be."""
    must = Problem(
        tuple(t for t in problem.tasks if t.must), problem.rooms, problem.stock, problem.stock_rooms,
        problem.pad_out_min,
    )  # fmt: skip
    found = []
    for at in arrangements(must, soft=True):
        if clashes(must, at):
            continue
        minutes, cabinet, used = overfull(must, at)
        pads = sum(-(-(over - 1e-9) // refill) for over in used.values())
        rules = sum(t.soft[at[t.key]] for t in must.tasks if at[t.key] in t.soft and at[t.key] not in t.cost)
        waits = sum(SLOT for t in must.tasks if at[t.key] is None)
        found.append(MINUTE * (minutes.total() + cabinet.total()) + PAD * pads + rules + waits)
    return min(found)


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    rooms = draw(st.integers(1, 4))
    count = draw(st.integers(1, 4))
    whole = st.integers(0, 12).map(float)
    tasks = []
    for n in range(count):
        at = draw(st.sets(st.integers(0, rooms - 1)))
        soft = draw(st.sets(st.integers(0, rooms - 1))) - at
        near = {r: frozenset(x for x in (r, r + 1) if x < rooms) for r in range(rooms)}
        tasks.append(Task(
            str(n), 1 + n // 2, draw(st.sampled_from((2.0, 5.0, 12.0))),
            {r: draw(whole) for r in sorted(at)}, draw(st.sampled_from((3.0, 40.0))),
            tuple(sorted(draw(st.sets(st.sampled_from(GRAINS), max_size=2)))), draw(st.sampled_from((0.5, 1.0))),
            draw(st.sampled_from((0.0, 0.0, 40.0))), draw(st.sampled_from((None, str(n - 1)))) if n else None,
            {str(n + 1): near} if draw(st.booleans()) else {}, draw(st.sampled_from((None, *range(rooms)))),
            draw(st.booleans()), {r: draw(st.sampled_from((5.0, 20.0))) for r in sorted(soft)},
        ))  # fmt: skip
    held = tuple(
        Room(str(r), draw(st.sampled_from((0.0, 6.0, 15.0, 60.0))), draw(st.sampled_from((0.0, 40.0))))
        for r in range(rooms)
    )
    stock = draw(st.dictionaries(st.sampled_from(GRAINS), st.sampled_from((0.0, 1.0, 1.5))))
    return Problem(tuple(tasks), held, stock, draw(st.integers(0, rooms)), draw(st.sampled_from((0.0, 1.0))))


@settings(max_examples=250, deadline=None)
@given(problems())
def test_the_plan_is_the_best_of_all_arrangements(problem: Problem) -> None:
    placed = solve(problem)
    at = dict(placed.at)
    assert placed.exact
    assert not clashes(problem, at)
    assert not any(overfull(problem, at))
    assert placed.cost == pytest.approx(price(problem, at))
    assert placed.cost == pytest.approx(best_of_all(problem), abs=1e-6)


@settings(max_examples=300, deadline=None)
@given(problems())
def test_placing_one_after_the_other_keeps_every_limit_and_never_beats_the_best(problem: Problem) -> None:
    at = one_by_one(problem)
    assert not clashes(problem, at)
    assert not any(overfull(problem, at))
    assert price(problem, at) >= best_of_all(problem) - 1e-9


def test_when_the_time_is_up_there_is_a_plan_and_it_says_how_far_off_it_may_be() -> None:
    tasks = tuple(
        Task(f"{n}", n, 3.0 + n % 7, {s: float((n * 7 + s * 3) % 11) for s in range(6)}, 60.0,
             (GRAINS[n % 3], GRAINS[(n + n // 3) % 3]))
        for n in range(600)
    )  # fmt: skip
    problem = Problem(tasks, tuple(Room(str(s), 97.0) for s in range(6)))
    placed = solve(problem, time_limit_s=0.01)
    assert not placed.exact
    assert not any(overfull(problem, dict(placed.at)))
    assert 0.0 <= placed.gap <= 1.0
    assert placed.cost < sum(task.wait for task in tasks)


@settings(max_examples=250, deadline=None)
@given(problems())
def test_what_has_to_give_is_the_least_of_all_that_could(problem: Problem) -> None:
    found = least(problem, dict.fromkeys(GRAINS, 1.0))
    assert sum(one.price for one in found) == pytest.approx(least_of_all(problem, 1.0), abs=1e-5)


def task(key: str, cost: dict[int, float], **fields: object) -> Task:
    return Task(key, 1, 3.0, cost, 50.0, **fields)  # type: ignore[arg-type]


def test_jobs_of_one_grain_stand_together_where_that_saves_minutes() -> None:
    rooms = (Room("tue", 7.0), Room("thu", 7.0))
    alike = [task(f"{n}", {0: 1.0, 1: 1.0}, grains=(grain,)) for n, grain in enumerate(("1000", "500", "1000", "500"))]
    at = solve(Problem(tuple(alike), rooms)).at
    assert at["0"] == at["2"] != at["1"] == at["3"]


def test_a_job_keeps_its_place_unless_another_is_clearly_better() -> None:
    rooms = (Room("tue", 30.0), Room("thu", 30.0))
    kept = task("a", {0: 1.0, 1: 0.6}, was=0)
    moved = task("b", {0: 3.0, 1: 0.6}, was=0)
    at = solve(Problem((kept, moved), rooms)).at
    assert at == {"a": 0, "b": 1}


def test_a_warm_ball_is_left_alone_while_it_cools() -> None:
    rooms = (Room("mon", 60.0, 60.0), Room("tue", 60.0), Room("wed", 60.0))
    oil = task("oil", {0: 0.0}, cabinet_min=40.0, apart={"pads": {0: frozenset({0, 1})}})
    assert solve(Problem((oil, task("pads", {0: 0.0, 1: 0.1, 2: 2.0})), rooms)).at == {"oil": 0, "pads": 2}


def test_a_missing_pad_and_missing_minutes_are_named() -> None:
    rooms = (Room("tue", 4.0),)
    short = tuple(task(f"{n}", {0: 0.0}, grains=("1000",)) for n in range(2))
    found = {one.limit: one.amount for one in least(Problem(short, rooms, {"1000": 1.0}), {"1000": 1.0})}
    assert found == {Limit.MINUTES: pytest.approx(3.0), Limit.PADS: 1.0}


def test_a_job_that_no_slot_can_take_asks_for_one() -> None:
    found = least(Problem((task("spin", {}),), (Room("tue", 60.0),)), {})
    assert [(one.limit, one.task) for one in found] == [(Limit.SLOT, "spin")]


def test_a_shop_of_two_hundred_balls_is_placed_exactly() -> None:
    tasks = tuple(
        Task(f"{n}", n, (3.0, 12.0, 10.0)[n % 3], {s: abs(s - n % 5) * 1.0 for s in range(5)}, 50.0,
             ((GRAINS[n % 3],), GRAINS, ())[n % 3], cabinet_min=(0.0, 0.0, 40.0)[n % 3])
        for n in range(200)
    )  # fmt: skip
    problem = Problem(tasks, tuple(Room(str(s), 300.0, 480.0) for s in range(5)))
    placed = solve(problem, time_limit_s=120.0)
    assert placed.exact
    assert not any(overfull(problem, dict(placed.at)))
    assert placed.cost == pytest.approx(cost_of(problem, placed.at))
