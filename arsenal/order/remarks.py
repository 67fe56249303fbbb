"""What an order has to say in sentences: same balls, gaps, the lane's doubt, a benchmark that stands in, a crack."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from arsenal.order import words
from arsenal.order.parting import Parting
from arsenal.order.records import OrderRow, Remark
from arsenal.trade.ball import Ball
from arsenal.trade.findings import Weight
from arsenal.trade.lane import Lane, UnknownHouse

UNSURE_SHARE = 0.5


def same_ball(rows: Sequence[OrderRow], parting: Parting | None) -> Remark:
    """“X and Y are the same ball tonight”, with what one pad would do about it."""
    ids = tuple(r.ball.id for r in rows)
    both = "both" if len(rows) == 2 else "all"
    boards = list(dict.fromkeys(words.signed(r.boards) for r in rows))
    reads = list(dict.fromkeys(r.read_word for r in rows))
    at = f"{both.capitalize()} {boards[0]}" if len(boards) == 1 else words.names(boards)
    reading = f"{both} {reads[0]}" if len(reads) == 1 else words.names(reads)
    if parting is None:
        cure = "No pad tried would part them."
    else:
        name = next(r.ball.name for r in rows if r.ball.id == parting.ball_id)
        does = "part them" if len(rows) == 2 else "set it apart"
        pad = "One pad" if parting.recipe.one_pad else "Work"
        cure = f"{pad} on {name} would {does}: {parting.recipe.name}, {words.signed(parting.boards)}."
    title = f"{words.names([r.ball.name for r in rows])} are the same ball tonight"
    return Remark("overlap", title, f"{at}, {reading}. {cure}", ids)


def gap(above: OrderRow, below: OrderRow, boards: float) -> Remark:
    """Nothing between two neighbours."""
    return Remark(
        "gap", f"A gap of {words.counted(boards, 1.0)} under {above.ball.name}",
        f"Nothing here ends between {above.ball.name} and {below.ball.name}.", (above.ball.id, below.ball.id),
    )  # fmt: skip


def lane(of: Lane) -> Remark:
    """The differences hold better than the lane: another one moves every ball alike (8 to 10 boards, by the press)."""
    if isinstance(of.film, UnknownHouse):
        detail = "This house has not said what is out there, so the lane is a spread. Two benchmark shots narrow it."
    else:
        detail = "Another pair moves every ball alike by up to 8 boards. Two benchmark shots narrow it."
    return Remark("lane", "Believe the differences, not the lane", detail)


def unsure(rows: Sequence[OrderRow]) -> Remark | None:
    """Most neighbours could change places."""
    pairs = list(pairwise(rows))
    tied = [(a, b) for a, b in pairs if b.ball.id in a.tied_with]
    if len(pairs) < 2 or len(tied) <= UNSURE_SHARE * len(pairs):
        return None
    return Remark(
        "doubt", f"{len(tied)} of {len(pairs)} neighbours could change places",
        "Their order is under 90 % sure. Readings, and seeing them thrown one after the other, narrow it.",
    )  # fmt: skip


def benchmark(chosen: Ball | None, wanted: str | None) -> Remark:
    """No benchmark of the bowler's own is here: which ball stands in."""
    why = f"{wanted}, your benchmark, is not in this set" if wanted else "No benchmark is set"
    if chosen is None:
        return Remark("benchmark", why, "Boards count from a plain solid ball at 2000 until there is one.")
    return Remark("benchmark", why, f"{chosen.name}, the middle of the order, stands in.", (chosen.id,))


def nothing_here(spares: int) -> Remark:
    """An empty order."""
    if spares:
        return Remark("benchmark", "Only spare balls here", "Spare balls are kept out of the order.")
    return Remark("benchmark", "No balls here yet", "Add a ball and what was last done to it; a rough guess will do.")


def line(said: str) -> Remark:
    """The shared shot does not reach the pocket."""
    return Remark(
        "line", "No line reaches the pocket with a plain solid ball", f"{said} The order holds for the nearest."
    )


def damage(rows: Sequence[OrderRow]) -> list[Remark]:
    """What is broken or against a rule, one sentence a finding."""
    return [
        Remark("finding", row.ball.name, finding.sentence, (row.ball.id,))
        for row in rows
        for finding in row.findings
        if finding.weight is Weight.BAD
    ]


def all_of(
    rows: Sequence[OrderRow],
    spares: Sequence[OrderRow],
    groups: Sequence[tuple[int, ...]],
    partings: Mapping[tuple[int, ...], Parting | None],
    gaps_after: Sequence[tuple[int, float]],
    of: Lane,
    aged: Sequence[Remark] = (),
) -> list[Remark]:
    """Everything but the benchmark and the line, the most pressing first; `aged` is what play has done to the set."""
    by_id = {r.ball.id: i for i, r in enumerate(rows)}
    made = damage([*rows, *spares])
    made += [same_ball([rows[by_id[i]] for i in group], partings.get(group)) for group in groups]
    made += aged
    made += [gap(rows[by_id[i]], rows[by_id[i] + 1], boards) for i, boards in gaps_after]
    doubtful = unsure(rows)
    if doubtful:
        made.append(doubtful)
    if len(rows) > 1:
        made.append(lane(of))
    return made
