"""How foreign tables are read, said once by hand and remembered under the fingerprint of their headers."""

from __future__ import annotations

from typing import TypeVar

from arsenal.acts import writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.ledger import CodecError, from_plain

T = TypeVar("T")


def remembered(shop: Shop, key: str, cls: type[T]) -> T | None:
    """What was said of such headers; None where nobody said anything, or a version that said it otherwise."""
    kept = shop.ledger.setting(key, None)
    if kept is None:
        return None
    try:
        found: T = from_plain(cls, kept)
    except CodecError:
        return None
    return found


def all_remembered(shop: Shop, prefix: str, cls: type[T]) -> dict[str, T]:
    """Everything remembered under keys that begin so, by the rest of the key."""
    found = {key: remembered(shop, key, cls) for key in shop.ledger.settings(prefix)}
    return {key.removeprefix(prefix): said for key, said in found.items() if said is not None}


def forget(shop: Shop, key: str, sentence: str, initiator: str) -> Changes:
    """Such headers are mapped anew next time."""
    return writing.set_value(shop, key, None, sentence, initiator)
