"""Which balls with which finishes go to an event: an exact choice by integer optimisation (SciPy's HiGHS).

In this order: the room that covers the worst stage, doubt taken off, is made as large as it can be; then the sum over
the stages; then overlaps are avoided and gaps filled; then work is made as little as it can be; then the stages the set
may not come to are covered, and as many balls go along as that leaves room for. Each step keeps what those before won.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from arsenal.motion.records import Floats
from arsenal.order.compare import Reaction, overlap
from arsenal.surface.state import Estimate
from arsenal.trade.errors import KnownError

BAG_VERSION = "1"
"""Changes whenever the same rooms would give another bag."""
DOUBT = 1.0
"""How many spreads are taken off a room before it counts."""
GRAIN = 0.04
"""Four shots in a hundred: less is no reason to touch a ball, nor told apart on a worn film (our own assumption)."""
LEVEL_BOARDS = 1.25
GAP_BOARDS = 5.0
"""Over five boards to the next ball is a gap (common practice, no source)."""
WON = 1e-7
"""What a later step may give up of an earlier one: the arithmetic's own grain."""


@dataclass(frozen=True, slots=True)
class Option:
    """One ball with one finish. `rooms` one a stage; `stands` is its place in the order on the first stage."""

    ball_id: int
    finish: str
    rooms: tuple[Estimate, ...]
    minutes: float
    stands: Reaction

    def counted(self, doubt: float) -> Floats:
        """Room with its doubt taken off, in steps of `GRAIN`, never under nothing."""
        left = np.array([max(r.mean - doubt * r.sd, 0.0) for r in self.rooms])
        return np.asarray(np.floor(left / GRAIN + 1e-9) * GRAIN)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the choice is bound by. `settled` pins (True) or leaves (False) a ball; `finishes` fixes a ball's finish."""

    most: int
    minutes: float | None = None
    settled: Mapping[int, bool] = field(default_factory=dict)
    finishes: Mapping[int, str] = field(default_factory=dict)
    likely: tuple[bool, ...] = ()
    """Whether the set comes to each stage; empty: to all."""
    doubt: float = DOUBT


@dataclass(frozen=True, slots=True)
class Bag:
    """The choice. `covers` holds for each stage the option with the most room, None where none has any."""

    taken: tuple[Option, ...]
    covers: tuple[Option | None, ...]
    covered: tuple[float, ...]
    """Room, doubt taken off, of each of them."""
    worst: float
    total: float
    overlaps: int
    filled: int
    minutes: float


def levels(options: Sequence[Option]) -> Floats:
    """Marks on the scale of boards, from the weakest option to the strongest; one is filled by a ball within half a gap
    of it.
    """
    boards = [o.stands.boards for o in options]
    low, high = min(boards), max(boards)
    return np.arange(low, high + 0.5 * LEVEL_BOARDS, LEVEL_BOARDS)


def filled(options: Sequence[Option], taken: Sequence[Option]) -> int:
    """How many marks have a taken ball within half a gap."""
    have = [o.stands.boards for o in taken]
    return sum(any(abs(at - own) <= 0.5 * GAP_BOARDS for own in have) for at in levels(options).tolist())


def overlapping(options: Sequence[Option]) -> list[tuple[int, int]]:
    """Pairs of options of two balls that would overlap."""
    return [
        (i, j)
        for i, j in combinations(range(len(options)), 2)
        if options[i].ball_id != options[j].ball_id and overlap(options[i].stands, options[j].stands)
    ]


def check(options: Sequence[Option], asked: Asked, names: Mapping[int, str]) -> None:
    """Raises KnownError, naming what to change, where no bag can be as asked."""
    if asked.most < 1:
        raise KnownError("No ball is allowed.", next_step="Say how many balls the event allows.")
    pinned = [b for b, take in asked.settled.items() if take]
    if len(pinned) > asked.most:
        said = ", ".join(names.get(b, "a ball") for b in pinned)
        many = f"{len(pinned)} balls are pinned and {asked.most} may be taken: {said}."
        raise KnownError(many, next_step=f"Unpin {len(pinned) - asked.most}, or allow more balls.")
    for ball in pinned:
        own = _open(options, asked, ball)
        if not own:
            raise KnownError(
                f"{names.get(ball, 'A pinned ball')} is pinned and cannot be taken as asked.",
                next_step="Let go of its finish, or unpin it.",
            )
    if asked.minutes is None:
        return
    least = sum(min(o.minutes for o in _open(options, asked, ball)) for ball in pinned)
    if least > asked.minutes + 1e-9:
        said = f"The finishes settled by hand take {least:.0f} min and {asked.minutes:.0f} min are there."
        raise KnownError(said, next_step=f"Find {least - asked.minutes:.0f} more minutes, or let go of a finish.")


def _open(options: Sequence[Option], asked: Asked, ball: int) -> list[Option]:
    wanted = asked.finishes.get(ball)
    return [o for o in options if o.ball_id == ball and wanted in (None, o.finish)]


def choose(options: Sequence[Option], asked: Asked, names: Mapping[int, str] | None = None) -> Bag:
    """The best bag of `options`. Raises KnownError, naming what to change, where none can be as asked."""
    check(options, asked, names or {})
    usable = [
        o for o in options
        if asked.settled.get(o.ball_id) is not False and asked.finishes.get(o.ball_id) in (None, o.finish)
    ]  # fmt: skip
    if not usable:
        return _bag(options, (), asked)
    problem = _Problem(usable, options, asked)
    for step in (problem.worst, problem.total, problem.apart, problem.work, problem.rest):
        step()
    return _bag(options, problem.taken, asked)


def reach(options: Sequence[Option], asked: Asked) -> Bag:
    """Worst and total alone: what `choose` would cover, without its later steps; for asking “what if”."""
    usable = [
        o for o in options
        if asked.settled.get(o.ball_id) is not False and asked.finishes.get(o.ball_id) in (None, o.finish)
    ]  # fmt: skip
    if not usable:
        return _bag(options, (), asked)
    problem = _Problem(_undominated(usable, asked.doubt), options, asked)
    problem.worst()
    problem.total()
    return _bag(options, problem.taken, asked)


def _undominated(usable: Sequence[Option], doubt: float) -> list[Option]:
    """Without finishes that another of the same ball beats everywhere for no more work: they change no room."""
    kept: list[Option] = []
    rooms = {id(o): o.counted(doubt) for o in usable}
    for option in sorted(usable, key=lambda o: (o.ball_id, o.minutes, -float(rooms[id(o)].sum()))):
        own = rooms[id(option)]
        if not any(o.ball_id == option.ball_id and bool((rooms[id(o)] >= own - 1e-12).all()) for o in kept):
            kept.append(option)
    return kept


def weights(asked: Asked, stages: int) -> Floats:
    """What each stage weighs in the sum: nothing where the set does not come to it."""
    return np.array(asked.likely or (True,) * stages, np.float64)


def _at(option: Option, stage: int, doubt: float) -> tuple[float, float]:
    """What counts at a stage, and of equals what is left of the room exactly."""
    room = option.rooms[stage]
    return float(option.counted(doubt)[stage]), room.mean - doubt * room.sd


def _bag(options: Sequence[Option], taken: Sequence[Option], asked: Asked) -> Bag:
    stages = len(options[0].rooms) if options else len(asked.likely)
    covers: list[Option | None] = []
    covered = []
    for s in range(stages):
        best = max(taken, key=lambda o: (_at(o, s, asked.doubt), -o.ball_id), default=None)
        room = float(best.counted(asked.doubt)[s]) if best else 0.0
        covers.append(best if room > 0.0 else None)
        covered.append(room)
    likely = asked.likely or (True,) * stages
    worst = min((c for c, here in zip(covered, likely, strict=True) if here), default=0.0)
    return Bag(
        tuple(taken), tuple(covers), tuple(covered), worst, float(np.dot(weights(asked, stages), covered)),
        len(overlapping(taken)), filled(options, taken), sum(o.minutes for o in taken),
    )  # fmt: skip


def _meets(usable: Sequence[Option]) -> dict[tuple[int, int], dict[int, list[int]]]:
    """For each two balls that may overlap, the options of the other that each option of the first overlaps: at most one
    finish of a ball is taken, so that these stand together in one row.
    """
    found: dict[tuple[int, int], dict[int, list[int]]] = {}
    for i, j in overlapping(usable):
        both = (usable[i].ball_id, usable[j].ball_id)
        found.setdefault(both, {}).setdefault(i, []).append(j)
    return found


class _Problem:
    """Variables in a row: taken (n), share of each stage by option (S·n), worst, overlaps (p), marks filled (h)."""

    def __init__(self, usable: Sequence[Option], options: Sequence[Option], asked: Asked) -> None:
        self.usable, self.asked = usable, asked
        self.rooms = np.array([o.counted(asked.doubt) for o in usable]).T
        self.stages, self.n = len(usable[0].rooms), len(usable)
        self.meets, self.marks = _meets(usable), levels(options)
        self.at_worst = self.n * (1 + self.stages)
        self.at_pairs = self.at_worst + 1
        self.at_marks = self.at_pairs + len(self.meets)
        self.size = self.at_marks + self.marks.size
        self.weights = weights(asked, self.stages)
        self.rows: list[tuple[list[int], list[float], float, float]] = []
        self.taken: tuple[Option, ...] = ()
        self._bag_rows()
        self._stage_rows()
        self.later = len(self.rows)

    def _share(self, stage: int, option: int) -> int:
        return self.n * (1 + stage) + option

    def _row(self, at: list[int], by: list[float], low: float, high: float) -> None:
        self.rows.append((at, by, low, high))

    def _bag_rows(self) -> None:
        """No more balls than may be taken, one finish a ball, pinned ones in, no more minutes than there are."""
        every = list(range(self.n))
        self._row(every, [1.0] * self.n, 0.0, float(self.asked.most))
        for ball in dict.fromkeys(o.ball_id for o in self.usable):
            own = [i for i in every if self.usable[i].ball_id == ball]
            self._row(own, [1.0] * len(own), 1.0 if self.asked.settled.get(ball) else 0.0, 1.0)
        if self.asked.minutes is not None:
            self._row(every, [o.minutes for o in self.usable], -np.inf, self.asked.minutes)

    def _stage_rows(self) -> None:
        """A stage is covered by what is taken, once; the worst is no better than any stage the set comes to."""
        likely = self.asked.likely or (True,) * self.stages
        for s in range(self.stages):
            shares = [self._share(s, i) for i in range(self.n)]
            self._row(shares, [1.0] * self.n, 0.0, 1.0)
            for i in range(self.n):
                self._row([shares[i], i], [1.0, -1.0], -np.inf, 0.0)
            if likely[s]:
                self._row([*shares, self.at_worst], [*self.rooms[s], -1.0], 0.0, np.inf)

    def _apart_rows(self) -> None:
        """Two balls overlap where finishes that do are taken of both; a mark is filled where a ball near it is."""
        for p, met in enumerate(self.meets.values()):
            for i, others in met.items():
                self._row([i, *others, self.at_pairs + p], [1.0] * (1 + len(others)) + [-1.0], -np.inf, 1.0)
        for m, at in enumerate(self.marks):
            near = [i for i, o in enumerate(self.usable) if abs(o.stands.boards - at) <= 0.5 * GAP_BOARDS]
            self._row([*near, self.at_marks + m], [*([-1.0] * len(near)), 1.0], -np.inf, 0.0)

    def worst(self) -> None:
        """The worst stage as well covered as can be."""
        aim = np.zeros(self.size)
        aim[self.at_worst] = -1.0
        self._solve(aim)
        likely = self.asked.likely or (True,) * self.stages
        won = min((c for c, here in zip(self._covered(), likely, strict=True) if here), default=0.0)
        self._row([self.at_worst], [1.0], won - WON, np.inf)

    def total(self) -> None:
        """All stages together as well covered as can be."""
        aim = np.zeros(self.size)
        for s in range(self.stages):
            aim[self._share(s, 0) : self._share(s, self.n)] = -self.weights[s] * self.rooms[s]
        self._solve(aim)
        at = np.flatnonzero(aim)
        self._row(at.tolist(), (-aim[at]).tolist(), float(self.weights @ self._covered()) - WON, np.inf)

    def apart(self) -> None:
        """Overlaps avoided, gaps filled: whole numbers, so that half of one is no better."""
        self._apart_rows()
        aim = np.zeros(self.size)
        aim[self.at_pairs : self.at_marks], aim[self.at_marks :] = 1.0, -1.0
        won = round(self._solve(aim))
        at = np.flatnonzero(aim)
        self._row(at.tolist(), aim[at].tolist(), -np.inf, won + 0.5)

    def _covered(self) -> Floats:
        """Room at each stage of what the last step took."""
        here = [i for i, o in enumerate(self.usable) if o in self.taken]
        return np.asarray(self.rooms[:, here].max(axis=1, initial=0.0))

    def work(self) -> None:
        """The least work."""
        aim = np.zeros(self.size)
        aim[: self.n] = [o.minutes for o in self.usable]
        self._solve(aim)
        self._row(list(range(self.n)), aim[: self.n].tolist(), -np.inf, sum(o.minutes for o in self.taken) + WON)

    def rest(self) -> None:
        """Stages the set may not come to; places left over go to balls that add no overlap: something may break."""
        aim = np.zeros(self.size)
        for s in np.flatnonzero(self.weights == 0.0):
            aim[self._share(int(s), 0) : self._share(int(s), self.n)] = -self.rooms[s]
        aim[: self.n] = -1e-3
        self._solve(aim)

    def _solve(self, aim: Floats) -> float:
        lengths = [len(at) for at, _, _, _ in self.rows]
        columns = np.concatenate([np.array(at, np.intp) for at, _, _, _ in self.rows])
        values = np.concatenate([np.array(by, np.float64) for _, by, _, _ in self.rows])
        starts = np.concatenate([[0], np.cumsum(lengths)])
        matrix = csr_array((values, columns, starts), shape=(len(self.rows), self.size))
        bound = LinearConstraint(matrix, [r[2] for r in self.rows], [r[3] for r in self.rows])
        whole = np.zeros(self.size)
        whole[: self.n] = 1.0
        found = milp(
            aim, constraints=bound, bounds=Bounds(np.zeros(self.size), np.ones(self.size)), integrality=whole,
            options={"mip_rel_gap": 0.0},
        )  # fmt: skip
        if found.x is None:
            raise KnownError(
                "No bag can be as asked.", next_step="Unpin a ball, let go of a finish, or find more minutes."
            )
        self.taken = tuple(o for o, here in zip(self.usable, found.x[: self.n], strict=True) if here > 0.5)
        return float(found.fun)
