"""“Changed since, because …”: what has happened since a card or a plan was made that could move its numbers."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from arsenal.acts import taught, words
from arsenal.acts.shop import Shop
from arsenal.ledger import CodecError, from_plain
from arsenal.order.records import Stamp
from arsenal.order.stamps import VERSION, digest
from arsenal.order.words import names
from arsenal.trade import days
from arsenal.trade.entries import (
    Cleaned,
    Compared,
    Entry,
    Kind,
    OilDrawn,
    Played,
    Reading,
    Shot,
    SurfaceWork,
    effective,
)
from arsenal.trade.errors import NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.pads import label
from arsenal.trade.person import Person

CARD = "bag card"
LOOK_BACK = 400
MOST_REASONS = 4


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What stood behind a result when it was made."""

    bowler_id: int
    lane_id: int | None
    head_seq: int
    """Where the log stood."""
    ball_ids: tuple[int, ...]
    throw: str
    """Digest of how the bowler throws, which hand and which benchmark."""
    film: str
    """Digest of the condition."""
    version: str
    priors_version: str
    on: date | None = None
    """The day it was made for: shots of that day told what its lane was like."""


def made_of(shop: Shop, bowler_id: int, lane_id: int | None) -> MadeOf:
    """What stands behind a result that is made now, to be kept with it. `lane_id` None for one of no lane."""
    person = shop.person(bowler_id)
    balls = tuple(sorted(ball.id for ball, _ in shop.held(bowler_id)))
    film = _film(shop.lane(lane_id)) if lane_id is not None else ""
    return MadeOf(
        bowler_id, lane_id, shop.ledger.head_seq, balls, _throw(person), film, VERSION, shop.priors.version,
        shop.today(),
    )  # fmt: skip


def sentences(shop: Shop, made: MadeOf, *, but_for: Collection[int] = ()) -> tuple[str, ...]:
    """“Changed since, because Rook was sanded 1000 h and 5 practice shots were logged.” One sentence, or none where
    nothing has moved. Entries whose seq is in `but_for` were foreseen and do not count.
    """
    told = reasons(shop, made, but_for=but_for)
    if not told:
        return ()
    shown = list(told[:MOST_REASONS])
    if len(told) > MOST_REASONS:
        shown.append(f"{len(told) - MOST_REASONS} more")
    return (f"Changed since, because {names(shown)}.",)


def reasons(shop: Shop, made: MadeOf, *, but_for: Collection[int] = ()) -> tuple[str, ...]:
    """Each thing that may have moved its numbers, what moves all of them first."""
    return (*_common(shop, made), *_bag(shop, made), *_entries(shop, made, but_for))


def of_card(shop: Shop, card_id: int) -> tuple[str, ...]:
    """The sentence for a bag card printed before. Raises NotFound."""
    for result in shop.ledger.results(CARD, LOOK_BACK):
        if result.id == card_id:
            return sentences(shop, _of_card(result.data))
    raise NotFound("There is no such card in this file.")


def _of_card(data: dict[str, Any]) -> MadeOf:
    """What stood behind a card, from what was kept with it."""
    card = data["card"]
    stamp: Stamp = from_plain(Stamp, card["stamp"])
    balls = tuple(sorted(int(ball["id"]) for ball in data["balls"]))
    try:
        throw, film = _throw(from_plain(Person, data["bowler"])), _film(from_plain(Lane, data["lane"]))
    except (CodecError, KeyError, TypeError):  # kept by another version
        throw = film = ""
    return MadeOf(
        int(card["bowler_id"]), int(card["lane_id"]), int(data["head_seq"]), balls, throw, film, stamp.model_version,
        stamp.priors_version, datetime.fromisoformat(card["printed"]).date(),
    )  # fmt: skip


def _throw(person: Person) -> str:
    told = (person.style, person.hooks_to_left, person.benchmark_ball_id, person.lines)
    return digest([repr(one) for one in told])


def _film(lane: Lane) -> str:
    return digest([repr((lane.film, lane.surface))])


def _common(shop: Shop, made: MadeOf) -> Iterator[str]:
    if (made.version, made.priors_version) != (VERSION, shop.priors.version):
        yield "the program reckons differently"
    if made.lane_id is not None and made.film:
        lane = shop.lanes().get(made.lane_id)
        if lane is None:
            yield "the condition is gone"
        elif _film(lane) != made.film:
            yield "the condition was changed"
    if made.throw and _throw(shop.person(made.bowler_id)) != made.throw:
        yield "the throw, the line or the benchmark was changed"
    if made.on is not None and made.on != shop.today() and _lane_was_seen(shop, made):
        yield f"the shots of {days.weekday_and_day(made.on)} told of that day’s lane"


def _lane_was_seen(shop: Shop, made: MadeOf) -> bool:
    seen = taught.outing_of(shop, made.bowler_id, made.lane_id, made.on) if made.lane_id is not None else None
    return seen is not None


def _bag(shop: Shop, made: MadeOf) -> Iterator[str]:
    now = {ball.id: ball.name for ball, _ in shop.held(made.bowler_id)}
    for ball_id, name in now.items():
        if ball_id not in made.ball_ids:
            yield f"{name} came into the bag"
    every = {ball.id: ball.name for ball in shop.balls()}
    for ball_id in made.ball_ids:
        if ball_id not in now:
            yield f"{every.get(ball_id, 'a ball')} left the bag"


def _entries(shop: Shop, made: MadeOf, but_for: Collection[int]) -> Iterator[str]:
    shots = 0
    balls = [ball for ball in shop.balls(made.bowler_id) if ball.id in made.ball_ids]
    shop.read_ahead(balls)
    for ball in balls:
        log = shop.entries(ball.id)
        fresh = [e for e in effective(log) if e.seq > made.head_seq and e.seq not in but_for]
        shots += sum(isinstance(e.payload, Shot | Compared) for e in fresh)
        yield from (f"{ball.name} {said}" for said in _said(fresh))
        back = [e for e in log if e.kind == Kind.UNDO and e.seq > made.head_seq and (e.undoes or 0) <= made.head_seq]
        if back:
            yield f"an entry of {ball.name} was taken back"
    if shots:
        yield f"{words.count(shots, 'practice shot')} {'was' if shots == 1 else 'were'} logged"


def _said(fresh: list[Entry]) -> Iterator[str]:
    """What was done to one ball, each kind once, the last of it."""
    worked = [e for e in fresh if isinstance(e.payload, SurfaceWork)]
    if worked and isinstance(worked[-1].payload, SurfaceWork):
        verb = "polished" if worked[-1].kind == Kind.POLISHED else "sanded"
        yield f"was {verb} {label(worked[-1].payload.steps)}"
    played = sum(e.payload.shots for e in fresh if isinstance(e.payload, Played))
    if played:
        yield f"was thrown {words.count(round(played), 'time')}"
    if any(isinstance(e.payload, Reading) for e in fresh):
        yield "was read"
    if any(isinstance(e.payload, Cleaned) for e in fresh):
        yield "was cleaned"
    if any(isinstance(e.payload, OilDrawn) for e in fresh):
        yield "had oil drawn"
