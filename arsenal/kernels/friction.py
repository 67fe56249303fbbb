"""Kinetic friction of a ball on a lane from roughness and oil film: mixed lubrication, one law for every cover.

Plain floats and arrays in SI; nothing is changed in place and every answer is a new array of the broadcast shape.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Number = float | Floats

INNER = 1.517
OUTER = -1.327


def load_share(film_ratio: Number) -> Floats:
    """Share ξ of the load carried by asperities, ξ = (1 + λ^1.517)^−1.327, λ = film/σ ≥ 0, dimensionless.

    Textbook form of mixed lubrication; ξ is 1 on a dry lane and falls to 0 on a thick film.
    """
    ratio = np.maximum(np.asarray(film_ratio, float), 0.0)
    return np.asarray((1.0 + ratio**INNER) ** OUTER)


SERIES_TERMS = 13


@cache
def load_share_series() -> tuple[float, ...]:
    """ξ(λ) = (1 − r²)² Σ cᵢ rⁱ with r² = λ/(1 + λ), to 3e-6 for every λ: the same law where a power costs too much."""
    r = 0.5 * (1.0 + np.cos(np.pi * (np.arange(2000) + 0.5) / 2000.0))
    r = r[r < 0.99999]
    rest = 1.0 - r * r
    weighted = np.vander(r, SERIES_TERMS, increasing=True) * (rest**2)[:, None]
    fit = np.linalg.lstsq(weighted, load_share(r * r / rest), rcond=None)[0]
    return tuple(float(c) for c in fit)


def combined_roughness(ball_m: Number, lane_m: Number) -> Floats:
    """σ of the two surfaces together, √(σ_ball² + σ_lane²), metres."""
    return np.hypot(ball_m, lane_m)


def ball_roughness(ra_m: Number, reference_ra_m: Number, sigma_at_reference_m: Number, exponent: Number) -> Floats:
    """σ_ball = σ_ref (Ra/Ra_ref)^e, metres; with e = 1 the halvings of grit would tend to 1 : 2.8 : 8."""
    return np.asarray(sigma_at_reference_m * (np.asarray(ra_m, float) / reference_ra_m) ** exponent)


def friction(film_m: Number, sigma_m: Number, mu_dry: Number, mu_oil: Number) -> Floats:
    """μ = ξ μ_dry + (1 − ξ) μ_oil at a film of `film_m` metres between surfaces of combined roughness `sigma_m`."""
    share = load_share(np.asarray(film_m, float) / sigma_m)
    return np.asarray(share * mu_dry + (1.0 - share) * mu_oil)


def worn_grip(
    mu_dry: Number, oil_share: Number, games: Number, oil_loss: float, wear_loss: float, wear_games: float
) -> Floats:
    """μ_b × (1 − oil_loss·m/M) × (1 − wear_loss·(1 − e^(−g/wear_games))); m/M is clipped to 0…1, games to ≥ 0."""
    share = np.clip(oil_share, 0.0, 1.0)
    age = np.maximum(np.asarray(games, float), 0.0)
    return np.asarray(mu_dry * (1.0 - oil_loss * share) * (1.0 - wear_loss * (1.0 - np.exp(-age / wear_games))))
