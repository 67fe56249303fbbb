"""What an entry means, in words: pieces of one sentence, plain and strong in turn, as Enter will log it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import cast

from arsenal.exchange import lengths, sight_words
from arsenal.exchange.one_line.dates import day_words
from arsenal.exchange.one_line.who import Scene
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
    Tool,
    Undo,
    Unknown,
)
from arsenal.trade.errors import NotFound
from arsenal.trade.own_boards import board_of
from arsenal.trade.pads import NEW_PAD_ID
from arsenal.trade.units import GRAM_KG, INCH_M, MICROINCH_M, SHOTS_A_GAME

Parts = tuple[tuple[str, bool], ...]
"""(text, strong) pieces of one sentence."""

_BY = {Tool.HAND: "by hand", Tool.SPINNER: "on a spinner", Tool.MACHINE: "by machine"}
_METHOD = {
    OilMethod.BATH: "in a hot-water bath",
    OilMethod.HEAT: "in a heat cabinet",
    OilMethod.OTHER: "in another way",
}


def tidy(parts: Sequence[tuple[str, bool]]) -> Parts:
    """Neighbours of one weight joined, empty ones gone."""
    found: list[tuple[str, bool]] = []
    for text, strong in parts:
        if not text:
            continue
        if found and found[-1][1] == strong:
            found[-1] = (found[-1][0] + text, strong)
        else:
            found.append((text, strong))
    return tuple(found)


def plural(count: float, one: str) -> str:
    """“1 game”, “3 games”."""
    return f"{count:g} {one}" if count == 1 else f"{count:g} {one}{'es' if one.endswith('s') else 's'}"


def ordinal(number: int) -> str:
    """“7th”."""
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def grain(step: Step) -> str:
    """The grain of one step as people say it: “1000”, “P1000”, “JIS 1000”, “16 μm”, “polish”."""
    if step.number is None:
        return step.abrasive.value
    scale = {Scale.P: "P{}", Scale.CAMI: "CAMI {}", Scale.JIS: "JIS {}", Scale.MICRON: "{} μm"}.get(step.scale, "{}")
    text = scale.format(f"{step.number:g}")
    return text if step.abrasive is Abrasive.GRIT else f"{step.abrasive.value} {text}"


def how(step: Step, *, with_tool: bool = False) -> str:
    """How one step was done: “dry, one light pass”, “wet, 4 sides × 30 s”."""
    if step.sides is not None and step.seconds is not None:
        time = f"{plural(step.sides, 'side')} × {step.seconds:g} s"
    elif step.sides is not None:
        time = plural(step.sides, "side")
    elif step.seconds is not None:
        time = f"{step.seconds:g} s in all"
    else:
        time = "one light pass" if step.tool is Tool.HAND else "the usual full time"
    tool = f"{_BY[step.tool]}, " if with_tool else ""
    return f"{tool}{'wet' if step.wet else 'dry'}, {time}"


def _alike(steps: Sequence[Step]) -> bool:
    return len({(s.tool, s.wet, s.sides, s.seconds) for s in steps}) == 1


def steps_words(steps: Sequence[Step]) -> list[tuple[str, bool]]:
    """“**500/2000 by machine**, wet, 4 sides × 30 s”, or step by step where they differ."""
    if not steps:
        return [("nothing", False)]
    if _alike(steps):
        return [("/".join(grain(s) for s in steps) + f" {_BY[steps[0].tool]}", True), (f", {how(steps[0])}", False)]
    parts: list[tuple[str, bool]] = []
    for step in steps:
        parts += [("; then " if parts else "", False), (grain(step), True), (f" {how(step, with_tool=True)}", False)]
    return parts


def _new(p: New, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    games = f", {plural(p.games_before, 'game')} before" if p.games_before is not None else ""
    origin = f"came {'new' if p.history_known else 'used'} {day}"
    finish = [(", box finish ", False), ("/".join(grain(s) for s in p.finish), True)] if p.finish else []
    unknown = "" if p.history_known else ", history unknown"
    return [(origin + unknown, False), *finish, (games, False)]


def _drilled(p: Drilled, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    away = None if p.pin_to_axis_m is None else lengths.with_unit(p.pin_to_axis_m)
    pin = [] if away is None else [(", pin ", False), (away, True), (" from the axis point", False)]
    used = "all used" if p.holes_used == p.holes else f"{p.holes_used} used"
    tail = (", palm mark" if p.palm_mark else "") + (f", by {p.driller}" if p.driller else "")
    return [(f"drilled {day}", False), *pin,
            (", ", False), (plural(p.holes, "hole"), True), (f", {used}{tail}", False)]  # fmt: skip


_SHINE = {Abrasive.POLISH: "polished", Abrasive.COMPOUND: "compounded"}


def _work(p: SurfaceWork, day: str, scene: Scene) -> list[tuple[str, bool]]:
    where = ", whole ball" if p.whole else ", only part of the surface"
    pads = {pad.id: pad for pad in scene.pads}
    pad = pads.get(p.steps[0].pad_id) if len(p.steps) == 1 and p.steps[0].pad_id is not None else None
    use = f", pad’s {ordinal(int(pad.uses_hand + pad.uses_spinner) + 1)} use" if pad else ""
    if any(step.pad_id == NEW_PAD_ID for step in p.steps):
        use = ", a new pad goes into stock"
    tail = (where + (", in competition" if p.in_competition else "") + use, False)
    if len(p.steps) == 1 and p.steps[0].abrasive in _SHINE and p.steps[0].number is None:
        step = p.steps[0]
        return [(_SHINE[step.abrasive], True), (f" {day} {_BY[step.tool]}, {how(step)}", False), tail]
    return [(f"sanded {day} with ", False), *steps_words(p.steps), tail]


def _count(p: Played) -> str:
    doubt = 2.0 * p.sd
    if p.games_typed is not None and p.shots == p.games_typed * SHOTS_A_GAME:
        number, unit = p.games_typed, "game"
    else:
        number, unit = p.shots, "shot"
    if doubt <= 0:
        return plural(number, unit) + (f", {plural(p.games_typed, 'game')}" if unit == "shot" and p.games_typed else "")
    return f"about {plural(number, unit)} ± {number * doubt:.2g}"


def _played(p: Played, day: str, scene: Scene) -> list[tuple[str, bool]]:
    lane = next((lane.name for lane in scene.lanes if lane.id == p.lane_id), "")
    place = f" on {lane}" if lane else ""
    wiped = {"each shot": ", wiped each shot", "sometimes": ", wiped sometimes", "never": ", never wiped"}
    return [("played ", False), (_count(p), True), (f" {day}{place}{wiped.get(p.wiped or '', '')}", False)]


def _cleaned(p: Cleaned, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    return [
        ("cleaned", True),
        (f" {day}, {'the same night' if p.same_night else 'later than the night it was played'}", False),
    ]


def _oil(p: OilDrawn, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    warm = f", {p.temperature_c:.3g} °C ({p.temperature_c * 1.8 + 32:.3g} °F)" if p.temperature_c is not None else ""
    time = f", {p.minutes:g} min" if p.minutes is not None else ""
    return [(f"had oil drawn {day} ", False), (_METHOD[p.method], True),
            (f"{warm}{time}, {plural(p.passes, 'pass')}", False)]  # fmt: skip


def reading_value(p: Reading) -> str:
    """The value in the trade's unit: “2400”, “21 μin”, “6793 g”, “76 D”, “8.552 in”."""
    return {
        Quantity.SCANNER_GRIT: f"{p.value:g}",
        Quantity.RA: f"{p.value / MICROINCH_M:.3g} μin",
        Quantity.GLOSS: f"{p.value:g}",
        Quantity.MASS: f"{p.value / GRAM_KG:.5g} g",
        Quantity.HARDNESS: f"{p.value:g} D",
        Quantity.DIAMETER: f"{p.value / INCH_M:.4f} in",
    }[p.quantity]


def _reading(p: Reading, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    angle = f" at {p.gloss_angle_deg:g}°" if p.gloss_angle_deg is not None else ""
    lead = {
        Quantity.SCANNER_GRIT: f"read {day} ", Quantity.RA: f"measured {day} Ra ",
        Quantity.GLOSS: f"measured {day} gloss{angle} ",
        Quantity.MASS: f"weighed {day} ", Quantity.HARDNESS: f"measured {day} hardness ",
        Quantity.DIAMETER: f"measured {day} diameter ",
    }[p.quantity]  # fmt: skip
    on = f" by {p.instrument}" if p.instrument else (" by the scanner" if p.quantity is Quantity.SCANNER_GRIT else "")
    warm = f", at {p.temperature_c:.3g} °C" if p.temperature_c is not None else ""
    return [(lead, False), (reading_value(p), True), (on + warm, False)]


def _drop(p: DropTest, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    return [("took ", False), (f"{p.minutes:g} min", True), (f" in a drop test {day}", False)]


def _inspected(p: Inspected, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    return [("inspected", True), (f" {day}", False), (f": {p.found}" if p.found else "", False)]


def _crack(p: Crack, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    return [("found ", False), ("cracked", True), (f" {day}", False), (f", {p.where}" if p.where else "", False),
            (", through" if p.through else "", False)]  # fmt: skip


def _repair(p: Repair, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    tail = (", plugged" if p.plugged else "") + (", crack mended" if p.mends_crack else "")
    return [("repaired", True), (f" {day}", False), (f": {p.what}" if p.what else "", False), (tail, False)]


def _handed(p: Handed, day: str, _scene: Scene, kind: Kind) -> list[tuple[str, bool]]:
    word = {Kind.LENT: "lent", Kind.RETURNED: "back", Kind.SOLD: "sold", Kind.RETIRED: "retired"}[kind]
    link = " from " if kind is Kind.RETURNED else " to "
    return [(word, True), (f" {day}", False), *([(link + p.to, False)] if p.to else [])]


def _compared(p: Compared, day: str, scene: Scene) -> list[tuple[str, bool]]:
    try:
        other = scene.full_name(scene.ball(p.other_ball_id))
    except NotFound:
        other = "another ball"
    if p.boards == 0:
        difference = "the same as"
    else:
        difference = f"{plural(abs(p.boards), 'board')} {'stronger' if p.boards > 0 else 'weaker'} than"
    lane = next((lane.name for lane in scene.lanes if lane.id == p.lane_id), "")
    place = f" on {lane}" if lane else ""
    return [("ends ", False), (difference, True), (f" {other}, ± {p.sd_boards:g}, seen {day}{place}", False)]


def _saw(p: Saw, day: str, scene: Scene) -> list[tuple[str, bool]]:
    lane = next((lane.name for lane in scene.lanes if lane.id == p.lane_id), "")
    return [("seen ", False), (p.seen.value, True), (f" {day}" + (f" on {lane}" if lane else ""), False)]


def _shot(p: Shot, day: str, scene: Scene, ball_id: int | None) -> list[tuple[str, bool]]:
    bowler = scene.thrower(p, ball_id)
    back_up, to_left = (bowler.back_up, bowler.hooks_to_left) if bowler else (False, True)
    lane = next((lane.name for lane in scene.lanes if lane.id == p.lane_id), "")
    tail = [f" {day}", f" at {sight_words.clock(p.minute)}" if p.minute is not None else "", f" on {lane}" * bool(lane)]
    if p.bowler_id is not None:
        tail.append(f", thrown by {bowler.name if bowler else 'somebody else'}")
    if p.line is not None:
        tail.append(f", laid down on {board_of(p.line.lateral_m, back_up=back_up):.3g}")
    if p.measured is not None:
        tail.append(", " + sight_words.measured(p.measured))
    tail.append({True: ", wiped before it", False: ", not wiped before it", None: ""}[p.wiped])
    tail.append(f", outing {p.outing}" if p.outing else "")
    said = sight_words.seen(p.seen, back_up=back_up, hooks_to_left=to_left)
    return [("practice shot ", False), (said, True), ("".join(tail), False)]


def _note(p: Note, day: str, _scene: Scene) -> list[tuple[str, bool]]:
    return [(f"noted {day}: ", False), (p.text, True)]


_CLAUSE = cast(
    "dict[type, Callable[[Payload, str, Scene], list[tuple[str, bool]]]]",
    {New: _new, Drilled: _drilled, SurfaceWork: _work, Played: _played, Cleaned: _cleaned, OilDrawn: _oil,
     Reading: _reading, DropTest: _drop, Inspected: _inspected, Crack: _crack, Repair: _repair, Compared: _compared,
     Saw: _saw, Note: _note},
)  # fmt: skip


def clause(
    kind: Kind | str, payload: Payload, day: str, scene: Scene, undoes: int | None = None, ball_id: int | None = None
) -> list[tuple[str, bool]]:
    """What happened, after the ball's name: verb first, `day` in its place (which may be empty). A shot's boards are
    those of whoever threw it, by default the owner of `ball_id`.
    """
    if isinstance(payload, Shot):
        return _shot(payload, day, scene, ball_id)
    if isinstance(payload, Handed) and isinstance(kind, Kind):
        return _handed(payload, day, scene, kind)
    if isinstance(payload, Undo):
        entry = f"entry {undoes}" if undoes is not None else "its last entry"
        return [
            ("takes back ", False),
            (entry, True),
            (f" {day}", False),
            (f": {payload.reason}" * bool(payload.reason), False),
        ]
    if isinstance(payload, Unknown):
        return [(f"an entry this version does not know {day}: ", False), (payload.raw, True)]
    return _CLAUSE[type(payload)](payload, day, scene)


def _names(ids: Sequence[int], scene: Scene) -> list[tuple[str, bool]]:
    names = [scene.full_name(scene.ball(i)) for i in ids]
    if len(names) > 6:
        return [(f"{len(names)} balls", True), (f" ({', '.join(names)})", False)]
    parts: list[tuple[str, bool]] = []
    for index, name in enumerate(names):
        joint = "" if index == 0 else (" and " if index == len(names) - 1 else ", ")
        parts += [(joint, False), (name, True)]
    return parts


def line_words(drafts: Sequence[Draft], scene: Scene) -> Parts:
    """The meaning of one line: every ball it names, then what happened to them, pad and all taken from the first."""
    ids = list(dict.fromkeys(d.ball_id for d in drafts))
    parts: list[tuple[str, bool]] = _names(ids, scene)
    for index, draft in enumerate(d for d in drafts if d.ball_id == ids[0]):
        day = day_words(draft.on, scene.today) if index == 0 else ""
        parts.append((" " if index == 0 else "; ", False))
        parts += clause(draft.kind, draft.payload, day, scene, draft.undoes if len(ids) == 1 else None, draft.ball_id)
    return spaced(parts)


def spaced(parts: Sequence[tuple[str, bool]]) -> Parts:
    """Parts with the double spaces gone that an empty day leaves."""
    found: list[tuple[str, bool]] = []
    before = ""
    for text, strong in tidy(parts):
        clean = text.replace("  ", " ").replace(" ,", ",").replace(" :", ":").replace(" ;", ";")
        if before.endswith(" "):
            clean = clean.removeprefix(" ")
        found.append((clean, strong))
        before = clean
    if found and not found[-1][1]:
        found[-1] = (found[-1][0].rstrip(" "), False)
    return tidy(found)


def words(draft: Draft, scene: Scene) -> Parts:
    """The meaning of one draft, ball first."""
    return line_words([draft], scene)
