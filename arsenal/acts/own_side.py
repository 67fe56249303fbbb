"""Boards as this bowler counts them, from the own gutter, and the lateral that motion reckons in."""

from __future__ import annotations

from arsenal.trade import own_boards
from arsenal.trade.person import Person


def board(person: Person, lateral_m: float) -> float:
    """The board from the bowler's own gutter."""
    return own_boards.board_of(lateral_m, back_up=person.back_up)


def lateral_m(person: Person, own_board: float) -> float:
    """Motion's lateral of a board counted from the bowler's own gutter."""
    return own_boards.lateral_of(own_board, back_up=person.back_up)
