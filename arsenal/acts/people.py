"""Bowlers: add, edit, and what the Lane-side sentence lets one change."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, own_side, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError, NameTaken, NotFound
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Style
from arsenal.trade.units import DEGREE_RAD, MPH_MPS, RPM_RADPS

LAST_DIGITS = 4
"""Of a phone number, as people say it at a counter."""


def add_bowler(shop: Shop, person: Person, initiator: str = "desk") -> Changes:
    """Add somebody (id 0). The new id is `changed[0].id`. Raises OutOfRange, KnownError for an empty or taken name."""
    kept = replace(_tidy(person), id=0)
    _check(shop, kept)
    return writing.put(shop, kept, f"Added {kept.name}", initiator)


def edit_bowler(shop: Shop, person: Person, initiator: str = "desk") -> Changes:
    """Put the record in place of the one with its id. Raises NotFound, OutOfRange."""
    shop.person(person.id)
    kept = _tidy(person)
    _check(shop, kept)
    return writing.put(shop, kept, f"Changed {kept.name}", initiator)


def set_release(shop: Shop, bowler_id: int, style: Style, initiator: str = "desk") -> Changes:
    """How the bowler throws, its speed at the hand; a speed read elsewhere is forgotten."""
    checks.style(style)
    old = shop.person(bowler_id)
    speed_mph, revs_rpm = style.speed_mps / MPH_MPS, style.rev_rate_radps / RPM_RADPS
    said = f"{old.name} throws {speed_mph:.1f} mph, {revs_rpm:.0f} rpm, {style.axis_rotation_rad / DEGREE_RAD:.0f}°"
    return writing.put(shop, replace(old, style=style, speed_reading=None), said, initiator)


def set_benchmark(shop: Shop, bowler_id: int, ball_id: int | None, initiator: str = "desk") -> Changes:
    """The ball the others are counted against; None lets the order choose."""
    old = shop.person(bowler_id)
    said = f"The order chooses the benchmark of {old.name}"
    if ball_id is not None:
        ball = shop.ball(ball_id)
        if ball.owner_id != bowler_id:
            raise NotFound(f"{ball.name} is not a ball of {old.name}.")
        if ball.spare:
            raise KnownError(f"{ball.name} is a spare ball; the benchmark is a strike ball.")
        said = f"{ball.name} is the benchmark of {old.name}"
    return writing.put(shop, replace(old, benchmark_ball_id=ball_id), said, initiator)


def set_usual_lane(shop: Shop, bowler_id: int, lane_id: int | None, initiator: str = "desk") -> Changes:
    """The condition the bowler usually plays."""
    old = shop.person(bowler_id)
    said = f"{old.name} has no usual condition"
    if lane_id is not None:
        said = f"{old.name} usually plays {shop.lane(lane_id).name}"
    return writing.put(shop, replace(old, usual_lane_id=lane_id), said, initiator)


def set_line(shop: Shop, bowler_id: int, lane_id: int, line: Line | None, initiator: str = "desk") -> Changes:
    """The bowler's own line on a condition, in motion's frame (see `own_side`); None goes back to the reference ball's
    best line.
    """
    old, lane = shop.person(bowler_id), shop.lane(lane_id)
    lines = tuple(pair for pair in old.lines if pair[0] != lane_id)
    said = f"{old.name} plays the best line on {lane.name}"
    if line is not None:
        checks.line(line)
        lines = (*lines, (lane_id, line))
        said = f"{old.name} lays it down on {own_side.board(old, line.lateral_m):.0f} on {lane.name}"
    if dict(old.lines) == dict(lines):
        return Changes(None, "", initiator=initiator)
    return writing.put(shop, replace(old, lines=lines), said, initiator)


def _tidy(person: Person) -> Person:
    """Every line of the record as one line. Raises OutOfRange, KnownError."""
    line = checks.line_of_text
    return replace(
        person, name=checks.name(person.name, "bowler"), phone=line(person.phone, "phone"),
        nickname=line(person.nickname, "short name", checks.NAME_LENGTH), email=line(person.email, "e-mail"),
        guardian=line(person.guardian, "guardian"),
    )  # fmt: skip


def _check(shop: Shop, person: Person) -> None:
    checks.person(person)
    same = [p for p in shop.people() if p.name.casefold() == person.name.casefold() and p.id != person.id]
    if any(_alike(person, other) for other in same):
        raise NameTaken(same[0].name, another_name(shop, person))
    if person.usual_lane_id is not None:
        shop.lane(person.usual_lane_id)
    if person.benchmark_ball_id is not None:
        shop.ball(person.benchmark_ball_id)


def another_name(shop: Shop, person: Person) -> str:
    """The name with what tells this one from others of it: “Ilse Varga, 0117” by the last digits of the phone, or the
    next number.
    """
    taken = {p.name.casefold() for p in shop.people() if p.id != person.id}
    digits = "".join(sign for sign in person.phone if sign.isdecimal())[-LAST_DIGITS:]
    offers = ([f"{person.name}, {digits}"] if len(digits) == LAST_DIGITS else []) + [
        f"{person.name}, {n}" for n in range(2, len(taken) + 3)
    ]
    return next(name for name in offers if name.casefold() not in taken)


def _alike(person: Person, other: Person) -> bool:
    """Two of one name are told apart by their phone or e-mail."""
    return (person.phone, person.email.casefold()) == (other.phone, other.email.casefold())
