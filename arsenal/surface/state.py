"""What is on a ball: roughness, film, oil in the cover, games since everything, each with its spread."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from arsenal.trade.ball import Cover
from arsenal.trade.entries import Step
from arsenal.trade.findings import Finding


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean and one standard deviation, in the unit the field's name ends in."""

    mean: float
    sd: float = 0.0


ZERO = Estimate(0.0)


class Holder(StrEnum):
    """Where the ball is."""

    OWNED = "in the bag"
    LENT = "lent"
    SOLD = "sold"
    RETIRED = "retired"


@dataclass(frozen=True, slots=True)
class PadCut:
    """How much quicker one pad cuts than its kind, wear apart: the logarithm of its rate."""

    pad_id: int
    ln_cut: Estimate


@dataclass(frozen=True, slots=True)
class SettledIn:
    """The surface when its present finish had settled in (two games after it was set): “lost” counts from it. Until
    then it is the surface as it is, so that nothing is lost yet.
    """

    ln_ra_m: float
    oil_kg: float
    games_since_resurface: float
    lost_ln: Estimate = ZERO
    """ln Ra now less ln Ra then (negative once it has shone): surer than either, because the ball's offset cancels."""
    ln_ra_sd: float | None = None
    """Doubt of `ln_ra_m`; None where nobody kept it."""


@dataclass(frozen=True, slots=True)
class SurfaceState:
    """One ball on one day. `ln_ra_m` is ln of Ra in metres; grit equivalents use the cover's factor."""

    ball_id: int
    cover: Cover
    on: date | None
    ln_ra_m: Estimate
    grit: float
    """Grit equivalent of the mean roughness: “plays about”."""
    grit_low: float
    grit_high: float
    """10th and 90th percentile."""
    settled_grit: float
    finish: tuple[Step, ...]
    """The finish as it was set, steps in order; empty where nobody said."""
    finish_on: date | None
    finish_set_grit: float
    """Grit equivalent right after the finish was set: the upper end of “the finish falls”."""
    games_on_finish: Estimate = ZERO
    games_since_resurface: Estimate = ZERO
    games_since_deep_oil: Estimate = ZERO
    games_since_clean: Estimate = ZERO
    games_in_all: Estimate = ZERO
    sessions_since_inspection: int = 0
    resurfaced_on: date | None = None
    deep_oil_on: date | None = None
    cleaned_on: date | None = None
    inspected_on: date | None = None
    played_on: date | None = None
    oil_kg: Estimate = ZERO
    oil_share: float = 0.0
    """m/M: share of the cover's capacity."""
    film_m: Estimate = ZERO
    """Film left by earlier shots, all over the track."""
    settled_in: SettledIn | None = None
    cover_off_m: Estimate = ZERO
    """Cover taken off the radius in its life."""
    radius_m: Estimate = ZERO
    mass_kg: float | None = None
    """Last weighed."""
    hardness_d: float | None = None
    meter: str = ""
    """The roughness meter read with last, by name: its offset is known along with the ball's; empty where none is."""
    weighed: bool = False
    """True where a weighing stands in the log that a next one can be compared with."""
    holder: Holder = Holder.OWNED
    holder_name: str = ""
    cracked: bool = False
    plugged: bool = False
    pin_to_axis_m: float | None = None
    gap_fast: float = 0.0
    gap_slow: float = 0.0
    """The two gaps in ln grit below settled (mean), as the fold keeps them."""
    since_set_ln: Estimate = ZERO
    """ln Ra now less ln Ra right after the finish was set, surer than either."""
    set_ln_ra_sd: float | None = None
    """Doubt of ln Ra right after the finish was set; None where nobody kept it."""
    changed_ln: Estimate = ZERO
    """For a state looked ahead to (more games, a recipe): ln Ra then less ln Ra now. Surer than the difference of the
    two states, because what is unknown of the ball is common to both. Zero for a folded state."""
    wear_pace: Estimate = Estimate(1.0)
    """How slowly this ball shines against its cover's usual, apart from the house: games are divided by both."""
    house_pace: Estimate = Estimate(1.0)
    """How slowly balls shine in the house where it last played, against others."""
    house: str = ""
    """Where it last played; empty where nobody said."""
    hand_offset_ln: Estimate = ZERO
    """How much rougher (ln Ra) a hand finish reads on this ball than a spinner's of the same grain."""
    pad_cuts: tuple[PadCut, ...] = ()
    """Pads this ball's readings, or other balls', have taught something of."""
    memory: tuple[float, ...] = field(default=(), repr=False)
    """What the fold needs to go on from here (its covariance, flattened); opaque to everybody else."""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class CoverTaken:
    """What one job took off the radius, as it is believed now."""

    seq: int
    on: date
    label: str
    """“500/2000 m”."""
    taken_m: Estimate


@dataclass(frozen=True, slots=True)
class Worth:
    """What one cheap reading would narrow: doubt of ln Ra without it and with it, over the ball's next days."""

    what: str
    """“roughness” or “weight”."""
    when: str
    """“now”, “after the next two games”, “before and after the next sanding”."""
    fall: float
    """Share of the doubt that it would take away, per reading, 0 to 1."""
    grit_sd: float
    """One spread of what the ball plays, then, without the reading; grams of oil for a weighing."""
    grit_sd_read: float
    """The same with the reading."""
    sentence: str
    """“Read Rook after the next two games: …”"""
    narrows: float = 0.0
    """The same fall not as a share: doubt of ln friction taken away, per reading. What balls are compared by."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One point of a ball's timeline: the state just after one entry (or just before, for a sanding's vertical)."""

    on: date
    seq: int
    kind: str
    label: str
    """Short words for the mark: “1000 h”, “2400” for a reading, “3” games."""
    grit: float
    grit_low: float
    grit_high: float
    games: float = 0.0
    reading_grit: float | None = None
    reading_low: float | None = None
    reading_high: float | None = None
