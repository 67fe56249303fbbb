"""Unit constants: multiply to come in to SI, divide to go out. SI inside, trade units at the edges."""

from __future__ import annotations

import math

FOOT_M = 0.3048
INCH_M = 0.0254
POUND_KG = 0.45359237
OUNCE_KG = POUND_KG / 16.0
MPH_MPS = 0.44704
KMH_MPS = 1.0 / 3.6
RPM_RADPS = 2.0 * math.pi / 60.0
DEGREE_RAD = math.pi / 180.0
MICROINCH_M = 0.0254e-6
"""1 μin = 0.0254 μm exactly (the inch is 25.4 mm by the 1959 international agreement)."""
MICROMETRE_M = 1e-6
MILLILITRE_M3 = 1e-6
GRAM_KG = 1e-3
MINUTE_S = 60.0
GRAVITY_MPS2 = 9.80665

LANE_WIDTH_M = 41.5 * INCH_M
"""Nominal lane width (allowed 41 to 42 in, USBC)."""
LANE_BOARDS = 39
BOARD_M = LANE_WIDTH_M / LANE_BOARDS
LANE_LENGTH_M = 60.0 * FOOT_M
"""Foul line to head-pin spot (60 ft ± ½ in, USBC)."""
OIL_UNIT_M = 0.180e-6
"""One unit of lane oil, 0.0167 mL/ft² (from memory; there is no one agreed unit)."""
POCKET_BOARD = 17.5
SHOTS_A_GAME = 11.0
"""Strike-ball shots a game (common practice, no source)."""


def board_to_lateral_m(board: float) -> float:
    """Centre of `board` (counted from the bowler's own gutter) as metres from that gutter."""
    return (board - 0.5) * BOARD_M


def lateral_m_to_board(lateral_m: float) -> float:
    """Metres from the bowler's own gutter as a board number; edges are 0.5 and 39.5."""
    return lateral_m / BOARD_M + 0.5


def mirror_board(board: float) -> float:
    """The same place counted from the other gutter: 40 − board."""
    return LANE_BOARDS + 1.0 - board


def c_from_f(fahrenheit: float) -> float:
    """Degrees Celsius from Fahrenheit."""
    return (fahrenheit - 32.0) / 1.8


def f_from_c(celsius: float) -> float:
    """Degrees Fahrenheit from Celsius."""
    return celsius * 1.8 + 32.0
