"""The ticket that is being written, kept beside the file's records after every change, so that nothing said at the
counter is lost with the power. It is no act: nothing to take back, nothing in any list, gone with whom it names.
"""

from __future__ import annotations

from contextlib import suppress

from arsenal.acts.shop import Shop
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.trade.errors import KnownError
from arsenal.trade.ticket import Ticket

KEY = "counter draft"


def keep(shop: Shop, draft: Ticket | None) -> None:
    """Keep it in the place of the one before; None where nothing is being written. A full disk keeps none."""
    with suppress(KnownError):  # what is written stays on the screen; taking it in will say what is wrong
        shop.ledger.keep_state(KEY, None if draft is None else to_plain(draft))


def kept(shop: Shop) -> Ticket | None:
    """What was being written when the program ended; None where nothing was."""
    plain = shop.ledger.cached_state(KEY)
    if plain is None:
        return None
    try:
        found: Ticket = from_plain(Ticket, plain)
    except CodecError:  # kept by a version whose tickets had other fields
        return None
    return found
