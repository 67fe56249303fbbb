"""Several lines at once, as they were noted on a phone during practice: shots, pads between them, pairs.

Condition and outing are the session's: what a line does not say of them is filled in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from arsenal.acts import logging
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning
from arsenal.trade.entries import Compared, Draft, Saw, Shot
from arsenal.trade.errors import KnownError


@dataclass(frozen=True, slots=True)
class PastedLine:
    """One line and what it would log; `meaning.problem` says why it would log nothing."""

    number: int
    """From 1, blank lines counted."""
    typed: str
    meaning: Meaning


def read(
    shop: Shop, lines: Sequence[str], *, bowler_id: int | None = None, ball_id: int | None = None,
    lane_id: int | None = None, outing: str = "",
) -> tuple[PastedLine, ...]:  # fmt: skip
    """What each line would log, blank ones left out. A line that names no ball means the ball of the line above, the
    first one `ball_id`; `bowler_id` threw whatever shot names nobody. Never raises for what they say.
    """
    found = []
    for number, text in enumerate(lines, 1):
        if not text.strip():
            continue
        meaning = logging.read_line(shop, text, bowler_id=bowler_id, ball_id=ball_id, thrower_id=bowler_id)
        drafts = tuple(_placed(draft, lane_id, outing) for draft in meaning.drafts)
        if drafts and not meaning.problem:
            ball_id = drafts[-1].ball_id
        found.append(PastedLine(number, text.strip(), replace(meaning, drafts=drafts)))
    return tuple(found)


def keep(
    shop: Shop, lines: Sequence[PastedLine], *, confirmed: bool = False, initiator: str = "desk"
) -> Changes:  # fmt: skip
    """Keep what all of them say in one act, all or none. Raises KnownError for a line that is not clear."""
    unclear = next((line for line in lines if line.meaning.problem), None)
    if unclear is not None:
        said = f"Line {unclear.number}, “{unclear.typed}”, is not clear. {unclear.meaning.problem}"
        raise KnownError(said, next_step="Mend it first.")
    drafts = [draft for line in lines for draft in line.meaning.drafts]
    shots = sum(isinstance(draft.payload, Shot) for draft in drafts)
    title = f"Logged {len(lines)} lines" + (f", {shots} practice shots" if shots > 1 else "")
    return logging.keep(shop, drafts, initiator, sentence=title if len(lines) > 1 else None, confirmed=confirmed)


def _placed(draft: Draft, lane_id: int | None, outing: str) -> Draft:
    payload = draft.payload
    if isinstance(payload, Shot):
        payload = replace(payload, outing=payload.outing or outing)
    if isinstance(payload, Shot | Saw | Compared) and payload.lane_id is None:
        payload = replace(payload, lane_id=lane_id)
    return replace(draft, payload=payload)
