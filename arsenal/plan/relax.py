"""What would have to give, at the least, for every job that falls due to have its place: elastic programming.

Every limit gets a column of its own by which it may be overstepped, at a price; the cheapest set of these that lets
all jobs stand is the answer. The prices say which limit a person would rather let go (our own assumption): a minute
more costs 1, a pad 15, an evening more 60, and a rule of practice what the rule says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from arsenal.plan.schedule import TIME_LIMIT_S, Grain, Model, Problem

MINUTE, CABINET_MINUTE, PAD, SLOT = 1.0, 1.0, 15.0, 60.0
MOST_MINUTES, MOST_PADS = 1440.0, 40.0


class Limit(StrEnum):
    """What is overstepped."""

    MINUTES = "minutes"
    CABINET = "heat cabinet"
    PADS = "pads"
    RULE = "rule"
    SLOT = "slot"


@dataclass(frozen=True, slots=True)
class Overstep:
    """One limit and by how much. `room` or `grain` or `task` names it, as the limit asks."""

    limit: Limit
    amount: float
    price: float
    room: int | None = None
    grain: Grain = None
    task: str = ""


def least(
    problem: Problem, refill: Mapping[Grain, float], *, time_limit_s: float = TIME_LIMIT_S
) -> tuple[Overstep, ...]:
    """The cheapest set of oversteps; empty where everything finds its place as it is, and where
    the time was up first. `refill` is what one new pad
    adds to the stock of its grain.
    """
    tasks = tuple(
        replace(task, cost={**dict.fromkeys(task.cost, 0.0), **task.soft}, wait=SLOT, was=None)
        for task in problem.tasks if task.must
    )  # fmt: skip
    if not tasks:
        return ()
    asked = replace(problem, tasks=tasks, minute_price=0.0)
    model = Model(asked)
    more = {room: model.column(MINUTE, MOST_MINUTES, whole=False) for room in model.minutes_row}
    hotter = {room: model.column(CABINET_MINUTE, MOST_MINUTES, whole=False) for room in model.cabinet_row}
    pads = {grain: model.column(PAD, MOST_PADS) for grain in model.stock_row if refill.get(grain, 0.0) > 0.0}
    for room, column in more.items():
        model.term(model.minutes_row[room], column, -1.0)
    for room, column in hotter.items():
        model.term(model.cabinet_row[room], column, -1.0)
    for grain, column in pads.items():
        model.term(model.stock_row[grain], column, -refill[grain])
    values = model.run(time_limit_s).values
    if values is None:
        return ()
    return (*_limits(values, more, hotter, pads), *_rules(asked, model, values))


def _limits(
    values: np.ndarray, more: Mapping[int, int], hotter: Mapping[int, int], pads: Mapping[Grain, int]
) -> tuple[Overstep, ...]:
    found = []
    for limit, price, by_room in ((Limit.MINUTES, MINUTE, more), (Limit.CABINET, CABINET_MINUTE, hotter)):
        for room, column in sorted(by_room.items()):
            amount = float(values[column])
            if amount > 1e-6:
                found.append(Overstep(limit, amount, price * amount, room=room))
    for grain, column in pads.items():
        count = round(float(values[column]))
        if count:
            found.append(Overstep(Limit.PADS, float(count), PAD * count, grain=grain))
    return tuple(found)


def _rules(problem: Problem, model: Model, values: np.ndarray) -> tuple[Overstep, ...]:
    at = model.places(values)
    found = []
    for task in problem.tasks:
        room = at[task.key]
        if room is None:
            found.append(Overstep(Limit.SLOT, 1.0, SLOT, task=task.key))
        elif room in task.soft:
            found.append(Overstep(Limit.RULE, 1.0, task.soft[room], room=room, task=task.key))
    return tuple(found)
