"""All that is known of a ball: what to look at, readings worth taking, what readings taught, cover taken off."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.bench.history import HistoryList
from arsenal.desk.bench.history_rows import Heading, Row, Told, finding_row
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.errors import KnownError
from arsenal.trade.units import INCH_M

if TYPE_CHECKING:
    from arsenal.acts.fit_book import FitBook
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BallSheet
    from arsenal.surface.state import CoverTaken, Worth

SESSIONS_BETWEEN = 10
"""Sessions between two inspections (common practice, no source)."""
LOOK_FOR = f"every {SESSIONS_BETWEEN} sessions: cracks, hole edges, track, inserts"
THOU_M = 0.001 * INCH_M


def read(ball_id: int) -> Callable[[Shop], tuple[str, tuple[Row, ...]]]:
    """The ball's name and every row, top to bottom."""

    def run(shop: Shop) -> tuple[str, tuple[Row, ...]]:
        from arsenal.acts import bench, fit_book  # noqa: PLC0415 - heavy

        sheet = bench.ball_sheet(shop, ball_id)
        book = fit_book.of_ball(shop, ball_id, metric=shop.settings.units == "metric")
        return sheet.ball.name, (*rows_of(sheet), *_drilled(book))

    return run


def rows_of(sheet: BallSheet) -> tuple[Row, ...]:
    """Every part that has something to say, under its heading."""
    heavy = sorted(sheet.findings, key=lambda f: ("bad", "warn", "note").index(f.weight.value))
    look_at = [*(finding_row(f) for f in heavy), *(Told("due", "look", f"{a.title}: {a.detail}") for a in sheet.alarms)]
    parts: tuple[tuple[Heading, Sequence[Row]], ...] = (
        (Heading("To look at"), look_at),
        (Heading("Looked over", LOOK_FOR), [_inspection(sheet)]),
        (Heading("Readings worth taking", "what each would narrow"), [_worth(w) for w in sheet.readings]),
        (Heading("What readings have taught"), [Told("done", "learned", said) for said in sheet.learned]),
        (Heading("Cover taken off", sheet.cover_off), [_taken(job) for job in sheet.cover_jobs]),
    )  # fmt: skip
    return tuple(
        row for heading, rows in parts if rows or heading.title.startswith("Cover") for row in (heading, *rows)
    )


def _drilled(book: FitBook) -> tuple[Row, ...]:
    """Every drilling in plain words, newest first."""
    told = [row for row in book.rows if row.drill is not None]
    rows = [Told("done", "drilled", row.title, "; ".join(p for p in (row.beside, *row.lines) if p)) for row in told]
    return (Heading("How it was drilled", "F opens it"), *rows) if rows else ()


def _inspection(sheet: BallSheet) -> Told:
    state = sheet.state
    since = state.sessions_since_inspection
    counted = f"{since} session{'' if since == 1 else 's'} since"
    last = (
        f"last {days.day_and_year(state.inspected_on)}, {counted}"
        if state.inspected_on
        else f"not in this log; {counted} it came"
    )
    if state.cracked:
        return Told("over", "crack", "A crack is open: no heat, and show it before any work.", last)
    if state.plugged:
        return Told("due", "plugged", "Plugged: ask a licensed or certified practitioner before heat.", last)
    due = since >= SESSIONS_BETWEEN
    return Told("due" if due else "fine", "due" if due else "sound", f"Inspected: {last}.")


def _worth(worth: Worth) -> Told:
    return Told("fine", worth.what, worth.sentence, f"each takes {100 * worth.fall:.0f} % of the doubt away")


def _taken(job: CoverTaken) -> Told:
    sd = max(job.taken_m.sd / THOU_M, 1e-3)
    digits = max(0, -math.floor(math.log10(sd)))
    off = f"{job.taken_m.mean / THOU_M:.{digits}f} ± {sd:.{digits}f} thousandths of an inch off the radius"
    return Told("fine", job.label, off, days.day_and_year(job.on), job.seq)


class Known(Dialog):
    """The list."""

    def __init__(self, shared: Shared, parent: QWidget, ball_id: int) -> None:
        super().__init__("All that is known", parent, width=860)
        self.list = HistoryList()
        self.list.setAccessibleName("All that is known")
        self.list.setMinimumHeight(max(look().px(120), min(look().px(520), self._room().height() - look().px(260))))
        self.body.addWidget(self.list)
        self.offer("Close", "Esc", self.reject, primary=True)
        self.list.setFocus()
        shared.ask("bench known", read(ball_id), self._show, failed=self._failed)

    def _show(self, found: tuple[str, tuple[Row, ...]]) -> None:
        name, rows = found
        self.heading.setText(f"All that is known of {name}")
        self.setWindowTitle(f"All that is known of {name} – Padbook")
        self.list.rows_model.set_rows(rows)
        self.list.doItemsLayout()
        self.list.choose(1)
        self.list.scrollToTop()

    def _failed(self, error: KnownError) -> None:
        self.complain(str(error))


def open_known(shared: Shared, parent: QWidget, ball_id: int) -> Known:
    """Show it."""
    dialog = Known(shared, parent, ball_id)
    dialog.open_()
    return dialog
