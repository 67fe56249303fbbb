"""How much the file holds of one person, and a person erased for good."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from arsenal.acts import counter_draft, words
from arsenal.acts.person_files import export
from arsenal.acts.shop import Shop
from arsenal.ledger import StillNeeded
from arsenal.trade.calendar import League
from arsenal.trade.event import Entered
from arsenal.trade.fit import DrillRecord, FitSheet
from arsenal.trade.ticket import Photo, Ticket

__all__ = ["POLICY", "Erasure", "erase", "export", "held"]

POLICY = (
    "Names, earlier ones too, phone, mail and whatever else tells who it is go from the file for good, from its "
    "write-ahead log and from its own backups, of which a new one is made; the balls keep what was done to them. "
    "In what is somebody else’s only the whole name, phone and mail are looked for. Photographs stay: remove those "
    "that show a name first. Copies made elsewhere, printed tickets and exports are not reached. Local privacy law "
    "decides what has to be kept."
)
"""What erasing does and does not do; shown before it is done."""


@dataclass(frozen=True, slots=True)
class Erasure:
    """What erasing a person came to, in words."""

    sentence: str
    still_there: tuple[Path, ...]


def held(shop: Shop, person_id: int) -> tuple[tuple[str, int], ...]:
    """(what, how many) the file holds of a person. Raises NotFound."""
    shop.person(person_id)
    balls = shop.balls(person_id)
    shop.read_ahead(balls)
    ids = {ball.id for ball in balls}
    theirs = {ticket.id for ticket in shop.every(Ticket) if ticket.person_id == person_id}
    return (
        ("ball", len(balls)), ("log line", sum(len(shop.entries(ball.id)) for ball in balls)),
        ("ticket", len(theirs)), ("fit sheet", sum(fit.person_id == person_id for fit in shop.every(FitSheet))),
        ("drill record", sum(drill.ball_id in ids for drill in shop.every(DrillRecord))),
        ("photograph", sum(p.ball_id in ids or p.ticket_id in theirs for p in shop.every(Photo))),
        ("league", sum(one.bowler_id == person_id for one in shop.every(League))),
        ("event", sum(one.bowler_id == person_id for one in shop.every(Entered))),
        ("kept sheet", len(shop.ledger.results_about(person_id))),
    )  # fmt: skip


def erase(shop: Shop, person_id: int, *, earlier: bool = True, initiator: str = "desk") -> Erasure:
    """Erase a person for good; see `POLICY`. Raises NotFound, StillNeeded where a ticket of theirs is open or being
    written.
    """
    shop.person(person_id)
    draft = counter_draft.kept(shop)
    if draft is not None and draft.person_id == person_id:
        raise StillNeeded("A ticket of this person is being written.", next_step="Park it and call it off first.")
    done = shop.ledger.erase_person(person_id, "Erased a person's data", initiator, earlier=earlier)
    shop.forget_everything()
    lost = f" {words.count(done.entries, 'log line')} lost words." if done.entries else ""
    parts = [f"Erased.{lost} The balls keep their history."]
    if done.wards:
        told = ", ".join(shop.person(ward).name for ward in done.wards)
        parts.append(f"They were the guardian of {told}: name another.")
    if done.trouble:
        parts.append(
            f"{done.trouble} Traces may still lie in the file or its backups: erase once more when that is mended."
        )
    elif not done.emptied:
        parts.append("Another program reads the file: its write-ahead log is emptied when that one closes it.")
    if done.still_there:
        parts.append(f"{len(done.still_there)} earlier files still hold the person.")
    return Erasure(" ".join(parts), done.still_there)
