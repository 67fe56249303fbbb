"""Where a speed was read: what a house's display reads less than the hand, and a bowler's speed brought to the hand."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import check
from arsenal.trade.person import Person, ReadAt
from arsenal.trade.units import MPH_MPS


def below_hand(shop: Shop, house: str) -> float | None:
    """What the display of `house` reads less than the hand, m/s; None where nobody measured it."""
    found = shop.ledger.setting(_key(house), None) if house.strip() else None
    return float(found) if isinstance(found, int | float) and not isinstance(found, bool) else None


def set_below_hand(shop: Shop, house: str, below_mps: float | None, initiator: str = "desk") -> Changes:
    """Keep it, and bring every bowler's speed that was read there to the hand anew; None forgets it. One act.

    Raises KnownError for a house without a name, OutOfRange.
    """
    name = checks.name(house, "house")
    if below_mps is not None:
        check("display below the hand", below_mps / MPH_MPS)
    read_there = [p for p in shop.people() if _read_in(p, name)]
    said = f"The display of {name} is taken as usual"
    if below_mps is not None:
        said = f"The display of {name} reads {below_mps / MPH_MPS:.1f} mph under the hand".replace("-", "−")
    with writing.one_act(shop, said, initiator) as (act, outcome):
        act.set_setting(_key(name), below_mps)
        for person in read_there:
            act.put(_brought(person, below_mps))
    return outcome.changes


def at_hand(shop: Shop, person: Person) -> Person:
    """The record with its speed brought from where it was read to the hand. Raises KnownError without a release."""
    if person.speed_reading is None:
        return person
    if person.style is None:
        raise KnownError(f"{person.name} has a speed and no revs.", next_step="Type the revs; a rough guess will do.")
    return _brought(person, below_hand(shop, person.speed_reading.house))


def _brought(person: Person, below_mps: float | None) -> Person:
    if person.style is None or person.speed_reading is None:
        return person
    return replace(person, style=replace(person.style, speed_mps=person.speed_reading.at_hand_mps(below_mps)))


def _read_in(person: Person, house: str) -> bool:
    read = person.speed_reading
    return read is not None and read.at is ReadAt.DISPLAY and read.house.strip().casefold() == house.casefold()


def _key(house: str) -> str:
    return f"display below the hand:{' '.join(house.split()).casefold()}"
