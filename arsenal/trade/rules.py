"""Rules as data: which rows are in force on a day, what may be done to a surface now, what a ball breaks.

Only rows read or had second hand may speak against a bowler; rows from memory advise, rows for makers are silent.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from arsenal.trade import days
from arsenal.trade.units import POUND_KG

_UP = 1.0 + 1e-9
"""A value at a limit stays at it through the arithmetic of units."""
DEFERS = "The rule book in force and the tournament director decide."


class Verified(StrEnum):
    """How a row is known."""

    READ = "read"
    SECONDHAND = "secondhand"
    MEMORY = "memory"


class Stage(StrEnum):
    """Where a competition stands."""

    BEFORE = "before"
    """Before the first scored ball, practice included."""
    DURING = "during"
    BETWEEN = "between"
    """Between rounds or blocks."""
    AFTER = "after"


class Means(StrEnum):
    """What a surface is touched with."""

    ABRASIVE = "abrasive"
    """Pads, compound, polish."""
    CLEANER = "cleaner"
    TOWEL = "towel"
    """A dry one."""
    FOREIGN = "foreign"
    """Powder, rosin, marker and the like."""


class Basis(StrEnum):
    """Which day decides whether a row is in force."""

    DAY = "day"
    APPROVAL = "approval"
    """The day the ball was approved: an earlier approval stands."""
    MADE = "made"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row. Numbers are in `unit`, as the rule book states them; weights in pounds."""

    id: str
    body: str
    what: str
    applies_to: tuple[str, ...]
    source: str
    verified: Verified
    text: str
    low: float | None = None
    high: float | None = None
    unit: str = ""
    effective_from: date | None = None
    effective_to: date | None = None
    """Last day in force."""
    basis: Basis = Basis.DAY
    over_lb: float | None = None
    from_lb: float | None = None
    up_to_lb: float | None = None
    stage: Stage | None = None
    means: tuple[Means, ...] = ()
    allowed: bool | None = None
    opt_in: str = ""
    """In force only for who adopts it: “event”, “national events”, “professional tour” …"""
    balance_hole: bool | None = None
    house_ball_excepted: bool = False
    serial_prefix: str = ""
    """Bars balls whose serial number begins so."""
    extra: Mapping[str, Any] = field(default_factory=dict)

    def in_force(self, on: date) -> bool:
        """True from its first day through its last."""
        return (self.effective_from is None or self.effective_from <= on) and (
            self.effective_to is None or on <= self.effective_to
        )

    def covers(self, mass_kg: float | None) -> bool:
        """True where a ball of this mass falls under the row; an unknown mass is taken as an ordinary ball's, 15 lb."""
        mass = 15.0 * POUND_KG if mass_kg is None else mass_kg
        return (
            (self.over_lb is None or mass > self.over_lb * POUND_KG * _UP)
            and (self.from_lb is None or mass >= self.from_lb * POUND_KG / _UP)
            and (self.up_to_lb is None or mass <= self.up_to_lb * POUND_KG * _UP)
        )

    def allows(self, value: float) -> bool:
        """True where `value`, in the row's unit, lies within both ends."""
        return (self.low is None or value >= self.low / _UP) and (self.high is None or value <= self.high * _UP)

    @property
    def may_flag(self) -> bool:
        """True where the row may speak against a bowler, shop or event: known well enough, and not for makers alone."""
        return self.verified is not Verified.MEMORY and not self.for_makers

    @property
    def for_makers(self) -> bool:
        """True where the row binds makers alone."""
        return set(self.applies_to) == {"maker"}

    @property
    def dated(self) -> str:
        """“since 1 August 2019”, “until 31 July 2020”, both, or nothing."""
        begins = f"since {days.in_full(self.effective_from)}" if self.effective_from else ""
        ends = f"until {days.in_full(self.effective_to)}" if self.effective_to else ""
        return " ".join(part for part in (begins, ends) if part)


@dataclass(frozen=True, slots=True)
class Allowed:
    """What may touch a ball's surface now, the rows that say so, and one sentence to show."""

    stage: Stage
    abrasive: bool
    cleaner: bool
    towel: bool
    rules: tuple[Rule, ...]
    sentence: str
    hover: str

    @property
    def pads_allowed(self) -> bool:
        """Whether pads, compound and polish may be used now."""
        return self.abrasive


def _rule(row: Mapping[str, Any]) -> Rule:
    known = dict(row)
    values = {name: known.pop(name) for name in ("id", "body", "what", "source", "text")}
    for name in ("low", "high"):
        values[name] = float(known.pop(name)) if name in known else None
    for name, key in (("over_lb", "over"), ("from_lb", "from"), ("up_to_lb", "up_to")):
        values[name] = float(known.pop(key)) if key in known else None
    for name in ("unit", "effective_from", "effective_to", "allowed", "opt_in", "balance_hole"):
        if name in known:
            values[name] = known.pop(name)
    for name in ("house_ball_excepted", "serial_prefix"):
        if name in known:
            values[name] = known.pop(name)
    return Rule(
        **values,
        applies_to=tuple(known.pop("applies_to")),
        verified=Verified(known.pop("verified")),
        basis=Basis(known.pop("basis", Basis.DAY)),
        stage=Stage(known.pop("stage")) if "stage" in known else None,
        means=tuple(Means(m) for m in known.pop("means", ())),
        extra=known,
    )


def read_rules(text: str) -> tuple[Rule, ...]:
    """Rows from TOML text. Raises ValueError where an id appears twice or a word is not one of its set."""
    rules = tuple(_rule(row) for row in tomllib.loads(text)["rule"])
    ids = [rule.id for rule in rules]
    if doubles := {i for i in ids if ids.count(i) > 1}:
        raise ValueError(f"two rules are called {sorted(doubles)}")
    return rules


@cache
def shipped_rules() -> tuple[Rule, ...]:
    """The rows the program ships with."""
    return read_rules(files("arsenal.trade").joinpath("rules.toml").read_text("utf-8"))


def rule(rule_id: str, rules: Iterable[Rule] | None = None) -> Rule:
    """The row called `rule_id`. Raises KeyError."""
    for row in shipped_rules() if rules is None else rules:
        if row.id == rule_id:
            return row
    raise KeyError(rule_id)


def in_force(
    on: date,
    *,
    what: str | None = None,
    mass_kg: float | None = None,
    adopted: Iterable[str] = (),
    rules: Iterable[Rule] | None = None,
) -> tuple[Rule, ...]:
    """Rows in force on a day, by subject, ball mass and what the event has adopted. Pure: nothing but its arguments."""
    taken = set(adopted)
    return tuple(
        row
        for row in (shipped_rules() if rules is None else rules)
        if row.in_force(on)
        and (what is None or row.what == what)
        and (not row.opt_in or row.opt_in in taken)
        and (mass_kg is None or row.covers(mass_kg))
    )


_SENTENCE = {
    Stage.BEFORE: "Pads are allowed until the first scored ball.",
    Stage.DURING: "Competition has started: no pads.",
    Stage.AFTER: "Pads are allowed: competition is over.",
}


def allowed_now(
    stage: Stage, on: date, *, between_allowed: bool = False, rules: Iterable[Rule] | None = None
) -> Allowed:
    """What may touch the surface at `stage` on a day. Between rounds counts as during unless the event allows work.

    Where no row speaks of a means, nothing forbids it except during competition.
    """
    asked = Stage.DURING if stage is Stage.BETWEEN and not between_allowed else stage
    rows = [
        row
        for row in in_force(on, adopted={"event"} if between_allowed else (), rules=rules)
        if row.stage is asked and row.allowed is not None
    ]

    def may(means: Means) -> bool:
        said = [row for row in rows if means in row.means and row.verified is not Verified.MEMORY]
        return all(row.allowed for row in said) if said else asked is not Stage.DURING

    abrasive, cleaner, towel = may(Means.ABRASIVE), may(Means.CLEANER), may(Means.TOWEL)
    sentence = _SENTENCE.get(asked, "Between rounds: this event allows pads.")
    if asked is Stage.DURING:
        sentence += " A dry towel or an approved cleaner only." if cleaner else " A dry towel only."
    hover = " ".join(f"{row.text}{' (' + row.dated + ')' if row.dated else ''}" for row in rows)
    return Allowed(stage, abrasive, cleaner, towel, tuple(rows), sentence, f"{hover} {DEFERS}".strip())
