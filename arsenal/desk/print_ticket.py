"""A ticket on A5, A6 or half a letter sheet: seen as it prints, then printed or kept as a PDF."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.desk import pdf_file, print_label
from arsenal.desk.counter_prints import ticket_paper, ticket_rows
from arsenal.desk.dialogs.paper import Asked, Page, Paper, PaperDialog, open_paper
from arsenal.desk.rooms import Shared

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketView
    from arsenal.acts.shop import Shop

PAPERS: dict[str, QSizeF] = {
    "A5": QSizeF(148.0, 210.0), "A6": QSizeF(105.0, 148.0), "half letter": QSizeF(139.7, 215.9),
    "quarter letter": QSizeF(107.95, 139.7),
}  # fmt: skip
"""ISO 216; halves and quarters of 8½ × 11 in."""
KEPT = "ticket paper"


def usual() -> str:
    """Half a letter sheet where inches are usual, else A5."""
    inches = QLocale().measurementSystem() is QLocale.MeasurementSystem.ImperialUSSystem
    return "half letter" if inches else "A5"


def chosen(shared: Shared) -> str:
    """The paper chosen last on this machine."""
    kept = shared.settings.kept.get(KEPT)
    return kept if kept in PAPERS else usual()


def _size(paper: str) -> str:
    return f"{PAPERS[paper].width():.0f} × {PAPERS[paper].height():.0f} mm"


def layout(paper: str) -> QPageLayout:
    """The upright page without margins of its own."""
    size = QPageSize(PAPERS[paper], QPageSize.Unit.Millimeter, paper, QPageSize.SizeMatchPolicy.ExactMatch)
    return QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))


def _hands(view: TicketView, printed: datetime, paper: str) -> list[partial[None]]:
    size = PAPERS[paper]
    return [partial(_draw, view, printed, size, n) for n in range(ticket_paper.pages(view, printed, size))]


def _draw(view: TicketView, printed: datetime, size: QSizeF, number: int, painter: QPainter, dots: float) -> None:
    ticket_paper.draw(painter, view, printed, size, number, dots)


def write_pdf(path: Path, view: TicketView, printed: datetime, paper: str) -> Path:
    """The ticket as PDF; the file appears whole or not at all. Raises KnownError."""
    return pdf_file.write_pdf(path, f"Ticket {view.ticket.id}", layout(paper), _hands(view, printed, paper))


def paper_of(view: TicketView, printed: datetime, paper: str) -> Paper:
    """The ticket as something to show and print."""
    hands = _hands(view, printed, paper)
    told = ticket_rows.spoken(view, printed.tzinfo)
    pages = tuple(Page(f"page {n + 1} of {len(hands)}", told, hand) for n, hand in enumerate(hands))
    note = f"{_size(paper)}, black only; print at 100 %. The part below the dashes is the customer’s."
    number = view.ticket.id
    return Paper(
        f"Ticket {number}", f"ticket {number}", f"ticket-{number}.pdf", note, layout(paper), pages,
        lambda path: write_pdf(path, view, printed, paper), kind="ticket",
    )  # fmt: skip


def show(shared: Shared, view: TicketView, parent: QWidget | None = None) -> PaperDialog | None:
    """Show a ticket as it will print. None where no window is open."""
    over = parent or QApplication.activeWindow()
    if over is None:
        return None
    printed = datetime.now().astimezone()

    def made(paper: str) -> Paper:
        shared.settings.kept[KEPT] = paper
        return paper_of(view, printed, paper)

    now = chosen(shared)
    asked = Asked("Paper", [(f"{name}, {_size(name)}", name) for name in PAPERS], now, made)
    return open_paper(shared, over.window(), paper_of(view, printed, now), (asked,))


def open_ticket_print(shared: Shared, parent: QWidget, number: int) -> None:
    """Show a kept ticket as it will print, its labels one key away."""

    def shown(view: TicketView) -> None:
        dialog = show(shared, view, parent)
        if dialog is not None and view.balls:
            dialog.lead_to("Labels", "L", lambda: print_label.open_label_print(shared, parent, number))

    shared.ask("ticket print", lambda shop: _view(shop, number), shown, failed=shared.trouble)


def _view(shop: Shop, number: int) -> TicketView:
    from arsenal.acts import counter, tickets  # noqa: PLC0415 - heavy, on the worker's thread

    return counter.view(shop, tickets.ticket(shop, number))
