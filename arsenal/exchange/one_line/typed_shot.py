"""A practice shot written out as the words that read back to the same shot."""

from __future__ import annotations

from collections.abc import Mapping

from arsenal.exchange.numbers import LENGTH_M, plain, write_quantity
from arsenal.exchange.one_line.names import fits, person_names
from arsenal.exchange.one_line.shot import ANGLE, ANGLES, RPM, SPEED_MPS
from arsenal.exchange.one_line.tokens import quote
from arsenal.exchange.one_line.who import Scene
from arsenal.trade.entries import Shot
from arsenal.trade.own_boards import board_of, lateral_of
from arsenal.trade.release import Measured
from arsenal.trade.trial import Sighting
from arsenal.trade.units import BOARD_M

_FEET = {"ft": LENGTH_M["ft"]}


def _exact(value_si: float, factor: float, si: str) -> str:
    """In the trade's unit where a number of any length reads back to exactly this; else in SI."""
    for digits in range(3, 18):
        text = plain(float(f"{value_si / factor:.{digits}g}"))
        if "e" not in text and float(text) * factor == value_si:
            return text
    return f"{plain(value_si)} {si}"


def _board(lateral_m: float, back_up: bool) -> str:
    for digits in range(3, 18):
        text = plain(float(f"{board_of(lateral_m, back_up=back_up):.{digits}g}"))
        if "e" not in text and lateral_of(float(text), back_up=back_up) == lateral_m:
            return text
    return f"{plain(lateral_m)} m"


def _angle(value: float) -> str:
    return write_quantity(value, {"deg": ANGLE["deg"]}, "rad")


def _seen(sight: Sighting, back_up: bool, hooks_to_left: bool) -> list[str]:
    said = [] if sight.landing_m is None else [f"board {_board(sight.landing_m, back_up)}"]
    said += [word.value for word in sight.words]
    if sight.off_target_m == 0.0:
        said.append("on target")
    elif sight.off_target_m is not None:
        side = "left" if (sight.off_target_m > 0.0) == hooks_to_left else "right"
        said.append(f"missed {side} {_exact(abs(sight.off_target_m), BOARD_M, 'm')}")
    if sight.arrows_m is not None:
        said.append(f"arrows {_board(sight.arrows_m, back_up)}")
    if sight.first_read_m is not None:
        said.append(f"read {write_quantity(sight.first_read_m, _FEET, 'm')}")
    if sight.breakpoint_m is not None or sight.breakpoint_lateral_m is not None:
        at = "" if sight.breakpoint_m is None else f" {write_quantity(sight.breakpoint_m, _FEET, 'm')}"
        on = "" if sight.breakpoint_lateral_m is None else f" @ {_board(sight.breakpoint_lateral_m, back_up)}"
        said.append(f"bp{at}{on}")
    if sight.pins_left:
        said.append(f"left {'-'.join(map(str, sight.pins_left))}")
    return said + ["sensor"] * sight.by_sensor


def _measured(read: Measured) -> list[str]:
    units: tuple[tuple[float | None, str, Mapping[str, float], str], ...] = (
        (read.speed_mps, "mph", SPEED_MPS, "mps"), (read.rev_rate_radps, "rpm", RPM, "radps"),
    )  # fmt: skip
    said = [write_quantity(value, {unit: of[unit]}, si) for value, unit, of, si in units if value is not None]
    for word, field in ANGLES.items():
        value = getattr(read, field)
        if value is not None:
            said.append(f"{word} {_angle(value)}")
    return said


def typed_shot(shot: Shot, scene: Scene, ball_id: int) -> str:
    """The line without ball, day and condition."""
    bowler = scene.thrower(shot, ball_id)
    back_up, to_left = (bowler.back_up, bowler.hooks_to_left) if bowler else (False, True)
    said = ["shot", *_seen(shot.seen, back_up, to_left)]
    said += _measured(shot.measured) if shot.measured is not None else []
    if shot.line is not None:
        said.append(f"line {_board(shot.line.lateral_m, back_up)} launch {_angle(shot.line.launch_rad)}")
    if shot.bowler_id is not None:
        alone = bowler is not None and fits(bowler.name, scene.people, person_names) == [bowler]
        said.append(f"by {quote(bowler.name)}" if alone and bowler is not None else f"by #{shot.bowler_id}")
    if shot.minute is not None:
        said.append(f"at {shot.minute // 60}:{shot.minute % 60:02d}")
    if shot.wiped is not None:
        said.append("wiped" if shot.wiped else "unwiped")
    if shot.outing:
        said.append(f"outing {quote(shot.outing)}")
    return " ".join(said)
