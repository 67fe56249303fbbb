"""The people and balls of the sample shop. All of them are invented."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

HOUSE, GUEST = "41 ft house, 25 mL, fresh", "Guest house, unknown oil"
SPORT, LONG = "40 ft flat sport, 26 mL", "47 ft long, 28 mL"
BURNT, WOOD = "41 ft house, burnt fronts", "38 ft old wood, 22 mL"


@dataclass
class Ball:
    """A ball, what its owner does to it, and how many games before today its last work lies."""

    name: str
    nickname: str
    bowler: str
    cover: str
    spec: tuple[float, float, float, float]
    """Weight lb, RG in, differential in, intermediate in."""
    share: float
    """Of the owner's games."""
    finish: str
    full: str
    every: float
    """Games between refreshes."""
    last: tuple[float, float, float]
    """Games before today of the last refresh, resurface, deep oil."""
    came: str
    bought: date
    serial: str
    colour: str
    drilled: str = "4.5 3 holes"
    spare: bool = False
    diameter: float = 8.59
    played: list[tuple[date, float]] = field(default_factory=list)


@dataclass
class Bowler:
    """A bowler with the week he bowls: (weekday, games, condition)."""

    name: str
    cells: dict[str, str]
    week: tuple[tuple[int, int, str], ...]
    practice: float
    """Chance of a practice on a Saturday."""
    careful: float
    """Chance that what was played is cleaned the same night."""


def bowler(name: str, nick: str, hand: str, throw: tuple[float, float, float, float], benchmark: str,
           games: float, **more: str) -> dict[str, str]:  # fmt: skip
    """The cells of a bowler's row."""
    speed, revs, rotation, tilt = throw
    return {
        "bowler": name, "nickname": nick, "hand": hand, "two_handed": more.get("two_handed", ""),
        "speed_mph": f"{speed:g}", "revs_rpm": f"{revs:g}", "rotation_deg": f"{rotation:g}", "tilt_deg": f"{tilt:g}",
        "benchmark": benchmark, "usual_lane": more.get("lane", HOUSE), "games_a_week": f"{games:g}",
        "note": more.get("note", ""),
    }  # fmt: skip


TUE_THU = ((1, 3, HOUSE), (3, 3, HOUSE))
BOWLERS = (
    Bowler("Mirel Oster", bowler("Mirel Oster", "mirel", "right", (16.4, 325, 45, 15), "Slow Lantern", 7,
           note="Two leagues and a practice most Saturdays"), TUE_THU, 0.6, 0.85),
    Bowler("Anneke Roos", bowler("Anneke Roos", "anneke", "left", (15.2, 260, 40, 14), "Harrow Tern", 6), TUE_THU,
           0.4, 0.9),
    Bowler("Bo Tillander", bowler("Bo Tillander", "bo", "right", (16.9, 285, 40, 16), "Long Causeway", 6), TUE_THU,
           0.25, 0.55),
    Bowler("Cato Windt", bowler("Cato Windt", "cato", "right", (17.2, 420, 50, 8), "Quiet Anvil", 8,
           two_handed="yes", note="No thumb hole; plays to board 35"), (*TUE_THU, (5, 3, SPORT)), 0.0, 0.8),
    Bowler("Edda Marsh", bowler("Edda Marsh", "edda", "right", (13.8, 170, 35, 14), "Low Orchard", 4,
           lane=WOOD, note="Seniors on Wednesday"), ((2, 3, WOOD),), 0.2, 0.7),
    Bowler("Ivo Castellan", bowler("Ivo Castellan", "ivo", "left", (16.1, 310, 55, 18), "Stone Ledger", 6), TUE_THU,
           0.3, 0.75),
    Bowler("Juni Halloran", bowler("Juni Halloran", "juni", "right", (13.4, 195, 40, 12), "First Meadow", 4,
           lane=GUEST, note="Junior, bowls on Thursday and where the club takes her"), ((3, 2, GUEST),), 0.6, 0.6),
    Bowler("Sunna Vik", bowler("Sunna Vik", "sunna", "right", (14.7, 215, 45, 15), "Dusk Granary", 6), TUE_THU, 0.3,
           0.8),
)  # fmt: skip
OLD = "used ~60 games"
D = date
MIREL = (
    Ball("Umber Kestrel", "umber", "Mirel Oster", "solid", (15, 2.47, 0.058, 0.0), 0.13, "500 h", "360/500 m", 6,
         (2, 20, 99), "new box 2000", D(2026, 7, 28), "4R11907", "brown", "5 2 holes"),
    Ball("Quarry Song", "quarry", "Mirel Oster", "solid", (15, 2.50, 0.050, 0.0), 0.16, "1000 h", "500/1000 m", 5,
         (2, 20, 34), OLD, D(2025, 9, 12), "5T30266", "grey and red"),
    Ball("Tidewrack", "tide", "Mirel Oster", "hybrid", (15, 2.49, 0.046, 0.014), 0.14, "1500 s", "500/1500 s", 9,
         (6, 30, 33), "new box 3000", D(2026, 3, 10), "6B00541", "sea green", "4 3 holes"),
    Ball("Slow Lantern", "lantern", "Mirel Oster", "hybrid", (15, 2.50, 0.048, 0.0), 0.34, "2000 s",
         "500/1000/2000 s", 10, (6, 28, 76), OLD, D(2025, 8, 30), "5S77310", "amber"),
    Ball("Bramble Vow", "bramble", "Mirel Oster", "pearl", (15, 2.52, 0.045, 0.0), 0.12, "1500 h", "500/1000/1500 m",
         11, (7, 14, 38), OLD, D(2025, 10, 4), "5V20018", "dark red"),
    Ball("Paper Moth", "moth", "Mirel Oster", "pearl", (15, 2.57, 0.034, 0.0), 0.12, "500/2000 m", "500/1000/2000 m",
         13, (8, 24, 29), "new box 1500/p", D(2026, 4, 14), "6D41190", "pale grey", "5.25 3 holes"),
    Ball("Rook Hollow", "rook", "Mirel Oster", "urethane", (15, 2.51, 0.028, 0.0), 0.2, "1000 h", "500/1000 s", 9,
         (14, 26, 999), OLD, D(2025, 3, 1), "7K20418", "black"),
    Ball("Plain Gate", "gate", "Mirel Oster", "polyester", (15, 2.66, 0.010, 0.0), 0.0, "p s", "500/1000/p s", 60,
         (38, 38, 999), OLD, D(2024, 11, 20), "3H10077", "white", "2 3 holes", spare=True),
)  # fmt: skip
OTHERS = (
    Ball("Harrow Tern", "harrow", "Anneke Roos", "hybrid", (14, 2.50, 0.047, 0.0), 0.5, "2000 h", "500/1000/2000 s", 11,
         (5, 22, 40), OLD, D(2025, 6, 6), "5L30871", "blue"),
    Ball("Cinder Weir", "cinder", "Anneke Roos", "solid", (14, 2.49, 0.052, 0.0), 0.25, "1000 h", "500/1000 s", 6,
         (4, 26, 30), "new box 2000", D(2026, 4, 2), "6C00102", "charcoal"),
    Ball("Pale Ferry", "ferry", "Anneke Roos", "pearl", (14, 2.53, 0.042, 0.0), 0.25, "500/1000/p", "1000/p s", 22,
         (15, 15, 40), OLD, D(2025, 6, 6), "5L30990", "pearl white"),
    Ball("Plain Moss", "moss", "Anneke Roos", "polyester", (14, 2.65, 0.012, 0.0), 0.0, "p s", "500/1000/p s", 70,
         (20, 20, 999), OLD, D(2023, 9, 9), "2F55121", "green", spare=True),
    Ball("Long Causeway", "causeway", "Bo Tillander", "solid", (16, 2.49, 0.050, 0.0), 0.55, "2000 s", "500/2000 s",
         12, (11, 48, 66), OLD, D(2025, 2, 15), "4W90013", "navy"),
    Ball("Gate Nine", "nine", "Bo Tillander", "hybrid", (16, 2.48, 0.055, 0.018), 0.25, "1500 s", "500/1500 s", 12,
         (7, 31, 44), "new box 3000", D(2026, 5, 5), "6E11744", "orange"),
    Ball("Thistle Hour", "thistle", "Bo Tillander", "pearl", (16, 2.55, 0.038, 0.0), 0.2, "4000 s", "1000/2000/4000 s",
         18, (10, 27, 41), OLD, D(2025, 2, 15), "4W90377", "violet"),
    Ball("Rust Heron", "heron", "Cato Windt", "solid", (15, 2.47, 0.056, 0.0), 0.25, "1000 h", "500/1000 s", 5,
         (3, 22, 35), "new box 1000", D(2026, 6, 16), "6G20005", "rust", "4.25 2 holes palm mark"),
    Ball("Quiet Anvil", "anvil", "Cato Windt", "hybrid", (15, 2.50, 0.046, 0.0), 0.4, "2000 h", "500/1000/2000 s", 9,
         (5, 33, 61), OLD, D(2025, 7, 1), "5N61020", "steel", "4 2 holes palm mark"),
    Ball("Blue Stile", "stile", "Cato Windt", "urethane", (15, 2.53, 0.025, 0.0), 0.35, "1000 h", "500/1000 s", 6,
         (4, 30, 999), OLD, D(2025, 1, 18), "7K19922", "blue", "3.5 2 holes palm mark"),
    Ball("Chalk Door", "chalk", "Cato Windt", "polyester", (15, 2.67, 0.008, 0.0), 0.0, "p s", "500/1000/p s", 80,
         (30, 30, 999), OLD, D(2024, 1, 18), "3A00417", "white", "2 2 holes palm mark", spare=True),
    Ball("Low Orchard", "orchard", "Edda Marsh", "pearl", (13, 2.53, 0.040, 0.0), 0.6, "3000 s", "500/1000/3000 s", 14,
         (8, 34, 40), OLD, D(2024, 10, 3), "4J00813", "apple red"),
    Ball("Amber Sluice", "sluice", "Edda Marsh", "hybrid", (13, 2.51, 0.044, 0.0), 0.4, "2000 s", "500/1000/2000 s", 11,
         (6, 21, 30), "new box 2000", D(2026, 3, 25), "6B70119", "amber"),
    Ball("Stone Ledger", "ledger", "Ivo Castellan", "hybrid", (15, 2.49, 0.049, 0.0), 0.6, "1500 h", "500/1500 s", 9,
         (5, 35, 55), OLD, D(2025, 5, 20), "5J40456", "stone"),
    Ball("Wren Ladder", "wren", "Ivo Castellan", "pearl", (15, 2.54, 0.043, 0.0), 0.4, "500/2000 m", "500/1000/2000 m",
         14, (9, 25, 70), OLD, D(2024, 12, 12), "4Z10298", "brown and gold"),
    Ball("First Meadow", "meadow", "Juni Halloran", "pearl", (12, 2.56, 0.036, 0.0), 1.0, "3000 h", "500/3000 s", 14,
         (9, 30, 40), "new box 1500/p", D(2026, 2, 24), "6A30040", "yellow green", "4 3 holes"),
    Ball("Dusk Granary", "granary", "Sunna Vik", "hybrid", (14, 2.50, 0.045, 0.0), 0.6, "2000 h", "500/2000 s", 10,
         (6, 30, 45), OLD, D(2025, 9, 2), "5S10633", "plum"),
    Ball("Salt Veil", "salt", "Sunna Vik", "solid", (14, 2.49, 0.050, 0.0), 0.4, "1000 s", "500/1000 s", 7,
         (4, 24, 32), "new box 2000", D(2026, 4, 21), "6D00918", "grey"),
)  # fmt: skip
BALLS = (*MIREL, *OTHERS)
"""Owners' own balls; spare balls get their shots with every session."""
