"""Everything the file holds of one person, to be given to them; and a person erased for good."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from arsenal.acts import counter_draft, words
from arsenal.acts.shop import Shop
from arsenal.exchange import tables
from arsenal.exchange.atomic import write_file
from arsenal.exchange.tables.csv_file import escape, write_sheet
from arsenal.ledger import Record, StillNeeded, to_plain
from arsenal.trade.calendar import League, Slot
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Entered
from arsenal.trade.fit import DrillRecord, FitSheet
from arsenal.trade.ticket import Photo, Ticket

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
    )  # fmt: skip


def export(shop: Shop, person_id: int, folder: Path) -> tuple[Path, ...]:
    """Write one person's records: everything as JSON, and bowler, balls and log as the CSV tables `load` reads, tickets
    beside them. Returns the files. Raises KnownError, NotFound.
    """
    person = shop.person(person_id)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise KnownError(f"The folder {folder} cannot be made: {error.strerror or error}.") from error
    balls = shop.balls(person_id)
    ids = {ball.id for ball in balls}
    entries = tuple(e for ball in balls for e in shop.entries(ball.id))
    theirs = [ticket for ticket in shop.every(Ticket) if ticket.person_id == person_id]
    more: dict[str, Sequence[Record]] = {
        "tickets": theirs,
        "fit_sheets": [f for f in shop.every(FitSheet) if f.person_id == person_id],
        "drill_records": [d for d in shop.every(DrillRecord) if d.ball_id in ids],
        "leagues": [one for one in shop.every(League) if one.bowler_id == person_id],
        "work_times": [slot for slot in shop.every(Slot) if slot.bowler_id == person_id],
        "events": [entered for entered in shop.every(Entered) if entered.bowler_id == person_id],
        "photographs": [p for p in shop.every(Photo) if p.ball_id in ids or p.ticket_id in {t.id for t in theirs}],
    }
    whole = {
        "person": to_plain(person),
        "balls": [to_plain(ball) for ball in balls],
        "log": [{"seq": e.seq, "ball": e.ball_id, "kind": str(e.kind), "on": e.on.isoformat(), "typed": e.typed,
                 "payload": to_plain(e.payload)} for e in entries],
        **{name: [to_plain(record) for record in records] for name, records in more.items()},
    }  # fmt: skip
    path = folder / "person.json"
    write_file(path, json.dumps(whole, ensure_ascii=False, indent=1).encode())
    lanes = tuple(shop.lanes().values())
    pads = tuple(pad for pad in shop.pads() if pad.owner_id == person_id)
    recipes = tuple(recipe for recipe in shop.recipes() if recipe.owner_id == person_id)
    written = tables.dump(folder, (person,), balls, lanes, pads, entries, recipes)
    photos = [_photo(shop, photo, folder) for photo in more["photographs"] if isinstance(photo, Photo)]
    return (path, *written, _tickets(theirs, folder), *photos)


def _tickets(theirs: list[Ticket], folder: Path) -> Path:
    rows = [
        (
            str(t.id), t.standing.value, t.taken_in_at.isoformat(timespec="minutes") if t.taken_in_at else "",
            "; ".join(job.name for ball in t.balls for job in ball.jobs), f"{t.price_cents / 100:.2f}",
            f"{(t.deposit_cents + t.paid_cents) / 100:.2f}", t.note,
        )
        for t in theirs
    ]  # fmt: skip
    path = folder / "tickets.csv"
    write_sheet(
        path, ("ticket", "standing", "taken_in", "services", "price", "paid", "note"),
        [[escape(cell) for cell in row] for row in rows],
    )  # fmt: skip
    return path


def _photo(shop: Shop, photo: Photo, folder: Path) -> Path:
    path = folder / f"photograph-{photo.id}.jpg"
    write_file(path, shop.ledger.photo(photo.id))
    return path


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
    if not done.emptied:
        parts.append("Another program reads the file: its write-ahead log is emptied when that one closes it.")
    if done.still_there:
        parts.append(f"{len(done.still_there)} earlier files still hold the person.")
    return Erasure(" ".join(parts), done.still_there)
