"""A ball's life: new box 3000, used, drilled 4.5 2 holes, lent Name, back, sold, retired, note, undo."""

from __future__ import annotations

from arsenal.exchange.numbers import LENGTH_M, split_measure
from arsenal.exchange.one_line.finish import read_steps
from arsenal.exchange.one_line.measured import check_si
from arsenal.exchange.one_line.sheet import Piece, Sheet, read_text
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Drilled, Handed, Kind, New, Note, Payload, Step, Tool, Undo, effective
from arsenal.trade.errors import NotFound, NotUnderstood, OutOfRange
from arsenal.trade.limits import check
from arsenal.trade.units import INCH_M

_LENGTHS = {k: v for k, v in LENGTH_M.items() if k in ("in", "inch", "inches", '"', "″", "mm", "cm", "m")}


def read_new(cursor: Cursor, sheet: Sheet) -> bool:
    """New with box finish as stated, or used with its history unknown."""
    word = cursor.accept_any(("new", "used"))
    if not word:
        return False
    games: float | None = None
    steps: tuple[Step, ...] = ()
    while not cursor.done:
        approximate = cursor.low().startswith("~")
        if approximate:
            text = cursor.low().removeprefix("~")
            split = split_measure(text)
            if split and split[1] in ("g", "games", "game", ""):
                cursor.at += 1
                games = check("games", split[0])
                cursor.accept_any(("g", "games", "game"))
                continue
        if found := cursor.measure(("g", "games", "game")):
            games = check("games", found[0])
        elif cursor.accept("box"):
            steps = _box(cursor, sheet)
        else:
            break
    sheet.add(Kind.NEW, New(steps, word == "new", games))
    return True


def _box(cursor: Cursor, sheet: Sheet) -> tuple[Step, ...]:
    token = cursor.peek()
    segments, _ = read_steps(cursor, sheet)
    if not segments:
        raise NotUnderstood(token.text if token else "box", "After box comes the finish it came with, as in box 3000.")
    last = segments[-1]
    steps = []
    for segment in segments:
        source = segment if segment.said else last
        tool = source.tool or Tool.MACHINE
        wet = source.wet if source.wet is not None else tool is not Tool.HAND
        steps.append(
            Step(
                segment.abrasive,
                segment.number,
                segment.scale,
                tool,
                wet,
                source.sides,
                source.seconds,
                segment.pad_id,
                segment.uses_before,
            )
        )
    return tuple(steps)


def read_drilled(cursor: Cursor, sheet: Sheet) -> bool:
    """Drilled: pin-to-axis in inches, gripping holes and how many are used, palm mark, by whom."""
    if not cursor.accept_any(("drilled", "drill", "redrilled")):
        return False
    pin, driller, mark = None, "", False
    counts: dict[str, int] = {}
    while not cursor.done:
        if found := cursor.measure(("hole", "holes")):
            counts["holes"] = _count("holes", found[0])
        elif found := cursor.measure(("used", "in use")):
            counts["used"] = _count("holes", found[0])
        elif cursor.accept("palm", "mark") or cursor.accept("palm"):
            mark = True
        elif cursor.accept("no", "thumb"):
            counts["holes"] = 2
        elif cursor.accept("by"):
            driller = read_text(cursor, sheet)
        elif not cursor.accept("pin") and pin is None and (found := cursor.measure(_LENGTHS, bare=_alone(cursor))):
            factor = _LENGTHS.get(found[1], INCH_M)
            pin = check_si("pin-to-axis", found[0] * factor, INCH_M, f"{found[0]:g} {found[1] or 'in'}")
        elif cursor.tokens[cursor.at - 1].low != "pin":
            break
    holes = counts.get("holes", 3)
    used = counts.get("used", holes)
    if used > holes:
        raise OutOfRange("The holes used", str(used), f"0 to {holes}, the holes drilled")
    sheet.add(Kind.DRILLED, Drilled(pin, holes, used, mark, driller))
    return True


def _alone(cursor: Cursor) -> bool:
    """A bare number here is no day of a month and no count of anything."""
    token = cursor.peek()
    split = split_measure(token.low) if token else None
    return split is not None and not split[1]


def _count(field: str, value: float) -> int:
    if value != int(value):
        raise OutOfRange(f"The number of {field}", f"{value:g}", "a whole number")
    return int(check(field, value))


_HANDED = {"lent": Kind.LENT, "lend": Kind.LENT, "back": Kind.RETURNED, "returned": Kind.RETURNED, "sold": Kind.SOLD,
           "retired": Kind.RETIRED, "retire": Kind.RETIRED}  # fmt: skip


def read_handed(cursor: Cursor, sheet: Sheet) -> bool:
    """Lent to somebody, back, sold, retired."""
    word = cursor.accept_any(_HANDED)
    if not word:
        return False
    cursor.accept_any(("to", "from"))
    to = read_text(cursor, sheet)
    if word in ("lent", "lend") and not to:
        raise NotUnderstood(word, "Say to whom, as in lent Sunna Vik.")
    same = [p.id for p in sheet.scene.people if p.name.casefold() == to.casefold()]
    person = same[0] if len(same) == 1 else None
    if cursor.low() == "person" and cursor.peek(1):
        cursor.at += 1
        number = cursor.take().text
        known = {str(p.id): p.id for p in sheet.scene.people}
        if number != "none" and number not in known:
            raise NotFound(f"There is no person number {number}.", word=number)
        person = known.get(number)
    sheet.add(_HANDED[word], Handed(to, person))
    return True


def read_note(cursor: Cursor, sheet: Sheet) -> bool:
    """A sentence to keep: everything after “note”, as it stands."""
    if not cursor.accept_any(("note",)):
        return False
    token = cursor.peek()
    text = cursor.rest()
    if not text.strip():
        raise NotUnderstood(token.text if token else "note", "After note comes the sentence to keep.")
    sheet.add(Kind.NOTE, Note(text))
    return True


def read_undo(cursor: Cursor, sheet: Sheet) -> bool:
    """Takes back the last entry of the ball that stands, or the one whose number is given."""
    if not cursor.accept("undo"):
        return False
    number = None
    if cursor.low().startswith("#") and cursor.low()[1:].isdigit():
        number = int(cursor.take().low[1:])
    cursor.accept("because")
    reason = read_text(cursor, sheet)

    def for_ball(ball: Ball) -> tuple[Payload, int | None]:
        mine = [e for e in sheet.scene.entries if e.ball_id == ball.id]
        if number is not None:
            if sheet.scene.entries and number not in {e.seq for e in mine}:
                raise NotFound(f"{ball.name} has no entry number {number}.", word=f"#{number}")
            return Undo(reason), number
        standing = effective(mine)
        if not standing:
            raise NotFound(f"{ball.name} has nothing to take back.", word="undo")
        return Undo(reason), max(e.seq for e in standing)

    sheet.pieces.append(Piece(Kind.UNDO, Undo(reason), for_ball=for_ball))
    return True
