"""Surface work: 1000 h, 500/2000 m, 500/1000/p, P1000 wet 4x30, 16um s, track only.

h hand, s spinner, m machine; p polish, c compound. Without a slash or a letter a number is asked about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from arsenal.exchange.numbers import SECONDS, parse_number
from arsenal.exchange.one_line.sheet import Piece, Sheet
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.one_line.who import Scene
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Kind, Payload, Scale, Step, SurfaceWork, Tool
from arsenal.trade.errors import NotUnderstood, OutOfRange
from arsenal.trade.limits import check
from arsenal.trade.pads import NEW_PAD_ID, bare

TOOLS = {"h": Tool.HAND, "hand": Tool.HAND, "s": Tool.SPINNER, "spinner": Tool.SPINNER, "m": Tool.MACHINE,
         "machine": Tool.MACHINE}  # fmt: skip
_STUFF = {"p": Abrasive.POLISH, "polish": Abrasive.POLISH, "c": Abrasive.COMPOUND, "compound": Abrasive.COMPOUND,
          "nw": Abrasive.NONWOVEN, "nonwoven": Abrasive.NONWOVEN, "non-woven": Abrasive.NONWOVEN}  # fmt: skip
_MICRON = ("um", "µm", "μm", "micron", "microns")
_SCALES = {"p": Scale.P, "cami": Scale.CAMI, "jis": Scale.JIS}
_GRAIN = re.compile(
    rf"(p|jis|cami)?(\d+(?:[.,]\d+)?)({'|'.join(_MICRON)}|hand|spinner|machine|[hsm])?", re.ASCII | re.IGNORECASE
)
_SIDES = re.compile(r"(\d{1,3})[x×*](\d+(?:[.,]\d+)?)(?:s|sec)?", re.IGNORECASE)
PART_RULE = "Only part of the surface: kept and flagged. The rule book treats the whole ball alike; check yours."


@dataclass
class _Segment:
    """One step as typed: None where nothing was said."""

    abrasive: Abrasive
    number: float | None
    scale: Scale
    tool: Tool | None = None
    wet: bool | None = None
    sides: int | None = None
    seconds: float | None = None
    pad_id: int | None = None
    uses_before: float | None = None
    no_pad: bool = False

    @property
    def said(self) -> bool:
        """True where the step has words of its own."""
        return (
            any(v is not None for v in (self.tool, self.wet, self.sides, self.seconds, self.pad_id, self.uses_before))
            or self.no_pad
        )


def _grain(cursor: Cursor) -> _Segment | None:
    """A grain number with its scale, a non-woven, compound or polish; None where none stands here."""
    word = cursor.low()
    if word in _SCALES and word != "p" and cursor.peek(1):
        cursor.at += 1
        return _number(cursor, _SCALES[word], Abrasive.GRIT)
    if word in _STUFF:
        cursor.at += 1
        found = _Segment(_STUFF[word], None, Scale.PLAIN)
        if len(word) > 1 and (following := _GRAIN.fullmatch(cursor.low())) and cursor.low(1) not in _PLAY:
            named = _SCALES.get((following[1] or "").casefold(), Scale.PLAIN)
            return _number(cursor, named, _STUFF[word])
        return found
    return _number(cursor, None, Abrasive.GRIT)


_PLAY = ("g", "game", "games", "shots", "shot", "lb", "lbs", "kg", "oz", "gram", "grams")


def _number(cursor: Cursor, scale: Scale | None, abrasive: Abrasive) -> _Segment | None:
    token = cursor.peek()
    match = _GRAIN.fullmatch(token.low) if token else None
    if token is None or match is None:
        return None
    cursor.at += 1
    named = _SCALES.get((match[1] or "").casefold(), scale or Scale.PLAIN)
    tail = (match[3] or "").casefold()
    if not tail and cursor.low() in _MICRON:
        tail = cursor.take().low
    value = parse_number(match[2])
    if tail in _MICRON:
        if not 0.1 <= value <= 500:
            raise OutOfRange("The grain size", f"{value:g} µm", "0.1 to 500 µm")
        return _Segment(abrasive, value, Scale.MICRON)
    try:
        check("grain number", value)
    except OutOfRange as error:
        hint = f"{value:g}s without a space is {value:g} shots, {value:g}g is {value:g} games, "
        hint += f"shot {value:g} is a shot that ended on board {value:g}."
        raise OutOfRange("The grain number", f"{value:g}", error.allowed, next_step=hint) from None
    return _Segment(abrasive, value, named, tool=TOOLS.get(tail))


def read_grain(cursor: Cursor) -> tuple[float | None, Scale] | None:
    """A grain number with its scale alone, as it stands on a pad."""
    found = _number(cursor, _SCALES.get(cursor.accept_any(("jis", "cami", "p")) or ""), Abrasive.GRIT)
    return (found.number, found.scale) if found and found.tool is None else None


def _word(cursor: Cursor, segment: _Segment, sheet: Sheet) -> bool:
    """A word about how one step was done."""
    cursor.accept_any(("by", "with")) if cursor.low(1) in TOOLS else None
    if word := cursor.accept_any(TOOLS):
        segment.tool = TOOLS[word]
    elif word := cursor.accept_any(("wet", "dry")):
        segment.wet = word == "wet"
    elif sides := _SIDES.fullmatch(cursor.low()):
        cursor.at += 1
        segment.sides = int(check("sides", float(sides[1])))
        segment.seconds = check("seconds", parse_number(sides[2]))
        cursor.accept_any(("s", "sec"))
    elif found := cursor.measure(("sides", "side")):
        segment.sides = int(check("sides", float(round(found[0]))))
    elif found := cursor.measure(SECONDS):
        segment.seconds = check("seconds", found[0])
    elif cursor.accept("new", "pad"):
        if not sheet.scene.choose_pads:
            raise NotUnderstood("new pad", "In a table of old work, list the pad among the pads and name its number.")
        segment.pad_id = NEW_PAD_ID
    elif cursor.low() == "pad" and cursor.peek(1):
        cursor.at += 1
        _pad(cursor, segment, sheet)
    elif cursor.accept("after"):
        uses = cursor.measure(("uses", "use"))
        if uses is None or uses[0] < 0:
            raise NotUnderstood("after", "Say how often the pad was used before, as in after 6 uses.")
        segment.uses_before = uses[0]
    else:
        return False
    return True


def _pad(cursor: Cursor, segment: _Segment, sheet: Sheet) -> None:
    if cursor.accept("none"):
        segment.no_pad = True
        return
    token = cursor.take()
    pads = {pad.id: pad for pad in sheet.scene.pads}
    number = token.text.removeprefix("#")
    if not number.isascii() or not number.isdigit() or int(number) not in pads:
        raise NotUnderstood(token.text, "Name a pad in stock by its number, as in pad #3, or write pad none.")
    segment.pad_id = int(number)


def _about_all(cursor: Cursor, work: dict[str, bool]) -> bool:
    """A word about the whole work: all over or not, in competition."""
    if cursor.accept("whole"):
        cursor.accept_any(("ball", "surface"))
        work["whole"] = True
    elif cursor.accept("track", "only") or cursor.accept("part", "only") or cursor.accept("not", "whole"):
        work["whole"] = False
    elif cursor.accept("in", "competition"):
        work["in_competition"] = True
    else:
        return False
    return True


def _step(segment: _Segment, last: _Segment, polished: bool) -> Step:
    """The step, taking from the last one what was said once for all, then the usual way of that tool."""
    source = segment if segment.said else replace(last)
    tool = source.tool or (Tool.SPINNER if polished else Tool.HAND)
    wet = source.wet if source.wet is not None else tool is not Tool.HAND
    sides, seconds = source.sides, source.seconds
    if tool is Tool.MACHINE and sides is None and seconds is None:
        sides, seconds = 4, 30.0
    return Step(
        segment.abrasive, segment.number, segment.scale, tool, wet, sides, seconds, segment.pad_id, segment.uses_before
    )


def read_steps(cursor: Cursor, sheet: Sheet) -> tuple[list[_Segment], dict[str, bool]]:
    """Steps parted by slashes with the words about each; empty where none stands here."""
    segments: list[_Segment] = []
    work = {"whole": True, "in_competition": False}
    while True:
        before = cursor.at
        segment = _grain(cursor)
        if segment is None:
            cursor.at = before
            if segments:
                token = cursor.peek()
                raise NotUnderstood(token.text if token else "/", "After a slash comes a grain number, p or c.")
            return [], work
        segments.append(segment)
        while not cursor.done and (_word(cursor, segment, sheet) or _about_all(cursor, work)):
            pass
        if not cursor.accept("/"):
            return segments, work


def with_pads(steps: tuple[Step, ...], bare: frozenset[int], ball: Ball, sheet: Sheet) -> tuple[Step, ...]:
    """Each step with the newest pad of its grain that this ball's owner, or else the shop, has in stock."""
    found = []
    if not sheet.scene.choose_pads:
        return steps
    for index, step in enumerate(steps):
        stock = [
            p for p in sheet.scene.pads
            if not p.used_up and (p.number, p.scale, p.abrasive) == (step.number, step.scale, step.abrasive)
        ]  # fmt: skip
        own = [p for p in stock if p.owner_id == ball.owner_id] or [p for p in stock if p.owner_id is None]
        if step.pad_id is None and own and index not in bare:
            step = replace(step, pad_id=max(p.id for p in own))  # noqa: PLW2901
        found.append(step)
    return tuple(found)


def read_recipe(text: str) -> tuple[Step, ...]:
    """The steps of “500/1000/p m”: a sequence without ball, day and pads. Raises NotUnderstood, OutOfRange."""
    cursor = Cursor(text)
    segments, work = read_steps(cursor, Sheet(Scene((), date.min)))
    if not segments or not cursor.done:
        token = cursor.peek()
        raise NotUnderstood(token.text if token else text, "Write the steps as in 500/1000/2000 m.")
    if work != {"whole": True, "in_competition": False}:
        raise NotUnderstood(text, "A recipe is for the whole ball, whenever it is done.")
    polished = any(s.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for s in segments)
    return bare(tuple(_step(s, segments[-1], polished) for s in segments))


def read_work(cursor: Cursor, sheet: Sheet) -> bool:
    """Surface work, with or without “sanded” or “polished” before it."""
    before = cursor.at
    verb = cursor.accept_any(("sanded", "sand", "polished", "compounded"))
    if verb:
        cursor.accept_any(("with", "to", "at"))
    bare_number = cursor.low()
    segments, work = read_steps(cursor, sheet)
    if not segments:
        cursor.at = before
        return False
    first = segments[0]
    alone = len(segments) == 1 and first.abrasive is Abrasive.GRIT and first.scale is Scale.PLAIN and not verb
    if alone and first.tool is None and not first.said:
        raise NotUnderstood(
            bare_number,
            f"Say what {bare_number} is: {bare_number} h by hand, {bare_number} s on a spinner, {bare_number} m "
            f"by machine, r {bare_number} for a reading, 14s shots, 3g games.",
            choices=(f"{bare_number} h", f"{bare_number} s", f"{bare_number} m", f"r {bare_number}"),
        )
    polished = any(s.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for s in segments)
    steps = tuple(_step(s, segments[-1], polished) for s in segments)
    bare = frozenset(i for i, s in enumerate(segments) if s.no_pad or (not s.said and segments[-1].no_pad))
    shine = all(s.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for s in segments)
    kind = Kind.POLISHED if (shine and verb not in ("sanded", "sand")) or verb == "polished" else Kind.SANDED
    if not work["whole"]:
        sheet.caution(PART_RULE)
    if work["in_competition"]:
        sheet.caution(
            "Surface work in competition: kept and flagged. The rule book allows a dry towel only; check yours."
        )

    def for_ball(ball: Ball) -> tuple[Payload, int | None]:
        return SurfaceWork(with_pads(steps, bare, ball, sheet), work["whole"], work["in_competition"]), None

    sheet.pieces.append(Piece(kind, SurfaceWork(steps, work["whole"], work["in_competition"]), for_ball=for_ball))
    return True
