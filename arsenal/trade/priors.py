"""Every number the program believes before anybody has measured anything, with its mark, in one place.

Marks: P published · D derived exactly · C common practice, no source · M from memory · A our own assumption, a prior
that readings and trials must be able to move. Constants that came out of `scripts/calibrate.py` are read from
`calibrated.toml` beside this file, never edited by hand.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from arsenal.trade.ball import Cover
from arsenal.trade.lane import LaneSurface
from arsenal.trade.units import GRAM_KG, INCH_M, MICROINCH_M, MICROMETRE_M

SOLID, HYBRID, PEARL, URETHANE, POLYESTER = Cover.SOLID, Cover.HYBRID, Cover.PEARL, Cover.URETHANE, Cover.POLYESTER


def _by_cover(*values: float) -> Mapping[Cover, float]:
    return MappingProxyType(dict(zip(Cover, values, strict=True)))


@dataclass(frozen=True)
class SurfacePriors:
    """Roughness, pads and lane shine (science of the finish)."""

    ra_at_500_m: float = 42.0 * MICROINCH_M  # A: Ra of a solid fully sanded at 500
    ra_exponent: float = -0.75  # A: Ra ∝ (grit/500)^exponent
    ra_ln_sd: float = 0.30  # A
    cover_factor: Mapping[Cover, float] = field(default_factory=lambda: _by_cover(1.0, 0.95, 0.9, 0.9, 0.8))  # A
    compound_ra_m: float = 6.5 * MICROINCH_M  # A
    polish_ra_m: float = 4.0 * MICROINCH_M  # A: 2 to 6
    polish_keeps: float = 0.25  # A: share of the roughness before that a polish leaves
    tau_hand_s: float = 107.0  # A, set by one measured hand pass (500 pad, 3000 → 1651; P, n = 1)
    tau_spinner_s: float = 30.0  # A: wet, on a spinner or machine
    light_pass: float = 0.33  # A: closure of one light pass by hand
    light_pass_sd: float = 0.15  # A
    machine_pass_sides: int = 4  # C
    machine_pass_seconds: float = 30.0  # C
    pad_uses_hand: float = 10.0  # C: a pad does 8–15 balls by hand
    pad_uses_spinner: float = 25.0  # C: 6–25 by grain, 20–30 wet on a spinner
    finer_beyond_first: float = 0.75  # A: closure of the part of a finer step beyond the first halving
    plain_pad_ln_sd: float = 0.15  # A: extra doubt of a pad sold by a plain number, in ln grit
    fast_share: float = 0.45  # A: 0.25–0.7
    fast_share_sd: float = 0.11  # A
    tau_fast_games: float = 1.5  # A: per house and ball; the ball return alone shines
    tau_slow_games: Mapping[Cover, float] = field(default_factory=lambda: _by_cover(15.0, 17.0, 20.0, 9.0, 40.0))  # A
    tau_slow_ln_sd: float = 0.47  # A: ×/÷ 1.6, of a ball in a house of which neither has been read
    house_pace_ln_sd: float = 0.25  # A: how much of that is the house's: its ball returns, its oil, its lanes
    settled_grit: Mapping[Cover, float] = field(
        default_factory=lambda: _by_cover(4500.0, 4500.0, 5000.0, 4000.0, 5500.0)
    )  # A
    settled_ln_sd: float = 0.25  # A
    pad_ln_sd: float = 0.08  # A: one pad of a known scale against another, in ln grit
    tau_sand_ln_sd: float = 0.35  # A: pressure and pad under a timed sanding
    pad_cut_ln_sd: float = 0.25  # A: how much quicker one pad cuts than another of its kind; part of the two above
    hand_ln_sd: float = 0.12  # A: a hand finish (random) against a spinner's (rings) on one ball, in ln Ra
    part_closure_sd: float = 0.15  # A: more doubt of a sanding that missed part of the surface
    late_closure_sd: float = 0.08  # A: more doubt of a sanding written down days after
    nonwoven_grit: float = 1500.0  # A: a non-woven pad without a number
    nonwoven_ln_sd: float = 0.50  # A
    polish_ln_sd: float = 0.45  # A: 2 to 6 μin, as ln grit
    box_ln_sd: float = 0.25  # A: a box finish as stated
    unknown_box_grit: float = 2500.0  # A: a new ball nobody described
    unknown_box_ln_sd: float = 0.70  # A
    used_gap: float = 0.30  # A: ln grit below settled of a used ball nobody knows
    used_gap_sd: float = 0.70  # A
    used_games: float = 30.0  # A: games behind a used ball nobody knows, ± as much
    offset_renewed: float = 0.50  # A: share of a ball's own roughness offset that a full sanding draws anew
    late_games_sd: float = 0.10  # A: more doubt of games written down days after
    ra_reading_ln_sd: float = 0.08  # A: repeat of an Ra reading on a curved cover
    scanner_ln_sd: float = 0.08  # A: repeat of a scanner number, in ln grit
    instrument_ln_sd: float = 0.10  # A: one instrument against another, in ln Ra, the same whenever it is used
    gloss_exponent: float = 1.0  # A: gloss ∝ Ra^−this on one meter
    gloss_exponent_sd: float = 0.4  # A
    gloss_ln_sd: float = 0.10  # A: repeat of a gloss reading
    gloss_least_grit: float = 2000.0  # C: 60° gloss is of no use on rougher covers
    reading_spreads: float = 3.0  # A: further than this from the log a reading is a finding
    settle_games: float = 2.0  # A: a finish has settled in after this many games
    grain_taken: float = 0.25  # A: cover off the radius in a full step, as a share of the median grain
    grain_taken_ball_sd: float = 0.5  # A: of that, the same in every job on one ball
    grain_taken_job_sd: float = 0.5  # A: and each job's own
    radius_sd_m: float = 0.004 * INCH_M  # A: a ball nobody measured, within 8.500–8.595 in
    caliper_sd_m: float = 0.0005 * INCH_M  # A: of a radius, from a measured diameter

    @property
    def pace_ln_sd(self) -> float:
        """What is left of the doubt of a wear pace once the house is known."""
        return math.sqrt(self.tau_slow_ln_sd**2 - self.house_pace_ln_sd**2)


@dataclass(frozen=True)
class OilPriors:
    """Oil in the cover and the film on it. Kilograms, metres; sizes are ×/÷ 2."""

    uptake_wiped_kg: Mapping[Cover, float] = field(
        default_factory=lambda: _by_cover(*(g * GRAM_KG for g in (0.12, 0.10, 0.08, 0.01, 0.0)))
    )  # A: a game
    uptake_unwiped_kg: Mapping[Cover, float] = field(
        default_factory=lambda: _by_cover(*(g * GRAM_KG for g in (0.28, 0.25, 0.20, 0.03, 0.003)))
    )  # A: a game
    capacity_kg: Mapping[Cover, float] = field(
        default_factory=lambda: _by_cover(*(g * GRAM_KG for g in (12.0, 11.0, 10.0, 2.0, 1.0)))
    )  # A; polyester has none worth the name, 1 g keeps the arithmetic finite
    uptake_ln_sd: float = 0.69  # A: ×/÷ 2
    reference_volume_m3: float = 25e-6  # A: uptake goes with lane volume over 25 mL
    drop_reference_min: float = 6.0  # A: where a drop test is known k × 6 min / time
    drop_limit: float = 3.0  # A: within ×/÷ 3
    drop_ln_sd: float = 0.4  # A: what a drop test leaves unknown of the uptake
    clean_same_night: float = 0.20  # A: of that night's uptake
    clean_later: float = 0.05  # A
    bath_share: float = 0.30  # A: 30 min × 2 at ≤ 50 °C
    heat_share: float = 0.30  # A: a pass of 20 min at ≤ 54 °C
    visit_limit: float = 0.85  # A: one visit never over 85 % of what it found
    cover_mass_per_thou_kg: float = 4.0 * GRAM_KG  # A: 0.001 in off the radius is about 4 g of cover
    oil_depth_m: float = 250.0 * MICROMETRE_M  # A: how deep most of the oil lies
    removal_sd: float = 0.4  # A: of the share a cleaning, bath or heat draws
    used_share: float = 0.3  # A: share of capacity in a used ball nobody knows, ± as much
    scale_sd_kg: float = 1.0 * GRAM_KG  # A: one weighing
    film_ln_sd: float = 0.3  # A
    film_wiped_m: float = 0.05 * MICROMETRE_M  # A
    film_most_m: Mapping[Cover, float] = field(
        default_factory=lambda: _by_cover(*(u * MICROMETRE_M for u in (0.2, 0.2, 0.2, 0.5, 0.3)))
    )  # A: × volume / 25 mL
    film_shots: float = 2.0  # A: h_most (1 − e^(−n/2)) unwiped after n shots
    wipe_takes: float = 0.75  # A: 55–90 %
    soak_minutes: float = 10.0  # A: reactive covers soak half of the film in this time
    pick_up_keeps: float = 0.7  # A: share of this shot's own film that stays for the next revolution
    pick_up_takes: float = 0.1  # A: share of the lane's film picked up a revolution
    lift_share: float = 0.10  # A: of the film under the band, each shot
    oil_density_kgpm3: float = 850.0  # M: of lane oil
    band_m: float = 7e-3  # A: width of the contact band


@dataclass(frozen=True)
class FrictionPriors:
    """μ = ξ μ_b + (1 − ξ) μ_v; filled from `calibrated.toml`."""

    phi: float  # effective film number
    sigma_lane_m: float
    mu_oil: float
    sigma_ball_m: float  # σ of the ball at Ra 14.8 μin is this (q × 0.377 μm)
    sigma_exponent: float
    mu_dry: Mapping[Cover, float]
    film_factor: Mapping[Cover, float]
    mu_dry_most: float = 0.32  # P: USBC bench limit
    mu_oil_most: float = 0.013  # D
    reference_ra_m: float = 14.8 * MICROINCH_M
    oil_grip_loss: float = 0.15  # A: of μ_b with a full cover
    wear_grip_loss: float = 0.10  # A
    wear_games: float = 150.0  # A
    lane_surface: Mapping[LaneSurface, float] = field(
        default_factory=lambda: MappingProxyType(
            {LaneSurface.WOOD: 1.10, LaneSurface.WOOD_FRONT: 1.05, LaneSurface.PANEL: 1.0, LaneSurface.OVERLAY: 1.0}
        )
    )  # A: wide factor on dry friction
    lane_surface_ln_sd: float = 0.08  # A


@dataclass(frozen=True)
class DoubtPriors:
    """Spreads of the draws behind every ±."""

    ball_ln_mu_sd: float = 0.085  # A: 0.07–0.10 until trials narrow it
    response_sd: float = 0.30  # A: response to roughness ± 30 %
    lane_ln_sd: float = 0.15  # A: film number, common to all balls
    oil_ln_sd: float = 0.69  # A


@dataclass(frozen=True)
class TrafficPriors:
    """Who wears a lane and how, where nobody said."""

    strike_shots: int = 11  # C: a game
    spare_shots: int = 4  # C: a game with the spare ball
    warm_up_shots: int = 10  # C: before the first game, over the lanes of the set
    lanes: int = 2  # C: a set is bowled over both lanes of a pair in turn, so half of the shots fall on one
    bowlers: int = 4  # A: on a pair, where nobody was named: the bowler and three like him
    like_speed: float = 0.03  # A: those throw this share slower, as fast, and faster
    like_revs: float = 0.10  # A: and with this share more revs, as many, and fewer
    wear_sd: float = 0.5  # A: of how far the wear moves a shot, as a share of it
    stays_within_boards: float = 0.5  # A: a bowler keeps his line while it ends this near to where it ended
    spare_differential_m: float = 0.010 * INCH_M  # A: of a spare ball nobody described


@dataclass(frozen=True)
class Reference:
    """The reference ball: solid, RG 2.50 in, differential 0.048 in, Ra 14.8 μin (grit 2000) now, clean, no oil."""

    cover: Cover = SOLID
    radius_m: float = 4.2965 * INCH_M
    mass_kg: float = 15.0 * 0.45359237
    rg_m: float = 2.50 * INCH_M
    differential_m: float = 0.048 * INCH_M
    ra_m: float = 14.8 * MICROINCH_M
    least_hook_boards: float = 3.0


@dataclass(frozen=True)
class Priors:
    """All of them together; `version` goes into every stored order so that a change can be told."""

    friction: FrictionPriors
    surface: SurfacePriors = field(default_factory=SurfacePriors)
    oil: OilPriors = field(default_factory=OilPriors)
    doubt: DoubtPriors = field(default_factory=DoubtPriors)
    traffic: TrafficPriors = field(default_factory=TrafficPriors)
    reference: Reference = field(default_factory=Reference)
    version: str = "1"


@cache
def default_priors() -> Priors:
    """The priors the program ships with: this file's values and the calibrated friction constants."""
    found = tomllib.loads(files("arsenal.trade").joinpath("calibrated.toml").read_text("utf-8"))
    return Priors(
        FrictionPriors(
            phi=found["phi"],
            sigma_lane_m=found["sigma_lane_um"] * MICROMETRE_M,
            mu_oil=found["mu_oil"],
            sigma_ball_m=found["sigma_ball_um"] * MICROMETRE_M,
            sigma_exponent=found["sigma_exponent"],
            mu_dry=MappingProxyType({Cover(k): float(v) for k, v in found["mu_dry"].items()}),
            film_factor=MappingProxyType({Cover(k): float(v) for k, v in found["film_factor"].items()}),
        ),
        version=str(found["version"]),
    )
