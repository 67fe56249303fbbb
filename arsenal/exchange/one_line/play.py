"""Play: 14s, 2g, ~20g, wiped, on house; what was seen of a shot: saw high; and of two balls: > jay 3."""

from __future__ import annotations

import math
from dataclasses import replace

from arsenal.exchange.numbers import parse_number, split_measure
from arsenal.exchange.one_line.dates import read_day
from arsenal.exchange.one_line.sheet import Sheet
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.one_line.who import read_ball, read_lane
from arsenal.trade.entries import Compared, Kind, Played, Saw, Seen, Wiped
from arsenal.trade.errors import KnownError, NotUnderstood, OutOfRange
from arsenal.trade.limits import check
from arsenal.trade.units import GRAM_KG, POUND_KG, SHOTS_A_GAME

GAMES = ("g", "game", "games")
SHOTS = ("shot", "shots")
ABOUT_SD = 0.2
"""“About” is ± 40 %, read as two standard deviations."""
_MOST_GAMES = 400.0
_LEAST_GRAMS = 6.0 * POUND_KG / GRAM_KG
_CLEAR_SHOTS = 180.0
"""From here on “500s” might as well be a grain and a spinner."""


def _approximate(cursor: Cursor) -> bool:
    token = cursor.peek()
    if token and not token.quoted and token.text.startswith("~") and len(token.text) > 1:
        cursor.tokens[cursor.at] = replace(token, text=token.text[1:], start=token.start + 1)
        return True
    return bool(cursor.accept_any(("~", "about", "approx", "roughly", "ca")))


def _spread(cursor: Cursor) -> float | None:
    """“±30%” after a count, as one standard deviation; None where it is not said."""
    word = cursor.low()
    if word == "±" or (word.startswith("±") and word.endswith("%")):
        text = cursor.take().text.removeprefix("±") or (cursor.take().text if not cursor.done else "")
        percent = parse_number(text.removesuffix("%"))
        cursor.accept("%")
        if not 0 <= percent <= 200:
            raise OutOfRange("The doubt", f"± {percent:g} %", "0 to 200 %")
        return percent / 200.0
    if word == "sd":
        cursor.at += 1
        return parse_number(cursor.take().text) if not cursor.done else None
    return None


def _joined_shots(cursor: Cursor, about: bool) -> float | None:
    """“14s” in one word; a space makes it a grain on a spinner."""
    token = cursor.peek()
    split = split_measure(token.low) if token and token.low else None
    if token is None or split is None or split[1] != "s":
        return None
    if split[0] >= _CLEAR_SHOTS and not about:
        count = f"{split[0]:g}"
        raise NotUnderstood(token.text, f"Write {count} shots, or {count} s for a {count} on a spinner.",
                            choices=(f"{count} shots", f"{count} s"))  # fmt: skip
    cursor.at += 1
    return split[0]


def _games(cursor: Cursor) -> float | None:
    """A count of games; None for what is plainly grams. Raises OutOfRange in between."""
    before = cursor.at
    found = cursor.measure(GAMES)
    if found is None:
        return None
    value, unit = found
    if unit == "g" and value > _MOST_GAMES:
        cursor.at = before
        if value >= _LEAST_GRAMS:
            return None
        allowed = f"0.1 to {_MOST_GAMES:g}; a weight in grams begins at {_LEAST_GRAMS:.0f}"
        raise OutOfRange("The number of games", f"{value:g}", allowed)
    return check("games", value)


def read_play(cursor: Cursor, sheet: Sheet) -> bool:
    """Shots or games, exact or about."""
    before = cursor.at
    saved = list(cursor.tokens)
    about = _approximate(cursor)
    games, shots = _games(cursor), None
    if games is None:
        found = cursor.measure(SHOTS)
        shots = found[0] if found else _joined_shots(cursor, about)
    else:
        again = cursor.measure(SHOTS)
        shots = again[0] if again else _joined_shots(cursor, about)
    if games is None and shots is None:
        cursor.at, cursor.tokens = before, saved
        return False
    count = games * SHOTS_A_GAME if shots is None and games is not None else shots
    if count is None:
        return False
    spread = _spread(cursor)
    sd = spread if spread is not None else (ABOUT_SD if about else 0.0)
    sheet.add(Kind.PLAYED, Played(check("shots", count), sd, games))
    return True


def wiping(cursor: Cursor) -> Wiped | None:
    """Wiped each shot, sometimes, never; None where nothing is said of it."""
    wiped: Wiped | None = None
    if cursor.accept("not", "wiped") or cursor.accept("never", "wiped") or cursor.accept("unwiped"):
        wiped = Wiped.NEVER
    elif cursor.accept("sometimes", "wiped"):
        wiped = Wiped.SOMETIMES
    elif cursor.accept("wiped") or cursor.accept("wipe"):
        wiped = Wiped.EACH
        if cursor.accept_any(("sometimes", "some")) or cursor.accept("now", "and", "then"):
            wiped = Wiped.SOMETIMES
        elif cursor.accept("never"):
            wiped = Wiped.NEVER
        elif not (cursor.accept("each", "shot") or cursor.accept("every", "shot")):
            cursor.accept("each")
    return wiped


def read_wiping(cursor: Cursor, sheet: Sheet) -> bool:
    """How it was wiped in all that the line tells of."""
    word = cursor.low()
    wiped = wiping(cursor)
    if wiped is None:
        return False
    sheet.wiped, sheet.wiped_word = wiped, word
    return True


def read_place(cursor: Cursor, sheet: Sheet) -> bool:
    """“on house” is a lane condition, “on thu” a day."""
    before = cursor.at
    if not (cursor.accept("on") or cursor.accept("@")):
        return False
    day = read_day(cursor, sheet.scene.today)
    if day is not None:
        sheet.on = day
        return True
    lane = read_lane(cursor, sheet.scene)
    sheet.lane_id, sheet.lane_word = lane.id, cursor.tokens[before + 1].text
    return True


def read_compared(cursor: Cursor, sheet: Sheet) -> bool:
    """“> jay 3”: ends three boards stronger; “< jay 2” weaker; “= jay” the same."""
    sign = cursor.low()
    if sign not in (">", "<", "="):
        return False
    cursor.at += 1
    token = cursor.peek()
    other = read_ball(cursor, sheet.scene)
    if other is None:
        word = token.text if token else sign
        raise NotUnderstood(word, f"After {sign} comes the other ball and the boards, as in > jay 3.")
    boards = 0.0
    if sign != "=":
        following = cursor.peek()
        try:
            boards = parse_number(cursor.take().text.removesuffix("b")) if following else float("nan")
        except KnownError:
            boards = float("nan")
        if math.isnan(boards):
            raise NotUnderstood(following.text if following else sign, f"Say how many boards, as in {sign} jay 3.")
    cursor.accept_any(("board", "boards"))
    sd = 1.5
    if cursor.low().startswith("±"):
        text = cursor.take().text.removeprefix("±")
        sd = parse_number(text or (cursor.take().text if not cursor.done else ""))
        if not 0 < sd <= 40:
            raise OutOfRange("The doubt", f"± {sd:g} boards", "over 0 to 40 boards")
    check("boards", boards)
    sheet.add(Kind.COMPARED, Compared(other.id, -boards if sign == "<" else boards, sd))
    return True


def read_saw(cursor: Cursor, sheet: Sheet) -> bool:
    """“saw high”: what one shot did, in one of seven words."""
    if not cursor.accept("saw"):
        return False
    token = cursor.peek()
    known = [seen.value for seen in Seen]
    if token is None or token.low not in known:
        raise NotUnderstood(
            token.text if token else "saw", f"After saw comes one of {', '.join(known)}.", choices=tuple(known)
        )
    cursor.at += 1
    sheet.add(Kind.SAW, Saw(Seen(token.low)))
    return True
