"""Tables in, CSV or workbook: what a file holds, how its headers are read, what would come in and what would not, and
then all of it in one act with one undo.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice
from pathlib import Path

from arsenal.acts import header_maps, now_tables, words, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import BadRow, Changes, LoadReport
from arsenal.exchange import tables
from arsenal.exchange.headers import fingerprint
from arsenal.exchange.tables import Answer, Answers, Question, Renaming, Rest
from arsenal.exchange.tables.columns import GRID, normal
from arsenal.exchange.tables.csv_file import Sheet, escape, write_sheet
from arsenal.exchange.tables.numbering import renumbered_ball, renumbered_pad, renumbered_person
from arsenal.exchange.tables.problems import Problem
from arsenal.exchange.tables.recognise import check_headers, recognise
from arsenal.exchange.tables.renaming import guess
from arsenal.exchange.tables.sheets import read_sheets
from arsenal.ledger import Act, before_load, to_plain
from arsenal.trade.errors import KnownError
from arsenal.trade.steps import Steps, Tell, part, untold

__all__ = ["Answer", "Answers", "Question", "Renaming", "Rest", "SheetHead", "forget", "head", "load", "preview"]

AFTER_LOAD_S = 2.0
"""How long somebody waits after a load for the tables for other programs; what is left comes as the shop closes."""
BULK_SHARE = 0.2
SHOWN_ROWS = 5
SHOWN, MOST_TOLD = 12, 200
KEY = "table headers:"
WRITING = 0.5
"""Of the time a load takes, about so much is reading; what was written goes again where it is stopped."""


@dataclass(frozen=True, slots=True)
class SheetHead:
    """One table of a file, to map it by."""

    file: str
    headers: tuple[str, ...]
    first_rows: tuple[tuple[str, ...], ...]
    rows: int
    fingerprint: str
    renaming: Renaming
    """How it is read: as it was said before, as its own headers say, or as guessed."""
    sure: bool
    """False where the renaming is only a guess, which somebody has to look at."""
    fixed: bool = False
    """A film grid, whose columns are what they are."""


def head(shop: Shop, path: Path) -> tuple[SheetHead, ...]:
    """The tables of a file with headers and first rows. Raises KnownError for one that cannot be read at all."""
    sheets, problems = read_sheets(path)
    if not sheets:
        raise KnownError(" ".join(problem.reason for problem in problems))
    remembered = header_maps.all_remembered(shop, KEY, Renaming)
    return tuple(_head(sheet, remembered) for sheet in sheets)


def _head(sheet: Sheet, remembered: Mapping[str, Renaming]) -> SheetHead:
    mark = fingerprint(sheet.header)
    own = recognise(sheet)
    ours = own is not None and not check_headers(sheet, own)
    if own is not None and ours:
        as_is = Renaming(own.name, tuple((header, normal(header)) for header in sheet.header))
    else:
        as_is = guess(sheet)
    renaming = remembered.get(mark) or as_is
    first = tuple(cells for _, cells in sheet.rows[:SHOWN_ROWS])
    sure = ours or mark in remembered
    return SheetHead(sheet.file, sheet.header, first, len(sheet.rows), mark, renaming, sure, own is GRID)


def forget(shop: Shop, mark: str, initiator: str = "desk") -> Changes:
    """Map tables with these headers anew next time."""
    return header_maps.forget(shop, KEY + mark, "The mapping of one kind of table is forgotten", initiator)


def preview(
    shop: Shop, paths: Sequence[Path], renamings: Mapping[str, Renaming] | None = None, *,
    answers: Answers | None = None, tell: Tell | None = None,
) -> LoadReport:  # fmt: skip
    """What a load would keep, which rows are bad, and which wait for an answer; changes nothing. `renamings` by the
    fingerprint of headers come before those remembered.
    """
    return report_of(read(shop, paths, renamings, answers=answers, tell=tell))


def load(
    shop: Shop, paths: Sequence[Path], renamings: Mapping[str, Renaming] | None = None, *,
    answers: Answers | None = None, keep_good: bool = False, initiator: str = "desk", tell: Tell | None = None,
) -> LoadReport:  # fmt: skip
    """Load tables in one act with one undo: all or nothing, or with `keep_good` every good row. Backs up first where
    it changes over a fifth of the rows. `kept` is False where a bad row or an open question stopped it. What was said
    of headers is remembered with it.
    """
    tell = tell or untold
    found = read(shop, paths, renamings, answers=answers, tell=part(tell, 0.0, WRITING))
    title, further = f"Loaded {counts(report_of(found))}", part(tell, WRITING, 1.0)
    return keep(shop, found, keep_good=keep_good, initiator=initiator, title=title, renamings=renamings, tell=further)


def read(
    shop: Shop, paths: Sequence[Path], renamings: Mapping[str, Renaming] | None = None, *,
    answers: Answers | None = None, tell: Tell | None = None, today: date | None = None,
) -> tables.Loaded:  # fmt: skip
    """Everything the files say."""
    known = tables.Known(
        shop.people(), shop.balls(), tuple(shop.lanes().values()), shop.pads(), shop.ledger.entries(),
        shop.recipes(),
    )  # fmt: skip
    said_of = {**header_maps.all_remembered(shop, KEY, Renaming), **(renamings or {})}
    given = tables.Given(said_of, answers or Answers(), tell or untold)
    return tables.load(paths, today=today or shop.today(), known=known, given=given)


def report_of(found: tables.Loaded) -> LoadReport:
    """What was found, in numbers, and what is wrong with it."""
    people, balls = len(found.people) + len(found.changed), len(found.balls) + len(found.changed_balls)
    return LoadReport(
        False, people, balls, len(found.lanes), len(found.pads), len(found.drafts), _bad(found.problems),
        recipes=len(found.recipes), questions=found.questions, remarks=_bad(found.remarks), known=found.skipped,
        left=found.left, shown=tuple(islice(_shown(found), SHOWN)),
    )  # fmt: skip


def _bad(problems: Iterable[Problem]) -> tuple[BadRow, ...]:
    return tuple(BadRow(p.file, p.row or None, p.field, p.reason, p.value) for p in problems)


def _shown(found: tables.Loaded) -> Iterable[tuple[str, str]]:
    names = {person.id: person.name for person in found.people}
    for person in found.people[:4]:
        yield "bowler", ", ".join(part for part in (person.name, person.phone, person.email, person.note) if part)
    for person in found.changed[:2]:
        yield "bowler, filled in", ", ".join(part for part in (person.name, person.phone, person.email) if part)
    for ball in found.balls[:4]:
        parts = (ball.name, ball.cover.value, ball.serial, names.get(ball.owner_id, ""))
        yield "ball", ", ".join(part for part in parts if part)
    for lane in found.lanes[:2]:
        yield "condition", lane.name
    balls = {ball.id: ball.name for ball in found.balls}
    for draft in found.drafts[:4]:
        yield "entry", " ".join((balls.get(draft.ball_id, ""), draft.on.isoformat(), draft.typed)).strip()


def keep(
    shop: Shop, found: tables.Loaded, *, initiator: str, title: str, keep_good: bool = False,
    renamings: Mapping[str, Renaming] | None = None, tell: Tell = untold,
) -> LoadReport:  # fmt: skip
    """Keep what was read; see `load`."""
    report = report_of(found)
    if ((found.problems or found.questions) and not keep_good) or not report.rows:
        return report
    shop.ledger.may_write()
    had = len(shop.people()) + len(shop.balls()) + len(shop.lanes()) + len(shop.pads()) + shop.ledger.head_seq
    copy = _before_bulk(shop) if had > 0 and report.rows > BULK_SHARE * had else ""
    with writing.one_act(shop, title, initiator) as (act, outcome):
        for mark, renaming in (renamings or {}).items():
            act.set_setting(KEY + mark, to_plain(renaming))
        _write(act, found, tell)
    now_tables.keep(shop, AFTER_LOAD_S)
    return replace(report, kept=True, backup=copy, changes=outcome.changes)


def _write(act: Act, found: tables.Loaded, tell: Tell) -> None:
    """Everything new with the ids the file gives it; a benchmark is filled in when its ball has one."""
    steps = Steps(len(found.people) + len(found.balls) + len(found.drafts), tell)
    lanes = {lane.id: act.put(replace(lane, id=0)).id for lane in found.lanes}
    to = tables.Numbers(lanes=lanes)
    bare = (replace(person, id=0, benchmark_ball_id=None) for person in steps.through(found.people))
    people = {old.id: act.put(renumbered_person(p, to)).id for old, p in zip(found.people, bare, strict=True)}
    to = tables.Numbers(people, lanes=lanes)
    balls = {ball.id: act.put(replace(renumbered_ball(ball, to), id=0)).id for ball in steps.through(found.balls)}
    for ball in found.changed_balls:
        act.put(renumbered_ball(ball, to))
    pads = {pad.id: act.put(replace(renumbered_pad(pad, to), id=0)).id for pad in found.pads}
    for recipe in found.recipes:
        owner_id = None if recipe.owner_id is None else people.get(recipe.owner_id, recipe.owner_id)
        act.put(replace(recipe, id=0, owner_id=owner_id))
    to = tables.Numbers(people, balls, lanes, pads)
    changed = {person.id for person in found.changed}
    for person in (*found.people, *found.changed):
        if person.benchmark_ball_id is not None or person.id in changed:
            act.put(renumbered_person(person, to))
    for draft in steps.through(sorted(found.drafts, key=lambda d: d.on)):
        act.append(tables.renumbered(draft, to))


def _before_bulk(shop: Shop) -> str:
    onto = before_load(shop.path, shop.now())
    shop.ledger.backup(onto)
    return str(onto)


def write_errors(report: LoadReport, path: Path) -> Path:
    """Every row that did not come in, with file, row, field, value and reason, as a CSV file that no spreadsheet takes
    for formulas. Raises KnownError.
    """
    rows = [(bad.file, str(bad.row or ""), bad.field, bad.value, bad.reason) for bad in report.bad_rows]
    rows += [(q.file, str(q.row), q.kind, "", q.sentence) for q in report.questions]
    told = [tuple(escape(cell) for cell in row) for row in rows]
    write_sheet(path, ("file", "row", "field", "value", "reason"), told)
    return path


def said(report: LoadReport) -> str:
    """The report in words, a line for each bad row and each open question."""
    bad = [_row_words(row) for row in report.bad_rows]
    asked = [f"{q.file}, row {q.row}: {q.sentence}" for q in report.questions]
    wrong = wrong_words(report)
    if wrong and not report.kept:
        good = f", or keep the good rows ({counts(report)}) with --keep-good" if report.rows else ""
        way = f"Mend the file{good}."
        way = f"Answer them all alike with --alike same or --alike another. {way}" if asked else way
        line = f"Nothing was loaded: {' and '.join(wrong)}. {way}"
    elif not report.rows:
        known = "everything in these files is known already" if report.known else "there is no row below the headers"
        line = f"Nothing was loaded: {known}."
    else:
        line = f"Loaded {counts(report)}." + (f" Left out: {' and '.join(wrong)}." if wrong else "")
    more = [f"Backed up first to {report.backup}."] if report.backup else []
    more += [f"Left in the file: {', '.join(report.left)}."] if report.left else []
    told = [*bad, *asked, *(_row_words(row) for row in report.remarks)]
    if len(told) > MOST_TOLD:
        told[MOST_TOLD:] = [f"… and {len(told) - MOST_TOLD} more; --errors FILE.csv writes those that did not come in."]
    return "\n".join([line, *more, *told])


def wrong_words(report: LoadReport) -> list[str]:
    """“1 table that cannot be read”, “3 bad rows”, “2 questions”: what kept rows out, each where there is any."""
    tables, rows = wrong_counts(report)
    told = [f"{words.count(tables, 'table')} that cannot be read"] if tables else []
    told += [words.count(rows, "bad row")] if rows else []
    return told + ([words.count(len(report.questions), "question")] if report.questions else [])


def wrong_counts(report: LoadReport) -> tuple[int, int]:
    """Tables that cannot be read at all, and rows that cannot be loaded."""
    tables = {bad.file for bad in report.bad_rows if (bad.row or 0) <= 1}
    return len(tables), sum((bad.row or 0) > 1 for bad in report.bad_rows)


def _row_words(bad: BadRow) -> str:
    place = f"{bad.file}{f', row {bad.row}' if bad.row else ''}{f', {bad.field}' if bad.field else ''}"
    return f"{place}: {bad.reason}"


def counts(report: LoadReport) -> str:
    """“2 bowlers, 1 ball, 3 entries”."""
    parts = [
        words.count(number, name)
        for number, name in (
            (report.people, "bowler"), (report.balls, "ball"), (report.lanes, "condition"), (report.pads, "pad"),
            (report.recipes, "recipe"),
        ) if number
    ]  # fmt: skip
    if report.entries:
        parts.append("1 entry" if report.entries == 1 else f"{report.entries} entries")
    return ", ".join(parts) or "nothing"
