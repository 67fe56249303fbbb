"""Rows of the order list: balls with their bracket, gap lines between them, spare balls apart; and the bars' scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from arsenal.acts.views import LaneSide
from arsenal.desk.lane_side import words
from arsenal.order import words as say
from arsenal.order.records import OrderRow

LANES = 3
"""Brackets side by side at most: more than that tells nothing any more."""
LEAST_REACH = 1.5
"""Boards to either side that the bars' scale always has room for."""


@dataclass(frozen=True, slots=True)
class Bracket:
    """A piece of a bracket in one row: `part` is first, middle or last; `lane` counts from the outside."""

    lane: int
    part: str


@dataclass(frozen=True, slots=True)
class BallRow:
    """One ball in the list. `series` is the path's style where it is drawn on the right."""

    row: OrderRow
    flag: str
    brackets: tuple[Bracket, ...] = ()
    series: int | None = None
    stays: int | None = None
    """Of the ball in hand: the style it goes on in when another ball comes in hand."""
    in_hand: bool = False
    spare: bool = False
    first_spare: bool = False
    hover: str = ""
    spoken: str = ""


@dataclass(frozen=True, slots=True)
class GapRow:
    """The line between two neighbours that are far apart."""

    text: str


@dataclass(frozen=True, slots=True)
class Reach:
    """Boards the bars reach to either side of the benchmark's line."""

    low: float
    high: float
    number: str = "−8"
    doubt: str = "± 1"
    """The widest texts of the column of boards."""


def reach(rows: Sequence[OrderRow]) -> Reach:
    """What the whiskers need."""
    lows = [min(r.boards, r.boards_low) for r in rows] + [-LEAST_REACH]
    highs = [max(r.boards, r.boards_high) for r in rows] + [LEAST_REACH]
    number = max([words.boards(r) for r in rows] + ["−8"], key=len)
    doubt = max([words.doubt(r) for r in rows] + ["± 1"], key=len)
    return Reach(min(lows), max(highs), number, doubt)


def brackets(rows: Sequence[OrderRow]) -> list[tuple[Bracket, ...]]:
    """For each row its pieces of bracket: runs of neighbours of which every pair may change places."""
    pieces: list[list[Bracket]] = [[] for _ in rows]
    free_from = [0] * LANES
    for first, last in _runs(rows):
        lane = next((i for i in range(LANES) if free_from[i] <= first), None)
        if lane is None:
            continue
        free_from[lane] = last + 1
        for at in range(first, last + 1):
            pieces[at].append(Bracket(lane, "first" if at == first else "last" if at == last else "middle"))
    return [tuple(found) for found in pieces]


def _runs(rows: Sequence[OrderRow]) -> list[tuple[int, int]]:
    """Longest runs of neighbours that are all tied with each other, none inside another."""
    found: list[tuple[int, int]] = []
    for first in range(len(rows)):
        last = first
        while last + 1 < len(rows) and _all_tied(rows[first : last + 2]):
            last += 1
        if last > first and (not found or last > found[-1][1]):
            found.append((first, last))
    return found


def _all_tied(rows: Sequence[OrderRow]) -> bool:
    return all(b.ball.id in a.tied_with for a, b in combinations(rows, 2))


def list_rows(
    side: LaneSide, series: Mapping[int, int], hand: int | None, stays: int | None = None
) -> list[BallRow | GapRow]:
    """The whole list, top to bottom. `series` is the path style of the balls drawn."""
    order = side.order
    names = {row.ball.id: row.ball.name for row in order.rows}
    styles = Styles(series, hand, stays)
    gaps = dict(order.gaps_after)
    made: list[BallRow | GapRow] = []
    for row, pieces in zip(order.rows, brackets(order.rows), strict=True):
        made.append(_ball(row, side, styles, names, pieces))
        if row.ball.id in gaps:
            made.append(GapRow(f"gap: {say.counted(gaps[row.ball.id], 1.0)} to the next"))
    for number, row in enumerate(order.spares):
        made.append(_ball(row, side, styles, names, (), spare=True, first=number == 0))
    return made


@dataclass(frozen=True, slots=True)
class Styles:
    """Which balls are drawn and how: see `BallRow`."""

    series: Mapping[int, int]
    hand: int | None
    stays: int | None


def _ball(
    row: OrderRow, side: LaneSide, drawn: Styles, names: Mapping[int, str],
    pieces: tuple[Bracket, ...], *, spare: bool = False, first: bool = False,
) -> BallRow:  # fmt: skip
    flag = words.flag(row, side.jobs)
    style, held = drawn.series.get(row.ball.id), row.ball.id == drawn.hand
    stays = drawn.stays if held else None
    tied = [names[i] for i in row.tied_with if i in names]
    said = words.spoken(row, flag, hand=held, drawn=stays is not None if held else style is not None)
    return BallRow(row, flag, pieces, style, stays, held, spare, first, words.hover(row, side.bowler, tied), said)


def spoken(row: BallRow | GapRow) -> str:
    """A row for a screen reader."""
    return row.spoken if isinstance(row, BallRow) else row.text


def ball_id(row: object) -> int | None:
    """The ball of a row, where it is one."""
    return row.row.ball.id if isinstance(row, BallRow) else None
