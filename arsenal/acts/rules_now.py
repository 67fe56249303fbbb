"""What may be done to a ball now: the rules in force and when this bowler's competition starts and ends."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from arsenal.acts import writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, RuleState
from arsenal.trade.errors import OutOfRange
from arsenal.trade.rules import Means, Stage, allowed_now, rule, spoken

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LONGEST = timedelta(days=21)


@dataclass(frozen=True, slots=True)
class Competition:
    """When the first scored ball falls and when it is over (None: at the end of that day)."""

    starts_at: datetime
    ends_at: datetime | None = None

    @property
    def over_at(self) -> datetime:
        """The end as it is counted."""
        midnight = self.starts_at.replace(hour=0, minute=0, second=0, microsecond=0)
        return self.ends_at or midnight + timedelta(days=1)

    def stage(self, now: datetime) -> Stage:
        """Where it stands."""
        if now < self.starts_at:
            return Stage.BEFORE
        return Stage.DURING if now < self.over_at else Stage.AFTER


def when_words(at: datetime, now: datetime) -> str:
    """“19:00”, “Sat 28 Nov, 9:00” on another day."""
    clock = f"{at.hour}:{at.minute:02d}"
    day = f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]}"
    return clock if at.date() == now.date() else f"{day}, {clock}"


def rule_state(shop: Shop, bowler_id: int, now: datetime | None = None) -> RuleState:
    """“pads allowed until the first scored ball, 19:00” or “dry towel only”; `hover` has the rule and its date."""
    at = now or shop.now()
    held = competition(shop, bowler_id)
    stage = held.stage(at) if held else Stage.BEFORE
    allowed = allowed_now(stage, at.date())
    until = None
    if allowed.pads_allowed:
        sentence = "pads allowed" if stage is Stage.AFTER else "pads allowed until the first scored ball"
        if held and stage is Stage.BEFORE:
            sentence += f", {when_words(held.starts_at, at)}"
            until = held.starts_at
    else:
        sentence = "dry towel or approved cleaner only" if allowed.cleaner else "dry towel only"
        if held:
            until = held.over_at
            sentence += f" until {when_words(until, at)}" if held.ends_at else ""
    row = next((r for r in allowed.rules if Means.ABRASIVE in r.means), None)
    return RuleState(allowed.pads_allowed, sentence, until, row.id if row else None, _hover(allowed.hover, held))


def _hover(said: str, held: Competition | None) -> str:
    whole = rule("surface-whole")
    dated = f" {whole.body}{', ' + whole.dated if whole.dated else ''}."
    open_end = " No end was given for this competition: it counts as over at midnight."
    return f"Rule book says, check yours: {said} {whole.text}{dated}" + (open_end if held and not held.ends_at else "")


def competition(shop: Shop, bowler_id: int) -> Competition | None:
    """The bowler's competition, where one is set."""
    found = shop.ledger.setting(_key(bowler_id), None)
    try:
        starts_at = datetime.fromisoformat(found["starts_at"])
        ends_at = datetime.fromisoformat(found["ends_at"]) if found["ends_at"] else None
    except (KeyError, TypeError, ValueError):
        return None
    return Competition(starts_at, ends_at) if starts_at.tzinfo and (ends_at is None or ends_at.tzinfo) else None


def set_competition(shop: Shop, bowler_id: int, when: Competition | None, initiator: str = "desk") -> Changes:
    """When the bowler's competition starts and ends; None takes it away. Raises OutOfRange where it ends first."""
    person = shop.person(bowler_id)
    if when is None:
        return writing.set_value(shop, _key(bowler_id), None, f"{person.name} is in no competition", initiator)
    if when.starts_at.tzinfo is None or (when.ends_at and when.ends_at.tzinfo is None):
        raise ValueError("a competition's times carry their offset")
    if when.ends_at is not None and not when.starts_at < when.ends_at <= when.starts_at + LONGEST:
        ends = f"{spoken(when.ends_at.date())}, {when.ends_at:%H:%M}"
        raise OutOfRange("end of the competition", ends, f"after its start and within {LONGEST.days} days of it")
    value = {
        "starts_at": when.starts_at.isoformat(),
        "ends_at": when.ends_at.isoformat() if when.ends_at else None,
    }
    said = f"{person.name}: first scored ball {when_words(when.starts_at, shop.now())}"
    return writing.set_value(shop, _key(bowler_id), value, said, initiator)


def _key(bowler_id: int) -> str:
    return f"competition:{bowler_id}"
