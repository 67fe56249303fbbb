"""Trials made ready: each with the ball's surface as it was just then, the lane, the release and the line."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from arsenal import motion
from arsenal.order import shot as shots
from arsenal.order.stamps import ball_told
from arsenal.surface.folding import NOTHING, Folder, Learned, standing_entries
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Entry, Note, Saw, Shot, effective
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Scatter, Style
from arsenal.trade.trial import AnyTrial, PairedTrial, Trial, checked

READ_SHARE = 0.4
"""A: how far an instrument that reads a release is off, as a share of how far a bowler scatters."""


@dataclass(frozen=True, slots=True)
class Thrown:
    """One ball as it was, on one line of one lane."""

    ball: Ball
    state: SurfaceState
    lane: Lane
    outing: str
    style: Style
    line: Line
    hooks_to_left: bool

    @property
    def finish(self) -> tuple[int, str]:
        """The finish it had: what is unknown of one finish goes for as long as it is on the ball."""
        set_on = self.state.finish_on.isoformat() if self.state.finish_on else ""
        return self.ball.id, f"{set_on} {self.state.finish_set_grit:.4g}"


def told_of(t: Thrown) -> str:
    """Everything of one throw that is learned from but its lane, which is told by its number."""
    return repr((t.ball.name, ball_told(t.ball, t.state), surface_told(t.state), t.lane.id, t.outing, t.style, t.line,
                 t.hooks_to_left))  # fmt: skip


def surface_told(state: SurfaceState) -> tuple[object, ...]:
    """What practice looks at of a surface besides what a path does."""
    return (
        state.finish_on, state.finish_set_grit, state.finish, state.wear_pace, state.games_on_finish, state.gap_fast,
        state.gap_slow,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Case:
    """A trial and what was thrown in it: one ball, or two back to back."""

    trial: AnyTrial
    thrown: tuple[Thrown, ...]


@dataclass(frozen=True, slots=True)
class Cases:
    """Everything to learn from, and what was said of the rest."""

    cases: tuple[Case, ...]
    findings: tuple[Finding, ...]


def cases_of(
    trials: Sequence[AnyTrial], balls: Mapping[int, Ball], entries_by_ball: Mapping[int, Sequence[Entry]],
    lanes: Mapping[int, Lane], people: Mapping[int, Person], priors: Priors, learned: Mapping[int, Learned] = {},
) -> Cases:  # fmt: skip
    """`trials` with what they were thrown with. A trial without a known lane or release is named and left out.

    `learned` is, by ball, what other balls' readings say of houses and pads, as `surface.fold` takes it.
    """
    logged = frozenset(i for i, entries in entries_by_ball.items() if i in balls and _says_what_is_on(entries))
    sorted_out = checked(tuple(trials), logged)
    found, lines = list(sorted_out.findings), dict[tuple[int, int], Line]()
    states = _states(sorted_out.good, balls, entries_by_ball, lanes, priors, learned)
    made = []
    for trial in sorted_out.good:
        lane, bowler = lanes.get(trial.lane_id), people.get(trial.bowler_id)
        style = _style(trial, bowler)
        if lane is None or bowler is None or style is None:
            missing = "the lane" if lane is None else "how it was thrown"
            text = f"Nobody has said {missing} for the practice shot of {days.day_and_year(trial.on)}; it waits."
            found.append(Finding("trial.waits", text, Weight.WARN, trial.seq))
            continue
        line = trial.line or lines.get((bowler.id, lane.id))
        if line is None:
            bed = motion.bed(lane, bowler.hooks_to_left, priors)
            usual = replace(bowler, style=bowler.style or style)
            line = lines[bowler.id, lane.id] = shots.line_for(usual, lane, bed, priors)[0]
        thrown = tuple(
            Thrown(
                balls[i], _as_wiped(states[trial.seq, i], balls[i], trial.wiped, priors), lane, trial.outing, style,
                line, bowler.hooks_to_left,
            )
            for i in _ball_ids(trial)
        )  # fmt: skip
        made.append(Case(trial, thrown))
    return Cases(tuple(made), tuple(found))


def _says_what_is_on(entries: Sequence[Entry]) -> bool:
    """Whether a log tells anything of the ball but how shots went."""
    return any(not isinstance(e.payload, Shot | Saw | Compared | Note) for e in effective(list(entries)))


def _style(trial: AnyTrial, bowler: Person | None) -> Style | None:
    usual = bowler.style if bowler is not None else None
    own = trial.style if isinstance(trial, Trial) else None
    if own is None or usual is None:
        return own or usual
    return replace(own, scatter=_unread(own, usual))


def _unread(own: Style, usual: Style) -> Scatter:
    """What is left of a bowler's scatter in a shot whose release was read: little of what the instrument told."""

    def left(sd: float, read: float, said: float) -> float:
        return sd if read == said else READ_SHARE * sd

    s = usual.scatter
    return replace(
        s, speed_mps=left(s.speed_mps, own.speed_mps, usual.speed_mps),
        revs_fraction=left(s.revs_fraction, own.rev_rate_radps, usual.rev_rate_radps),
        rotation_rad=left(s.rotation_rad, own.axis_rotation_rad, usual.axis_rotation_rad),
    )  # fmt: skip


def _ball_ids(trial: AnyTrial) -> tuple[int, ...]:
    return (trial.ball_id, trial.other_ball_id) if isinstance(trial, PairedTrial) else (trial.ball_id,)


def _states(
    trials: Sequence[AnyTrial], balls: Mapping[int, Ball], entries_by_ball: Mapping[int, Sequence[Entry]],
    lanes: Mapping[int, Lane], priors: Priors, learned: Mapping[int, Learned],
) -> dict[tuple[int, int], SurfaceState]:  # fmt: skip
    """The surface of each ball just before each of its trials: one walk along its log."""
    found: dict[tuple[int, int], SurfaceState] = {}
    for ball_id in sorted({i for t in trials for i in _ball_ids(t)}):
        folder = Folder(balls[ball_id], priors, lanes, learned.get(ball_id, NOTHING))
        entries = standing_entries(balls[ball_id], entries_by_ball.get(ball_id, ()))
        at = 0
        for trial in [t for t in trials if ball_id in _ball_ids(t)]:
            while at < len(entries) and (entries[at].on, entries[at].seq) < (trial.on, trial.seq):
                folder.take(entries[at])
                at += 1
            found[trial.seq, ball_id] = folder.state(trial.on)
    return found


def _as_wiped(state: SurfaceState, ball: Ball, wiped: bool | None, priors: Priors) -> SurfaceState:
    """The state with the film of a wiped ball, or of one that nobody wiped after the shot before."""
    if wiped is None:
        return state
    if wiped:
        return replace(state, film_m=ZERO)
    oil = priors.oil
    one_shot = oil.film_most_m[ball.cover] * (1.0 - math.exp(-1.0 / oil.film_shots))
    film = max(state.film_m.mean, one_shot)
    return replace(state, film_m=Estimate(film, oil.film_ln_sd * film))
