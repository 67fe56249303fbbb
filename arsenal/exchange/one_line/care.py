"""Care: clean, bath, heat 3, drop 6, insp, crack bridge, repair plug thumb.

Over 130 °F, or oil drawn in any other way than bath or cabinet, is kept only when it is confirmed.
"""

from __future__ import annotations

from arsenal.exchange.numbers import CELSIUS, FAHRENHEIT, MINUTES, plain, split_measure, to_celsius
from arsenal.exchange.one_line.sheet import Piece, Sheet, read_text
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.trade.ball import Ball
from arsenal.trade.entries import (
    Cleaned,
    Crack,
    DropTest,
    Inspected,
    Kind,
    OilDrawn,
    OilMethod,
    Payload,
    Repair,
    effective,
    shots_in,
)
from arsenal.trade.errors import NotUnderstood, OutOfRange
from arsenal.trade.limits import LIMITS, check
from arsenal.trade.units import c_from_f, f_from_c

CAREFUL_C = c_from_f(130.0)
HEAT_CAUTION = (
    "Before heat: clean, take inserts and slugs out, check plugs and cracks; a plugged or cracked ball waits for a "
    "licensed or certified practitioner. Cool slowly. The maker's sheet comes first."
)
HOT = "Over 130 °F (54 °C) heat can crack a ball and void its warranty. It is kept only when you confirm it."
OTHER_WAY = (
    "Drawn in another way than a bath or a heat cabinet: no oven, microwave, heat gun or flame. Confirm to keep it."
)


def read_clean(cursor: Cursor, sheet: Sheet) -> bool:
    """Cleaned: the same night unless said, or unless the log says it was not played that day."""
    if not cursor.accept_any(("clean", "cleaned")):
        return False
    same: bool | None = None
    if cursor.accept("same", "night") or cursor.accept("tonight"):
        same = True
    elif cursor.accept("later") or cursor.accept("next", "day") or cursor.accept("days", "later"):
        same = False
    on_this_line = any(p.kind in (Kind.PLAYED, Kind.SHOT) for p in sheet.pieces)

    def for_ball(ball: Ball) -> tuple[Payload, int | None]:
        if same is not None or on_this_line:
            return Cleaned(same is not False), None
        day = sheet.on or sheet.scene.today
        mine = [e for e in sheet.scene.entries if e.ball_id == ball.id]
        played = [e.on for e in effective(mine) if shots_in(e.payload) and e.on <= day]
        return Cleaned(not played or max(played) == day), None

    sheet.pieces.append(Piece(Kind.CLEANED, Cleaned(same is not False), for_ball=for_ball))
    return True


_METHODS = {"bath": OilMethod.BATH, "heat": OilMethod.HEAT, "heated": OilMethod.HEAT}
_OTHER = ("oven", "microwave", "dishwasher", "heatgun", "sun", "dryer")


def _method(cursor: Cursor) -> OilMethod | None:
    if word := cursor.accept_any(_METHODS):
        return _METHODS[word]
    if cursor.accept("oil", "other") or cursor.accept_any(_OTHER):
        return OilMethod.OTHER
    if cursor.accept("oil", "drawn"):
        cursor.accept_any(("by", "in"))
        word = cursor.accept_any(_METHODS)
        return _METHODS[word] if word else OilMethod.OTHER
    return None


def _degrees(cursor: Cursor) -> float | None:
    found = cursor.measure(CELSIUS | FAHRENHEIT | {"°", "degrees"})
    if found is None:
        return None
    value, unit = found
    if unit in ("°", "degrees"):
        unit = cursor.accept_any(CELSIUS | FAHRENHEIT) or ""
        if not unit:
            raise NotUnderstood(f"{value:g}{unit or '°'}", "Say the degrees with their letter: 120 F or 49 C.")
    celsius = to_celsius(value, unit)
    low, high = LIMITS["temperature"].low, LIMITS["temperature"].high
    if not low <= f_from_c(celsius) <= high:
        letter = "C" if unit in CELSIUS else "F"
        raise OutOfRange("The temperature", f"{value:g} °{letter}",
                         f"{low:g} to {high:g} °F ({(low - 32) / 1.8:.0f} to {(high - 32) / 1.8:.0f} °C)")  # fmt: skip
    return celsius


def read_oil(cursor: Cursor, sheet: Sheet) -> bool:
    """Oil drawn out: a bath, passes in a heat cabinet, or another way; temperature and minutes where they are said."""
    method = _method(cursor)
    if method is None:
        return False
    passes, temperature, minutes, confirmed = 1.0, None, None, False
    while not cursor.done:
        if found := cursor.measure(MINUTES):
            minutes = check("minutes", found[0] * MINUTES[found[1]])
        elif (degrees := _degrees(cursor)) is not None:
            temperature = degrees
        elif found := cursor.measure(("x", "×", "times", "pass", "passes")) or _bare_count(cursor):
            passes = _whole("passes", found[0])
        elif cursor.accept("confirmed") or cursor.accept("yes"):
            confirmed = True
        elif not cursor.accept_any(("at", "for")):
            break
    sheet.caution(HEAT_CAUTION)
    hot = temperature is not None and temperature > CAREFUL_C + 1e-9
    if hot or method is OilMethod.OTHER:
        sheet.caution(HOT if hot else OTHER_WAY)
        sheet.to_confirm = sheet.to_confirm or not confirmed
    sheet.add(Kind.OIL_DRAWN, OilDrawn(method, temperature, minutes, int(passes), confirmed))
    return True


def _bare_count(cursor: Cursor) -> tuple[float, str] | None:
    token = cursor.peek()
    split = split_measure(token.low) if token else None
    following = cursor.low(1)
    if (
        split is None
        or split[1]
        or following in ("games", "game", "g", "shots", "shot", "kg", "lb", "h", "s", "m", "/")
    ):
        return None
    cursor.at += 1
    return split


def _whole(field: str, value: float) -> float:
    if value != int(value):
        raise OutOfRange(f"The number of {field}", plain(value), "a whole number")
    return check(field, value)


def read_drop(cursor: Cursor, sheet: Sheet) -> bool:
    """A drop test: the minutes until a drop of lane oil was gone."""
    if not cursor.accept("drop"):
        return False
    cursor.accept_any(("test",))
    found = cursor.measure(MINUTES, bare=True)
    if found is None:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else "drop", "After drop come the minutes, as in drop 6.")
    sheet.add(Kind.DROP_TEST, DropTest(check("drop test", found[0] * MINUTES.get(found[1], 1.0))))
    return True


def read_inspected(cursor: Cursor, sheet: Sheet) -> bool:
    """Looked over, with what was found."""
    if not cursor.accept_any(("insp", "inspected", "inspect", "inspection")):
        return False
    sheet.add(Kind.INSPECTED, Inspected(read_text(cursor, sheet)))
    return True


def read_crack(cursor: Cursor, sheet: Sheet) -> bool:
    """A crack, where, and whether it goes through."""
    if not cursor.accept_any(("crack", "cracked")):
        return False
    through = cursor.accept("through")
    cursor.accept("hairline")
    cursor.accept_any(("at", "by"))
    sheet.caution("A cracked ball: no heat, and show it to a licensed or certified practitioner before any work.")
    sheet.add(Kind.CRACK, Crack(read_text(cursor, sheet), through))
    return True


def read_repair(cursor: Cursor, sheet: Sheet) -> bool:
    """Repaired, plugged or redrilled; plain words tell whether it was a plug or mends a crack."""
    if not cursor.accept_any(("repair", "repaired")):
        return False
    plugged = cursor.accept("plugged")
    mends = cursor.accept("mends", "crack")
    token = cursor.peek()
    spoken = token is not None and not token.quoted
    what = read_text(cursor, sheet)
    words = what.casefold().split() if spoken else []
    plugged = plugged or any(w.startswith("plug") for w in words)
    mends = mends or any(w.startswith("crack") for w in words)
    sheet.add(Kind.REPAIR, Repair(what or ("plugged" if plugged and spoken else ""), plugged, mends))
    return True
