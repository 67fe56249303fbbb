"""The registration sheet: every ball that goes along, its serial, weight, cover and hardness as the log knows them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from arsenal.acts import ball_rules, event_words
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import RegisteredBall, Registration
from arsenal.acts.shop import Shop
from arsenal.trade import days
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Quantity, Reading, effective
from arsenal.trade.rule_check import findings

OLD_READING_DAYS = 60
"""A hardness reading older than this is worth taking again (our own assumption)."""


def registration(shop: Shop, going: Going, title: str) -> Registration:
    """The whole sheet."""
    person = shop.person(going.entered.bowler_id)
    every = (*(o.ball for o in going.offers), *going.spares)
    rows = tuple(_row(shop, going, ball) for ball in every)
    notes = ["Advice only: the rule book in force and the tournament director decide."]
    asked = going.event.hardness_at_least_d
    if asked is not None:
        notes.insert(0, f"This event asks for {asked:g} D of the class it names; read at 23 ± 2 °C.")
    squad = going.entered.squad or (going.event.squads[0].name if going.event.squads else "")
    return Registration(title, person.name, squad, rows, tuple(notes))


def _row(shop: Shop, going: Going, ball: Ball) -> RegisteredBall:
    state = shop.state(ball.id)
    mass = state.mass_kg or ball.mass_kg
    read = _hardness(shop, ball)
    hardness = f"{read[1].value:.0f} D" if read else ""
    when = ""
    if read:
        temperature = read[1].temperature_c
        when = days.weekday_and_day(read[0]) + (f", {temperature:.0f} °C" if temperature is not None else "")
    wanted = _wanted(going, ball, read, shop.today())
    missing = [what for what, lacks in (("serial", not ball.serial), (wanted, bool(wanted))) if lacks]
    said = f"{event_words.listed(missing)} not known".replace("reading not known", "reading") if missing else ""
    units = shop.settings.units
    weight = f"{event_words.weight(mass, units, 1)} {event_words.weight_unit(units)}"
    advice = _advice(shop, going, ball)
    return RegisteredBall(ball.id, ball.name, ball.serial, weight, ball.cover.value, hardness, when, said, advice)


def _hardness(shop: Shop, ball: Ball) -> tuple[date, Reading] | None:
    found = [
        (e.on, e.payload) for e in effective(shop.entries(ball.id))
        if isinstance(e.payload, Reading) and e.payload.quantity is Quantity.HARDNESS
    ]  # fmt: skip
    return found[-1] if found else None


def _wanted(going: Going, ball: Ball, read: tuple[date, Reading] | None, today: date) -> str:
    """What hardness still wants; nothing where the event asks for none of this ball."""
    if going.event.hardness_at_least_d is None or ball.cover is not Cover.URETHANE:
        return ""
    if read is None:
        return "hardness"
    return "newer hardness reading" if (today - read[0]).days > OLD_READING_DAYS else ""


def _advice(shop: Shop, going: Going, ball: Ball) -> tuple[str, ...]:
    """Rows the ball may break on the first day, and what the event itself asks; never a block."""
    facts = ball_rules.facts(shop, ball, shop.state(ball.id))
    said = [f.sentence for f in findings(replace(facts, serial=ball.serial or None), going.event.first_on)]
    asked = going.event.hardness_at_least_d
    if asked is not None and ball.cover is Cover.URETHANE and facts.hardness_d is not None:
        least = f"This event asks for {asked:g} D; it reads {facts.hardness_d:.0f} D. Ask the director."
        said += [least] if facts.hardness_d < asked else []
    return tuple(said)
