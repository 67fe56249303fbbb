"""A recipe as it is printed, shown before it is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from arsenal.desk import print_recipe
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Recipe

if TYPE_CHECKING:
    from arsenal.acts.recipe_book import RecipeSheet
    from arsenal.acts.shop import Shop

DOTS_A_MM = 2.3


class Page(QWidget):
    """The page, small."""

    def __init__(self, sheet: RecipeSheet) -> None:
        super().__init__()
        self._sheet = sheet
        self.setFixedSize(self.sizeHint())
        self.setAccessibleName(". ".join(text for text, _, _ in print_recipe.lines(sheet) if text))

    def sizeHint(self) -> QSize:
        """A5."""
        scale = DOTS_A_MM * look().scale
        return QSize(round(print_recipe.WIDTH_MM * scale), round(print_recipe.HEIGHT_MM * scale))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paper is white whatever the look."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor("#FFFFFF"))
        print_recipe.draw(painter, self._sheet, DOTS_A_MM * look().scale)
        painter.setPen(look().color("edge"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class PaperDialog(Dialog):
    """Preview, PDF, printer."""

    def __init__(self, shared: Shared, parent: QWidget, sheet: RecipeSheet) -> None:
        super().__init__(sheet.title, parent, width=480)
        self.shared, self._sheet = shared, sheet
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(Page(sheet))
        row.addStretch(1)
        self.body.addLayout(row)
        self.offer("Close", "Esc", self.reject)
        self.offer("Keep as PDF", "F", self._pdf)
        self.offer("Print", "P", self._print, primary=True)

    def _pdf(self) -> None:
        name, _ = QFileDialog.getSaveFileName(
            self, "Keep the recipe as PDF", str(Path.home() / "recipe.pdf"), "PDF (*.pdf)"
        )
        if name:
            self.write_pdf(Path(name))

    def write_pdf(self, path: Path) -> None:
        """Write it there and say so."""
        try:
            print_recipe.write_pdf(path, self._sheet)
        except KnownError as error:
            self.complain(str(error))
            return
        self.shared.say(f"Wrote the recipe {self._sheet.title} to {path}")
        self.accept()

    def _print(self) -> None:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(print_recipe.layout())
        printer.setFullPage(True)
        dialog = QPrintDialog(printer, self)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        painter = QPainter()
        if not chosen:
            return
        if not painter.begin(printer):
            self.complain("The printer does not answer. Nothing was printed. Keep the recipe as PDF instead.")
            return
        print_recipe.draw(painter, self._sheet, printer.resolution() / 25.4)
        painter.end()
        self.shared.say(f"Sent the recipe {self._sheet.title} to {printer.printerName() or 'the printer'}")
        self.accept()


def open_paper(shared: Shared, parent: QWidget, ball_id: int, recipe: Recipe) -> None:
    """Show a recipe as it is printed for that ball, once it is made."""

    def run(shop: Shop) -> RecipeSheet:
        from arsenal.acts import recipe_book  # noqa: PLC0415 - heavy, on the worker's thread

        return recipe_book.sheet(shop, recipe, ball_id)

    shared.ask("recipe paper", run, lambda sheet: PaperDialog(shared, parent, sheet).open_(), failed=shared.trouble)
