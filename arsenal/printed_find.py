"""What was found, as rows and as text for a terminal."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Any

from arsenal.acts.views import Hit
from arsenal.printed import table

WIDEST = 60
UNSEEN = ("Cc", "Cf", "Zl", "Zp", "Cs")


def hit_row(hit: Hit) -> dict[str, Any]:
    """One find as JSON has it."""
    return {"kind": hit.kind, "id": hit.id, "label": hit.label, "detail": hit.detail}


def hits_text(hits: Sequence[Hit], typed: str) -> str:
    """Finds as a table, best first."""
    if not hits:
        return f"Nothing in this file fits “{seen(typed)}”."
    rows = [(hit.kind, str(hit.id), seen(hit.label), seen(hit.detail)) for hit in hits]
    return "\n".join(table([("kind", "id", "label", "detail"), *rows], right=(1,)))


def seen(words: str) -> str:
    """One line that a terminal only shows: no signs that move its cursor, colour it or turn the writing round."""
    clean = "".join(" " if unicodedata.category(sign) in UNSEEN else sign for sign in words[: 4 * WIDEST])
    told = " ".join(clean.split())
    return told if len(told) <= WIDEST else told[: WIDEST - 1] + "…"
