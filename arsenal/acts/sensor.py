"""Measured shots out of any CSV file: its headers mapped by hand once, remembered for the next of that kind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from arsenal.acts import checks, header_maps, speeds, words, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import BadRow, Changes
from arsenal.exchange import sensor_csv, sensor_fields
from arsenal.exchange.sensor_csv import SensorHead
from arsenal.exchange.sensor_fields import SensorTable
from arsenal.exchange.tables.problems import Problem, reason_of
from arsenal.ledger import to_plain
from arsenal.trade.entries import Draft, Kind, effective
from arsenal.trade.errors import KnownError

__all__ = ["SensorHead", "SensorReport", "SensorTable", "forget", "head", "load", "preview", "remembered", "said"]


NO_CHANGES = Changes(None, "")


@dataclass(frozen=True, slots=True)
class SensorReport:
    """What a file of measured shots holds and what was done with it. `kept` is False for a preview and where a bad row
    stopped all of it.
    """

    kept: bool
    head: SensorHead
    table: SensorTable | None
    """None where nobody has mapped headers like these yet: then nothing was read."""
    shots: int = 0
    drafts: tuple[Draft, ...] = ()
    bad_rows: tuple[BadRow, ...] = ()
    odd_rows: tuple[BadRow, ...] = ()
    """Kept as they are; nothing is learned from them."""
    known: int = 0
    """Rows that are in the log already."""
    not_mapped: tuple[str, ...] = ()
    """Headers that nobody mapped: their columns are left in the file."""
    changes: Changes = NO_CHANGES


def head(path: Path) -> SensorHead:
    """Headers and first rows, to map a file by. Raises KnownError for one that is no CSV file."""
    return sensor_csv.head(path)


def remembered(shop: Shop, fingerprint: str) -> SensorTable | None:
    """How tables with these headers are read; None where nobody has mapped them."""
    return header_maps.remembered(shop, _key(fingerprint), SensorTable)


def forget(shop: Shop, fingerprint: str, initiator: str = "desk") -> Changes:
    """Map tables with these headers anew next time."""
    said_ = "The mapping of one kind of sensor table is forgotten"
    return header_maps.forget(shop, _key(fingerprint), said_, initiator)


def preview(
    shop: Shop, path: Path, table: SensorTable | None = None, *, bowler_id: int | None = None,
    ball_id: int | None = None, lane_id: int | None = None, on: date | None = None,
) -> SensorReport:  # fmt: skip
    """What a load would keep; changes nothing. Without `table` the remembered mapping is taken. A row that names no
    bowler, ball, condition or day means those given here (the day: today).

    Raises KnownError for a file that is no CSV file or a mapping that does not fit it, NotFound.
    """
    found = sensor_csv.head(path)
    mapping = table or remembered(shop, found.fingerprint)
    if mapping is None:
        return SensorReport(False, found, None)
    sensor_fields.check(mapping, found.headers)
    below = speeds.below_hand(shop, shop.lane(lane_id).house) if lane_id is not None else None
    usual = sensor_csv.Usual(on or shop.today(), shop.today(), bowler_id, ball_id, lane_id, below)
    about = sensor_csv.About(shop.balls(), shop.people(), tuple(shop.lanes().values()))
    read = sensor_csv.read(path, mapping, usual, about)
    fresh, known = _fresh(shop, [draft for _, draft in read.drafts])
    bad = [*_bad(read.problems)]
    good = []
    rows = {id(draft): row for row, draft in read.drafts}
    for draft in fresh:
        try:
            checks.draft(draft, shop.came_on(draft.ball_id), shop.today())
        except KnownError as error:
            bad.append(BadRow(found.file, rows[id(draft)], "", reason_of(error)))
        else:
            good.append(draft)
    bad.sort(key=lambda b: b.row or 0)
    return SensorReport(
        False, found, mapping, len(good), tuple(good), tuple(bad), tuple(_bad(read.odd)), known, read.not_mapped
    )


def load(
    shop: Shop, path: Path, table: SensorTable | None = None, *, bowler_id: int | None = None,
    ball_id: int | None = None, lane_id: int | None = None, on: date | None = None, keep_good: bool = False,
    initiator: str = "desk",
) -> SensorReport:  # fmt: skip
    """Keep the shots of a file in one act with one undo: all or nothing, or with `keep_good` every good row. The
    mapping is kept along with them. Raises as `preview` does, and KnownError where nobody has mapped these headers.
    """
    report = preview(shop, path, table, bowler_id=bowler_id, ball_id=ball_id, lane_id=lane_id, on=on)
    if report.table is None:
        headers = ", ".join(h for h in report.head.headers if h.strip())
        raise KnownError("Nobody has mapped a table with these headers yet.", next_step=f"Map them once: {headers}.")
    if report.bad_rows and not keep_good:
        return report
    if not report.drafts:
        return report
    title = f"Loaded {words.count(len(report.drafts), 'practice shot')} from {path.name}"
    with writing.one_act(shop, title, initiator) as (act, outcome):
        act.set_setting(_key(report.head.fingerprint), to_plain(report.table))
        for draft in report.drafts:
            act.append(draft)
    return replace(report, kept=True, changes=outcome.changes)


def said(report: SensorReport) -> str:
    """The report in words, a line for each bad or odd row."""
    many = words.count(report.shots, "practice shot")
    if report.table is None:
        line = "Nobody has mapped a table with these headers yet."
    elif report.kept:
        line = f"Loaded {many}."
    elif report.bad_rows:
        line = f"{many} could be loaded; {words.count(len(report.bad_rows), 'row')} could not."
    else:
        line = f"{many} to load." if report.shots else "Nothing to load."
    more = [f"{words.count(report.known, 'row')} known already."] if report.known else []
    more += [f"Not mapped, left in the file: {', '.join(report.not_mapped)}."] if report.not_mapped else []
    rows = [_row_words(row) for row in (*report.bad_rows, *report.odd_rows)]
    return "\n".join([" ".join([line, *more]), *rows])


def _row_words(bad: BadRow) -> str:
    place = ", ".join(part for part in (bad.file, f"row {bad.row}" if bad.row else "", bad.field) if part)
    return f"{place}: {bad.reason}"


def _fresh(shop: Shop, drafts: Sequence[Draft]) -> tuple[list[Draft], int]:
    """The drafts that are not in the log yet: each shot that is takes away one row that says the same."""
    balls = {draft.ball_id for draft in drafts}
    shop.read_ahead(shop.ball(i) for i in balls)
    had: Counter[tuple[object, ...]] = Counter(
        (e.ball_id, e.on, repr(e.payload)) for i in balls for e in effective(shop.entries(i)) if e.kind == Kind.SHOT
    )
    fresh = []
    for draft in drafts:
        key = (draft.ball_id, draft.on, repr(draft.payload))
        if had[key] > 0:
            had[key] -= 1
        else:
            fresh.append(draft)
    return fresh, len(drafts) - len(fresh)


def _bad(problems: Sequence[Problem]) -> list[BadRow]:
    return [BadRow(p.file, p.row or None, p.field, p.reason) for p in problems]


def _key(fingerprint: str) -> str:
    return f"sensor table:{fingerprint}"
