"""What may be done to a ball now: the rules in force and when this bowler's competition starts and ends."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

from arsenal.acts import writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, RuleState
from arsenal.trade import days
from arsenal.trade.errors import OutOfRange
from arsenal.trade.rules import Allowed, Means, Stage, allowed_now, rule

LONGEST = timedelta(days=21)


_time = datetime.fromisoformat
Block = tuple[datetime, datetime]


class Inside(StrEnum):
    """Where surface work dated on a day lies against a competition."""

    OUTSIDE = "outside"
    MAYBE = "maybe"
    """On one of its days, but the hour, or whether the event allowed work then, is not known."""
    INSIDE = "inside"


@dataclass(frozen=True, slots=True)
class Competition:
    """When the first scored ball falls and when it is over (None: at the end of that day). `blocks` are its blocks,
    first ball to last, where they are known; `between_allowed` where the event allows surface work between them.
    """

    starts_at: datetime
    ends_at: datetime | None = None
    blocks: tuple[Block, ...] = ()
    between_allowed: bool = False

    @property
    def over_at(self) -> datetime:
        """The end as it is counted."""
        midnight = self.starts_at.replace(hour=0, minute=0, second=0, microsecond=0)
        return self.ends_at or midnight + timedelta(days=1)

    def stage(self, now: datetime) -> Stage:
        """Where it stands."""
        if now < self.starts_at:
            return Stage.BEFORE
        if now >= self.over_at:
            return Stage.AFTER
        if self.blocks and not any(begins <= now < ends for begins, ends in self.blocks):
            return Stage.BETWEEN
        return Stage.DURING

    def next_block(self, now: datetime) -> datetime:
        """When the next block begins; the end where none is left."""
        return min((begins for begins, _ in self.blocks if begins > now), default=self.over_at)

    def inside(self, on: date, now: datetime) -> Inside:
        """Where surface work dated `on` lies. Today the hour is known, and blocks with it; of another day only whether
        all of it lay in the competition.
        """
        if on == now.date():
            allowed = allowed_now(self.stage(now), on, between_allowed=self.between_allowed)
            return Inside.OUTSIDE if allowed.pads_allowed else Inside.INSIDE
        midnight = self.starts_at.replace(hour=0, minute=0, second=0, microsecond=0)
        begins = midnight + timedelta(days=(on - self.starts_at.date()).days)
        ends = begins + timedelta(days=1)
        if ends <= self.starts_at or begins >= self.over_at:
            return Inside.OUTSIDE
        whole = begins >= self.starts_at and ends <= self.over_at
        return Inside.INSIDE if whole and not self.between_allowed else Inside.MAYBE


def when_words(at: datetime, now: datetime) -> str:
    """“19:00”, “Sat 28 Nov, 9:00” on another day."""
    clock = f"{at.hour}:{at.minute:02d}"
    day = days.weekday_and_day(at)
    return clock if at.date() == now.date() else f"{day}, {clock}"


def rule_state(shop: Shop, bowler_id: int, now: datetime | None = None) -> RuleState:
    """“pads allowed until the first scored ball, 19:00” or “dry towel only”; `hover` has the rule and its date."""
    at = now or shop.now()
    held = competition(shop, bowler_id)
    stage = held.stage(at) if held else Stage.BEFORE
    allowed = allowed_now(stage, at.date(), between_allowed=held is not None and held.between_allowed)
    until = None
    if held and stage is Stage.BETWEEN:
        until = held.next_block(at)
        may = "pads allowed" if allowed.pads_allowed else _no_pads(allowed)
        sentence = f"between blocks, {may} until {when_words(until, at)}"
    elif allowed.pads_allowed:
        sentence = "pads allowed" if stage is Stage.AFTER else "pads allowed until the first scored ball"
        if held and stage is Stage.BEFORE:
            sentence += f", {when_words(held.starts_at, at)}"
            until = held.starts_at
    else:
        sentence = _no_pads(allowed)
        if held:
            until = held.over_at
            sentence += f" until {when_words(until, at)}" if held.ends_at else ""
    row = next((r for r in allowed.rules if Means.ABRASIVE in r.means), None)
    return RuleState(allowed.pads_allowed, sentence, until, row.id if row else None, _hover(allowed.hover, held))


def _no_pads(allowed: Allowed) -> str:
    return "dry towel or approved cleaner only" if allowed.cleaner else "dry towel only"


def _hover(said: str, held: Competition | None) -> str:
    whole = rule("surface-whole")
    dated = f" {whole.body}{', ' + whole.dated if whole.dated else ''}."
    open_end = " No end was given for this competition: it counts as over at midnight."
    return f"Rule book says, check yours: {said} {whole.text}{dated}" + (open_end if held and not held.ends_at else "")


def competition(shop: Shop, bowler_id: int) -> Competition | None:
    """The bowler's competition, where one is set."""
    found = shop.ledger.setting(_key(bowler_id), None)
    try:
        starts_at = _time(found["starts_at"])
        ends_at = _time(found["ends_at"]) if found["ends_at"] else None
        told = [
            (datetime.fromisoformat(begins), datetime.fromisoformat(ends)) for begins, ends in found.get("blocks", ())
        ]
    except (AttributeError, KeyError, TypeError, ValueError):
        return None
    held = Competition(starts_at, ends_at, tuple(told), found.get("between_allowed") is True)
    return held if all(at.tzinfo for at in _times(held)) else None


def _times(held: Competition) -> tuple[datetime, ...]:
    """Every time in it."""
    ends = (held.ends_at,) if held.ends_at else ()
    return (held.starts_at, *ends, *(at for block in held.blocks for at in block))


def dated_inside(shop: Shop, bowler_id: int, on: date) -> Inside:
    """Where surface work of this bowler dated `on` lies against the competition that is set."""
    held = competition(shop, bowler_id)
    return held.inside(on, shop.now()) if held else Inside.OUTSIDE


def set_competition(shop: Shop, bowler_id: int, when: Competition | None, initiator: str = "desk") -> Changes:
    """When the bowler's competition starts and ends; None takes it away. Raises OutOfRange where it ends first."""
    person = shop.person(bowler_id)
    key, value = kept_as(bowler_id, when)
    if when is None:
        return writing.set_value(shop, key, None, f"{person.name} is in no competition", initiator)
    said = f"{person.name}: first scored ball {when_words(when.starts_at, shop.now())}"
    return writing.set_value(shop, key, value, said, initiator)


def kept_as(bowler_id: int, when: Competition | None) -> tuple[str, dict[str, Any] | None]:
    """The setting that keeps a competition, checked; for an act that writes more than that. Raises OutOfRange."""
    if when is None:
        return _key(bowler_id), None
    if any(at.tzinfo is None for at in _times(when)):
        raise ValueError("a competition's times carry their offset")
    if when.ends_at is not None and not when.starts_at < when.ends_at <= when.starts_at + LONGEST:
        ends = f"{days.in_full(when.ends_at.date())}, {when.ends_at:%H:%M}"
        raise OutOfRange("end of the competition", ends, f"after its start and within {LONGEST.days} days of it")
    _check_blocks(when)
    return _key(bowler_id), {
        "starts_at": when.starts_at.isoformat(),
        "ends_at": when.ends_at.isoformat() if when.ends_at else None,
        "blocks": [[at.isoformat() for at in block] for block in when.blocks],
        "between_allowed": when.between_allowed,
    }


def _check_blocks(when: Competition) -> None:
    """Blocks follow each other inside the competition. Raises OutOfRange."""
    last = when.starts_at
    for begins, ends in when.blocks:
        if not last <= begins < ends <= when.over_at:
            allowed = "after the block before it, within the competition, and ends after it begins"
            raise OutOfRange("a block", f"{begins:%H:%M} to {ends:%H:%M}", allowed)
        last = ends


def _key(bowler_id: int) -> str:
    return f"competition:{bowler_id}"
