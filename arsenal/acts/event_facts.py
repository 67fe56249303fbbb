"""What stands below a prep sheet: rule, bags, registration, the order of pads, what stays home, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.acts import event_words, words
from arsenal.acts.event_ticks import Going
from arsenal.acts.shop import Shop
from arsenal.plan.prep import Mount, into_bags
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Tool
from arsenal.trade.pads import label
from arsenal.trade.units import POUND_KG

LIFT_LB = 50.0
COUNTS = ("none", "one", "two", "three", "four", "five", "six")
CAUTIONS = {
    "dust": "Sand wet where you can: it keeps the dust down. Wear a mask and eye protection; local rules decide.",
    "spinner": "Spinner: hair, sleeves, gloves and jewellery away, guards on; local rules decide.",
    "solvent": "Cleaner: air the room, no flame, read the maker's safety sheet, dispose by local rules.",
    "heat": "No oven, heat gun or hot car: heat can crack a ball and void its warranty.",
    "lift": "Lift bags by the handle, one at a time, with straight back.",
}


def cautions(shop: Shop, going: Going) -> tuple[str, ...]:
    """One or two plain lines for each kind of work the sheet asks for."""
    steps = [s for o in going.offers for s in o.steps]
    said = []
    if steps:
        said.append(CAUTIONS["dust"])
    if any(s.tool is not Tool.HAND for s in steps):
        said.append(CAUTIONS["spinner"])
    said += [CAUTIONS["solvent"], CAUTIONS["heat"]]
    if max(_bag_loads(shop, going), default=0.0) / POUND_KG > LIFT_LB:
        said.append(CAUTIONS["lift"])
    return tuple(said)


def facts(shop: Shop, going: Going, mounts: Sequence[Mount]) -> tuple[tuple[str, str], ...]:
    """(heading, words) line by line."""
    event = going.event
    rule = f"ban from: {event.ban_from.value}; check your book"
    if event.rule_note:
        rule = f"{rule}. Their sheet: {event.rule_note.rstrip('.')}"
    said = [("Rule, this event", rule), ("Bags", _bags(shop, going)), ("Registration", _missing(going))]
    if mounts:
        said.append(("Pads", "; ".join(_mount(going, m) for m in mounts)))
    settle = [o.ball.name for o in going.offers if o.steps]
    if settle:
        games = words.count(shop.priors.surface.settle_games, "game")
        said.append(("Settling in", f"{games} each on {event_words.listed(settle)} before the event"))
    said.append(("Stays home", "polish and solvent cleaner are flammable: not in a bag; the carrier's rules decide"))
    if event.list_checked_on is not None:
        said.append(("Approved list", f"checked {days.weekday_and_day(event.list_checked_on)}; check again on the day"))
    else:
        said.append(("Approved list", "not checked yet: hold every ball against the event's list"))
    return tuple(said)


def _mount(going: Going, mount: Mount) -> str:
    names = {o.ball.id: o.ball.name for o in going.offers}
    return f"{label((mount.step,))}: {', '.join(names[i] for i in dict.fromkeys(mount.ball_ids))}"


def _balls(going: Going) -> tuple[Ball, ...]:
    return (*(o.ball for o in going.offers), *going.spares)


def _masses(shop: Shop, going: Going) -> list[float]:
    return [shop.state(ball.id).mass_kg or ball.mass_kg for ball in _balls(going)]


def _bag_loads(shop: Shop, going: Going) -> list[float]:
    masses = _masses(shop, going)
    return [sum(masses[i] for i in bag) for bag in into_bags(masses, going.entered.bags)]


def _bags(shop: Shop, going: Going) -> str:
    """“two, 3 and 2 balls with spare: 45 and 30 lb of 50 lb”."""
    masses, count = _masses(shop, going), going.entered.bags
    held = [bag for bag in into_bags(masses, count) if bag]
    loads, units = [sum(masses[i] for i in bag) for bag in held], shop.settings.units
    unit = event_words.weight_unit(units)
    balls = event_words.listed([str(len(bag)) for bag in held])
    with_spare = " with spare" if going.spares else ""
    weights = event_words.listed([event_words.weight(x, units) for x in loads])
    many = COUNTS[len(held)] if len(held) < len(COUNTS) else str(len(held))
    said = f"{many}, {balls} balls{with_spare}: {weights} {unit}"
    limit = going.entered.bag_limit_kg
    if limit is None:
        return said
    over = [x for x in loads if x > limit + 1e-9]
    said = f"{said} of {event_words.weight(limit, units)} {unit}"
    if not over:
        return said
    more = next((n for n in range(count + 1, 13) if _fits(masses, n, limit)), None)
    way = f"take {more} bags" if more else "leave a ball at home"
    most = event_words.weight(max(over) - limit, units)
    return f"{said}, over by {most} {unit}, {way}. Balls alone; the bag weighs too"


def _fits(masses: Sequence[float], bags: int, limit_kg: float) -> bool:
    return all(sum(masses[i] for i in bag) <= limit_kg for bag in into_bags(masses, bags))


def _missing(going: Going) -> str:
    bare = [ball.name for ball in _balls(going) if not ball.serial]
    if not bare:
        return "every serial is on the sheet"
    return f"no serial yet for {event_words.listed(bare)}"
