"""An entry written out as the line that reads back to the same entry: the reader's mirror.

Days and names are unambiguous here, numbers exact: a friendly unit where it reads back to the same float, else SI.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import cast

from arsenal.exchange.numbers import LENGTH_M, MASS_KG, plain, write_quantity
from arsenal.exchange.one_line.play import ABOUT_SD
from arsenal.exchange.one_line.tokens import quote
from arsenal.exchange.one_line.typed_shot import typed_shot
from arsenal.exchange.one_line.who import Scene, ball_reference
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Compared,
    Crack,
    Draft,
    Drilled,
    DropTest,
    Handed,
    Inspected,
    Kind,
    New,
    Note,
    OilDrawn,
    OilMethod,
    Payload,
    Played,
    Quantity,
    Reading,
    Repair,
    Saw,
    Scale,
    Shot,
    Step,
    SurfaceWork,
    Undo,
    Wiped,
)
from arsenal.trade.errors import KnownError, NotUnderstood
from arsenal.trade.pads import NEW_PAD_ID, TOOL_LETTER, bare
from arsenal.trade.units import SHOTS_A_GAME

_INCHES = {"in": LENGTH_M["in"], "mm": LENGTH_M["mm"]}
_TEXTURE = {"uin": LENGTH_M["uin"], "um": LENGTH_M["um"]}
_MASS = {"g": MASS_KG["g"], "lb": MASS_KG["lb"]}


def _grain(step: Step) -> str:
    if step.number is None and step.abrasive is Abrasive.GRIT:
        raise NotUnderstood("grit", "A grit step needs its number.")
    word = {Abrasive.GRIT: "", Abrasive.NONWOVEN: "nw", Abrasive.POLISH: "polish", Abrasive.COMPOUND: "compound"}
    if step.number is None:
        return word[step.abrasive]
    number = plain(step.number)
    scaled = {
        Scale.P: f"P{number}",
        Scale.CAMI: f"cami{number}",
        Scale.JIS: f"jis{number}",
        Scale.MICRON: f"{number}um",
    }
    return f"{word[step.abrasive]} {scaled.get(step.scale, number)}".strip()


def _how(step: Step, pad: bool) -> str:
    words = [TOOL_LETTER[step.tool], "wet" if step.wet else "dry"]
    if step.sides is not None and step.seconds is not None:
        words.append(f"{step.sides}x{plain(step.seconds)}")
    elif step.sides is not None:
        words.append(f"{step.sides} sides")
    elif step.seconds is not None:
        words.append(f"{plain(step.seconds)} sec")
    if step.pad_id == NEW_PAD_ID:
        words.append("new pad")
    elif pad:
        words.append("pad none" if step.pad_id is None else f"pad #{step.pad_id}")
    if step.uses_before is not None:
        words.append(f"after {plain(step.uses_before)} uses")
    return " ".join(words)


def _steps(steps: Sequence[Step], scene: Scene) -> str:
    hows = [_how(s, bool(scene.pads) and (scene.choose_pads or s.pad_id is not None)) for s in steps]
    marked = any(s.pad_id is not None or s.uses_before is not None for s in steps)
    if len(set(hows)) == 1 and (len(steps) == 1 or not marked):
        return "/".join(_grain(s) for s in steps) + " " + hows[0]
    return " / ".join(f"{_grain(s)} {h}" for s, h in zip(steps, hows, strict=True))


def typed_steps(steps: Sequence[Step]) -> str:
    """A recipe's steps as the line that `finish.read_recipe` reads back; pads are left out."""
    return _steps(bare(tuple(steps)), Scene((), date.min))


def _new(p: New, scene: Scene) -> str:
    games = f" {plain(p.games_before)} games" if p.games_before is not None else ""
    box = f" box {_steps(p.finish, scene)}" if p.finish else ""
    return f"{'new' if p.history_known else 'used'}{games}{box}"


def _drilled(p: Drilled, _scene: Scene) -> str:
    pin = f" {write_quantity(p.pin_to_axis_m, _INCHES, 'm')}" if p.pin_to_axis_m is not None else ""
    driller = f" by {quote(p.driller)}" if p.driller else ""
    return f"drilled{pin} {p.holes} holes {p.holes_used} used{' palm mark' if p.palm_mark else ''}{driller}"


def _work(p: SurfaceWork, scene: Scene) -> str:
    rest = ("" if p.whole else " track only") + (" in competition" if p.in_competition else "")
    return _steps(p.steps, scene) + rest


def _lane(lane_id: int | None, scene: Scene) -> str:
    if lane_id is None:
        return ""
    names = [lane.name for lane in scene.lanes if lane.id == lane_id]
    alone = names and names[0] and sum(lane.name.casefold() == names[0].casefold() for lane in scene.lanes) == 1
    return f" on {quote(names[0])}" if alone else f" on #{lane_id}"


def _played(p: Played, scene: Scene) -> str:
    count = f"{plain(p.games_typed)} games" if p.games_typed is not None else ""
    if p.games_typed is None or p.shots != p.games_typed * SHOTS_A_GAME:
        count = f"{count} {plain(p.shots)} shots".strip()
    if p.sd == 0:
        doubt = ""
    elif p.sd == ABOUT_SD:
        count, doubt = "~" + count, ""
    else:
        doubt = f" sd {plain(p.sd)}"
    wiped = {Wiped.EACH: " wiped", Wiped.SOMETIMES: " wiped sometimes", Wiped.NEVER: " wiped never", None: ""}[p.wiped]
    return count + doubt + wiped + _lane(p.lane_id, scene)


def _cleaned(p: Cleaned, _scene: Scene) -> str:
    return "clean same night" if p.same_night else "clean later"


def _oil(p: OilDrawn, _scene: Scene) -> str:
    word = {OilMethod.BATH: "bath", OilMethod.HEAT: "heat", OilMethod.OTHER: "oil other"}[p.method]
    warm = f" {plain(p.temperature_c)} C" if p.temperature_c is not None else ""
    time = f" {plain(p.minutes)} min" if p.minutes is not None else ""
    return f"{word} {p.passes} passes{warm}{time}{' confirmed' if p.confirmed else ''}"


def _reading(p: Reading, _scene: Scene) -> str:
    unit: dict[str, float] = {}
    if p.quantity is Quantity.RA:
        unit, lead = _TEXTURE, "ra "
    elif p.quantity is Quantity.MASS:
        unit, lead = _MASS, "weight "
    elif p.quantity is Quantity.DIAMETER:
        unit, lead = _INCHES, "diameter "
    else:
        angle = "gloss " if p.gloss_angle_deg is None else f"g{plain(p.gloss_angle_deg)} "
        lead = {Quantity.SCANNER_GRIT: "r ", Quantity.HARDNESS: "d ", Quantity.GLOSS: angle}[p.quantity]
    if unit:
        value, written_sd = _with_spread(p.value, p.sd, unit, "kg" if p.quantity is Quantity.MASS else "m")
    else:
        value, written_sd = plain(p.value), f" ±{plain(p.sd)}" if p.sd is not None else ""
    warm = f" {plain(p.temperature_c)} C" if p.temperature_c is not None else ""
    return f"{lead}{value}{written_sd}{warm}" + (f" by {quote(p.instrument)}" if p.instrument else "")


def _with_spread(value: float, sd: float | None, units: dict[str, float], si: str) -> tuple[str, str]:
    """Value and spread in one unit that both read back from exactly."""
    written = write_quantity(value, units, si)
    if sd is None:
        return written, ""
    unit = written.rsplit(" ", 1)[1]
    spread = write_quantity(sd, {unit: units.get(unit, 1.0)}, si)
    if not spread.endswith(f" {unit}"):
        return f"{plain(value)} {si}", f" ±{plain(sd)}"
    return written, f" ±{spread.rsplit(' ', 1)[0]}"


def _drop(p: DropTest, _scene: Scene) -> str:
    return f"drop {plain(p.minutes)} min"


def _text(word: str, text: str) -> str:
    return f"{word} {quote(text)}" if text else word


def _inspected(p: Inspected, _scene: Scene) -> str:
    return _text("insp", p.found)


def _crack(p: Crack, _scene: Scene) -> str:
    return _text("crack through" if p.through else "crack", p.where)


def _repair(p: Repair, _scene: Scene) -> str:
    flags = (" plugged" if p.plugged else "") + (" mends crack" if p.mends_crack else "")
    return _text(f"repair{flags}", p.what) if p.what else f'repair{flags} ""'


def _handed(p: Handed, kind: Kind, scene: Scene) -> str:
    word = {Kind.LENT: "lent", Kind.RETURNED: "back", Kind.SOLD: "sold", Kind.RETIRED: "retired"}[kind]
    same = [person.id for person in scene.people if person.name.casefold() == p.to.casefold()]
    found = same[0] if len(same) == 1 else None
    person = "" if found == p.person_id else f" person {p.person_id if p.person_id is not None else 'none'}"
    return _text(word, p.to) + person


def _compared(p: Compared, scene: Scene) -> str:
    other = ball_reference(scene.ball(p.other_ball_id), scene)
    return f"> {other} {plain(p.boards)} ±{plain(p.sd_boards)}{_lane(p.lane_id, scene)}"


def _saw(p: Saw, scene: Scene) -> str:
    return f"saw {p.seen.value}{_lane(p.lane_id, scene)}"


def _note(p: Note, _scene: Scene) -> str:
    return f"note {quote(p.text)}"


_WRITE = cast(
    "dict[type, Callable[[Payload, Scene], str]]",
    {New: _new, Drilled: _drilled, SurfaceWork: _work, Played: _played, Cleaned: _cleaned, OilDrawn: _oil,
     Reading: _reading, DropTest: _drop, Inspected: _inspected, Crack: _crack, Repair: _repair, Compared: _compared,
     Saw: _saw, Note: _note},
)  # fmt: skip


def typed_entry(draft: Draft, scene: Scene) -> str:
    """The line without ball and day. Raises NotUnderstood for an entry of a kind this version does not know."""
    kind, payload = draft.kind, draft.payload
    if isinstance(payload, Handed) and isinstance(kind, Kind):
        return _handed(payload, kind, scene)
    if isinstance(payload, Shot):
        return typed_shot(payload, scene, draft.ball_id) + _lane(payload.lane_id, scene)
    if isinstance(payload, Undo):
        return _text("undo" if draft.undoes is None else f"undo #{draft.undoes}", payload.reason)
    write = _WRITE.get(type(payload))
    if write is None:
        raise NotUnderstood(str(kind), "An entry of an unknown kind has no line.")
    line = write(payload, scene)
    if isinstance(payload, SurfaceWork):
        shine = all(s.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for s in payload.steps)
        natural = Kind.POLISHED if shine else Kind.SANDED
        line = line if kind == natural else f"{kind} {line}"
    return line


def typed_line(draft: Draft, scene: Scene) -> str:
    """The line that reads back to `draft`: ball, day where it is not today, what happened."""
    try:
        ball = ball_reference(scene.ball(draft.ball_id), scene)
    except KnownError:
        ball = f"#{draft.ball_id}"
    day = "" if draft.on == scene.today else f"{draft.on.isoformat()} "
    return f"{ball} {day}{typed_entry(draft, scene)}"
