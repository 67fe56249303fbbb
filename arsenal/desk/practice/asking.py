"""What the room asks of the shop, on the worker’s thread."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from arsenal.desk.lane_side.seen import lane_of, missing_of
from arsenal.desk.parts.empty import Missing
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from pathlib import Path

    from arsenal.acts.pasted import PastedLine
    from arsenal.acts.practice_views import AsSeen, NextShots, PlanView, PracticeSession
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning
    from arsenal.desk.worker import Progress
    from arsenal.practice.asked_of import Question
    from arsenal.trade.entries import Draft
    from arsenal.trade.release import Line


@dataclass(frozen=True, slots=True)
class Found:
    """Who and where there is, and the session; exactly one of `session` and `missing` is there."""

    people: tuple[Person, ...]
    lanes: tuple[Lane, ...]
    person: Person | None
    lane: Lane | None
    session: PracticeSession | None = None
    missing: Missing | None = None


def look_at(
    bowler_id: int | None, lane_id: int | None, ball_id: int | None
) -> Callable[[Shop, Progress], Found]:  # fmt: skip
    """A job that reads who practises where, and the session with that ball in hand."""

    def job(shop: Shop, progress: Progress) -> Found:
        from arsenal.acts import practice, reading  # noqa: PLC0415 - heavy, on the worker's thread

        people, lanes = reading.bowlers(shop), reading.lanes(shop)
        person = next((p for p in people if p.id == bowler_id), people[0] if people else None)
        lane = lane_of(lanes, person, lane_id)
        found = Found(people, lanes, person, lane, missing=missing_of(shop, person, lane))
        if found.missing or person is None or lane is None:
            return found
        try:
            return replace(
                found, session=practice.session(shop, person.id, lane.id, ball_id=ball_id, progress=progress)
            )
        except KnownError as error:
            return replace(found, missing=Missing("trouble", error.sentence, error.next_step))

    return job


def log(
    session: PracticeSession, ball_id: int, seen: AsSeen, wiped: bool | None, speed_mps: float | None = None
) -> Callable[[Shop], Changes]:  # fmt: skip
    """Log a shot of this session."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return practice.log_shot(
            shop, session.bowler.id, session.lane.id, ball_id, seen, wiped=wiped, speed_mps=speed_mps
        )

    return job


def log_pair(session: PracticeSession, ball_id: int, other_id: int, boards: float) -> Callable[[Shop], Changes]:
    """Log that one ball ended so many boards stronger than another."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return practice.log_pair(shop, session.bowler.id, session.lane.id, ball_id, other_id, boards)

    return job


def take_back(seq: int) -> Callable[[Shop], Changes]:
    """Take one shot back."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import undo  # noqa: PLC0415 - heavy

        return undo.undo_entry(shop, seq)

    return job


def set_pair(session: PracticeSession, words: str) -> Callable[[Shop], Changes]:
    """Which pair of lanes from now on."""
    return lambda shop: _set(shop, session, pair=words)


def set_wiping(session: PracticeSession, wiping: object) -> Callable[[Shop], Changes]:
    """How the ball is wiped from now on."""
    return lambda shop: _set(shop, session, wiping=wiping)


def set_line(session: PracticeSession, line: Line | None) -> Callable[[Shop], Changes]:
    """Another line from now on."""
    return lambda shop: _set(shop, session, line=line)


def _set(shop: Shop, session: PracticeSession, **what: Any) -> Changes:
    from arsenal.acts import practice  # noqa: PLC0415 - heavy

    return practice.set_session(shop, session.bowler.id, session.lane.id, **what)


def next_shots(session: PracticeSession, question: Question | None) -> Callable[[Shop, Progress], NextShots]:
    """Which shot would teach most."""

    def job(shop: Shop, progress: Progress) -> NextShots:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return practice.next_shots(shop, session.bowler.id, session.lane.id, question=question, progress=progress)

    return job


def plan(
    session: PracticeSession, length: tuple[str, int], question: Question | None
) -> Callable[[Shop, Progress], PlanView]:  # fmt: skip
    """The plan for so many shots or minutes, with what was thrown of it."""

    def job(shop: Shop, progress: Progress) -> PlanView:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return practice.plan(
            shop, session.bowler.id, session.lane.id, **_length(length), question=question, progress=progress
        )

    return job


def _length(length: tuple[str, int]) -> dict[str, Any]:
    what, number = length
    return {"shots": number} if what == "shots" else {"minutes": float(number)}


def keep_plan(
    session: PracticeSession, length: tuple[str, int], question: Question | None
) -> Callable[[Shop], Changes]:  # fmt: skip
    """Keep the plan, so that what is thrown of it is ticked."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return practice.keep_plan(shop, session.bowler.id, session.lane.id, **_length(length), question=question)

    return job


def export(session: PracticeSession, path: Path, kind: str) -> Callable[[Shop], tuple[Path, ...]]:
    """Write shots and what they taught."""

    def job(shop: Shop) -> tuple[Path, ...]:
        from arsenal.acts import practice  # noqa: PLC0415 - heavy

        return tuple(practice.export(shop, session.bowler.id, path, kind))

    return job


def read_line(shop: Shop, text: str, bowler_id: int, ball_id: int) -> Meaning:
    """What a line would log."""
    from arsenal.acts import logging  # noqa: PLC0415 - heavy

    return logging.read_line(shop, text, bowler_id=bowler_id, ball_id=ball_id)


def read_lines(session: PracticeSession, lines: Sequence[str]) -> Callable[[Shop], tuple[PastedLine, ...]]:
    """What pasted lines would log; a line that names no ball means the ball of the line above."""

    def job(shop: Shop) -> tuple[PastedLine, ...]:
        from arsenal.acts import pasted  # noqa: PLC0415 - heavy

        ball = session.in_hand.ball.id if session.in_hand else None
        return pasted.read(
            shop, lines, bowler_id=session.bowler.id, ball_id=ball, lane_id=session.lane.id, outing=session.pair
        )

    return job


def keep_lines(lines: Sequence[PastedLine], *, confirmed: bool) -> Callable[[Shop], Changes]:
    """Keep what they say in one act."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import pasted  # noqa: PLC0415 - heavy

        return pasted.keep(shop, lines, confirmed=confirmed)

    return job


def keep_drafts(shop: Shop, drafts: Sequence[Draft], *, confirmed: bool = False) -> Changes:
    """Keep entries in one act."""
    from arsenal.acts import logging  # noqa: PLC0415 - heavy

    return logging.keep(shop, drafts, confirmed=confirmed)
