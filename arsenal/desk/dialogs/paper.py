"""See pages as they will print, page by page; choose the paper; then print them or keep them as a PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QObject, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPageLayout, QPageSize, QPainter, QPaintEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QAbstractSlider, QHBoxLayout, QSizePolicy, QWidget

from arsenal.desk import file_dialogs, printers
from arsenal.desk.dialogs.form import Choice
from arsenal.desk.parts import paint
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

WHITE = QColor("#FFFFFF")
WIDE = 560
LEAST = 1.6
"""Screen dots a millimetre at text size 100 %: what is larger than the window is scrolled, and can be read."""
LARGEST = 9.0
"""Screen dots a millimetre at most: a small label is shown larger than it is."""
TURNS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
SCROLLS = {
    Qt.Key.Key_Up: QAbstractSlider.SliderAction.SliderSingleStepSub,
    Qt.Key.Key_Down: QAbstractSlider.SliderAction.SliderSingleStepAdd,
    Qt.Key.Key_PageUp: QAbstractSlider.SliderAction.SliderPageStepSub,
    Qt.Key.Key_PageDown: QAbstractSlider.SliderAction.SliderPageStepAdd,
    Qt.Key.Key_Home: QAbstractSlider.SliderAction.SliderToMinimum,
    Qt.Key.Key_End: QAbstractSlider.SliderAction.SliderToMaximum,
}


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
    kind: str = ""
    """Whose printer is remembered: “ticket”, “label”; empty asks anew each time."""
    largest: float = 5.0
    """Screen dots a millimetre at most."""

    def size(self) -> QSizeF:
        """Of a page in mm."""
        return self.layout.pageSize().size(QPageSize.Unit.Millimeter)


@dataclass(frozen=True, slots=True)
class Asked:
    """Something to choose before printing, and how the pages are made anew from it."""

    name: str
    choices: Sequence[tuple[str, Any]]
    current: Any
    make: Callable[[Any], Paper]


class Preview(QWidget):
    """One page on white paper, drawn by the same hand that prints it."""

    def __init__(self, paper: Paper) -> None:
        super().__init__()
        self._paper, self._at = paper, 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.show_page(0)

    def show_paper(self, paper: Paper) -> None:
        """Other pages, maybe of another size; the first is shown."""
        self._paper = paper
        self.updateGeometry()
        self.show_page(0)

    def show_page(self, number: int) -> None:
        """Another page."""
        self._at = number
        self.setAccessibleName(self._paper.pages[number].spoken)
        self.update()

    def per_mm(self) -> float:
        """Screen dots a millimetre: as large as the screen lets it be."""
        room, size = self.screen().availableSize(), self._paper.size()
        high = (room.height() - look().px(365)) / size.height()
        wide = min(room.width() - look().px(140), look().px(WIDE - 56)) / size.width()
        return max(min(look().px(10 * LEAST) / 10.0, wide), min(self._paper.largest, high, wide))

    def sizeHint(self) -> QSize:
        """As large as the screen lets it be read."""
        per, size = self.per_mm(), self._paper.size()
        return QSize(round(size.width() * per), round(size.height() * per))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the page."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), WHITE)
        self._paper.pages[self._at].draw(painter, self.per_mm())
        painter.setPen(look().pen("rule"))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 0)
        painter.end()


class PaperDialog(Dialog):
    """Preview, which page, and what to do with all of them."""

    def __init__(self, shared: Shared, parent: QWidget, paper: Paper, asked: Sequence[Asked] = ()) -> None:
        super().__init__(paper.title, parent, width=WIDE)
        self.shared, self.paper = shared, paper
        self.preview, self.note = Preview(paper), Plain(paper.note, px=13, token="ink2", wrap=True)
        self.page = Choice("Page", [], 0)
        self.page.setAccessibleDescription("Left and right turn the page")
        self.page.picked.connect(lambda number: self.preview.show_page(int(number)))
        self.asked = [self._ask(one) for one in asked]
        self._centred([*self.asked, self.page])
        self._centred([self.preview])
        self.body.addWidget(self.note)
        self._name_pages()
        self.offer("Close", "Esc", self.reject)
        self.offer("Keep as PDF", "F", self._pdf)
        self.offer("Print", "P", self._print, primary=True)
        self.preview.installEventFilter(self)
        self.preview.setFocus()

    def lead_to(self, name: str, key: str, call: Callable[[], object]) -> None:
        """A button that closes this and opens what belongs to it."""

        def go() -> None:
            self.accept()
            call()

        self._row.insertWidget(self._row.count() - 1, self.offer(name, key, go))
        self.fit()

    def _centred(self, widgets: Sequence[QWidget]) -> None:
        row = QHBoxLayout()
        row.setSpacing(look().px(20))
        row.addStretch(1)
        for widget in widgets:
            row.addWidget(widget)
        row.addStretch(1)
        self.body.addLayout(row)

    def _ask(self, one: Asked) -> Choice:
        choice = Choice(one.name, one.choices, one.current)
        choice.picked.connect(lambda value: self.show_paper(one.make(value)))
        return choice

    def show_paper(self, paper: Paper) -> None:
        """Other pages in place of these."""
        self.paper = paper
        self.note.setText(paper.note)
        self.complain("")
        self._name_pages()
        self.preview.show_paper(paper)
        self.body.invalidate()
        self.body.activate()
        self.fit()

    def _name_pages(self) -> None:
        self.page.offer([(page.name, n) for n, page in enumerate(self.paper.pages)], 0)
        self.page.setVisible(len(self.paper.pages) > 1)

    def turn(self, by: int) -> None:
        """The next page or the one before."""
        number = min(len(self.paper.pages) - 1, max(0, int(self.page.value) + by))
        self.page.put(number)
        self.preview.show_page(number)

    def _moved(self, key: Qt.Key) -> bool:
        """← → turn the page; ↑ ↓, page and end keys go over one that is higher than the window."""
        if key in TURNS:
            self.turn(TURNS[key])
        elif key in SCROLLS:
            self._scroll.verticalScrollBar().triggerAction(SCROLLS[key])
        return key in TURNS or key in SCROLLS

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The page has the keys first: the area it lies in would take the arrows for itself."""
        if watched is self.preview and isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress:
            return self._moved(Qt.Key(event.key()))
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The same from the buttons."""
        if not self._moved(Qt.Key(event.key())):
            super().keyPressEvent(event)

    def _pdf(self) -> None:
        suggested = Path.home() / self.paper.file
        name = file_dialogs.save_file(self, "Keep as PDF", str(suggested), "PDF (*.pdf)")
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
        try:
            printer = printers.ready(self.shared.settings, self.paper.kind)
        except KnownError as error:
            self.complain(str(error))
            self.fit()
            return
        listed, before = printers.put_paper(printer, self.paper.layout), printer.printerName()
        dialog = QPrintDialog(printer, self)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        if chosen:
            if not listed or printer.printerName() != before:
                printers.put_paper(printer, self.paper.layout)
            self.to_printer(printer)

    def to_printer(self, printer: QPrinter) -> None:
        """Every page to this printer."""
        painter = QPainter()
        name = printer.printerName() or "the printer"
        if not painter.begin(printer):
            self.complain(f"{name[:1].upper()}{name[1:]} does not answer. Nothing was printed and nothing is lost. "
                          "Keep the pages as PDF instead.")  # fmt: skip
            self.fit()
            return
        done = True
        for number, page in enumerate(self.paper.pages):
            done = done and (number == 0 or printer.newPage())
            page.draw(painter, printer.resolution() / 25.4)
        if not (painter.end() and done) or printer.printerState() is QPrinter.PrinterState.Error:
            self.complain(f"{name[:1].upper()}{name[1:]} stopped before the last page. Nothing is lost. "
                          "Print again, or keep the pages as PDF.")  # fmt: skip
            self.fit()
            return
        printers.remember(self.shared.settings, self.paper.kind, printer)
        self.shared.say(f"Sent {self.paper.what} to {name}")
        self.accept()


def open_paper(shared: Shared, parent: QWidget, paper: Paper, asked: Sequence[Asked] = ()) -> PaperDialog:
    """Show it."""
    dialog = PaperDialog(shared, parent, paper, asked)
    dialog.open_()
    return dialog
