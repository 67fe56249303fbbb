"""Groups of bowlers a coach looks at together: a name and who is in it, kept as a setting of the shop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from arsenal.acts import checks, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.person import Person

KEY = "bowler groups"
MOST = 24
"""Bowlers in a group at most: more rows than that nobody reads between two shots."""


@dataclass(frozen=True, slots=True)
class Group:
    """Bowlers under one name, in the order of the list."""

    name: str
    bowler_ids: tuple[int, ...]


def groups(shop: Shop) -> tuple[Group, ...]:
    """Every group by name; who is no longer in the file is left out of it."""
    there = {person.id for person in shop.people()}
    found = (_group(kept, there) for kept in _read(shop))
    return tuple(sorted(found, key=lambda group: group.name.casefold()))


def group(shop: Shop, name: str) -> Group | None:
    """The group of that name, whatever the case; None where there is none."""
    return next((one for one in groups(shop) if one.name.casefold() == name.casefold()), None)


def who_throws(shop: Shop) -> tuple[Person, ...]:
    """Everybody whose throw is known, by name."""
    return tuple(sorted((p for p in shop.people() if p.style is not None), key=lambda p: p.name.casefold()))


def keep_group(shop: Shop, name: str, bowler_ids: Sequence[int], *, was: str = "", initiator: str = "desk") -> Changes:
    """Keep a group; `was` is the name of the one it takes the place of. Raises KnownError for no name, a name that
    another group has, nobody or too many in it, and NotFound for somebody who is not in the file.
    """
    kept = checks.name(name, "group")
    ids = tuple(dict.fromkeys(bowler_ids))
    if not ids:
        raise KnownError(f"Nobody is in {kept}.", next_step="Tick one bowler at least.")
    if len(ids) > MOST:
        raise KnownError(f"{len(ids)} bowlers are too many for one group.", next_step=f"Tick {MOST} at most.")
    for bowler_id in ids:
        shop.person(bowler_id)
    others = [one for one in groups(shop) if one.name.casefold() != was.casefold()]
    if any(one.name.casefold() == kept.casefold() for one in others):
        raise KnownError(f"There is a group {kept} already.", next_step="Give it another name, or change that one.")
    said = f"{kept}: {len(ids)} bowler{'s' if len(ids) != 1 else ''}"
    return _write(shop, [*others, Group(kept, ids)], said, initiator)


def drop_group(shop: Shop, name: str, initiator: str = "desk") -> Changes:
    """Take a group away; its bowlers stay. Raises NotFound."""
    if group(shop, name) is None:
        raise NotFound(f"There is no group {name}.")
    others = [one for one in groups(shop) if one.name.casefold() != name.casefold()]
    return _write(shop, others, f"Took the group {name} away", initiator)


def _read(shop: Shop) -> list[dict[str, Any]]:
    found = shop.ledger.setting(KEY, None)
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _group(kept: dict[str, Any], there: set[int]) -> Group:
    ids = kept.get("bowler_ids", ())
    return Group(str(kept.get("name", "")), tuple(i for i in ids if i in there))


def _write(shop: Shop, every: Sequence[Group], sentence: str, initiator: str) -> Changes:
    value = [{"name": one.name, "bowler_ids": list(one.bowler_ids)} for one in every]
    return writing.set_value(shop, KEY, value or None, sentence, initiator)
