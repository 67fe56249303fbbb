"""Words of the coach's sheet: hand, how long ago, boards of a row, what is due, who is left out; a row said whole."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.acts.coach import CoachRow, LastSeen
from arsenal.acts.views import RuleState
from arsenal.acts.words import WIPED_IN_SHORT
from arsenal.desk.lane_side import words as of_order
from arsenal.order import words as say
from arsenal.order.records import OrderRow
from arsenal.plan.records import Job
from arsenal.trade.entries import Seen, Wiped
from arsenal.trade.person import Person

LETTERS = {
    "N": Seen.LONG, "L": Seen.LIGHT, "F": Seen.FLUSH, "H": Seen.HIGH, "O": Seen.OVER, "Q": Seen.QUIT, "U": Seen.HUNG,
}  # fmt: skip
"""The key of each word, wherever a shot is logged."""
MEANS = {
    Seen.LONG: "stayed out", Seen.LIGHT: "light of the pocket", Seen.FLUSH: "in the pocket",
    Seen.HIGH: "high in the pocket", Seen.OVER: "crossed over", Seen.QUIT: "rolled out, no hit",
    Seen.HUNG: "turned, then stood up",
}  # fmt: skip
TIMES = {1: "", 2: " twice"}
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
MINUTE_S, HOUR_S = 60.0, 3600.0


def hand(person: Person) -> str:
    """“right”, “left, two hands”, “right, back-up”."""
    more = ", two hands" if person.two_handed else ""
    return f"{person.hand.value}{more}{', back-up' if person.back_up else ''}"


def seen(saw: LastSeen) -> str:
    """“high”, “high twice”, “high 3 times”."""
    return f"{saw.seen.value}{TIMES.get(saw.times, f' {saw.times} times')}"


def ago(seconds: float) -> str:
    """“now” within a minute, “4 min ago”, “2 h ago”."""
    if seconds < MINUTE_S:
        return "now"
    if seconds < HOUR_S:
        return f"{seconds / MINUTE_S:.0f} min ago"
    return f"{seconds / HOUR_S:.0f} h ago"


def when(row: CoachRow) -> str:
    """“4 min ago”; with the ball's name where another one is in hand by now."""
    if row.saw is None:
        return ""
    other = row.hand is None or row.hand.ball.id != row.saw.ball_id
    name = ball_name(row, row.saw.ball_id) if other else ""
    return ago(row.saw.ago_s) + (f", {name}" if name else "")


def ball_name(row: CoachRow, ball_id: int) -> str:
    """The name of a ball of this bowler's order; empty where it is not in it."""
    every = (*row.side.order.rows, *row.side.order.spares) if row.side else ()
    return next((one.ball.name for one in every if one.ball.id == ball_id), "")


def boards_of(row: OrderRow) -> str:
    """“+1 board”, “0 boards”."""
    text = of_order.boards(row)
    return f"{text} board{'s' if text.lstrip('+−') not in ('½', '1') else ''}"


def due(job: Job | None) -> str:
    """One word for the worst job on the ball in hand."""
    return "nothing due" if job is None else "look it over" if job.damage else job.work.value


def narrow(row: CoachRow) -> str:
    """Under the name where there is no column for it: last seen, else the hand; and what is due."""
    first = f"{seen(row.saw)} {ago(row.saw.ago_s)}" if row.saw else hand(row.bowler)
    return first if row.due is None else f"{first}, {due(row.due)}"


def counted(number: int, what: str) -> str:
    """“eight bowlers”, “one card”, “14 cards”."""
    said = COUNTS[number] if number < len(COUNTS) else str(number)
    return f"{said} {what}{'' if number == 1 else 's'}"


def out_of(ticked: Sequence[str], left_out: Sequence[str]) -> str:
    """“7 of 8: not Juni Halloran”, “all 8”; of more than two left out only the first is named."""
    every = len(ticked) + len(left_out)
    if not left_out:
        return f"all {every}" if every > 1 else "".join(ticked)
    if not ticked:
        return "nobody is ticked"
    names = say.names(left_out) if len(left_out) <= 2 else f"{left_out[0]} and {len(left_out) - 1} more"
    return f"{len(ticked)} of {every}: not {names}"


def threw(games: float, wiped: Wiped | None, *, cleaned: bool) -> str:
    """“All threw 3 games, wiped, cleaned”."""
    count = f"{games:g} game{'' if games == 1 else 's'}"
    parts = [count, WIPED_IN_SHORT[wiped] if wiped else "", "cleaned" if cleaned else ""]
    return "All threw " + ", ".join(part for part in parts if part)


def rule(rows: Sequence[CoachRow]) -> tuple[bool, str, str]:
    """(pads allowed, sentence, hover) for all: one sentence where they agree, else how many are barred."""
    if not rows:
        return True, "", ""
    states: list[RuleState] = [row.rule for row in rows]
    if len({state.sentence for state in states}) == 1:
        return states[0].pads_allowed, states[0].sentence, states[0].hover
    each = " ".join(f"{row.bowler.name}: {row.rule.sentence}." for row in rows)
    barred = [row for row in rows if not row.rule.pads_allowed]
    if barred:
        return False, f"dry towel only for {len(barred)} of {len(rows)}", each
    return True, "pads allowed until each one’s first scored ball", each


def hover(row: CoachRow) -> str:
    """Everything about a row that has no column."""
    if row.side is None or row.hand is None:
        return row.missing
    parts = [f"{row.hand.ball.name}: {of_order.marks(row.bowler, row.hand.trace)}."]
    if row.saw is not None:
        parts.append(f"Last seen: {MEANS[row.saw.seen]}, {when(row)}.")
    if row.due is not None:
        parts.append(f"{row.due.work.value.capitalize()}: {row.due.why}. {row.due.detail}".strip(" .") + ".")
    if row.down is not None:
        parts.append(f"Next ball down: {row.down.ball.name}, {boards_of(row.down)}.")
    return " ".join(parts)


def spoken(person: Person, row: CoachRow | None, *, ticked: bool) -> str:
    """A row for a screen reader."""
    told = [person.name, hand(person), "ticked" if ticked else "left out"]
    if row is None:
        return ", ".join([*told, "being read"])
    if row.hand is None:
        return ", ".join([*told, row.missing])
    state = row.hand.state
    told.append(f"{row.hand.ball.name} in hand, {of_order.finish(state)}{of_order.rest_of_finish(state)}")
    told.append("benchmark" if row.hand.benchmark else f"{boards_of(row.hand)} {of_order.doubt(row.hand)}")
    told.append(f"next down {row.down.ball.name}, {boards_of(row.down)}" if row.down else "no ball down")
    told.append(f"last seen {seen(row.saw)}, {when(row)}" if row.saw else "nothing seen today")
    told.append(f"{due(row.due)}, {row.due.due.value}" if row.due else due(None))
    return ", ".join(told)
