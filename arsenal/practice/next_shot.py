"""The next shot worth throwing: the one after which the order of the set would be least in doubt.

Expected fall of the doubt from the same straight lines (linear-Gaussian design: how sure one will be does not depend on
what will be seen). A test that sands nothing comes before one that does: sanding takes time and cannot be undone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from arsenal.motion.records import Floats
from arsenal.practice import model, straight
from arsenal.practice.carried import carried
from arsenal.practice.cases import Case, Thrown
from arsenal.practice.finishes import finish_words
from arsenal.practice.posterior import Posterior
from arsenal.practice.taught import FIRST_READ, LANDING
from arsenal.surface import after_work, minutes
from arsenal.surface.state import ZERO
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.priors import Priors
from arsenal.trade.trial import Sighting, Trial
from arsenal.trade.units import BOARD_M

TODAY = "the next shot"
SHOT_MIN = 1.0
"""A: minutes a shot takes, walking and noting included."""
WORTH_BOARDS = 0.05
"""A: a shot that would take less off the doubt of the whole order is not worth asking for."""
READ = np.array([LANDING, FIRST_READ])
"""What anybody can note of one shot."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One shot that could be thrown: a ball as it is, or after a recipe; wiped or not."""

    ball_id: int
    recipe: Recipe | None
    wiped: bool
    thrown: Thrown
    work_min: float

    @property
    def sands(self) -> bool:
        """Whether it leaves the ball another one than it was."""
        return self.recipe is not None


@dataclass(frozen=True, slots=True)
class WorthThrowing:
    """A test and what it would take off the order's doubt: boards, summed over the set against the benchmark."""

    candidate: Candidate
    before_boards: float
    fall_boards: float
    sentence: str


def candidates_of(
    owned: Sequence[Thrown], recipes: Sequence[Recipe], pads: dict[int, Pad], priors: Priors
) -> tuple[Candidate, ...]:
    """Every ball as it is, wiped and not, and wiped after each recipe that makes it coarser."""
    made = []
    for t in owned:
        made += [Candidate(t.ball.id, None, True, replace(t, state=replace(t.state, film_m=ZERO)), 0.0)]
        if t.state.film_m.mean > priors.oil.film_wiped_m:
            made.append(Candidate(t.ball.id, None, False, t, 0.0))
        for recipe in recipes:
            after = after_work(t.ball, t.state, recipe.steps, priors, pads=pads)
            if after.ln_ra_m.mean > t.state.ln_ra_m.mean:
                after = replace(after, film_m=ZERO)
                made.append(Candidate(t.ball.id, recipe, True, replace(t, state=after), minutes(recipe.steps)))
    return tuple(made)


def next_shots(
    found: Posterior | None, owned: Sequence[Thrown], benchmark_id: int | None, tests: Sequence[Candidate],
    priors: Priors, *, question: tuple[int, int] | None = None,
) -> tuple[WorthThrowing, ...]:  # fmt: skip
    """`tests` worth throwing, best first: those that sand nothing, then the others by what they give a minute.

    The doubt is that of every ball's boards against the benchmark, or of the two balls in `question` against each
    other. `owned` are the balls as they are on the lane in question. Raises KnownError with fewer than two balls.
    """
    if len({t.ball.id for t in owned}) < 2:
        raise KnownError("With one ball there is no order to be in doubt of.", next_step="Choose two balls or more.")
    here = [replace(t, outing=TODAY) for t in owned]
    there = [replace(test.thrown, outing=TODAY) for test in tests]
    past = list(found.cases) if found is not None else []
    where = model.layout([*past, *(_case(i, t) for i, t in enumerate([*here, *there]))], priors)
    mean, cov = carried(found, where)
    lines = straight.straight([_case(i, t) for i, t in enumerate([*here, *there])], where, mean, priors)
    asked = _asked(here, lines.slope[: len(here), LANDING], benchmark_id, question)
    before = doubt_boards(asked, cov)
    worth = []
    for test, slope, noise in zip(tests, lines.slope[len(here) :], lines.noise[len(here) :], strict=True):
        fall = before - doubt_boards(asked, after_seeing(cov, slope[READ], noise[np.ix_(READ, READ)]))
        if fall >= WORTH_BOARDS:
            worth.append(WorthThrowing(test, before, fall, sentence(test, before, fall)))
    return tuple(sorted(worth, key=lambda w: (w.candidate.sands, -w.fall_boards / (SHOT_MIN + w.candidate.work_min))))


def _case(seq: int, t: Thrown) -> Case:
    return Case(Trial(seq, t.ball.id, 0, t.lane.id, date.min, t.outing, Sighting()), (t,))


def _asked(
    owned: Sequence[Thrown], landing: Floats, benchmark_id: int | None, question: tuple[int, int] | None
) -> Floats:
    """The differences in landing that are in question, as rows over the unknowns."""
    row = {t.ball.id: landing[i] for i, t in enumerate(owned)}
    if question is not None:
        return np.asarray([row[question[0]] - row[question[1]]])
    zero = row.get(benchmark_id or 0)
    if zero is None:
        zero = landing.mean(axis=0)
    return np.stack([r - zero for ball, r in row.items() if ball != benchmark_id])


def doubt_boards(asked: Floats, cov: Floats) -> float:
    """One sd of each difference asked for, summed, boards."""
    return float(np.sqrt(np.maximum(np.einsum("id,de,ie->i", asked, cov, asked), 0.0)).sum()) / BOARD_M


def after_seeing(cov: Floats, slope: Floats, noise: Floats) -> Floats:
    """Covariance after one more sighting, whatever it shows: Σ − ΣJᵀ(JΣJᵀ + R)⁻¹JΣ."""
    across = cov @ slope.T
    return np.asarray(cov - across @ np.linalg.solve(slope @ across + noise, across.T))


def sentence(test: Candidate, before: float, fall: float) -> str:
    """What to throw, what it would give, and at what price."""
    name = test.thrown.ball.name
    gives = f"the doubt of the order would fall from {before:.1f} to {before - fall:.1f} boards"
    if test.recipe is None:
        return f"Throw {name} {'wiped' if test.wiped else 'as it is, not wiped'}: {gives}; nothing is sanded."
    work = finish_words(test.recipe.steps, test.thrown.state.grit)
    return f"Put {work} on {name} and throw it: {gives}; {test.work_min:.0f} min of work, and it cannot be undone."
