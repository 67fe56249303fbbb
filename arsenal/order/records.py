"""What the order hands up. Every order stores what made it."""

from __future__ import annotations

from dataclasses import dataclass

from arsenal.motion.records import BestLine, NoLine, Trace
from arsenal.surface.state import ZERO, Estimate, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.findings import Finding
from arsenal.trade.pads import Recipe
from arsenal.trade.release import Line


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One ball's place. Boards against the benchmark on the shared shot; low, high: 10th, 90th percentile."""

    ball: Ball
    state: SurfaceState
    place: int
    """One more than the number of stronger balls (ties are listed, not merged); 0 for a spare ball."""
    boards: float
    boards_low: float
    boards_high: float
    strength: float | None
    trace: Trace
    """On the shared shot, at the means."""
    first_read_m: float | None
    first_read_sd_m: float
    rolls_sd_m: float
    read_word: str
    """early, mid, late: first read against the benchmark's."""
    shape_word: str
    """sharp, medium, smooth."""
    benchmark: bool
    tied_with: tuple[int, ...]
    """Balls whose order against this one is under 90 % sure in paired draws."""
    flags: tuple[str, ...]
    """rolls out, leaves lane, beyond, wipe, refresh …"""
    findings: tuple[Finding, ...]
    best: BestLine | NoLine | None = None
    room: float | None = None
    boards_sd: float = 0.0
    """Spread of the boards in paired draws: the ± on screen."""


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence about the set: an overlap, a gap, a doubt; `ball_ids` are the balls it speaks of."""

    kind: str
    """overlap, grown alike, fallen, lost, gap, lane, doubt, benchmark, line, finding."""
    title: str
    detail: str
    ball_ids: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Stamp:
    """What made a result: enough to make it again."""

    model_version: str
    priors_version: str
    seed: int
    draws: int
    inputs_hash: str
    taught: str = ""
    """A hash over what practice shots have taught of its balls; empty where they have taught nothing."""
    trials: int = 0
    """How many shots stand behind that, two balls thrown back to back counting for both."""


@dataclass(frozen=True, slots=True)
class Order:
    """A bowler's set from strongest to weakest on one condition."""

    bowler_id: int
    lane_id: int
    line: Line
    line_is_own: bool
    """True where the bowler's own line was given, False for the best line of the reference ball."""
    rows: tuple[OrderRow, ...]
    spares: tuple[OrderRow, ...]
    """Spare balls: kept apart, no place."""
    gaps_after: tuple[tuple[int, float], ...]
    """(ball id, boards to the next) where the next ball is over five boards away."""
    overlaps: tuple[tuple[int, int], ...]
    remarks: tuple[Remark, ...]
    stamp: Stamp
    findings: tuple[Finding, ...] = ()
    benchmark_ball_id: int | None = None
    """The ball the boards count from; None where there is none and they count from the reference ball."""
    benchmark_is_own: bool = True
    """False where the bowler named none (or one that is not here) and a sensible ball stands in."""
    reference_shape_m: float | None = None
    """Shape of the reference ball on the shared shot: what sharp, medium and smooth are told against."""


@dataclass(frozen=True, slots=True)
class PadResult:
    """What one recipe would do to one ball on this condition, against the ball as it is; paired draws."""

    recipe: Recipe
    state: SurfaceState
    trace: Trace
    boards_change: Estimate
    first_read_change_m: Estimate
    rolls_change_m: Estimate
    place: int
    minutes: float
    rolls_out: bool
    overlaps_with: tuple[int, ...]
    sentence: str
    """“still place 2, 1 board under Umber Kestrel · rolls at 47 ± 1 ft · about 3 min”"""
    warnings: tuple[str, ...] = ()
    pad_uses: float | None = None
    """Uses the pad has behind it: this one would be the next."""
    cuts: float | None = None
    """How much of its first cut the pad has left, 0 to 1."""
    room: float | None = None
    room_in_boards: float | None = None
    room_out_boards: float | None = None
    as_large_as_its_doubt: bool = True
    """False where the doubt of the boards is as large as the change itself, or larger."""
    shape_change_m: Estimate = ZERO
    """Longer is smoother."""
    shape_word: str = ""
    """sharp, medium, smooth: what it would be then."""
    rolls_sd_m: float = 0.0
    """Spread of where it would roll, not of the change."""
    place_before: int = 0
    place_low: int = 0
    place_high: int = 0
    """10th and 90th percentile of the new place, in draws shared with the rest of the set."""
    room_before: float | None = None
    room_in_boards_before: float | None = None
    room_out_boards_before: float | None = None
    """On the ball's own line as it is now."""
    room_sd: float | None = None
    """Spread of the room by what is unknown of the finish the recipe leaves."""
    rolls_out_share: float = 0.0
    """Share of the draws in which it would roll out on its own line."""
    uses_left: Estimate | None = None
    """Uses until the pad that goes first hardly cuts, this one among them; None where no pad in stock is named."""
    pad_done: bool = False
    """A pad of it is marked used up, or cuts as good as nothing."""
    cover_off_m: Estimate = ZERO
    """Cover this would take off the radius."""
    reversible: bool = True
    """False where cover comes off: no pad puts that back."""
    way_back: str = ""
    """What would undo it and what would not, as a sentence."""
    gentler: Recipe | None = None
    """The step to try first where the recipe jumps over more than one common grit."""
    unsure: tuple[str, ...] = ()
    """Of boards, first read, rolls and shape: those whose doubt is as large as their change."""
