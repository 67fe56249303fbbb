"""Jobs into slots of work by integer optimisation: every choice of job and slot is weighed at once, exactly.

Minimise Σ cost·x + Σ wait·w + Σ price·y over x (job in slot), w (job left for later) and y (a grain is got out in a
slot), all 0 or 1, so that every job has one slot or waits, each slot's minutes hold its jobs and the getting out of
its grains, the heat cabinet and the pads in stock suffice, a ball that cools is left alone (`apart`), and a round
comes after the one before it. Solved by HiGHS through scipy; nothing here knows of dates.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

PAD_OUT_MIN = 1.0
"""Minutes to get a pad out, wet it and put it away, saved where the next ball takes the same one (our own
assumption)."""
MINUTE_PRICE = 0.05
"""What a minute at the bench is worth, in games played past due (our own assumption)."""
MOVE_PRICE = 0.6
"""What it costs to move a job that had its place: about half a game played past due (our own assumption)."""
TIME_LIMIT_S = 10.0

Grain = Hashable


@dataclass(frozen=True, slots=True)
class Room:
    """One slot of work on its day: bench minutes, and minutes of heat cabinet for all its places together."""

    key: str
    minutes: float
    cabinet_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Task:
    """One job to place. `cost` by index of each room it may stand in; `wait` where it is left for later."""

    key: str
    ball_id: int
    minutes: float
    """At the bench, without getting pads out."""
    cost: Mapping[int, float]
    wait: float
    grains: tuple[Grain, ...] = ()
    wear: float = 1.0
    """What one use takes of a grain's stock."""
    cabinet_min: float = 0.0
    after: str | None = None
    """Key of the round before."""
    apart: Mapping[str, Mapping[int, frozenset[int]]] = field(default_factory=dict)
    """By key of another job and by room this one may stand in: rooms in which the other may not stand then."""
    was: int | None = None
    """Room it had in the plan before."""
    must: bool = True
    """It falls due within these rooms, so that waiting means being left without a place."""
    soft: Mapping[int, float] = field(default_factory=dict)
    """Rooms that a rule of practice closes to it, and what it would cost to let that rule go; `solve` never does."""


@dataclass(frozen=True, slots=True)
class Problem:
    """All tasks, all rooms in the order of time, and what is left of each grain that is kept in stock."""

    tasks: tuple[Task, ...]
    rooms: tuple[Room, ...]
    stock: Mapping[Grain, float] = field(default_factory=dict)
    stock_rooms: int = 1_000_000
    """Rooms before this one have to do with the stock; by the later ones pads will have been bought."""
    pad_out_min: float = PAD_OUT_MIN
    minute_price: float = MINUTE_PRICE
    move_price: float = MOVE_PRICE


@dataclass(frozen=True, slots=True)
class Placed:
    """Where each task stands (index of its room; None where it waits) and what that costs. `exact` False where the
    time was up before it was proved that nothing better exists; `gap` is then the share it may be off by.
    """

    at: Mapping[str, int | None]
    cost: float
    exact: bool = True
    gap: float = 0.0


@dataclass(frozen=True, slots=True)
class Found:
    """A value for every column (None where the time was up before any was found), whether it is proved the best, and
    what no answer can be cheaper than.
    """

    values: np.ndarray | None
    exact: bool
    bound: float


def solve(problem: Problem, *, time_limit_s: float = TIME_LIMIT_S) -> Placed:
    """The best places. There always is an answer: a task may wait."""
    if not problem.tasks:
        return Placed({}, 0.0)
    model = Model(problem)
    found = model.run(time_limit_s)
    if found.exact:
        at = model.places(found.values)
        return Placed(at, cost_of(problem, at))
    from arsenal.plan.one_by_one import one_by_one  # noqa: PLC0415 - it knows problems, this only where time is up

    ways = [one_by_one(problem)] + ([model.places(found.values)] if found.values is not None else [])
    at = min(ways, key=lambda way: cost_of(problem, way))
    cost = cost_of(problem, at)
    return Placed(at, cost, exact=False, gap=max(cost - found.bound, 0.0) / max(cost, 1e-9))


def task_cost(problem: Problem, task: Task, room: int | None) -> float:
    """Of one task alone in a room, or waiting; the pads it gets out left out."""
    if room is None:
        return task.wait
    moved = problem.move_price if task.was is not None and task.was != room and task.was in task.cost else 0.0
    return task.cost[room] + problem.minute_price * task.minutes + moved


def cost_of(problem: Problem, at: Mapping[str, int | None]) -> float:
    """What the plan minimises, of any places."""
    whole = sum(task_cost(problem, task, at[task.key]) for task in problem.tasks)
    out = {(at[task.key], grain) for task in problem.tasks if at[task.key] is not None for grain in task.grains}
    return whole + problem.minute_price * problem.pad_out_min * len(out)


class Model:
    """The integer programme of a problem: columns, rows, and how to read an answer. `extra` columns come last."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.cost: list[float] = []
        self.upper: list[float] = []
        self.whole: list[int] = []
        self._row: list[int] = []
        self._column: list[int] = []
        self._value: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []
        self.x: dict[tuple[int, int], int] = {}
        self.w: list[int] = []
        self.out: dict[tuple[int, Grain], int] = {}
        self.minutes_row: dict[int, int] = {}
        self.cabinet_row: dict[int, int] = {}
        self.stock_row: dict[Grain, int] = {}
        self.place_row: list[int] = []
        self.by_room: dict[int, list[int]] = defaultdict(list)
        self._columns()
        self._places()
        self._room()
        self._pads()
        self._apart()
        self._rounds()

    def column(self, cost: float, upper: float = 1.0, *, whole: bool = True) -> int:
        """A new column from 0 to `upper`."""
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, terms: Iterable[tuple[int, float]], low: float, high: float) -> int:
        """A new row: low ≤ Σ value·column ≤ high."""
        number = len(self.low)
        self.low.append(low)
        self.high.append(high)
        for column, value in terms:
            self.term(number, column, value)
        return number

    def term(self, row: int, column: int, value: float) -> None:
        """One more term in a row."""
        self._row.append(row)
        self._column.append(column)
        self._value.append(value)

    def _columns(self) -> None:
        for number, task in enumerate(self.problem.tasks):
            for room in task.cost:
                self.x[number, room] = self.column(task_cost(self.problem, task, room))
                self.by_room[room].append(number)
            self.w.append(self.column(task.wait))
        for room, numbers in self.by_room.items():
            for grain in dict.fromkeys(g for n in numbers for g in self.problem.tasks[n].grains):
                price = self.problem.minute_price * self.problem.pad_out_min
                self.out[room, grain] = self.column(price)

    def _places(self) -> None:
        for number, task in enumerate(self.problem.tasks):
            columns = [self.x[number, room] for room in task.cost]
            self.place_row.append(self.row([(c, 1.0) for c in (*columns, self.w[number])], 1.0, 1.0))

    def _room(self) -> None:
        tasks, inf = self.problem.tasks, np.inf
        for room, numbers in self.by_room.items():
            held = self.problem.rooms[room]
            terms = [(self.x[n, room], tasks[n].minutes) for n in numbers]
            terms += [(c, self.problem.pad_out_min) for (at, _), c in self.out.items() if at == room]
            self.minutes_row[room] = self.row(terms, -inf, held.minutes)
            hot = [(self.x[n, room], tasks[n].cabinet_min) for n in numbers if tasks[n].cabinet_min > 0.0]
            if hot:
                self.cabinet_row[room] = self.row(hot, -inf, held.cabinet_min)
            for n in numbers:
                for grain in tasks[n].grains:
                    self.row([(self.x[n, room], 1.0), (self.out[room, grain], -1.0)], -inf, 0.0)

    def _pads(self) -> None:
        for grain, left in self.problem.stock.items():
            terms = [
                (column, self.problem.tasks[n].wear * self.problem.tasks[n].grains.count(grain))
                for (n, room), column in self.x.items()
                if room < self.problem.stock_rooms and grain in self.problem.tasks[n].grains
            ]  # fmt: skip
            if terms:
                self.stock_row[grain] = self.row(terms, -np.inf, left)

    def _apart(self) -> None:
        number_of = {task.key: number for number, task in enumerate(self.problem.tasks)}
        for number, task in enumerate(self.problem.tasks):
            for key, by_room in task.apart.items():
                other = number_of.get(key)
                if other is None:
                    continue
                alike: dict[frozenset[int], list[int]] = defaultdict(list)
                for room, closed in by_room.items():
                    if (number, room) in self.x:
                        alike[frozenset(r for r in closed if (other, r) in self.x)].append(room)
                for near, rooms in alike.items():  # rooms that close the same stand in one row, which binds tighter
                    columns = [self.x[number, room] for room in rooms] + [self.x[other, r] for r in near]
                    if near:
                        self.row([(column, 1.0) for column in columns], -np.inf, 1.0)

    def _rounds(self) -> None:
        number_of = {task.key: number for number, task in enumerate(self.problem.tasks)}
        for number, task in enumerate(self.problem.tasks):
            before = number_of.get(task.after or "")
            if before is None:
                continue
            earlier = self.problem.tasks[before].cost
            for room in sorted(task.cost):
                terms = [(self.x[number, r], 1.0) for r in task.cost if r <= room]
                terms += [(self.x[before, r], -1.0) for r in earlier if r < room]
                self.row(terms, -np.inf, 0.0)

    def run(self, time_limit_s: float) -> Found:
        """The best that is found in that time."""
        from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - takes a while to load
        from scipy.sparse import csr_matrix  # noqa: PLC0415

        shape = (len(self.low), len(self.cost))
        matrix = csr_matrix((self._value, (self._row, self._column)), shape=shape)
        found = milp(
            c=np.asarray(self.cost), integrality=np.asarray(self.whole), bounds=Bounds(0.0, np.asarray(self.upper)),
            constraints=LinearConstraint(matrix, np.asarray(self.low), np.asarray(self.high)),
            options={"time_limit": time_limit_s, "mip_rel_gap": 1e-9},
        )  # fmt: skip
        bound = getattr(found, "mip_dual_bound", None)
        return Found(found.x, found.x is not None and found.status == 0, 0.0 if bound is None else float(bound))

    def places(self, values: np.ndarray | None) -> dict[str, int | None]:
        """Where each task stands; nowhere without values."""
        at: dict[str, int | None] = {task.key: None for task in self.problem.tasks}
        if values is None:
            return at
        for (number, room), column in self.x.items():
            if values[column] > 0.5:
                at[self.problem.tasks[number].key] = room
        return at
