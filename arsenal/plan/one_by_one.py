"""A good plan without a proof: jobs placed one after the other, for when the optimisation's time is up.

The job that loses most by waiting, for each minute it takes, goes first, into the cheapest slot that still holds it.
"""

from __future__ import annotations

from collections import defaultdict

from arsenal.plan.schedule import Grain, Problem, Task, task_cost

Places = dict[str, int | None]


def one_by_one(problem: Problem) -> Places:
    """Where each task stands; every limit is kept."""
    state = _State(problem)
    rank = {task.key: n for n, task in enumerate(sorted(problem.tasks, key=_gain, reverse=True))}
    left = sorted(problem.tasks, key=lambda task: rank[task.key])
    moving = True
    while moving:  # a later round can stand only once the one before it does
        moving = False
        waiting = []
        for task in left:
            if state.place(task):
                moving = True
            else:
                waiting.append(task)
        again = any(task.after in state.placed for task in waiting if task.after)
        left, moving = waiting, moving and again
    return state.at


def _gain(task: Task) -> float:
    return (task.wait - min(task.cost.values(), default=task.wait)) / max(task.minutes, 0.5)


class _State:
    """What is taken so far."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.at: Places = {task.key: None for task in problem.tasks}
        self.placed: set[str] = set()
        self._keys = set(self.at)
        self._minutes = [room.minutes for room in problem.rooms]
        self._cabinet = [room.cabinet_min for room in problem.rooms]
        self._out: dict[int, set[Grain]] = defaultdict(set)
        self._stock = dict(problem.stock)
        self._closed: dict[str, set[int]] = defaultdict(set)

    def place(self, task: Task) -> bool:
        """Into the cheapest room that holds it, where waiting costs more; whether it was."""
        rooms = sorted(task.cost, key=lambda room: task_cost(self.problem, task, room))
        for room in rooms:
            if task_cost(self.problem, task, room) >= task.wait:
                return False
            if self._holds(task, room):
                self._take(task, room)
                return True
        return False

    def _fresh(self, task: Task, room: int) -> set[Grain]:
        return set(task.grains) - self._out[room]

    def _holds(self, task: Task, room: int) -> bool:
        minutes = task.minutes + self.problem.pad_out_min * len(self._fresh(task, room))
        if minutes > self._minutes[room] or task.cabinet_min > self._cabinet[room] or room in self._closed[task.key]:
            return False
        counted = room < self.problem.stock_rooms
        if counted and any(task.wear * task.grains.count(g) > self._stock.get(g, float("inf")) for g in task.grains):
            return False
        if any(self.at.get(key) in near.get(room, ()) for key, near in task.apart.items() if key in self.placed):
            return False
        if task.after is None or task.after not in self._keys:
            return True
        before = self.at[task.after]
        return before is not None and before < room

    def _take(self, task: Task, room: int) -> None:
        self._minutes[room] -= task.minutes + self.problem.pad_out_min * len(self._fresh(task, room))
        self._cabinet[room] -= task.cabinet_min
        self._out[room] |= set(task.grains)
        if room < self.problem.stock_rooms:
            for grain in set(task.grains):
                if grain in self._stock:
                    self._stock[grain] -= task.wear * task.grains.count(grain)
        for key, near in task.apart.items():
            self._closed[key] |= near.get(room, frozenset())
        self.at[task.key] = room
        self.placed.add(task.key)
