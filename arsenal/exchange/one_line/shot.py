"""A practice shot: flush, 2 high, light 15.5, shot high 19 arrows 14 read 41 bp 43@9 left 10, hung unwiped at 18:42.

As much or as little as was seen. Several shots on one line are parted by “;”, “then” or the word shot.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from arsenal.exchange.numbers import LENGTH_M, split_measure
from arsenal.exchange.one_line import play
from arsenal.exchange.one_line.dates import read_day
from arsenal.exchange.one_line.names import fits, person_names
from arsenal.exchange.one_line.sheet import Piece, Sheet
from arsenal.exchange.one_line.shot_raw import Place, RawShot, whose_board
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.one_line.who import numbered
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Kind, Payload, Shot, Wiped
from arsenal.trade.errors import NotFound, NotUnderstood, OutOfRange
from arsenal.trade.limits import LIMITS
from arsenal.trade.trial import PINS, Word, contradiction, impossible
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, KMH_MPS, MPH_MPS, RPM_RADPS

WORDS: Mapping[tuple[str, ...], Word] = {
    ("long",): Word.LONG, ("light",): Word.LIGHT, ("flush",): Word.FLUSH, ("high",): Word.HIGH, ("over",): Word.OVER,
    ("crossed", "over"): Word.OVER, ("crossed",): Word.OVER, ("rolled", "out"): Word.ROLLED_OUT,
    ("rolled-out",): Word.ROLLED_OUT, ("quit",): Word.ROLLED_OUT, ("hung",): Word.HUNG, ("stood", "up"): Word.HUNG,
}  # fmt: skip
SPEED_MPS: Mapping[str, float] = {"mph": MPH_MPS, **dict.fromkeys(("kmh", "kph"), KMH_MPS), "mps": 1.0}
RPM: Mapping[str, float] = {"rpm": RPM_RADPS, "radps": 1.0}
ANGLE: Mapping[str, float] = {**dict.fromkeys(("deg", "°", "degrees"), DEGREE_RAD), "rad": 1.0}
ANGLES = {"rotation": "axis_rotation_rad", "tilt": "axis_tilt_rad", "launch": "launch_rad", "entry": "entry_rad"}
FIELD = {"rotation": "rotation", "tilt": "tilt", "launch": "launch", "entry": "entry angle"}
STARTS = frozenset(
    ("shot", "missed", "miss", "arrows", "arrow", "bp", "breakpoint", "strike", *(w[0] for w in WORDS))
)  # fmt: skip
GOES_ON = frozenset(
    (*STARTS, *ANGLES, "wiped", "wipe", "unwiped", "not", "never", "at", "read", "reads", "board", "left", "by",
     "sensor", "line", "outing", "pins", "and", ";", "then")
)  # fmt: skip
"""What stands after the first word of a shot, rather than of what was done to a ball of that name."""
_FEET = {k: v for k, v in LENGTH_M.items() if k in ("ft", "feet", "m")}
_TIME = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)", re.ASCII)
_AT = re.compile(r"([^@]+)@([^@]*)|@([^@]+)")
_MOST_OFF = 10.0
"""“12 high” is board 12, seen high: nobody counts that many boards from the pocket."""
_AMBIGUOUS = 7.0


def _number(cursor: Cursor, ahead: int = 0) -> float | None:
    """A bare number `ahead` of here, ½ included; None where something else stands there."""
    token = cursor.peek(ahead)
    if token is None or token.quoted:
        return None
    text = token.low.replace("½", ".5") if token.low.count("½") == 1 and token.low.endswith("½") else token.low
    return split[0] if (split := split_measure(text)) is not None and not split[1] else None


def _checked(field: str, value: float, unit_si: float, typed: str) -> float:
    limit, slack = LIMITS[field], 1e-9
    if not limit.low - slack <= value / unit_si <= limit.high + slack:
        raise OutOfRange(f"The {field}", typed, limit.allowed)
    return value


def _place(cursor: Cursor, after: str) -> Place:
    """A board, or metres as they are written for exactness."""
    if found := cursor.measure(("m",)):
        _checked("board seen", found[0], BOARD_M, f"{found[0]:g} m")
        return Place(found[0], "m")
    value = _number(cursor)
    if value is None:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else after, f"After {after} comes the board, as in {after} 14.")
    cursor.at += 1
    return Place(_checked("board seen", value, 1.0, f"{value:g}"))


def _feet_m(cursor: Cursor, after: str) -> float:
    if found := cursor.measure(_FEET):
        return _checked("seen at", found[0] * _FEET[found[1]], FOOT_M, f"{found[0]:g} {found[1]}")
    value = _number(cursor)
    if value is None:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else after, f"After {after} come the feet, as in {after} 41.")
    cursor.at += 1
    return _checked("seen at", value * FOOT_M, FOOT_M, f"{value:g} ft")


# ---- what can be said of a shot; each takes what stands at the cursor or leaves it


def _word(cursor: Cursor, raw: RawShot) -> bool:
    for said, word in sorted(WORDS.items(), key=lambda item: -len(item[0])):
        if not cursor.accept(*said):
            continue
        if word in raw.words:
            raise NotUnderstood(said[0], f"Part two shots with ; as in {said[0]}; {said[0]}.")
        value = _number(cursor)
        if word is Word.OVER and value is not None:
            choices = (f"arrows {value:g}", "over")
            raise NotUnderstood("over", f"Write arrows {value:g} for the board at the arrows, or over alone for a ball "
                                "that crossed over.", choices=choices)  # fmt: skip
        if word in (Word.HIGH, Word.LIGHT) and value is not None and value < _AMBIGUOUS:
            choices = (f"{value:g} {said[0]}", f"{said[0]} board {value:g}")
            raise NotUnderstood(
                f"{said[0]} {value:g}", f"Write {choices[0]} for boards, or {choices[1]}.", choices=choices
            )
        raw.words.append(word)
        return True
    return False


def _off_pocket(cursor: Cursor, raw: RawShot) -> bool:
    """“2 high”: boards from the pocket. “14 light” is board 14, seen light."""
    value, way = _number(cursor), cursor.low(1)
    if value is None or way not in ("high", "light") or value < 0.0:
        return False
    cursor.at += 1
    if value > _MOST_OFF:
        _land(raw, Place(_checked("board seen", value, 1.0, f"{value:g}")), f"{value:g} {way}")
        return True
    cursor.at += 1
    _land(raw, Place(value if way == "high" else -value, "high"), f"{value:g} {way}")
    return True


def _land(raw: RawShot, place: Place, typed: str) -> None:
    if raw.landing is not None:
        raise NotUnderstood(typed, "Two places at the pins: part two shots with ; as in 2 high; 1 light.")
    raw.landing = place


def _landing(cursor: Cursor, raw: RawShot) -> bool:
    """“board 19”, “ended on 19”, or a bare number after what was said."""
    if cursor.accept("ended", "on") or cursor.accept_any(("board", "ended", "pins")):
        _land(raw, _place(cursor, "board"), cursor.tokens[cursor.at - 1].text)
        return True
    if _number(cursor) is not None and cursor.low(1) not in _NOT_BOARDS and raw.landing is None:
        _land(raw, _place(cursor, "shot"), "shot")
        return True
    return False


def _missed(cursor: Cursor, raw: RawShot) -> bool:
    if cursor.accept("on", "target"):
        raw.missed_right_m = 0.0
        return True
    if not cursor.accept_any(("missed", "miss")):
        return False
    cursor.accept("target") or cursor.accept("the", "target")
    cursor.accept_any(("by",))
    size = _boards(cursor)
    cursor.accept_any(("boards", "board"))
    cursor.accept_any(("to",))
    side = cursor.accept_any(("left", "right"))
    if side is None:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else "missed", "Say the side and the boards, as in missed right 2.")
    cursor.accept_any(("by",))
    size = _boards(cursor) if size is None else size
    if size is None:
        raise NotUnderstood(side, f"Say by how many boards, as in missed {side} 2.")
    cursor.accept_any(("boards", "board"))
    _checked("boards", size, BOARD_M, f"{size / BOARD_M:g}")
    raw.missed_right_m = size if side == "right" else -size
    return True


def _boards(cursor: Cursor) -> float | None:
    """A number of boards as metres; metres as they stand."""
    if found := cursor.measure(("m",)):
        return found[0]
    value = _number(cursor)
    if value is None:
        return None
    cursor.at += 1
    return value * BOARD_M


def _arrows(cursor: Cursor, raw: RawShot) -> bool:
    if not cursor.accept_any(("arrows", "arrow")):
        return False
    raw.arrows = _place(cursor, "arrows")
    return True


def _read(cursor: Cursor, raw: RawShot) -> bool:
    if not cursor.accept_any(("read", "reads")):
        return False
    cursor.accept("at")
    raw.first_read_m = _feet_m(cursor, "read")
    return True


def _breakpoint(cursor: Cursor, raw: RawShot) -> bool:
    if not cursor.accept_any(("bp", "breakpoint")):
        return False
    cursor.accept("at")
    _part_at(cursor)
    if not cursor.accept("@"):
        raw.breakpoint_m = _feet_m(cursor, "bp")
        _part_at(cursor)
        if cursor.low() != "@" or (_number(cursor, 1) is None and split_measure(cursor.low(1)) is None):
            if (board := _number(cursor)) is not None and cursor.low(1) not in _NOT_BOARDS:
                raise whose_board(raw.breakpoint_m / FOOT_M, board)
            return True
        cursor.at += 1
    raw.breakpoint_board = _place(cursor, "@")
    return True


def _part_at(cursor: Cursor) -> None:
    """“43@9” in one word becomes three."""
    token = cursor.peek()
    found = _AT.fullmatch(token.text) if token and not token.quoted else None
    if token is None or found is None:
        return
    words = [w for w in (found[1], "@", found[2] or found[3]) if w]
    cursor.tokens[cursor.at : cursor.at + 1] = [replace(token, text=word) for word in words]


def _pins(cursor: Cursor, raw: RawShot) -> bool:
    """“left 10”, “left 3-6-10”: recorded as seen."""
    if not cursor.accept("left"):
        return False
    before = len(raw.pins_left)
    while (token := cursor.peek()) is not None and re.fullmatch(r"\d{1,3}(-\d{1,3})*", token.low, re.ASCII):
        if cursor.low(1) in _NOT_PINS:
            break
        for text in token.low.split("-"):
            if int(text) not in PINS:
                raise OutOfRange("A pin left", text, "1 to 10")
            if int(text) not in raw.pins_left:
                raw.pins_left.append(int(text))
        cursor.at += 1
    cursor.accept_any(("pin", "pins"))
    if len(raw.pins_left) == before:
        raise NotUnderstood("left", "After left come the pins, as in left 3-6-10; a miss is missed left 2.")
    return True


def _instrument(cursor: Cursor, raw: RawShot) -> bool:
    """What an instrument read of the release."""
    if cursor.accept_any(("sensor",)):
        raw.by_sensor = True
        return True
    if found := cursor.measure(SPEED_MPS):
        raw.measured["speed_mps"] = _si("speed", found, SPEED_MPS, MPH_MPS)
        return True
    if found := cursor.measure(RPM):
        raw.measured["rev_rate_radps"] = _si("revs", found, RPM, RPM_RADPS)
        return True
    if cursor.low() in ANGLES:
        word = cursor.take().low
        raw.measured[ANGLES[word]] = _angle(cursor, word)
        return True
    return False


def _si(field: str, found: tuple[float, str], units: Mapping[str, float], unit: float) -> float:
    return _checked(field, found[0] * units[found[1]], unit, f"{found[0]:g} {found[1]}")


def _angle(cursor: Cursor, word: str) -> float:
    found = cursor.measure(ANGLE, bare=True)
    if found is None:
        raise NotUnderstood(word, f"After {word} come the degrees, as in {word} 4.")
    return _si(FIELD[word], (found[0], found[1] or "deg"), ANGLE, DEGREE_RAD)


def _thrown(cursor: Cursor, raw: RawShot) -> bool:
    """The line it was thrown on, the outing, the time, wiping."""
    if cursor.accept("line"):
        place = _place(cursor, "line")
        if not cursor.accept("launch"):
            raise NotUnderstood("line", "After line come the board and the launch, as in line 22 launch -1.8.")
        raw.line = place, _angle(cursor, "launch")
    elif cursor.low() == "outing" and cursor.peek(1) is not None:
        cursor.at += 1
        raw.outing = cursor.take().text
    elif (minute := time_of(cursor.low(cursor.low() == "at"))) is not None:
        cursor.accept("at")
        cursor.at += 1
        raw.minute = minute
    else:
        return _wiping(cursor, raw)
    return True


def _wiping(cursor: Cursor, raw: RawShot) -> bool:
    word = cursor.low()
    wiped = play.wiping(cursor)
    if wiped is Wiped.SOMETIMES:
        raise NotUnderstood(word, "One shot was wiped before it or not: wiped, unwiped.")
    if wiped is not None:
        raw.wiped = wiped is Wiped.EACH
    return wiped is not None


_PARTS: tuple[Callable[[Cursor, RawShot], bool], ...] = (
    _off_pocket, _word, _missed, _arrows, _read, _breakpoint, _pins, _instrument, _thrown, _landing,
)  # fmt: skip
_NOT_BOARDS = frozenset((*SPEED_MPS, *RPM, "shots", "shot", "g", "games", "game", "s", "h", "m", "/"))
_NOT_PINS = _NOT_BOARDS | {"high", "light"}


def time_of(text: str) -> int | None:
    """Minutes after midnight of “18:42”; None for anything else."""
    found = _TIME.fullmatch(text)
    return 60 * int(found[1]) + int(found[2]) if found else None


def starts(cursor: Cursor, ahead: int = 0) -> bool:
    """True where a shot begins; its time may stand before it."""
    word, following = cursor.low(ahead), cursor.low(ahead + 1)
    if word == "at" and time_of(following) is not None:
        return starts(cursor, ahead + 2)
    if time_of(word) is not None:
        return starts(cursor, ahead + 1)
    if word == "on":
        return following == "target"
    if word == "left":
        return bool(re.match(r"\d", following))
    if word in ("rolled", "stood"):
        return (word, following) in WORDS
    return word in STARTS or (_number(cursor, ahead) is not None and following in ("high", "light"))


def read_shot(cursor: Cursor, sheet: Sheet) -> bool:
    """One practice shot, as much or as little as there is."""
    if not starts(cursor):
        return False
    if cursor.low() == "strike":
        raise NotUnderstood("strike", "A strike does not say where it hit: write flush, light or high.")
    raw = RawShot()
    _thrown(cursor, raw)
    cursor.accept("shot")
    while not cursor.done and cursor.low() not in ("shot", ";", "then"):
        if not (any(part(cursor, raw) for part in _PARTS) or _shared(cursor, sheet, raw)):
            break
    piece = Piece(Kind.SHOT, raw.shot(None, None, None))

    def for_ball(ball: Ball) -> tuple[Payload, int | None]:
        shared = piece.payload
        assert isinstance(shared, Shot)  # noqa: S101 -- made so above
        shot = raw.shot(sheet.scene.thrower(shared, ball.id), shared.lane_id, shared.wiped)
        if shot.bowler_id is None and sheet.scene.thrower_id not in (None, ball.owner_id):
            shot = replace(shot, bowler_id=sheet.scene.thrower_id)
        if shot.minute is None:
            shot = replace(shot, minute=sheet.minute)
        wrong = impossible(shot.seen)
        wrong = f"it has {wrong}" if wrong else contradiction(shot.seen)
        if wrong:
            apart = " Two shots are parted by ;" if len(shot.seen.words) > 1 else ""
            sheet.caution(f"Kept as it is, but nothing is learned from it: {wrong}.{apart}")
        return shot, None

    piece.for_ball = for_ball
    sheet.pieces.append(piece)
    return True


def _shared(cursor: Cursor, sheet: Sheet, raw: RawShot) -> bool:
    """Day and condition of the whole line, who threw it, and the little words between."""
    before = cursor.at
    if cursor.accept_any(("and", "it", "was", "at")) and not cursor.done:
        ahead = any(part(cursor, RawShot()) for part in _PARTS) if not starts(cursor) else True
        cursor.at = before + 1 if ahead else before
        return ahead
    cursor.at = before
    if cursor.accept("by"):
        raw.bowler_id = _bowler(cursor, sheet)
        return True
    if play.read_place(cursor, sheet):
        return True
    day = read_day(cursor, sheet.scene.today)
    if day is not None and sheet.on not in (None, day):
        raise NotUnderstood(
            cursor.tokens[cursor.at - 1].text, "A line tells of one day; write the other as its own line."
        )
    sheet.on = day or sheet.on
    return day is not None


def _bowler(cursor: Cursor, sheet: Sheet) -> int:
    token, people = cursor.peek(), sheet.scene.people
    if token is None:
        raise NotUnderstood("by", "After by comes who threw it.")
    person = numbered(token, people, "bowler")
    found = [person] if person else fits(token.text, people, person_names)
    if len(found) != 1:
        choices = tuple(p.name for p in found)
        fit = f"fits {len(found)} bowlers: {', '.join(choices)}" if found else "is no bowler in this file"
        raise NotFound(f"“{token.text}” {fit}.", next_step="Type more of the name.", word=token.text, choices=choices)
    cursor.at += 1
    return found[0].id
