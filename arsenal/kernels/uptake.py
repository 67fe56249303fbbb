"""Lane oil: into the cover, onto the ball, off with cleaner and heat; nothing is lost on the way. Floats in SI.

Fast then slow, saturating: dm = k (1 − m/M) a game (shape measured, governing-body lab article; sizes our own prior).
"""

from __future__ import annotations

import math
from typing import NamedTuple


def taken_up(oil_kg: float, a_game_kg: float, capacity_kg: float, games: float) -> float:
    """Oil in the cover (kg) after `games`: M − (M − m) e^(−k n/M), the exact solution of dm/dn = k (1 − m/M)."""
    return capacity_kg - (capacity_kg - oil_kg) * math.exp(-a_game_kg * games / capacity_kg)


def drop_factor(minutes: float, reference_min: float, limit: float) -> float:
    """How much faster than usual this cover drinks: reference/minutes of a drop test, within ×/÷ `limit`."""
    return min(max(reference_min / minutes, 1.0 / limit), limit)


def left_after(oil_kg: float, share: float, found_kg: float, most: float) -> float:
    """Oil left (kg) when `share` of it is drawn, in a visit that found `found_kg` and may take `most` of that."""
    return max(oil_kg * (1.0 - share), min(oil_kg, (1.0 - most) * found_kg))


def passes_share(share: float, passes: float) -> float:
    """Share drawn by `passes` that each take `share` of what they find."""
    return -math.expm1(passes * math.log1p(-share))


def layer_share(taken_m: float, depth_m: float) -> float:
    """Share of the oil that goes with a layer `taken_m` thick, for oil lying within about `depth_m` of the surface."""
    return -math.expm1(-max(taken_m, 0.0) / depth_m)


def film_unwiped_m(film_m: float, most_m: float, shots: float, over_shots: float) -> float:
    """Film on an unwiped ball (m) after `shots`: h_∞ − (h_∞ − h) e^(−n/over_shots)."""
    return most_m - (most_m - film_m) * math.exp(-shots / over_shots)


def soaked(film_m: float, minutes: float, half_minutes: float) -> float:
    """Film left (m) when a reactive cover has soaked for `minutes`, half of it every `half_minutes`."""
    return film_m * math.exp(-math.log(2.0) * minutes / half_minutes)


class Balance(NamedTuple):
    """Where the oil of one shot went (kg): into the cover, onto the ball, into the towel, back onto the lane.

    cover + (film − film before) + towel + carrydown is what was lifted off the lane.
    """

    cover: float
    film: float
    towel: float
    carrydown: float


def shot(lifted_kg: float, film_kg: float, cover_takes_kg: float, film_most_kg: float, wiped: float) -> Balance:
    """One shot's oil. The cover drinks up to `cover_takes_kg` of what is there, the film holds up to `film_most_kg`,
    what it cannot hold is carried down the lane, and a wipe then takes `wiped` (0 to 1) of the film.
    """
    there = film_kg + lifted_kg
    cover = min(cover_takes_kg, there)
    film = min(there - cover, film_most_kg)
    carrydown = there - cover - film
    towel = wiped * film
    return Balance(cover, film - towel, towel, carrydown)
