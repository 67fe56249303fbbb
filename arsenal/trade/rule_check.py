"""What a ball breaks by the rule rows of a day: findings with the row they rest on, never a block.

A row known only from memory advises; a row for makers is silent here; what is not known of a ball is not spoken of.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from arsenal.trade.ball import Ball, Cover
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.rules import Basis, Rule, in_force, shipped_rules
from arsenal.trade.units import INCH_M, OUNCE_KG, POUND_KG

CHECK_YOURS = "The rule book in force decides; check yours."
_HOUSE_BALL_DIFFERENTIAL_M = 0.025 * INCH_M


@dataclass(frozen=True, slots=True)
class BallFacts:
    """What is known of a ball; None is not known."""

    mass_kg: float | None = None
    radius_m: float | None = None
    rg_m: float | None = None
    differential_m: float | None = None
    cover: Cover | None = None
    approved_on: date | None = None
    serial: str | None = None
    """Empty: the ball bears none."""
    holes: int | None = None
    holes_used: int | None = None
    balance_holes: int | None = None
    palm_mark: bool | None = None
    thumb_used: bool | None = None
    static_kg: float | None = None
    """The largest difference between two halves."""
    hardness_d: float | None = None
    slow_absorbing: bool = False
    """A high-performance ball that takes over 90 minutes to absorb."""
    fitted: bool = True

    @property
    def house_ball(self) -> bool:
        """Plain cover, differential under 0.025 in, not fitted."""
        low = self.differential_m is not None and self.differential_m < _HOUSE_BALL_DIFFERENTIAL_M
        return self.cover is Cover.POLYESTER and low and not self.fitted


def facts_of(ball: Ball) -> BallFacts:
    """What a ball's record knows; a serial nobody typed is not known, nor is a specification taken by default."""
    spec = ball.spec_known
    return BallFacts(
        mass_kg=ball.mass_kg,
        radius_m=ball.radius_m,
        rg_m=ball.rg_m if spec else None,
        differential_m=ball.differential_m if spec else None,
        cover=ball.cover,
        serial=ball.serial or None,
    )


def findings(
    facts: BallFacts, on: date, *, adopted: Iterable[str] = (), rules: Iterable[Rule] | None = None
) -> tuple[Finding, ...]:
    """Every row the ball breaks on a day, for an event that has adopted the classes of rules named in `adopted`."""
    every = tuple(shipped_rules() if rules is None else rules)
    taken = set(adopted)
    values = _values(facts)
    found = []
    for row in every:
        if row.for_makers or row.id in _BY_WORDS or (row.opt_in and row.opt_in not in taken):
            continue
        if row.what in values and row.covers(facts.mass_kg) and _applies(row, facts, on):
            value = values[row.what]
            if value is not None and not row.allows(value):
                found.append(
                    _finding(row, f"{row.what} {value:.4g} {row.unit}".rstrip(), _sure(row, facts, value, every))
                )
        elif row.serial_prefix and row.in_force(on) and _barred(row, facts):
            found.append(_finding(row, f"serial {facts.serial}", sure=True))
    found += [_finding(row, words, sure=True) for row, words in _by_words(facts, on, every)]
    return tuple(found)


def _values(facts: BallFacts) -> dict[str, float | None]:
    """By subject, in the unit the rows state."""

    def per(value: float | None, unit: float) -> float | None:
        return None if value is None else value / unit

    unused = None if facts.holes is None or facts.holes_used is None else float(facts.holes - facts.holes_used)
    urethane = facts.cover is Cover.URETHANE
    return {
        "weight": per(facts.mass_kg, POUND_KG),
        "diameter": per(facts.radius_m, INCH_M / 2.0),
        "RG": per(facts.rg_m, INCH_M),
        "differential": per(facts.differential_m, INCH_M),
        "static weight": per(facts.static_kg, OUNCE_KG),
        "balance holes": per(facts.balance_holes, 1.0),
        "gripping holes": per(facts.holes, 1.0),
        "unused holes": unused,
        "hardness of urethane in use": facts.hardness_d if urethane else None,
        "hardness of slow-absorbing balls": facts.hardness_d if facts.slow_absorbing else None,
    }


def _applies(row: Rule, facts: BallFacts, on: date) -> bool:
    if row.house_ball_excepted and facts.house_ball:
        return False
    if row.balance_hole is not None and (
        facts.balance_holes is None or (facts.balance_holes > 0) is not row.balance_hole
    ):
        return False
    if row.basis is Basis.DAY:
        return row.in_force(on)
    return row.in_force(facts.approved_on or on)


def _sure(row: Rule, facts: BallFacts, value: float, every: tuple[Rule, ...]) -> bool:
    """False where the ball's approval is not known and an earlier row, which would stand, allows the value."""
    if row.basis is Basis.DAY or facts.approved_on is not None:
        return True
    return not any(other.what == row.what and other.basis is row.basis and other.allows(value) for other in every)


def _barred(row: Rule, facts: BallFacts) -> bool:
    return facts.serial is not None and facts.serial.casefold().startswith(row.serial_prefix.casefold())


_BY_WORDS = ("palm-mark", "serial-number")


def _by_words(facts: BallFacts, on: date, every: tuple[Rule, ...]) -> Iterable[tuple[Rule, str]]:
    rows = {row.id: row for row in in_force(on, rules=every) if row.id in _BY_WORDS}
    if "palm-mark" in rows and facts.thumb_used is False and facts.palm_mark is False and not facts.house_ball:
        yield rows["palm-mark"], "no mark at the centre of the palm"
    if "serial-number" in rows and facts.serial == "":
        yield rows["serial-number"], "no serial number"


def _finding(row: Rule, words: str, sure: bool) -> Finding:
    told = f"{row.body}, {row.dated}" if row.dated else row.body
    sentence = f"{words[0].upper()}{words[1:]}: {row.text} ({told}) {CHECK_YOURS}"
    return Finding("rule", sentence, Weight.BAD if row.may_flag and sure else Weight.NOTE, rule_id=row.id)
