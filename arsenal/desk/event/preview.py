"""See the sheets or the cards as they will print, page by page; then print them or keep them as a PDF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPageLayout, QPageSize, QPainter, QPaintEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk import print_card, print_page
from arsenal.desk.dialogs.form import Choice
from arsenal.desk.event import print_sheets, print_stages, rows
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.event_views import EventPlan, StageCard

PAPER = QColor("#FFFFFF")


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its name, its words for a screen reader, and the hand that draws it."""

    name: str
    spoken: str
    draw: Callable[[QPainter, float], None]


@dataclass(frozen=True, slots=True)
class Paper:
    """What is to be printed."""

    title: str
    what: str
    """“the sheets of Autumn singles”."""
    file: str
    note: str
    layout: QPageLayout
    pages: tuple[Page, ...]
    write: Callable[[Path], Path]

    def size(self) -> QSizeF:
        """Of a page in mm."""
        return self.layout.pageSize().size(QPageSize.Unit.Millimeter)


class Preview(QWidget):
    """One page on white paper, drawn by the same hand that prints it."""

    def __init__(self, paper: Paper) -> None:
        super().__init__()
        self._paper, self._at = paper, 0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.show_page(0)

    def show_page(self, number: int) -> None:
        """Another page."""
        self._at = number
        self.setAccessibleName(self._paper.pages[number].spoken)
        self.update()

    def _per_mm(self) -> float:
        high = self.screen().availableSize().height() - look().px(385)
        return max(1.6, min(5.0, high / self._paper.size().height()))

    def sizeHint(self) -> QSize:
        """As large as the screen lets it be read."""
        per, size = self._per_mm(), self._paper.size()
        return QSize(round(size.width() * per), round(size.height() * per))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the page."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), PAPER)
        self._paper.pages[self._at].draw(painter, self._per_mm())
        painter.setPen(look().pen("rule"))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class PaperDialog(Dialog):
    """Preview, which page, and what to do with all of them."""

    def __init__(self, shared: Shared, parent: QWidget, paper: Paper) -> None:
        super().__init__(paper.title, parent, width=520)
        self.shared, self.paper = shared, paper
        self.preview = Preview(paper)
        self.page = Choice("Page", [(page.name, n) for n, page in enumerate(paper.pages)], 0)
        self.page.setAccessibleDescription("Left and right turn the page")
        self.page.picked.connect(lambda number: self.preview.show_page(int(number)))
        for widget in (self.page, self.preview):
            row = QHBoxLayout()
            row.addStretch(1)
            row.addWidget(widget)
            row.addStretch(1)
            self.body.addLayout(row)
        self.body.addWidget(Plain(paper.note, px=13, token="ink2", wrap=True))
        self.offer("Close", "Esc", self.reject)
        self.offer("Keep as PDF", "F", self._pdf)
        self.offer("Print", "P", self._print, primary=True)

    def turn(self, by: int) -> None:
        """The next page or the one before."""
        number = min(len(self.paper.pages) - 1, max(0, int(self.page.value) + by))
        self.page.put(number)
        self.preview.show_page(number)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → turn the page."""
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        if by:
            self.turn(by)
        else:
            super().keyPressEvent(event)

    def _pdf(self) -> None:
        suggested = Path.home() / self.paper.file
        name, _ = QFileDialog.getSaveFileName(self, "Keep as PDF", str(suggested), "PDF (*.pdf)")
        if name:
            self.write_pdf(Path(name))

    def write_pdf(self, path: Path) -> None:
        """Write it there and say so."""
        try:
            self.paper.write(path)
        except KnownError as error:
            self.complain(str(error))
            return
        self.shared.say(f"Wrote {self.paper.what} to {path}")
        self.accept()

    def _print(self) -> None:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(self.paper.layout)
        printer.setFullPage(True)
        dialog = QPrintDialog(printer, self)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        if chosen:
            self.to_printer(printer)

    def to_printer(self, printer: QPrinter) -> None:
        """Every page to this printer."""
        painter = QPainter()
        if not painter.begin(printer):
            self.complain("The printer does not answer. Nothing was printed. Keep the pages as PDF instead.")
            return
        for number, page in enumerate(self.paper.pages):
            if number:
                printer.newPage()
            page.draw(painter, printer.resolution() / 25.4)
        painter.end()
        self.shared.say(f"Sent {self.paper.what} to {printer.printerName() or 'the printer'}")
        self.accept()


def sheets(plan: EventPlan) -> Paper:
    """Prep sheet and registration sheet."""
    told = ". ".join(rows.spoken_prep(row) for row in rows.prep_rows(plan.prep))
    balls = ". ".join(
        ", ".join(
            part for part in (r.name, r.serial, r.weight, r.cover, r.hardness, r.hardness_when, r.missing) if part
        )
        for r in plan.registration.rows
    )
    pages = tuple(
        Page(which, f"{which} of {plan.title}: {words}", partial(_draw_sheet, plan, which))
        for which, words in ((print_sheets.PREP, told), (print_sheets.REGISTRATION, balls))
    )
    size = print_page.sheet_size().name()
    return Paper(
        f"Sheets of {plan.title}", f"the sheets of {plan.title}", f"event-{plan.event.first_on:%Y-%m-%d}.pdf",
        f"{size}, black only, one page each.", print_page.sheet_layout(), pages,
        lambda path: print_sheets.write_pdf(path, plan),
    )  # fmt: skip


def _draw_sheet(plan: EventPlan, which: str, painter: QPainter, per_mm: float) -> None:
    print_sheets.draw(painter, plan, which, per_mm)


def stage_cards(plan: EventPlan) -> Paper:
    """A card for each stage."""
    pages = tuple(_card_page(plan, card) for card in plan.cards)
    return Paper(
        f"Bag cards of {plan.title}", f"the bag cards of {plan.title}", f"cards-{plan.event.first_on:%Y-%m-%d}.pdf",
        "85 × 120 mm, black only; print at 100 % and cut along the dots. One page a stage.", print_card.layout(), pages,
        lambda path: print_stages.write_pdf(path, plan, plan.cards),
    )  # fmt: skip


def _card_page(plan: EventPlan, card: StageCard) -> Page:
    told = "; ".join(f"{r.name}, {r.finish}, {r.words}" + (f", line {r.line}" if r.line else "") for r in card.rows)
    spoken = f"Bag card of {card.title}: {told}. {card.then}".strip()
    return Page(card.title, spoken, lambda painter, per: print_stages.draw(painter, plan, card, per, outline=True))


def open_paper(shared: Shared, parent: QWidget, paper: Paper) -> PaperDialog:
    """Show it."""
    dialog = PaperDialog(shared, parent, paper)
    dialog.open_()
    return dialog


def open_sheets(shared: Shared, parent: QWidget, plan: EventPlan) -> PaperDialog:
    """Prep sheet and registration sheet."""
    return open_paper(shared, parent, sheets(plan))


def open_cards(shared: Shared, parent: QWidget, plan: EventPlan) -> PaperDialog | None:
    """A card for each stage; says so where there is none."""
    paper = stage_cards(plan)
    if not paper.pages:
        shared.trouble(KnownError("There is no stage to print a card for.", next_step="See what the plan asks for."))
        return None
    return open_paper(shared, parent, paper)
