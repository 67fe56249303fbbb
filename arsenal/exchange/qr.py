"""A code as a QR symbol (ISO/IEC 18004): dark and light modules with the quiet zone round them."""

from __future__ import annotations

from functools import lru_cache

import segno
from segno.encoder import DataOverflowError

from arsenal.trade.errors import KnownError

QUIET = 4
"""Light modules on every side; ISO/IEC 18004 asks for four."""
LEVEL = "M"
"""About 15 % of a symbol may be lost; more is taken where the symbol does not grow by it."""
LONGEST = 200

Modules = tuple[tuple[bool, ...], ...]


@lru_cache(maxsize=256)
def modules(text: str) -> Modules:
    """Rows of modules, True for dark, quiet zone included. Raises KnownError for an empty or overlong text."""
    if not text or len(text) > LONGEST:
        raise KnownError(f"A code has 1 to {LONGEST} signs, this one {len(text)}.")
    try:
        made = segno.make(text, error=LEVEL, micro=False)
    except DataOverflowError:
        raise KnownError("This text is too long for a code.") from None
    return tuple(tuple(bool(dark) for dark in row) for row in made.matrix_iter(border=QUIET))
