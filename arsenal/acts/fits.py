"""Fit sheets of hands and drill records of balls, dated: keep, copy the last one, and what the rule rows say of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from arsenal.acts import ball_rules, checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.acts.words import count
from arsenal.exchange import lengths
from arsenal.trade import days
from arsenal.trade.entries import Draft, Drilled, Kind, Undo, effective
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.findings import Finding
from arsenal.trade.fit import (
    APART,
    AXIS_OVER,
    AXIS_UP,
    DEPTH,
    FINGERS,
    MASS_AFTER,
    MOST_HOLES,
    PIN,
    PITCH,
    SPAN,
    STATIC,
    WIDTH,
    DrillRecord,
    FitSheet,
    Hole,
)
from arsenal.trade.limits import Limit
from arsenal.trade.rule_check import findings
from arsenal.trade.units import INCH_M, POUND_KG


@dataclass(frozen=True, slots=True)
class Drilling:
    """How a ball is or could be drilled, with what the rule book says of it: advice, never a block."""

    record: DrillRecord
    advice: tuple[Finding, ...]
    copied_from: str = ""
    """“as Paper Moth, 14 Mar”; empty for one written anew."""


def fits_of(shop: Shop, person_id: int) -> tuple[FitSheet, ...]:
    """A person's fit sheets, newest first; the first is in force."""
    own = (fit for fit in shop.every(FitSheet) if fit.person_id == person_id)
    return tuple(sorted(own, key=lambda f: (f.measured_on, f.id), reverse=True))


def drills_of(shop: Shop, ball_id: int) -> tuple[DrillRecord, ...]:
    """A ball's drill records, newest first."""
    own = (drill for drill in shop.every(DrillRecord) if drill.ball_id == ball_id)
    return tuple(sorted(own, key=lambda d: (d.drilled_on, d.id), reverse=True))


def keep_fit(shop: Shop, fit: FitSheet, initiator: str = "desk") -> Changes:
    """A new measurement (id 0), or one put right. Raises OutOfRange, KnownError."""
    person = shop.person(fit.person_id)
    if fit.measured_on > shop.today():
        raise KnownError("A fit cannot have been measured after today.")
    checks.not_before_all(fit.measured_on)
    _check_holes(fit.holes)
    _within("axis point over", fit.axis_over_m, AXIS_OVER)
    _within("axis point up", fit.axis_up_m, AXIS_UP)
    by = checks.line_of_text(fit.measured_by, "measured by")
    kept = replace(fit, measured_by=by, note=checks.note(fit.note), holes=_tidy(fit.holes))
    return writing.put(shop, kept, f"Kept the fit of {person.name}", initiator)


def keep_drill(shop: Shop, drill: DrillRecord, initiator: str = "desk") -> Changes:
    """A drilling, or one put right; the ball's log is written, or put right, in the same act. Raises OutOfRange,
    KnownError.
    """
    ball = shop.ball(drill.ball_id)
    if drill.drilled_on > shop.today():
        raise KnownError(f"{ball.name} cannot have been drilled after today.")
    checks.not_before_all(drill.drilled_on)
    _check_drill(drill)
    if drill.fit_id is not None and all(fit.id != drill.fit_id for fit in fits_of(shop, ball.owner_id)):
        raise NotFound(f"{shop.person(ball.owner_id).name} has no such fit sheet.")
    by = checks.line_of_text(drill.driller, "drilled by")
    kept = replace(drill, driller=by, note=checks.note(drill.note), holes=_tidy(drill.holes))
    before = next((one for one in drills_of(shop, ball.id) if one.id == drill.id), None)
    said = f"Changed the drilling of {ball.name}" if before else f"Drilled {ball.name}"
    lines = _log_lines(shop, kept, before)
    with writing.one_act(shop, said, initiator) as (act, outcome):
        act.put(kept)
        for line in lines:
            act.append(line)
    return outcome.changes


def _log_lines(shop: Shop, kept: DrillRecord, before: DrillRecord | None) -> tuple[Draft, ...]:
    """What the log has to hear: nothing where it says so already; the line of a drilling put right is taken back."""
    made = _logged(shop, kept)
    if before is None:
        return (made,)
    old = _logged(shop, before)
    if (old.on, old.payload) == (made.on, made.payload):
        return ()
    wrong = [
        entry for entry in effective(shop.entries(kept.ball_id))
        if entry.kind is Kind.DRILLED and (entry.on, entry.payload) == (old.on, old.payload)
    ]  # fmt: skip
    back = [Draft(kept.ball_id, Kind.UNDO, entry.on, Undo(), undoes=entry.seq) for entry in wrong[-1:]]
    return (*back, made)


def _logged(shop: Shop, drill: DrillRecord) -> Draft:
    used = sum(hole.used for hole in drill.holes)
    payload = Drilled(drill.pin_to_axis_m, len(drill.holes), used, drill.palm_mark, drill.driller)
    return Draft(drill.ball_id, Kind.DRILLED, drill.drilled_on, payload, late=drill.drilled_on < shop.today())


def like_the_last(shop: Shop, ball_id: int) -> Drilling:
    """“Drill like my last one”: the owner's last drilling, holes by the fit in force, for this ball today. Raises
    NotFound where no ball of the owner has a drill record.
    """
    ball = shop.ball(ball_id)
    own = {b.id: b for b in shop.balls(ball.owner_id)}
    past = sorted(
        (d for d in shop.every(DrillRecord) if d.ball_id in own), key=lambda d: (d.drilled_on, d.id), reverse=True
    )
    if not past:
        raise NotFound(
            f"No ball of {shop.person(ball.owner_id).name} has a drill record yet.", next_step="Write the first one."
        )
    last, sheets = past[0], fits_of(shop, ball.owner_id)
    sheet = sheets[0] if sheets and sheets[0].holes else None
    made = replace(
        last, id=0, ball_id=ball_id, drilled_on=shop.today(), mass_after_kg=None, side_oz=None, top_oz=None,
        thumb_oz=None, holes=sheet.holes if sheet else last.holes, fit_id=sheet.id if sheet else last.fit_id, note="",
    )  # fmt: skip
    day = days.day(last.drilled_on)
    return Drilling(made, advice(shop, made), f"as {own[last.ball_id].name}, {day}")


def advice(shop: Shop, drill: DrillRecord) -> tuple[Finding, ...]:
    """What the rule rows of today say of a ball drilled so, whenever that was: it is thrown from now on."""
    ball = shop.ball(drill.ball_id)
    facts = ball_rules.drilled_so(ball_rules.facts(shop, ball, shop.state(ball.id)), drill)
    if drill.mass_after_kg is not None:
        facts = replace(facts, mass_kg=drill.mass_after_kg)
    return findings(facts, shop.today())


def words(drill: DrillRecord, *, metric: bool = False) -> tuple[tuple[str, str], ...]:
    """(what, value) in plain words, only what is known: “pin to axis point”, “4 3/8 in”."""
    weight = f"{drill.mass_after_kg:.3f} kg" if metric and drill.mass_after_kg is not None else _pounds(drill)
    told = [
        ("pin to axis point", _length(drill.pin_to_axis_m, metric=metric)),
        ("pin to grip centre", _length(drill.pin_to_grip_m, metric=metric)),
        ("mass bias mark to axis point", _length(drill.mark_to_axis_m, metric=metric)),
        ("side weight", _ounces(drill.side_oz)), ("top weight", _ounces(drill.top_oz)),
        ("finger weight", _ounces(drill.thumb_oz)), ("weight after", weight), ("drilled by", drill.driller),
    ]  # fmt: skip
    holes = [(f"{hole.finger} hole", hole_words(hole, metric=metric)) for hole in drill.holes]
    mark = [("palm mark", "yes")] if drill.palm_mark else []
    return tuple((what, value) for what, value in (*told, *holes, *mark) if value)


def in_short(drill: DrillRecord, *, metric: bool = False) -> str:
    """“pin 4 1/2 in from the axis point, 3 holes, all used”: what one line can hold."""
    pin = drill.pin_to_axis_m
    parts = [] if pin is None else [f"pin {lengths.with_unit(pin, metric=metric)} from the axis point"]
    if drill.holes:
        used = sum(hole.used for hole in drill.holes)
        parts += [count(len(drill.holes), "hole"), "all used" if used == len(drill.holes) else f"{used} used"]
    if drill.holes and all(hole.finger != "thumb" for hole in drill.holes):
        parts.append("no thumb hole" + (", palm marked" if drill.palm_mark else ""))
    return ", ".join(parts)


def hole_words(hole: Hole, *, metric: bool = False) -> str:
    """“span 4 3/8 in, 3/8 in forward …, 31/32 in wide, insert” as far as it is known."""
    parts = []
    if hole.span_m is not None:
        parts.append(f"span {_length(hole.span_m, metric=metric)}")
    for value, plus, minus in ((hole.forward_m, "forward", "reverse"), (hole.side_m, "right", "left")):
        if value is not None:
            parts.append("no pitch" if value == 0.0 and plus == "forward" else _pitch(value, plus, minus, metric))
    if hole.diameter_m is not None:
        parts.append(f"{_length(hole.diameter_m, metric=metric)} wide")
    if hole.depth_m is not None:
        parts.append(f"{_length(hole.depth_m, metric=metric)} deep")
    if hole.insert:
        parts.append(hole.insert)
    if not hole.used:
        parts.append("not used")
    return ", ".join(part for part in parts if part)


def axis_words(fit: FitSheet, *, metric: bool = False) -> str:
    """“axis point 5 in over, 1/2 in up”; empty where it was not measured."""
    over, up = fit.axis_over_m, fit.axis_up_m
    parts = [] if over is None else [f"{_length(over, metric=metric)} over"]
    if up is not None:
        parts.append(
            f"{_length(abs(up), metric=metric)} {'up' if up >= 0 else 'down'}" if up else "neither up nor down"
        )
    return f"axis point {', '.join(parts)}" if parts else ""


def _pitch(value: float, plus: str, minus: str, metric: bool) -> str:
    return "" if value == 0.0 else f"{_length(abs(value), metric=metric)} {plus if value > 0 else minus}"


def _pounds(drill: DrillRecord) -> str:
    return "" if drill.mass_after_kg is None else f"{drill.mass_after_kg / POUND_KG:.2f} lb"


def _length(value: float | None, *, metric: bool) -> str:
    return "" if value is None else lengths.with_unit(value, metric=metric)


def _ounces(value: float | None) -> str:
    return "" if value is None else f"{value:+.2f} oz".replace("-", "−")


def _check_drill(drill: DrillRecord) -> None:
    _check_holes(drill.holes)
    _within("pin to axis point", drill.pin_to_axis_m, PIN)
    for name, value in (
        ("pin to grip centre", drill.pin_to_grip_m), ("mass bias mark to axis point", drill.mark_to_axis_m),
    ):  # fmt: skip
        _within(name, value, APART)
    for name, oz in (("side weight", drill.side_oz), ("top weight", drill.top_oz), ("finger weight", drill.thumb_oz)):
        if oz is not None:
            STATIC.check(oz, name)
    if drill.mass_after_kg is not None:
        MASS_AFTER.check(drill.mass_after_kg / POUND_KG)


def _tidy(holes: tuple[Hole, ...]) -> tuple[Hole, ...]:
    return tuple(replace(hole, insert=checks.line_of_text(hole.insert, "insert or slug")) for hole in holes)


def _check_holes(holes: tuple[Hole, ...]) -> None:
    if len(holes) > MOST_HOLES:
        raise OutOfRange("holes", len(holes), f"{MOST_HOLES} at most")
    for hole in holes:
        if hole.finger not in FINGERS:
            raise KnownError(f"“{hole.finger}” is no hole.", next_step=f"Choose one of {', '.join(FINGERS)}.")
        for what, value, limits in (
            ("span", hole.span_m, SPAN), ("forward pitch", hole.forward_m, PITCH),
            ("side pitch", hole.side_m, PITCH), ("width", hole.diameter_m, WIDTH),
            ("depth", hole.depth_m, DEPTH),
        ):  # fmt: skip
            _within(f"{what} of the {hole.finger} hole", value, limits)


def _within(what: str, value_m: float | None, limit: Limit) -> None:
    if value_m is not None and not limit.low - 1e-9 <= value_m / INCH_M <= limit.high + 1e-9:
        raise OutOfRange(what, f"{value_m / INCH_M:g} in", limit.allowed)
