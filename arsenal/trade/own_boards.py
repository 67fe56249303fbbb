"""Boards as the bowler counts them, from the own gutter, and the lateral that motion reckons in.

Motion counts from the gutter opposite the hook side. That is the own gutter, but for a back-up ball: then it is the
other one, and a board is mirrored.
"""

from __future__ import annotations

from arsenal.trade.units import board_to_lateral_m, lateral_m_to_board, mirror_board


def board_of(lateral_m: float, *, back_up: bool) -> float:
    """The board from the bowler's own gutter."""
    counted = lateral_m_to_board(lateral_m)
    return mirror_board(counted) if back_up else counted


def lateral_of(own_board: float, *, back_up: bool) -> float:
    """Motion's lateral of a board counted from the bowler's own gutter."""
    return board_to_lateral_m(mirror_board(own_board) if back_up else own_board)
