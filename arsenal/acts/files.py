"""Files in and out: load tables (`bring_in`), dump, rebuild, back up, verify, restore, the sample shop."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta, timezone
from pathlib import Path

from arsenal.acts import bring_in, now_tables, writing
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Clock, Shop, system
from arsenal.acts.undo import REBUILT, SAMPLE
from arsenal.acts.views import LoadReport
from arsenal.exchange import json_lines, sample_calendar, sample_counter, tables
from arsenal.exchange.resources import sample_dir
from arsenal.ledger import NO_BACKUPS, Again, Backup, Ledger, Refused, Verification
from arsenal.ledger.files import check_header
from arsenal.ledger.records import SHELVES
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.errors import KnownError
from arsenal.trade.steps import Steps, Tell, part, untold

load, preview, said = bring_in.load, bring_in.preview, bring_in.said
LINES, BOOK = "shop.jsonl", "shop.xlsx"
OTHER_COPY = "Take another copy of the lines."
CALENDAR, COUNTER = "calendar.json", "counter.json"
SAMPLE_TITLE = "Wrote the sample shop"
ANY_DAY = date(2999, 12, 31)
"""The sample's days are moved to end now; until then none of them is a day to come."""


def dump(shop: Shop, folder: Path, *, xlsx: bool = False, tell: Tell = untold) -> tuple[Path, ...]:
    """Write everything as the tables `load` reads, with `xlsx` as one workbook too, and the whole file as JSON Lines.
    The files written.
    """
    _make_folder(folder)
    shop.ledger.mark()
    with shop.ledger.one_view():
        return _dump(shop, folder, folder / BOOK if xlsx else None, tell)


def _dump(shop: Shop, folder: Path, book: Path | None, tell: Tell) -> tuple[Path, ...]:
    tell(0.0)
    every = shop.ledger.entries()
    tell(0.1)
    json_lines.write(folder / LINES, _whole(shop, every), _photos(shop), part(tell, 0.2, 0.5))
    seen = {ball.id for ball in shop.balls()}
    entries = tuple(entry for entry in every if entry.ball_id in seen)
    people, balls, lanes, pads = shop.people(), shop.balls(), tuple(shop.lanes().values()), shop.pads()
    further = part(tell, 0.5, 1.0)
    written = tables.dump(folder, people, balls, lanes, pads, entries, shop.recipes(), book=book, tell=further)
    return (*written, folder / LINES)


def _whole(shop: Shop, entries: tuple[Entry, ...]) -> json_lines.Whole:
    """Everything the file holds beside its log's entries but for photographs' bytes."""
    ledger = shop.ledger
    rows = tuple(row for what in SHELVES for row in ledger.rows(what))
    return json_lines.Whole(rows, entries, ledger.settings(), ledger.every_result(), ledger.mark(), ledger.numbers())


def _photos(shop: Shop) -> Iterator[tuple[int, bytes]]:
    return ((row.id, shop.ledger.photo(row.id)) for row in shop.ledger.rows("photo"))


def rebuild(lines: Path, onto: Path, *, clock: Clock = system, tell: Tell = untold) -> LoadReport:
    """A new file from the JSON Lines that `dump` wrote, equal to the one they came from.

    Equal means: every record under its number with the same text, removed ones and the numbers nobody has any more
    included, so that none is given out twice; the log entry for entry with day, time, words and what it takes back;
    settings, kept results, photographs byte for byte, and the mark of the shop's labels. The acts are another matter:
    the new file knows one, which made it, numbered on from the old ones, and its chain of hashes is its own. Which
    entries lost words when a person was erased is not told any more; they lost them for good. What can be worked out
    again (search list, states, the tables for other programs) is.

    Raises KnownError where `onto` is there already, or the lines are not whole; nothing is then made.
    """
    whole = json_lines.read(lines, part(tell, 0.0, 0.3))
    with _aside(onto) as made:
        with Shop.open(made, clock=clock, settings=Settings(), backups=NO_BACKUPS) as shop:
            if whole.mark:
                shop.ledger.mark(whole.mark)
            with shop.ledger.remaking(f"Rebuilt from {lines.name}", REBUILT) as again:
                _write_whole(again, whole, json_lines.photos(lines), part(tell, 0.3, 0.6))
            changes = writing.changes_of(again.act)
            checked = shop.ledger.verify()
            now_tables.keep(shop, None, part(tell, 0.6, 1.0))
        if not checked.ok:
            raise KnownError(f"{lines.name} does not make a sound file: {checked.problems[0]}", next_step=OTHER_COPY)
    people, balls, lanes, pads, recipes = (whole.count(k) for k in ("person", "ball", "lane", "pad", "recipe"))
    return LoadReport(True, people, balls, lanes, pads, len(whole.entries), changes=changes, recipes=recipes)


def _write_whole(again: Again, whole: json_lines.Whole, photos: Iterator[tuple[int, bytes]], tell: Tell) -> None:
    """Records under their own numbers, entries in their order; an undo names the entry by its new number."""
    again.go_on_from(whole.numbers)
    steps = Steps(len(whole.rows) + len(whole.entries), tell)
    again.put(steps.through(whole.rows))
    for key, value in whole.settings.items():
        again.act.set_setting(key, value)
    new_seq: dict[int, int] = {}
    for e in steps.through(whole.entries):
        undoes = None if e.undoes is None else new_seq.get(e.undoes)
        draft = Draft(e.ball_id, e.kind, e.on, e.payload, e.typed, undoes, e.late, e.version)
        at = e.at.astimezone(timezone(timedelta(minutes=e.offset_min)))
        new_seq[e.seq] = again.act.append(draft, at=at).seq
    for photo_id, taken in photos:
        again.photo(photo_id, taken)
    for kept in whole.results:
        again.result(kept)


def fill_views(shop: Shop, tell: Tell = untold) -> int:
    """Bring what other programs see of the file, the views `balls_now` and `due`, up to date for every ball; as many
    balls as were behind. Raises ReadOnly.
    """
    shop.ledger.may_write()
    return now_tables.keep(shop, None, tell)


def backup(shop: Shop, path: Path) -> Path:
    """A checked copy of the whole file, in place of an earlier one of that name. Raises KnownError, also where what is
    there already is something else.
    """
    _make_folder(path.absolute().parent)
    if path.exists():
        try:
            check_header(path)
        except Refused as error:
            raise KnownError(
                f"{path} is there already and is no backup.", safe="It was left as it is.",
                next_step="Choose a name that is not taken.",
            ) from error  # fmt: skip
    shop.ledger.backup(path)
    return path


def backups(shop: Shop) -> tuple[Backup, ...]:
    """The automatic backups, newest first."""
    return shop.ledger.list_backups()


def verify(shop: Shop) -> Verification:
    """Whether the file is sound: `ok`, `problems`, `entries`, `head_hash`."""
    return shop.ledger.verify()


def restore(backup_path: Path, onto: Path) -> Path | None:
    """Put a checked backup in place of a closed file; where the replaced file is kept. Raises KnownError; the file is
    then untouched.
    """
    return Ledger.restore(backup_path, onto)


def write_sample(path: Path, *, clock: Clock = system) -> LoadReport:
    """Write the sample shop to a new file through the same door as anybody's tables, its nine months moved by whole
    weeks to end now. Raises KnownError where `path` is there already.
    """
    with _aside(path) as made, Shop.open(made, clock=clock, settings=Settings(), backups=NO_BACKUPS) as shop:
        read = bring_in.read(shop, [sample_dir()], today=ANY_DAY)
        moved = _weeks_to(read, shop.today())
        report = bring_in.keep(shop, _to_now(read, moved), initiator=SAMPLE, title=SAMPLE_TITLE)
        if not report.kept:
            raise KnownError(f"The sample shop that came with the program cannot be read. {said(report)}")
        _write_calendar(shop, moved)
        _write_counter(shop, moved)
    return report


def _write_calendar(shop: Shop, moved: timedelta) -> None:
    """The sample's events, leagues and time for work."""
    names = sample_calendar.Names(
        {person.name: person.id for person in shop.people()}, {ball.name: ball.id for ball in shop.balls()},
        {lane.name: lane.id for lane in shop.lanes().values()},
    )  # fmt: skip
    found = sample_calendar.read(sample_dir() / CALENDAR, names, moved)
    with writing.one_act(shop, SAMPLE_TITLE, SAMPLE) as (act, _):
        events = {event.name: act.put(event).id for event in found.events}
        for name, entered in found.entered:
            act.put(replace(entered, event_id=events[name]))
        for league in found.leagues:
            act.put(league)
        for slot in found.slots:
            act.put(slot)


def _write_counter(shop: Shop, moved: timedelta) -> None:
    """The sample's services, tickets, fit and drilling, and how its people are reached. What the tickets handed over
    did stands in the balls' logs already.
    """
    around = sample_counter.Around(
        {person.name: person for person in shop.people()}, {ball.name: ball for ball in shop.balls()}, moved,
        shop.now(),
    )  # fmt: skip
    found = sample_counter.read(sample_dir() / COUNTER, around)
    with writing.one_act(shop, SAMPLE_TITLE, SAMPLE) as (act, _):
        services = {service.name: act.put(service).id for service in found.services}
        for person in found.people:
            act.put(person)
        for ticket in found.tickets:
            act.put(sample_counter.with_ids(ticket, services))
        fits = {fit.person_id: act.put(fit).id for fit in found.fits}
        for drill in found.drills:
            act.put(replace(drill, fit_id=fits.get(around.owner(drill.ball_id))))


@contextmanager
def _aside(path: Path) -> Iterator[Path]:
    """Where a new file is made before it takes its name whole; nothing is left of one that fails."""
    path = path.absolute()
    if path.exists():
        raise KnownError(f"{path} is there already.", next_step="Choose a name that is not taken.")
    _make_folder(path.parent)
    aside = Path(tempfile.mkdtemp(dir=path.parent, prefix=".making-"))
    try:
        yield aside / path.name
        (aside / path.name).replace(path)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _weeks_to(found: tables.Loaded, today: date) -> timedelta:
    """By how many whole weeks to move every day, so that the last one is in the seven days up to today."""
    last = max((draft.on for draft in found.drafts), default=today)
    return timedelta(weeks=(today - last).days // 7)


def _to_now(found: tables.Loaded, moved: timedelta) -> tables.Loaded:
    balls = (replace(b, bought_on=b.bought_on + moved if b.bought_on else None) for b in found.balls)
    drafts = (replace(draft, on=draft.on + moved) for draft in found.drafts)
    return replace(found, balls=tuple(balls), drafts=tuple(drafts))


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise KnownError(f"The folder {folder} cannot be made: {error.strerror or error}.") from error
