"""Everything the file holds of one person, as files to be given to them; nothing of anybody else."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from arsenal.acts.nameless import Nameless
from arsenal.acts.shop import Shop
from arsenal.exchange import tables
from arsenal.exchange.atomic import write_file
from arsenal.exchange.tables.csv_file import escape, write_sheet
from arsenal.ledger import Record, to_plain
from arsenal.trade.ball import Ball
from arsenal.trade.calendar import League, Slot
from arsenal.trade.entries import Entry, Handed, Kind, Played, Shot
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Entered
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.ticket import Photo, Ticket
from arsenal.trade.units import INCH_M

HOLES = ("hole", "span_in", "pitch_forward_in", "pitch_right_in", "width_in", "depth_in", "insert", "used")
FITS = ("measured_on", "axis_over_in", "axis_up_in", "palm_mark", "measured_by", "note", *HOLES)
DRILLINGS = (
    "ball", "drilled_on", "pin_to_axis_in", "pin_to_grip_in", "mark_to_axis_in", "palm_mark", "side_oz",
    "top_oz", "thumb_oz", "weight_kg", "driller", "note", *HOLES,
)  # fmt: skip
"""Headers. Lengths are decimals: a spreadsheet takes 1/8 for a day. One row a hole, one at least a sheet."""
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def export(shop: Shop, person_id: int, folder: Path) -> tuple[Path, ...]:
    """Write one person's records: everything as JSON; bowler, balls and log as the CSV tables `load` reads, with
    tickets, fit sheets and drillings beside them. Returns the files. Raises KnownError, NotFound.
    """
    person = shop.person(person_id)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise KnownError(f"The folder {folder} cannot be made: {error.strerror or error}.") from error
    balls = shop.balls(person_id)
    entries = tuple(e for ball in balls for e in _log(shop, person_id, ball))
    lanes, pads = _lanes(shop, person, entries), tuple(pad for pad in shop.pads() if pad.owner_id == person_id)
    recipes = tuple(recipe for recipe in shop.recipes() if recipe.owner_id == person_id)
    more = {**_more(shop, person_id, balls), "pads": pads, "recipes": recipes, "conditions": lanes}
    path = folder / "person.json"
    write_file(path, json.dumps(_whole(shop, person, balls, entries, more), ensure_ascii=False, indent=1).encode())
    written = tables.dump(folder, (person,), balls, lanes, pads, entries, recipes)
    photos = [_photo(shop, photo, folder) for photo in more["photographs"] if isinstance(photo, Photo)]
    return (path, *written, *_sheets(shop, more, folder), *photos)


def _log(shop: Shop, person_id: int, ball: Ball) -> tuple[Entry, ...]:
    """A ball's log; what was written before they bought it, without the names of others."""
    log = shop.entries(ball.id)
    bought = [
        e.seq for e in log if isinstance(e.payload, Handed) and (e.kind, e.payload.person_id) == (Kind.SOLD, person_id)
    ]
    if not bought:
        return log
    nameless = Nameless(shop, ball, log, but=person_id)
    return tuple(
        replace(e, typed=nameless.text(e.typed), payload=nameless.record(e.payload)) if e.seq < bought[-1] else e
        for e in log
    )


def _more(shop: Shop, person_id: int, balls: Sequence[Ball]) -> dict[str, Sequence[Record]]:
    ids = {ball.id for ball in balls}
    theirs = [ticket for ticket in shop.every(Ticket) if ticket.person_id == person_id]
    numbers = {ticket.id for ticket in theirs}
    return {
        "tickets": theirs,
        "fit_sheets": [f for f in shop.every(FitSheet) if f.person_id == person_id],
        "drill_records": [d for d in shop.every(DrillRecord) if d.ball_id in ids],
        "leagues": [one for one in shop.every(League) if one.bowler_id == person_id],
        "work_times": [slot for slot in shop.every(Slot) if slot.bowler_id == person_id],
        "events": [entered for entered in shop.every(Entered) if entered.bowler_id == person_id],
        "photographs": [p for p in shop.every(Photo) if p.ball_id in ids or p.ticket_id in numbers],
    }


def _lanes(shop: Shop, person: Person, entries: Iterable[Entry]) -> tuple[Lane, ...]:
    """The conditions they bowl on; the others are not theirs to know."""
    met = {e.payload.lane_id for e in entries if isinstance(e.payload, Played | Shot)}
    met |= {person.usual_lane_id, *(lane_id for lane_id, _ in person.lines)}
    return tuple(lane for lane in shop.lanes().values() if lane.id in met)


def _whole(
    shop: Shop, person: Person, balls: Sequence[Ball], entries: Sequence[Entry], more: dict[str, Sequence[Record]]
) -> dict[str, Any]:  # fmt: skip
    kept = shop.ledger.results_about(person.id)
    return {
        "person": to_plain(person),
        "balls": [to_plain(ball) for ball in balls],
        "log": [{"seq": e.seq, "ball": e.ball_id, "kind": str(e.kind), "on": e.on.isoformat(), "typed": e.typed,
                 "payload": to_plain(e.payload)} for e in entries],
        **{name: [to_plain(record) for record in records] for name, records in more.items()},
        "cards_and_plans": [{"kind": one.kind, "at": one.at.isoformat(), "data": one.data} for one in kept],
    }  # fmt: skip


def _sheets(shop: Shop, more: dict[str, Sequence[Record]], folder: Path) -> list[Path]:
    """Tickets; fit sheets and drillings where there are some."""
    tickets = [_ticket(one) for one in more["tickets"] if isinstance(one, Ticket)]
    fits = [row for one in more["fit_sheets"] if isinstance(one, FitSheet) for row in _fit(one)]
    drillings = [row for one in more["drill_records"] if isinstance(one, DrillRecord) for row in _drilling(shop, one)]
    heads = ("ticket", "standing", "taken_in", "services", "price", "paid", "note")
    written = [_sheet(folder / "tickets.csv", heads, tickets)]
    written += [_sheet(folder / "fits.csv", FITS, fits)] if fits else []
    return [*written, *([_sheet(folder / "drillings.csv", DRILLINGS, drillings)] if drillings else [])]


def _sheet(path: Path, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Path:
    write_sheet(path, heads, [[cell if _NUMBER.fullmatch(cell) else escape(cell) for cell in row] for row in rows])
    return path


def _ticket(one: Ticket) -> tuple[str, ...]:
    return (
        str(one.id), one.standing.value, one.taken_in_at.isoformat(timespec="minutes") if one.taken_in_at else "",
        "; ".join(job.name for ball in one.balls for job in ball.jobs), f"{one.price_cents / 100:.2f}",
        f"{(one.deposit_cents + one.paid_cents) / 100:.2f}", one.note,
    )  # fmt: skip


def _fit(one: FitSheet) -> list[tuple[str, ...]]:
    head = (
        one.measured_on.isoformat(), _inches(one.axis_over_m), _inches(one.axis_up_m), _yes(one.palm_mark),
        one.measured_by, one.note,
    )  # fmt: skip
    return [(*head, *hole) for hole in _holes(one.holes)]


def _drilling(shop: Shop, one: DrillRecord) -> list[tuple[str, ...]]:
    numbers = (one.side_oz, one.top_oz, one.thumb_oz, one.mass_after_kg)
    head = (
        shop.ball(one.ball_id).name, one.drilled_on.isoformat(), _inches(one.pin_to_axis_m),
        _inches(one.pin_to_grip_m), _inches(one.mark_to_axis_m), _yes(one.palm_mark),
        *("" if number is None else f"{number:g}" for number in numbers), one.driller, one.note,
    )  # fmt: skip
    return [(*head, *hole) for hole in _holes(one.holes)]


def _holes(holes: Sequence[Hole]) -> list[tuple[str, ...]]:
    told = [
        (hole.finger, *map(_inches, (hole.span_m, hole.forward_m, hole.side_m, hole.diameter_m, hole.depth_m)),
         hole.insert, _yes(hole.used)) for hole in holes
    ]  # fmt: skip
    return told or [("",) * len(HOLES)]


def _inches(value_m: float | None) -> str:
    return "" if value_m is None else f"{value_m / INCH_M:.5g}"


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _photo(shop: Shop, photo: Photo, folder: Path) -> Path:
    path = folder / f"photograph-{photo.id}.jpg"
    write_file(path, shop.ledger.photo(photo.id))
    return path
