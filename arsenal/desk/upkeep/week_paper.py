"""The week as it is printed, shown before it is."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from arsenal.acts.words import MONTHS
from arsenal.desk import print_week
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.print_page import sheet_layout
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import WeekView

DOTS_A_MM = 2.0


class WeekPage(QWidget):
    """The page, small."""

    def __init__(self, week: WeekView, printed: str) -> None:
        super().__init__()
        self._week, self._printed = week, printed
        self.setFixedSize(self.sizeHint())
        self.setAccessibleName(print_week.said(week))

    def sizeHint(self) -> QSize:
        """The whole page."""
        page = print_week.page_mm() * (DOTS_A_MM * look().scale)
        return page.toSize()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paper is white whatever the look."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#FFFFFF"))
        print_week.draw(painter, self._week, self._printed, DOTS_A_MM * look().scale)
        painter.setPen(look().color("edge"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class WeekPaperDialog(Dialog):
    """Preview, PDF, printer."""

    def __init__(self, shared: Shared, parent: QWidget, week: WeekView, now: datetime) -> None:
        super().__init__("Print the week", parent, width=500)
        self.shared, self._week = shared, week
        self._printed = f"Printed {now.day} {MONTHS[now.month - 1]} {now:%H:%M}"
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(WeekPage(week, self._printed))
        row.addStretch(1)
        self.body.addLayout(row)
        self.offer("Close", "Esc", self.reject)
        self.offer("Keep as PDF", "F", self._pdf)
        self.offer("Print", "P", self._print, primary=True)

    def _pdf(self) -> None:
        usual = str(Path.home() / f"{self._week.title.lower().replace(' ', '-')}.pdf")
        name, _ = QFileDialog.getSaveFileName(self, "Keep the week as PDF", usual, "PDF (*.pdf)")
        if name:
            self.write_pdf(Path(name))

    def write_pdf(self, path: Path) -> None:
        """Write it there and say so."""
        try:
            print_week.write_pdf(path, self._week, self._printed)
        except KnownError as error:
            self.complain(str(error))
            return
        self.shared.say(f"Wrote {self._week.title} to {path}")
        self.accept()

    def _print(self) -> None:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(sheet_layout())
        printer.setFullPage(True)
        dialog = QPrintDialog(printer, self)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        painter = QPainter()
        if not chosen:
            return
        if not painter.begin(printer):
            self.complain("The printer does not answer. Nothing was printed. Keep the week as PDF instead.")
            return
        print_week.draw(painter, self._week, self._printed, printer.resolution() / 25.4)
        painter.end()
        self.shared.say(f"Sent {self._week.title} to {printer.printerName() or 'the printer'}")
        self.accept()


def open_week_paper(shared: Shared, parent: QWidget, week: WeekView) -> WeekPaperDialog:
    """Show it."""
    dialog = WeekPaperDialog(shared, parent, week, datetime.now().astimezone())
    dialog.open_()
    return dialog
