"""Practice shots as they were seen: where a ball ended, where it read, or one word for it.

Lateral values are metres from the gutter opposite the hook side, as everywhere inside. Everything is kept as entered;
`trouble` says what keeps a shot out of what is learned from it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from arsenal.trade.findings import Finding, Weight
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M, FOOT_M, LANE_LENGTH_M, LANE_WIDTH_M, POCKET_BOARD, board_to_lateral_m

POCKET_M = board_to_lateral_m(POCKET_BOARD)
EDGE_M = 0.75 * BOARD_M
"""A ball is seen at most so far off the edge of the outermost board."""
PINS = range(1, 11)


class Mark(StrEnum):
    """What can be seen of one shot, in SI."""

    LANDING = "boards at the pins"
    FIRST_READ = "first read"
    BREAKPOINT = "breakpoint"
    BREAKPOINT_BOARD = "board at the breakpoint"
    ARROWS = "board at the arrows"
    ROLLS = "rolls at"


MARKS = tuple(Mark)


@dataclass(frozen=True, slots=True)
class Interval:
    """From `low` to `high` in SI, either of them infinite."""

    low: float = -math.inf
    high: float = math.inf

    def meets(self, other: Interval) -> Interval | None:
        """What both allow; None where nothing does."""
        low, high = max(self.low, other.low), min(self.high, other.high)
        return Interval(low, high) if low < high else None


class Word(StrEnum):
    """What one shot did, in a word."""

    LONG = "long"
    LIGHT = "light"
    FLUSH = "flush"
    HIGH = "high"
    OVER = "over"
    ROLLED_OUT = "rolled out"
    HUNG = "hung"


def _boards(low: float, high: float) -> Interval:
    """Boards from the pocket, higher is positive."""
    return Interval(POCKET_M + low * BOARD_M, POCKET_M + high * BOARD_M)


SUPPORTS: dict[Word, dict[Mark, Interval]] = {
    Word.LONG: {Mark.LANDING: _boards(-math.inf, -2.0)},
    Word.LIGHT: {Mark.LANDING: _boards(-3.0, -0.5)},
    Word.FLUSH: {Mark.LANDING: _boards(-0.5, 0.5)},
    Word.HIGH: {Mark.LANDING: _boards(0.5, 3.0)},
    Word.OVER: {Mark.LANDING: _boards(3.0, math.inf)},
    Word.ROLLED_OUT: {Mark.LANDING: _boards(-math.inf, 0.0), Mark.ROLLS: Interval(-math.inf, 50.0 * FOOT_M)},
    Word.HUNG: {Mark.LANDING: _boards(-3.0, 0.0), Mark.ROLLS: Interval(-math.inf, LANE_LENGTH_M)},
}
"""C: what each word supports and no more. Flush is the window 17–18 (pin-carry study, USBC 2009); the others are common
practice without a source. A ball that rolled out or stood up rolls well before the pins."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """What was seen of one shot: as much or as little as there is. SI; None where nobody looked."""

    landing_m: float | None = None
    """Where the ball's centre crossed the head pin's line."""
    first_read_m: float | None = None
    breakpoint_m: float | None = None
    breakpoint_lateral_m: float | None = None
    arrows_m: float | None = None
    off_target_m: float | None = None
    """Missed the target at the arrows by so much, toward the hook side; 0 for on target."""
    words: tuple[Word, ...] = ()
    pins_left: tuple[int, ...] = ()
    """As seen. Nothing is read into them: one leave has many ways to come about."""
    by_sensor: bool = False
    """Numbers from an instrument rather than from the eye."""

    @property
    def numbers(self) -> dict[Mark, float]:
        """The marks seen as numbers."""
        seen = (self.landing_m, self.first_read_m, self.breakpoint_m, self.breakpoint_lateral_m, self.arrows_m)
        return {mark: value for mark, value in zip(MARKS, seen, strict=False) if value is not None}

    @property
    def says_something(self) -> bool:
        """Whether anything of it can be set against a path."""
        return bool(self.numbers or self.words)

    def intervals(self) -> dict[Mark, Interval] | None:
        """What the words support together; None where they contradict each other."""
        found: dict[Mark, Interval] = {}
        for word in self.words:
            for mark, interval in SUPPORTS[word].items():
                both = found.get(mark, Interval()).meets(interval)
                if both is None:
                    return None
                found[mark] = both
        return found


@dataclass(frozen=True, slots=True)
class Trial:
    """One practice shot. `seq` stands in the order of the ball's log: what was done to the ball before is before it."""

    seq: int
    ball_id: int
    bowler_id: int
    lane_id: int
    on: date
    outing: str
    """Shots on one lane at one time share this key, and with it whatever is odd about the lane."""
    seen: Sighting
    line: Line | None = None
    """None for the bowler's own line there."""
    style: Style | None = None
    """The release as it was measured; None for the bowler's usual one."""
    wiped: bool | None = None
    minute: int | None = None
    """Minutes after midnight, where somebody noted it."""
    typed: str = ""


@dataclass(frozen=True, slots=True)
class PairedTrial:
    """Two balls thrown back to back: the first ended `stronger_m` higher, ± `sd_m`. What both share cancels."""

    seq: int
    ball_id: int
    other_ball_id: int
    bowler_id: int
    lane_id: int
    on: date
    outing: str
    stronger_m: float
    sd_m: float = 1.5 * BOARD_M
    line: Line | None = None
    wiped: bool | None = None
    minute: int | None = None
    typed: str = ""


AnyTrial = Trial | PairedTrial


@dataclass(frozen=True, slots=True)
class Checked:
    """Trials that can be learned from, and what was said of all the others. `kept_out` are their seqs."""

    good: tuple[AnyTrial, ...]
    findings: tuple[Finding, ...] = ()
    kept_out: frozenset[int] = field(default_factory=frozenset)


def checked(trials: tuple[AnyTrial, ...], logged: frozenset[int]) -> Checked:
    """Which of `trials` can be learned from, in order of day and seq. `logged` are the balls that have a log.

    What is impossible, contradictory or of a ball without a log is kept out with a finding that names it; shots out of
    order in time are named and kept in.
    """
    good, found, out = [], [], set()
    latest: dict[str, tuple[int, int]] = {}
    for trial in sorted(trials, key=lambda t: (t.on, t.seq)):
        said = trouble(trial, logged)
        if said is not None:
            out.add(trial.seq)
            found.append(said)
            continue
        good.append(trial)
        if trial.minute is not None:
            before = latest.get(trial.outing)
            if before is not None and trial.minute < before[0]:
                found.append(_note("trial.time", "is timed before the shot entered ahead of it", trial))
            latest[trial.outing] = max((trial.minute, trial.seq), before or (trial.minute, trial.seq))
    return Checked(tuple(good), tuple(found), frozenset(out))


def trouble(trial: AnyTrial, logged: frozenset[int]) -> Finding | None:
    """Why nothing is learned from a trial; None where something can be."""
    balls = (trial.ball_id,) if isinstance(trial, Trial) else (trial.ball_id, trial.other_ball_id)
    if any(ball not in logged for ball in balls):
        return _out("trial.no-log", "is of a ball with no log: say what is on it first", trial)
    if isinstance(trial, PairedTrial):
        return _paired(trial)
    if (wrong := impossible(trial.seen)) is not None:
        return _out("trial.impossible", f"has {wrong}", trial)
    if (wrong := contradiction(trial.seen)) is not None:
        return _out("trial.contradictory", wrong, trial)
    if not trial.seen.says_something:
        return _out("trial.nothing", "says nothing that a path could be set against", trial, Weight.NOTE)
    return None


def _paired(trial: PairedTrial) -> Finding | None:
    if trial.ball_id == trial.other_ball_id:
        return _out("trial.contradictory", "sets a ball against itself", trial)
    possible = math.isfinite(trial.stronger_m) and abs(trial.stronger_m) <= LANE_WIDTH_M
    if not possible or not (math.isfinite(trial.sd_m) and trial.sd_m > 0.0):
        return _out("trial.impossible", f"has two balls {trial.stronger_m / BOARD_M:.0f} boards apart", trial)
    return None


def impossible(seen: Sighting) -> str | None:
    """What no lane could show, in words; None where all of it could be."""
    for mark, value in seen.numbers.items():
        if mark in (Mark.FIRST_READ, Mark.BREAKPOINT):
            if not (math.isfinite(value) and 0.0 < value <= LANE_LENGTH_M):
                past = " past the pins" if value > LANE_LENGTH_M else ""
                return f"a {mark.value} at {value / FOOT_M:.0f} ft,{past or ' which no lane has'}"
        elif not (math.isfinite(value) and -EDGE_M <= value <= LANE_WIDTH_M + EDGE_M):
            return f"board {value / BOARD_M + 0.5:.0f} as its {mark.value}; a lane has 39"
    if seen.off_target_m is not None and not abs(seen.off_target_m) <= LANE_WIDTH_M:
        return f"a miss at the target by {seen.off_target_m / BOARD_M:.0f} boards"
    if any(pin not in PINS for pin in seen.pins_left):
        return "a pin that is not one of ten"
    return None


def contradiction(seen: Sighting) -> str | None:
    """Which two things seen cannot both be so, in words; None where all of them can."""
    intervals = seen.intervals()
    if intervals is None:
        return f"was seen {' and '.join(word.value for word in seen.words)}, which cannot both be"
    landing = intervals.get(Mark.LANDING)
    at = seen.landing_m
    if landing is not None and at is not None and not landing.low - BOARD_M <= at <= landing.high + BOARD_M:
        return f"was seen {seen.words[0].value}, and ended on board {at / BOARD_M + 0.5:.0f}"
    if seen.first_read_m is not None and seen.breakpoint_m is not None and seen.breakpoint_m < 0.5 * seen.first_read_m:
        return "turned long before it read"
    return None


def _out(code: str, wrong: str, trial: AnyTrial, weight: Weight = Weight.WARN) -> Finding:
    return Finding(code, f"{_named(trial)} {wrong}. It is kept, and nothing is learned from it.", weight, trial.seq)


def _note(code: str, odd: str, trial: AnyTrial) -> Finding:
    return Finding(code, f"{_named(trial)} {odd}.", Weight.NOTE, trial.seq)


def _named(trial: AnyTrial) -> str:
    said = f" “{trial.typed}”" if trial.typed else ""
    return f"The practice shot{said} of {trial.on.isoformat()}"
