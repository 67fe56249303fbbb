"""Numbers of one file turned into those of another: every place a record names a ball, bowler, condition or pad by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Draft, Handed, New, Payload, Played, Saw, Shot, Step, SurfaceWork
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person


@dataclass(frozen=True)
class Numbers:
    """New number by old one. What is not in a map keeps its number."""

    people: Mapping[int, int] = field(default_factory=dict)
    balls: Mapping[int, int] = field(default_factory=dict)
    lanes: Mapping[int, int] = field(default_factory=dict)
    pads: Mapping[int, int] = field(default_factory=dict)


def _to(numbers: Mapping[int, int], old: int | None) -> int | None:
    return None if old is None else numbers.get(old, old)


def _payload(payload: Payload, to: Numbers) -> Payload:
    def pads(steps: tuple[Step, ...]) -> tuple[Step, ...]:
        return tuple(replace(s, pad_id=_to(to.pads, s.pad_id)) for s in steps)

    if isinstance(payload, Played | Saw | Shot | Compared):
        payload = replace(payload, lane_id=_to(to.lanes, payload.lane_id))
    match payload:
        case Shot():
            return replace(payload, bowler_id=_to(to.people, payload.bowler_id))
        case Compared():
            return replace(payload, other_ball_id=to.balls.get(payload.other_ball_id, payload.other_ball_id))
        case SurfaceWork():
            return replace(payload, steps=pads(payload.steps))
        case New():
            return replace(payload, finish=pads(payload.finish))
        case Handed():
            return replace(payload, person_id=_to(to.people, payload.person_id))
        case _:
            return payload


def renumbered(draft: Draft, to: Numbers) -> Draft:
    """The draft with every number it holds taken through `to`."""
    return replace(draft, ball_id=to.balls.get(draft.ball_id, draft.ball_id), payload=_payload(draft.payload, to))


def renumbered_person(person: Person, to: Numbers) -> Person:
    """The bowler with his own number and those of benchmark, usual condition and lines taken through `to`."""
    return replace(
        person,
        id=to.people.get(person.id, person.id),
        benchmark_ball_id=_to(to.balls, person.benchmark_ball_id),
        usual_lane_id=_to(to.lanes, person.usual_lane_id),
        lines=tuple((to.lanes.get(lane_id, lane_id), line) for lane_id, line in person.lines),
    )


def renumbered_ball(ball: Ball, to: Numbers) -> Ball:
    """The ball with its own number and its owner's taken through `to`."""
    return replace(ball, id=to.balls.get(ball.id, ball.id), owner_id=to.people.get(ball.owner_id, ball.owner_id))


def renumbered_pad(pad: Pad, to: Numbers) -> Pad:
    """The pad with its own number and its owner's taken through `to`."""
    return replace(pad, id=to.pads.get(pad.id, pad.id), owner_id=_to(to.people, pad.owner_id))
